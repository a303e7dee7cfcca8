package lethality_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/lethality"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

type values = map[string]float64

func kelvin(celsius float64) float64       { return float64(unit.FromCelsius(celsius)) }
func fahrenheit(x float64) float64         { return kelvin((x - 32) * 5 / 9) }
func inMinutes(seconds float64) float64    { return seconds / unit.Minute }
func at(min, c float64) lethality.Point    { return lethality.Point{Seconds: min * 60, Kelvin: kelvin(c)} }
func rate(t *testing.T, c float64) float64 { return rateOn(t, lethality.F0, kelvin(c)) }

func rateOn(t *testing.T, s lethality.Scale, k float64) float64 {
	return checks.Eval(t, lethality.Rate, values{"T": k, "T_ref": float64(s.Reference), "z": s.Z})
}

// f turns a refusal into NaN, which meets nothing.
func f(series []lethality.Point, s lethality.Scale, until float64) float64 {
	v, err := lethality.F(series, s, until)
	if err != nil {
		return math.NaN()
	}
	return v
}

func organism(t *testing.T, id string) lethality.Organism {
	t.Helper()
	for _, o := range lethality.Organisms() {
		if o.ID == id {
			return o
		}
	}
	t.Fatalf("no organism %s", id)
	return lethality.Organism{}
}

func TestRatesMeetPublishedTables(t *testing.T) {
	for _, r := range checks.Open(t, "sterilization").Run(t, "T037..T043") {
		s := lethality.Scale{Reference: unit.FromCelsius(r.Input(t, "Tref")), Z: r.Input(t, "z")}
		r.Meet(t, rateOn(t, s, kelvin(r.Input(t, "T"))))
	}
	// Standard retort tables, 121.1 °C and 10 K (from memory, as in this
	// project's sterilization reference, section c).
	for c, want := range map[float64]float64{
		100: 0.0078, 105: 0.0245, 110: 0.0776, 115: 0.2455, 116: 0.3090, 117: 0.389,
		118: 0.490, 119: 0.617, 120: 0.776, 121: 0.977, 122: 1.230,
	} {
		assert.InDelta(t, want, rate(t, c), 0.0006, "%v °C", c)
	}
	// M. Mullan, Calculator for the F value of a thermal process (Dairy Science):
	// 0.077 at 110 °C for 121.11 °C and 10 K.
	assert.InDelta(t, 0.077, rateOn(t, lethality.Scale{Reference: unit.FromCelsius(121.11), Z: 10}, kelvin(110)), 0.0005)
}

func TestConventionsMeetPublishedFigures(t *testing.T) {
	table := checks.Open(t, "sterilization")
	table.Row(t, "T044").Meet(t, inMinutes(lethality.FloorF0))

	r := table.Row(t, "T045")
	r.Meet(t, inMinutes(checks.Eval(t, lethality.TwelveD, values{"D": r.Input(t, "D") * 60})))
	stumbo := organism(t, "clostridium-botulinum-stumbo")
	r.Meet(t, inMinutes(checks.Eval(t, lethality.TwelveD, values{"D": stumbo.Time.Low})))

	for row, id := range map[string]string{
		"T046": "geobacillus-stearothermophilus", "T047": "clostridium-botulinum", "T048": "bacillus-coagulans",
	} {
		o := organism(t, id)
		assert.InDelta(t, 121.1, o.At.Celsius(), 0.05, row)
		table.Row(t, row).Meet(t, inMinutes(o.Time.Low), inMinutes(o.Time.High))
	}

	for row, law := range map[string]*working.Law{"T049": lethality.IndicatorSurvives, "T050": lethality.IndicatorDies} {
		r := table.Row(t, row)
		r.Meet(t, inMinutes(checks.Eval(t, law, values{"D": r.Input(t, "D") * 60, "N": r.Input(t, "N")})))
	}

	indicator := organism(t, "geobacillus-stearothermophilus-indicator")
	table.Row(t, "T051").Meet(t, inMinutes(indicator.Time.Low))
	table.Row(t, "T052").Meet(t, indicator.Z.Low)
	assert.True(t, indicator.Time.Open() && indicator.Z.Open())
}

