package results

import (
	"slices"

	"bottlecrop/cmd/internal/chance"
	"bottlecrop/cmd/internal/protocol"
)

// Causes are the losses by where they were found and by what they looked like.
type Causes struct {
	Stages  []string // that have any, in the order of the work
	Reasons []string // likewise
	Count   map[[2]string]int
	All     int
	Hints   []Hint
}

// Of is how many were lost at a stage for a reason; "" sums over all.
func (c Causes) Of(stage, reason string) int {
	n := 0
	for k, v := range c.Count {
		if (stage == "" || k[0] == stage) && (reason == "" || k[1] == reason) {
			n += v
		}
	}
	return n
}

// Hint is what a pattern of losses points to. A pattern is no proof.
type Hint struct {
	ID      string // "bottom", "cap", "lot", "wet", "late" or "weak"
	Count   int    // losses that have the pattern
	Of      int    // losses of which it is known whether they have it
	Code    string // of the batch, for "lot"
	Lot     string
	Vessels int     // that got spawn from the lot
	Filled  int     // of which it is known which lot they had
	Chance  float64 // how often so many or more fall on one lot by chance alone
}

// A pattern is told where it has so many losses, and half of those of which it is
// known (common practice, no source).
const fewestOfPattern = 4

// rarely is how seldom chance may bring what is told as the mark of one lot: a design
// choice, stricter than usual since every lot of every batch is looked at.
const rarely = 0.01

func causesOf(all []Batch) (Causes, error) {
	c := Causes{Count: map[[2]string]int{}}
	where, late, overLate := map[string]int{}, 0, 0
	placed := 0
	for _, b := range all {
		for _, l := range b.Lost {
			c.Count[[2]string{l.At, l.Why}] += l.Count
			c.All += l.Count
			growth := l.Why == "green" || l.Why == "black" || l.Why == "wet"
			if l.Where != "" && growth {
				where[l.Where] += l.Count
				placed += l.Count
			}
			if growth && (l.At == "pinning" || l.At == "fruiting") {
				overLate += l.Count
				if l.Where == "all-over" || l.Where == "" {
					late += l.Count
				}
			}
		}
	}
	for _, s := range protocol.Stages {
		if c.Of(s, "") > 0 {
			c.Stages = append(c.Stages, s)
		}
	}
	for _, r := range protocol.Reasons {
		if c.Of("", r) > 0 {
			c.Reasons = append(c.Reasons, r)
		}
	}
	add := func(id string, n, of int) {
		if n >= fewestOfPattern && 2*n >= of {
			c.Hints = append(c.Hints, Hint{ID: id, Count: n, Of: of})
		}
	}
	add("bottom", where["bottom"]+where["center"], placed)
	add("cap", where["cap"], placed)
	grown := c.Of("", "green") + c.Of("", "black") + c.Of("", "wet")
	add("wet", c.Of("", "wet"), grown)
	add("late", late, grown)
	add("weak", c.Of("", "no-growth"), c.All)
	for _, b := range all {
		hints, err := lotsOf(b)
		if err != nil {
			return c, err
		}
		c.Hints = append(c.Hints, hints...)
	}
	return c, nil
}

// lotsOf looks whether the losses of a batch fell on one of its lots of spawn.
func lotsOf(b Batch) ([]Hint, error) {
	if len(b.Spawned) < 2 {
		return nil, nil
	}
	vessels, lost, of := 0, 0, map[string]int{}
	for _, s := range b.Spawned {
		vessels += s.Vessels
	}
	for _, l := range b.Lost {
		if l.Lot != "" {
			of[l.Lot] += l.Count
			lost += l.Count
		}
	}
	var out []Hint
	for _, s := range b.Spawned {
		n := of[s.Lot]
		if n < fewestOfPattern {
			continue
		}
		fewer, err := chance.Accept(vessels, s.Vessels, lost, n-1)
		if err != nil {
			return nil, err
		}
		if more := max(0, 1-fewer); more < rarely {
			out = append(out, Hint{ID: "lot", Count: n, Of: lost, Code: b.Code, Lot: s.Lot, Vessels: s.Vessels, Filled: vessels, Chance: more})
		}
	}
	slices.SortStableFunc(out, func(x, y Hint) int { return y.Count - x.Count })
	return out, nil
}
