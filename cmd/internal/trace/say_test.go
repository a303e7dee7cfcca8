package trace_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// record is a made-up farm of two batches, small enough to be followed by hand: A is done
// and has all on its record, B grows and has nothing but its loads of bran.
func record() trace.Input {
	return trace.Input{
		Results: protocol.Results{
			Runs: []protocol.SterilizerRun{
				{Code: "R1", Sterilizer: "Steam 1", On: "2026-03-03"},
				{Code: "R2", Sterilizer: "Steam 1", On: "2026-03-04", Failed: "The door leaked."},
				{Code: "R3", On: "2026-03-05"},
			},
			Spawn: []protocol.SpawnLot{{Lot: "S1", Generation: 2, From: "P0", Maker: "a neighbor", Jars: 4, Full: "2026-02-20", Run: "R1"}},
			Batches: []protocol.Result{{
				Code: "A", Protocol: "x", Method: "m-0", Mixed: "2026-03-02", Filled: 20, Controls: 2, Mixes: 2,
				Goods: []protocol.GoodsUsed{
					{Ingredient: "bran", Lot: "G1", Mass: 7}, {Ingredient: "hull", Lot: "G2", Mass: 1, Mixes: []int{2}},
					{Ingredient: "chalk", Lot: "G3", Mass: 1, Mixes: []int{3}}},
				Loads: []protocol.LoadMade{
					{Run: "R1", Vessels: 12, Mixes: []int{1}, Racks: []string{"M1", "M2", "M3"}},
					{Run: "R2", Vessels: 10, Mixes: []int{2}}, {Run: "R3", Vessels: 10, Mixes: []int{2}}},
				Given: "2026-03-06", Bench: "the hood", Room: "Cold room",
				Spawned: []protocol.Spawned{{Lot: "S1", Vessels: 12}, {Lot: "S9", Vessels: 8}},
				Picked:  []protocol.Picked{{On: "2026-04-20", Mass: 3, Lot: "H1"}, {On: "2026-04-21", Mass: 2, Lot: "H2"}},
				Emptied: "2026-04-22",
			}, {
				Code: "B", Protocol: "x", Mixed: "2026-03-02", Filled: 10, Given: "2026-03-07",
			}},
			Sent: []protocol.Sent{{Lot: "H1", To: "Inn", On: "2026-04-21", Mass: 2.5, Order: "fair"}, {Lot: "H2", To: "Inn", On: "2026-04-22", Mass: 2}},
		},
		Stock:  protocol.Stock{Lots: []protocol.Lot{{ID: "G1", Ingredient: "bran", Mass: 3, Came: 10, ReceivedOn: "2026-02-01"}}},
		Orders: protocol.Orders{Orders: []protocol.Order{{ID: "fair", For: "Spring fair", Protocol: "x"}}},
		Methods: map[string]trace.Fingerprint{
			"x": {Short: "m-1", Full: "m-1-and-more"}},
		Names: map[string]string{"x": "Ex", "bran": "Wheat bran"},
	}
}

// english is what a terminal would print, whose blanks are all alike.
func english(list ...protocol.Message) []string {
	v := words.English(unit.Metric)
	var out []string
	for _, m := range list {
		out = append(out, strings.ReplaceAll(v.Say(m), "\u00a0", " "))
	}
	return out
}

func node(k trace.Kind, code string) trace.Node { return trace.Node{Kind: k, Code: code} }

