package trace_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// A lot of soy hull went into enoki, king oyster and oyster: all three are touched, with
// as many vessels as the mixes with that lot filled, and so are all who got of them.
func TestLotInSeveralProtocols(t *testing.T) {
	w := trace.New(demo(t))
	r := w.Recall(trace.Node{Kind: trace.Goods, Code: "H-17"})
	assert.Equal(t, []string{enoki, "king-oyster-1100-2026-09-07", "oyster-1100-2026-09-21", "enoki-850-2026-10-26", "oyster-1100-2026-11-16"}, codes(r))
	vessels := map[string]int{}
	for _, b := range r.Batches {
		vessels[b.Code] = b.Vessels
	}
	assert.Equal(t, 82, vessels[enoki], "the second mix alone, which one load of 82 was filled from; its failed run counts once")
	assert.Equal(t, 50, vessels["king-oyster-1100-2026-09-07"])
	protocols := map[string]bool{}
	for _, b := range r.Batches {
		protocols[b.Protocol] = true
	}
	assert.Len(t, protocols, 3)

	// 86 kg came; used are 7.43 + 3.36 + 22.72 + 14.86 + 22.70 = 71.07, left 14.5.
	require.NotNil(t, r.Bought)
	assert.InDelta(t, 71.07, r.Bought.Used, 1e-9)
	assert.InDelta(t, 0.43, r.Bought.Gap, 1e-9)

	// Two batches still grow, so the orders for their crops are told.
	var orders []string
	for _, o := range r.Promised {
		orders = append(orders, o.ID)
	}
	assert.Equal(t, []string{"market-enoki", "market-oyster", "spring-fair"}, orders)
}

// Grain goes through spawn, and spawn through spawn, into batches: one run of jars
// touches two protocols.
func TestThroughGenerations(t *testing.T) {
	w := trace.New(demo(t))
	r := w.Recall(trace.Node{Kind: trace.Goods, Code: "Y-02"})
	assert.Equal(t, []string{"lions-mane-950-2026-08-24", enoki, "king-oyster-1100-2026-09-07"}, codes(r))
	assert.Len(t, r.Spawn, 5)
	r = w.Recall(trace.Node{Kind: trace.Run, Code: "R-113"})
	assert.Equal(t, []string{enoki, "king-oyster-1100-2026-09-07"}, codes(r))
	assert.Contains(t, w.Back(trace.Node{Kind: trace.Harvest, Code: "E-1027"}), trace.Node{Kind: trace.Spawn, Code: "PE-3"}, "the plate behind two generations")
}

// A harvest of 22.6 kg: 21.7 were sent and 0.4 eaten, so 0.5 is missing, all of it from
// one lot, and other lots that are whole do not hide that.
func TestHarvestAddsUp(t *testing.T) {
	w := trace.New(demo(t))
	r := w.Recall(trace.Node{Kind: trace.Batch, Code: enoki})
	assert.InDelta(t, 22.6, r.Total.Picked, 1e-9)
	assert.InDelta(t, 21.7, r.Total.Sent, 1e-9)
	assert.InDelta(t, 0.4, r.Total.Unsold, 1e-9)
	assert.InDelta(t, 0.5, r.Total.Gap, 1e-9)
	v := words.English(unit.Metric)
	all := w.Recall(trace.Node{Kind: trace.Goods, Code: "H-17"})
	assert.Less(t, all.Total.Gap, trace.Close*all.Total.Picked, "a small part of all")
	require.Len(t, all.Means(), 2)
	assert.Contains(t, v.Say(all.Means()[0]), "E-1027")
	assert.False(t, all.Found())
	assert.True(t, slices.IsSortedFunc(all.Sent, func(a, b trace.Delivery) int { return -1 * compare(a.On, b.On) }), "the latest first")
}

func compare(a, b string) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// A box that has crop of two batches in it can't be told apart: the whole of it is
// touched, and the other batch is named. More that went out than was picked is told.
func TestBoxOfTwoBatches(t *testing.T) {
	pick := func(kg float64) []protocol.Picked {
		return []protocol.Picked{{On: "2026-03-01", Mass: unit.Mass(kg), Lot: "MIX"}}
	}
	w := trace.New(trace.Input{Results: protocol.Results{
		Batches: []protocol.Result{{Code: "A", Protocol: "x", Mixed: "2026-01-01", Filled: 10, Picked: pick(3), Spawned: []protocol.Spawned{{Lot: "S", Vessels: 10}}},
			{Code: "B", Protocol: "y", Mixed: "2026-01-01", Filled: 10, Picked: pick(2), Spawned: []protocol.Spawned{{Lot: "T", Vessels: 10}}}},
		Sent: []protocol.Sent{{Lot: "MIX", To: "somebody", On: "2026-03-02", Mass: 6}},
	}})
	r := w.Recall(trace.Node{Kind: trace.Spawn, Code: "S"})
	assert.Equal(t, []string{"A"}, codes(r))
	require.Len(t, r.Lots, 1)
	assert.Equal(t, []string{"B"}, r.Lots[0].Others)
	assert.InDelta(t, 5, r.Lots[0].Picked, 1e-9)
	assert.InDelta(t, -1, r.Lots[0].Gap, 1e-9)
	assert.Contains(t, words.English(unit.Metric).Say(r.Means()[0]), "more went out")
}

