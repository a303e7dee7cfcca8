package run

import (
	"math"
	"math/rand/v2"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/vessel"
	"bottlecrop/cmd/internal/working"
)

// Scatter is what the samples of a method are drawn around: its case, those
// values from which the case was made that are not the same in every run or
// vessel, and how far each of them goes.
type Scatter struct {
	Case      Case
	Gauge     float64 // pressure that the gauge shows, Pa
	Density   float64 // of the packed substrate, wet, kg/m³
	Moisture  float64 // share of the wet mass
	Wall      float64 // thickness, m
	OfWall    float64 // conductivity of the wall, W/(m·K)
	Target    float64 // dose, s
	Floor     float64 // dose, s
	Intervals [inputs]Interval
}

// Input is something that is drawn.
type Input int

// The inputs: the first three once for a run, the others for each vessel.
const (
	GaugeOff     Input = iota // true pressure less what the gauge shows, Pa
	Air                       // mole fraction of air left in the chamber
	ComeUp                    // come-up over the case's
	Density                   // packed density over the mean
	Moisture                  // moisture less the mean, share of the wet mass
	Conductivity              // without vapor, W/(m·K)
	Vapor                     // how freely vapor moves: share of heat.DefaultTortuosity
	Bore                      // conductance of the bore's wall, W/(m²·K)
	inputs       = iota
)

// perRun is how many of the inputs are drawn once a run.
const perRun = int(ComeUp) + 1

// varies lists the inputs that are not the same in all samples.
func (s Scatter) varies() []Input {
	var out []Input
	for i, v := range s.Intervals {
		if v.Low != v.High && (Input(i) != Bore || s.Case.BoreRadius > 0) {
			out = append(out, Input(i))
		}
	}
	return out
}

// String is the input's name in messages.
func (i Input) String() string {
	return [inputs]string{"gauge", "air", "come-up", "density", "moisture", "conductivity", "vapor", "bore"}[i]
}

// EachRun says whether an input is drawn once for all vessels of a run.
func (i Input) EachRun() bool { return int(i) < perRun }

// Form is how the values of an input lie between their ends.
type Form uint8

// The forms.
const (
	Even    Form = iota // as often everywhere
	Bell                // normal, its ends two standard deviations from the middle
	Decades             // as often in each part of a power of ten; ends above zero
)

// Interval is where the values of an input lie, in its SI unit.
type Interval struct {
	Form      Form
	Low, High float64
}

// at is the value below which a share u of all values lies.
func (v Interval) at(u float64) float64 {
	if v.Low == v.High {
		return v.Low
	}
	switch v.Form {
	case Bell:
		// Cut off at two standard deviations: what lies beyond is found and mended
		// when the vessel is weighed and the mix is checked.
		const ends = 2
		below := math.Erfc(ends/math.Sqrt2) / 2
		x := math.Sqrt2 * math.Erfinv(2*(below+float64(u*(1-2*below)))-1)
		middle, half := (v.Low+v.High)/2, (v.High-v.Low)/2
		return min(max(middle+float64(half*x/ends), v.Low), v.High)
	case Decades:
		return v.Low * math.Pow(v.High/v.Low, u)
	}
	return v.Low + float64(u*(v.High-v.Low))
}

// The intervals of what nobody sets.
const (
	// HighConductivity is the upper end of the band (see LowConductivity).
	HighConductivity = 0.40
	// LeastBore is a bore that kept its air; SteamInBore is the other end.
	LeastBore = 5.0
	// comeUpOff is how much longer or shorter a come-up may be than the one the
	// farm has timed: design choice.
	comeUpOff = 0.10
	// gaugeOff is the error of a dial as a share of its full scale: 2 %, as of a
	// dial of the usual grade in the middle half of its scale (ASME B40.100 grade
	// B, from memory).
	gaugeOff = 0.02
)

// GaugeError is how far in Pa a dial may be off, either way: half of its step,
// for the eye, and a share of its full scale. A dial's scale goes to twice what
// it is used at, or to what the vessel is rated for where that is more (design
// choice).
func GaugeError(step, gauge, rated float64) float64 {
	return step/2 + gaugeOff*max(2*gauge, rated)
}

