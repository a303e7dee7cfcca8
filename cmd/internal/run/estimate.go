package run

import (
	"math"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/unit"
)

// estimator finds the conductivity of a record. What the model has for the
// probe's readings is linear in two unknowns: with the start of the first
// reading it is base, and a start that is warmer by d adds d times lag. A
// constant offset of the probe in the vessel adds itself, and one of the
// chamber's probe is a sum of the two, so that it needs no third.
type estimator struct {
	c    Case
	bore float64
	m    Recorded
	r    *record
}

// trial is the model at one conductivity, its linear unknowns at their best.
type trial struct {
	x             float64 // logarithm of the conductivity
	base, lag     []float64
	offset, start float64 // start beside that of the first reading, K
	residuals     []float64
	squares       float64 // sum of squares of residuals, K²
	results       [2]*heat.Result
}

// warmer is by how much the second solution starts warmer, K; any amount does,
// for conduction is linear.
const warmer = 20.0

// at works the model out at one conductivity.
func (e *estimator) at(x float64) (*trial, error) {
	t := &trial{x: x}
	a := Assumption{Conductivity: math.Exp(x), Bore: e.bore}
	for i := range t.results {
		p := e.c.problem(a)
		p.Start = e.r.vessel[0].Temperature + float64(i)*warmer
		p.Chamber = e.r.chamber
		p.HoldFrom, p.HoldTo = e.r.holdFrom, e.r.holdTo
		result, err := heat.Courses(p)
		if err != nil {
			return nil, err
		}
		t.results[i] = result
	}
	var err error
	if t.base, t.lag, err = e.courses(t, e.m.Place); err != nil {
		return nil, refuse(Outside, unit.None, 0, 0)
	}
	n := len(t.base)
	rest := make([]float64, n)
	for i, p := range e.r.vessel {
		rest[i] = p.Temperature - t.base[i]
	}
	t.offset, t.start, t.residuals = without(rest, t.lag)
	for _, v := range t.residuals {
		t.squares += v * v
	}
	return t, nil
}

// courses are base and lag at a place, at the times of the readings.
func (e *estimator) courses(t *trial, place heat.Place) (base, lag []float64, err error) {
	var both [2][]float64
	for i, result := range t.results {
		course, err := result.At(place)
		if err != nil {
			return nil, nil, err
		}
		profile := make(heat.Profile, len(course))
		for k, v := range course {
			profile[k] = heat.Point{Time: result.Times[k], Temperature: v}
		}
		for _, p := range e.r.vessel {
			both[i] = append(both[i], profile.At(p.Time))
		}
	}
	lag = make([]float64, len(both[0]))
	for k := range lag {
		lag[k] = (both[1][k] - both[0][k]) / warmer
	}
	return both[0], lag, nil
}

