package trace_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/unit"
)

// anyResults draws a record of batches with lots, spawn from spawn (in circles too, which
// no file may have), runs and deliveries.
func anyResults(t *rapid.T) protocol.Results {
	pick := func(prefix string, most int) string {
		return fmt.Sprintf("%s%d", prefix, rapid.IntRange(0, most).Draw(t, prefix))
	}
	goods := func() []protocol.GoodsUsed {
		var out []protocol.GoodsUsed
		for range rapid.IntRange(0, 3).Draw(t, "goods") {
			out = append(out, protocol.GoodsUsed{Ingredient: "i", Lot: pick("g", 5), Mass: 1})
		}
		return out
	}
	var r protocol.Results
	for i := range rapid.IntRange(0, 6).Draw(t, "spawns") {
		s := protocol.SpawnLot{Lot: fmt.Sprintf("s%d", i), Goods: goods()}
		if rapid.Bool().Draw(t, "from") {
			s.From = pick("s", 7)
		}
		if rapid.Bool().Draw(t, "run") {
			s.Run = pick("r", 4)
		}
		r.Spawn = append(r.Spawn, s)
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "batches") {
		b := protocol.Result{Code: fmt.Sprintf("b%d", i), Protocol: "p", Mixed: "2026-01-01", Filled: 10, Goods: goods()}
		if rapid.Bool().Draw(t, "method") {
			b.Method = pick("m", 2)
		}
		for range rapid.IntRange(0, 2).Draw(t, "loads") {
			b.Loads = append(b.Loads, protocol.LoadMade{Run: pick("r", 4), Vessels: 5})
		}
		for range rapid.IntRange(0, 2).Draw(t, "spawned") {
			b.Spawned = append(b.Spawned, protocol.Spawned{Lot: pick("s", 7), Vessels: 5})
		}
		for range rapid.IntRange(0, 3).Draw(t, "picked") {
			p := protocol.Picked{On: "2026-03-01", Mass: unit.Mass(rapid.IntRange(1, 50).Draw(t, "kg"))}
			if rapid.Bool().Draw(t, "named") {
				p.Lot = pick("h", 4)
			}
			b.Picked = append(b.Picked, p)
		}
		r.Batches = append(r.Batches, b)
	}
	for range rapid.IntRange(0, 8).Draw(t, "sent") {
		r.Sent = append(r.Sent, protocol.Sent{Lot: pick("h", 4), To: pick("c", 3), On: "2026-03-02", Mass: unit.Mass(rapid.IntRange(1, 20).Draw(t, "kg"))})
	}
	return r
}

// steps are what went directly into what, read from the record once more.
func steps(r protocol.Results) map[[2]trace.Node]bool {
	out := map[[2]trace.Node]bool{}
	put := func(k trace.Kind, code string, to trace.Node) { out[[2]trace.Node{{Kind: k, Code: code}, to}] = true }
	for _, s := range r.Spawn {
		to := trace.Node{Kind: trace.Spawn, Code: s.Lot}
		if s.From != "" {
			put(trace.Spawn, s.From, to)
		}
		if s.Run != "" {
			put(trace.Run, s.Run, to)
		}
		for _, g := range s.Goods {
			put(trace.Goods, g.Lot, to)
		}
	}
	for _, b := range r.Batches {
		to := trace.Node{Kind: trace.Batch, Code: b.Code}
		if b.Method != "" {
			put(trace.Method, b.Method, to)
		}
		for _, g := range b.Goods {
			put(trace.Goods, g.Lot, to)
		}
		for _, l := range b.Loads {
			put(trace.Run, l.Run, to)
		}
		for _, s := range b.Spawned {
			put(trace.Spawn, s.Lot, to)
		}
		for _, p := range b.Picked {
			put(trace.Batch, b.Code, trace.Node{Kind: trace.Harvest, Code: b.HarvestLot(p)})
		}
	}
	for _, s := range r.Sent {
		put(trace.Harvest, s.Lot, trace.Node{Kind: trace.Customer, Code: s.To})
	}
	return out
}

// Forward and back are the two sides of one thing, for any record and whatever circles
// are in it: one leads to another exactly when that leads back. Both are what Warshall's
// algorithm (Warshall 1962, Journal of the ACM 9:11) finds from the steps alone.
func TestForwardAndBackAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		results := anyResults(t)
		w := trace.New(trace.Input{Results: results})
		nodes := w.Nodes()
		reach := steps(results)
		for _, k := range nodes {
			for _, i := range nodes {
				for _, j := range nodes {
					if reach[[2]trace.Node{i, k}] && reach[[2]trace.Node{k, j}] {
						reach[[2]trace.Node{i, j}] = true
					}
				}
			}
		}
		forward, back := map[[2]trace.Node]bool{}, map[[2]trace.Node]bool{}
		for _, n := range nodes {
			for _, m := range w.Forward(n) {
				forward[[2]trace.Node{n, m}] = true
			}
			for _, m := range w.Back(n) {
				back[[2]trace.Node{m, n}] = true
			}
			delete(reach, [2]trace.Node{n, n}) // what comes from itself is not told of itself
		}
		require.Equal(t, reach, forward)
		require.Equal(t, forward, back)
	})
}

// No kilogram is lost: what hangs on a batch holds all that was picked of it and all that
// was sent of its lots, and what was picked is what was sent, unsold and missing.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		results := anyResults(t)
		w := trace.New(trace.Input{Results: results})
		for _, n := range w.Nodes() {
			r := w.Recall(n)
			is := map[trace.Node]bool{n: true}
			for _, m := range append(w.Forward(n), n) {
				is[m] = true
			}
			if n.Kind == trace.Customer {
				for _, m := range w.Back(n) {
					is[m] = true
				}
			}
			var picked, sent float64
			for _, b := range results.Batches {
				for _, p := range b.Picked {
					if is[trace.Node{Kind: trace.Harvest, Code: b.HarvestLot(p)}] {
						picked += float64(p.Mass)
					}
				}
			}
			told := 0.0
			for _, s := range results.Sent {
				if is[trace.Node{Kind: trace.Harvest, Code: s.Lot}] {
					sent += float64(s.Mass)
					if n.Kind != trace.Customer || s.To == n.Code {
						told += float64(s.Mass)
					}
				}
			}
			require.InDelta(t, picked, r.Total.Picked, 1e-9)
			require.InDelta(t, sent, r.Total.Sent, 1e-9)
			require.InDelta(t, r.Total.Picked, r.Total.Sent+r.Total.Unsold+r.Total.Gap, 1e-9)
			got := 0.0
			for _, d := range r.Sent {
				got += float64(d.Mass)
			}
			require.InDelta(t, told, got, 1e-9)
			for _, b := range r.Batches {
				assert.LessOrEqual(t, b.Vessels, b.Of)
				for _, p := range r.Maybe {
					require.NotEqual(t, b.Code, p.Code, "touched and perhaps touched")
				}
			}
		}
	})
}
