package crop

import "bottlecrop/cmd/internal/working"

// MiddleOfSpan is the usual length of a stage where only its span is known,
// the middle of t_low and t_high in s (a design choice).
var MiddleOfSpan = working.NewLaw("(t_low + t_high) / 2", "middle of the span, a design choice", nil)

// CoreAboveAir is how much warmer than the air beside it the middle of a vessel
// is at least when it grows well, K. It may be twice as much.
const CoreAboveAir = 2

// CoreAboveAirSource is where CoreAboveAir and its double are from.
const CoreAboveAirSource = "cores run 2 to 4 K above the air: common practice; up to 4 K in enoki bottles (Acta Edulis Fungi 2024)"

// ProbeMost is the most that a probe in the air between the vessels may read,
// K, where the middle of a vessel bears T_core. It leaves the least rise that is
// usual: with the largest, most species could not be grown at the air that they
// like best.
var ProbeMost = working.NewLaw("T_core - 2", CoreAboveAirSource, nil)
