package trace

import (
	"slices"
	"strings"

	"bottlecrop/cmd/internal/protocol"
)

// Answer is what a code was found to stand for: one thing, several, or none.
type Answer struct {
	Node  Node
	Found bool
	Among []Node // the things that it may stand for, where there are several
	Near  []Node // what was perhaps meant, where there is none
}

// mostNear is how many codes are offered in place of one that there is not.
const mostNear = 5

// Find looks a code up among batches, lots, runs, methods and customers. A code that
// several things have is told apart by its kind before it, "run:R-12". A lot of a harvest
// that has the code of its batch is found as the batch.
func (w *Web) Find(code string) Answer {
	all := w.Nodes()
	var hits []Node
	for _, n := range all {
		if n.Code == code {
			hits = append(hits, n)
		}
	}
	for _, m := range w.Methods {
		if n := (Node{Method, m.Short}); m.Full == code && !slices.Contains(hits, n) {
			hits = append(hits, n)
		}
	}
	batch := Node{Batch, code}
	if harvest := slices.Index(hits, Node{Harvest, code}); harvest >= 0 && slices.Contains(hits, batch) && slices.Equal(w.prev[Node{Harvest, code}], []Node{batch}) {
		hits = slices.Delete(hits, harvest, harvest+1)
	}
	switch len(hits) {
	case 1:
		return Answer{Node: hits[0], Found: true}
	case 0:
		if kind, rest, ok := strings.Cut(code, ":"); ok {
			if n := (Node{Kind(kind), rest}); slices.Contains(all, n) {
				return Answer{Node: n, Found: true}
			}
		}
		return Answer{Near: near(code, all)}
	}
	return Answer{Among: hits}
}

// near are codes like one that there is not: the nearest by letters first, then those
// that have it in them or differ by capitals.
func near(code string, all []Node) []Node {
	var codes []string
	for _, n := range all {
		codes = append(codes, n.Code)
	}
	var out []Node
	take := func(ok func(Node) bool) {
		for _, n := range all {
			if len(out) < mostNear && ok(n) && !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
	}
	if best := protocol.Nearest(code, codes); best != "" {
		take(func(n Node) bool { return n.Code == best })
	}
	folded := strings.ToLower(code)
	take(func(n Node) bool { return strings.ToLower(n.Code) == folded })
	if len(folded) > 1 {
		take(func(n Node) bool { return strings.Contains(strings.ToLower(n.Code), folded) })
	}
	return out
}
