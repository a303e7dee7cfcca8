package trace

import (
	"cmp"
	"math"
	"slices"

	"bottlecrop/cmd/internal/protocol"
)

// Recall is all that hangs on one thing: the batches that it touches, where their crop
// went, and what the record leaves open.
type Recall struct {
	Start    Node
	Back     []Node // all that went into it
	Spawn    []Node // lots of spawn that it went into
	Batches  []Touched
	Maybe    []Perhaps
	Lots     []HarvestLot
	Total    HarvestLot // of all Lots together
	Sent     []Delivery // the latest first: what is freshest is eaten last
	Promised []protocol.Order
	Bought   *Bought // of a lot of goods, where the stock says how much came
}

// Touched is a batch that something reaches.
type Touched struct {
	protocol.Result
	By      []Node // what of it the start went into, or the start itself, or whom it was sent to
	Vessels int    // that it touched, at most; 0 where it is traced back
	Of      int    // vessels that were filled, controls among them
	Balance Balance
}

// Perhaps is a batch that the record does not keep out.
type Perhaps struct {
	protocol.Result
	Open Kind // what its record does not say: of which kind
	By   Node // what may be in it
}

// HarvestLot is a lot of a harvest on the scale, in kg.
type HarvestLot struct {
	Code    string
	Batches []string // that were picked into it
	Others  []string // of these, those that nothing is known against
	Picked  float64  // trimmed, as for sale
	Sent    float64
	Unsold  float64
	Gap     float64 // Picked less Sent and Unsold
}

// Open reports whether more is missing, or more was sent, than scales differ by.
func (l HarvestLot) Open() bool { return math.Abs(l.Gap) > Close*l.Picked+rounding }

// rounding is what sums of kilograms may be off by in a computer's numbers.
const rounding = 1e-9

// Delivery is what somebody got.
type Delivery struct {
	protocol.Sent
	For string // whom the order of that id is for, where that is somebody else
}

// Bought is a lot of goods on the scale, in kg.
type Bought struct{ Came, Used, Left, Gap float64 }

// Recall works out what hangs on a thing. Of a customer it is what he got, and from
// which batches.
func (w *Web) Recall(n Node) *Recall {
	r := &Recall{Start: n, Back: w.Back(n)}
	reached := append([]Node{n}, w.Forward(n)...)
	if n.Kind == Customer {
		reached = append(reached, r.Back...)
	}
	is := map[Node]bool{}
	for _, m := range reached {
		is[m] = true
	}
	for _, m := range reached {
		if m.Kind == Spawn && m != n && n.Kind != Customer {
			r.Spawn = append(r.Spawn, m)
		}
	}
	touched := Of(Batch, reached)
	if n.Kind == Harvest {
		touched = Of(Batch, w.prev[n])
	}
	slices.SortFunc(touched, Node.before)
	for _, m := range touched {
		r.Batches = append(r.Batches, w.touched(m, n, is))
	}
	slices.SortFunc(r.Batches, func(a, b Touched) int {
		return cmp.Or(cmp.Compare(a.Mixed, b.Mixed), cmp.Compare(a.Code, b.Code))
	})
	if n.Kind != Customer && n.Kind != Harvest {
		r.Maybe = w.perhaps(reached, is)
	}
	for _, m := range Of(Harvest, reached) {
		l := w.harvestLot(m.Code)
		for _, code := range l.Batches {
			if !slices.ContainsFunc(touched, func(b Node) bool { return b.Code == code }) {
				l.Others = append(l.Others, code)
			}
		}
		r.Lots = append(r.Lots, l)
	}
	slices.SortFunc(r.Lots, func(a, b HarvestLot) int { return cmp.Compare(a.Code, b.Code) })
	for _, l := range r.Lots {
		r.Total.Picked, r.Total.Sent, r.Total.Unsold = r.Total.Picked+l.Picked, r.Total.Sent+l.Sent, r.Total.Unsold+l.Unsold
	}
	r.Total.Gap = must(Gap.At(map[string]float64{"in": r.Total.Picked, "out": r.Total.Sent, "waste": r.Total.Unsold}))
	r.Sent = w.deliveries(n, is)
	r.Promised = w.promised(r.Batches)
	if n.Kind == Goods {
		r.Bought = w.bought(n.Code)
	}
	return r
}

// touched is how a batch is reached, and how much of it.
func (w *Web) touched(b, start Node, is map[Node]bool) Touched {
	r := w.batches[b.Code]
	t := Touched{Result: r, Of: r.Filled + r.Controls, Balance: w.balance(r)}
	beside := w.prev[b]
	if start.Kind == Customer || start.Kind == Harvest {
		beside = w.next[b]
	}
	for _, m := range beside {
		if is[m] {
			t.By = append(t.By, m)
		}
	}
	if start.Kind == Batch && start == b {
		t.By, t.Vessels = nil, t.Of
	}
	for _, m := range t.By {
		t.Vessels += w.vessels(r, m)
	}
	t.Vessels = min(t.Vessels, t.Of)
	return t
}

