// Package stock makes batches from the lots that a farm has in store: the oldest
// lots first, with the moisture that they have. It answers both ways round: how
// many vessels the stock makes, and what is missing for a number of them.
//
// It is the forward plan that decides: a stock is enough where the batch that is
// made from it lacks nothing, so every rounding, waste step, control vessel and
// mix is in the answer.
package stock

import (
	"cmp"
	"math"
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
)

// Lot is a lot of the stock's file with what is left of it.
type Lot struct {
	protocol.Lot
	Key  int // its place in the file, from 0
	Left unit.Mass
}

// Shelf is the stock at one moment, the oldest lots first. It is not changed:
// taking a batch from it gives another.
type Shelf struct{ lots []Lot }

// Of is the stock as its file has it. Of lots that came in on one day, the one
// that is written first is taken first.
func Of(s protocol.Stock) Shelf {
	lots := make([]Lot, len(s.Lots))
	for i, l := range s.Lots {
		lots[i] = Lot{l, i, l.Mass}
	}
	slices.SortStableFunc(lots, func(a, b Lot) int { return cmp.Compare(a.ReceivedOn, b.ReceivedOn) })
	return Shelf{lots}
}

// Lots lists what is there, the oldest first.
func (s Shelf) Lots() []Lot { return slices.Clone(s.lots) }

// Mass is what is there of an ingredient, in kg as received.
func (s Shelf) Mass(ingredient string) float64 {
	sum := 0.0
	for _, l := range s.lots {
		if l.Ingredient == ingredient {
			sum += float64(l.Left)
		}
	}
	return sum
}

// Less is the shelf after a batch that was made from it.
func (s Shelf) Less(b *batch.Batch) Shelf {
	out := Shelf{slices.Clone(s.lots)}
	for _, r := range b.Mix.Rows {
		for _, p := range r.Portions {
			for i := range out.lots {
				if p.Lot != "" && out.lots[i].Key == p.Key {
					// A lot may be taken to the last gram, and no further.
					out.lots[i].Left = max(0, out.lots[i].Left-unit.Mass(p.All))
				}
			}
		}
	}
	return out
}

// Maker makes batches of one protocol from a shelf.
type Maker struct {
	shelf Shelf
	in    process.Input
	plain *process.Process // for the stock has no say in how much dry matter is needed
}

// New returns a maker of batches by a protocol. Its Process may have errors, by
// which nothing can be made.
func New(in process.Input, s Shelf) (*Maker, error) {
	in.Stock = nil
	p, err := process.Plan(in)
	if err != nil {
		return nil, err
	}
	return &Maker{shelf: s, in: in, plain: p}, nil
}

// Process is the protocol without the stock.
func (m *Maker) Process() *process.Process { return m.plain }

// Input is what the protocol is to be planned from for that many vessels: with
// the lots of the shelf and what is taken of each.
func (m *Maker) Input(vessels int) (process.Input, error) {
	in := m.in
	plain, err := batch.Compute(m.plain, vessels)
	if err == nil {
		in.Stock = m.draw(plain)
	}
	return in, err
}

// Make makes a batch from the shelf, whether there is enough or not: the portions
// of its rows say which lot gives what, and what is missing. What is missing is
// taken to be as moist as what is there of the same. The process may have errors
// where the lots are too wet, and then there is no batch.
func (m *Maker) Make(vessels int) (*process.Process, *batch.Batch, error) {
	in, err := m.Input(vessels)
	if err != nil {
		return m.plain, nil, err
	}
	p, err := process.Plan(in)
	if err != nil || protocol.Worst(p.Findings) == protocol.Error {
		return p, nil, err
	}
	b, err := batch.Compute(p, vessels)
	return p, b, err
}

// draw takes the dry matter that a batch needs from the lots, the oldest first.
// How much dry matter that is does not depend on their moisture.
func (m *Maker) draw(plain *batch.Batch) []process.Drawn {
	need := map[string]float64{}
	for _, part := range m.plain.Parts {
		need[part.ID] = plain.Ledger.ValueOf("dry_of", part.ID)
	}
	out := []process.Drawn{}
	for _, l := range m.shelf.lots {
		d, used := need[l.Ingredient]
		if !used || l.Left <= 0 {
			continue
		}
		dry := 1 - m.moisture(l)
		x := process.Drawn{Lot: l.Lot, Key: l.Key, Left: l.Left, Taken: min(l.Left, unit.Mass(d/dry))}
		need[l.Ingredient] = max(0, d-float64(x.Taken)*dry)
		out = append(out, x)
	}
	return out
}

