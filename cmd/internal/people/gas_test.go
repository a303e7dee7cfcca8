package people_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/working"
)

// ASHRAE's 0.31 L of CO2 a minute for an adult at office work (1.2 met), as in
// Standard 62.1's appendix on CO2 (from memory).
func TestExhaledMeetsOfficeWork(t *testing.T) {
	g := checks.Eval(t, people.Exhaled, values{"A": people.AdultSkin, "M": 1.2})
	assert.InDelta(t, 0.31, g*1000*minute, 0.01)
}

// OSHA's line of 19.5 % is passed at 1.4 to 1.5 % CO2 (section (c) of this
// project's climate reference).
func TestOxygen(t *testing.T) {
	at := func(c float64) float64 { return checks.Eval(t, people.Oxygen, values{"C": c, "C_out": air.Outdoor}) }
	assert.Greater(t, at(0.014), people.ScarceOxygen)
	assert.Less(t, at(0.016), people.ScarceOxygen)
	assert.InDelta(t, 0.199, at(0.01), 0.0015)
}

// Four hours in 8000 ppm and four in fresh air of 500 are 4250 ppm of a shift;
// what the periods leave counts as none, and overtime in full.
func TestTimeWeighted(t *testing.T) {
	for want, periods := range map[float64][]people.Period{
		4250e-6: {{8000e-6, 4 * hour}, {500e-6, 4 * hour}},
		4000e-6: {{8000e-6, 4 * hour}},
		6250e-6: {{5000e-6, 10 * hour}},
		0:       nil,
	} {
		got, err := people.TimeWeighted(periods...)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-12)
	}
	_, err := people.TimeWeighted(people.Period{5000, hour})
	assert.EqualError(t, err, "concentration of period 1 is 5000; 0 to 1 is taken (a share from 0 to 1, not ppm)")
	_, err = people.TimeWeighted(people.Period{5e-3, 25 * hour})
	assert.ErrorContains(t, err, "time of period 1")
}

// visit is an incubation room at 12,000 ppm, purged with ten changes of air an
// hour to 2,500 ppm, with little air while two people work in it.
func visit() people.Visit {
	return people.Visit{Volume: 40, Outside: air.Outdoor, Start: 12000e-6, Crop: 30e-3 / hour, Exhaled: 2 * 30e-3 / hour,
		Purge: 400 / hour, Inside: 4 / hour, Enter: 2500e-6, Rest: 800e-6}
}

func TestVisit(t *testing.T) {
	e, err := people.Plan(visit())
	require.NoError(t, err)
	// By hand: C_ss = 425 + 1e6·0.030/400 = 500 ppm; 6 min·ln(11500/2000) = 10.5 min.
	assert.InDelta(t, 10.5*minute, e.Purge, 0.05*minute)
	assert.Zero(t, math.Mod(e.Stay, minute))
	assert.Greater(t, e.Stay, 0.0)
	assert.LessOrEqual(t, e.Mean, people.PermissibleCO2)
	// A minute more would be too much: by an integral of its own, in steps of 1 s.
	mean := func(stay float64) float64 {
		v := visit()
		c, dose := v.Enter, 0.0
		for range int(stay) {
			dose += c
			c += (v.Crop + v.Exhaled + v.Inside*(v.Outside-c)) / v.Volume
		}
		return (dose + v.Rest*(8*hour-stay)) / (8 * hour)
	}
	assert.InDelta(t, mean(e.Stay), e.Mean, 2e-6)
	assert.Greater(t, mean(e.Stay+minute), people.PermissibleCO2-2e-6)
}

// Dry ice or a leaking bottle of gas: the short-term limit ends the stay long
// before the shift's does.
func TestShortTermLimitEndsAStay(t *testing.T) {
	v := visit()
	v.Start, v.Crop, v.Inside, v.Rest = 1000e-6, 1e-3, 0, 0
	e, err := people.Plan(v)
	require.NoError(t, err)
	// 25 ppm a second from the crop, and 0.4 from two people: 29,000 ppm in 19.0 min.
	assert.Equal(t, 19*minute, e.Stay)
	assert.Less(t, e.Mean, people.PermissibleCO2/2)
}

func TestVisitProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := visit()
		v.Start = rapid.Float64Range(500e-6, 0.05).Draw(t, "start")
		v.Inside = rapid.Float64Range(0, 0.2).Draw(t, "inside")
		v.Crop = rapid.Float64Range(0, 5e-5).Draw(t, "crop")
		e, err := people.Plan(v)
		require.NoError(t, err)
		assert.LessOrEqual(t, e.Mean, people.PermissibleCO2)
		assert.LessOrEqual(t, e.Leave, people.ShortTermCO2)
		assert.Equal(t, v.Start <= v.Enter, e.Purge == 0)
		harder := v
		harder.Crop += 1e-5
		h, err := people.Plan(harder)
		require.NoError(t, err)
		assert.LessOrEqual(t, h.Stay, e.Stay)
		assert.GreaterOrEqual(t, h.Purge, e.Purge)
	})
}

