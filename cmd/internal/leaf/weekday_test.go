package leaf

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// A day has a row for each run that no sheet stands for, in its sterilizer, each
// cleaning of the week once and on an open day, and a late delivery on the day that it
// is due and on the day that it comes.
func TestDayHasRunsCleaningAndLateDeliveries(t *testing.T) {
	e, s := demoSeason(t, unit.Metric, nil)
	told := tellers{s, map[int]Telling{}}
	days := map[calendar.Date][]weekRow{}
	for _, monday := range s.Mondays() {
		cleaned := 0
		for d := monday; d < monday+7; d++ {
			days[d] = e.weekDay(told, nil, d, map[work.Role]unit.Duration{}).Rows
			if row := e.cleaningRow(s.Workdays, d); row != nil {
				cleaned++
				assert.True(t, s.Workdays.Open(d), d)
				assert.Contains(t, days[d], *row)
			}
		}
		assert.Positive(t, cleaned, monday)
	}
	runs := map[season.RunOf]int{}
	for _, r := range s.Runs {
		rows, ok := days[r.Day]
		if !ok || r.Runs == 0 || r.With == season.Load {
			continue
		}
		runs[r.With]++
		i := slices.IndexFunc(e.Farm.Sterilizers, func(x protocol.FarmSterilizer) bool { return x.ID == r.Sterilizer })
		assert.True(t, slices.ContainsFunc(rows, func(x weekRow) bool {
			return x.Place == e.Farm.Sterilizers[i].Name && (len(x.Batches) == len(r.Batches) || r.With == season.Bad)
		}), "%+v", r)
	}
	assert.Positive(t, runs[season.Spawn])
	assert.Positive(t, runs[season.Bad])
	late := 0
	for _, x := range s.Deliveries {
		if x.Batch < 0 || x.Late == 0 {
			continue
		}
		late++
		for _, d := range []calendar.Date{x.Day, x.Day + calendar.Date(x.Late)} {
			assert.True(t, slices.ContainsFunc(days[d], func(r weekRow) bool {
				return r.Delivered && r.Batches[0] == s.Batches[x.Batch].Code && len(r.Notes) > 0
			}), "%v", d)
		}
	}
	assert.Positive(t, late)
}

// A row says where: in the room of a batch, at a station, in a sterilizer by its name.
// Controls are counted beside what grows until the bottles are opened, and not after.
func TestRowSaysWhereAndHowMany(t *testing.T) {
	e, s := demoSeason(t, unit.Metric, nil)
	told := tellers{s, map[int]Telling{}}
	seen := map[work.Role]int{}
	for _, monday := range s.Mondays() {
		for d := monday; d < monday+7; d++ {
			for _, x := range s.stints(d) {
				row := e.stintRow(told, nil, d, x)
				assert.NotEmpty(t, row.Place, "%v %s %s", d, x.role, row.What)
				if x.role == work.Picker {
					assert.NotContains(t, row.Vessels, "control")
				}
				if x.role == work.Washer || x.role == work.Operator {
					assert.Contains(t, row.Vessels, "control", "%v %s", d, row.What)
				}
				seen[x.role]++
			}
		}
	}
	for _, r := range work.Roles() {
		assert.Positive(t, seen[r], r)
	}
}
