package unit

import "math"

// Whole numbers of a computed value. The last bits of a product are not the same on every
// processor: some fuse a multiplication and an addition, and exponentials and logarithms
// have instructions of their own. What is printed, counted or weighed out has to be the
// same on all of them. So a half that is missed by a hair counts as a half, and a whole
// number that is missed by one counts as it. TestSameOnOtherProcessors holds a book to that.

// hair is by how much a number may miss another and count as it: a part in 1e9, and a
// hundredth at most. Arithmetic in 64 bits errs by far less here, and nobody reads as much.
func hair(x float64) float64 { return min(float64(1e-9*max(1, math.Abs(x))), 0.01) }

// Nearest is the whole number nearest to x; a half goes away from zero.
func Nearest(x float64) float64 { return math.Round(x + math.Copysign(hair(x), x)) }

// Up is the least whole number that x does not exceed.
func Up(x float64) float64 { return math.Ceil(x - hair(x)) }

// Down is the greatest whole number that does not exceed x.
func Down(x float64) float64 { return math.Floor(x + hair(x)) }
