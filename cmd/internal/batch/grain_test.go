package batch_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// The demo's 400 enoki bottles, worked by hand after substrate reference D3 and D4.
//
//	spawn    400 x 537.2 g x 3 % = 6.446 kg: 15 jars of 450 g; with 10 % on top 7.09 kg, which
//	         is the reference's 16; but two jars to spare (D5) are 17
//	a jar    270 g of rye at 14 % is 232.2 g dry; at 52 % wet 483.75 g, which takes up 213.75 g,
//	         and 95 % of it, 459.6 g, comes out: more than 450
//	gen. 2   17 and 1 control are 18: 4.86 kg of rye, 8.7075 kg drained, 3.8475 kg of water,
//	         24.3 g of gypsum, one run of 100 places
//	gen. 1   17 / 9 is 2 jars, 4 with two to spare; 5 with a control: 1.35 kg of rye
//	plates   4 / 4 is 1, and 1 to spare
//	days     14 + 3 = 17 a generation: -17 and soaked -19, -34 and -36; plates 12 before: -46
func TestGrainByHand(t *testing.T) {
	b := compute(t, input(t, "enoki-850"), 400)
	require.Len(t, b.Demands, 2)
	day := func(n float64) unit.Duration { return unit.Duration(n * unit.Day) }
	last, first := b.Demands[0], b.Demands[1]
	assert.Equal(t, []int{2, 15, 17, 1, 18, 1}, []int{last.Generation, last.Needed, last.Made, last.Controls, last.Jars, last.Runs})
	for want, got := range map[float64]float64{4.86: last.Grain, 8.7075: last.Drained, 3.8475: last.Water, 0.0243: last.Gypsum, 1.35: first.Grain} {
		assert.InDelta(t, want, got, 1e-9)
	}
	assert.Equal(t, []unit.Duration{day(19), day(17), 0}, []unit.Duration{last.Soak, last.Start, last.Ready})
	assert.Equal(t, []int{1, 2, 4, 1, 5, 1}, []int{first.Generation, first.Needed, first.Made, first.Controls, first.Jars, first.Runs})
	assert.Equal(t, []unit.Duration{day(36), day(34), day(17)}, []unit.Duration{first.Soak, first.Start, first.Ready})
	assert.Equal(t, batch.Plates{Needed: 1, Made: 2, Start: day(46), Ready: day(34)}, b.Plates)
	assert.InDelta(t, 7*unit.Day, b.Value("grain_waits"), 1e-6)
	assert.InDelta(t, 0.459, b.Value("grain_usable"), 6e-4)
}

// The forward plan turned round gives the number that it was made for; and more
// vessels never ask for fewer jars, less grain or fewer plates.
func TestGrainForwardAndBack(t *testing.T) {
	p := plan(t, input(t, "enoki-850"))
	var before *batch.Batch
	for n := 12; n <= 1000; n++ {
		b, err := batch.Compute(p, n)
		require.NoError(t, err)
		assert.InDelta(t, float64(n), b.Value("spawn_serves"), 0)
		if before != nil {
			grows(t, before, b)
		}
		before = b
	}
}

func grows(t require.TestingT, small, large *batch.Batch) {
	assert.LessOrEqual(t, small.Plates.Made, large.Plates.Made)
	for i, d := range large.Demands {
		s := small.Demands[i]
		assert.LessOrEqual(t, s.Made, d.Made)
		assert.LessOrEqual(t, s.Jars, d.Jars)
		assert.LessOrEqual(t, s.Grain, d.Grain)
		assert.LessOrEqual(t, s.Runs, d.Runs)
	}
}

// What no chain may break, for farms of all kinds: each generation is enough for
// the next with two jars to spare, has a control in each run, and is soaked,
// inoculated and used in this order; water and grain make up the drained mass.
func TestGrainChain(t *testing.T) {
	base := input(t, "enoki-850")
	rapid.Check(t, func(rt *rapid.T) {
		in := base
		g := *in.Farm.Grain
		g.Generations = rapid.IntRange(1, 3).Draw(rt, "generations")
		g.JarsOfJar = rapid.IntRange(2, 20).Draw(rt, "ratio")
		g.JarsOfPlate = rapid.IntRange(1, 12).Draw(rt, "plate")
		g.Controls = rapid.IntRange(1, 10).Draw(rt, "controls")
		in.Farm.Grain = &g
		p, err := process.Plan(in)
		require.NoError(rt, err)
		require.NotEqual(rt, protocol.Error, protocol.Worst(p.Findings))
		b, err := batch.Compute(p, rapid.IntRange(1, 3000).Draw(rt, "vessels"))
		require.NoError(rt, err)
		require.Len(rt, b.Demands, g.Generations)
		takes := 0 // jars that the generation after is inoculated in; 0 for the vessels
		for i, d := range b.Demands {
			assert.Equal(rt, g.Generations-i, d.Generation)
			assert.GreaterOrEqual(rt, d.Made, d.Needed+2)
			assert.Equal(rt, d.Runs*g.Controls, d.Controls)
			assert.Equal(rt, d.Made+d.Controls, d.Jars)
			assert.LessOrEqual(rt, d.Jars, d.Runs*p.Grain.Holds)
			if takes > 0 {
				assert.GreaterOrEqual(rt, d.Needed*g.JarsOfJar, takes)
				assert.Less(rt, (d.Needed-1)*g.JarsOfJar, takes)
			} else {
				assert.GreaterOrEqual(rt, float64(d.Needed)*b.Value("jar_usable"), b.Value("spawn_total")*(1-1e-9))
			}
			takes = d.Made
			assert.Greater(rt, d.Soak, d.Start)
			assert.Greater(rt, d.Start, d.Ready)
			assert.InDelta(rt, d.Drained, d.Grain+d.Water, 1e-9*math.Max(1, d.Drained))
		}
		assert.GreaterOrEqual(rt, b.Plates.Needed*g.JarsOfPlate, takes)
		assert.Equal(rt, b.Plates.Needed+1, b.Plates.Made)
		assert.Greater(rt, b.Plates.Start, b.Plates.Ready)
	})
}

// A farm that buys its spawn has no demands, and nothing of grain in its ledger.
func TestGrainIsBought(t *testing.T) {
	in := input(t, "enoki-850")
	in.Farm.Grain = nil
	b := compute(t, in, 48)
	assert.Nil(t, b.Demands)
	assert.Nil(t, b.Ledger.Get("grain_in_jar"))
	assert.Nil(t, b.Ledger.Get("plates"))
}