// Usual are the intervals of a method: gaugeError in Pa either way; airLeft, the
// mole fraction of air that is reckoned with, 0 after a full vent, which then
// stays 0 (else 0 to twice that: design choice); the tolerance of filling as a
// share of the mass; and how far the moisture may be off, as a share of the wet
// mass. The bore's wall conducts as often a tenth of what it may as ten times
// that, for nobody knows (design choice).
func Usual(gaugeError, airLeft, tolerance, moistureOff float64) [inputs]Interval {
	return [inputs]Interval{
		GaugeOff:     {Even, -gaugeError, gaugeError},
		Air:          {Even, 0, 2 * airLeft},
		ComeUp:       {Even, 1 - comeUpOff, 1 + comeUpOff},
		Density:      {Bell, 1 - tolerance, 1 + tolerance},
		Moisture:     {Bell, -moistureOff, moistureOff},
		Conductivity: {Even, LowConductivity, HighConductivity},
		Vapor:        {Even, 0, 1},
		Bore:         {Decades, LeastBore, SteamInBore},
	}
}

// seed begins the sequence of every sample: the digits of pi. It is the same for
// all methods, so that all meet with the same luck, and what differs between two
// of them, or between two holds, is never chance.
const (
	seedHigh = 3141592653589793
	seedLow  = 2384626433832795
)

// stream gives shares above 0 and below 1. They come from the bits of the
// generator alone, whose algorithm is fixed (M. O'Neill's PCG-DXSM).
type stream struct{ *rand.PCG }

func (s stream) share() float64 { return (float64(s.Uint64()>>11) + 0.5) / (1 << 53) }

// layers gives n shares, one in each nth part, in random order: a Latin
// hypercube (McKay, Beckman and Conover, Technometrics 21 (1979) 239), which
// needs fewer samples than plain chance for the same certainty.
func (s stream) layers(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = (float64(i) + s.share()) / float64(n)
		j := int(s.share() * float64(i+1)) // a random order, as it grows
		out[i], out[j] = out[j], out[i]
	}
	return out
}

// draws are the samples, run by run, by input.
func (s Scatter) draws() [][inputs]float64 {
	random := stream{rand.NewPCG(seedHigh, seedLow)}
	out := make([][inputs]float64, spreadRuns*spreadVessels)
	for in := range perRun {
		for run, u := range random.layers(spreadRuns) {
			for k := range spreadVessels {
				out[run*spreadVessels+k][in] = s.Intervals[in].at(u)
			}
		}
	}
	for run := range spreadRuns {
		for in := perRun; in < inputs; in++ {
			for k, u := range random.layers(spreadVessels) {
				out[run*spreadVessels+k][in] = s.Intervals[in].at(u)
			}
		}
	}
	return out
}

// Ends of what is physical, whatever the intervals.
const (
	mostMoisture = 0.95
	// leastTortuosity is the least that package heat takes; a share under it is
	// conduction alone.
	leastTortuosity = 0.05
)

// problem is a sample as package heat takes it: the case made anew from what was
// drawn, by the laws that made it in the first place.
func (s Scatter) problem(d [inputs]float64, fallen bool) (heat.Problem, error) {
	c := s.Case
	var failed error
	at := func(l *working.Law, in map[string]float64) float64 {
		v, err := l.At(in)
		if err != nil && failed == nil {
			failed = err
		}
		return v
	}
	air := min(max(d[Air], 0), 1)
	c.Chamber = at(steam.ChamberTemperature, map[string]float64{"p_air": c.Ambient, "p_gauge": max(s.Gauge+d[GaugeOff], 0), "y": air})
	c.ComeUp *= d[ComeUp]
	rho, w := s.Density*d[Density], min(max(s.Moisture+d[Moisture], 0), mostMoisture)
	c.AirFilled = max(at(vessel.Porosity, map[string]float64{"rho": rho, "m": w}), 0)
	midway := at(Midway, map[string]float64{"T_1": c.Start, "T_2": c.Chamber})
	dry := at(heat.DryHeatCapacity, map[string]float64{"T": midway})
	specific := at(heat.MoistHeatCapacity, map[string]float64{"w": w, "c_dry": dry})
	c.HeatCapacity = at(heat.VolumetricHeatCapacity, map[string]float64{"rho": rho, "c": specific})
	c.Side = at(heat.Wall, map[string]float64{"h": at(Film, map[string]float64{"y": air}), "s": s.Wall, "k": s.OfWall})
	c.Base = c.Side
	if failed != nil {
		return heat.Problem{}, failed
	}
	a := Assumption{Conductivity: d[Conductivity], Vapor: d[Vapor]*heat.DefaultTortuosity >= leastTortuosity, Bore: d[Bore]}
	if fallen {
		a.Bore = 0
	}
	p := c.problem(a)
	if a.Vapor {
		p.Matter.Vapor.Tortuosity *= d[Vapor]
	}
	return p, nil
}
