package heat

import (
	"fmt"
	"math"
	"slices"
)

// stage is a run of equal steps.
type stage struct {
	from, step float64 // s
	steps      int
	to         float64 // s, exactly where the last step ends
	jump       bool    // the surroundings jump where it begins
}

// stages cuts the time of a problem at every event, so that steps end there.
// Each part has steps of full length and a shorter one for the rest, so that
// the steps of a run do not depend on how long its hold is. Where the
// surroundings jump, the first step is cut further: the scheme damps the
// shortest waves of a jump only slowly when a step is long.
func (p *Problem) stages() []stage {
	cuts := []float64{0, p.HoldFrom, p.HoldTo, p.end()}
	if p.Later != nil {
		cuts = append(cuts, p.Later.At)
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	var out []stage
	longest := p.step()
	for i, from := range cuts[:len(cuts)-1] {
		to := cuts[i+1]
		if from == 0 && p.Chamber[0].Temperature != p.Start || p.Later != nil && from == p.Later.At {
			first := min(longest, to-from)
			s := first / 16
			out = append(out, stage{from, s, 2, from + 2*s, true})
			for _, part := range []float64{2, 4, 8} {
				out = append(out, stage{from + part*s, part * s, 1, from + 2*part*s, false})
			}
			from += first
		}
		full := math.Floor((to-from)/longest + 1e-6)
		if full > 0 {
			out = append(out, stage{from, longest, int(full), from + full*longest, false})
			from += full * longest
		}
		if to-from > 1e-6*longest {
			out = append(out, stage{from, to - from, 1, to, false})
		}
		out[len(out)-1].to = to
	}
	return out
}

// march solves a problem step by step.
type march struct {
	p       *Problem
	m       *mesh
	s       *sweeper
	count   counter
	dose    []float64 // of each cell, s at the reference
	rate    []float64 // at the end of the last step
	least   int       // cell with the least dose, of several the coldest
	mean    float64   // dose, weighted by volume
	before  []float64 // temperatures before the last step, where properties vary
	owed    []float64 // heat that the last step left out, J; nil for a constant heat capacity
	last    float64   // length of the last step, s; 0 where the next one can't look back to it
	factors float64   // length of the steps that the sweeper is ready for, s

	uncounted bool // nobody asks for a dose

	times, chamber, uptake, leasts []float64
	rates                          []float64 // of the place with the least dose
	kept                           []float64 // all temperatures of all times, where they are kept
	energy                         Balance
	held                           Outcome // at the end of the hold
	field                          []float64
}

func newMarch(p *Problem, keep bool) *march {
	m := newMesh(p.Body, p.Hole, p.Grid)
	n := m.nr * m.nz
	a := &march{p: p, m: m, s: newSweeper(m, p.Start), count: newCounter(p.Dose),
		dose: make([]float64, n), rate: make([]float64, n), before: make([]float64, n), field: make([]float64, n)}
	if p.Matter.HeatCapacity.varies() {
		a.owed, a.s.owed = make([]float64, n), make([]float64, n)
	}
	steps := 1
	for _, s := range p.stages() {
		steps += s.steps
	}
	for _, series := range []*[]float64{&a.times, &a.chamber, &a.uptake, &a.leasts, &a.rates} {
		*series = make([]float64, 0, steps)
	}
	if keep {
		a.kept = make([]float64, 0, steps*n)
	}
	start := a.count.rate(p.Start)
	for c := range a.rate {
		a.rate[c] = start
	}
	a.least = m.first(m.nz-1) + (m.nz-1)*m.nr
	a.record(0, p.Chamber[0].Temperature)
	return a
}

// halvings of the step, at most, until a solution settles (design choice): a flat body
// with vapor in its pores, on a base that takes heat in fast, has needed three.
const halvings = 5

// settle marches to the end, or until the least dose during the hold is enough; 0 is never
// enough. Where properties vary with the temperature, a step may be too long for the
// scheme: it is halved until no place leaves the temperatures of start and surroundings.
func settle(p *Problem, keep, uncounted bool, enough float64) (*march, error) {
	for n := 0; ; n++ {
		a := newMarch(p, keep)
		a.uncounted = uncounted
		if a.run(enough) {
			return a, nil
		}
		if n == halvings {
			return nil, fmt.Errorf("heat: no solution settles, with steps down to %v s: the matter is too thin somewhere, or takes heat in too fast, for vapor to be reckoned with", p.step())
		}
		p.Grid.Step = p.step() / 2
		if err := p.checkSize(); err != nil {
			return nil, err
		}
	}
}

// run advances to the end, or until the dose is enough, and reports whether it stayed
// among the temperatures of start and surroundings, to a hundredth of their difference.
func (a *march) run(enough float64) (sound bool) {
	p := a.p
	least, most := p.span()
	slack := (most - least) / 100
	chamber := reader{profile: p.Chamber}
	a.surround(p.Surfaces)
	if p.HoldTo == 0 {
		a.hold()
	}
	for _, stage := range p.stages() {
		if p.Later != nil && stage.from == p.Later.At {
			a.surround(p.Later.Surfaces)
		}
		if stage.jump {
			a.last = 0
		}
		for k := range stage.steps {
			from, to := stage.from+stage.step*float64(k), stage.from+stage.step*float64(k+1)
			if k == stage.steps-1 {
				to = stage.to
			}
			te := chamber.mean(from, to)
			a.prepare(stage.step, te)
			a.s.step(te)
			if p.Matter.varies() && !a.within(least-slack, most+slack) {
				return false
			}
			a.last = stage.step
			a.owe()
			if !a.uncounted && (to <= p.HoldTo || p.Dose.CountAfterHold) {
				a.gather(stage.step)
			}
			a.record(to, chamber.value(to))
			if to == p.HoldTo {
				a.hold()
			}
			if enough > 0 && to >= p.HoldFrom && a.dose[a.least] >= enough {
				return true
			}
		}
	}
	return true
}

// within reports whether all matter is between two temperatures.
func (a *march) within(least, most float64) bool {
	for c, t := range a.s.t {
		// Written so that NaN is outside.
		if a.m.volume[c] > 0 && !(t >= least && t <= most) {
			return false
		}
	}
	return true
}

// surround sets the conductances to the surroundings from here on.
func (a *march) surround(s Surfaces) {
	a.s.onEdge = s.all()
	a.factors = 0
}

// prepare makes the sweeper ready for a step in surroundings of te: once for
// constant properties; else with those at the temperatures expected for the
// middle of the step, extrapolated from the last one, which is second order.
func (a *march) prepare(step, te float64) {
	matter := &a.p.Matter
	varies := matter.varies()
	if !varies && step == a.factors {
		return
	}
	a.factors = step
	ahead := 0.0
	if a.last > 0 {
		ahead = step / 2 / a.last
	}
	vapor, total, scale := matter.Vapor, 0.0, 0.0
	var carry, pressure *Property
	if vapor != nil {
		carry, pressure = carried(), pressureOfVapor()
		total = vapor.pressure(te)
		scale = vapor.Tortuosity * vapor.AirFilled
	}
	for c, v := range a.m.volume {
		if v == 0 {
			continue
		}
		t := a.s.t[c]
		if varies {
			now := t
			t += ahead * (now - a.before[c])
			a.before[c] = now
		}
		k := matter.Conductivity.At(t)
		if vapor != nil {
			k += scale * carry.At(t) / max(total-pressure.At(t), total/vapor.MostFactor)
		}
		a.s.cond[c] = k
		capacity := v * matter.HeatCapacity.At(t)
		if a.owed != nil {
			a.s.owed[c] = a.owed[c] / (2 * capacity)
		}
		a.s.heat[c] = capacity
	}
	a.s.conduct()
	a.s.factor(step / 2)
}

// owe works out what the last step left out: it took heat capacities from
// the middle of the step as it was expected, which is not quite what its change
// of temperature takes. The next step pays it, so heat is conserved.
func (a *march) owe() {
	if a.owed == nil {
		return
	}
	capacity := &a.p.Matter.HeatCapacity
	for c, v := range a.m.volume {
		if v > 0 {
			was, is := a.before[c], a.s.t[c]
			a.owed[c] = a.s.heat[c]*(is-was) - v*(capacity.integralTo(is)-capacity.integralTo(was))
		}
	}
}

// gather adds the doses of a step and finds the least.
func (a *march) gather(step float64) {
	m, half, sum, least := a.m, step/2, 0.0, a.least
	for j := range m.nz {
		for c := j*m.nr + m.first(j); c < (j+1)*m.nr; c++ {
			rate := a.count.rate(a.s.t[c])
			dose := a.dose[c] + half*(a.rate[c]+rate)
			a.dose[c], a.rate[c] = dose, rate
			sum += dose * m.volume[c]
		}
	}
	for j := range m.nz {
		for c := j*m.nr + m.first(j); c < (j+1)*m.nr; c++ {
			if a.dose[c] < a.dose[least] || a.dose[c] == a.dose[least] && a.s.t[c] < a.s.t[least] {
				least = c
			}
		}
	}
	a.least, a.mean = least, sum/m.weights
}

// record keeps what belongs to a time.
func (a *march) record(time, chamber float64) {
	power := 0.0
	if a.last > 0 {
		power = a.s.uptake / a.last
		a.energy.In += a.s.uptake
		a.energy.Turnover += math.Abs(a.s.uptake)
	}
	a.times = append(a.times, time)
	a.chamber = append(a.chamber, chamber)
	a.uptake = append(a.uptake, power)
	a.leasts = append(a.leasts, a.dose[a.least])
	a.rates = append(a.rates, a.rate[a.least])
	if a.kept != nil {
		a.kept = append(a.kept, a.s.t...)
	}
}

// hold keeps what belongs to the end of the hold.
func (a *march) hold() {
	a.held = a.outcome()
	copy(a.field, a.s.t)
}

// outcome sums up the state as it is.
func (a *march) outcome() Outcome {
	m, most, heat := a.m, a.least, 0.0
	for c, v := range m.volume {
		if v > 0 {
			heat += v * a.s.t[c]
			if a.dose[c] > a.dose[most] {
				most = c
			}
		}
	}
	return Outcome{
		Slowest: m.place(a.least), Core: a.s.t[a.least], Least: a.dose[a.least],
		Mean: a.mean, Most: a.dose[most], Fastest: m.place(most), MeanTemperature: heat / m.weights,
		cell: a.least,
	}
}

func (m *mesh) place(c int) Place { return Place{m.r[c%m.nr], m.z[c/m.nr]} }

// balance closes the account of heat: what came in against what is there.
func (a *march) balance() Balance {
	b := a.energy
	capacity := &a.p.Matter.HeatCapacity
	start := capacity.integralTo(a.p.Start)
	for c, v := range a.m.volume {
		if v > 0 {
			b.Stored += v * (capacity.integralTo(a.s.t[c]) - start)
		}
	}
	return b
}
