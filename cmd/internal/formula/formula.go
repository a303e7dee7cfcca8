// Package formula finds the shares of dry matter that a substrate should have:
// the cheapest within bounds and targets, or those closest to the formula that
// a farm has. It knows ingredients by their figures alone.
//
// Shares are of dry matter and sum to 1. A target is a ratio of two sums over
// the shares, so that a share of dry matter (nitrogen, ash) and a quotient
// (C:N) are held alike: a bound R on Σ top·x / Σ bottom·x is the linear
// condition Σ (top − R·bottom)·x ≥ 0 or ≤ 0.
//
// The order of the ingredients carries no meaning: whatever it is, the result
// is the same.
package formula

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Step is what shares are rounded to, a tenth of a percent (design choice: with
// the usual batches no scale that a farm has tells less apart).
const Step = 0.001

// steps is how many of them the whole has.
const steps = 1000

// Most is how many ingredients a problem may have.
const Most = 24

// Goal says which of all formulas within the bounds is wanted.
type Goal uint8

// The goals.
const (
	Cheapest     Goal = iota + 1 // least cost of a kg of dry matter
	Closest                      // least sum of changes from the house formula
	LeastSquares                 // least sum of squared changes: many small ones rather than a few large
)

// Ingredient is one that may go into the formula.
type Ingredient struct {
	ID        string
	Low, High float64 // bounds of its share
	House     float64 // its share in the house formula
	Cost      float64 // of a kg of its dry matter
}

// fixed reports whether the bounds leave no choice.
func (i Ingredient) fixed() bool { return i.Low == i.High }

// Target is a range for Σ Top·x / Σ Bottom·x. Low and High may be infinite; the
// same for both is one value to be met.
type Target struct {
	ID        string
	Top       []float64 // by ingredient, in the order of the problem
	Bottom    []float64 // the same, none below 0; nil is 1 for all
	Low, High float64
	Give      float64 // how far off the rounded shares may be where one value is to be met
	Loosen    float64 // how much of a change of a bound the account tells the effect of
}

// value is what shares make of the target. It is infinite or not a number where
// Bottom sums to 0.
func (t Target) value(shares []float64) float64 {
	top, bottom := 0.0, 0.0
	for i, x := range shares {
		top += float64(t.Top[i] * x)
		bottom += float64(t.below(i) * x)
	}
	return top / bottom
}

func (t Target) below(i int) float64 {
	if t.Bottom == nil {
		return 1
	}
	return t.Bottom[i]
}

// point reports whether one value is to be met.
func (t Target) point() bool { return t.Low == t.High }

// Problem is what is to be solved.
type Problem struct {
	Ingredients []Ingredient
	Targets     []Target
	Goal        Goal
}

// Bound is one side of the range of an ingredient's share or of a target.
type Bound struct {
	Of     string // id of the ingredient or of the target
	Target bool
	Upper  bool
}

// Held is a bound that keeps the formula from being better.
type Held struct {
	Bound
	By   float64 // the change of the bound: Step for a share, Loosen for a target
	Gain float64 // what that takes off the objective
}

// Result is a formula.
type Result struct {
	Shares    []float64 // rounded to Step, within all bounds, in the order of the problem
	Exact     []float64 // before rounding
	Objective float64   // of the exact shares: cost of a kg, sum of changes, or sum of squares
	Rounded   float64   // of the rounded shares
	Held      []Held    // by id
}

// Reach is the range that a target can have with these ingredients and bounds,
// the other targets left out. High is infinite where Bottom can be 0.
type Reach struct {
	Target    string
	Low, High float64
}

// Infeasible is the error of a problem that no formula solves.
type Infeasible struct {
	Against []Bound // bounds that contradict one another; without any one of them a formula would be there
	Reach   []Reach // of each target; none where the shares cannot even sum to 1
}

func (e *Infeasible) Error() string {
	return fmt.Sprintf("formula: no formula meets these %d bounds together", len(e.Against))
}

// ErrNotInSteps is the error of a problem that exact shares solve and shares
// rounded to Step do not.
var ErrNotInSteps = errors.New("formula: no shares in steps of 0.1 % keep within all bounds")

// Solve finds the formula. The error is *Infeasible, ErrNotInSteps, or says
// what is wrong with the problem.
func Solve(p Problem) (*Result, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	order := make([]int, len(p.Ingredients))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(p.Ingredients[a].ID, p.Ingredients[b].ID) })
	s := p.sorted(order)
	exact, err := s.best()
	if errors.Is(err, errNone) {
		return nil, s.infeasible()
	}
	if err != nil {
		return nil, err
	}
	rounded, err := s.round(exact)
	if err != nil {
		return nil, err
	}
	held, err := s.held(exact)
	if err != nil {
		return nil, err
	}
	r := &Result{
		Shares: make([]float64, len(order)), Exact: make([]float64, len(order)),
		Objective: s.objective(exact), Rounded: s.objective(rounded), Held: held,
	}
	for to, from := range order {
		r.Shares[from], r.Exact[from] = rounded[to], exact[to]
	}
	return r, nil
}

