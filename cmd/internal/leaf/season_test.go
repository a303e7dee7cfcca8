package leaf

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// demoSeason is the season of the demo farm, with changes to what it is planned from.
func demoSeason(t *testing.T, system unit.System, change func(*season.Input)) (Edition, Season) {
	t.Helper()
	folder := DemoFarm()
	if s := asItIs[system]; s != nil && change == nil {
		e := InEnglish(system)
		e.Farm = folder.Farm
		return e, *s
	}
	w, err := calendar.NewWorkdays(folder.Farm.Week.Works, folder.Farm.Week.Holidays)
	require.NoError(t, err)
	in := season.Input{Farm: folder.Farm, Processes: map[string]*process.Process{}, Orders: folder.Orders, Results: folder.Results, Workdays: w}
	for _, p := range folder.Protocols {
		in.Processes[p.Name], err = process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p, Units: system})
		require.NoError(t, err)
	}
	if change != nil {
		change(&in)
	}
	s, err := season.Plan(in)
	require.NoError(t, err)
	e := InEnglish(system)
	e.Farm = in.Farm
	out := Season{Season: s, Orders: in.Orders.Orders, Workdays: w, Today: in.Today, Vessels: folder.Library.Vessels}
	if change == nil {
		asItIs[system] = &out
	}
	return e, out
}

// asItIs are the seasons of the demo farm without a change, planned once.
var asItIs = map[unit.System]*Season{}

// The pictures of a season are whole, in both systems of units and with less or more
// than the demo farm has.
func TestPicturesOfASeasonAreClean(t *testing.T) {
	type farm struct {
		name   string
		change func(*season.Input)
	}
	for _, f := range checks.Every(3, []farm{
		{"as it is", nil},
		{"no capacity", func(in *season.Input) { in.Farm.Capacity = nil }},
		{"one order", func(in *season.Input) { in.Orders.Orders = in.Orders.Orders[:1] }},
		{"no rooms", func(in *season.Input) { in.Farm.Rooms = nil }},
		{"a wide room", func(in *season.Input) {
			for i := range in.Farm.Rooms {
				in.Farm.Rooms[i].Places *= 100
			}
		}},
		{"no results", func(in *season.Input) { in.Results.Batches = nil }},
	}) {
		for _, system := range checks.Every(2, []unit.System{unit.Metric, unit.US}) {
			t.Run(f.name+" "+system.String(), func(t *testing.T) {
				e, s := demoSeason(t, system, f.change)
				all := []picture{e.field(s)}
				if p := e.vesselPictures(s); p != nil {
					all = append(all, *p)
				}
				require.Len(t, all, 2)
				for _, p := range all {
					assert.NotEmpty(t, p.Notice)
					assert.NotEmpty(t, p.How)
					for _, svg := range p.Drawings {
						assert.Empty(t, checks.Drawing(string(svg), letters))
					}
					for _, table := range p.Tables {
						assert.NotEmpty(t, table.Rows)
						for _, row := range table.Rows {
							assert.Len(t, row, len(table.Head))
						}
					}
				}
			})
		}
	}
}

// What the picture shows in a room is what the plan has counted there, day by day,
// and by Little's law too.
func TestFieldAgreesWithTheCount(t *testing.T) {
	e, s := demoSeason(t, unit.Metric, nil)
	rooms := map[string]bay{}
	for _, r := range e.standings(s) {
		rooms[r.name] = r
	}
	seen := 0
	for _, r := range s.Resources {
		if r.Kind != season.Places {
			continue
		}
		i := slices.IndexFunc(e.Farm.Rooms, func(x protocol.Room) bool { return x.ID == r.Of })
		require.GreaterOrEqual(t, i, 0, r.ID)
		for at, n := range r.Taken {
			require.EqualValues(t, n, rooms[e.Farm.Rooms[i].Name].on(s.First+calendar.Date(at)), "%s on %v", r.ID, s.First+calendar.Date(at))
		}
		if l, ok := s.Little(r); ok {
			seen++
			assert.InEpsilon(t, l.Counted, l.Rate*l.Stay, 1e-9, r.ID)
		}
	}
	assert.Greater(t, seen, 3)
}

