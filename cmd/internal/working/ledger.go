package working

import (
	"fmt"
	"hash/maphash"
	"math"
	"slices"

	"bottlecrop/cmd/internal/unit"
)

// Ledger holds quantities in the order in which they were worked out. A
// derivation that fails has the value NaN, and so has all that rests on it; the
// first error stays, and a caller checks Err once, at the end.
type Ledger struct {
	base  *Ledger // what was worked out before, shared and never changed
	list  []*Quantity
	index []uint32   // of the list by name and subject: place + 1, or 0; a power of two, never full
	rooms []Quantity // made, and not in the list yet
	binds []Input    // made, and of no quantity yet
	err   error
}

// seed is of the index of every ledger of this run; nothing is ever in its order.
var seed = maphash.MakeSeed()

// How large an index is where a ledger begins, and of how many quantities and inputs the
// room is made at once. A process has some 530 quantities, a batch 210, and a farm of a
// thousand protocols five thousand ledgers: a map and a room of their own for each took
// more time and memory than to work them out.
const (
	firstIndex = 512
	madeAtOnce = 32
)

// NewLedger returns an empty ledger, or one that continues base. Base must not
// be written to any more.
func NewLedger(base *Ledger) *Ledger {
	return &Ledger{base: base, index: make([]uint32, firstIndex)}
}

func hash(name, of string) uint64 {
	h := maphash.String(seed, name)
	if of != "" {
		h = h*31 + maphash.String(seed, of)
	}
	return h
}

// place is where a quantity with a hash stands in the index, or where it would.
func (l *Ledger) place(h uint64, name, of string) (at int, found *Quantity) {
	mask := len(l.index) - 1
	for at = int(h) & mask; l.index[at] != 0; at = (at + 1) & mask {
		if q := l.list[l.index[at]-1]; q.Name == name && q.Of == of {
			return at, q
		}
	}
	return at, nil
}

// Err is the first error of any derivation, of the base or of this ledger.
func (l *Ledger) Err() error {
	if l.base != nil {
		if err := l.base.Err(); err != nil {
			return err
		}
	}
	return l.err
}

// Get returns the quantity with that name, or nil.
func (l *Ledger) Get(name string) *Quantity { return l.Of(name, "") }

// Of returns the quantity with that name and subject, or nil.
func (l *Ledger) Of(name, of string) *Quantity {
	h := hash(name, of)
	for x := l; x != nil; x = x.base {
		if _, q := x.place(h, name, of); q != nil {
			return q
		}
	}
	return nil
}

// Value returns the value in SI units of a quantity that must be there.
func (l *Ledger) Value(name string) float64 { return l.must(name, "").Value }

// ValueOf is Value for a quantity with a subject.
func (l *Ledger) ValueOf(name, of string) float64 { return l.must(name, of).Value }

func (l *Ledger) must(name, of string) *Quantity {
	q := l.Of(name, of)
	if q == nil {
		panic("working: no quantity " + id(name, of))
	}
	return q
}

// Own lists the quantities of this ledger without those of its base.
func (l *Ledger) Own() []*Quantity { return l.list }

// All lists every quantity, those of the base first, in order of working.
func (l *Ledger) All() []*Quantity {
	if l == nil {
		return nil
	}
	return append(slices.Clip(l.base.All()), l.list...)
}

// Given enters a value, in SI units, that was written down by somebody.
func (l *Ledger) Given(name string, k unit.Kind, value float64, at Origin) *Quantity {
	return l.add(l.made(Quantity{Name: name, Kind: k, Value: value, Origin: at}))
}

// GivenOf is Given for a quantity of one subject, with the source that the
// library names for it ("" where a farm's own file gave it).
func (l *Ledger) GivenOf(name, of string, k unit.Kind, value float64, at Origin, source string) *Quantity {
	return l.add(l.made(Quantity{Name: name, Of: of, Kind: k, Value: value, Origin: at, Source: source}))
}

// Derive works out a quantity by a law. The inputs bind the law's symbols:
// exactly those, or the program is wrong and it panics.
func (l *Ledger) Derive(name string, k unit.Kind, law *Law, in ...Input) *Quantity {
	return l.DeriveOf(name, "", k, law, in...)
}

// DeriveOf is Derive for a quantity of one subject.
func (l *Ledger) DeriveOf(name, of string, k unit.Kind, law *Law, in ...Input) *Quantity {
	q := l.made(Quantity{Name: name, Of: of, Kind: k, Law: law})
	q.Inputs = law.bind(q, in, l.bound(len(in)))
	v, err := q.work()
	if err != nil {
		v = math.NaN()
		if l.err == nil {
			l.err = fmt.Errorf("%s: %w", q.ID(), err)
		}
	}
	q.Value = v
	return l.add(q)
}