// The worked example "Process Lethality Determination: Salmonella, lean ground
// beef (2 % fat)", a spreadsheet of the American Meat Institute Foundation (the
// publisher from memory; its data table seen in a reprint): z 10 °F, reference
// 150 °F, a reading each half minute, and the F value in minutes so far.
func TestFMeetsPublishedWorkedExample(t *testing.T) {
	s := lethality.Scale{Reference: unit.Temperature(fahrenheit(150)), Z: 10 * 5.0 / 9}
	sum := lethality.Sum{Scale: s, Until: lethality.ToTheEnd}
	for i, row := range [][2]float64{
		{40, 0}, {64, 0}, {82, 0}, {97, 0}, {113, 0}, {128, 0.002}, {138, 0.019}, {142, 0.074},
		{145, 0.193}, {148, 0.430}, {145, 0.667}, {140, 0.771}, {137, 0.808}, {136, 0.831},
		{135, 0.849}, {134, 0.863},
	} {
		require.NoError(t, sum.Add(lethality.Point{Seconds: float64(i) * 30, Kelvin: fahrenheit(row[0])}))
		assert.InDelta(t, row[1], inMinutes(sum.F), 0.0005, "at %v min", float64(i)/2)
	}
}

// Geankoplis, Transport Processes and Unit Operations, Example 9.12-1 (from
// memory): potato purée in cans is at 160 °F for 20 min, 210 °F for 20 more and
// 230 °F for 33 more; with z 18 °F F0 is 2.68 min, enough for 2.45 min. Steps
// are two readings at one time.
func TestFMeetsWorkedExampleOfSteps(t *testing.T) {
	s := lethality.Scale{Reference: unit.Temperature(fahrenheit(250)), Z: 18 * 5.0 / 9}
	require.True(t, s.IsF0())
	var series []lethality.Point
	for _, leg := range [][3]float64{{0, 20, 160}, {20, 40, 210}, {40, 73, 230}} {
		series = append(series,
			lethality.Point{Seconds: leg[0] * 60, Kelvin: fahrenheit(leg[2])},
			lethality.Point{Seconds: leg[1] * 60, Kelvin: fahrenheit(leg[2])})
	}
	assert.InDelta(t, 2.68, inMinutes(f(series, s, lethality.ToTheEnd)), 0.006)
	// The parts that the book adds up: 0.0002, 0.1199 and 2.555.
	assert.InDelta(t, 0.0002, inMinutes(f(series, s, 20*60)), 5e-5)
	assert.InDelta(t, 0.1201, inMinutes(f(series, s, 40*60)), 5e-5)
}

// Section (c) of this project's sterilization reference: an F0 of 15 min is 15
// logs and a certainty of 1e-9 with D 1 min, and 7.5 logs with D 2 min.
func TestSurvivorsMeetTheReference(t *testing.T) {
	run := func(d float64) (logs, left float64) {
		logs = checks.Eval(t, lethality.LogReduction, values{"F": lethality.TargetF0, "D": d})
		left = checks.Eval(t, lethality.Survivors, values{"N_0": lethality.Bioburden, "F": lethality.TargetF0, "D": d})
		return
	}
	logs, left := run(lethality.BioburdenD)
	assert.InDelta(t, 15, logs, 1e-12)
	assert.InEpsilon(t, 1e-9, left, 1e-9)
	logs, left = run(2 * unit.Minute)
	assert.InDelta(t, 7.5, logs, 1e-12)
	assert.InEpsilon(t, math.Pow(10, -1.5), left, 1e-9)
}

