// Package limit holds the safe ranges: one table of all of them, the check that
// runs a list of named quantities over it, and the marking of warnings that an
// author stands by. It knows quantities and numbers, and nothing of how they
// came about.
//
// A row allows a range and says how bad it is to be outside. Where a quantity
// crosses both a warning and an error row, only the error is reported. A bound
// may be another quantity, such as what the species wants.
//
// Values and bounds are in SI units.
package limit

import (
	"math"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Bound is one end of a range: a number in SI units; or the value of another
// quantity of the same subject (or of the whole, if the subject has none), times
// Times and moved by Plus; or, with Least, the lower of a number and a quantity.
type Bound struct {
	Value float64
	Of    string  // name of a quantity; "" means Value
	Times float64 // the quantity's value is multiplied by it; 0 means 1
	Plus  float64 // added to the quantity's value
	Least bool    // the lower of Value and the quantity
	Open  bool    // the bound itself is outside
}

// Limit is one row of the table.
type Limit struct {
	ID       string // "moisture.high"; messages limit.<ID>.why and limit.<ID>.hint belong to it
	Quantity string // name of the quantity that it is about
	Severity protocol.Severity
	Low      *Bound // below is outside; nil is no bound
	High     *Bound // above is outside
	Source   string
	Safety   bool   // about people: an unacknowledged crossing stands on the worker's sheet
	Blame    string // quantity whose place is shown; "" is the quantity itself
	// What is the message that says what was found, where the general sentence
	// on a value and its bound would read badly; "" is that sentence. It may use
	// quantity:message, found:amount, allowed:amount and, if the quantity has a
	// subject, of:text.
	What string
	// Shows is a quantity whose value the sentence What may use as shown:amount,
	// such as the hold that would do. Where no hold that is searched would, the
	// sentence is What with ".endless".
	Shows string
	// Unless is a quantity that takes the place of the one that the row is about:
	// where it is there, the row does not apply.
	Unless string
}

// slack keeps a value that was computed to be the bound from crossing it by
// the last bits of its floating-point number.
const slack = 1e-9

// Range is a row worked out for one quantity: where its two ends are. An end
// that is not there does not apply: the row has none, or it is a quantity that
// is missing or could not be worked out.
type Range struct {
	Low, High End
}

// End is one end of a range, in SI units.
type End struct {
	Value float64
	There bool
	Open  bool // the end itself is outside
}

// Range works out the row's ends for one quantity of a ledger: an end that is a
// quantity is that of the same subject or, if the subject has none, of the
// whole. A row that does not apply has no ends.
func (l Limit) Range(q *working.Quantity, ledger *working.Ledger) Range {
	if l.Unless != "" && ledger.Get(l.Unless) != nil {
		return Range{}
	}
	return l.resolve(func(name string) (float64, bool) {
		for _, of := range []string{q.Of, ""} {
			if b := ledger.Of(name, of); b != nil && !math.IsNaN(b.Value) {
				return b.Value, true
			}
		}
		return 0, false
	})
}

func (l Limit) resolve(get func(name string) (float64, bool)) Range {
	return Range{l.Low.resolve(get), l.High.resolve(get)}
}

// Crossed reports whether a value, in SI units, is outside, and the end that it crosses.
func (r Range) Crossed(value float64) (bound float64, above, crossed bool) {
	if math.IsNaN(value) {
		return 0, false, false
	}
	if b := r.Low; b.There && beyond(b.Value, value, b.Open) {
		return b.Value, false, true
	}
	if b := r.High; b.There && beyond(value, b.Value, b.Open) {
		return b.Value, true, true
	}
	return 0, false, false
}

// Crossed reports whether a value is outside the row, and the bound that it
// crosses. A bound whose quantity is missing does not apply.
func (l Limit) Crossed(value float64, get func(name string) (float64, bool)) (bound float64, above, crossed bool) {
	return l.resolve(get).Crossed(value)
}

// beyond reports whether a is more than b, or as much where the bound is open.
func beyond(a, b float64, open bool) bool {
	hair := slack * math.Max(math.Abs(a), math.Abs(b))
	if open {
		return a >= b-hair
	}
	return a > b+hair
}

func (b *Bound) resolve(get func(string) (float64, bool)) End {
	switch {
	case b == nil:
		return End{}
	case b.Of == "":
		return End{b.Value, true, b.Open}
	}
	v, ok := get(b.Of)
	if b.Times != 0 {
		v *= b.Times
	}
	switch {
	case b.Least && ok:
		return End{math.Min(b.Value, v+b.Plus), true, b.Open}
	case b.Least:
		return End{b.Value, true, b.Open}
	}
	return End{v + b.Plus, ok, b.Open}
}

// Check runs the quantities over the table. The ledger resolves bounds that
// are quantities; names gives the words for the subjects of quantities, such
// as an ingredient's name for its id; subject is the protocol's name.
//
// What was worked out from a refused value is nonsense, and a warning of it tells
// nobody anything: it is left away until the value is mended. An error stays.
func Check(quantities []*working.Quantity, ledger *working.Ledger, names map[string]string, subject string) []protocol.Finding {
	var out []protocol.Finding
	var about []*working.Quantity // of the findings
	refused := map[*working.Quantity]bool{}
	for _, q := range quantities {
		var of []protocol.Finding
		for _, row := range byQuantity[q.Name] {
			if f := row.finding(q, ledger, names, subject); f != nil {
				of = append(of, *f)
			}
		}
		worst := protocol.Worst(of)
		for _, f := range of {
			if f.Severity == worst {
				out, about = append(out, f), append(about, q)
				if worst == protocol.Error {
					refused[q] = true
				}
			}
		}
	}
	if len(refused) == 0 {
		return out
	}
	kept := out[:0]
	for i, f := range out {
		if f.Severity == protocol.Error || !restsOn(about[i], refused) {
			kept = append(kept, f)
		}
	}
	return kept
}

// restsOn reports whether a quantity was worked out from one of some others.
func restsOn(q *working.Quantity, others map[*working.Quantity]bool) bool {
	seen := map[*working.Quantity]bool{}
	for row := []*working.Quantity{q}; len(row) > 0; {
		var next []*working.Quantity
		for _, x := range row {
			for _, in := range x.Inputs {
				switch {
				case others[in.Quantity]:
					return true
				case !seen[in.Quantity]:
					seen[in.Quantity] = true
					next = append(next, in.Quantity)
				}
			}
		}
		row = next
	}
	return false
}

func (l Limit) finding(q *working.Quantity, ledger *working.Ledger, names map[string]string, subject string) *protocol.Finding {
	bound, above, crossed := l.Range(q, ledger).Crossed(q.Value)
	if !crossed {
		return nil
	}
	found, allowed := Amounts(q, bound)
	what := protocol.Message{ID: l.what(above), Args: map[string]any{
		"quantity": Name(q, names), "found": found, "allowed": allowed,
	}}
	if q.Of != "" {
		what.Args["of"] = SubjectOf(q, names)
	}
	if l.Shows != "" {
		if s := ledger.Get(l.Shows); s != nil {
			what.Args["shown"] = unit.Amount{Kind: s.Kind, Value: s.Value, Unit: s.Unit, Digits: 4}
			if s.Value >= run.LongestHold*(1-1e-9) { // not even that is known to do
				what.ID += ".endless"
			}
		}
	}
	return &protocol.Finding{
		Severity: l.Severity,
		Rule:     l.ID,
		Origin:   l.origin(q, ledger),
		What:     what,
		Why:      protocol.Message{ID: "limit." + l.ID + ".why"},
		Hint:     protocol.Message{ID: "limit." + l.ID + ".hint"},
		Source:   l.Source,
		Subject:  subject,
		Safety:   l.Safety,
	}
}

// what is the id of the sentence on a value that crossed the low or the high
// bound. A value may be equal to an open bound, and then it is neither below
// nor above it.
func (l Limit) what(above bool) string {
	switch {
	case l.What != "":
		return l.What
	case above && l.High.Open:
		return "limit.above_open"
	case above:
		return "limit.above"
	case l.Low.Open:
		return "limit.below_open"
	}
	return "limit.below"
}

// origin is the place of the value to blame: the quantity's own if it was
// written down, else the nearest written value that it rests on.
func (l Limit) origin(q *working.Quantity, ledger *working.Ledger) working.Origin {
	if b := l.blamed(q, ledger); b != nil {
		q = b
	}
	if o := q.Origins(); len(o) > 0 {
		return o[0]
	}
	return working.Origin{}
}

// blamed is the quantity that the row blames: that of the same subject, that of
// the whole or, where each subject has one, the nearest that q was made from.
func (l Limit) blamed(q *working.Quantity, ledger *working.Ledger) *working.Quantity {
	if l.Blame == "" {
		return nil
	}
	for _, of := range []string{q.Of, ""} {
		if b := ledger.Of(l.Blame, of); b != nil {
			return b
		}
	}
	seen := map[*working.Quantity]bool{}
	for row := []*working.Quantity{q}; len(row) > 0; {
		var next []*working.Quantity
		for _, x := range row {
			switch {
			case x.Name == l.Blame:
				return x
			case seen[x]:
				continue
			}
			seen[x] = true
			for _, in := range x.Inputs {
				next = append(next, in.Quantity)
			}
		}
		row = next
	}
	return nil
}

// Amounts are a quantity's value and the bound that it crossed, in one unit
// where the quantity has one of its own or a time is compared with a time, and
// with as many digits as it takes to tell them apart.
func Amounts(q *working.Quantity, bound float64) (found, allowed unit.Amount) {
	found = unit.Amount{Kind: q.Kind, Value: q.Value, Unit: q.Unit}
	if q.Kind == unit.TimeOf {
		// A bound is a round figure in the unit that people say it in: 4 h, and
		// not 0.1667 d beside a value of days.
		size := math.Abs(bound)
		if size == 0 {
			size = math.Abs(q.Value)
		}
		found.Unit = unit.UnitFor(q.Kind, size, unit.Metric)
	}
	allowed = found
	allowed.Value = bound
	for digits := 4; digits <= 12; digits++ {
		found.Digits, allowed.Digits = digits, digits
		if found.Show(unit.Metric) != allowed.Show(unit.Metric) && found.Show(unit.US) != allowed.Show(unit.US) {
			break
		}
	}
	return found, allowed
}

// Name is the message that names a quantity.
func Name(q *working.Quantity, names map[string]string) protocol.Message {
	m := protocol.Message{ID: "quantity." + q.Name}
	if q.Of != "" {
		m.Args = map[string]any{"of": SubjectOf(q, names)}
	}
	return m
}

// SubjectOf is what the subject of a quantity is called: by the words for it,
// else by its id.
func SubjectOf(q *working.Quantity, names map[string]string) string {
	if called := names[q.Of]; called != "" {
		return called
	}
	return q.Of
}

// All lists the table, for the pages and tests that walk it.
func All() []Limit { return table }

// Of lists the rows that a quantity is held to, in the order of the table.
func Of(quantity string) []Limit { return byQuantity[quantity] }

var byQuantity = func() map[string][]Limit {
	m := map[string][]Limit{}
	for _, l := range table {
		m[l.Quantity] = append(m[l.Quantity], l)
	}
	return m
}()
