// Package design looks for a better formula for a protocol: it sets the problem
// that package formula solves from what the farm and the library say of the
// ingredients, and works the result out like any other protocol.
//
// Every coefficient is a quantity of the protocol's own ledger, or comes from
// the law that the ledger uses: what the optimizer holds to a target is what a
// sheet will print.
package design

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/formula"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/vessel"
)

// Goal says which of all formulas within the targets is wanted.
type Goal = formula.Goal

// The goals.
const (
	Cheapest     = formula.Cheapest
	Closest      = formula.Closest
	LeastSquares = formula.LeastSquares
)

// Where a bound comes from.
const (
	FromSpecies = "species" // the species' entry in the library
	FromLimit   = "limit"   // the table of limits
	FromAsked   = "asked"   // whoever asked for the design
	FromMix     = "mix"     // the moisture that the mix is to have
	FromLibrary = "library" // the ingredient's usual cap
	FromHouse   = "house"   // the house formula, which keeps a mineral as it is
)

// Range is a span of values in SI units; an end that is left open is infinite.
type Range struct{ Low, High float64 }

// Use is an ingredient at hand; without bounds, its usual ones hold.
type Use struct {
	Ingredient string
	Bounds     *Range // shares of dry matter
}

// Request is what is asked for. What is nil is as the species, the library and
// the limits have it.
type Request struct {
	Goal     Goal
	Use      []Use
	Nitrogen *Range   // share of dry matter
	CN       *Range   // carbon to nitrogen ratio
	Ash      *Range   // share of dry matter
	Air      *float64 // least air-filled share of the volume, 0 to below 1
}

// Line is one ingredient of a design.
type Line struct {
	Ingredient protocol.Ingredient
	Bounds     Range
	From       string
	House, Now float64 // shares of dry matter
}

// Figure is one quantity that was held to a target, in SI units.
type Figure struct {
	Quantity   string
	Target     Range
	From       string
	House, Now float64
}

// Design is a formula with what it was held to.
type Design struct {
	Input   process.Input    // with the new formula in the protocol
	Process *process.Process // of that
	Goal    Goal
	Lines   []Line // in the order of a sheet, those that are not used last
	Figures []Figure
	Held    []formula.Held
	Change  float64 // sum of all changes of shares, up and down

	// Objective is what the goal made least, before shares were rounded.
	Objective float64

	// What a kg of dry matter costs, of the house formula and of this one; nil
	// where a price is missing.
	HouseCost, Cost *float64
}

// Refusal is the error of a request that makes no sense, or that no formula
// meets; the message says why, and the hint what to do.
type Refusal struct {
	What, Hint protocol.Message
	Asked      bool // the request itself is at fault, whatever the farm's files say
	Against    []formula.Bound
	Reach      []formula.Reach
	Lines      []Line   // of an infeasible request: its bounds,
	Figures    []Figure // and its targets
}

func (r *Refusal) Error() string { return "design: " + r.What.ID }

func message(id string, pairs ...any) protocol.Message {
	m := protocol.Message{ID: id, Args: map[string]any{}}
	for i := 0; i+1 < len(pairs); i += 2 {
		m.Args[pairs[i].(string)] = pairs[i+1]
	}
	return m
}

// asked is a refusal of the request.
func asked(id string, pairs ...any) *Refusal {
	return &Refusal{What: message(id, pairs...), Hint: message(id + ".hint"), Asked: true}
}

// For designs a formula for a protocol. The error is a *Refusal, or what kept
// the protocol from being planned.
func For(in process.Input, r Request) (*Design, error) {
	house, err := process.Plan(in)
	if err != nil {
		return nil, err
	}
	if err := house.Ledger.Err(); err != nil {
		return nil, &Refusal{What: message("law.range", "error", err.Error()), Hint: message("design.mend.hint")}
	}
	d := &desk{in: in, request: r, house: house}
	if err := d.air(); err != nil {
		return nil, err
	}
	if err := d.ingredients(); err != nil {
		return nil, err
	}
	if err := d.targets(); err != nil {
		return nil, err
	}
	if err := d.costs(); err != nil {
		return nil, err
	}
	solved, err := formula.Solve(d.problem)
	if err != nil {
		return nil, d.refusal(err)
	}
	return d.design(solved)
}

