package work

import (
	"slices"

	"bottlecrop/cmd/internal/working"
)

// The laws of the hands-on time of a farm's own step: t once, and t_each for
// each of n vessels.
var (
	ownOnce = working.NewLaw("t", asWritten, nil)
	ownEach = working.NewLaw("t_each * n", asWritten, nil)
	ownBoth = working.NewLaw("t + t_each * n", asWritten, nil)
)

const asWritten = "the times that the protocol gives for its own step"

// OwnHandsOn is the hands-on time of a step of the farm's own that is given once,
// for each vessel, or both; it is nil for one without either.
func OwnHandsOn(once, each bool) *working.Law {
	switch {
	case once && each:
		return ownBoth
	case once:
		return ownOnce
	case each:
		return ownEach
	}
	return nil
}

// Placed is a step of a farm's own and the step that it stands right after, or
// right before. The other may be a step of the farm's own too.
type Placed struct {
	ID, At StepID
	Before bool
}

// Order is the whole cycle with a farm's own steps in their places. The order in
// which they are given says nothing, as long as no two stand at the same place;
// those that hang on one another in a circle, or on nothing, are left out.
func Order(own []Placed) []StepID {
	out := Steps()
	for left := own; len(left) > 0; {
		var later []Placed
		for _, p := range left {
			i := slices.Index(out, p.At)
			if i < 0 {
				later = append(later, p)
				continue
			}
			if !p.Before {
				i++
			}
			out = slices.Insert(out, i, p.ID)
		}
		if len(later) == len(left) {
			break
		}
		left = later
	}
	return out
}
