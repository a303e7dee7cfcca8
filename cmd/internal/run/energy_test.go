package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/run"
)

type given = map[string]float64

// The worked example of the sterilization reference, section (e): 20 bottles of
// 541 g in 15 kg of aluminum with 5 kg of water, 101 K, 3 kW, 10 min of venting.
func TestWorkedExample(t *testing.T) {
	const cold, hot = 293.15, 394.15
	load := checks.Eval(t, run.HeatedEach, given{"n": 20, "m_s": 0.541, "c_s": 3150, "m_v": 0.1, "c_v": run.HeatOfVessel("polypropylene"), "T": hot, "T_0": cold})
	assert.InDelta(t, 3.83e6, load, 0.005e6)
	metal := checks.Eval(t, run.Heated, given{"m": 15, "c": run.HeatOfMetal("aluminum"), "T": hot, "T_0": cold})
	assert.InDelta(t, 1.36e6, metal, 0.005e6)
	water := checks.Eval(t, run.Heated, given{"m": 5, "c": run.HeatOfWater, "T": hot, "T_0": cold})
	assert.InDelta(t, 2.1e6, water, 0.05e6)
	assert.InDelta(t, 7.3e6, load+metal+water, 0.05e6)
	up := checks.Eval(t, run.UpMost, given{"Q_metal": metal, "Q_water": water, "Q_load": load, "P": 3000, "L": 0})
	assert.InDelta(t, 41, up/60, 0.5)

	substrate := checks.Eval(t, run.Heated, given{"m": 0.541, "c": 3150, "T": hot, "T_0": cold})
	assert.InDelta(t, 0.078, checks.Eval(t, run.Condensed, given{"Q": substrate, "T": hot}), 0.0005)
	assert.InDelta(t, 0.8, checks.Eval(t, run.Vented, given{"P": 3000, "L": 0, "t": 600, "T": 373.12}), 0.05)
}

// The laws against figures worked by hand.
func TestLawsOfARunByHand(t *testing.T) {
	for _, c := range []struct {
		name string
		want float64
		got  float64
	}{
		{"1 L as a cylinder of 108.4 mm: 5.536 · 0.01 m²", 0.05536, checks.Eval(t, run.Surface, given{"V": 1e-3})},
		{"10 · 3 · 101", 3030, checks.Eval(t, run.Lost, given{"h": 10, "A": 3, "T": 394, "T_room": 293})},
		{"(1 + 2) MJ / 3 kW", 1000, checks.Eval(t, run.UpLeast, given{"Q_metal": 1e6, "Q_water": 2e6, "P": 3000})},
		{"3 / (0.5 + 0.25)", 4, checks.Eval(t, run.Strength, given{"P": 3, "L": 0.5, "S": 0.25})},
		{"9 / 0.9", 10, checks.Eval(t, run.Metered, given{"Q": 9, "e": 0.9})},
		{"440 W · 5400 s / 2.2021 MJ/kg (steam table, 120 °C)", 1.07897, checks.Eval(t, run.Leaked, given{"S": 440, "t": 5400, "T": 393.15})},
		{"a heater that the wall uses up vents nothing", 0, checks.Eval(t, run.Vented, given{"P": 400, "L": 500, "t": 600, "T": 373})},
		{"a tenth of 10 kg", 1, checks.Eval(t, run.HeldUp, given{"M": 10})},
		{"4.98 + 2 + 3 kg in m³", 0.01, checks.Eval(t, run.Gone, given{"m_vent": 4.98, "m_leak": 2, "m_load": 3})},
		{"4 + 2 + 3.98 kg in m³", 0.01, checks.Eval(t, run.MadeUp, given{"m_vent": 4, "m_leak": 2, "M": 3.98})},
		{"a full load takes longer, 2 min", 120, checks.Eval(t, run.Planned, given{"t_fast": 100, "t_full": 61})},
		{"the fastest is no estimate", 100, checks.Eval(t, run.Planned, given{"t_fast": 100, "t_full": 50})},
		{"18 kWh of 20", 0.9, checks.Eval(t, run.OfComputed, given{"E": 18, "E_calc": 20})},
		{"2 L and 9.98 kg", 0.012, checks.Eval(t, run.RunsDry, given{"w": 0.002, "V": 0.01})},
		{"2 L and 1.5 · 6 + 0.98 kg", 0.012, checks.Eval(t, run.LeastCharge, given{"w": 0.002, "m_vent": 4, "m_leak": 2, "m_load": 0.98})},
		{"10 L", 9.98, checks.Eval(t, run.ChargeMass, given{"V": 0.01})},
		{"1 MJ over 100 K at 10 W/K", 1000, checks.Eval(t, run.Slackens, given{"Q": 1e6, "T": 393, "T_0": 293, "h": 5, "A": 2})},
		{"from 100 K above to 1/e of it", 1000, checks.Eval(t, run.FallsTo, given{"tau": 1000, "T": 393, "T_1": 293 + 100/math.E, "T_room": 293})},
	} {
		assert.InEpsilon(t, c.want+1e-12, c.got+1e-12, 1e-4, c.name)
	}
	for name, f := range map[string]func() (float64, error){
		"no power": func() (float64, error) { return run.UpLeast.At(given{"Q_metal": 1, "Q_water": 1, "P": 0}) },
		"less than lost": func() (float64, error) {
			return run.UpMost.At(given{"Q_metal": 1, "Q_water": 1, "Q_load": 1, "P": 1, "L": 2})
		},
		"no efficiency":   func() (float64, error) { return run.Metered.At(given{"Q": 1, "e": 0}) },
		"below the room":  func() (float64, error) { return run.FallsTo.At(given{"tau": 1, "T": 393, "T_1": 280, "T_room": 293}) },
		"a half argument": func() (float64, error) { return run.Strength.At(given{"P": 3, "L": 0.5}) },
	} {
		_, err := f()
		assert.Error(t, err, name)
	}
}

