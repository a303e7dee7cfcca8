package batch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/unit"
)

// The worked example A12 of the substrate reference, whose figures are printed
// to the gram or a tenth of it.
func TestGoldenExample(t *testing.T) {
	for _, c := range []struct {
		n                 int
		brimful, head     unit.Volume
		fill, dry         float64 // g a vessel
		wet, pellets, soy float64 // g in all
		gypsum, water     float64
		spawn             float64
	}{
		{12, 850e-6, 60e-6, 537.2, 188.0, 6640, 1236.9, 1272.5, 23.2, 4107, 193},
		{400, 850e-6, 60e-6, 537.2, 188.0, 221326, 41231.0, 42416.8, 774.6, 136904, 6446},
		{100, 1100e-6, 75e-6, 697.0, 243.95, 71791, 13374.0, 13758.6, 251.3, 44407, 2091},
		{400, 1100e-6, 75e-6, 697.0, 243.95, 287164, 53495.9, 55034.5, 1005.1, 177629, 8364},
	} {
		b := compute(t, golden(t, c.brimful, c.head), c.n)
		grams := func(name string) float64 { return b.Value(name) * 1000 }
		of := func(id string) float64 { return b.Ledger.ValueOf("received", id) * 1000 }
		assert.InDelta(t, c.fill, grams("fill_mass"), 0.05)
		assert.InDelta(t, c.dry, grams("dry_in_vessel"), 0.05)
		assert.InDelta(t, c.wet, grams("wet_total"), 0.5)
		assert.InDelta(t, c.pellets, of("hardwood-pellet"), 0.05)
		assert.InDelta(t, c.soy, of("soy-hull"), 0.05)
		assert.InDelta(t, c.gypsum, of("gypsum"), 0.05)
		assert.InDelta(t, c.water, grams("water_to_add"), 0.5)
		assert.InDelta(t, c.spawn, grams("spawn_total"), 0.5)
	}
}

// A12 again: with a measured loss of 1 % in the sterilizer the 100 bottles of
// 1100 mL need 45,132 g of water, and are mixed at 65.35 %.
func TestGoldenExampleWithALossInTheSterilizer(t *testing.T) {
	in := golden(t, 1100e-6, 75e-6)
	in.Protocol.Substrate.ChangeInSterilizer = -0.01
	b := compute(t, in, 100)
	assert.InDelta(t, 45132, b.Value("water_to_add")*1000, 0.5)
	assert.InDelta(t, 0.6535, b.Value("moisture_mixed"), 5e-5)
}

// B5 of the substrate reference: N 1.015 %, C 46.1 %, C:N 45.5, ash 3.9 %.
func TestGoldenComposition(t *testing.T) {
	p := plan(t, golden(t, 850e-6, 60e-6))
	assert.InDelta(t, 1.015, p.Value("nitrogen")*100, 0.0005)
	assert.InDelta(t, 46.1, p.Value("carbon")*100, 0.05)
	assert.InDelta(t, 45.5, p.Value("carbon_to_nitrogen"), 0.05)
	assert.InDelta(t, 3.9, p.Value("ash")*100, 0.05)
}

// The demo's 48 enoki bottles, worked by hand with a calculator.
//
//	vessels    48 to grow; one load (120 places), so 2 controls: 50 filled
//	fill       680 g/L x (850 - 60) mL = 537.2 g
//	wet        50 x 537.2 x 1.03 = 27,665.8 g; dry x 0.35 = 9,683.03 g
//	soy hull   0.42 x 9,683.03 / (1 - 0.102) = 4,528.8 g
//	pellets    0.39 x 9,683.03 / (1 - 0.065) = 4,038.9 g
//	bran       0.18 x 9,683.03 / (1 - 0.099) = 1,934.5 g
//	gypsum     0.01 x 9,683.03 = 96.83 g
//	water      27,665.8 - 4,528.8 - 4,038.9 - 1,934.5 - 96.8 = 17,066.8 g
//	mixes      27.7 kg in a mixer for 60 kg: 1
//	scales     floor (10 g): 4.53, 4.04, 1.93 and 17.07 kg; bench (0.1 g): 96.8 g
//	spawn      48 x 3 % x 537.2 = 773.6 g, with a tenth spare 850.9 g: 2 jars of 450 g, and
//	           2 spare ones: 4 to have ready
//	yield      48 x 0.95 x 0.85 x 188.02 = 7,287.7 g usual
func TestDemoBatchByHand(t *testing.T) {
	b := compute(t, input(t, "enoki-850"), 48)
	assert.Equal(t, 2, b.Controls)
	assert.Equal(t, 50, b.Filled)
	assert.Equal(t, []batch.Load{{Number: 1, Vessels: 50, Controls: 2}}, b.Loads)
	assert.Equal(t, 1, b.Mixes)
	want := map[string]float64{"soy-hull": 4.53, "hardwood-pellet": 4.04, "wheat-bran": 1.93, "gypsum": 0.0968, batch.Water: 17.07}
	for _, r := range b.Mix.Rows {
		assert.InDelta(t, want[r.ID], r.Mass, 1e-9, r.ID)
	}
	assert.InDelta(t, 0.7736, b.Value("spawn_total"), 5e-5)
	assert.InDelta(t, 4, b.Value("spawn_jars"), 0)
	assert.InDelta(t, 7.2877, b.Value("yield_usual"), 5e-4)
}