// What is said of a thing is what the record has of it, and no more. The record above, by
// hand.
func TestWhatTheRecordSays(t *testing.T) {
	w := trace.New(record())
	for _, c := range []struct {
		of    trace.Node
		is    string
		about []string
	}{
		{node(trace.Goods, "G1"), "lot G1 of Wheat bran", []string{"It came on 2026-02-01; 3 kg of it is in store."}},
		{node(trace.Goods, "G2"), "lot G2 of hull", []string{"It is not in the stock any more."}},
		{node(trace.Run, "R1"), "run R1 of the sterilizer", []string{"It ran in Steam 1 on 2026-03-03."}},
		{node(trace.Run, "R2"), "run R2 of the sterilizer", []string{"It ran in Steam 1 on 2026-03-04.", "It did not hold: The door leaked."}},
		{node(trace.Run, "R3"), "run R3 of the sterilizer", []string{"It ran on 2026-03-05."}},
		{node(trace.Spawn, "S1"), "spawn lot S1", []string{"It is of generation 2.", "It was 4 jars.", "It was full grown on 2026-02-20.", "It was made by a neighbor."}},
		{node(trace.Spawn, "S9"), "spawn lot S9", []string{"The record has no entry of its own for it: nothing is known of its generation, its grain and where it is from."}},
		{node(trace.Method, "m-0"), "method m-0", nil},
		{node(trace.Method, "m-1"), `method m-1, the one of "Ex" today`, nil},
		{node(trace.Harvest, "H1"), "harvest lot H1", nil},
		{node(trace.Customer, "Inn"), "customer Inn", nil},
		{node(trace.Batch, "A"), "batch A", []string{
			"Ex: mixed on 2026-03-02, 20 vessels to grow, 2 controls.", "It was mixed in 2 mixes.",
			"12 vessels were in run R1, then on M1, M2, M3.", "10 vessels were in run R2, which did not hold.", "10 vessels were in run R3.",
			"12 vessels got spawn of lot S1, generation 2.", "8 vessels got spawn of lot S9.",
			"The first got its spawn on 2026-03-06, at the hood.", "It fruited in Cold room.", "It was emptied on 2026-04-22."}},
		{node(trace.Batch, "B"), "batch B", []string{
			"Ex: mixed on 2026-03-02, 10 vessels to grow, 0 controls.", "The first got its spawn on 2026-03-07.", "It is not emptied yet."}},
	} {
		assert.Equal(t, c.is, english(w.Said(c.of))[0])
		assert.Equal(t, c.about, english(w.About(c.of)...), "%v", c.of)
		assert.Equal(t, trace.Answer{Node: c.of, Found: true}, w.Find(trace.Written(c.of)), "the way to write it leads back to it")
	}
}

// How many vessels of A a thing touched, and how that is said. G2 was in the second mix,
// which R3 held; of G3 the record has a mix that no load names, so all are taken.
func TestHowABatchIsReached(t *testing.T) {
	w := trace.New(record())
	for _, c := range []struct {
		start   trace.Node
		vessels int
		how     string
	}{
		{node(trace.Goods, "G1"), 22, "all 22 vessels, by G1"},
		{node(trace.Goods, "G2"), 10, "10 of 22 vessels, by G2"},
		{node(trace.Goods, "G3"), 22, "all 22 vessels, by G3"},
		{node(trace.Run, "R2"), 10, "10 of 22 vessels, by R2"},
		{node(trace.Run, "R1"), 22, "all 22 vessels, by R1, S1"}, // 12 in the run and 12 with its spawn may be others
		{node(trace.Spawn, "P0"), 12, "12 of 22 vessels, by S1"},
		{node(trace.Method, "m-0"), 22, "all 22 vessels, by m-0"},
		{node(trace.Batch, "A"), 22, "all 22 vessels"},
		{node(trace.Harvest, "H1"), 0, "all 22 vessels"},
		{node(trace.Customer, "Inn"), 0, "by harvest lot H1, H2"},
	} {
		r := w.Recall(c.start)
		require.Equal(t, []string{"A"}, codes(r), "%v", c.start)
		assert.Equal(t, c.vessels, r.Batches[0].Vessels, "%v", c.start)
		assert.Equal(t, c.how, english(w.Reached(r.Batches[0], c.start))[0])
	}
}