// bottle is the 850 mL bottle of the reference's sanity tables.
func bottle() run.Case {
	return run.Case{
		Radius: 0.045, Height: 0.125, BoreRadius: 0.008, BoreDepth: 0.113, HeatCapacity: 680 * 3150, AirFilled: 0.41,
		Side: 105, Base: 91, Start: 293.15, Boiling: 373.12, Chamber: 394.10, Ambient: 101325,
		ComeUp: 1800, Vent: 600, Hold: 5400,
	}
}

// cooker is the large electric one of the library, 3 kW.
func cooker() run.Boiler {
	return run.Boiler{Power: 3000, Metal: 15 * 900, Water: 5 * run.HeatOfWater, Loss: 8.5, Room: 293.15, Leak: 150}
}

func bottles(n int) run.Load { return run.Load{Vessels: n, Walls: 100 * 1.9} }

func heated(t require.TestingT, c run.Case, b run.Boiler, l run.Load) *run.Rise {
	out, err := run.Heat(c, run.Quick, b, l)
	require.NoError(t, err)
	return out
}

// What goes in is kept, lost or blown off. The heater's part is counted by its
// power and its time, the wall's by its temperature, so this can fail.
func TestEnergyCloses(t *testing.T) {
	for _, n := range []int{0, 1, 20, 40} {
		c := heated(t, bottle(), cooker(), bottles(n))
		a := c.Account
		assert.Less(t, a.Error(), 1e-3, "%d bottles", n)
		assert.InEpsilon(t, cooker().Power*(c.ComeUp()+c.Vent)+a.HoldInput, a.Input, 1e-9)
		assert.InEpsilon(t, a.ComeUpInput+a.VentInput+a.HoldInput, a.Input, 1e-9)
	}
}

// The substrate's part is what the solver's field says at the end of the hold.
func TestSubstrateTakesWhatItHas(t *testing.T) {
	c := bottle()
	course := heated(t, c, cooker(), bottles(20))
	c.ComeUp = math.Ceil(course.ComeUp()/60) * 60
	s, err := run.Solve(c, run.Quick)
	require.NoError(t, err)
	sum, volume := 0.0, 0.0
	f := s.Field
	for j := range f.Z {
		for i := range f.R {
			if f.T[j][i] > 0 {
				// Rings of equal width within the bore and outside it.
				w := f.R[i] * width(f.R, i) * width(f.Z, j)
				sum, volume = sum+w*(f.T[j][i]-c.Start), volume+w
			}
		}
	}
	body := math.Pi * (c.Radius*c.Radius*c.Height - c.BoreRadius*c.BoreRadius*c.BoreDepth)
	want := 20 * c.HeatCapacity * body * sum / volume
	assert.InEpsilon(t, want, course.Account.Substrate, 0.02)
	t.Logf("come-up %.1f min, substrate %.2f MJ, run %.2f MJ", course.ComeUp()/60, course.Account.Substrate/1e6, course.Account.Input/1e6)
}

