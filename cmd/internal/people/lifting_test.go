package people_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/vessel"
	"bottlecrop/cmd/internal/working"
)

// The crate of section (c) of this project's climate reference: 16 bottles of
// 850 mL, 46 cm deep, so held 43 cm away and 48 cm by who bends to the floor, from
// 15 cm to a shelf at 150 cm, twice a minute for two hours, with a fair grip.
func crate() people.Lift {
	return people.Lift{Mass: 10.88, From: people.Grip{Reach: 0.48, Height: 0.15}, To: people.Grip{Reach: 0.43, Height: 1.50},
		Frequency: 2 / minute, Duration: 2 * hour, Coupling: people.Fair, Destination: true}
}

func TestCrateOfTheReference(t *testing.T) {
	mass := checks.Eval(t, vessel.CrateMass, values{"n": 16, "m_v": 0.055, "m_l": 0, "M": 0.55, "m_c": 1.2})
	assert.InDelta(t, 10.9, mass, 0.05)
	assert.InDelta(t, 1.50, checks.Eval(t, people.HandHeight, values{"h": 1.35, "g": 0.15}), 1e-9)
	assert.InDelta(t, 1.35, checks.Eval(t, people.Travel, values{"V_1": 1.50, "V_2": 0.15}), 1e-9)
	assert.InDelta(t, 0.43, checks.Eval(t, people.Reach, values{"V": 1.50, "W": 0.46}), 1e-9)
	assert.InDelta(t, 0.48, checks.Eval(t, people.Reach, values{"V": 0.15, "W": 0.46}), 1e-9)
	l := crate()
	l.Mass = mass
	j, err := people.Judge(l, people.Metric)
	require.NoError(t, err)
	assert.InDelta(t, 0.58, j.To.Horizontal, 0.005)
	assert.InDelta(t, 6.7, j.From.Limit, 0.05)
	assert.InDelta(t, 7.4, j.To.Limit, 0.05)
	assert.InDelta(t, 1.6, j.Index, 0.05)
	assert.Equal(t, j.From.Limit, j.Limit)
}

// Tables 1 to 4 and 7 of the manual, metric (from memory), to the two digits that
// are printed; left out are the cells that it misprints against its formula.
func TestMultiplierTables(t *testing.T) {
	m := people.Metric
	for h, want := range map[float64]float64{25: 1, 28: .89, 30: .83, 40: .63, 50: .50, 63: .40, 64: 0} {
		assert.InDelta(t, want, checks.Eval(t, people.Horizontal, values{"H": h / 100, "H_near": m.Near, "H_far": m.Far}), 0.0051, "H %v cm", h)
	}
	for v, want := range map[float64]float64{0: .78, 30: .87, 50: .93, 75: 1, 100: .93, 150: .78, 175: .70, 176: 0} {
		assert.InDelta(t, want, checks.Eval(t, people.Vertical, values{"V": v / 100, "V_0": m.Knuckle, "k": m.HeightSlope, "V_most": m.Highest}), 0.0051, "V %v cm", v)
	}
	for d, want := range map[float64]float64{0: 1, 25: 1, 40: .93, 55: .90, 70: .88, 100: .87, 175: .85, 176: 0} {
		assert.InDelta(t, want, checks.Eval(t, people.Distance, values{"D": d / 100, "d": m.Travel, "D_short": m.Short, "D_long": m.Long}), 0.0051, "D %v cm", d)
	}
	us := people.USCustomary
	assert.InDelta(t, 0.85, checks.Eval(t, people.Distance, values{"D": 70 * inch, "d": us.Travel, "D_short": us.Short, "D_long": us.Long}), 0.0051)
	for v, want := range map[float64]float64{0: .78, 30: 1, 70: .70, 70.1: 0} {
		assert.InDelta(t, want, checks.Eval(t, people.Vertical, values{"V": v * inch, "V_0": us.Knuckle, "k": us.HeightSlope, "V_most": us.Highest}), 0.0051, "V %v in", v)
	}
	for a, want := range map[float64]float64{0: 1, 15: .95, 30: .90, 45: .86, 60: .81, 75: .76, 90: .71, 105: .66, 120: .62, 135: .57, 136: 0} {
		assert.InDelta(t, want, checks.Eval(t, people.Asymmetry, values{"A": a}), 0.0051, "A %v degrees", a)
	}
	for c, want := range map[people.Coupling][2]float64{people.Good: {1, 1}, people.Fair: {.95, 1}, people.Poor: {.90, .90}} {
		for i, high := range []bool{false, true} {
			got, err := c.Multiplier(high)
			require.NoError(t, err)
			assert.Equal(t, want[i], got, "%s, high %v", c, high)
		}
	}
}

