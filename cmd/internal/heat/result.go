package heat

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// Result is the solution of a problem. Its series belong to the same times.
type Result struct {
	Times   []float64 // s, from 0 to the end, one a step
	Chamber []float64 // temperature of the surroundings, K
	Uptake  []float64 // mean heat flow into the matter during the step that ended then, W; 0 at time 0
	Least   []float64 // least dose of all places at that time, s

	Slowest Trace   // the place with the least dose at the end of the hold
	Hold    Outcome // at the end of the hold
	Final   Outcome // at the end of the solution; doses go on after the hold only where they are counted
	Field   Field   // temperatures at the end of the hold
	Energy  Balance

	mesh *mesh
	kept []float64
}

// Trace is what a place went through.
type Trace struct {
	Place       Place
	Temperature []float64 // K
	Dose        []float64 // s
}

// Outcome is what a time has brought.
type Outcome struct {
	Slowest         Place   // the place with the least dose, of several the coldest
	Core            float64 // temperature there, K
	Least           float64 // dose there, s
	Mean            float64 // dose, mean by volume, s
	Most            float64 // greatest dose, s
	Fastest         Place   // where it is
	MeanTemperature float64 // by volume, K

	cell int
}

// Balance is the account of heat over the whole solution.
type Balance struct {
	In       float64 // what came in through the surface, less what went out, J
	Stored   float64 // what the matter has more than at the start, J
	Turnover float64 // what passed the surface either way, step by step, J
}

// Error is the heat lost or made by the calculation, as a share of what passed
// the surface.
func (b Balance) Error() float64 {
	if b.Turnover == 0 {
		return math.Abs(b.Stored)
	}
	return math.Abs(b.In-b.Stored) / b.Turnover
}

// Field is a temperature in every cell of the grid.
type Field struct {
	R, Z           []float64 // centers of the cells, m
	RFaces, ZFaces []float64 // their faces, m, one more of each
	temperature    []float64
	hollow         func(i, j int) bool
}

// At is the temperature (K) of the i-th cell from the axis and the j-th from
// the bottom; false in the hole.
func (f *Field) At(i, j int) (float64, bool) {
	return f.temperature[j*len(f.R)+i], !f.hollow(i, j)
}

// Solve solves a problem. The first fault of the problem is the error.
func Solve(p Problem) (*Result, error) {
	r, err := solve(&p, false)
	if err != nil {
		return nil, err
	}
	r.Slowest = r.trace(&p, r.Hold.cell)
	return r, nil
}

// Courses is Solve for temperatures and heat alone: no dose is counted, a third of the
// work, so the result has nothing of doses, nor of the places that have the least and the
// most. All else has the same bits.
func Courses(p Problem) (*Result, error) {
	r, err := solve(&p, true)
	if err != nil {
		return nil, err
	}
	r.Least, r.Hold, r.Final = nil, Outcome{MeanTemperature: r.Hold.MeanTemperature}, Outcome{MeanTemperature: r.Final.MeanTemperature}
	return r, nil
}

// solve gives all that does not go through the march again.
func solve(p *Problem, uncounted bool) (*Result, error) {
	if p.Grid == (Grid{}) {
		p.Grid = DefaultGrid
	}
	if err := p.check(); err != nil {
		return nil, err
	}
	a, err := settle(p, true, uncounted, 0)
	if err != nil {
		return nil, err
	}
	m := a.m
	return &Result{
		Times: a.times, Chamber: a.chamber, Uptake: a.uptake, Least: a.leasts,
		Hold: a.held, Final: a.outcome(), Energy: a.balance(), mesh: m, kept: a.kept,
		Field: Field{m.r, m.z, m.rf, m.zf, a.field, m.hollow},
	}, nil
}

// trace reads a cell's course from what was kept, and counts its dose again.
func (r *Result) trace(p *Problem, cell int) Trace {
	n, count := len(r.Times), newCounter(p.Dose)
	t := Trace{r.mesh.place(cell), make([]float64, n), make([]float64, n)}
	stride := len(r.mesh.volume)
	for k := range n {
		t.Temperature[k] = r.kept[k*stride+cell]
		if k == 0 {
			continue
		}
		t.Dose[k] = t.Dose[k-1]
		if r.Times[k] <= p.HoldTo || p.Dose.CountAfterHold {
			t.Dose[k] += (r.Times[k] - r.Times[k-1]) / 2 * (count.rate(t.Temperature[k-1]) + count.rate(t.Temperature[k]))
		}
	}
	return t
}

// At is the course of the temperature (K) at a place, as of a probe there:
// straight lines between the centers of cells, and the nearest center within
// half a cell of a face. A place in the hole or outside the body is an error.
func (r *Result) At(p Place) ([]float64, error) {
	m := r.mesh
	if err := within("probe's distance from the axis", "m", p.R, 0, m.rf[m.nr], "the body ends there"); err != nil {
		return nil, err
	}
	if err := within("probe's height above the bottom", "m", p.Z, 0, m.zf[m.nz], "the body ends there"); err != nil {
		return nil, err
	}
	if p.R < m.rf[m.ih] && p.Z > m.zf[m.jh] {
		return nil, fmt.Errorf("heat: a probe %v m from the axis and %v m above the bottom is in the hole, which has the chamber's temperature", p.R, p.Z)
	}
	i, u := bracket(m.r, p.R)
	j, w := bracket(m.z, p.Z)
	var cells [4]int
	weight := [4]float64{(1 - u) * (1 - w), u * (1 - w), (1 - u) * w, u * w}
	for k := range cells {
		a, b := i+k%2, j+k/2
		if m.hollow(a, b) {
			// The nearest matter: past the wall where the place is beside the
			// hole, under the floor where it is below.
			if p.R >= m.rf[m.ih] {
				a = m.ih
			} else {
				b = m.jh - 1
			}
		}
		cells[k] = b*m.nr + a
	}
	out := make([]float64, len(r.Times))
	for n := range out {
		field := r.kept[n*len(m.volume) : (n+1)*len(m.volume)]
		for k, c := range cells {
			out[n] += weight[k] * field[c]
		}
	}
	return out, nil
}

// bracket finds the two neighbors in a rising row between which x lies, and
// the share of the upper one; an end counts alone.
func bracket(row []float64, x float64) (i int, share float64) {
	i = sort.SearchFloat64s(row, x) - 1
	i = min(max(i, 0), len(row)-2)
	return i, min(max((x-row[i])/(row[i+1]-row[i]), 0), 1)
}

// CoolTo is the first time (s), after a given one, from which the hottest place
// is at most so hot (K) at the end of a step; false where that does not come.
func (r *Result) CoolTo(kelvin, after float64) (float64, bool) {
	stride := len(r.mesh.volume)
	for k, time := range r.Times {
		if time >= after && slices.Max(r.kept[k*stride:(k+1)*stride]) <= kelvin {
			return time, true
		}
	}
	return 0, false
}
