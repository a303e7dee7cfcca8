package change

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/protocols"
)

// elsewhere are the quantities of other ledgers than a batch's: of rooms, of what a farm
// cleans with, of results and of a season. No comparison meets them.
const elsewhere = `alcohol_bottle alcohol_exact alcohol_made alcohol_measured alcohol_off alcohol_shrinks alcohol_stock alcohol_wanted
	alcohol_water batches_* bench_fastest bench_flow bench_height bench_reading bench_slowest bench_speed bench_uneven bench_width
	bleach_* box_* breath_* brought_above_dew co2_* coil* cooling cooling_margin crop_* efficiency_achieved efficiency_at_* entry_limit
	fan_margin filled_in_all filled_worth fresh_* glucose_heat growing_factor heat_inside heating heating_margin humidifier_*
	humidity_off jug_reads leak leak_flow lost_achieved lost_at_* lost_in_all lost_worth loud_alarm machines no_factor off_in_all
	people_* person_* purge* resource_* result_* room_* rooms_for_stage sanitize_* sealed_* shift_mean soaked_up sold_achieved
	sold_assumed_* sold_at_* sold_deviation sold_each_in_all sold_squares standing* stay stay_most summer_* surfaces_above_dew
	transpiration utilization vapor_heat wall_area wall_beyond wall_resistance wall_u weekly_left_out winter_* worker_limit`

func isElsewhere(name string) bool {
	for p := range strings.FieldsSeq(elsewhere) {
		if fits(p, name) > 0 {
			return true
		}
	}
	return false
}

// Every quantity that the catalog names is in one group, for one reason, or in another
// ledger; and every pattern of the table is of use.
func TestEveryQuantityHasOneGroup(t *testing.T) {
	used := map[string]bool{}
	for _, id := range words.IDs() {
		name, is := strings.CutPrefix(id, "quantity.")
		if !is {
			continue
		}
		most, times := 0, 0
		var best string
		for _, r := range rows {
			for p := range strings.FieldsSeq(r.names) {
				switch n := fits(p, name); {
				case n > most:
					most, times, best = n, 1, p
				case n == most && n > 0:
					times++
				}
			}
		}
		used[best] = true
		if most == 0 {
			assert.True(t, isElsewhere(name), "%s has no group", name)
			continue
		}
		assert.Equal(t, 1, times, "%s has several rows", name)
	}
	for _, r := range rows {
		assert.Contains(t, GroupsInOrder(), r.group)
		assert.NotEqual(t, ForWording, r.group, "a figure is no wording")
		assert.NotEmpty(t, r.why)
		for p := range strings.FieldsSeq(r.names) {
			assert.True(t, used[p], "%s fits no quantity best", p)
		}
	}
}

// No quantity of a batch is left to the group for what no row names.
func TestEveryQuantityOfTheDemoFarmHasAGroup(t *testing.T) {
	folder, _ := farmfile.Read(os.DirFS("../../.."), protocols.Library)
	require.NotEmpty(t, folder.Protocols)
	for _, pr := range folder.Protocols {
		p, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: pr})
		require.NoError(t, err)
		for _, n := range pr.BatchSizes {
			b, err := batch.Compute(p, n)
			require.NoError(t, err)
			for _, q := range b.Ledger.All() {
				g, why := groupOf(q.Name)
				assert.NotEmpty(t, g, q.ID())
				assert.NotEmpty(t, why, q.ID())
			}
		}
	}
}

// The gravest ones by name, so that a pattern that is too wide does not move them.
func TestGroupsOfWhatHangsOnThem(t *testing.T) {
	for name, want := range map[string]Group{
		"hold": ForSafety, "gauge_pressure": ForSafety, "f0_slow": ForSafety, "altitude": ForSafety, "lift_index": ForSafety,
		"rated_pressure": ForSafety, "vessel_service": ForSafety, "stage_fruiting_co2": ForSafety, "harvest_cool_to": ForSafety,
		"nitrogen": ForQuality, "share_used": ForQuality, "moisture_target": ForQuality, "stage_fruiting_air": ForQuality, "use_within": ForQuality, "spawn_rate": ForQuality,
		"weighed": ForQuantity, "spawn_jars": ForQuantity, "total_cost": ForQuantity, "yield_usual": ForQuantity, "vessels": ForQuantity, "day_length": ForQuantity, "vessel_price": ForQuantity,
	} {
		g, _ := groupOf(name)
		assert.Equal(t, want, g, name)
	}
}

// Each limit has a group, and what the table of limits calls safety is safety.
func TestEveryLimitHasAGroup(t *testing.T) {
	for _, l := range limit.All() {
		g := crossingGroup(l.ID, l.Safety)
		assert.Contains(t, GroupsInOrder(), g, l.ID)
		if l.Safety {
			assert.Equal(t, ForSafety, g, l.ID)
		}
		if _, why := groupOf(l.Quantity); why == "" {
			assert.True(t, isElsewhere(l.Quantity), "%s is about %s, which has no group", l.ID, l.Quantity)
		}
	}
}

// A step is one of safety where its reason to be kept is people; each reason is decided
// here anew.
func TestSafetySteps(t *testing.T) {
	people := map[work.Reason]bool{
		work.AtPressure: true, work.AtMold: true, work.ForEaters: true,
		work.ForSterile: false, work.ForClean: false, work.ForTrace: false, work.ForCrop: false,
	}
	assert.Len(t, people, len(work.Reasons()))
	for _, id := range work.Steps() {
		assert.Equal(t, people[work.Kept(id)], isSafetyStep(id), id)
	}
	for _, id := range []work.StepID{work.StartShift, work.Vent, work.Sterilize, work.PressureOff, work.Unload, work.Reject, work.Chill} {
		assert.True(t, isSafetyStep(id), id)
	}
	for _, id := range []work.StepID{work.Weigh, work.FillVessels, work.Scrape} {
		assert.False(t, isSafetyStep(id), id)
	}
}

// Figures are told from words: a number with its decimals is one figure.
func TestSameFigures(t *testing.T) {
	assert.True(t, sameFigures("Hold for 120 min.", "Keep it for 120 min"))
	assert.False(t, sameFigures("Hold for 120 min.", "Hold for 130 min."))
	assert.False(t, sameFigures("15.0 psi", "15.5 psi"))
	assert.False(t, sameFigures("2 or 3", "3 or 2"))
	assert.True(t, slices.Equal([]string{"15.0", "4"}, figureInText.FindAllString("15.0 psi in 4 h.", -1)))
}