// From the best height, near, untwisted, seldom and with good handles, the limit
// is the load constant itself.
func TestIdealLiftIsTheLoadConstant(t *testing.T) {
	for _, c := range []people.Constants{people.Metric, people.USCustomary} {
		grip := people.Grip{Reach: c.Near, Height: c.Knuckle}
		j, err := people.Judge(people.Lift{Mass: 1, From: grip, To: grip, Duration: hour, Coupling: people.Good}, c)
		require.NoError(t, err)
		assert.InEpsilon(t, c.Load, j.Limit, 1e-9)
	}
}

// Table 5 of the manual, column by column (all alike in several public programs;
// the manual's page was not seen): at 0.2, 0.5, 1, 2 … 16 lifts a minute.
func TestFrequencyTable(t *testing.T) {
	for _, column := range []struct {
		hours, height float64
		fm            []float64
	}{
		{1, 0.30, []float64{1, .97, .94, .91, .88, .84, .80, .75, .70, .60, .52, .45, .41, .37, 0, 0, 0, 0}},
		{1, 0.75, []float64{1, .97, .94, .91, .88, .84, .80, .75, .70, .60, .52, .45, .41, .37, .34, .31, .28, 0}},
		{2, 0.30, []float64{.95, .92, .88, .84, .79, .72, .60, .50, .42, .35, .30, .26, 0, 0, 0, 0, 0, 0}},
		{2, 0.75, []float64{.95, .92, .88, .84, .79, .72, .60, .50, .42, .35, .30, .26, .23, .21, 0, 0, 0, 0}},
		{8, 0.30, []float64{.85, .81, .75, .65, .55, .45, .35, .27, .22, .18, 0, 0, 0, 0, 0, 0, 0, 0}},
		{8, 0.75, []float64{.85, .81, .75, .65, .55, .45, .35, .27, .22, .18, .15, .13, 0, 0, 0, 0, 0, 0}},
	} {
		require.Len(t, column.fm, 18)
		for i, want := range column.fm {
			lifts := float64(i - 1)
			if i < 2 {
				lifts = []float64{0.2, 0.5}[i]
			}
			got := checks.Eval(t, people.Frequency, values{"F": lifts / minute, "t": column.hours * hour, "V": column.height, "V_0": 0.75})
			assert.InDelta(t, want, got, 1e-9, "%v lifts a minute, %v h, %v m", lifts, column.hours, column.height)
		}
	}
	// Between rows, at the bounds of durations and heights, and past the ends.
	for _, c := range []struct{ lifts, hours, height, want float64 }{
		{0.1, 1, 0.5, 1}, {0.2, 8, 0.5, 0.85}, {3, 1, 0.5, 0.88}, {5, 2, 0.5, 0.60}, {8, 8, 1, 0.18}, {9, 8, 1, 0.15},
		{9, 8, 0.5, 0}, {12, 2, 0.75, 0.21}, {12, 2, 0.74, 0}, {15, 1, 1, 0.28}, {15.1, 1, 1, 0}, {13, 1, 0.5, 0},
		{2.5, 1, 0.5, 0.895}, {0.35, 8, 1, 0.83}, {2, 1.01, 0.5, 0.84}, {2, 2.01, 0.5, 0.65},
	} {
		got := checks.Eval(t, people.Frequency, values{"F": c.lifts / minute, "t": c.hours * hour, "V": c.height, "V_0": 0.75})
		assert.InDelta(t, c.want, got, 1e-9, "%+v", c)
	}
}

func TestOutOfReachIsNoLift(t *testing.T) {
	for name, change := range map[string]func(*people.Lift){
		"too far":          func(l *people.Lift) { l.To.Reach = 0.64 },
		"too high":         func(l *people.Lift) { l.To.Height = 1.76 },
		"too long a way":   func(l *people.Lift) { l.From.Height, l.To.Height = 0, 1.751 },
		"twisted":          func(l *people.Lift) { l.From.Twist = 136 },
		"too often":        func(l *people.Lift) { l.Frequency = 16 / minute },
		"often from below": func(l *people.Lift) { l.Frequency, l.Duration = 9/minute, 8*hour },
	} {
		l := crate()
		change(&l)
		j, err := people.Judge(l, people.Metric)
		require.NoError(t, err, name)
		assert.Zero(t, j.Limit, name)
		assert.True(t, math.IsInf(j.Index, 1), name)
	}
}

