package batch

import (
	"math"

	"bottlecrop/cmd/internal/unit"
)

// Parts of a mass that the step of its reading must not exceed: the fill of a
// vessel is read to a 300th of itself, a tenth of the usual tolerance of 3 %;
// a portion of spawn to a 30th (common practice, no source).
const (
	FinePart    = 300
	PortionPart = 30
)

// Reading is a mass (kg) as a person reads it off one of the farm's scales: rounded
// to the largest step of 1, 2 or 5 times a power of ten of the scale's unit
// that is no coarser than the mass divided by part, and that the scale can
// show. The scale is the finest that carries the mass; where it reads more
// coarsely than asked for, its own step is used, so that no figure is printed
// that nobody could weigh.
func (b *Batch) Reading(mass, part float64) unit.Amount {
	s := b.carrying(mass)
	return amountAt(s, mass, mass/part)
}

// FillReading is the mass of substrate in one vessel, and the lowest and the
// highest that its tolerance allows, all as read with the vessel on the scale
// and tared away. The low end is rounded up and the high end down: no reading
// within the printed band is outside the tolerance.
func (b *Batch) FillReading() (target, low, high unit.Amount) {
	mass, tolerance := b.Value("fill_mass"), b.Value("fill_tolerance")
	s := b.carrying(mass*(1+tolerance) + b.Value("vessel_empty"))
	target = amountAt(s, mass, mass/FinePart)
	low, high = target, target
	low.Value = math.Min(target.Value, up(mass*(1-tolerance), target.Step))
	high.Value = math.Max(target.Value, down(mass*(1+tolerance), target.Step))
	return target, low, high
}

// FullVessel is what one filled vessel with its lid weighs, for whoever lifts
// crates of them, to a 30th.
func (b *Batch) FullVessel() unit.Amount {
	return b.Reading(b.Value("fill_mass")+b.Value("vessel_empty")+b.Value("vessel_lid"), PortionPart)
}

// SampleReading is the sample of the mix that is dried in an oven: what is
// weighed in, what is left when the moisture is right, and the lowest and the
// highest that still are, as the finest scale shows them. The low end is rounded
// up and the high end down.
func (b *Batch) SampleReading() (wet, dry, low, high unit.Amount) {
	s := b.carrying(b.Value("sample_wet"))
	at := func(name string) unit.Amount { return s.Amount(b.Value(name)) }
	wet, dry, low, high = at("sample_wet"), at("sample_dry"), at("sample_dry_least"), at("sample_dry_most")
	dry.Value = unit.Nearest(dry.Value/s.Step) * s.Step
	low.Value = math.Min(dry.Value, up(low.Value, s.Step))
	high.Value = math.Max(dry.Value, down(high.Value, s.Step))
	return wet, dry, low, high
}

// GaugeReading is the band in which the sterilizer's dial must stand, in the
// dial's own unit and steps. The low end is rounded up and the high end down,
// so that a dial within the printed band is within the protocol's. A dial too
// coarse for its band gets the exact figures: a wrong mark would be worse than
// one between two lines.
func (b *Batch) GaugeReading() (low, high unit.Amount) {
	return onDial(b.Process.Sterilizer.Gauge, b.Value("gauge_pressure"), b.Value("gauge_highest"))
}

// GrainGaugeReading is the same for the run with spawn jars, which a farm that
// makes its own spawn has.
func (b *Batch) GrainGaugeReading() (low, high unit.Amount) {
	return onDial(b.Process.Grain.In.Gauge, b.Value("grain_gauge"), b.Value("grain_gauge_highest"))
}

func onDial(g unit.Step, set, highest float64) (low, high unit.Amount) {
	amount := unit.Amount{Kind: unit.GaugePressureOf, Step: g.Size, Unit: g.Unit}
	low, high = amount, amount
	low.Value, high.Value = up(set, g.Size), down(highest, g.Size)
	if low.Value > high.Value {
		low.Value, high.Value = set, highest
		low.Step, high.Step = 0, 0
	}
	return low, high
}

// carrying is the finest of the farm's scales that carries a mass; where none
// does, the strongest.
func (b *Batch) carrying(mass float64) Scale {
	scales := Scales(b.Process.Input.Farm, b.Process.Input.Units)
	best := scales[0]
	for _, s := range scales[1:] {
		switch {
		case s.Most >= mass && (best.Most < mass || s.Step < best.Step),
			s.Most < mass && s.Most > best.Most:
			best = s
		}
	}
	return best
}

// amountAt rounds a mass to the step of a reading on a scale.
func amountAt(s Scale, mass, coarsest float64) unit.Amount {
	name := s.Unit
	if name == "" {
		name = unit.UnitFor(unit.MassOf, mass, unit.Metric)
	}
	a := s.Amount(mass)
	a.Step = readable(s.Step, coarsest, name)
	a.Value = unit.Nearest(mass/a.Step) * a.Step
	return a
}

// readable is the largest round step of the named unit up to the coarsest
// wanted that is a whole number of a scale's steps; else the scale's step.
func readable(step, coarsest float64, name string) float64 {
	size := unit.SizeOf(unit.MassOf, name)
	power := math.Pow(10, unit.Down(math.Log10(coarsest/size)))
	for p := power; p*size*5 >= step; p /= 10 {
		for _, m := range []float64{5, 2, 1} {
			try := m * p * size
			if try <= coarsest*(1+hair) && whole(try/step) {
				return try
			}
		}
	}
	return step
}

// hair is the share by which floating-point noise may move a ratio.
const hair = 1e-9

func whole(x float64) bool {
	return x > 0.5 && math.Abs(x-math.Round(x)) <= hair*x
}

func up(v, step float64) float64   { return unit.Up(v/step) * step }
func down(v, step float64) float64 { return unit.Down(v/step) * step }
