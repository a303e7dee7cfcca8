// Package run works out what happens in a sterilizer: how hot the slowest place
// of a vessel gets, for how long, and what that does to what could grow there.
// It puts together package heat, which knows how heat travels, package
// lethality, which knows what it does, and the run of a sterilizer.
//
// Nobody has measured what goes on in a vessel of packed substrate well enough
// for one answer, so there are two, which bracket it, and a third for a bore
// that fell in (Assumptions). What comes out is modeled, not measured: only a
// farm's own probe shows what its vessels get.
//
// Units are SI: m, K, s, J/(m³·K), W/(m²·K), Pa. Doses are in s at the
// reference temperature.
package run

import (
	"fmt"
	"slices"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/lethality"
)

// Case is all of a method that its thermal result depends on. How many vessels
// are in the load is not part of it.
type Case struct {
	Radius, Height        float64 // of the substrate, taken as an upright cylinder
	BoreRadius, BoreDepth float64 // 0 without a bore
	HeatCapacity          float64 // by volume, J/(m³·K)
	AirFilled             float64 // share of the volume
	Side, Base            float64 // conductance of film and wall, W/(m²·K)
	Start                 float64 // temperature of the mix when the heat comes on, K
	Boiling               float64 // boiling point in the open, K
	Chamber               float64 // temperature of the hold, K
	Ambient               float64 // pressure of the air, Pa
	ComeUp, Vent, Hold    float64 // s
}

// Assumption is what has to be taken for granted where nothing is measured.
type Assumption struct {
	Name         string
	Conductivity float64 // W/(m·K), without what vapor adds
	Vapor        bool    // vapor moves in the pores
	Bore         float64 // conductance of the bore's wall, W/(m²·K); 0 where the bore has fallen in
}

// Films and conductivities. The conductivities are a band around 0.30 W/(m·K)
// that the sterilization reference gives for moist sawdust and hull mixes, after
// Ahn and others, Bioresource Technology 100 (2009) 3974, and the Wood Handbook.
// The films are engineering assumptions without a source.
const (
	LowConductivity   = 0.25
	UsualConductivity = 0.30
	SteamInBore       = 300.0 // a bore that steam sweeps
	AirInBore         = 10.0  // a bore that kept its air: between 5 and 15
	SteamFilm         = 2000.0
	AirySteamFilm     = 100.0 // steam with air in it: 50 to 200
	TopOfFill         = 15.0  // through headspace and filter
)

// The assumptions (decision on the verdict): heat cannot well come in slower
// than in the first, nor faster than in the second.
var (
	// Slow is conduction alone, at the low end of its band, with a bore full of
	// air: a lid with a filter does not prove that venting purged it.
	Slow = Assumption{Name: "slow", Conductivity: LowConductivity, Bore: AirInBore}
	// Quick lets vapor move in the pores and steam fill the bore.
	Quick = Assumption{Name: "quick", Conductivity: UsualConductivity, Vapor: true, Bore: SteamInBore}
	// Collapsed is the slow case with a bore that fell in.
	Collapsed = Assumption{Name: "collapsed", Conductivity: LowConductivity}
)

// Assumptions lists them, the slowest last.
func Assumptions() []Assumption { return []Assumption{Quick, Slow, Collapsed} }

// shareToBoiling is how much of the come-up, venting left out, passes until the
// chamber boils: two thirds (the sterilization reference's prototype).
const shareToBoiling = 2.0 / 3

// profile is the temperature of the chamber: straight up to boiling, the vent
// there, straight on to the hold.
func (c Case) profile() heat.Profile {
	p := heat.Profile{{Time: 0, Temperature: c.Start}}
	at := c.ComeUp * shareToBoiling
	p = append(p, heat.Point{Time: at, Temperature: c.Boiling})
	if c.Vent > 0 {
		at += c.Vent
		p = append(p, heat.Point{Time: at, Temperature: c.Boiling})
	}
	return append(p, heat.Point{Time: c.ComeUp + c.Vent, Temperature: c.Chamber})
}

