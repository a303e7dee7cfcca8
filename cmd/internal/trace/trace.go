// Package trace follows what is written down of batches: which lots, spawn, runs and
// method went into a batch, and to whom what was picked of it went. Forward from a lot,
// a run, a method or a batch to customers, and back from a batch or a lot of a harvest to
// what went in; what the record leaves open is told, since a blank in a record widens a
// recall. It weighs what went in against what came out.
//
// It changes nothing, and no number of a sheet depends on it.
package trace

import (
	"cmp"
	"slices"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
)

// Kind is what a code stands for.
type Kind string

// The kinds, in the order from what goes in to who gets it.
const (
	Method   Kind = "method"   // a protocol's fingerprint, as printed on a record
	Goods    Kind = "goods"    // a lot of an ingredient
	Run      Kind = "run"      // of a sterilizer
	Spawn    Kind = "spawn"    // a lot of it
	Batch    Kind = "batch"    //
	Harvest  Kind = "harvest"  // a lot of it
	Customer Kind = "customer" //
)

// Kinds are all kinds in their order.
var Kinds = []Kind{Method, Goods, Run, Spawn, Batch, Harvest, Customer}

// Node is one thing that a code stands for.
type Node struct {
	Kind Kind
	Code string
}

func (a Node) before(b Node) int {
	return cmp.Or(cmp.Compare(slices.Index(Kinds, a.Kind), slices.Index(Kinds, b.Kind)), cmp.Compare(a.Code, b.Code))
}

// Input is all that a trace depends on.
type Input struct {
	Results   protocol.Results
	Stock     protocol.Stock
	Orders    protocol.Orders
	Processes map[string]*process.Process // by the protocol's name, those without errors
	Methods   map[string]Fingerprint      // likewise
	Names     map[string]string           // of ingredients and protocols, as people call them
}

// Fingerprint is that of a protocol's method as it is now, as records have it and whole.
type Fingerprint struct{ Short, Full string }

// Web is everything that is written down, with what went into what.
type Web struct {
	Input
	next, prev map[Node][]Node
	batches    map[string]protocol.Result
	spawn      map[string]protocol.SpawnLot
	runs       map[string]protocol.SterilizerRun
	stock      map[string]protocol.Lot
	goods      map[string]string // the ingredient of each lot
}

// New puts the web together.
func New(in Input) *Web {
	w := &Web{Input: in, next: map[Node][]Node{}, prev: map[Node][]Node{}, batches: map[string]protocol.Result{},
		spawn: map[string]protocol.SpawnLot{}, runs: map[string]protocol.SterilizerRun{}, stock: map[string]protocol.Lot{}, goods: map[string]string{}}
	for _, l := range in.Stock.Lots {
		w.stock[l.ID], w.goods[l.ID] = l, l.Ingredient
		w.node(Node{Goods, l.ID})
	}
	for _, r := range in.Results.Runs {
		w.runs[r.Code] = r
		w.node(Node{Run, r.Code})
	}
	for _, m := range in.Methods {
		w.node(Node{Method, m.Short})
	}
	for _, s := range in.Results.Spawn {
		w.spawn[s.Lot] = s
		to := Node{Spawn, s.Lot}
		w.node(to)
		if s.From != "" {
			w.link(Node{Spawn, s.From}, to)
		}
		if s.Run != "" {
			w.link(Node{Run, s.Run}, to)
		}
		w.used(s.Goods, to)
	}
	for _, b := range in.Results.Batches {
		w.batches[b.Code] = b
		to := Node{Batch, b.Code}
		w.node(to)
		if b.Method != "" {
			w.link(Node{Method, b.Method}, to)
		}
		w.used(b.Goods, to)
		for _, l := range b.Loads {
			w.link(Node{Run, l.Run}, to)
		}
		for _, s := range b.Spawned {
			w.link(Node{Spawn, s.Lot}, to)
		}
		for _, p := range b.Picked {
			w.link(to, Node{Harvest, b.HarvestLot(p)})
		}
	}
	for _, s := range in.Results.Sent {
		w.link(Node{Harvest, s.Lot}, Node{Customer, s.To})
	}
	for _, of := range []map[Node][]Node{w.next, w.prev} {
		for n, list := range of {
			slices.SortFunc(list, Node.before)
			of[n] = slices.Compact(list)
		}
	}
	return w
}

func (w *Web) used(goods []protocol.GoodsUsed, to Node) {
	for _, g := range goods {
		w.goods[g.Lot] = g.Ingredient
		w.link(Node{Goods, g.Lot}, to)
	}
}

// node has a node known, though nothing may lead to it or from it.
func (w *Web) node(n Node) {
	if _, known := w.next[n]; !known {
		w.next[n] = nil
	}
	if _, known := w.prev[n]; !known {
		w.prev[n] = nil
	}
}

func (w *Web) link(from, to Node) {
	w.node(from)
	w.node(to)
	w.next[from] = append(w.next[from], to)
	w.prev[to] = append(w.prev[to], from)
}

// Nodes are all that is known, sorted.
func (w *Web) Nodes() []Node {
	var out []Node
	for n := range w.next {
		out = append(out, n)
	}
	slices.SortFunc(out, Node.before)
	return out
}

// Forward is all that something went into, and who got of it, sorted.
func (w *Web) Forward(n Node) []Node { return reach(w.next, n) }

// Back is all that went into something, sorted.
func (w *Web) Back(n Node) []Node { return reach(w.prev, n) }

// reach follows steps as far as they lead. Each node is visited once, so that a circle,
// which the reader of files refuses, would not hang it either.
func reach(step map[Node][]Node, from Node) []Node {
	seen := map[Node]bool{from: true}
	var out []Node
	for todo := []Node{from}; len(todo) > 0; {
		n := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, m := range step[n] {
			if !seen[m] {
				seen[m] = true
				out, todo = append(out, m), append(todo, m)
			}
		}
	}
	slices.SortFunc(out, Node.before)
	return out
}

// Of are those of a kind.
func Of(kind Kind, list []Node) []Node {
	var out []Node
	for _, n := range list {
		if n.Kind == kind {
			out = append(out, n)
		}
	}
	return out
}

// Result is a batch as written down.
func (w *Web) Result(code string) protocol.Result { return w.batches[code] }