// desk is a design in the making.
type desk struct {
	in      process.Input
	request Request
	house   *process.Process // the protocol as it is
	wide    *process.Process // with all ingredients at hand, those that are new at 0
	lines   []Line
	figures []Figure
	problem formula.Problem
	packed  Figure // the air, which no share moves
	priced  bool
}

// air refuses a protocol whose vessels are packed so wet that they weep. No
// formula mends that: the air between the particles follows from density and
// moisture. It says the moisture and the density that would do.
func (d *desk) air() error {
	least, from := low("porosity.unusual", "air_filled_porosity"), FromLimit
	if d.request.Air != nil {
		least, from = *d.request.Air, FromAsked
		if !(least >= 0 && least < 1) {
			return asked("design.air_share", "found", share(least))
		}
	}
	l := d.house.Ledger
	air := l.Value("air_filled_porosity")
	if air >= least-1e-9 {
		d.packed = Figure{Quantity: "air_filled_porosity", Target: Range{least, math.Inf(1)}, From: from}
		return nil
	}
	// The law is a straight line in the moisture, and in the density.
	rho := l.Value("packed_density")
	dry, err := vessel.Porosity.At(map[string]float64{"rho": rho, "m": 0})
	if err != nil {
		return err
	}
	water, err := vessel.Porosity.At(map[string]float64{"rho": rho, "m": 1})
	if err != nil {
		return err
	}
	refused := &Refusal{What: message("design.weeps", "air", share(air), "least", share(least))}
	density := unit.Amount{Kind: unit.DensityOf, Value: unit.Down(rho*(1-least)/(1-air)/10) * 10, Step: 10}
	moisture := unit.Down(1000*(dry-least)/(dry-water)) / 1000
	if moisture < low("moisture.never", "moisture_target") {
		refused.Hint = message("design.weeps.pack", "density", density)
	} else {
		refused.Hint = message("design.weeps.hint", "density", density, "moisture", unit.Amount{Kind: unit.ShareOf, Value: moisture, Step: 0.001})
	}
	return refused
}

func share(v float64) unit.Amount { return unit.Amount{Kind: unit.ShareOf, Value: v, Digits: 4} }

// row finds a limit by its id.
func row(id, quantity string) limit.Limit {
	for _, l := range limit.Of(quantity) {
		if l.ID == id {
			return l
		}
	}
	panic("design: no limit " + id)
}

// low is the lower bound of a limit that is a number.
func low(id, quantity string) float64 { return row(id, quantity).Low.Value }

// high is the upper one.
func high(id, quantity string) float64 { return row(id, quantity).High.Value }