// Why B may be touched: it has no method, no goods, no runs and no spawn on its record.
// A method that nobody has worked by yet is that of its protocol today. A day that can't be
// read keeps nothing out.
func TestWhyABatchMayBeTouched(t *testing.T) {
	for start, why := range map[trace.Node]string{
		node(trace.Method, "m-0"): "its record names no method",
		node(trace.Method, "m-1"): "its record names no method",
		node(trace.Goods, "G1"):   "its record names no lot of this ingredient, so it may be G1",
		node(trace.Run, "R3"):     "its record does not say for all vessels in which run they were, so it may be R3",
		node(trace.Spawn, "S1"):   "its record does not say for all vessels which spawn they got, so it may be S1",
	} {
		w := trace.New(record())
		r := w.Recall(start)
		require.Equal(t, []string{"B"}, maybes(r), "%v", start)
		assert.Equal(t, why, english(w.Open(r.Maybe[0]))[0])
	}
	for mixed, open := range map[string]bool{"2026-08-19": true, "2026-08-20": false, "2026-02-30": true} {
		in := record() // S1 was full grown on 20 February, and keeps 180 days
		in.Results.Batches[1].Mixed, in.Results.Batches[1].Given = mixed, ""
		assert.Equal(t, open, len(maybes(trace.New(in).Recall(node(trace.Spawn, "S1")))) > 0, mixed)
	}
}

// One trace with all that there may be to do, in the order of it, and each left out where
// there is nothing to do.
func TestWhatToDoInOrder(t *testing.T) {
	ids := func(in trace.Input, n trace.Node) []string {
		w := trace.New(in)
		var out []string
		for _, m := range w.Do(w.Recall(n)) {
			out = append(out, m.ID)
		}
		return out
	}
	in := record()
	assert.Equal(t, []string{"trace.do.hold", "trace.do.charge", "trace.do.run", "trace.do.spawn.too", "trace.do.maybe", "trace.do.tell",
		"trace.do.count", "trace.do.find", "trace.do.decide", "trace.do.cause"}, ids(in, node(trace.Run, "R1")), "half a kilogram of H1 is with nobody")
	in.Results.Batches[1].Loads = []protocol.LoadMade{{Run: "R1", Vessels: 10}}
	in.Results.Unsold = []protocol.Unsold{{Lot: "H1", Mass: 0.5, On: "2026-04-22"}}
	assert.Equal(t, []string{"trace.do.hold", "trace.do.charge", "trace.do.run", "trace.do.spawn.too", "trace.do.growing", "trace.do.tell",
		"trace.do.count", "trace.do.promised", "trace.do.decide", "trace.do.cause"}, ids(in, node(trace.Run, "R1")), "B grows, and an order waits for it")
	assert.Equal(t, []string{"All of it is accounted for: 0 g apart, and scales may differ by 1 %."}, english(trace.New(in).Recall(node(trace.Run, "R1")).Means()...))
	for n, what := range map[trace.Node]string{
		node(trace.Goods, "G2"): "trace.do.goods", node(trace.Spawn, "S9"): "trace.do.spawn", node(trace.Method, "m-0"): "trace.do.method"} {
		assert.Equal(t, what, ids(in, n)[2])
	}
	w := trace.New(record())
	r := w.Recall(node(trace.Run, "R1"))
	assert.Equal(t, "1 batch is touched, 1 more may be. 4.5 kg went to 1 customer.", english(r.Head())[0])
	assert.Equal(t, "4.5 kg of 2 harvest lots went there, from 1 batch.", english(w.Recall(node(trace.Customer, "Inn")).Head())[0])
	assert.Equal(t, "Spring fair", r.Sent[1].For, "sent to the inn, by an order of somebody else")
	assert.Empty(t, r.Sent[0].For)
}

