package batch

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// readingOf is a batch with just what a reading rests on.
func readingOf(sys unit.System, given map[string]float64, scales ...protocol.Scale) *Batch {
	l := working.NewLedger(nil)
	for name, v := range given {
		l.Given(name, unit.MassOf, v, working.Origin{})
	}
	return &Batch{Ledger: l, Process: &process.Process{Input: process.Input{Farm: protocol.Farm{Scales: scales}, Units: sys}}}
}

func readingScale(step float64, written string, capacity unit.Mass) protocol.Scale {
	return protocol.Scale{ID: written, Name: written, Step: unit.Step{Size: step * unit.SizeOf(unit.MassOf, written), Unit: written}, Capacity: capacity}
}

// TestReading: worked by hand.
func TestReading(t *testing.T) {
	fine, floor := readingScale(0.1, "g", 3), readingScale(10, "g", 60)
	for _, c := range []struct {
		name   string
		sys    unit.System
		scales []protocol.Scale
		mass   float64
		part   float64
		want   string
	}{
		{"537.2/300 is 1.79 g: 1 g", unit.Metric, []protocol.Scale{floor, fine}, 0.5372, FinePart, "537 g"},
		{"16.116/30 is 0.54 g: 0.5 g", unit.Metric, []protocol.Scale{floor, fine}, 0.016116, PortionPart, "16.0 g"},
		{"what the fine scale can't carry goes on the floor scale", unit.Metric, []protocol.Scale{fine, floor}, 7.0912, FinePart, "7.10 kg"},
		{"a floor scale alone shows no more than 10 g", unit.Metric, []protocol.Scale{floor}, 0.5372, FinePart, "540 g"},
		{"a scale of 2 g can't show 5 g steps", unit.Metric, []protocol.Scale{readingScale(2, "g", 5)}, 2.511, FinePart, "2.512 kg"},
		{"a scale of 0.5 g can't show 0.2 g steps", unit.Metric, []protocol.Scale{readingScale(0.5, "g", 5)}, 0.0931, FinePart, "93.0 g"},
		{"no scale carries it: the strongest", unit.Metric, []protocol.Scale{fine, floor}, 75.04, FinePart, "75.0 kg"},
		// 537.2 g is 18.949 oz; a 300th is 0.063 oz: 0.05 oz, and 0.1 g is finer.
		{"ounces", unit.US, []protocol.Scale{floor, fine}, 0.5372, FinePart, "18.95 oz"},
		// 7.0912 kg is 15.633 lb; a 300th is 0.052 lb: 0.05 lb, as the 10 g scale shows.
		{"pounds", unit.US, []protocol.Scale{fine, floor}, 7.0912, FinePart, "15.65 lb"},
	} {
		a := readingOf(c.sys, nil, c.scales...).Reading(c.mass, c.part)
		assert.Equal(t, c.want, noBreak(a.Show(c.sys)), c.name)
	}
}

func noBreak(s string) string {
	out := []rune(s)
	for i, r := range out {
		if string(r) == unit.Space {
			out[i] = ' '
		}
	}
	return string(out)
}

// TestReadingStep holds the choice of a step to its definition, over all steps
// that come into question.
func TestReadingStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.SampledFrom([]float64{1, 2, 5, 10, 20, 50, 100, 250}).Draw(t, "step") * 1e-4 // kg
		coarsest := math.Exp(rapid.Float64Range(math.Log(1e-5), math.Log(1)).Draw(t, "log of coarsest"))
		best := step
		for power := -6; power <= 1; power++ {
			for _, m := range []float64{1, 2, 5} {
				try := m * math.Pow10(power)
				if n := try / step; try <= coarsest*(1+hair) && n > 0.5 && math.Abs(n-math.Round(n)) < 1e-6 && try > best {
					best = try
				}
			}
		}
		assert.InEpsilon(t, best, readable(step, coarsest, "kg"), 1e-9, "step %v, coarsest %v", step, coarsest)
	})
}