// bind puts inputs of a quantity into the order of the law's symbols, where there is room
// for them. Anything but one quantity for each symbol panics.
func (l *Law) bind(q *Quantity, in, bound []Input) []Input {
	if len(in) != len(l.symbols) {
		panic(fmt.Sprintf("working: %s: law %q has %d symbols, %d were bound", q.ID(), l.Formula, len(l.symbols), len(in)))
	}
	for i, s := range l.symbols {
		// Callers bind in the order of the formula, so the first look is a hit.
		at := i
		if in[i].Symbol != s {
			at = slices.IndexFunc(in, func(x Input) bool { return x.Symbol == s })
		}
		if at < 0 || in[at].Quantity == nil {
			panic(fmt.Sprintf("working: %s: law %q: no quantity is bound to %s", q.ID(), l.Formula, s))
		}
		bound[i] = in[at]
	}
	return bound
}

// work evaluates the law. It does not ask the law about an input that is no
// finite number: some functions would answer all the same.
func (q *Quantity) work() (float64, error) {
	for _, in := range q.Inputs {
		if x := in.Quantity; math.IsNaN(x.Value) || math.IsInf(x.Value, 0) {
			return 0, fmt.Errorf("%s has no value", x.ID())
		}
	}
	return q.Law.eval(func(symbol string) (float64, bool) {
		for _, in := range q.Inputs {
			if in.Symbol == symbol {
				return in.Quantity.Value, true
			}
		}
		return 0, false
	})
}

// Sum works out the sum of several quantities of one kind, term by term in the
// order given. An empty sum is zero.
func (l *Ledger) Sum(name string, k unit.Kind, terms ...*Quantity) *Quantity {
	return l.SumOf(name, "", k, terms...)
}

// SumOf is Sum for a quantity of one subject.
func (l *Ledger) SumOf(name, of string, k unit.Kind, terms ...*Quantity) *Quantity {
	in := make([]Input, len(terms))
	for i, t := range terms {
		in[i] = Input{fmt.Sprintf("t%d", i+1), t}
	}
	return l.DeriveOf(name, of, k, sumLaw(len(terms)), in...)
}

// Dot works out the sum of products a1·b1 + a2·b2 + …, in the order given. Two
// lists of different lengths panic.
func (l *Ledger) Dot(name string, k unit.Kind, a, b []*Quantity) *Quantity {
	return l.DotOf(name, "", k, a, b)
}

// DotOf is Dot for a quantity of one subject.
func (l *Ledger) DotOf(name, of string, k unit.Kind, a, b []*Quantity) *Quantity {
	if len(a) != len(b) {
		panic(fmt.Sprintf("working: %s: %d quantities are multiplied with %d", name, len(a), len(b)))
	}
	in := make([]Input, 0, 2*len(a))
	for i := range a {
		in = append(in, Input{fmt.Sprintf("a%d", i+1), a[i]}, Input{fmt.Sprintf("b%d", i+1), b[i]})
	}
	return l.DeriveOf(name, of, k, dotLaw(len(a)), in...)
}

// made is a quantity that is not in the list yet.
func (l *Ledger) made(x Quantity) *Quantity {
	if len(l.rooms) == 0 {
		l.rooms = make([]Quantity, madeAtOnce)
	}
	q := &l.rooms[0]
	*q, l.rooms = x, l.rooms[1:]
	return q
}

// bound is room for so many inputs of a quantity.
func (l *Ledger) bound(n int) []Input {
	if n > len(l.binds) {
		l.binds = make([]Input, max(n, madeAtOnce))
	}
	out := l.binds[:n:n]
	l.binds = l.binds[n:]
	return out
}

func (l *Ledger) add(q *Quantity) *Quantity {
	h := hash(q.Name, q.Of)
	for x := l; x != nil; x = x.base {
		if _, there := x.place(h, q.Name, q.Of); there != nil {
			panic("working: quantity " + q.ID() + " was worked out twice")
		}
	}
	l.list = append(l.list, q)
	if len(l.list)*4 > len(l.index)*3 {
		l.index = make([]uint32, 2*len(l.index))
		for i, q := range l.list[:len(l.list)-1] {
			at, _ := l.place(hash(q.Name, q.Of), q.Name, q.Of)
			l.index[at] = uint32(i + 1)
		}
	}
	at, _ := l.place(h, q.Name, q.Of)
	l.index[at] = uint32(len(l.list))
	return q
}

// Bind names an input of a law.
func Bind(symbol string, q *Quantity) Input { return Input{symbol, q} }