func TestVisitsThatAreRefused(t *testing.T) {
	for name, change := range map[string]func(*people.Visit){
		"entry above the short-term limit": func(v *people.Visit) { v.Enter = 0.031 },
		"entry below outdoors":             func(v *people.Visit) { v.Enter = 400e-6 },
		"a purge that is too weak":         func(v *people.Visit) { v.Purge = 10 / hour },
		"in ppm":                           func(v *people.Visit) { v.Start = 12000 },
		"no room":                          func(v *people.Visit) { v.Volume = 0 },
		"a bad rest":                       func(v *people.Visit) { v.Rest = 0.006 },
	} {
		v := visit()
		change(&v)
		_, err := people.Plan(v)
		var r working.RangeError
		assert.True(t, errors.As(err, &r), "%s: %v", name, err)
	}
	v := visit()
	v.Purge = 0
	_, err := people.Plan(v)
	assert.ErrorContains(t, err, "purge")
	// No purge is needed where the room is good enough already.
	v.Start = 1000e-6
	e, err := people.Plan(v)
	require.NoError(t, err)
	assert.Zero(t, e.Purge)
}

// The figures of section (c) of this project's climate reference: 1 mL of 70 %
// ethanol a m³ gives 288 ppm at 20 °C, 3.5 mL the limit of a shift, 29 mL a
// quarter of the lower explosive limit.
func TestAlcoholOfTheReference(t *testing.T) {
	mole := checks.Eval(t, air.MolarVolume, values{"T": kelvin(20), "p": sea})
	e := people.Ethanol
	vapor := checks.Eval(t, people.VaporSealed, values{"V_l": 1e-6, "x": 0.7, "rho": e.Density, "M": e.MolarMass, "V_m": mole, "V": 1})
	assert.InDelta(t, 288, vapor*1e6, 0.5)
	liquid := func(c float64) float64 {
		return 1e6 * checks.Eval(t, people.LiquidFor, values{"C": c, "V": 1, "M": e.MolarMass, "x": 0.7, "rho": e.Density, "V_m": mole})
	}
	assert.InDelta(t, 3.5, liquid(e.Permissible), 0.05)
	assert.InDelta(t, 29, liquid(people.RefuseExplosive*e.Explosive), 0.5)
	for _, a := range []people.Alcohol{people.Ethanol, people.Isopropanol} {
		// NIOSH sets the IDLH of both at a tenth of the lower explosive limit.
		assert.InDelta(t, people.WarnExplosive, checks.Eval(t, people.OfExplosive, values{"C": a.Dangerous, "L": a.Explosive}), 1e-9)
	}
}

// 29 CFR 1910.1000 Table Z-1 prints its limits in mg/m³ too, rounded, for 25 °C
// and one atmosphere: 1900 for ethanol, 980 for isopropanol (from memory).
func TestLimitsOfAlcoholsAsMasses(t *testing.T) {
	mole := checks.Eval(t, air.MolarVolume, values{"T": kelvin(25), "p": sea})
	for want, a := range map[float64]people.Alcohol{1900: people.Ethanol, 980: people.Isopropanol} {
		assert.InEpsilon(t, want, 1e6*checks.Eval(t, air.MassInVolume, values{"C": a.Permissible, "M": a.MolarMass, "V_m": mole}), 0.01)
	}
}

// What is wiped or sprayed is there and back; with fresh air there is less.
func TestAlcoholBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.SampledFrom([]people.Alcohol{people.Ethanol, people.Isopropanol}).Draw(t, "alcohol")
		mole := checks.Eval(t, air.MolarVolume, values{"T": kelvin(rapid.Float64Range(5, 35).Draw(t, "t")), "p": rapid.Float64Range(55e3, 105e3).Draw(t, "p")})
		room, x := rapid.Float64Range(5, 200).Draw(t, "V"), rapid.Float64Range(0.5, 1).Draw(t, "x")
		wiped := checks.Eval(t, people.Wiped, values{"area": rapid.Float64Range(0.1, 10).Draw(t, "area"), "d": people.WetFilm})
		all := wiped + checks.Eval(t, people.Sprayed, values{"n": 20, "V_s": 1e-6})
		c := checks.Eval(t, people.VaporSealed, values{"V_l": all, "x": x, "rho": a.Density, "M": a.MolarMass, "V_m": mole, "V": room})
		assert.InEpsilon(t, all, checks.Eval(t, people.LiquidFor, values{"C": c, "V": room, "M": a.MolarMass, "x": x, "rho": a.Density, "V_m": mole}), 1e-12)

		const time = 600.0
		g := checks.Eval(t, people.Evaporating, values{"V_l": all, "x": x, "rho": a.Density, "M": a.MolarMass, "V_m": mole, "t": time})
		after := func(q float64) float64 {
			return checks.Eval(t, air.After, values{"C_0": 0, "Q": q, "t": time, "V": room, "C_out": 0, "G": g})
		}
		assert.InEpsilon(t, c, after(0), 1e-9)
		assert.Less(t, after(0.05), c)
		// As mass: what evaporated hangs in the room.
		mass := checks.Eval(t, air.MassInVolume, values{"C": c, "M": a.MolarMass, "V_m": mole})
		assert.InEpsilon(t, all*x*a.Density, mass*room, 1e-12)
	})
}

