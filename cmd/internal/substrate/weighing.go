package substrate

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bottlecrop/cmd/internal/unit"
)

// Scale is a balance, as far as choosing one goes.
type Scale struct {
	Step     float64 // kg, the smallest step that it shows
	Capacity float64 // kg, the most that it weighs at once
}

// A mass is best weighed on a scale of which it makes at least 100 steps, for
// then the rounding is 0.5 % at most; below 25 steps it would be above 2 %. The
// usual rule is 50 and 20 steps (common practice, no source), which uses up all
// of the 1 % and 2.5 % that a share may be moved by, and leaves nothing for the
// rounding of the ingredients around it.
const (
	goodSteps  = 100
	leastSteps = 25
)

// stepSlack lets a mass that is 100 steps but for the last bits count as 100.
const stepSlack = 1e-9

// TooSmall is a mass that no scale at hand weighs to 2 %.
type TooSmall struct {
	Mass  float64 // kg, what was to be weighed
	Least float64 // kg, the least that the finest scale weighs well enough
}

func (e TooSmall) Error() string {
	return fmt.Sprintf("substrate: %.4g kg cannot be weighed to 2 %%, the finest scale begins at %.4g kg: make a premix, a bigger batch, or use a finer scale",
		e.Mass, e.Least)
}

var errNoScale = errors.New("substrate: no scale with a step above zero")

// PickScale chooses the scale for a mass in kg: the coarsest of which the mass
// makes at least 100 steps, else the finest if the mass makes at least 25 of its
// steps. Else the error is a TooSmall. The result is an index into scales,
// which may be in any order; of scales with equal steps the first is taken. A
// mass above the capacity is weighed in several goes, see Weighings.
func PickScale(mass float64, scales []Scale) (int, error) {
	coarsest, finest := -1, -1
	for i, s := range scales {
		if !(s.Step > 0) {
			continue
		}
		if finest < 0 || s.Step < scales[finest].Step {
			finest = i
		}
		if reaches(mass, goodSteps*s.Step) && (coarsest < 0 || s.Step > scales[coarsest].Step) {
			coarsest = i
		}
	}
	switch {
	case finest < 0:
		return -1, errNoScale
	case coarsest >= 0:
		return coarsest, nil
	case reaches(mass, leastSteps*scales[finest].Step):
		return finest, nil
	}
	return -1, TooSmall{Mass: mass, Least: leastSteps * scales[finest].Step}
}

func reaches(mass, least float64) bool { return mass >= least*(1-stepSlack) }

// mostSteps is how far a float64 counts steps one by one.
const mostSteps = 1 << 53

// WeighingCount is how many goes a mass takes on a scale of that step and
// capacity (all in kg). It is 0 for a mass that rounds to nothing, or is past
// counting in steps, and for a scale whose capacity is below one step.
func WeighingCount(mass, step, capacity float64) int {
	total, most := inSteps(mass, step, capacity)
	if !(total >= 1 && total <= mostSteps && most >= 1) { // NaN is refused too
		return 0
	}
	return int(max(1, math.Ceil(total/most))) // 1 on a scale without a limit
}

// Weighings divides a mass, rounded to the scale's step, into goes that are as
// equal as whole steps allow, the larger ones first. Each is a multiple of step
// and within capacity (all in kg), and counted in steps they sum exactly to the
// rounded mass. It returns nil where WeighingCount is 0.
func Weighings(mass, step, capacity float64) []float64 {
	count := WeighingCount(mass, step, capacity)
	if count == 0 {
		return nil
	}
	total, _ := inSteps(mass, step, capacity)
	each := math.Floor(total / float64(count))
	larger := int(total - each*float64(count))
	goes := slices.Repeat([]float64{each * step}, count)
	for i := range larger {
		goes[i] = (each + 1) * step
	}
	return goes
}

// inSteps counts a mass and a capacity in steps of the scale.
func inSteps(mass, step, capacity float64) (total, most float64) {
	if !(step > 0) {
		return 0, 0
	}
	return unit.Nearest(mass / step), math.Floor(capacity / step * (1 + stepSlack))
}
