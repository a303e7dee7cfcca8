package design

import (
	"errors"
	"math"

	"bottlecrop/cmd/internal/formula"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
)

// How far shares in steps of 0.1 % may leave a target that is one value, and
// what a tenth of a percent more is for a target.
const (
	giveOfRatio = 0.5   // design choice
	loosenShare = 0.001 // 0.1 points
	loosenRatio = 1
)

// targets sets the conditions from the quantities of the wide process.
func (d *desk) targets() error {
	l, r := d.wide.Ledger, d.request
	column := func(name string) []float64 {
		var out []float64
		for _, part := range d.wide.Parts {
			out = append(out, l.ValueOf(name, part.ID))
		}
		return out
	}
	add := func(quantity string, top, bottom []float64, span Range, from string, give, loosen float64) {
		d.figures = append(d.figures, Figure{Quantity: quantity, Target: span, From: from})
		d.problem.Targets = append(d.problem.Targets, formula.Target{
			ID: quantity, Top: top, Bottom: bottom, Low: span.Low, High: span.High, Give: give, Loosen: loosen,
		})
	}
	for _, x := range []struct {
		quantity string
		span     *Range
	}{{"nitrogen", r.Nitrogen}, {"carbon_to_nitrogen", r.CN}, {"ash", r.Ash}} {
		if x.span != nil && !(x.span.Low <= x.span.High) {
			return asked("design.crossing", "of", Name(x.quantity), "low", Amount(x.quantity, x.span.Low), "high", Amount(x.quantity, x.span.High))
		}
	}
	pick := func(own *Range, usual Range, from string) (Range, string) {
		if own != nil {
			return *own, FromAsked
		}
		return usual, from
	}
	nitrogen := column("nitrogen_of")
	species := Range{l.Value("wants_nitrogen_low"), l.Value("wants_nitrogen_high")}
	span, from := pick(r.Nitrogen, species, FromSpecies)
	add("nitrogen", nitrogen, nil, span, from, high("rounding.nitrogen", "rounding_nitrogen"), loosenShare)

	span, from = pick(r.CN, Range{low("cn.unusual", "carbon_to_nitrogen"), high("cn.unusual", "carbon_to_nitrogen")}, FromLimit)
	add("carbon_to_nitrogen", column("carbon_of"), nitrogen, span, from, giveOfRatio, loosenRatio)

	if r.Ash != nil {
		add("ash", column("ash_of"), nil, *r.Ash, FromAsked, loosenShare, loosenShare)
	}
	d.minerals(add)
	return d.water(add)
}

type adder = func(quantity string, top, bottom []float64, span Range, from string, give, loosen float64)

// minerals keeps them below what is usual together, or below what their own
// bounds ask for if that is more.
func (d *desk) minerals(add adder) {
	top, least, free := make([]float64, len(d.lines)), 0.0, false
	for i, part := range d.wide.Parts {
		if part.Role == protocol.RoleMineral {
			top[i] = 1
			least += d.lines[i].Bounds.Low
			free = free || d.lines[i].Bounds.Low < d.lines[i].Bounds.High
		}
	}
	if free {
		most := math.Max(least, high("minerals.high", "minerals_total"))
		add("minerals_total", top, nil, Range{math.Inf(-1), most}, FromLimit, 0, loosenShare)
	}
}

// water keeps the ingredients from bringing more water than the mix may have:
// for each kg of dry matter, W over W + 1.
func (d *desk) water(add adder) error {
	l := d.wide.Ledger
	top, bottom := make([]float64, len(d.lines)), make([]float64, len(d.lines))
	for i, part := range d.wide.Parts {
		m := l.ValueOf("moisture_received", part.ID)
		q, err := substrate.AsReceived.At(map[string]float64{"d": 1, "m_in": m})
		if err != nil {
			return err
		}
		top[i], bottom[i] = q*m, q
	}
	add("moisture_without_water", top, bottom, Range{math.Inf(-1), l.Value("moisture_mixed")}, FromMix, 0, loosenShare)
	return nil
}

// refusal puts the optimizer's error in a grower's words.
func (d *desk) refusal(err error) error {
	var none *formula.Infeasible
	switch {
	case errors.Is(err, formula.ErrNotInSteps):
		return &Refusal{What: message("design.not_in_steps"), Hint: message("design.not_in_steps.hint")}
	case errors.As(err, &none):
		for i := range d.figures {
			d.figures[i].House = value(d.house, d.figures[i].Quantity)
		}
		return &Refusal{
			What: message("design.infeasible", "n", len(none.Against)), Hint: message("design.infeasible.hint"),
			Against: none.Against, Reach: none.Reach, Lines: d.lines, Figures: d.figures,
		}
	}
	return err
}

// Amount is a value, in SI units, of a quantity that a design is held to, as it is printed.
func Amount(quantity string, v float64) unit.Amount {
	if quantity == "carbon_to_nitrogen" {
		return unit.Amount{Kind: unit.None, Value: v, Step: 0.1}
	}
	return unit.Amount{Kind: unit.ShareOf, Value: v, Step: 0.0001}
}
