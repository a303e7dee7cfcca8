package procedure

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// sized are the facts that follow the number of vessels. Nothing else in any
// sentence may: not the fill of a vessel, not the hold, not the gauge, not a
// temperature.
var sized = map[string]bool{
	"vessels": true, "vessels_of": true, "filled": true, "filled_of": true, "controls": true,
	"mixes": true, "loads": true, "work_days": true, "jars": true, "load": true, "first": true, "last": true, "parts": true,
	"scale": true, "volume": true, // which scale carries a mix, and its water
	"least_mass": true, "least_scale": true, // the smallest row of a mix
	"load_size": true, "load_stop": true, "early_stop": true, "to_look_into": true, // how many bad ones stop the work
	"yield_usual": true, "sold_usual": true, "water_all": true,
	"water_first": true, "water_rest": true, // two pours of the water of one mix
	"point_water": true, // the water for a point of moisture in one mix
}

func TestSentencesKeepTheirNumbers(t *testing.T) {
	for _, s := range []setting{on(enoki()), on(variant("jar", inJars)), on(variant("bag", inBags)), on(enoki()).in(unit.US)} {
		// A sentence that stands several times, in rows, is held to the same row.
		type row struct {
			id string
			n  int
		}
		small, rows := map[row]protocol.Message{}, map[string]int{}
		for _, m := range messages(s.of(12).build(t)) {
			rows[m.ID]++
			small[row{m.ID, rows[m.ID]}] = m
		}
		changed := 0
		clear(rows)
		for _, m := range messages(s.of(400).build(t)) {
			rows[m.ID]++
			before, both := small[row{m.ID, rows[m.ID]}]
			if !both {
				continue
			}
			for name, v := range m.Args {
				if name == "name" || reflect.DeepEqual(v, before.Args[name]) { // rows of the list differ by name
					continue
				}
				assert.True(t, sized[name], "%s: %s was %v for 12 and is %v for 400", m.ID, name, before.Args[name], v)
				changed++
			}
		}
		assert.Positive(t, changed, "400 vessels read like 12")
	}
}

func TestAmountsFollowTheSize(t *testing.T) {
	show := func(p Procedure, id work.StepID) []string {
		var out []string
		for _, a := range step(t, p, id).Amounts {
			out = append(out, plain(a.Amount.Show(unit.Metric)))
		}
		return out
	}
	small, large := on(enoki()).of(12).build(t), on(enoki()).of(400).build(t)

	// 850 mL less 60 mL at 0.68 kg/L is 537.2 g: to a 300th, in steps of 1 g.
	assert.Equal(t, []string{"537 g", "14"}, show(small, "fill"))
	assert.Equal(t, []string{"537 g", "408"}, show(large, "fill"))
	// 408 in loads of at most 120 are four of 102.
	// The rest of the 120 places take bottles of water.
	assert.Equal(t, []string{"14", "106"}, show(small, "load"))
	assert.Equal(t, []string{"102", "18"}, show(large, "load"))
	assert.Equal(t, []string{"120"}, show(on(enoki()).of(118).build(t), "load"), "a full load takes no water")
	// 3 % of 537.2 g is 16.1 g; 12 take 193 g and 400 take 6.45 kg: one jar of 450 g
	// and 15, and two more. A tenth more is 213 g and 7.09 kg.
	assert.Equal(t, []string{"16.0 g", "212.5 g", "3"}, show(small, "inoculate"))
	assert.Equal(t, []string{"16.0 g", "7.10 kg", "17"}, show(large, "inoculate"))

	assert.NotEqual(t, show(small, "weigh"), show(large, "weigh"))
	assert.Less(t, step(t, small, "fill").Time.Value, step(t, large, "fill").Time.Value)
	// One run of the sterilizer with a full load comes up in 40 min (computed, 39.75),
	// vents for 10 and holds for 120: 170 min. Four of them are 680 min, which is 11 h and a
	// third, told to half an hour.
	assert.Equal(t, "170 min", plain(step(t, small, "sterilize").Time.Show(unit.Metric)))
	assert.Equal(t, "11.5 h", plain(step(t, large, "sterilize").Time.Show(unit.Metric)))
}

// TestDialKeepsItsUnit: the gauge band is printed as the dial reads, whatever
// the units of the page; temperatures follow the page.
func TestDialKeepsItsUnit(t *testing.T) {
	for units, want := range map[unit.System]string{unit.Metric: "120 °C", unit.US: "248 °F"} {
		s := step(t, on(enoki()).in(units).build(t), "sterilize")
		low, high := s.Limit.Args["gauge_low"].(unit.Amount), s.Limit.Args["gauge_high"].(unit.Amount)
		assert.Equal(t, "15.0 psi", plain(low.Show(units)))
		assert.Equal(t, "16.0 psi", plain(high.Show(units)))
		assert.Equal(t, "120 min", plain(s.Limit.Args["hold"].(unit.Amount).Show(units)))
		// 15 psi at 420 m, US Standard Atmosphere 1976 and IF97: 120.2 °C.
		assert.Equal(t, want, plain(s.Limit.Args["chamber"].(unit.Amount).Show(units)))
	}
}
