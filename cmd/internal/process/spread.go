package process

import (
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/substrate"
)

// Scatter is what a sample of the protocol's runs and vessels is drawn around.
func (p *Process) Scatter() run.Scatter {
	dial := run.GaugeError(p.Value("gauge_step"), p.Value("gauge_pressure"), p.Value("rated_pressure"))
	return run.Scatter{
		Case: p.Case, Gauge: p.Value("gauge_pressure"),
		Density: p.Value("substrate_density"), Moisture: p.Value("moisture_target"),
		Wall: p.Value("vessel_wall"), OfWall: p.Value("wall_conductivity"),
		Target: p.Value("f0_target"), Floor: p.Value("f0_floor"),
		Intervals: run.Usual(dial, p.Value("air_left"), p.Value("fill_tolerance"), substrate.MoistureGive),
	}
}

// Spread works out how far the protocol's runs and vessels lie apart. It takes
// about a second, so nothing asks for it but a book that shows it; it is no part
// of the ledger, since no limit runs over it. It is remembered. The error is
// that of a sample out of the range of a law.
func (p *Process) Spread() (*run.Spread, error) { return run.SpreadOf(p.Scatter()) }

// What a spread is made of, for who shows it.
type (
	Samples   = run.Samples
	Influence = run.Influence
)