// 1 - exp(-N): 0.63212 for one expected survivor, and N itself, to N²/2, where
// N is small (Abramowitz & Stegun, 4.2.1).
func TestVesselsWithASurvivor(t *testing.T) {
	risk := func(n float64) float64 { return checks.Eval(t, lethality.AtRisk, values{"N": n}) }
	assert.InDelta(t, 0.6321205588, risk(1), 1e-10)
	assert.Zero(t, risk(0))
	assert.Equal(t, 1.0, risk(1e6))
	for _, n := range []float64{1e-5, 1e-9, 1e-17, 1e-300} {
		assert.InEpsilon(t, n-n*n/2, risk(n), 1e-9)
	}
	// Of 400 vessels with 1e-3 expected in each, 0.3998 hold a survivor, and one
	// or more do with the chance of 1 - exp(-0.4).
	n := checks.Eval(t, lethality.BatchSurvivors, values{"n": 400, "N": 1e-3})
	assert.InDelta(t, 0.4, n, 1e-12)
	assert.InDelta(t, 0.3998, checks.Eval(t, lethality.VesselsAtRisk, values{"n": 400, "p": risk(1e-3)}), 1e-6)
	assert.InDelta(t, risk(n), checks.Eval(t, lethality.BatchAtRisk, values{"n": 400, "N": 1e-3}), 1e-15)
}

func TestCoolDownCountsOnlyWhereAsked(t *testing.T) {
	series := []lethality.Point{at(0, 20), at(30, 121.1), at(90, 121.1), at(110, 101.1)}
	whole := f(series, lethality.F0, lethality.ToTheEnd)
	hold := f(series, lethality.F0, 90*60)
	// A straight rate from 1 to 0.01 over 20 min is 10.1 min.
	assert.InDelta(t, 10.1, inMinutes(whole-hold), 1e-9)
	// Cut between readings, on the rate's straight line: 10 min down it is 0.505.
	assert.InDelta(t, 10*(1+0.505)/2, inMinutes(f(series, lethality.F0, 100*60)-hold), 1e-9)
	assert.Zero(t, f(series, lethality.F0, 0))
	assert.Zero(t, f(series, lethality.F0, -1))
	assert.Zero(t, f(series[:1], lethality.F0, lethality.ToTheEnd))
	assert.Zero(t, f(nil, lethality.F0, lethality.ToTheEnd))
	assert.InDelta(t, 60, inMinutes(f(series, lethality.F0, 90*60)-f(series, lethality.F0, 30*60)), 1e-9)
}

func TestWhatIsCalledF0(t *testing.T) {
	for s, want := range map[lethality.Scale]bool{
		lethality.F0: true,
		{Reference: unit.FromCelsius(121.11), Z: 10}:                         true,
		{Reference: unit.Temperature(fahrenheit(250)), Z: 10}:                true,
		{Reference: unit.Temperature(fahrenheit(250)), Z: 18 * 5.0 / 9}:      true,
		{Reference: unit.FromCelsius(121), Z: 10}:                            false,
		{Reference: unit.FromCelsius(121.12), Z: 10}:                         false,
		{Reference: unit.FromCelsius(121.1), Z: 10.1}:                        false,
		{Reference: unit.FromCelsius(121.1), Z: math.NaN()}:                  false,
		{Reference: unit.Temperature(math.NaN()), Z: 10}:                     false,
		{Reference: unit.FromCelsius(121.1), Z: 10 * (1 + math.Pow(2, -52))}: true,
	} {
		assert.Equal(t, want, s.IsF0(), "%v", s)
	}
	// The two references are 0.26 % apart.
	ratio := rate(t, 121.1) / rateOn(t, lethality.Scale{Reference: unit.Temperature(fahrenheit(250)), Z: 10}, kelvin(121.1))
	assert.InDelta(t, 1.0026, ratio, 5e-5)
}

