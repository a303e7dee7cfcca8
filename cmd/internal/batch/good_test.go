package batch_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/chance"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// losing is the demo's protocol with that share of losses, on a farm that says
// nothing of how sure it wants to be.
func losing(t testing.TB, lost float64) process.Input {
	in := input(t, "enoki-850")
	in.Farm.Good = nil
	in.Protocol.Harvest.Lost = unit.Share(lost)
	return in
}

func forGood(t testing.TB, in process.Input, good int) *batch.Batch {
	t.Helper()
	b, err := batch.ForGood(plan(t, in), good)
	require.NoError(t, err)
	return b
}

// The table of spares of the reference on schedules, section (e), at the losses of
// the demo farm and around them: computed there with another program.
func TestVesselsForGoodOnes(t *testing.T) {
	for lost, want := range map[float64]map[int]int{
		0.01: {12: 13, 24: 25, 100: 103, 200: 205, 400: 408},
		0.02: {12: 13, 24: 26, 100: 105, 200: 208, 400: 413},
		0.03: {12: 14, 24: 26, 100: 106, 200: 211, 400: 419},
		0.05: {12: 14, 24: 27, 100: 109, 200: 216, 400: 429},
	} {
		p := plan(t, losing(t, lost))
		for good, vessels := range want {
			b, err := batch.ForGood(p, good)
			require.NoError(t, err)
			assert.Equal(t, vessels, b.Vessels, "%d good at %v", good, lost)
			assert.Equal(t, good, b.Good)
		}
	}
}

// 400 at 2 % with s = 200 and 50, at 5 % with the same: the same section.
func TestVesselsWhereLossesCluster(t *testing.T) {
	for _, c := range []struct {
		lost       float64
		clustering int
		want       int
	}{{0.02, 200, 418}, {0.02, 50, 426}, {0.05, 200, 436}, {0.05, 50, 450}} {
		in := losing(t, c.lost)
		in.Farm.Good = &protocol.Good{Confidence: 0.95, Clustering: c.clustering}
		assert.Equal(t, c.want, forGood(t, in, 400).Vessels, "%+v", c)
	}
}

// Decision 26 of the project: controls come on top, and the whole adds up.
func TestControlsComeOnTop(t *testing.T) {
	b := forGood(t, losing(t, 0.05), 400)
	assert.Equal(t, 429, b.Vessels)
	assert.Equal(t, len(b.Loads)*2, b.Controls)
	assert.Equal(t, b.Vessels+b.Controls, b.Filled)
	same, err := batch.Compute(b.Process, 429)
	require.NoError(t, err)
	assert.Equal(t, same.Mix, b.Mix)
	assert.Equal(t, same.Runs, b.Runs)
	assert.Equal(t, same.Value("sold_usual"), b.Value("sold_usual"), "the yield that is expected stays what it was")
}

// The number explains itself: its law, read back, gives it again.
func TestVesselsForGoodOnesAreWorkedOut(t *testing.T) {
	in := losing(t, 0.05)
	b := forGood(t, in, 400)
	q := b.Ledger.Get("vessels")
	require.Equal(t, "fill(good, confidence, lost, clustering)", q.Law.Formula)
	at := map[string]float64{}
	for _, x := range q.Inputs {
		at[x.Symbol] = x.Quantity.Value
	}
	v, err := q.Law.At(at)
	require.NoError(t, err)
	assert.Equal(t, 429.0, v)
	assert.Equal(t, batch.GoodFlag, b.Ledger.Get("good_wanted").Origin.Document)
	assert.NotEmpty(t, b.Ledger.Get("confidence").Source)

	in.Farm.Good = &protocol.Good{Confidence: 0.99}
	sure := forGood(t, in, 400)
	assert.Equal(t, "good.confidence", sure.Ledger.Get("confidence").Origin.Key)
	assert.Greater(t, sure.Vessels, 429)
}

// What would fill the crates and the loads is offered, and was not added.
func TestMoreIsOffered(t *testing.T) {
	in := losing(t, 0.05)
	b := forGood(t, in, 400) // 429 + 8 controls in 4 loads of 120, in crates of 10
	crate, loads := b.More()
	assert.Equal(t, 3, crate)
	assert.Equal(t, 43, loads)
	more, err := batch.Compute(b.Process, b.Vessels+loads)
	require.NoError(t, err)
	assert.Len(t, more.Loads, len(b.Loads))
	assert.Equal(t, 1.0, more.Value("load_filled"))
	crate, loads = more.More()
	assert.Zero(t, crate+loads, "nobody asked for good ones")

	// 472 + 8 fill four loads, but no crates of 7: more for these would be a fifth load.
	in.Farm.Crate = &protocol.Crate{Vessels: 7, Empty: 1}
	p := plan(t, in)
	good := 400
	for b.Vessels < 470 {
		good++
		b, err = batch.ForGood(p, good)
		require.NoError(t, err)
	}
	crate, loads = b.More()
	assert.Zero(t, crate)
	assert.Equal(t, 472-b.Vessels, loads)
}

