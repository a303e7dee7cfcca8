package crop

import "bottlecrop/cmd/internal/working"

// MiddleOfSpan is the usual length of a stage where only its span is known,
// the middle of t_low and t_high in s (a design choice).
var MiddleOfSpan = working.NewLaw("(t_low + t_high) / 2", "middle of the span, a design choice", nil)
