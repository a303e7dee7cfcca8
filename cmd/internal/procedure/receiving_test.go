package procedure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// told are the rows of a step as a worker reads them.
func told(s Step, units unit.System) []string {
	voice := words.English(units)
	var out []string
	for _, a := range s.Amounts {
		out = append(out, plain(strings.Join([]string{voice.Say(a.What), a.Amount.Show(units), voice.Say(a.Remark)}, ": ")))
	}
	return out
}

// TestToolsAreChecked: the heaviest usual weight that the scale carries and one
// person lifts, and two of the scale's steps either way. By hand.
func TestToolsAreChecked(t *testing.T) {
	assert.Equal(t, []string{
		"Bench: check weight: 2 kg: 1999.8 g to 2000.2 g is right",
		"Floor: check weight: 10 kg: 9.98 kg to 10.02 kg is right",
		"Gauge of Steam 1: 0.0 psi: cold, with the vent open",
		"Thermometer in ice: 0 °C: 0.5 °C more or less",
	}, told(step(t, on(enoki()).build(t), "start-of-shift"), unit.Metric))

	pounds := farm()
	pounds.Scales = []protocol.Scale{
		{ID: "oz", Name: "Ounces", Step: unit.Step{Size: 0.005 * 0.028349523125, Unit: "oz"}, Capacity: 3},
		{ID: "lb", Name: "Pounds", Step: unit.Step{Size: 0.02 * 0.45359237, Unit: "lb"}, Capacity: 40},
	}
	assert.Equal(t, []string{
		"Ounces: check weight: 5 lb: 79.990 oz to 80.010 oz is right",
		"Pounds: check weight: 20 lb: 19.96 lb to 20.04 lb is right",
		"Gauge of Steam 1: 0.0 psi: cold, with the vent open",
		"Thermometer in ice: 32 °F: 1 °F more or less",
	}, told(step(t, on(enoki()).at(pounds).in(unit.US).build(t), "start-of-shift"), unit.US))
}

func TestCheckWeight(t *testing.T) {
	for most, want := range map[float64]string{
		60: "10 kg", 10: "10 kg", 9.9: "5 kg", 3: "2 kg", 0.6: "500 g", 0.05: "50 g", 0.0005: "1 g",
	} {
		assert.Equal(t, want, plain(checkWeight(batch.Scale{Most: most, Step: 1e-4}, unit.Metric).Show(unit.Metric)), "%v kg", most)
	}
	for units, list := range checkWeights {
		for i, w := range list {
			assert.LessOrEqual(t, w.Value, 15.0, "heavier than a person lifts by hand on the same sheet")
			assert.True(t, i == 0 || w.Value > list[i-1].Value, "%v: lightest first", units)
		}
	}
}

// TestMoistureOnRecord: what the sheet counts on; minerals have no row, since
// an oven drives crystal water out of gypsum.
func TestMoistureOnRecord(t *testing.T) {
	f := farm()
	f.Moisture = map[string]unit.WetShare{"hull": 0.102}
	assert.Equal(t, []string{
		"Hardwood pellets: 7 %: water on record, 2 points more or less",
		"Soybean hulls: 10.2 %: water on record, 2 points more or less",
		"Wheat bran: 12 %: water on record, 2 points more or less",
	}, told(step(t, on(enoki()).at(f).build(t), "receive"), unit.Metric))
}

// TestMoistureOfTheMix: 100 g at 65 % leave 35 g. 50 bottles of 537.2 g with 3 %
// on top are 27.67 kg, of which 9.68 kg dry; 1 point of moisture is 9.68 kg /
// 0.35 less 9.68 kg / 0.36, 0.77 kg. By hand; to a 30th, in steps of 20 g.
func TestMoistureOfTheMix(t *testing.T) {
	assert.Equal(t, []string{
		"Sample for the oven: 100.0 g: weighed in wet",
		"The same sample, dry: 35.0 g: 33.5 g to 36.5 g is right",
		"Water for one point: 760 g: in one mix, for each point that is missing",
	}, told(step(t, on(enoki()).build(t), "check-moisture"), unit.Metric))

	// Sterilizing takes 2 % of the mass: mixed at 1 - 0.35 * 0.98 = 65.7 %.
	loses := variant("loses", func(p *protocol.Protocol) { p.Substrate.ChangeInSterilizer = -0.02 })
	assert.Contains(t, told(step(t, on(loses).build(t), "check-moisture"), unit.Metric)[1], "34.3 g: 32.8 g to 35.8 g")

	// A scale of 5 g takes a sample of a hundred of its steps.
	coarse := farm()
	coarse.Scales = []protocol.Scale{{ID: "floor", Name: "Floor", Step: unit.Step{Size: 0.005, Unit: "g"}, Capacity: 60}}
	assert.Contains(t, told(step(t, on(enoki()).at(coarse).of(400).build(t), "check-moisture"), unit.Metric)[1], "175 g: 170 g to 180 g")
	assert.Contains(t, told(step(t, on(enoki()).in(unit.US).build(t), "check-moisture"), unit.US)[0], "4.000 oz")
}