func (m *Maker) moisture(l Lot) float64 {
	wet, _, _ := m.in.MoistureOf(l.Lot, l.Key)
	return float64(wet)
}

// enough reports whether the shelf makes a batch of that many vessels.
func (m *Maker) enough(vessels int) (bool, error) {
	_, b, err := m.Make(vessels)
	if err != nil || b == nil || len(b.Mix.Rows) <= len(m.plain.Parts) {
		return false, err // without its water a mix was not weighed to the end
	}
	return !b.Short(), nil
}

// Most is how many vessels the shelf makes at most in one batch; 0 where it makes
// none. A stock that the forward plan asks for gives back the plan's number.
//
// Dry matter alone gives a number close by. What rounding to the scales makes of
// it is no smooth matter, so from above the highest that it may be each number
// is made, down to the first for which nothing is short.
func (m *Maker) Most() (int, error) {
	near, err := m.byDryMatter()
	if err != nil {
		return 0, err
	}
	for n := min(near, protocol.MostVessels); n > 0; n-- {
		ok, err := m.enough(n)
		if ok || err != nil {
			return n, err
		}
	}
	return 0, nil
}

// mayTake is how many steps of a scale an ingredient has at least that may come to
// be weighed on it: a tenth below what that scale is taken from (design choice).
const mayTake = 45

// byDryMatter is a number of vessels that the shelf does not exceed, and by not
// much more than rounding may give.
func (m *Maker) byDryMatter() (int, error) {
	there := map[string]float64{}
	for _, l := range m.shelf.lots {
		there[l.Ingredient] += float64(l.Left) * (1 - m.moisture(l))
	}
	// ratio is how often over the dry matter for n vessels is there, of the
	// ingredient of which it is there least often.
	ratio := func(n int) (float64, error) {
		b, err := batch.Compute(m.plain, n)
		least := math.Inf(1)
		if err == nil {
			for _, part := range m.plain.Parts {
				if d := b.Ledger.ValueOf("dry_of", part.ID); d > 0 {
					least = math.Min(least, there[part.ID]/d)
				}
			}
		}
		return least, err
	}
	// From the first batch with the usual allowance for waste on, more vessels need
	// more dry matter, nearly in proportion; those below are few.
	near, above := substrate.SmallBatch-1, protocol.MostVessels+1
	for n := substrate.SmallBatch; n > near && n < above; {
		r, err := ratio(n)
		if err != nil {
			return 0, err
		}
		if r*(1+1e-9) >= 1 {
			near = n
		} else {
			above = n
		}
		n = max(near+1, min(above-1, int(math.Min(float64(n)*r, protocol.MostVessels))))
	}
	b, err := batch.Compute(m.plain, near)
	if err != nil {
		return 0, err
	}
	// Half a step in each mix may be rounded off, of a mix more than there is now,
	// and on a coarser scale where an ingredient is nearly enough for that.
	spare := 1.0
	for _, r := range b.Mix.Rows {
		for _, s := range batch.Scales(m.in.Farm, m.in.Units) {
			if r.ID != batch.Water && r.Exact > 0 && (s.ID == r.Scale.ID || r.Exact > mayTake*s.Step) {
				spare = max(spare, s.Step/2/r.Exact*float64(near)*float64(b.Mixes+1)/float64(b.Mixes))
			}
		}
	}
	return near + int(unit.Up(spare)) + 1, nil
}

// Short lists the rows of a batch for which the stock has not enough, those first
// of which the largest part is missing.
func Short(b *batch.Batch) []batch.Weighing {
	var out []batch.Weighing
	for _, r := range b.Mix.Rows {
		if r.Short() > 0 {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(x, y batch.Weighing) int { return cmp.Compare(y.Short()/y.All, x.Short()/x.All) })
	return out
}

// NextFull is the next larger number of vessels with which every load of the
// sterilizer is full.
func NextFull(p *process.Process, vessels int) (int, error) {
	b, err := batch.Compute(p, min(vessels+1, protocol.MostVessels))
	if err != nil {
		return 0, err
	}
	free := 0
	for _, l := range b.Loads {
		free += p.Holds - l.Vessels
	}
	return b.Vessels + free, nil
}