// A mass to sell is so many good vessels as yield it.
func TestForMass(t *testing.T) {
	p := plan(t, losing(t, 0.05))
	each := p.Value("yield_in_vessel_usual") * (1 - p.Value("trim_share"))
	for _, c := range []struct {
		mass float64
		good int
	}{{each * 400, 400}, {each * 399.2, 400}, {each / 2, 1}} {
		b, err := batch.ForMass(p, unit.Mass(c.mass))
		require.NoError(t, err)
		assert.Equal(t, c.good, b.Good)
		assert.Equal(t, forGoodOf(t, p, c.good).Vessels, b.Vessels)
		assert.Equal(t, protocol.OrdersDocument, b.Ledger.Get("mass_wanted").Origin.Document)
	}
	for _, mass := range []float64{0, -1, math.NaN()} {
		_, err := batch.ForMass(p, unit.Mass(mass))
		assert.ErrorContains(t, err, "a mass above zero is possible")
	}
	_, err := batch.ForMass(p, unit.Mass(1e9))
	assert.ErrorContains(t, err, "good vessels; 1 to 100000 are possible")
}

func forGoodOf(t testing.TB, p *process.Process, good int) *batch.Batch {
	t.Helper()
	b, err := batch.ForGood(p, good)
	require.NoError(t, err)
	return b
}

func TestForGoodOutOfRange(t *testing.T) {
	in := losing(t, 0.05)
	p := plan(t, in)
	for _, good := range []int{0, -1, 100_001} {
		_, err := batch.ForGood(p, good)
		assert.ErrorContains(t, err, "good vessels; 1 to 100000 are possible")
	}
	var many *batch.TooMany
	_, err := batch.ForGood(p, 100_000)
	require.ErrorAs(t, err, &many)
	assert.Equal(t, 100_000, many.Good)
	assert.Greater(t, many.Vessels, 105_000)

	// The largest number of good ones that so many vessels give.
	b := forGoodOf(t, p, 94_886)
	assert.LessOrEqual(t, b.Vessels, 100_000)
	assert.Equal(t, 100_000, b.Vessels)

	in.Protocol.Harvest.Lost = 0.25
	in.Farm.Good = &protocol.Good{Confidence: 0.95, Clustering: 1} // one batch of ten is lost as a whole
	_, err = batch.ForGood(plan(t, in), 12)
	var never *batch.NeverEnough
	require.ErrorAs(t, err, &never)
	assert.ErrorContains(t, err, "for 12 good ones in 0.95 of all batches not even ten times as many are enough: 0.25 are lost")
	in.Farm.Good = &protocol.Good{Confidence: 1}
	refused, err := process.Plan(in)
	require.NoError(t, err)
	_, err = batch.ForGood(refused, 12)
	assert.ErrorContains(t, err, "has errors")
	_, err = batch.ForMass(refused, 12)
	assert.ErrorContains(t, err, "has errors")
}

// More good ones, more confidence, more losses, and tighter clusters never need
// fewer vessels; and one vessel less than what is filled would not be enough.
func TestVesselsRise(t *testing.T) {
	base := losing(t, 0.05)
	rapid.Check(t, func(rt *rapid.T) {
		good := rapid.IntRange(1, 2000).Draw(rt, "good")
		lost := rapid.Float64Range(0.001, 0.25).Draw(rt, "lost")
		sure := rapid.Float64Range(0.55, 0.98).Draw(rt, "confidence")
		of := func(good int, lost, sure float64) int {
			in := base
			in.Protocol.Harvest.Lost = unit.Share(lost)
			in.Farm.Good = &protocol.Good{Confidence: unit.Share(sure)}
			p, err := process.Plan(in)
			require.NoError(rt, err)
			b, err := batch.ForGood(p, good)
			require.NoError(rt, err)
			return b.Vessels
		}
		n := of(good, lost, sure)
		assert.GreaterOrEqual(rt, of(good+rapid.IntRange(1, 50).Draw(rt, "more"), lost, sure), n)
		assert.GreaterOrEqual(rt, of(good, lost+0.02, sure), n)
		assert.GreaterOrEqual(rt, of(good, lost, sure+0.015), n)
		l := chance.Loss{Share: lost}
		enough, err := l.AtMost(n-good, n)
		require.NoError(rt, err)
		assert.GreaterOrEqual(rt, enough, sure)
		if n > good {
			short, err := l.AtMost(n-1-good, n-1)
			require.NoError(rt, err)
			assert.Less(rt, short, sure)
		}
	})
}