// The coarse grid of the come-up against the samples of the usual one.
func TestCoarseGridTakesAsMuch(t *testing.T) {
	for _, bored := range []bool{true, false} {
		c := bottle()
		if !bored {
			c.BoreRadius, c.BoreDepth = 0, 0
		}
		course := heated(t, c, cooker(), bottles(1))
		c.ComeUp = math.Ceil(course.ComeUp()/60) * 60
		s, err := run.Solve(c, run.Quick)
		require.NoError(t, err)
		sum := 0.0
		for i, x := range s.Samples[1:] {
			sum += x.Uptake * (x.Time - s.Samples[i].Time)
		}
		assert.InEpsilon(t, sum, course.Account.Substrate, 0.01)
	}
}

func width(x []float64, i int) float64 {
	switch {
	case i == 0:
		return x[1] - x[0]
	case i == len(x)-1:
		return x[i] - x[i-1]
	}
	return (x[i+1] - x[i-1]) / 2
}

// The come-up lies between that of the chamber alone and that of a load that is
// hot all through, both with the losses of the end or none.
func TestComeUpLiesBetweenItsBounds(t *testing.T) {
	c, b := bottle(), cooker()
	b.Leak = 0
	rise := c.Chamber - c.Start
	for _, n := range []float64{1, 5, 20, 40} {
		course := heated(t, c, b, bottles(int(n)))
		least := checks.Eval(t, run.UpLeast, given{"Q_metal": b.Metal * rise, "Q_water": b.Water * rise, "P": b.Power})
		each := c.HeatCapacity*math.Pi*c.Radius*c.Radius*c.Height + bottles(1).Walls
		most := checks.Eval(t, run.UpMost, given{"Q_metal": b.Metal * rise, "Q_water": b.Water * rise, "Q_load": n * each * rise, "P": b.Power, "L": b.Loss * rise})
		assert.Greater(t, course.ComeUp(), least)
		assert.Less(t, course.ComeUp(), most, "%v bottles", n)
	}
}

// An empty chamber has a solution on paper: dT/dt = (P − k(T − T_room))/C.
func TestEmptyChamberMeetsItsSolution(t *testing.T) {
	c, b := bottle(), cooker()
	got := heated(t, c, b, bottles(0))
	lump := b.Metal + b.Water
	to := func(from, to float64) float64 {
		return lump / b.Loss * math.Log((b.Power-b.Loss*(from-b.Room))/(b.Power-b.Loss*(to-b.Room)))
	}
	assert.InEpsilon(t, to(c.Start, c.Boiling), got.ToBoiling, 1e-4)
	assert.InEpsilon(t, to(c.Boiling, c.Chamber), got.ToHold, 1e-4)
	vent := (b.Power - b.Loss*(c.Boiling-b.Room)) * c.Vent
	assert.InEpsilon(t, vent, got.Account.Vent, 1e-9)
}

func TestWhichWayARunGoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, b := bottle(), cooker()
		c.BoreRadius, c.BoreDepth = 0, 0
		n := rapid.IntRange(0, 30).Draw(t, "vessels")
		b.Power = float64(rapid.IntRange(20, 60).Draw(t, "power")) * 100
		b.Loss = float64(rapid.IntRange(0, 10).Draw(t, "loss"))
		base := heated(t, c, b, bottles(n))

		more := heated(t, c, b, bottles(n+5))
		assert.GreaterOrEqual(t, more.ComeUp(), base.ComeUp(), "more vessels never come up faster")
		assert.Greater(t, more.Account.Input, base.Account.Input, "and never take less")

		strong := b
		strong.Power *= 1.2
		fast := heated(t, c, strong, bottles(n))
		assert.LessOrEqual(t, fast.ComeUp(), base.ComeUp(), "more power is never slower")

		leaky := b
		leaky.Loss += 2
		slow := heated(t, c, leaky, bottles(n))
		assert.Greater(t, slow.ComeUp(), base.ComeUp(), "a loss is never faster")
		assert.Greater(t, slow.Account.Input, base.Account.Input)
	})
}

