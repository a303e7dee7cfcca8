package run

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/unit"
)

// bottle is an 850 mL bottle of the demo farm: 790 mL of fill at 0.68 kg/L and
// 65 % moisture, 15 psi at 420 m.
func bottle() Case {
	return Case{
		Radius: 0.0457, Height: 0.1204, BoreRadius: 0.0085, BoreDepth: 0.104,
		HeatCapacity: 2.1e6, AirFilled: 0.35, Side: 100, Base: 100,
		Start: 293.15, Boiling: 371.8, Chamber: 393.9, Ambient: 96400,
		ComeUp: 25 * unit.Minute, Vent: 10 * unit.Minute, Hold: 120 * unit.Minute,
	}
}

// halfway is half of the radius, at mid height: where a probe belongs in a
// vessel with a bore.
var halfway = heat.Place{R: 0.5 * 0.0457, Z: 0.5 * 0.1204}

// made is a record as a logger would write it, of a run that is solved on a
// finer grid and with shorter steps than a fit takes.
type made struct {
	c            Case
	conductivity float64
	bore         string
	place        heat.Place
	moved        heat.Place // by how much the probe is not where it is said to be
	noise        float64    // K, of both probes
	memory       float64    // share of a reading's error that stays to the next
	offset       float64    // of the vessel's probe, K
	chamber      float64    // offset of the chamber's, K
	interval     float64    // s
}

func (m made) record(t testing.TB, rng *rand.Rand) Recorded {
	t.Helper()
	p := m.c.problem(Assumption{Conductivity: m.conductivity, Bore: bores[m.bore]})
	p.Grid = heat.Grid{Radial: 32, Axial: 42, Step: 40}
	p.End = p.HoldTo + 20*unit.Minute
	p.Chamber = append(p.Chamber, heat.Point{Time: p.HoldTo, Temperature: m.c.Chamber},
		heat.Point{Time: p.End, Temperature: m.c.Chamber - 40})
	result, err := heat.Solve(p)
	require.NoError(t, err)
	course, err := result.At(heat.Place{R: m.place.R + m.moved.R, Z: m.place.Z + m.moved.Z})
	require.NoError(t, err)
	inside := make(heat.Profile, len(course))
	for i, v := range course {
		inside[i] = heat.Point{Time: result.Times[i], Temperature: v}
	}
	out := Recorded{Place: m.place, Bore: m.bore}
	noises := [2]func() float64{m.error(rng), m.error(rng)}
	for at := 0.0; at <= p.End; at += m.interval {
		v, c := inside.At(at), p.Chamber.At(at)
		out.Vessel = append(out.Vessel, heat.Point{Time: 1000 + at, Temperature: tenth(v + m.offset + noises[0]())})
		out.Chamber = append(out.Chamber, heat.Point{Time: 1000 + at, Temperature: tenth(c + m.chamber + noises[1]())})
	}
	return out
}

// error is noise with a memory, of the standard deviation noise.
func (m made) error(rng *rand.Rand) func() float64 {
	last := m.noise * rng.NormFloat64()
	return func() float64 {
		last = m.memory*last + m.noise*math.Sqrt(1-m.memory*m.memory)*rng.NormFloat64()
		return last
	}
}

// tenth is a reading as loggers write it, to 0.1 K.
func tenth(k float64) float64 { return math.Round(k*10) / 10 }

// The solver's default grid finds the conductivity of a run that was solved on
// a finer one to within solverError.
func TestFitOfTheGrid(t *testing.T) {
	var vessels []made
	for _, bore := range []string{"steam", "air", "collapsed"} {
		for _, k := range []float64{0.2, 0.25, 0.33, 0.5} {
			vessels = append(vessels, made{c: bottle(), conductivity: k, bore: bore, place: halfway, interval: 60})
		}
	}
	for _, m := range checks.Every(5, vessels) { // each bore, with another conductivity
		f, err := m.c.Fit(m.record(t, rand.New(rand.NewPCG(1, 1))))
		require.NoError(t, err)
		assert.InEpsilon(t, m.conductivity, f.Conductivity, solverError, "%s, %v", m.bore, m.conductivity)
		assert.InDelta(t, 0, f.Offset, 0.1)
		assert.Less(t, f.RMS, 0.11) // rounding to 0.1 K, of the record and of steps
	}
}