// without takes a constant and a multiple of a series out of y by least squares.
func without(y, series []float64) (constant, multiple float64, rest []float64) {
	my, ms := mean(y), mean(series)
	var sy, ss float64
	for i := range y {
		sy += (series[i] - ms) * (y[i] - my)
		ss += (series[i] - ms) * (series[i] - ms)
	}
	multiple = sy / ss
	constant = my - multiple*ms
	rest = make([]float64, len(y))
	for i := range y {
		rest[i] = y[i] - constant - multiple*series[i]
	}
	return constant, multiple, rest
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// How the least sum of squares is found: a look over the whole range of the
// logarithm, golden sections around the lowest, and at last parabolas.
const (
	looks     = 6
	closeness = 0.1  // where the parabolas begin
	parabolas = 2    // the second changes the conductivity by less than 0.01 %
	nudge     = 0.03 // between the points of a parabola, over which slopes are taken as well
)

// search is the trial with the least sum of squares, and its two neighbors.
func (e *estimator) search() (less, best, more *trial, err error) {
	low, high := math.Log(leastFitted), math.Log(mostFitted)
	x, err := e.near(low, high)
	for range parabolas {
		if err != nil {
			return nil, nil, nil, err
		}
		var three [3]float64
		for i := range three {
			t, err := e.at(x + nudge*float64(i-1))
			if err != nil {
				return nil, nil, nil, err
			}
			three[i] = t.squares
		}
		bend := three[0] - 2*three[1] + three[2]
		if bend <= 0 {
			return nil, nil, nil, refuse(Flat, unit.ConductivityOf, mostFitted-leastFitted, widestFit)
		}
		x += max(-closeness, min(closeness, nudge*(three[0]-three[2])/(2*bend)))
	}
	edge := edgeShare * (high - low)
	switch {
	case err != nil:
		return nil, nil, nil, err
	case x < low+edge:
		return nil, nil, nil, refuse(Edge, unit.ConductivityOf, math.Exp(x), leastFitted)
	case x > high-edge:
		return nil, nil, nil, refuse(Edge, unit.ConductivityOf, math.Exp(x), mostFitted)
	}
	for i, t := range []**trial{&less, &best, &more} {
		if *t, err = e.at(x + nudge*float64(i-1)); err != nil {
			return nil, nil, nil, err
		}
	}
	return less, best, more, nil
}

// near is a logarithm within closeness of the one with the least sum.
func (e *estimator) near(low, high float64) (float64, error) {
	at := func(i int) float64 { return low + (high-low)*float64(i)/looks }
	best, least := 0, math.Inf(1)
	for i := range looks + 1 {
		t, err := e.at(at(i))
		if err != nil {
			return 0, err
		}
		if t.squares < least {
			best, least = i, t.squares
		}
	}
	a, b := at(max(best-1, 0)), at(min(best+1, looks))
	golden := (math.Sqrt(5) - 1) / 2
	one, err := e.at(b - golden*(b-a))
	if err != nil {
		return 0, err
	}
	two, err := e.at(a + golden*(b-a))
	for err == nil && b-a > closeness {
		if one.squares < two.squares {
			b, two = two.x, one
			one, err = e.at(b - golden*(b-a))
		} else {
			a, one = one.x, two
			two, err = e.at(a + golden*(b-a))
		}
	}
	return (a + b) / 2, err
}

// fit works out the interval around the best trial, and refuses one that says
// too little.
func (e *estimator) fit(less, t, more *trial) (*Fit, error) {
	v := e.r.vessel
	n := float64(len(v))
	rms := math.Sqrt(t.squares / n)
	if rms > mostRMS {
		return nil, refuse(Unlike, unit.TemperatureDifference, rms, mostRMS)
	}
	trade, _, slope := without(slope(less, t, more), t.lag)
	weight := 0.0
	for _, s := range slope {
		weight += s * s
	}
	// Neighbors err alike, so that they count as fewer.
	alike := alikeness(t.residuals)
	independent := n / alike
	free := max(independent-3, 2)
	variance := t.squares / free * (independent / n) * alike / weight
	variance += e.chamberNoise(t, slope, weight)
	across, along, err := e.placeSlopes(t, slope, weight)
	if err != nil {
		return nil, err
	}
	spread := e.m.Within / placeSpread
	variance += spread*spread*(across*across+along*along) + solverError*solverError
	half := quantile(free) * math.Sqrt(variance)
	f := &Fit{
		Conductivity: math.Exp(t.x), Low: math.Exp(t.x - half), High: math.Exp(t.x + half),
		Offset: t.offset, Start: v[0].Temperature + t.start, RMS: rms, Readings: len(v), Independent: independent,
		Bore: e.bore, HoldFrom: e.r.holdFrom, HoldTo: e.r.holdTo,
	}
	if f.High-f.Low > widestFit {
		return nil, refuse(Flat, unit.ConductivityOf, f.High-f.Low, widestFit)
	}
	// Another conductivity would have another offset: what of it may be that is
	// no fault of the probe.
	if least := math.Abs(t.offset) - math.Abs(trade)*half; least > mostOffset {
		return nil, refuse(Off, unit.TemperatureDifference, least, mostOffset)
	}
	return f, e.tell(t, f)
}

// slope is how the model's readings change with the logarithm of the
// conductivity, offset and start as they are, K.
func slope(less, best, more *trial) []float64 {
	out := make([]float64, len(best.base))
	for i := range out {
		out[i] = (more.base[i] - less.base[i] + best.start*(more.lag[i]-less.lag[i])) / (2 * nudge)
	}
	return out
}

// alikeness is by how much neighbors that err alike widen the variance of a
// mean: 1 + 2 times the sum of the residuals' autocorrelations, up to the first
// that two in a row do not make positive (Geyer, Statistical Science 7 (1992)
// 473). In few residuals each of them is too low by about that sum over their
// number (Marriott and Pope, Biometrika 41 (1954) 390, from memory), which is put
// back. It is 1 at least.
func alikeness(r []float64) float64 {
	n, square := len(r), 0.0
	for _, v := range r {
		square += v * v
	}
	at := func(lag int) float64 {
		sum := 0.0
		for i := lag; i < n; i++ {
			sum += r[i] * r[i-lag]
		}
		return sum / square
	}
	total := 1.0
	for lag := 1; lag+1 < n/3; lag += 2 {
		pair := at(lag) + at(lag+1) + 2*total/float64(n)
		if pair <= 0 {
			break
		}
		total += 2 * pair
	}
	return max(total, 1)
}

// chamberNoise is the variance that noise of the chamber's probe adds to the
// logarithm. The noise is what its readings differ by from a straight line in
// the hold, where the chamber is steady; that it may have wandered makes the
// interval wider than need be, never narrower. What noise does later is the
// response of the linear model, of which lag is the one to a step at the start.
func (e *estimator) chamberNoise(t *trial, slope []float64, weight float64) float64 {
	if e.m.Chamber == nil {
		return 0
	}
	var times, steady []float64
	for _, p := range e.r.chamber {
		if p.Time >= e.r.holdFrom+edgeOfHold && p.Time <= e.r.holdTo-edgeOfHold {
			times, steady = append(times, p.Time), append(steady, p.Temperature)
		}
	}
	if len(steady) < 4 { // the model's own residuals have to tell
		return 0
	}
	_, _, rest := without(steady, times)
	square := 0.0
	for _, v := range rest {
		square += v * v
	}
	noise := square / float64(len(rest)-2)
	if square > 0 {
		noise *= alikeness(rest)
	}
	sum := 0.0
	for j := 1; j < len(t.lag); j++ {
		effect := 0.0
		for i := j; i < len(t.lag); i++ {
			effect += slope[i] * (t.lag[i-j] - t.lag[i-j+1])
		}
		sum += effect * effect
	}
	return noise * sum / (weight * weight)
}

// placeSlopes are how the logarithm changes where the probe is farther from the
// axis, and where it is higher, than it is said to be; 1/m.
func (e *estimator) placeSlopes(t *trial, slope []float64, weight float64) (across, along float64, err error) {
	w := e.m.Within
	if w == 0 {
		return 0, 0, nil
	}
	moved := func(less, more heat.Place, distance float64) (float64, error) {
		var both [2][]float64
		for i, place := range []heat.Place{less, more} {
			base, lag, err := e.courses(t, place)
			if err != nil {
				return 0, refuse(Outside, unit.None, 0, 0)
			}
			for k := range base {
				both[i] = append(both[i], base[k]+t.start*lag[k])
			}
		}
		sum := 0.0
		for k := range slope {
			sum += slope[k] * (both[1][k] - both[0][k]) / distance
		}
		return sum / weight, nil
	}
	p, c := e.m.Place, e.c
	// Only as far as there is substrate on both sides.
	in, out := max(0, p.R-w), min(c.Radius, p.R+w)
	if e.bore > 0 && p.Z > c.Height-c.BoreDepth && p.R >= c.BoreRadius {
		in = max(in, c.BoreRadius)
	}
	under, over := max(0, p.Z-w), min(c.Height, p.Z+w)
	if e.bore > 0 && p.R < c.BoreRadius {
		over = min(over, c.Height-c.BoreDepth)
	}
	if across, err = moved(heat.Place{R: in, Z: p.Z}, heat.Place{R: out, Z: p.Z}, out-in); err != nil {
		return 0, 0, err
	}
	along, err = moved(heat.Place{R: p.R, Z: under}, heat.Place{R: p.R, Z: over}, over-under)
	return across, along, err
}

// quantile is Student's t for an interval of Confidence with so many degrees of
// freedom: the expansion about the normal one (Abramowitz and Stegun, 26.7.5).
func quantile(free float64) float64 {
	const z = 1.6448536269514722 // of the normal distribution, 5 % above
	z3, z5, z7 := z*z*z, z*z*z*z*z, z*z*z*z*z*z*z
	return z + (z3+z)/(4*free) + (5*z5+16*z3+3*z)/(96*free*free) + (3*z7+19*z5+17*z3-15*z)/(384*free*free*free)
}

// tell puts the readings beside the model.
func (e *estimator) tell(t *trial, f *Fit) error {
	v := e.r.vessel
	model := make([]heat.Point, len(v))
	for i, p := range v {
		at := t.base[i] + t.start*t.lag[i]
		model[i] = heat.Point{Time: p.Time, Temperature: at}
		f.Moments = append(f.Moments, Moment{p.Time, e.r.chamber.At(p.Time), p.Temperature, at + t.offset})
	}
	var err error
	if f.DoseRead, err = dose(shifted(e.m.Vessel, e.r.begin), e.r.holdTo); err != nil {
		return err
	}
	f.DoseComputed, err = dose(model, e.r.holdTo)
	return err
}
