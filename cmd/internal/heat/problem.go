// Package heat works out how heat gets into moist matter in a vessel: transient
// conduction in a cylinder, axisymmetric in r and z, with or without a hole
// down its axis, in surroundings whose temperature follows a profile. Each
// place also gathers a thermal dose, the time at a reference temperature that
// would have had the same effect, so that the slowest place and what it got
// can be told.
//
// The scheme is Peaceman and Rachford's alternating directions ("The numerical
// solution of parabolic and elliptic differential equations", J. SIAM 3 (1955)
// 28) on cell-centered finite volumes: second order in space and time, stable
// for any step, and heat is conserved to rounding. It is conduction only.
// Vapor moving in pores can be added as a conductivity that rises with
// temperature (Vapor). What it gives is modeled, not measured.
//
// Lengths are in m, temperatures in K, times in s, doses in s at the reference
// temperature. The axis z points up from the bottom of the matter.
package heat

// Problem is everything that a solution depends on.
type Problem struct {
	Body     Body
	Hole     Hole     // zero for none, or for one that has collapsed
	Matter   Matter   // what fills the body
	Surfaces Surfaces // conductances to the surroundings
	Later    *Later   // other conductances from some time on; nil for none
	Start    float64  // uniform temperature at time 0, K
	Chamber  Profile  // temperature of the surroundings from time 0 on

	HoldFrom float64 // when the hold begins, s
	HoldTo   float64 // when it ends, s
	End      float64 // when the solution ends, s; 0 for the end of the hold

	Dose Dose
	Grid Grid // zero for DefaultGrid
}

// Body is an upright cylinder of matter.
type Body struct {
	Radius float64 // m
	Height float64 // m
}

// Hole is a round hole on the axis, open at the top. Heat passes through its
// wall and floor from what fills it, which has the temperature of the
// surroundings.
type Hole struct {
	Radius float64 // m; 0 for no hole
	Depth  float64 // m from the top; the height of the body, or within 1 mm of it, for one right through
}

// Surfaces are overall conductances in W/(m²·K) from the surroundings to the
// face of the matter; 0 insulates. Wall gives one from a film and a wall.
type Surfaces struct {
	Side   float64
	Bottom float64
	Top    float64
	Hole   float64 // of the hole's wall and floor; not used without a hole
}

// Later is a change of conductances, as when steam gives way to air.
type Later struct {
	At       float64 // s
	Surfaces Surfaces
}

// Matter is what fills the body.
type Matter struct {
	Conductivity Property // W/(m·K), without what Vapor adds
	HeatCapacity Property // J/(m³·K)
	Vapor        *Vapor   // nil for conduction only
}

// Dose is how a thermal dose is counted: the integral of 10^((T−Reference)/Z)
// over time, by the trapezoid rule on the steps.
type Dose struct {
	Reference float64 // K
	Z         float64 // K for a tenfold effect
	// CountAfterHold goes on counting when the hold is over. Cooling that
	// nobody controls should not be counted.
	CountAfterHold bool
}

// Grid is how finely a problem is cut up.
type Grid struct {
	Radial int     // cells from the axis to the side, those in the hole included
	Axial  int     // cells from the bottom to the top
	Step   float64 // longest time step, s
}

// DefaultGrid keeps a dose within 1 % or 3 s, whichever is more, of a solution
// on a grid four times as fine, for vessels of bottle and bag size (checked by
// TestDefaultGridIsFineEnough). The grid decides, not the step; 16 by 24 cells
// miss it by up to 1.8 % around a hole. The error is on the slow side.
var DefaultGrid = Grid{Radial: 24, Axial: 32, Step: 60}

// Place is a point of the body.
type Place struct {
	R float64 // m from the axis
	Z float64 // m above the bottom
}

// end is when the solution ends.
func (p *Problem) end() float64 {
	if p.End == 0 {
		return p.HoldTo
	}
	return p.End
}

// step is the longest step taken: that of the grid, or a 25th of the time that
// heat takes through the matter beside the hole, where that is shorter. Without
// it a small vessel with well conducting matter is off by a tenth around the
// floor of its hole, where the error of splitting directions is largest.
func (p *Problem) step() float64 {
	thick := p.Body.Radius - p.Hole.Radius
	return min(p.Grid.Step, 0.04*thick*thick/p.Matter.mostDiffusivity(p.span()))
}

// span is the coldest and the hottest temperature that can occur.
func (p *Problem) span() (least, most float64) {
	least, most = p.Chamber.span()
	return min(least, p.Start), max(most, p.Start)
}

// mostDiffusivity is the greatest thermal diffusivity in m²/s between two
// temperatures, vapor in its chamber's full pressure.
func (m Matter) mostDiffusivity(least, most float64) float64 {
	conductivity, capacity := m.Conductivity.At(least), m.HeatCapacity.At(least)
	for k := least; m.varies() && k <= most; k++ {
		c := m.Conductivity.At(k)
		if m.Vapor != nil {
			c += m.Vapor.Conductivity(k, k)
		}
		conductivity, capacity = max(conductivity, c), min(capacity, m.HeatCapacity.At(k))
	}
	return conductivity / capacity
}

// varies says whether a property depends on the temperature.
func (m Matter) varies() bool {
	return m.Vapor != nil || m.Conductivity.varies() || m.HeatCapacity.varies()
}
