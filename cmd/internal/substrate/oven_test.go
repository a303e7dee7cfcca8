package substrate_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
)

// By hand: 100 g at 65 % leave 35 g, and a point and a half either way 33.5 and
// 36.5 g.
func TestSampleByHand(t *testing.T) {
	in := values{"T": 0.1, "m": 0.65, "p": substrate.MoistureGive}
	assert.InDelta(t, 0.0335, checks.Eval(t, substrate.DriedAtLeast, in), 1e-12)
	assert.InDelta(t, 0.0365, checks.Eval(t, substrate.DriedAtMost, in), 1e-12)

	usual := substrate.LeastSample(unit.Metric)
	for step, want := range map[float64]float64{0.0001: 0.1, 0.001: 0.1, 0.01: 1} {
		assert.InDelta(t, want, checks.Eval(t, substrate.Sample, values{"usual": usual, "s": substrate.SampleOfSteps, "r": step}), 1e-12)
	}
}

// A mix that is a point too dry is right once the water for a point is in it:
// from the definition of moisture, (wet - dry) / wet. By hand: 10 kg dry at 64 %
// weigh 27.78 kg and at 65 % 28.57 kg.
func TestWaterForPoint(t *testing.T) {
	assert.InDelta(t, 0.794, checks.Eval(t, substrate.WaterForPoint, values{"D": 10, "m": 0.65, "p": 0.01}), 5e-4)
	rapid.Check(t, func(rt *rapid.T) {
		dry, m := rapid.Float64Range(0.1, 1000).Draw(rt, "dry"), rapid.Float64Range(0.3, 0.8).Draw(rt, "moisture")
		before := dry / (1 - m + substrate.OnePoint)
		wet := before + checks.Eval(t, substrate.WaterForPoint, values{"D": dry, "m": m, "p": substrate.OnePoint})
		assert.InDelta(rt, m, checks.Eval(t, substrate.MoistureOfSample, values{"wet": wet, "dry": dry}), 1e-9)
	})
}
