package lethality_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/lethality"
	"bottlecrop/cmd/internal/unit"
)

// The figures of section (c) of this project's sterilization reference, which
// names the source of each.
func TestOrganismsAreThoseOfTheReference(t *testing.T) {
	want := map[string][5]float64{ // min, max of the time in min; °C; min, max of z in K
		"geobacillus-stearothermophilus":           {4, 5, 121.1, 7.8, 12.2},
		"geobacillus-stearothermophilus-indicator": {1.5, math.Inf(1), 121, 6, math.Inf(1)},
		"clostridium-botulinum":                    {0.10, 0.20, 121.1, 7.8, 10},
		"clostridium-botulinum-stumbo":             {0.21, 0.21, 121.1, 10, 10},
		"clostridium-sporogenes":                   {0.10, 1.5, 121.1, 7.8, 10},
		"bacillus-coagulans":                       {0.01, 0.07, 121.1, 7.8, 10},
		"bacillus-licheniformis":                   {4.5, 4.5, 93.3, 15, 15},
		"neosartorya-fischeri":                     {27, 67, 80, 0, 0},
		"aspergillus-chevalieri":                   {2.2, 2.2, 82.2, 12.8, 12.8},
		"soil-molds":                               {10, 10, 90, 0, 0},
	}
	near := func(want, got, within float64, id string) {
		if math.IsInf(want, 1) {
			assert.Equal(t, want, got, id)
			return
		}
		assert.InDelta(t, want, got, within, id)
	}
	seen := map[string]bool{}
	for _, o := range lethality.Organisms() {
		w, known := want[o.ID]
		require.True(t, known, o.ID)
		assert.False(t, seen[o.ID], o.ID)
		seen[o.ID] = true
		near(w[0], inMinutes(o.Time.Low), 1e-9, o.ID)
		near(w[1], inMinutes(o.Time.High), 1e-9, o.ID)
		near(w[2], o.At.Celsius(), 1e-9, o.ID)
		near(w[3], o.Z.Low, 0.05, o.ID)
		near(w[4], o.Z.High, 0.05, o.ID)
		assert.NotEmpty(t, o.Name, o.ID)
		assert.NotEmpty(t, o.Source, o.ID)
		assert.Contains(t, []string{"confirmed", "from memory"}, o.Status, o.ID)
		assert.Equal(t, w[4] != 0, o.Z.Known(), o.ID)
	}
	assert.Len(t, seen, len(want))
}

// With the z that F was counted with, a reduction is F/D.
func TestReductionIsFOverDWhereZIsTheSame(t *testing.T) {
	series := []lethality.Point{at(0, 25), at(40, 119), at(90, 120.5), at(120, 95)}
	o := organism(t, "clostridium-botulinum-stumbo")
	got, err := o.Reduction(series, 90*60)
	require.NoError(t, err)
	logs := checks.Eval(t, lethality.LogReduction, values{"F": f(series, lethality.F0, 90*60), "D": o.Time.Low})
	assert.InEpsilon(t, logs, got.Low, 1e-12)
	assert.Equal(t, got.Low, got.High)
}

// At one temperature a reduction is the time over D there, which DAt gives.
func TestReductionCountsWithItsOwnZ(t *testing.T) {
	o := organism(t, "bacillus-licheniformis")
	d := checks.Eval(t, lethality.DAt, values{"D": o.Time.Low, "T": kelvin(108.3), "T_D": float64(o.At), "z": o.Z.Low})
	assert.InDelta(t, 0.45, inMinutes(d), 1e-9, "one z hotter is ten times faster")
	got, err := o.Reduction([]lethality.Point{at(0, 108.3), at(9, 108.3)}, lethality.ToTheEnd)
	require.NoError(t, err)
	assert.InEpsilon(t, 9/0.45, got.Low, 1e-9)

	// A range of D and z at 111.1 °C: 10 K under the temperature of D, the
	// smallest z is the slowest, and the largest the fastest.
	g := organism(t, "geobacillus-stearothermophilus")
	got, err = g.Reduction([]lethality.Point{at(0, 111.1), at(60, 111.1)}, lethality.ToTheEnd)
	require.NoError(t, err)
	assert.InEpsilon(t, 60*math.Pow(10, -10/(14*5.0/9))/5, got.Low, 1e-9)
	assert.InEpsilon(t, 60*math.Pow(10, -10/(22*5.0/9))/4, got.High, 1e-9)
}

func TestReductionBoundsEveryZOfTheRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		series := run(t)
		o := lethality.Organism{ID: "drawn", Figure: lethality.DecimalReduction, At: unit.FromCelsius(rapid.Float64Range(90, 125).Draw(t, "at"))}
		o.Z.Low = rapid.Float64Range(5, 10).Draw(t, "z")
		o.Z.High = o.Z.Low + rapid.Float64Range(0, 10).Draw(t, "more z")
		o.Time.Low = rapid.Float64Range(1, 100).Draw(t, "D")
		o.Time.High = o.Time.Low + rapid.Float64Range(0, 100).Draw(t, "more D")
		got, err := o.Reduction(series, lethality.ToTheEnd)
		require.NoError(t, err)
		lowest, highest := math.Inf(1), 0.0
		for i := range 201 {
			z := o.Z.Low + (o.Z.High-o.Z.Low)*float64(i)/200
			v := f(series, lethality.Scale{Reference: o.At, Z: z}, lethality.ToTheEnd)
			lowest, highest = min(lowest, v/o.Time.High), max(highest, v/o.Time.Low)
		}
		assert.LessOrEqual(t, got.Low, lowest*(1+1e-9))
		assert.GreaterOrEqual(t, got.High*(1+1e-9), highest)
		assert.InEpsilon(t, lowest+1e-300, got.Low+1e-300, 0.01, "no looser than need be")
	})
}

func TestReductionRefusesWhatTheSourceDoesNotBound(t *testing.T) {
	series := []lethality.Point{at(0, 121.1), at(15, 121.1)}
	for _, id := range []string{"geobacillus-stearothermophilus-indicator", "neosartorya-fischeri", "aspergillus-chevalieri", "soil-molds"} {
		o := organism(t, id)
		_, err := o.Reduction(series, lethality.ToTheEnd)
		require.ErrorContains(t, err, id)
		assert.ErrorContains(t, err, o.Source)
	}
	o := organism(t, "clostridium-botulinum")
	for _, bad := range []float64{0, -1, math.NaN()} {
		worse := o
		worse.Time.Low = bad
		_, err := worse.Reduction(series, lethality.ToTheEnd)
		assert.True(t, errors.As(err, new(lethality.RangeError)), "D %v", bad)
		worse = o
		worse.Z.Low = bad
		_, err = worse.Reduction(series, lethality.ToTheEnd)
		assert.True(t, errors.As(err, new(lethality.RangeError)), "z %v", bad)
	}
	_, err := o.Reduction([]lethality.Point{at(1, 100), at(0, 100)}, lethality.ToTheEnd)
	assert.True(t, errors.As(err, new(lethality.SeriesError)))
}