func TestRefusals(t *testing.T) {
	good := []lethality.Point{at(0, 20), at(1, 121)}
	scale := func(ref, z float64) lethality.Scale {
		return lethality.Scale{Reference: unit.Temperature(ref), Z: z}
	}
	law := func(l *working.Law, v values) error { _, err := l.At(v); return err }
	of := func(series []lethality.Point, s lethality.Scale, until float64) error {
		_, err := lethality.F(series, s, until)
		return err
	}
	nan, inf := math.NaN(), math.Inf(1)
	for name, err := range map[string]error{
		"z 0":                of(good, scale(394, 0), inf),
		"z below 0":          of(good, scale(394, -10), inf),
		"z NaN":              of(good, scale(394, nan), inf),
		"z infinite":         of(good, scale(394, inf), inf),
		"reference 0":        of(good, scale(0, 10), inf),
		"reference NaN":      of(good, scale(nan, 10), inf),
		"reference too hot":  of(good, scale(500, 10), inf),
		"until NaN":          of(good, lethality.F0, nan),
		"reading NaN":        of([]lethality.Point{{Seconds: 0, Kelvin: nan}}, lethality.F0, inf),
		"reading infinite":   of([]lethality.Point{{Seconds: 0, Kelvin: inf}}, lethality.F0, inf),
		"reading 0 K":        of([]lethality.Point{{Seconds: 0, Kelvin: 0}}, lethality.F0, inf),
		"reading 151 °C":     of([]lethality.Point{at(0, 20), at(1, 151)}, lethality.F0, inf),
		"law, z 0":           law(lethality.Rate, values{"T": 394, "T_ref": 394, "z": 0}),
		"law, z below 0":     law(lethality.Rate, values{"T": 394, "T_ref": 394, "z": -10}),
		"law, D 0":           law(lethality.LogReduction, values{"F": 900, "D": 0}),
		"law, D below 0":     law(lethality.Survivors, values{"N_0": 1, "F": 900, "D": -1}),
		"law, D NaN":         law(lethality.TwelveD, values{"D": nan}),
		"law, L 0":           law(lethality.TimeFor, values{"F": 900, "L": 0}),
		"law, N below 0":     law(lethality.AtRisk, values{"N": -1e-9}),
		"law, N NaN":         law(lethality.BatchAtRisk, values{"n": 1, "N": nan}),
		"law, D of D at T":   law(lethality.DAt, values{"D": 0, "T": 394, "T_D": 394, "z": 10}),
		"law, indicator D 0": law(lethality.IndicatorDies, values{"D": 0, "N": 1e5}),
	} {
		var r lethality.RangeError
		require.True(t, errors.As(err, &r), "%s: %v", name, err)
		assert.False(t, r.Found > r.Least && r.Found <= r.Most, name)
	}
	for name, series := range map[string][]lethality.Point{
		"back in time":  {at(0, 20), at(2, 120), at(1, 121)},
		"time NaN":      {at(0, 20), {Seconds: nan, Kelvin: 300}},
		"time infinite": {at(0, 20), {Seconds: inf, Kelvin: 300}},
		"first is NaN":  {{Seconds: nan, Kelvin: 300}},
	} {
		var s lethality.SeriesError
		require.True(t, errors.As(of(series, lethality.F0, inf), &s), name)
		assert.Equal(t, len(series)-1, s.Index, name)
		assert.Contains(t, s.Error(), fmt.Sprint("reading ", len(series)-1), name)
	}
	// A refused reading leaves the sum as it was.
	sum := lethality.Sum{Scale: lethality.F0, Until: inf}
	require.NoError(t, sum.Add(at(0, 121.1)))
	require.Error(t, sum.Add(at(1, 500)))
	require.Error(t, sum.Add(at(-1, 100)))
	require.NoError(t, sum.Add(at(1, 121.1)))
	assert.InDelta(t, 60, sum.F, 1e-12)
}

