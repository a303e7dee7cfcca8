package air

import (
	"math"

	"bottlecrop/cmd/internal/working"
)

var notNegative = func(quantity, unit string) working.Function {
	return working.Between(quantity, unit, 0, math.MaxFloat64, "")
}

// Outdoor is the share of CO2 in outdoor air that is taken where nobody has
// measured it: 425 ppm, about the mean of 2024 and 2025 (from memory). Near
// roads and in towns it is more.
const Outdoor = 425e-6

// OutdoorSource is where Outdoor is from.
const OutdoorSource = "about the mean of outdoor air in 2024 and 2025 (from memory)"

// MolarMassCO2 is in kg/mol, from the IUPAC standard atomic weights.
const MolarMassCO2 = 0.04401

// MolarVolume is the room in m³ that a mole of gas takes at T (K) and p (Pa).
var MolarVolume = working.NewLaw("8.314462618 * kelvin(T) / pressure(p)", idealGas, map[string]working.Function{
	"kelvin": working.Between("temperature of the gas", "K", 200, 400, "a gas near room temperature"), "pressure": around})

// GasFlow is the volume in m³/s of E (kg/s) of a gas with the molar mass M
// (kg/mol), where a mole takes V_m (m³). As much CO2 takes more room where the
// air is thin, so its share in a room is higher there.
var GasFlow = working.NewLaw("E / M * V_m", idealGas, nil)

// MassInVolume is the mass in kg of a gas in a m³ of air of which it is the
// share C, with the molar mass M (kg/mol), where a mole takes V_m (m³).
var MassInVolume = working.NewLaw("share(C) * M / V_m", idealGas, map[string]working.Function{
	"share": working.Between("concentration", "", 0, 1, whereAShareIs)})

// Steady is the share of a gas in a room at last: outdoor air with C_out comes
// in at Q (m³/s, above 0), and G (m³/s) of the gas is given off.
var Steady = working.NewLaw("C_out + G / Q", massBalance, nil)

// FreshAir is the outdoor air in m³/s that holds a room at the share C_set of a
// gas of which G (m³/s) is given off, where the air that comes in has C_out.
// excess is C_set - C_out; no air brings a room to what it has itself.
var FreshAir = working.NewLaw("given_off(G) / excess(C_set, C_out)", massBalance, map[string]working.Function{
	"given_off": notNegative("gas given off", "m³/s"),
	"excess": working.Exactly(2, func(a ...float64) (float64, error) {
		if err := working.Within("setpoint", "", a[0], math.Nextafter(a[1], 2), 1, "it must be above what the fresh air has"); err != nil {
			return 0, err
		}
		return a[0] - a[1], nil
	})})

// After is the share of a gas in a room of the free volume V (m³) at the time t
// (s) after it was C_0, with Q (m³/s, 0 where it is sealed) of air coming in that
// has C_out, and G (m³/s) given off. filling(x) is (1 - exp(-x))/x, and 1 at 0.
var After = working.NewLaw("C_0 * exp(-flow(Q) * time(t) / V) + (C_out * Q + G) * t / V * filling(Q * t / V)", massBalance,
	map[string]working.Function{"flow": notNegative("fresh air", "m³/s"), "time": notNegative("time", "s"), "filling": one(filling)})

// Mean is the mean share of a gas from 0 to t (s) where After is the one at t, with the
// same C_0, C_out, Q and G (m³/s) and V (m³). lagging(x) is (1 - filling(x))/x, and 1/2
// at 0.
var Mean = working.NewLaw("C_0 * filling(flow(Q) * time(t) / V) + (C_out * Q + G) * t / V * lagging(Q * t / V)", massBalance,
	map[string]working.Function{"flow": notNegative("fresh air", "m³/s"), "time": notNegative("time", "s"), "filling": one(filling), "lagging": one(lagging)})

// SealedRise is how fast a gas gains in a sealed room of the free volume V
// (m³), a share a second, where G (m³/s) is given off.
var SealedRise = working.NewLaw("G / V", massBalance, nil)

// SealedTime is the time in s after which a sealed room of the free volume V
// (m³) has passed from the share C_0 of a gas to C_lim, where G (m³/s, above 0)
// is given off; 0 where it is there already.
var SealedTime = working.NewLaw("V * max(0, C_lim - C_0) / G", massBalance, nil)

// TimeTo is the time in s in which a room of the free volume V (m³) with Q
// (m³/s) of fresh air comes from the share C_0 of a gas to C_lim, on its way to
// C_ss, its steady value. A share that is not on the way is an error.
var TimeTo = working.NewLaw("V / Q * ln(reached((C_0 - C_ss) / (C_lim - C_ss)))", massBalance, map[string]working.Function{
	"reached": working.Between("(C_0 - C_ss)/(C_lim - C_ss)", "", 1, math.MaxFloat64, "the room goes from C_0 to C_ss and comes to nothing beyond")})

// Leakage is the air in m³/s that passes a room of the free volume V (m³) with
// its fan off, at n (1/s) changes of air.
var Leakage = working.NewLaw("changes(n) * V", definition, map[string]working.Function{
	"changes": notNegative("changes of air", "1/s")})

func filling(x float64) (float64, error) {
	if x == 0 {
		return 1, nil
	}
	return -math.Expm1(-x) / x, nil
}

func lagging(x float64) (float64, error) {
	// The difference below loses its digits where x is small; the series is
	// right to 1e-11 there.
	if x < 1e-2 {
		return 1.0/2 - x/6 + x*x/24 - x*x*x/120 + x*x*x*x/720, nil
	}
	return (1 + math.Expm1(-x)/x) / x, nil
}

// Cycle is what a gas does in a room whose fan runs and rests in turn, when that
// has gone on for long.
type Cycle struct {
	Low  float64 // share at the end of the fan's run
	High float64 // share at the end of its rest
	Mean float64 // over a whole cycle
}

// Cycling works out a Cycle for a room of the free volume v (m³) in which g
// (m³/s) of a gas is given off: the fan runs for the time on (s) with the fresh
// air running (m³/s, leakage included) that has outside, and rests for off (s)
// with resting (m³/s, the leakage, which may be 0).
func Cycling(v, g, outside, running, on, resting, off float64) (Cycle, error) {
	for _, c := range []struct {
		quantity, unit string
		found, least   float64
	}{
		{"free volume", "m³", v, 1e-3}, {"gas given off", "m³/s", g, 0}, {"outdoor concentration", "", outside, 0},
		{"fresh air with the fan on", "m³/s", running, 1e-9}, {"time with the fan on", "s", on, 1},
		{"fresh air with the fan off", "m³/s", resting, 0}, {"time with the fan off", "s", off, 0},
	} {
		if err := working.Within(c.quantity, c.unit, c.found, c.least, 1e9, ""); err != nil {
			return Cycle{}, err
		}
	}
	// Both parts of a cycle are straight lines from the share at their start to
	// that at their end; where the two meet is the share that comes back.
	part := func(law *working.Law, start, flow, time float64) float64 {
		x, err := law.At(map[string]float64{"C_0": start, "C_out": outside, "Q": flow, "G": g, "V": v, "t": time})
		if err != nil {
			return math.NaN()
		}
		return x
	}
	turn := func(high float64) float64 { return part(After, part(After, high, running, on), resting, off) }
	start := turn(0)
	c := Cycle{High: start / (1 - (turn(1) - start))}
	c.Low = part(After, c.High, running, on)
	c.Mean = (part(Mean, c.High, running, on)*on + part(Mean, c.Low, resting, off)*off) / (on + off)
	return c, working.Within("concentration", "", c.High, 0, 1, "so much gas can't be carried off")
}
