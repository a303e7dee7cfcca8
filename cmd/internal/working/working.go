// Package working computes quantities in a way that explains itself. A Law is
// a formula as text, and that text is what is evaluated: the printed formula
// and the calculation cannot drift apart. A Ledger keeps every quantity in the
// order in which it was worked out, with its inputs, so that a page can show
// behind any figure where it came from.
//
// A formula is a relation between quantities, not between bare numbers: it is
// evaluated in SI units, and its printed inputs carry their units.
package working

import (
	"fmt"
	"math"
	"slices"

	"bottlecrop/cmd/internal/unit"
)

// Origin is where a given value was written: a document (a path in the farm
// folder, or a flag of the command line) and the dotted path of its key.
type Origin struct {
	Document string // "protocols/enoki-850.toml", "--moisture"
	Key      string // "substrate.moisture_wb", "substrate.ingredient[1].share_dm"
}

// Law is a formula with its source. Laws are package variables of the part of
// the trade that they belong to; they are parsed once, at start.
type Law struct {
	Formula string // as evaluated and as printed
	Source  string // publication, or "definition", or "common practice, no source"
	node    node
	symbols []string
}

// Function is a relation that no short formula can carry, such as a steam
// table. It returns an error outside the range in which it holds.
type Function func(args ...float64) (float64, error)

// NewLaw parses a formula. Functions beyond the built-in ones (round, ceil,
// floor, min, max, abs, sqrt, exp, ln) are given by name. A formula that does
// not parse is a programmer's error and panics at start.
func NewLaw(formula, source string, functions map[string]Function) *Law {
	for name := range functions {
		// Found by the parser first, so the function given would never be used.
		if _, taken := builtins[name]; taken {
			panic(fmt.Sprintf("working: law %q: %s is a built-in function", formula, name))
		}
	}
	n, err := parse(formula, functions)
	if err != nil {
		panic(fmt.Sprintf("working: law %q: %v", formula, err))
	}
	return &Law{Formula: formula, Source: source, node: n, symbols: symbolsOf(n, nil)}
}

// Symbols lists the inputs of the law in order of first appearance.
func (l *Law) Symbols() []string { return l.symbols }

// At evaluates the law for named inputs in SI units. An input that is missing,
// a function outside its range, or a result that is no finite number is an error.
func (l *Law) At(inputs map[string]float64) (float64, error) {
	return l.eval(func(symbol string) (float64, bool) {
		v, ok := inputs[symbol]
		return v, ok
	})
}

func (l *Law) eval(lookup func(string) (float64, bool)) (float64, error) {
	v, err := l.node.eval(lookup)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", l.Formula, err)
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%s: the result is not a finite number", l.Formula)
	}
	return v, nil
}

// Input is one named input of a derived quantity.
type Input struct {
	Symbol   string
	Quantity *Quantity
}

// Quantity is one number of a batch: given in a file, or derived by a law from
// other quantities.
type Quantity struct {
	Name   string    // id of what it is, "dry_matter"; its words are message "quantity.<name>"
	Of     string    // whose, where there are several: an ingredient's id; else ""
	Kind   unit.Kind // what Value measures
	Value  float64   // SI
	Origin Origin    // where it was given; zero for a derived quantity
	Source string    // for a given value: the library's source, where it has one
	Law    *Law      // nil for a given quantity
	Inputs []Input   // of the law, in the order of its symbols
	Step   float64   // step it was rounded to (SI), 0 when it was not
	Unit   string    // unit in which its instrument shows it; "" leaves it to the page
}

// ID is the quantity's unique name in its ledger.
func (q *Quantity) ID() string { return id(q.Name, q.Of) }

func id(name, of string) string {
	if of == "" {
		return name
	}
	return name + "/" + of
}

// Origins lists the distinct places of given values that a quantity rests on,
// nearest first.
func (q *Quantity) Origins() []Origin {
	var out []Origin
	seen := map[*Quantity]bool{}
	row := []*Quantity{q}
	for len(row) > 0 {
		var next []*Quantity
		for _, x := range row {
			if seen[x] {
				continue
			}
			seen[x] = true
			if x.Law == nil && x.Origin != (Origin{}) && !slices.Contains(out, x.Origin) {
				out = append(out, x.Origin)
			}
			for _, in := range x.Inputs {
				next = append(next, in.Quantity)
			}
		}
		row = next
	}
	return out
}
