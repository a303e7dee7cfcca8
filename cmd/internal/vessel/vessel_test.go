package vessel_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/vessel"
)

type values = map[string]float64

const (
	mm = 1e-3 // m
	mL = 1e-6 // m³
	g  = 1e-3 // kg
)

func TestBoreMeetsWorkedVolumes(t *testing.T) {
	table := checks.Open(t, "substrate")

	r := table.Row(t, "S062")
	d := r.Input(t, "d") * mm
	r.Meet(t, checks.Eval(t, vessel.BoreVolume, values{"h": r.Input(t, "depth") * mm, "d1": d, "d2": d})/mL)
	// The same bore as an opening and a depth.
	area := checks.Eval(t, vessel.MouthArea, values{"d": d})
	r.Meet(t, checks.Eval(t, vessel.NeckVolume, values{"A": area, "h": r.Input(t, "depth") * mm})/mL)

	r = table.Row(t, "S063")
	r.Meet(t, checks.Eval(t, vessel.BoreVolume, values{
		"h": r.Input(t, "h") * mm, "d1": r.Input(t, "d1") * mm, "d2": r.Input(t, "d2") * mm,
	})/mL)
}

// Fill volumes and masses of eight common vessels at 0.68 kg/L: table C6 of
// this project's substrate reference, rounded there to 1 g.
func TestFillOfCommonVessels(t *testing.T) {
	for _, c := range []struct{ fill, mass float64 }{
		{740, 503}, {790, 537}, {885, 602}, {1025, 697}, {1120, 762}, {1310, 891}, {385, 262}, {800, 544},
	} {
		got := checks.Eval(t, vessel.FillMassPressed, values{"rho": 680, "V_fill": c.fill * mL})
		assert.InDelta(t, c.mass, got/g, 0.51, "substrate reference C6, %v mL", c.fill)
	}
}

// Masses with a bore of 20 mm through a straight fill, pressed and removed: 541
// g whole and 517 g with the bore, for a cylinder of 45 mm radius and 125 mm
// height at 680 kg/m³ and a bore that stops 12 mm above the floor (this
// project's sterilization reference, section d).
func TestBoreTakesItsShare(t *testing.T) {
	fill := checks.Eval(t, vessel.BoreVolume, values{"h": 125 * mm, "d1": 90 * mm, "d2": 90 * mm})
	bore := checks.Eval(t, vessel.BoreVolume, values{"h": 113 * mm, "d1": 20 * mm, "d2": 20 * mm})
	pressed := checks.Eval(t, vessel.FillMassPressed, values{"rho": 680, "V_fill": fill})
	removed := checks.Eval(t, vessel.FillMassRemoved, values{"rho": 680, "V_fill": fill, "V_bore": bore})
	assert.InDelta(t, 541, pressed/g, 0.51)
	assert.InDelta(t, 517, removed/g, 0.51)

	assert.InEpsilon(t, 680, checks.Eval(t, vessel.PackedDensity, values{"M": pressed, "V_fill": fill}), 1e-12)
	assert.InEpsilon(t, 680, checks.Eval(t, vessel.PackedDensityRemoved, values{"M": removed, "V_fill": fill, "V_bore": bore}), 1e-12)
}

// 0.68 kg/L at 65 % is 40 % air (substrate reference C5), at 62 % it is 41 %
// (sterilization reference, section d).
func TestPorosity(t *testing.T) {
	assert.InDelta(t, 0.40, checks.Eval(t, vessel.Porosity, values{"rho": 680, "m": 0.65}), 0.0051)
	assert.InDelta(t, 0.41, checks.Eval(t, vessel.Porosity, values{"rho": 680, "m": 0.62}), 0.0051)
	assert.InDelta(t, 0, checks.Eval(t, vessel.Porosity, values{"rho": 1000, "m": 1}), 1e-12, "water has no pores")
	assert.InDelta(t, 0, checks.Eval(t, vessel.Porosity, values{"rho": 1500, "m": 0}), 1e-12, "nor has wood substance")
}

func TestHeadspaceIsTakenOff(t *testing.T) {
	assert.InEpsilon(t, 790*mL, checks.Eval(t, vessel.FillVolume, values{"V_brim": 850 * mL, "V_head": 60 * mL}), 1e-12)
}

// A bore of one width is a cylinder; turned over it holds the same; a tapered
// one lies between the cylinders of its two ends.
func TestBoreShapes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, most float64) float64 {
			return rapid.Float64Range(1, most).Draw(t, name) * mm
		}
		h, d1, d2 := draw("h", 300), draw("d1", 60), draw("d2", 60)
		bore := func(a, b float64) float64 {
			v, err := vessel.BoreVolume.At(values{"h": h, "d1": a, "d2": b})
			require.NoError(t, err)
			return v
		}
		area, err := vessel.MouthArea.At(values{"d": d1})
		require.NoError(t, err)
		cylinder, err := vessel.NeckVolume.At(values{"A": area, "h": h})
		require.NoError(t, err)
		assert.InEpsilon(t, cylinder, bore(d1, d1), 1e-12)
		assert.InEpsilon(t, bore(d1, d2), bore(d2, d1), 1e-12)
		assert.GreaterOrEqual(t, bore(d1, d2), bore(min(d1, d2), min(d1, d2))*(1-1e-12))
		assert.LessOrEqual(t, bore(d1, d2), bore(max(d1, d2), max(d1, d2))*(1+1e-12))
	})
}

// A tapered bore of 20 to 14 mm, 120 mm deep.
func Example() {
	v, _ := vessel.BoreVolume.At(map[string]float64{"h": 0.120, "d1": 0.020, "d2": 0.014})
	fmt.Printf("%s = %.1f mL\n", vessel.BoreVolume.Formula, v*1e6)
	// Output: pi * h * (d1^2 + d1 * d2 + d2^2) / 12 = 27.5 mL
}