// problem is the case under an assumption as package heat takes it.
func (c Case) problem(a Assumption) heat.Problem {
	p := heat.Problem{
		Body: heat.Body{Radius: c.Radius, Height: c.Height},
		Matter: heat.Matter{
			Conductivity: heat.Constant(a.Conductivity), HeatCapacity: heat.Constant(c.HeatCapacity),
		},
		Surfaces: heat.Surfaces{Side: c.Side, Bottom: c.Base, Top: TopOfFill, Hole: a.Bore},
		Start:    c.Start,
		Chamber:  c.profile(),
		HoldFrom: c.ComeUp + c.Vent, HoldTo: c.ComeUp + c.Vent + c.Hold,
		Dose: heat.Dose{Reference: float64(lethality.F0.Reference), Z: float64(lethality.F0.Z)},
	}
	if a.Bore > 0 && c.BoreRadius > 0 {
		p.Hole = heat.Hole{Radius: c.BoreRadius, Depth: c.BoreDepth}
	}
	if a.Vapor {
		p.Matter.Vapor = &heat.Vapor{AirFilled: c.AirFilled, Tortuosity: heat.DefaultTortuosity,
			MostFactor: heat.DefaultMostFactor, Ambient: c.Ambient}
	}
	return p
}

// Solution is what a case comes to under an assumption.
type Solution struct {
	Place   heat.Place // the slowest, at the end of the hold
	Core    float64    // temperature there at the end of the hold, K
	Least   float64    // dose there, s
	Mean    float64    // mean dose by volume, s
	Most    float64    // greatest dose, at the wall, s
	Samples []Sample   // once a minute, from cold to the end of the hold
	Field   Field      // temperatures at the end of the hold
}

// Sample is a moment of a run.
type Sample struct {
	Time    float64 // s since the heat came on
	Chamber float64 // K
	Core    float64 // temperature of the slowest place, K
	Dose    float64 // what that place has got by then, s
	Uptake  float64 // heat into one vessel's substrate, W, mean since the sample before
}

// Field is the temperature in the substrate at one time, by the centers of
// rings. In the bore there is no substrate: 0.
type Field struct {
	R, Z []float64   // m, ascending, Z from the base
	T    [][]float64 // K, by Z, then R
}

// sampling is the time between two samples, s.
const sampling = 60

// solve works a case out. It is slow, some ms: Solve remembers.
func (c Case) solve(a Assumption) (*Solution, error) {
	r, err := heat.Solve(c.problem(a))
	if err != nil {
		return nil, fmt.Errorf("run: %w", err)
	}
	s := &Solution{Place: r.Slowest.Place, Core: r.Hold.Core, Least: r.Hold.Least, Mean: r.Hold.Mean, Most: r.Hold.Most, Field: fieldOf(&r.Field)}
	next, heatIn, from := 0.0, 0.0, 0.0
	for i, t := range r.Times {
		if i > 0 {
			heatIn += r.Uptake[i] * (t - r.Times[i-1])
		}
		if t+1e-6 < next && i < len(r.Times)-1 {
			continue
		}
		sample := Sample{Time: t, Chamber: r.Chamber[i], Core: r.Slowest.Temperature[i], Dose: r.Slowest.Dose[i]}
		if t > from {
			sample.Uptake = heatIn / (t - from)
		}
		s.Samples = append(s.Samples, sample)
		heatIn, from = 0, t
		next = t + sampling
	}
	return s, nil
}

func fieldOf(f *heat.Field) Field {
	out := Field{R: slices.Clone(f.R), Z: slices.Clone(f.Z)}
	for j := range f.Z {
		row := make([]float64, len(f.R))
		for i := range f.R {
			if t, solid := f.At(i, j); solid {
				row[i] = t
			}
		}
		out.T = append(out.T, row)
	}
	return out
}