// A record that says nothing of a kind of thing leaves open whether it had it, unless its
// days or its protocol speak against that.
func TestBlanksWidenARecall(t *testing.T) {
	in := demo(t)
	w := trace.New(in)
	r := w.Recall(trace.Node{Kind: trace.Goods, Code: "B-04"}) // wheat bran that came on 16 February
	assert.Equal(t, []string{"enoki-850-2026-10-26"}, codes(r))
	assert.Contains(t, maybes(r), "enoki-850-2026-03-02")
	assert.NotContains(t, maybes(r), "enoki-850-2026-02-02", "mixed before it came")
	assert.NotContains(t, maybes(r), "oyster-1100-2026-05-11", "oyster has no bran")
	assert.NotContains(t, maybes(r), enoki, "which names another lot of bran")

	r = w.Recall(trace.Node{Kind: trace.Spawn, Code: "S-39"}) // enoki, full on 7 August
	assert.Equal(t, []string{"enoki-850-2026-08-03"}, maybes(r), "enoki alone; opened on 31 August, at least 20 days white, so it may have got spawn until the 11th")
	r = w.Recall(trace.Node{Kind: trace.Spawn, Code: "S-41"}) // full on 25 August
	assert.Empty(t, maybes(r), "too late for that one")

	// What runs the old batches were in is written nowhere.
	r = w.Recall(trace.Node{Kind: trace.Run, Code: "R-112"})
	assert.Contains(t, maybes(r), "maitake-quart-2026-07-20")
	assert.NotContains(t, maybes(r), "oyster-1100-2026-08-17", "mixed after that run")

	r = w.Recall(trace.Node{Kind: trace.Method, Code: "51c2-08de"})
	assert.Equal(t, []string{"enoki-850-2026-02-02", "enoki-850-2026-03-02"}, codes(r))
	assert.Contains(t, maybes(r), enoki)
}

// Spawn whose grain is written nowhere carries the question on to its batches.
func TestBlankSpawnWidensToo(t *testing.T) {
	results := protocol.Results{
		Batches: []protocol.Result{{Code: "A", Protocol: "x", Mixed: "2026-03-01", Filled: 10, Spawned: []protocol.Spawned{{Lot: "T", Vessels: 10}}},
			{Code: "B", Protocol: "x", Mixed: "2026-03-01", Filled: 10, Spawned: []protocol.Spawned{{Lot: "U", Vessels: 10}}}},
		Spawn: []protocol.SpawnLot{{Lot: "S", Goods: []protocol.GoodsUsed{{Ingredient: "rye-grain", Lot: "Y", Mass: 1}}}, {Lot: "T"}, {Lot: "U", Maker: "somebody else"}},
	}
	r := trace.New(trace.Input{Results: results}).Recall(trace.Node{Kind: trace.Goods, Code: "Y"})
	assert.Contains(t, maybes(r), "A")
	for _, p := range r.Maybe {
		if p.Code == "A" {
			assert.Contains(t, []trace.Kind{trace.Spawn, trace.Goods}, p.Open)
		}
	}
}

func TestFind(t *testing.T) {
	in := demo(t)
	in.Results.Runs = append(slices.Clone(in.Results.Runs), protocol.SterilizerRun{Code: "S-41", On: "2026-01-01"})
	w := trace.New(in)
	find := func(code string) trace.Answer { return w.Find(code) }
	for code, want := range map[string]trace.Node{
		enoki: {Kind: trace.Batch, Code: enoki}, "H-17": {Kind: trace.Goods, Code: "H-17"}, "R-117": {Kind: trace.Run, Code: "R-117"},
		"E-1027": {Kind: trace.Harvest, Code: "E-1027"}, "Restaurant (made up)": {Kind: trace.Customer, Code: "Restaurant (made up)"},
		"run:S-41": {Kind: trace.Run, Code: "S-41"}, "spawn:S-41": {Kind: trace.Spawn, Code: "S-41"},
		"51c2-08de":                   {Kind: trace.Method, Code: "51c2-08de"},
		in.Methods["enoki-850"].Full:  {Kind: trace.Method, Code: in.Methods["enoki-850"].Short},
		in.Methods["enoki-850"].Short: {Kind: trace.Method, Code: in.Methods["enoki-850"].Short},
		// A lot that has the code of its batch is the batch.
		"king-oyster-1100-2026-09-07": {Kind: trace.Batch, Code: "king-oyster-1100-2026-09-07"},
	} {
		a := find(code)
		assert.True(t, a.Found, code)
		assert.Equal(t, want, a.Node, code)
	}
	a := find("S-41")
	assert.False(t, a.Found)
	assert.Equal(t, []trace.Node{{Kind: trace.Run, Code: "S-41"}, {Kind: trace.Spawn, Code: "S-41"}}, a.Among)
	assert.Equal(t, trace.Node{Kind: trace.Harvest, Code: "E-1027"}, find("E-1072").Near[0], "two letters turned")
	assert.Equal(t, trace.Node{Kind: trace.Spawn, Code: "S-39"}, find("s-39").Near[0], "capitals")
	assert.Contains(t, find("2026-08-31").Near, trace.Node{Kind: trace.Batch, Code: enoki}, "a part of it")
	assert.Empty(t, find("something altogether different").Near)
	assert.Empty(t, find("nothing:H-17").Among)
}