// run draws readings of a plausible run.
func run(t *rapid.T) []lethality.Point {
	n := rapid.IntRange(2, 40).Draw(t, "n")
	series := make([]lethality.Point, n)
	// Quarters of a second, which stay exact when the clock is moved.
	at := float64(rapid.IntRange(-40000, 40000).Draw(t, "start")) / 4
	for i := range series {
		series[i] = lethality.Point{Seconds: at, Kelvin: kelvin(rapid.Float64Range(0, 135).Draw(t, "T"))}
		at += float64(rapid.IntRange(0, 2400).Draw(t, "step")) / 4
	}
	return series
}

func TestWhichWayThingsGo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		series := run(t)
		s := lethality.Scale{
			Reference: unit.FromCelsius(rapid.Float64Range(80, 130).Draw(t, "reference")),
			Z:         rapid.Float64Range(5, 20).Draw(t, "z"),
		}
		whole := f(series, s, lethality.ToTheEnd)
		first, last := series[0].Seconds, series[len(series)-1].Seconds
		cut := rapid.Float64Range(first, last).Draw(t, "cut")
		part := f(series, s, cut)
		assert.LessOrEqual(t, 0.0, part)
		assert.LessOrEqual(t, part, whole*(1+1e-12))
		assert.LessOrEqual(t, part, f(series, s, cut+60)*(1+1e-12), "counting longer never counts less")
		assert.Equal(t, whole, f(series, s, last))

		// Hotter readings, and a longer hold, never count less.
		hotter := append([]lethality.Point(nil), series...)
		i := rapid.IntRange(0, len(series)-1).Draw(t, "i")
		hotter[i].Kelvin += 1
		assert.GreaterOrEqual(t, f(hotter, s, lethality.ToTheEnd), whole)
		longer := append(append([]lethality.Point(nil), series...), lethality.Point{Seconds: last + 60, Kelvin: series[len(series)-1].Kelvin})
		more := 60 * math.Pow(10, (series[len(series)-1].Kelvin-float64(s.Reference))/s.Z)
		assert.InEpsilon(t, whole+more, f(longer, s, lethality.ToTheEnd), 1e-9)

		// The clock's zero is nobody's business.
		moved := append([]lethality.Point(nil), series...)
		for i := range moved {
			moved[i].Seconds += 4096
		}
		assert.InEpsilon(t, whole+1, f(moved, s, lethality.ToTheEnd)+1, 1e-9)
	})
}

// On a ramp the integral is known: (z / ln 10) · (L1 - L0) / slope. The
// trapezoid comes from above and four times closer when twice as fine.
func TestTrapezoidConvergesAsASquare(t *testing.T) {
	ramp := func(n int) float64 {
		var series []lethality.Point
		for i := range n + 1 {
			x := float64(i) / float64(n)
			series = append(series, at(30*x, 91.1+30*x))
		}
		return f(series, lethality.F0, lethality.ToTheEnd)
	}
	exact := 60 * 10 / math.Ln10 * (1 - 1e-3)
	assert.InDelta(t, 1+math.Pow(math.Ln10/10, 2)/12, ramp(30)/exact, 1e-4, "readings 1 K apart")
	for _, n := range []int{30, 60, 120} {
		coarse, fine := ramp(n)-exact, ramp(2*n)-exact
		assert.Positive(t, fine)
		assert.InDelta(t, 4, coarse/fine, 0.05)
	}
}

func BenchmarkF(b *testing.B) {
	series := make([]lethality.Point, 10000)
	for i := range series {
		series[i] = at(float64(i)/60, 20+float64(i)/100)
	}
	for b.Loop() {
		if _, err := lethality.F(series, lethality.F0, lethality.ToTheEnd); err != nil {
			b.Fatal(err)
		}
	}
}

// Fifteen psi at sea level is 120.95 °C: an hour there, air-free, is not quite
// an hour of F0.
func ExampleF() {
	series := []lethality.Point{
		{Seconds: 0, Kelvin: 394.10}, {Seconds: 3600, Kelvin: 394.10},
	}
	f0, err := lethality.F(series, lethality.F0, lethality.ToTheEnd)
	fmt.Printf("%.1f min %v\n", f0/60, err)
	// Output: 58.0 min <nil>
}
