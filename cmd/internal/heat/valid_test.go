package heat_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/working"
)

func bottle() heat.Problem {
	p := prototype("bottle 850 mL", 0, 0.016, 0.3, 40*minute, 90*minute)
	p.Grid = heat.Grid{Radial: 8, Axial: 8, Step: 60}
	return p
}

// Each case changes one thing in a sound problem; the error names it, what was
// found and what is taken.
func TestRefusesWhatMakesNoSense(t *testing.T) {
	nan := math.NaN()
	long := make(heat.Profile, 1_000_001)
	for i := range long {
		long[i] = heat.Point{Time: float64(i), Temperature: 300}
	}
	falling, err := heat.Varying(func(k float64) (float64, error) { return 10 - k/30, nil }, 290, 400)
	require.NoError(t, err)
	narrow, err := heat.Varying(func(k float64) (float64, error) { return 0.3, nil }, 290, 350)
	require.NoError(t, err)
	for name, c := range map[string]struct {
		change func(*heat.Problem)
		says   string
	}{
		"no radius":          {func(p *heat.Problem) { p.Body.Radius = 0 }, "body's radius is 0 m"},
		"negative height":    {func(p *heat.Problem) { p.Body.Height = -0.1 }, "body's height is -0.1 m"},
		"a mine":             {func(p *heat.Problem) { p.Body.Height = 20 }, "body's height"},
		"radius no number":   {func(p *heat.Problem) { p.Body.Radius = nan }, "body's radius is NaN m"},
		"hole as wide":       {func(p *heat.Problem) { p.Hole.Radius = 0.045 }, "hole's radius is 0.045 m"},
		"hole too deep":      {func(p *heat.Problem) { p.Hole.Depth = 0.126 }, "hole's depth is 0.126 m; 0 to 0.125 is taken"},
		"negative hole":      {func(p *heat.Problem) { p.Hole.Radius = -0.01 }, "hole's radius"},
		"hole without depth": {func(p *heat.Problem) { p.Hole.Depth = 0 }, "give both, or neither"},
		"frozen":             {func(p *heat.Problem) { p.Start = 20 }, "starting temperature is 20 K"},
		"no end":             {func(p *heat.Problem) { p.HoldTo = math.Inf(1) }, "end of the hold"},
		"hold backward":      {func(p *heat.Problem) { p.HoldTo = p.HoldFrom - 1 }, "it can't end before it begins"},
		"end in the hold":    {func(p *heat.Problem) { p.End = p.HoldTo - 1 }, "end of the solution"},
		"no time":            {func(p *heat.Problem) { p.HoldFrom, p.HoldTo = 0, 0 }, "must take time"},
		"reference":          {func(p *heat.Problem) { p.Dose.Reference = 121 }, "dose's reference temperature is 121 K"},
		"no z":               {func(p *heat.Problem) { p.Dose.Z = 0 }, "dose's z is 0 K"},
		"two cells":          {func(p *heat.Problem) { p.Grid.Radial = 2 }, "radial cells is 2;"},
		"no step":            {func(p *heat.Problem) { p.Grid.Step = 0 }, "time step is 0 s"},
		"endless work":       {func(p *heat.Problem) { p.End, p.Grid.Step = 9e6, 1 }, "number of steps"},
		"endless memory":     {func(p *heat.Problem) { p.End = 9e6; p.Grid = heat.Grid{Radial: 100, Axial: 100, Step: 60} }, "cells times steps"},
		"negative side":      {func(p *heat.Problem) { p.Surfaces.Side = -1 }, "conductance of the side is -1"},
		"endless top":        {func(p *heat.Problem) { p.Surfaces.Top = math.Inf(1) }, "conductance of the top is +Inf"},
		"later hole": {func(p *heat.Problem) {
			p.Later = &heat.Later{At: 100, Surfaces: heat.Surfaces{Hole: nan}}
		}, "later conductance of the hole is NaN"},
		"later than the end": {func(p *heat.Problem) { p.Later = &heat.Later{At: 1e6} }, "time of the later conductances"},
		"no profile":         {func(p *heat.Problem) { p.Chamber = nil }, "points of the profile is 0"},
		"one point":          {func(p *heat.Problem) { p.Chamber = p.Chamber[:1] }, "points of the profile is 1"},
		"a million rows":     {func(p *heat.Problem) { p.Chamber = long }, "points of the profile is 1.000001e+06"},
		"late start":         {func(p *heat.Problem) { p.Chamber[0].Time = 5 }, "begins at 5 s"},
		"backward":           {func(p *heat.Problem) { p.Chamber[2].Time = 1 }, "point 3 of the profile is at 1 s after one at 1200 s"},
		"time no number":     {func(p *heat.Problem) { p.Chamber[1].Time = nan }, "point 2 of the profile is at NaN s"},
		"Celsius":            {func(p *heat.Problem) { p.Chamber[3].Temperature = 121 }, "temperature of point 4 of the profile is 121 K"},
		"profile no number":  {func(p *heat.Problem) { p.Chamber[3].Temperature = nan }, "temperature of point 4 of the profile is NaN K"},
		"no conductivity":    {func(p *heat.Problem) { p.Matter.Conductivity = heat.Property{} }, "conductivity is 0 W/(m·K)"},
		"negative k":         {func(p *heat.Problem) { p.Matter.Conductivity = heat.Constant(-0.3) }, "conductivity is -0.3"},
		"copper":             {func(p *heat.Problem) { p.Matter.Conductivity = heat.Constant(400) }, "conductivity is 400"},
		"k turns negative":   {func(p *heat.Problem) { p.Matter.Conductivity = falling }, "conductivity at "},
		"k not known hot":    {func(p *heat.Problem) { p.Matter.Conductivity = narrow }, "hottest temperature is 394.1"},
		"heat per mass":      {func(p *heat.Problem) { p.Matter.HeatCapacity = heat.Constant(3150) }, "heat capacity is 3150 J/(m³·K)"},
		"air in percent":     {func(p *heat.Problem) { p.Matter.Vapor = pores(41) }, "air-filled share is 41"},
		"no tortuosity":      {func(p *heat.Problem) { p.Matter.Vapor = &heat.Vapor{AirFilled: 0.4, MostFactor: 5, Ambient: 1e5} }, "tortuosity is 0"},
		"ambient in kPa": {func(p *heat.Problem) {
			p.Matter.Vapor = &heat.Vapor{AirFilled: 0.4, Tortuosity: 0.66, MostFactor: 5, Ambient: 101}
		}, "pressure of the ambient air is 101 Pa"},
	} {
		p := bottle()
		c.change(&p)
		_, err := heat.Solve(p)
		assert.ErrorContains(t, err, c.says, name)
		_, err = heat.Holds(p, 100*minute, 0)
		if p.HoldTo >= p.HoldFrom && p.End == 0 && p.HoldTo < 1e6 && p.HoldTo > 0 && name != "later than the end" {
			assert.ErrorContains(t, err, c.says, name)
		}
	}
	_, err = heat.Solve(bottle())
	assert.NoError(t, err)
}

