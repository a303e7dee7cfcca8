package batch

import (
	"bottlecrop/cmd/internal/unit"
)

// Phase is a part of the way of the largest load through the sterilizer. It
// begins when loading begins and so long after that.
type Phase struct {
	ID          string // load, up, vent, up-again, hold, fall, lid or unload
	From, Takes unit.Duration
}

// Phases are the parts of load_cycle, in their order and without a gap. The
// come-up is the one that the day is planned with, cut as the computed one is.
func (b *Batch) Phases() []Phase {
	cycle := b.Ledger.Get("load_cycle")
	if cycle == nil {
		return nil
	}
	of := map[string]float64{}
	for _, in := range cycle.Inputs {
		of[in.Symbol] = in.Quantity.Value
	}
	up := b.Value("come_up_planned")
	first := up * b.Value("up_to_boiling") / b.Value("come_up_computed")
	var out []Phase
	at := 0.0
	add := func(id string, takes float64) {
		out = append(out, Phase{id, unit.Duration(at), unit.Duration(takes)})
		at += takes
	}
	add("load", of["t_load"])
	add("up", first)
	add("vent", b.Value("vent"))
	add("up-again", up-first)
	add("hold", b.Value("hold"))
	add("fall", of["t_fall"])
	add("lid", of["t_open"]+of["t_lid"])
	add("unload", of["t_out"])
	return out
}