func TestFlashPoint(t *testing.T) {
	last := math.Inf(1)
	for _, x := range []float64{0.05, 0.2, 0.21, 0.5, 0.7, 0.71, 0.96} {
		f, err := people.FlashPoint(x)
		require.NoError(t, err)
		assert.LessOrEqual(t, f, last)
		last = f
	}
	for _, x := range []float64{0, 70, 0.97, math.NaN()} {
		_, err := people.FlashPoint(x)
		assert.Error(t, err, x)
	}
}

// The ACGIH's rounded table for work all the time, 28 °C for who is used to heat
// and 25 °C for who is not at moderate work of 300 W (from memory), is drawn
// after the same curves.
func TestHeat(t *testing.T) {
	for _, c := range []struct{ work, limit, alert float64 }{{180, 31, 28}, {300, 28, 25}, {415, 26.5, 23}, {520, 25.5, 21.5}} {
		assert.InDelta(t, c.limit, checks.Eval(t, people.HeatLimit, values{"M": c.work})-273.15, 0.6, "%v W", c.work)
		assert.InDelta(t, c.alert, checks.Eval(t, people.HeatAlert, values{"M": c.work})-273.15, 0.6, "%v W", c.work)
	}
	assert.InDelta(t, kelvin(26), checks.Eval(t, people.WetBulbGlobe, values{"T_nwb": kelvin(23), "T_g": kelvin(33)}), 1e-9)
	for contact, want := range map[float64]float64{1: 51, 60: 51, 61: 48, 600: 48, 601: 43, 8 * hour: 43} {
		got, err := people.Burn(contact)
		require.NoError(t, err)
		assert.InDelta(t, kelvin(want), got, 1e-9, "%v s", contact)
	}
	assert.Less(t, people.BareHands, kelvin(48))
}

func TestOutsideTheRangeIsAnError(t *testing.T) {
	for name, at := range map[string]func() (float64, error){
		"percent": func() (float64, error) {
			return people.VaporSealed.At(values{"V_l": 1e-4, "x": 70, "rho": 789, "M": 0.046, "V_m": 0.024, "V": 40})
		},
		"liters": func() (float64, error) {
			return people.VaporSealed.At(values{"V_l": 50, "x": 0.7, "rho": 789, "M": 0.046, "V_m": 0.024, "V": 40})
		},
		"water": func() (float64, error) {
			return people.LiquidFor.At(values{"C": 1e-3, "x": 0, "rho": 789, "M": 0.046, "V_m": 0.024, "V": 40})
		},
		"a puddle":          func() (float64, error) { return people.Wiped.At(values{"area": 1, "d": 0.01}) },
		"ppm":               func() (float64, error) { return people.OfExplosive.At(values{"C": 3300, "L": 0.033}) },
		"oxygen and ppm":    func() (float64, error) { return people.Oxygen.At(values{"C": 5000, "C_out": 0}) },
		"a giant":           func() (float64, error) { return people.Exhaled.At(values{"A": 18, "M": 1}) },
		"asleep at work":    func() (float64, error) { return people.Exhaled.At(values{"A": 1.8, "M": 0}) },
		"a quiet room":      func() (float64, error) { return people.NoiseOSHA.At(values{"L": 60}) },
		"too loud for OSHA": func() (float64, error) { return people.NoiseOSHA.At(values{"L": 116}) },
		"an explosion":      func() (float64, error) { return people.NoiseNIOSH.At(values{"L": 150}) },
		"idle":              func() (float64, error) { return people.HeatLimit.At(values{"M": 50}) },
		"kilowatts":         func() (float64, error) { return people.HeatAlert.At(values{"M": 3000}) },
		"forever":           func() (float64, error) { return people.Burn(9 * hour) },
	} {
		_, err := at()
		var r working.RangeError
		require.True(t, errors.As(err, &r), "%s: %v", name, err)
		assert.False(t, r.Found >= r.Least && r.Found <= r.Most, name)
	}
}