func TestHoldsRefusesWhatItCannotTell(t *testing.T) {
	for name, c := range map[string][2]float64{
		"no hold": {0, 900}, "backward": {-60, 900}, "no number": {math.NaN(), 900}, "negative dose": {6000, -1}, "dose no number": {6000, math.NaN()},
	} {
		_, err := heat.Holds(bottle(), c[0], c[1])
		var r working.RangeError
		assert.True(t, errors.As(err, &r), name)
	}
	h, err := heat.Holds(bottle(), 60*minute, 0)
	require.NoError(t, err)
	_, err = h.For(1000 * minute)
	assert.ErrorContains(t, err, "a hold of 3600 s gives the slowest place a dose of")
	_, err = h.For(math.NaN())
	assert.Error(t, err)
	_, err = h.After(61 * minute)
	assert.Error(t, err)
	hold, err := h.For(0)
	require.NoError(t, err)
	assert.Zero(t, hold)
}

func TestVaryingRefuses(t *testing.T) {
	f := func(k float64) (float64, error) { return heat.DryHeatCapacity.At(values{"T": k}) }
	_, err := heat.Varying(f, 270, 400)
	assert.ErrorContains(t, err, "temperature of wood is 270 K; 280 to 420 is taken")
	_, err = heat.Varying(f, 300, 300)
	assert.Error(t, err)
	_, err = heat.Varying(f, math.NaN(), 300)
	assert.Error(t, err)
	p, err := heat.Varying(f, 280, 420)
	require.NoError(t, err)
	assert.InDelta(t, 1263.2, p.At(300), 1e-9, "Wood Handbook, 300 K")
}
