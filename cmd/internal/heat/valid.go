package heat

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/working"
)

// within returns a working.RangeError for a value outside what is taken, NaN
// included.
func within(quantity, unit string, found, least, most float64, why string) error {
	if err := working.Within(quantity, unit, found, least, most, why); err != nil {
		return fmt.Errorf("heat: %w", err)
	}
	return nil
}

// Limits of what is taken: matter that is wet but not boiling away, in vessels
// that a farm could own. Design choices; the laws have ranges of their own.
const (
	leastTemperature  = 250.0 // K
	mostTemperature   = 450.0 // K
	leastLength       = 1e-3  // m
	mostLength        = 10.0  // m
	mostConductance   = 1e6   // W/(m²·K)
	leastConductivity = 0.01  // W/(m·K)
	mostConductivity  = 100.0 // W/(m·K)
	leastHeatCapacity = 1e4   // J/(m³·K)
	mostHeatCapacity  = 1e7   // J/(m³·K)
	mostTime          = 1e7   // s, 115 days
	mostPoints        = 1_000_000
	mostSteps         = 200_000
	mostKept          = 40_000_000 // cells times steps: 320 MB
)

// check returns the first fault of a problem.
func (p *Problem) check() error {
	b, h := p.Body, p.Hole
	type limit struct {
		quantity, unit     string
		found, least, most float64
		why                string
	}
	limits := []limit{
		{"body's radius", "m", b.Radius, leastLength, mostLength, ""},
		{"body's height", "m", b.Height, leastLength, mostLength, ""},
		{"hole's radius", "m", h.Radius, 0, 0.95 * b.Radius, "it must leave matter around it"},
		{"hole's depth", "m", h.Depth, 0, b.Height, "it can be no deeper than the matter"},
		{"starting temperature", "K", p.Start, leastTemperature, mostTemperature, ""},
		{"start of the hold", "s", p.HoldFrom, 0, mostTime, ""},
		{"end of the hold", "s", p.HoldTo, p.HoldFrom, mostTime, "it can't end before it begins"},
		{"end of the solution", "s", p.end(), math.Max(p.HoldTo, math.SmallestNonzeroFloat64), mostTime,
			"it can't end before the hold does, and must take time"},
		{"dose's reference temperature", "K", p.Dose.Reference, leastTemperature, mostTemperature, ""},
		{"dose's z", "K", p.Dose.Z, 1, 100, ""},
		{"grid's radial cells", "", float64(p.Grid.Radial), 4, 1024, ""},
		{"grid's axial cells", "", float64(p.Grid.Axial), 4, 1024, ""},
		{"grid's time step", "s", p.Grid.Step, 0.1, 3600, ""},
	}
	surfaces := []Surfaces{p.Surfaces}
	if p.Later != nil {
		limits = append(limits, limit{"time of the later conductances", "s", p.Later.At, 0, p.end(), "the time of the solution"})
		surfaces = append(surfaces, p.Later.Surfaces)
	}
	for i, s := range surfaces {
		name := [...]string{"conductance of the ", "later conductance of the "}[i]
		limits = append(limits,
			limit{name + "side", "W/(m²·K)", s.Side, 0, mostConductance, ""},
			limit{name + "bottom", "W/(m²·K)", s.Bottom, 0, mostConductance, ""},
			limit{name + "top", "W/(m²·K)", s.Top, 0, mostConductance, ""},
			limit{name + "hole", "W/(m²·K)", s.Hole, 0, mostConductance, ""})
	}
	for _, l := range limits {
		if err := within(l.quantity, l.unit, l.found, l.least, l.most, l.why); err != nil {
			return err
		}
	}
	if (h.Radius == 0) != (h.Depth == 0) {
		return fmt.Errorf("heat: the hole has a radius of %v m and a depth of %v m: give both, or neither for no hole", h.Radius, h.Depth)
	}
	if err := p.Chamber.check(); err != nil {
		return err
	}
	return p.checkMatter()
}

// checkMatter looks at the properties over all temperatures that can occur:
// those between the coldest and the hottest of start and surroundings.
func (p *Problem) checkMatter() error {
	least, most := p.span()
	m := p.Matter
	if err := m.Conductivity.check("conductivity", "W/(m·K)", leastConductivity, mostConductivity, least, most); err != nil {
		return err
	}
	if err := m.HeatCapacity.check("heat capacity", "J/(m³·K)", leastHeatCapacity, mostHeatCapacity, least, most); err != nil {
		return err
	}
	if m.Vapor != nil {
		if err := m.Vapor.check(most); err != nil {
			return err
		}
	}
	return p.checkSize()
}

// checkSize bounds the work and the memory that a problem takes.
func (p *Problem) checkSize() error {
	steps := math.Ceil(p.end() / p.step())
	if err := within("number of steps of the solution", "", steps, 0, mostSteps, "take a longer step, or less time"); err != nil {
		return err
	}
	return within("number of cells times steps", "", float64(p.Grid.Radial)*float64(p.Grid.Axial)*steps,
		0, mostKept, "take a longer step, less time or fewer cells")
}
