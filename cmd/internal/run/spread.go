package run

import (
	"cmp"
	"math"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"bottlecrop/cmd/internal/heat"
)

// Spread is how far a method's runs and vessels lie apart, from samples: some
// runs, and in each of them some vessels. What is the same for a whole run (the
// gauge's error, the air that is left, the come-up) is drawn once for it; what
// differs from vessel to vessel is drawn for each. Modeled, not measured.
//
// How freely vapor moves belongs to a mix, and a farm's mixes are alike. It is
// drawn for each vessel, since nobody has measured how much of it is chance; but
// a farm whose mix lets no vapor through has no share in the luck of the others,
// so the same samples are worked out for it apart (Still).
type Spread struct {
	Runs, Vessels int     // in all; as many vessels in each run
	Bad           float64 // share of a run's vessels under the target above which it is bad: BadShare
	All           Samples
	Still         Samples     // no vapor moves in any of them
	Fallen        *Samples    // some of all, with a bore that fell in; nil without a bore
	Between       float64     // share of the variance of log F0 of all that lies between runs, the rest within them
	Influences    []Influence // on all, what matters most first
}

// Samples are what some samples come to.
type Samples struct {
	F0          Percentiles // s
	UnderTarget float64     // share of vessels
	UnderFloor  float64     // share of vessels
	BadRuns     float64     // share of runs in which more than BadShare of the vessels are under the target
	BadVessels  float64     // share under the target, of the vessels in the other runs; 0 without such a run
}

// Percentiles of samples, in their SI unit.
type Percentiles struct{ P5, P50, P95 float64 }

// Influence is how closely F0 follows what was drawn: Spearman's rank
// correlation over all vessels, from -1 to 1.
type Influence struct {
	Input Input
	Rank  float64
}

// The design of the sample (design choices). With twenty vessels one of them is
// a twentieth, so that it takes two to make a run a bad one.
const (
	spreadRuns    = 20
	spreadVessels = 20 // in each run
	fallenVessels = 2  // of them, worked out with a fallen bore too
	// BadShare is the share of vessels under the target above which a run is bad.
	BadShare = 0.05
)

// spreadGrid is coarser than heat.DefaultGrid, at a third of the time: F0 is
// within 2 % of it or 3 s, whichever is more (TestGridOfSpreadIsFineEnough).
var spreadGrid = heat.Grid{Radial: 16, Axial: 24, Step: 120}

// SpreadOf draws samples around a method and works them out. The same scatter
// gives the same bits on every run of the program; it takes about a second, and
// is remembered. Errors name the value that is out of its range.
func SpreadOf(s Scatter) (*Spread, error) {
	return recall(memory.spreads, "spread", s, spreadGrid, func() (*Spread, error) { return s.spread(spreadGrid) })
}

func (s Scatter) spread(g heat.Grid) (*Spread, error) {
	draws := s.draws()
	doses, err := s.doses(draws, g, false)
	if err != nil {
		return nil, err
	}
	out := &Spread{Runs: spreadRuns, Vessels: len(doses), Bad: BadShare, All: s.samples(doses, spreadVessels), Between: between(doses)}
	for _, in := range s.varies() {
		drawn := make([]float64, len(draws))
		for i, d := range draws {
			drawn[i] = d[in]
		}
		out.Influences = append(out.Influences, Influence{in, spearman(drawn, doses)})
	}
	slices.SortStableFunc(out.Influences, func(a, b Influence) int { return cmp.Compare(math.Abs(b.Rank), math.Abs(a.Rank)) })

	var some [][inputs]float64
	for run := range slices.Chunk(draws, spreadVessels) {
		some = append(some, run[:fallenVessels]...)
	}
	still := slices.Clone(draws)
	for i := range still {
		still[i][Vapor] = 0
	}
	if doses, err = s.doses(still, g, false); err != nil {
		return nil, err
	}
	out.Still = s.samples(doses, spreadVessels)
	if s.Case.BoreRadius > 0 {
		if doses, err = s.doses(some, g, true); err != nil {
			return nil, err
		}
		fallen := s.samples(doses, fallenVessels)
		out.Fallen = &fallen
	}
	return out, nil
}