// ingredients lists what may go in: the house formula's ingredients and those
// that the request names, with their bounds.
func (d *desk) ingredients() error {
	lib := d.in.Library.Ingredients
	use := map[string]Use{}
	for _, u := range d.request.Use {
		in, ok := lib[u.Ingredient]
		if !ok {
			r := asked("design.no_ingredient", "found", u.Ingredient)
			var known []string
			for id := range lib {
				known = append(known, id)
			}
			slices.Sort(known)
			r.Hint = message("design.no_ingredient.hint", "known", strings.Join(known, ", "))
			if near := protocol.Nearest(u.Ingredient, known); near != "" {
				r.Hint = message("design.no_ingredient.near", "near", near)
			}
			return r
		}
		if _, twice := use[u.Ingredient]; twice {
			return asked("design.twice", "found", u.Ingredient)
		}
		if b := u.Bounds; b != nil {
			switch {
			case !(b.Low >= 0 && b.Low <= 1 && b.High >= 0):
				return asked("design.bounds", "ingredient", in.ID)
			case b.Low > b.High:
				return asked("design.crossing", "of", message("design.name.share", "of", in.ID), "low", share(b.Low), "high", share(b.High))
			case b.High > float64(in.NeverAbove) && !math.IsInf(b.High, 1):
				return asked("design.never", "ingredient", in.ID, "found", share(b.High), "most", share(float64(in.NeverAbove)))
			}
		}
		use[u.Ingredient] = u
	}
	wide := d.in
	wide.Protocol.Substrate.Ingredients = slices.Clone(wide.Protocol.Substrate.Ingredients)
	for _, u := range d.request.Use {
		if !slices.ContainsFunc(wide.Protocol.Substrate.Ingredients, func(p protocol.Part) bool { return p.Ingredient == u.Ingredient }) {
			wide.Protocol.Substrate.Ingredients = append(wide.Protocol.Substrate.Ingredients, protocol.Part{Ingredient: u.Ingredient})
		}
	}
	var err error
	if d.wide, err = process.Plan(wide); err != nil {
		return err
	}
	if n := len(d.wide.Parts); n > formula.Most {
		return asked("design.too_many", "found", n, "most", formula.Most)
	}
	for _, part := range d.wide.Parts {
		line := Line{Ingredient: part.Ingredient, House: d.wide.Ledger.ValueOf("share_used", part.ID)}
		if now := share1000(line.House); math.Abs(now-line.House) < 1e-9 {
			line.House = now // 0.18, and not a bit beside it
		}
		line.Bounds, line.From = Range{0, float64(part.UsualMost)}, FromLibrary
		if part.Role == protocol.RoleMineral && line.House > 0 {
			line.Bounds, line.From = Range{line.House, line.House}, FromHouse
		}
		if b := use[part.ID].Bounds; b != nil {
			line.Bounds, line.From = *b, FromAsked
			if math.IsInf(b.High, 1) {
				line.Bounds.High = math.Max(b.Low, float64(part.UsualMost))
			}
		}
		d.lines = append(d.lines, line)
		d.problem.Ingredients = append(d.problem.Ingredients, formula.Ingredient{
			ID: part.ID, Low: line.Bounds.Low, High: line.Bounds.High, House: line.House,
		})
	}
	d.problem.Goal = d.request.Goal
	return nil
}

func share1000(v float64) float64 { return unit.Nearest(v*1000) / 1000 }

// design works the solved formula out like any protocol.
func (d *desk) design(solved *formula.Result) (*Design, error) {
	out := &Design{Input: d.in, Goal: d.request.Goal, Held: solved.Held, Objective: solved.Objective}
	var parts []protocol.Part
	for i := range d.lines {
		line := &d.lines[i]
		line.Now = solved.Shares[i]
		out.Change += math.Abs(line.Now - line.House)
		if line.Now > 0 {
			parts = append(parts, protocol.Part{Ingredient: line.Ingredient.ID, Share: unit.DryShare(line.Now)})
		}
	}
	out.Input.Protocol.Substrate.Ingredients = parts
	var err error
	if out.Process, err = process.Plan(out.Input); err != nil {
		return nil, err
	}
	out.HouseCost = d.cost(func(l Line) float64 { return l.House })
	out.Cost = d.cost(func(l Line) float64 { return l.Now })
	d.figures = append(d.figures, d.packed)
	for i := range d.figures {
		f := &d.figures[i]
		f.House, f.Now = value(d.house, f.Quantity), value(out.Process, f.Quantity)
	}
	out.Figures = d.figures
	// In the order of a sheet, which is that of the new process.
	place := map[string]int{}
	for i, part := range out.Process.Parts {
		place[part.ID] = i + 1
	}
	out.Lines = slices.Clone(d.lines)
	slices.SortStableFunc(out.Lines, func(a, b Line) int {
		i, j := place[a.Ingredient.ID], place[b.Ingredient.ID]
		if i == 0 || j == 0 {
			return j - i
		}
		return i - j
	})
	return out, nil
}

// value is a quantity of a process; that of the wettest ingredient where it has
// a subject.
func value(p *process.Process, name string) float64 {
	for _, q := range p.Ledger.Own() {
		if q.Name == name {
			return q.Value
		}
	}
	panic(fmt.Sprintf("design: no quantity %s", name))
}

// Changed reports whether the formula is another one than the house formula.
func (d *Design) Changed() bool { return d.Change > 1e-9 }