// vessels is how many of a batch's vessels something went into; all of them where the
// record does not tell them apart.
func (w *Web) vessels(r protocol.Result, n Node) int {
	all := r.Filled + r.Controls
	count := 0
	switch n.Kind {
	case Spawn:
		for _, s := range r.Spawned {
			if s.Lot == n.Code {
				count += s.Vessels
			}
		}
		return count
	case Run:
		for _, l := range r.Loads {
			if l.Run == n.Code {
				count += l.Vessels
			}
		}
		return count
	case Goods:
		var mixes []int
		for _, g := range r.Goods {
			if g.Lot != n.Code {
				continue
			}
			if len(g.Mixes) == 0 {
				return all
			}
			mixes = append(mixes, g.Mixes...)
		}
		if in, known := w.ofMixes(r, mixes); known {
			return in
		}
		return all
	case Method:
		return all
	}
	return 0
}

// ofMixes is how many vessels these mixes of a batch filled, by the loads that they went
// into: those whose run held, so that none counts twice.
func (w *Web) ofMixes(r protocol.Result, mixes []int) (vessels int, known bool) {
	told := map[int]bool{}
	for _, l := range r.Loads {
		if w.runs[l.Run].Failed != "" {
			continue
		}
		for _, m := range l.Mixes {
			told[m] = true
		}
		if slices.ContainsFunc(l.Mixes, func(m int) bool { return slices.Contains(mixes, m) }) {
			vessels += l.Vessels
		}
	}
	for _, m := range mixes {
		if !told[m] {
			return 0, false
		}
	}
	return vessels, true
}

// harvestLot weighs a lot of a harvest.
func (w *Web) harvestLot(code string) HarvestLot {
	l := HarvestLot{Code: code}
	for _, b := range w.prev[Node{Harvest, code}] {
		l.Batches = append(l.Batches, b.Code)
		r := w.batches[b.Code]
		for _, p := range r.Picked {
			if r.HarvestLot(p) == code {
				l.Picked += float64(p.Mass)
			}
		}
	}
	for _, s := range w.Results.Sent {
		if s.Lot == code {
			l.Sent += float64(s.Mass)
		}
	}
	for _, u := range w.Results.Unsold {
		if u.Lot == code {
			l.Unsold += float64(u.Mass)
		}
	}
	l.Gap = must(Gap.At(map[string]float64{"in": l.Picked, "out": l.Sent, "waste": l.Unsold}))
	return l
}

// deliveries are those of the lots that were reached.
func (w *Web) deliveries(start Node, is map[Node]bool) []Delivery {
	forWhom := map[string]string{}
	for _, o := range w.Orders.Orders {
		forWhom[o.ID] = o.For
	}
	var out []Delivery
	for _, s := range w.Results.Sent {
		if !is[Node{Harvest, s.Lot}] || start.Kind == Customer && s.To != start.Code {
			continue
		}
		d := Delivery{Sent: s}
		if who := forWhom[s.Order]; who != s.To {
			d.For = who
		}
		out = append(out, d)
	}
	slices.SortStableFunc(out, func(a, b Delivery) int {
		return cmp.Or(cmp.Compare(b.On, a.On), cmp.Compare(a.To, b.To), cmp.Compare(a.Lot, b.Lot))
	})
	return out
}

// promised are the orders for crops of which a touched batch is still growing.
func (w *Web) promised(touched []Touched) []protocol.Order {
	grows := map[string]bool{}
	for _, t := range touched {
		if !t.Done() {
			grows[t.Protocol] = true
		}
	}
	var out []protocol.Order
	for _, o := range w.Orders.Orders {
		if grows[o.Protocol] {
			out = append(out, o)
		}
	}
	return out
}

// bought weighs a lot of goods; nil where the stock does not say how much came.
func (w *Web) bought(lot string) *Bought {
	l, known := w.stock[lot]
	if !known || l.Came == 0 {
		return nil
	}
	b := Bought{Came: float64(l.Came), Left: float64(l.Mass)}
	count := func(used []protocol.GoodsUsed) {
		for _, g := range used {
			if g.Lot == lot {
				b.Used += float64(g.Mass)
			}
		}
	}
	for _, r := range w.Results.Batches {
		count(r.Goods)
	}
	for _, s := range w.Results.Spawn {
		count(s.Goods)
	}
	b.Gap = must(Gap.At(map[string]float64{"in": b.Came, "out": b.Used, "waste": b.Left}))
	return &b
}

// Traceable reports whether anything that went into a batch, or anybody who got of it, is
// written down: its method alone leads nowhere.
func (w *Web) Traceable(code string) bool {
	r := w.batches[code]
	if len(r.Goods)+len(r.Loads)+len(r.Spawned) > 0 {
		return true
	}
	return len(Of(Customer, w.Forward(Node{Batch, code}))) > 0
}