// samples sums doses up, of runs with so many vessels each.
func (s Scatter) samples(doses []float64, each int) Samples {
	out := Samples{F0: percentilesOf(doses), UnderTarget: shareBelow(doses, s.Target), UnderFloor: shareBelow(doses, s.Floor)}
	var runs, bad, good, missed int
	for run := range slices.Chunk(doses, each) {
		runs++
		under := 0
		for _, d := range run {
			if below(d, s.Target) {
				under++
			}
		}
		if float64(under) > BadShare*float64(len(run))*(1+1e-9) {
			bad++
			continue
		}
		good += len(run)
		missed += under
	}
	out.BadRuns = float64(bad) / float64(runs)
	if good > 0 {
		out.BadVessels = float64(missed) / float64(good)
	}
	return out
}

// doses works out what the slowest place of each sample gets, s. Each has its
// place in the list, so that the order in which they are worked out is of no
// account; the first that fails is the error.
func (s Scatter) doses(draws [][inputs]float64, g heat.Grid, fallen bool) ([]float64, error) {
	out, errs := make([]float64, len(draws)), make([]error, len(draws))
	var several errgroup.Group
	several.SetLimit(runtime.GOMAXPROCS(0))
	for i, d := range draws {
		several.Go(func() error {
			out[i], errs[i] = s.dose(d, g, fallen)
			return nil
		})
	}
	_ = several.Wait() // the error is the first in the order of the samples, not of the clock
	return out, cmp.Or(errs...)
}

// dose is what the slowest place of one sample gets, s.
func (s Scatter) dose(d [inputs]float64, g heat.Grid, fallen bool) (float64, error) {
	p, err := s.problem(d, fallen)
	if err != nil {
		return 0, err
	}
	p.Grid = g
	p.Grid.Step = min(g.Step, s.Case.Hold)
	h, err := heat.Holds(p, s.Case.Hold, 0)
	if err != nil {
		return 0, err
	}
	return h.Least[len(h.Least)-1], nil
}

// percentilesOf takes percentiles on straight lines between the sorted values:
// definition 7 of Hyndman and Fan, American Statistician 50 (1996) 361.
func percentilesOf(values []float64) Percentiles {
	sorted := slices.Sorted(slices.Values(values))
	at := func(p float64) float64 {
		x := p * float64(len(sorted)-1)
		i := min(int(x), len(sorted)-2)
		return sorted[i] + float64((x-float64(i))*(sorted[i+1]-sorted[i]))
	}
	return Percentiles{at(0.05), at(0.5), at(0.95)}
}

// below says whether a value misses a bound by more than rounding.
func below(v, bound float64) bool { return v < bound*(1-1e-9) }

func shareBelow(values []float64, bound float64) float64 {
	n := 0
	for _, v := range values {
		if below(v, bound) {
			n++
		}
	}
	return float64(n) / float64(len(values))
}

// leastDose stands for a dose of nothing, s: it has no logarithm.
const leastDose = 1e-12

// between splits the variance of the logarithm of doses into that of the means
// of runs and that within them, and gives the share of the first.
func between(doses []float64) float64 {
	var means []float64
	within := 0.0
	for run := range slices.Chunk(doses, spreadVessels) {
		logs := make([]float64, len(run))
		for i, d := range run {
			logs[i] = math.Log(max(d, leastDose))
		}
		mean, variance := moments(logs)
		means = append(means, mean)
		within += variance / spreadRuns
	}
	_, among := moments(means)
	if among+within < 1e-18 { // all the same
		return 0
	}
	return among / (among + within)
}

func moments(values []float64) (mean, variance float64) {
	for _, v := range values {
		mean += v / float64(len(values))
	}
	for _, v := range values {
		variance += float64((v-mean)*(v-mean)) / float64(len(values))
	}
	return mean, variance
}

// spearman is the correlation of ranks, equal values at their mean rank:
// Spearman, American Journal of Psychology 15 (1904) 72. It is 0 where one of
// the two does not vary.
func spearman(a, b []float64) float64 {
	x, y := ranks(a), ranks(b)
	if slices.Min(x) == slices.Max(x) || slices.Min(y) == slices.Max(y) {
		return 0
	}
	mx, vx := moments(x)
	my, vy := moments(y)
	sum := 0.0
	for i := range x {
		sum += float64((x[i] - mx) * (y[i] - my))
	}
	return sum / float64(len(x)) / math.Sqrt(float64(vx*vy))
}

func ranks(values []float64) []float64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Or(cmp.Compare(values[i], values[j]), cmp.Compare(i, j)) })
	out := make([]float64, len(values))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && values[order[to]] == values[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			out[i] = float64(from+to-1) / 2
		}
		from = to
	}
	return out
}