// TestFillReading: 537.2 g, 3 % either way, is 521.08 to 553.32 g, and no
// printed end may lie outside.
func TestFillReading(t *testing.T) {
	given := map[string]float64{"fill_mass": 0.5372, "fill_tolerance": 0.03, "vessel_empty": 0.075, "vessel_lid": 0.012}
	b := readingOf(unit.Metric, given, readingScale(0.1, "g", 3), readingScale(10, "g", 60))
	target, low, high := b.FillReading()
	assert.Equal(t, "537 g", noBreak(target.Show(unit.Metric)))
	assert.Equal(t, "522 g", noBreak(low.Show(unit.Metric)))
	assert.Equal(t, "553 g", noBreak(high.Show(unit.Metric)))
	assert.Equal(t, "620 g", noBreak(b.FullVessel().Show(unit.Metric)), "624 g to a 30th: 20 g")

	// With its vessel the fill weighs 628 g at most: too much for a scale of
	// 0.6 kg, which would carry the fill alone.
	b = readingOf(unit.Metric, given, readingScale(0.1, "g", 0.6), readingScale(10, "g", 60))
	target, low, high = b.FillReading()
	assert.Equal(t, "540 g", noBreak(target.Show(unit.Metric)))
	assert.Equal(t, "530 g", noBreak(low.Show(unit.Metric)))
	assert.Equal(t, "550 g", noBreak(high.Show(unit.Metric)))

	rapid.Check(t, func(t *rapid.T) {
		mass, tolerance := rapid.Float64Range(0.2, 3).Draw(t, "mass"), rapid.Float64Range(0.01, 0.06).Draw(t, "tolerance")
		b := readingOf(unit.Metric, map[string]float64{"fill_mass": mass, "fill_tolerance": tolerance, "vessel_empty": 0.1},
			readingScale(0.1, "g", 5))
		target, low, high := b.FillReading()
		assert.GreaterOrEqual(t, low.Value, mass*(1-tolerance)*(1-1e-9))
		assert.LessOrEqual(t, high.Value, mass*(1+tolerance)*(1+1e-9))
		assert.LessOrEqual(t, low.Value, target.Value)
		assert.LessOrEqual(t, target.Value, high.Value)
	})
}

// TestSampleReading: 100 g of a mix at 65 % is 35 g dry, and 1.5 points either
// way 33.5 to 36.5 g; a scale of 2 g shows 34 to 36 g of them. By hand.
func TestSampleReading(t *testing.T) {
	given := map[string]float64{"sample_wet": 0.1, "sample_dry": 0.035, "sample_dry_least": 0.0335, "sample_dry_most": 0.0365}
	show := func(b *Batch) []string {
		wet, dry, low, high := b.SampleReading()
		var out []string
		for _, a := range []unit.Amount{wet, dry, low, high} {
			out = append(out, noBreak(a.Show(unit.Metric)))
		}
		return out
	}
	assert.Equal(t, []string{"100.0 g", "35.0 g", "33.5 g", "36.5 g"},
		show(readingOf(unit.Metric, given, readingScale(0.1, "g", 3), readingScale(10, "g", 60))))
	assert.Equal(t, []string{"100 g", "36 g", "34 g", "36 g"},
		show(readingOf(unit.Metric, given, readingScale(2, "g", 3))))
}

// TestGaugeReading: the printed band lies within the protocol's, as the dial
// reads it.
func TestGaugeReading(t *testing.T) {
	psi := unit.SizeOf(unit.GaugePressureOf, "psi")
	for _, c := range []struct {
		name      string
		low, high float64 // psi
		step      float64
		dial      string
		want      [2]string
	}{
		{"on the marks", 15, 16, 0.5, "psi", [2]string{"15.0 psi", "16.0 psi"}},
		{"between the marks: inward", 15.2, 16.4, 0.5, "psi", [2]string{"15.5 psi", "16.0 psi"}},
		// 15 psi is 1.0342 bar and 16.5 psi 1.1376 bar.
		{"a dial in bar", 15, 16.5, 0.05, "bar", [2]string{"1.05 bar", "1.10 bar"}},
		{"a dial too coarse: the exact figures", 15, 16, 10, "psi", [2]string{"15 psi", "16 psi"}},
	} {
		l := working.NewLedger(nil)
		l.Given("gauge_pressure", unit.GaugePressureOf, c.low*psi, working.Origin{})
		l.Given("gauge_highest", unit.GaugePressureOf, c.high*psi, working.Origin{})
		step := c.step * unit.SizeOf(unit.GaugePressureOf, c.dial)
		l.Given("gauge_step", unit.GaugePressureOf, step, working.Origin{})
		b := &Batch{Ledger: l, Process: &process.Process{Sterilizer: protocol.FarmSterilizer{Gauge: unit.Step{Size: step, Unit: c.dial}}}}
		low, high := b.GaugeReading()
		for _, sys := range []unit.System{unit.Metric, unit.US} {
			assert.Equal(t, c.want[0], noBreak(low.Show(sys)), c.name)
			assert.Equal(t, c.want[1], noBreak(high.Show(sys)), c.name)
		}
	}
}