// sorted is the problem with its ingredients in another order, and its targets
// by id.
func (p Problem) sorted(order []int) Problem {
	s := Problem{Goal: p.Goal}
	for _, from := range order {
		s.Ingredients = append(s.Ingredients, p.Ingredients[from])
	}
	for _, t := range p.Targets {
		top, bottom := make([]float64, len(order)), make([]float64, len(order))
		for to, from := range order {
			top[to], bottom[to] = t.Top[from], t.below(from)
		}
		t.Top, t.Bottom = top, bottom
		s.Targets = append(s.Targets, t)
	}
	slices.SortFunc(s.Targets, func(a, b Target) int { return cmp.Compare(a.ID, b.ID) })
	return s
}

// objective is what the goal makes of shares.
func (p Problem) objective(shares []float64) float64 {
	sum := 0.0
	for i, x := range shares {
		in := p.Ingredients[i]
		switch p.Goal {
		case Cheapest:
			sum += float64(in.Cost * x)
		case Closest:
			sum += math.Abs(x - in.House)
		case LeastSquares:
			sum += float64((x - in.House) * (x - in.House))
		}
	}
	return sum
}

// check refuses a problem that makes no sense.
func (p Problem) check() error {
	if n := len(p.Ingredients); n == 0 || n > Most {
		return fmt.Errorf("formula: %d ingredients; 1 to %d are possible", n, Most)
	}
	if p.Goal < Cheapest || p.Goal > LeastSquares {
		return errors.New("formula: no goal")
	}
	seen := map[string]bool{}
	for _, in := range p.Ingredients {
		switch {
		case seen[in.ID]:
			return fmt.Errorf("formula: %s stands there twice", in.ID)
		case !(in.Low >= 0 && in.Low <= in.High && in.High <= 1): // so that NaN is refused
			return fmt.Errorf("formula: the share of %s is to be from %g to %g; from 0 to 1, the lower first, is possible", in.ID, in.Low, in.High)
		case !finite(in.House, in.Cost):
			return fmt.Errorf("formula: a figure of %s is not a finite number", in.ID)
		}
		seen[in.ID] = true
	}
	seen = map[string]bool{}
	for _, t := range p.Targets {
		switch {
		case seen[t.ID]:
			return fmt.Errorf("formula: target %s stands there twice", t.ID)
		case len(t.Top) != len(p.Ingredients) || t.Bottom != nil && len(t.Bottom) != len(p.Ingredients):
			return fmt.Errorf("formula: target %s has figures for other ingredients", t.ID)
		case !finite(t.Top...) || !finite(t.Bottom...):
			return fmt.Errorf("formula: a figure of target %s is not a finite number", t.ID)
		case t.Bottom != nil && slices.Min(t.Bottom) < 0:
			return fmt.Errorf("formula: target %s divides by a figure below 0", t.ID)
		case !(t.Low <= t.High) || math.IsInf(t.Low, 1) || math.IsInf(t.High, -1):
			return fmt.Errorf("formula: target %s is to be from %g to %g", t.ID, t.Low, t.High)
		}
		seen[t.ID] = true
	}
	return nil
}

func finite(list ...float64) bool {
	return !slices.ContainsFunc(list, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}