// covers draws a record of a random run, with noise and offsets of both probes,
// at an interval of 60 s, and says whether the interval has the true value.
func covers(t testing.TB, seed uint64, within float64) (covered bool, f *Fit, m made) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 7))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	m = made{
		c: bottle(), conductivity: between(0.18, 0.45),
		bore: []string{"steam", "air", "collapsed"}[rng.IntN(3)], place: halfway,
		noise: between(0.1, 0.5), memory: []float64{0, 0, 0.5, 0.8}[rng.IntN(4)],
		offset: between(-1.5, 1.5), chamber: between(-0.5, 0.5), interval: 60,
	}
	m.c.Hold = between(40, 80) * unit.Minute
	m.c.ComeUp = between(20, 40) * unit.Minute
	if within > 0 { // where the place tells little it needs a vessel that tells much
		m.conductivity, m.c.Hold = between(0.2, 0.35), between(80, 120)*unit.Minute
	}
	m.moved = heat.Place{R: between(-within, within), Z: between(-within, within)}
	r := m.record(t, rng)
	r.Within = within
	// The case of the fit knows neither how long the run took nor how warm the mix was.
	c := bottle()
	c.Start = 283.15
	f, err := c.Fit(r)
	require.NoError(t, err)
	return f.Low <= m.conductivity && m.conductivity <= f.High, f, m
}

// The fit's interval has the true conductivity in nine of ten records: of 100
// with noise (white, and with a memory), offsets and readings each 60 s, and
// of 30 whose probe was somewhere else within 2 mm. More would be no fault, but
// an interval that has it always says too little, so its width is bound too.
//
// Outside CI fewer are made, and as many have to have it as do in 99 of 100 such samples
// where nine of ten have it in the long run (binomial distribution).
func TestTheIntervalCovers(t *testing.T) {
	for _, x := range []struct {
		records       int
		within, width float64
		least         int
	}{
		{checks.Rounds(12, 100), 0, 0.05, checks.Rounds(8, 90)},
		{checks.Rounds(6, 30), 0.002, 0.30, checks.Rounds(3, 27)},
	} {
		covered, width := 0, 0.0
		for seed := range x.records {
			ok, f, _ := covers(t, uint64(seed), x.within)
			if ok {
				covered++
			}
			width += (f.High - f.Low) / f.Conductivity / float64(x.records)
		}
		// Counted when this was written: 92 of 100, and 29 of 30; 282 of 300 others of the first kind.
		t.Logf("%d of %d within %v m, mean width %.3f", covered, x.records, x.within, width)
		assert.GreaterOrEqual(t, covered, x.least)
		assert.Less(t, width, x.width)
	}
}

// The t distribution's 95 % points: Abramowitz and Stegun, Table 26.10.
func TestQuantile(t *testing.T) {
	for free, want := range map[float64]float64{5: 2.015, 10: 1.812, 30: 1.697, 120: 1.658} {
		assert.InDelta(t, want, quantile(free), 1e-3, "%v", free)
	}
}

// Noise that the next reading keeps the share p of widens a mean's variance by
// (1+p)/(1-p): the definition of a first-order autoregression.
func TestAlikeness(t *testing.T) {
	for _, p := range []float64{0, 0.5, 0.8} {
		next := made{noise: 1, memory: p}.error(rand.New(rand.NewPCG(5, 5)))
		r := make([]float64, 20000)
		for i := range r {
			r[i] = next()
		}
		assert.InEpsilon(t, (1+p)/(1-p), alikeness(r), 0.1)
	}
}

// The same record gives the same bits, and neither the logger's clock nor the
// case's own guess of the run counts.
func TestFitIsOfTheRecordAlone(t *testing.T) {
	m := made{c: bottle(), conductivity: 0.3, bore: "steam", place: halfway, noise: 0.2, interval: 60}
	r := m.record(t, rand.New(rand.NewPCG(3, 3)))
	one, err := m.c.Fit(r)
	require.NoError(t, err)
	two, err := m.c.fit(r) // without the memory
	require.NoError(t, err)
	assert.Equal(t, one, two)
	later := r
	later.Vessel, later.Chamber = shifted(r.Vessel, -5000), shifted(r.Chamber, -5000)
	c := m.c
	c.Hold, c.ComeUp, c.Start = 30*unit.Minute, 80*unit.Minute, 280
	three, err := c.Fit(later)
	require.NoError(t, err)
	assert.Equal(t, one.Conductivity, three.Conductivity)
	assert.Equal(t, Assumption{Name: "measured", Conductivity: one.Low, Bore: SteamInBore}, one.Assumption())
	assert.InEpsilon(t, one.DoseRead, one.DoseComputed, 0.05)
	assert.InDelta(t, m.c.ComeUp+m.c.Vent, one.HoldFrom, 200)
	assert.InDelta(t, m.c.ComeUp+m.c.Vent+m.c.Hold, one.HoldTo, 120)
}