// What became of a lot of goods: 10 kg came and 3 are left, so 7 were used; up to a
// hundredth of what came is the scales'.
func TestWhatBecameOfALot(t *testing.T) {
	for used, said := range map[unit.Mass]string{
		7:    "Of the lot 10 kg came, 7 kg was used, 3 kg is left.",
		7.09: "Of the lot 10 kg came, 7.09 kg was used, 3 kg is left.",
		6:    "Of the lot 10 kg came, 6 kg was used, 3 kg is left. 1 kg is not explained: it may have gone into a batch that does not say so.",
		8:    "Of the lot 10 kg came, 8 kg was used, 3 kg is left. That is 1 kg more than came: another lot was written down under this name.",
	} {
		in := record()
		in.Results.Batches[0].Goods[0].Mass = used - 1
		in.Results.Spawn[0].Goods = []protocol.GoodsUsed{{Ingredient: "bran", Lot: "G1", Mass: 1}} // grain takes of it too
		assert.Equal(t, said, english(trace.New(in).Recall(node(trace.Goods, "G1")).Bought.Said())[0])
	}
	assert.Nil(t, trace.New(record()).Recall(node(trace.Goods, "G2")).Bought, "nobody knows how much came")
}

// A record with blanks says which, and weighs nothing up. What was cut off is what was
// picked less what was left of it, where each picking was weighed before too; else it is
// what lay on the heap, and is not counted twice.
func TestBlanksOfABalance(t *testing.T) {
	of := func(change func(*protocol.Result)) trace.Balance {
		in := record()
		change(&in.Results.Batches[0])
		return trace.New(in).Recall(node(trace.Batch, "A")).Batches[0].Balance
	}
	assert.Equal(t, []string{
		"In 9 kg: goods 9 kg, water 0 g, spawn 0 g. Picked 5 kg, waste 0 g. Between them 4 kg.",
		"The water that was mixed in is not written down.", "The mass of the spawn is not written down for all vessels.",
		"What came out of the vessels at the end was not weighed.",
		"The protocol is gone or has errors, so nobody can say how much goes into the air.", "So nothing can be said of that difference.",
	}, english(of(func(*protocol.Result) {}).Said()...))
	noGoods := of(func(r *protocol.Result) { r.Goods, r.Water = nil, 12 })
	assert.Equal(t, "Not every ingredient has a lot with its mass.", english(noGoods.Said()...)[1])
	nothing := of(func(r *protocol.Result) { r.Goods = nil })
	assert.Equal(t, []string{"No mass of what went in is written down, so it can't be weighed up."}, english(nothing.Said()...))

	heap := func(r *protocol.Result) {
		r.Waste = []protocol.Wasted{{What: "trimmings", Mass: 0.6}, {What: "spent", Mass: 3}}
		r.Picked[0].Fresh = 3.4
	}
	one := of(heap)
	assert.InDelta(t, 0.6, one.Trimmings, 1e-12, "of the second picking nobody knows")
	both := of(func(r *protocol.Result) { heap(r); r.Picked[1].Fresh = 2.3 })
	assert.InDelta(t, 0.7, both.Trimmings, 1e-12)
	assert.InDelta(t, 5.7, both.Out, 1e-12)
	assert.InDelta(t, 3, both.Waste, 1e-12)
	assert.InDelta(t, 9-5.7-3, both.Gap, 1e-12)
}

// A batch can be followed where anything that went in is written down, or anybody who got
// of it; its method alone leads nowhere. One from which nothing was picked has no gap.
func TestWhatCanBeFollowed(t *testing.T) {
	w := trace.New(record())
	assert.True(t, w.Traceable("A"))
	assert.False(t, w.Traceable("B"))
	assert.Equal(t, []string{"Nothing of it was picked."}, english(w.Recall(node(trace.Batch, "B")).Means()...))
	in := record()
	in.Results.Batches[1].Method = "m-0"
	assert.False(t, trace.New(in).Traceable("B"))
	in.Results.Batches[1].Picked = []protocol.Picked{{On: "2026-04-20", Mass: 1, Lot: "H2"}}
	w = trace.New(in)
	assert.True(t, w.Traceable("B"), "the inn got of it")

	// Its crop went into a lot with that of A, which nothing is known against.
	r := w.Recall(node(trace.Batch, "B"))
	require.Len(t, r.Lots, 1)
	assert.Equal(t, "H2 has crop of A in it too, which can't be told apart any more", english(r.Lots[0].Shares())[0])
}