// More of anything that is hard never raises the limit; it is never above the
// load constant, and the index is the mass over it.
func TestHarderIsNeverMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		height := rapid.Float64Range(0, 1.75)
		grip := func(name string) people.Grip {
			return people.Grip{Reach: rapid.Float64Range(0.1, 0.7).Draw(t, name+" reach"), Height: height.Draw(t, name+" height"),
				Twist: rapid.Float64Range(0, 140).Draw(t, name+" twist")}
		}
		l := people.Lift{Mass: rapid.Float64Range(1, 40).Draw(t, "mass"), From: grip("from"), To: grip("to"),
			Frequency: rapid.Float64Range(0, 0.3).Draw(t, "frequency"), Duration: rapid.Float64Range(0, 7*hour).Draw(t, "duration"),
			Coupling: rapid.SampledFrom([]people.Coupling{people.Good, people.Fair, people.Poor}).Draw(t, "coupling"), Destination: rapid.Bool().Draw(t, "destination")}
		j, err := people.Judge(l, people.Metric)
		require.NoError(t, err)
		assert.LessOrEqual(t, j.Limit, people.Metric.Load*(1+1e-12))
		assert.GreaterOrEqual(t, j.Limit, 0.0)
		if j.Limit > 0 {
			assert.InEpsilon(t, l.Mass, j.Index*j.Limit, 1e-12)
		}
		for name, change := range map[string]func(*people.Lift){
			"reach":       func(l *people.Lift) { l.From.Reach += 0.05; l.To.Reach += 0.05 },
			"twist":       func(l *people.Lift) { l.From.Twist += 10; l.To.Twist += 10 },
			"frequency":   func(l *people.Lift) { l.Frequency += 0.01 },
			"duration":    func(l *people.Lift) { l.Duration += hour },
			"coupling":    func(l *people.Lift) { l.Coupling = people.Poor },
			"destination": func(l *people.Lift) { l.Destination = true },
		} {
			harder := l
			change(&harder)
			h, err := people.Judge(harder, people.Metric)
			require.NoError(t, err, name)
			assert.LessOrEqual(t, h.Limit, j.Limit*(1+1e-12), name)
		}
	})
}

// The two sets of constants are parallel, not equal: they differ by less
// than 5 % where both give a limit.
func TestSetsOfConstantsAreParallel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := crate()
		l.From.Height = rapid.Float64Range(0, 1.7).Draw(t, "V")
		l.To.Reach = rapid.Float64Range(0.2, 0.62).Draw(t, "H")
		l.Coupling = people.Good // fair and poor step at 75 cm and at 30 in, which is 76.2 cm
		l.Frequency = 0
		a, err := people.Judge(l, people.Metric)
		require.NoError(t, err)
		b, err := people.Judge(l, people.USCustomary)
		require.NoError(t, err)
		assert.InEpsilon(t, a.Limit, b.Limit, 0.05)
	})
}

func TestScope(t *testing.T) {
	assert.Empty(t, people.Scope(kelvin(21), 0.45, false))
	assert.Equal(t, []people.Outside{people.TooCold, people.TooDamp, people.Slippery}, people.Scope(kelvin(12), 0.9, true))
	assert.Equal(t, []people.Outside{people.TooWarm, people.TooDry}, people.Scope(kelvin(30), 0.2, false))
}

func TestLiftsThatAreRefused(t *testing.T) {
	for name, change := range map[string]func(*people.Lift){
		"nothing":      func(l *people.Lift) { l.Mass = 0 },
		"no number":    func(l *people.Lift) { l.From.Reach = math.NaN() },
		"under ground": func(l *people.Lift) { l.From.Height = -0.1 },
		"a long day":   func(l *people.Lift) { l.Duration = 9 * hour },
		"backward":     func(l *people.Lift) { l.Frequency = -1 },
	} {
		l := crate()
		change(&l)
		_, err := people.Judge(l, people.Metric)
		var r working.RangeError
		assert.True(t, errors.As(err, &r), "%s: %v", name, err)
	}
	l := crate()
	l.Coupling = "firm"
	_, err := people.Judge(l, people.Metric)
	assert.EqualError(t, err, `lift: coupling is "firm"; good, fair or poor is taken`)
	_, err = people.PatternFrequency.At(values{"F": 0.1, "t_lift": 600, "t": 20 * minute})
	assert.ErrorContains(t, err, "longer spells of lifting are not averaged")
}

func ExampleJudge() {
	j, _ := people.Judge(crate(), people.Metric)
	fmt.Printf("limit %.1f kg, index %.1f\n", j.Limit, j.Index)
	// Output: limit 6.7 kg, index 1.6
}