// A logger that writes each second tells as much, and no more, for its noise is
// averaged; and where no probe stood in the chamber, its course is the case's.
func TestFitOfOtherRecords(t *testing.T) {
	fast := made{c: bottle(), conductivity: 0.3, bore: "steam", place: halfway, noise: 0.2, interval: 5}
	f, err := fast.c.Fit(fast.record(t, rand.New(rand.NewPCG(4, 4))))
	require.NoError(t, err)
	assert.InEpsilon(t, 0.3, f.Conductivity, 0.02)
	assert.Less(t, f.Readings, 400)

	m := made{c: bottle(), conductivity: 0.3, bore: "air", place: halfway, noise: 0.2, interval: 60}
	r := m.record(t, rand.New(rand.NewPCG(4, 4)))
	r.Chamber = nil
	f, err = m.c.Fit(r)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.3, f.Conductivity, 0.03)

	// Without a bore the place is on the axis, and what the bore was does not matter.
	solid := made{c: bottle(), conductivity: 0.3, bore: "", place: heat.Place{R: 0, Z: 0.06}, noise: 0.2, interval: 60}
	solid.c.BoreRadius, solid.c.BoreDepth = 0, 0
	f, err = solid.c.Fit(solid.record(t, rand.New(rand.NewPCG(4, 4))))
	require.NoError(t, err)
	assert.InEpsilon(t, 0.3, f.Conductivity, 0.05)
}

// Each record that does not tell is refused, with the reason and its figures.
func TestRefusals(t *testing.T) {
	usual := made{c: bottle(), conductivity: 0.3, bore: "steam", place: halfway, noise: 0.2, interval: 60}
	clean := func() Recorded { return usual.record(t, rand.New(rand.NewPCG(6, 6))) }
	change := func(by func(r *Recorded)) Recorded { r := clean(); by(&r); return r }
	cases := map[Reason]Recorded{
		Few: change(func(r *Recorded) { r.Vessel = r.Vessel[:20] }),
		Gap: change(func(r *Recorded) {
			var kept []heat.Point
			for i, p := range r.Vessel {
				if i < 40 || i > 55 {
					kept = append(kept, p)
				}
			}
			r.Vessel = kept
		}),
		Jump:    change(func(r *Recorded) { r.Vessel[50].Temperature += 30 }),
		Cold:    change(func(r *Recorded) { clip(r.Chamber, 385) }),
		Brief:   change(func(r *Recorded) { r.Vessel, r.Chamber = r.Vessel[:45], r.Chamber[:45] }),
		Same:    change(func(r *Recorded) { r.Vessel = shifted(r.Chamber, 0) }), // in the bore, or in the steam
		Warm:    change(func(r *Recorded) { lift(r.Vessel, 370) }),              // begun when the load was hot
		Off:     change(func(r *Recorded) { raise(r.Vessel, -9) }),
		Unlike:  change(func(r *Recorded) { wave(r.Vessel, 4) }),
		Outside: change(func(r *Recorded) { r.Place = heat.Place{R: 0.002, Z: 0.08} }), // inside the bore
		Unheard: change(func(r *Recorded) { r.Bore = "wet" }),
		Long:    change(func(r *Recorded) { wait(r, 7*unit.Hour) }),
	}
	quick := usual
	quick.conductivity = 1.5
	cases[Edge] = quick.record(t, rand.New(rand.NewPCG(6, 6)))
	loud := usual // a probe near the wall, whose errors last as long as its lag
	loud.noise, loud.memory, loud.place = 1.3, 0.95, heat.Place{R: 0.042, Z: 0.06}
	loud.conductivity, loud.c.Hold, loud.c.ComeUp = 0.4, 25*unit.Minute, 20*unit.Minute
	cases[Flat] = loud.record(t, rand.New(rand.NewPCG(6, 6)))
	for reason, r := range cases {
		_, err := usual.c.Fit(r)
		var refusal *Refusal
		if assert.ErrorAs(t, err, &refusal, "%s", reason) {
			assert.Equal(t, reason, refusal.Reason, "%v", err)
		}
	}
	_, err := usual.c.Fit(clean())
	assert.NoError(t, err)
}

func clip(s []heat.Point, most float64) {
	for i := range s {
		s[i].Temperature = min(s[i].Temperature, most)
	}
}

func lift(s []heat.Point, least float64) {
	for i := range s {
		s[i].Temperature = max(s[i].Temperature, least)
	}
}

func raise(s []heat.Point, by float64) {
	for i := range s {
		s[i].Temperature += by
	}
}

func wave(s []heat.Point, by float64) {
	for i := range s {
		s[i].Temperature += by * math.Sin(float64(i)/4)
	}
}

// wait puts cold readings before a record.
func wait(r *Recorded, lead float64) {
	for _, s := range []*[]heat.Point{&r.Vessel, &r.Chamber} {
		var out []heat.Point
		for at := 0.0; at < lead; at += 60 {
			out = append(out, heat.Point{Time: at, Temperature: 293})
		}
		*s = append(out, shifted(*s, 1000-lead)...)
	}
}