// More loss by steam never needs less water.
func TestMoreLossNeverTakesLessWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := given{"w": 0.002}
		for _, k := range []string{"m_vent", "m_leak", "m_load"} {
			in[k] = rapid.Float64Range(0, 50).Draw(t, k)
		}
		before, err := run.LeastCharge.At(in)
		require.NoError(t, err)
		in[rapid.SampledFrom([]string{"m_vent", "m_leak", "m_load"}).Draw(t, "which")] += 1
		after, err := run.LeastCharge.At(in)
		require.NoError(t, err)
		assert.Greater(t, after, before)
	})
}

func TestBoilersThatAreNoneAreRefused(t *testing.T) {
	for want, change := range map[string]func(*run.Case, *run.Boiler, *run.Load){
		"number of vessels":             func(_ *run.Case, _ *run.Boiler, l *run.Load) { l.Vessels = -1 },
		"heater's power":                func(_ *run.Case, b *run.Boiler, _ *run.Load) { b.Power = 0 },
		"heat capacity of the water":    func(_ *run.Case, b *run.Boiler, _ *run.Load) { b.Water = 0 },
		"heat capacity of the metal":    func(_ *run.Case, b *run.Boiler, _ *run.Load) { b.Metal = math.NaN() },
		"loss through the wall":         func(_ *run.Case, b *run.Boiler, _ *run.Load) { b.Loss = -1 },
		"can't reach":                   func(_ *run.Case, b *run.Boiler, _ *run.Load) { b.Power = 900 },
		"would need over 12 h":          func(_ *run.Case, b *run.Boiler, l *run.Load) { b.Power = 1100; l.Vessels = 60 },
		"rise from boiling to the hold": func(c *run.Case, _ *run.Boiler, _ *run.Load) { c.Chamber = c.Boiling },
		"rise to boiling":               func(c *run.Case, _ *run.Boiler, _ *run.Load) { c.Start = 380 },
		"temperature of the room":       func(_ *run.Case, b *run.Boiler, _ *run.Load) { b.Room = 20 },
		"heat capacity of a vessel":     func(_ *run.Case, _ *run.Boiler, l *run.Load) { l.Walls = -3 },
		"heat that leaves as steam":     func(_ *run.Case, b *run.Boiler, _ *run.Load) { b.Leak = math.Inf(1) },
		"radius":                        func(c *run.Case, _ *run.Boiler, _ *run.Load) { c.Radius = 0 },
	} {
		c, b, l := bottle(), cooker(), bottles(20)
		change(&c, &b, &l)
		_, err := run.Heat(c, run.Quick, b, l)
		assert.ErrorContains(t, err, want)
	}
	_, err := run.ToHold.At(given{})
	assert.Error(t, err)
}

// The laws of a course read what Heat says.
func TestLawsOfACourse(t *testing.T) {
	c, b := bottle(), cooker()
	in := given{
		"R": c.Radius, "H": c.Height, "r_bore": c.BoreRadius, "d_bore": c.BoreDepth, "C": c.HeatCapacity, "a": c.AirFilled,
		"U_side": c.Side, "U_base": c.Base, "T_0": c.Start, "T_boil": c.Boiling, "T_hold": c.Chamber, "p_air": c.Ambient,
		"t_up": c.ComeUp, "t_vent": c.Vent, "t_hold": c.Hold,
		"n": 20, "m_v": 0.1, "c_v": 1900, "m_metal": 15, "c_metal": 900, "m_water": 5, "c_water": run.HeatOfWater,
		"P": b.Power, "h": 10, "A": 0.85, "T_room": b.Room, "S": b.Leak,
	}
	want := heated(t, c, b, bottles(20))
	assert.InEpsilon(t, want.ToBoiling, checks.Eval(t, run.ToBoiling, in), 1e-9)
	assert.InEpsilon(t, want.ToHold, checks.Eval(t, run.ToHold, in), 1e-9)
	assert.InEpsilon(t, want.Account.Input, checks.Eval(t, run.HeatOfRun, in), 1e-9)
	assert.InEpsilon(t, want.Account.Substrate, checks.Eval(t, run.HeatOfSubstrate, in), 1e-9)
}

// BenchmarkHeat is a course whose solutions are remembered.
func BenchmarkHeat(b *testing.B) {
	for b.Loop() {
		heated(b, bottle(), cooker(), bottles(20))
	}
}
