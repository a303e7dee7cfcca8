package design

import (
	"math"

	"bottlecrop/cmd/internal/formula"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// What a design says, as messages of the catalog.

// Headline is what was looked for and found.
func (d *Design) Headline() protocol.Message {
	name := d.Input.Protocol.Name
	switch {
	case d.Goal == Cheapest:
		return message("design.goal.cheapest", "protocol", name)
	case !d.Changed():
		return message("design.unchanged", "protocol", name)
	case d.Goal == LeastSquares:
		return message("design.goal.squares", "protocol", name, "change", share(d.Change))
	}
	return message("design.goal.closest", "protocol", name, "change", share(d.Change))
}

// Name is the short name of a quantity that designs are held to.
func Name(quantity string) protocol.Message { return message("design.name." + quantity) }

// Span is the bounds of an ingredient's share.
func (l Line) Span() protocol.Message { return span("", l.Bounds) }

// Span is the target of a figure.
func (f Figure) Span() protocol.Message { return span(f.Quantity, f.Target) }

func span(quantity string, r Range) protocol.Message {
	show := func(v float64) unit.Amount {
		if quantity == "" {
			return share(v)
		}
		return Amount(quantity, v)
	}
	switch {
	case r.Low == r.High:
		return message("design.span.exactly", "low", show(r.Low))
	case math.IsInf(r.Low, -1):
		return message("design.span.most", "high", show(r.High))
	case math.IsInf(r.High, 1):
		return message("design.span.least", "low", show(r.Low))
	}
	return message("design.span", "low", show(r.Low), "high", show(r.High))
}

// HeldBack says of each bound that holds the formula back what loosening it
// would gain. Price prints a cost of a kg.
func (d *Design) HeldBack(price func(perKilogram float64) string) []protocol.Message {
	var out []protocol.Message
	for _, h := range d.Held {
		bound, by := tell(h.Bound, h.By, d.Lines, d.Figures)
		switch d.Goal {
		case Cheapest:
			out = append(out, message("design.held.save", "bound", bound, "by", by, "gain", price(h.Gain)))
		case Closest:
			out = append(out, message("design.held.closer", "bound", bound, "by", by, "gain", unit.Amount{Kind: unit.ShareOf, Value: h.Gain, Digits: 2}))
		default:
			gain := unit.Amount{Kind: unit.ShareOf, Value: h.Gain / d.Objective, Digits: 2}
			out = append(out, message("design.held.squares", "bound", bound, "by", by, "gain", gain))
		}
	}
	return out
}

// tell says which bound it is and where it comes from.
func tell(b formula.Bound, by float64, lines []Line, figures []Figure) (bound protocol.Message, step unit.Amount) {
	var r Range
	var of protocol.Message
	var from string
	show := share
	for _, l := range lines {
		if !b.Target && l.Ingredient.ID == b.Of {
			r, from, of = l.Bounds, l.From, message("design.name.share", "of", l.Ingredient.ID)
		}
	}
	for _, f := range figures {
		if b.Target && f.Quantity == b.Of {
			r, from, of = f.Target, f.From, Name(f.Quantity)
			show = func(v float64) unit.Amount { return Amount(b.Of, v) }
		}
	}
	id, at := "design.bound.least", r.Low
	if b.Upper {
		id, at = "design.bound.most", r.High
	}
	if r.Low == r.High {
		id = "design.bound.exactly"
	}
	return message(id, "of", of, "bound", show(at), "from", message("design.from."+from)), show(by)
}

// Bounds are the bounds that contradict one another.
func (r *Refusal) Bounds() []protocol.Message {
	var out []protocol.Message
	for _, b := range r.Against {
		m, _ := tell(b, 0, r.Lines, r.Figures)
		out = append(out, m)
	}
	return out
}

// Reached is what each target can be that is among the contradicting bounds.
func (r *Refusal) Reached() []protocol.Message {
	var out []protocol.Message
	for _, x := range r.Reach {
		named := false
		for _, b := range r.Against {
			named = named || b.Target && b.Of == x.Target
		}
		switch {
		case !named:
		case math.IsInf(x.High, 1):
			out = append(out, message("design.reach.open", "of", Name(x.Target), "low", Amount(x.Target, x.Low)))
		default:
			out = append(out, message("design.reach", "of", Name(x.Target), "low", Amount(x.Target, x.Low), "high", Amount(x.Target, x.High)))
		}
	}
	return out
}