// Every task stands in one line of its week's page, under its role, and a line's time
// is that of its tasks.
func TestWeeksHaveEveryTask(t *testing.T) {
	e, s := demoSeason(t, unit.Metric, nil)
	have, want := 0, 0
	var time, all unit.Duration
	for _, b := range s.Batches {
		want += len(b.Plan.Tasks)
		for _, task := range b.Plan.Tasks {
			all += task.Takes
		}
	}
	for _, monday := range s.Mondays() {
		sum := s.Week(monday)
		var week unit.Duration
		for d := monday; d < monday+7; d++ {
			role := 0
			for _, x := range s.stints(d) {
				at := slices.Index(work.Roles(), x.role)
				assert.GreaterOrEqual(t, at, role, "the roles are in their order")
				role = at
				have += len(x.tasks)
				week += x.takes
				for _, task := range x.tasks {
					assert.Equal(t, d, task.Date)
					assert.Equal(t, x.cohort, task.Cohort)
				}
			}
		}
		for _, takes := range sum.Takes {
			week -= takes
			time += takes
		}
		assert.InDelta(t, 0, float64(week), 1e-6)
	}
	assert.Equal(t, want, have)
	assert.InDelta(t, float64(all), float64(time), 1e-3)

	pages, err := Weeks(e, s, nil)
	require.NoError(t, err)
	assert.Len(t, pages, len(s.Mondays()))
	for i, monday := range s.Mondays() {
		page := string(pages[WeekPath(monday)])
		require.NotEmpty(t, page, monday)
		for d := monday; d < monday+7; d++ {
			assert.Contains(t, page, d.String())
			for _, x := range s.stints(d) {
				assert.Contains(t, page, s.Batches[x.batch].Code)
			}
			for _, x := range s.Deliveries {
				if x.Day == d {
					assert.Contains(t, page, e.show(Sold(x.Mass))+" for "+s.For(x))
				}
			}
		}
		assert.Equal(t, i > 0, strings.Contains(page, "The week before:"), monday)
		assert.Equal(t, i+1 < len(s.Mondays()), strings.Contains(page, "The week after:"), monday)
	}
}

// What is late says so on the page of the season, with what is in its way; what can't
// be had has a reason in words, whichever it is.
func TestLateDeliveriesAreTold(t *testing.T) {
	e, s := demoSeason(t, unit.Metric, func(in *season.Input) {
		delete(in.Processes, "beech-850")
		for i := range in.Farm.Rooms {
			if in.Farm.Rooms[i].ID == "pinning" {
				in.Farm.Rooms[i].Places = 150
			}
		}
	})
	require.Positive(t, s.Late())
	page, err := SeasonPage(e, s, nil)
	require.NoError(t, err)
	for _, want := range []string{"Not to be had: its protocol has errors, or is gone", "Held up by: Places in Pinning room", "What is short", ` late, on <span class="whole">2027-`} {
		assert.Contains(t, string(page), want)
	}
	assert.NotContains(t, string(page), "All are in time")
	for _, why := range []season.Unmet{season.NoProtocol, season.NoBatch, season.NoDays, season.NoTime, season.NoPlace} {
		said := s.Verdict(e.Farm, season.Delivery{Batch: -1, Unmet: why})
		assert.Contains(t, e.Voice.Say(said[0]), "not to be had: ", why)
	}
	for _, k := range season.Kinds() {
		assert.NotEmpty(t, e.Voice.Say(s.ResourceName(e.Farm, season.Resource{Kind: k, Of: string(work.Grower)})))
	}

	e, s = demoSeason(t, unit.Metric, func(in *season.Input) {
		in.Orders.Orders = in.Orders.Orders[1:2]
		in.Results.Batches = nil
	})
	require.Zero(t, s.Late())
	page, err = SeasonPage(e, s, nil)
	require.NoError(t, err)
	assert.Contains(t, string(page), "All are in time")
	assert.NotContains(t, string(page), "What is short")
}

// Spawn that had to be begun before today, for a batch that is still to come, was not
// begun: it is told to come from elsewhere. What a batch under way did before today is
// past, and no more.
func TestSpawnThatIsTooLate(t *testing.T) {
	today, err := calendar.Parse("2026-11-26")
	require.NoError(t, err)
	_, s := demoSeason(t, unit.Metric, func(in *season.Input) { in.Today = &today })
	said := map[string]int{}
	for _, b := range s.Batches {
		tell := Tell(b.Batch, b.Plan, s.Today)
		for _, task := range b.Plan.Tasks {
			note := tell.Note(task).ID
			said[note]++
			assert.Equal(t, task.Date < today && !b.UnderWay, note == "plan.past.spawn", "%s: %s on %v", b.Code, task.Step, task.Date)
			assert.Equal(t, task.Date < today && b.UnderWay, note == "plan.past", "%s: %s on %v", b.Code, task.Step, task.Date)
		}
	}
	assert.Positive(t, said["plan.past.spawn"])
	assert.Positive(t, said["plan.past"])
}
