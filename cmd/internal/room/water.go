package room

import (
	"math"

	"bottlecrop/cmd/internal/working"
)

const apparatus = "apparatus dew point of a coil: ASHRAE Handbook Fundamentals 2017, chapter 1"

// FreshWater is the water in kg/s that it takes to bring Q (m³/s) of outdoor air
// from W_out to the room's humidity ratio W, where a kg of dry air takes v (m³)
// as it was measured. Below 0 the outdoor air brings water in.
var FreshWater = working.NewLaw("flow(Q) / v * (W - W_out)", massBalance, map[string]working.Function{"flow": airFlow})

// CoilWater is the water in kg/s that a coil takes out of air of T (K) and the
// humidity ratio W while it takes S (W) of sensible heat: its surface is as cold
// as T_coil (K), where saturated air has W_coil; c_p (J/(kg·K)) is the heat
// capacity of the air. Most of what a humidifier brings goes here. A coil that is
// larger and barely colder than the room takes less.
var CoilWater = working.NewLaw("heat(S) / (c_p * colder(T, T_coil)) * max(0, W - W_coil)", apparatus, map[string]working.Function{
	"heat":   working.Between("sensible heat of the coil", "W", 0, 1e7, "a coil that heats takes no water out"),
	"colder": coilBelow})

var coilBelow = working.Exactly(2, func(a ...float64) (float64, error) {
	if err := working.Within("surface of the coil", "K", a[1], 200, a[0]-0.1, "it must be colder than the room"); err != nil {
		return 0, err
	}
	return a[0] - a[1], nil
})

// CoilDries is the water in kg that a coil takes out with each J of sensible heat:
// CoilWater for 1 J, with the same W, W_coil, c_p (J/(kg·K)), T and T_coil (K).
var CoilDries = working.NewLaw("max(0, W - W_coil) / (c_p * colder(T, T_coil))", apparatus, map[string]working.Function{"colder": coilBelow})

// CoilTakes is the water in kg/s that goes with S (W) of sensible heat, k (kg/J).
var CoilTakes = working.NewLaw("S * k", massBalance, nil)

// CropWater is the water in kg/s that m (kg) of fruit bodies give off at k (kg/s
// for each kg).
var CropWater = working.NewLaw("transpired(k) * m", massBalance, map[string]working.Function{
	"transpired": working.Between("transpiration", "1/s", 0, 1e-5, "0.5 to 4 g an hour and kg are published")})

// DefaultTranspiration is what fruit bodies lose in a cold room, kg of water a second
// and kg of them: common practice, no source. Measured of oyster mushrooms: 0.52
// g/(kg·h) at 2 °C and 100 %, up to 3.88 at 18 °C and 86 % (Journal of Food
// Engineering 2017, doi 10.1016/j.jfoodeng.2017.05.026).
const DefaultTranspiration = 1.5e-3 / 3600

// RestDuty is the water in kg/s that a humidifier would have to bring while the coil
// rests: what fresh air takes (m_fresh) and what dry walls and floors soak up
// (m_soak), less what the crop gives off (m_crop); below 0 where the crop is enough.
// Water that outdoor air brings in is not counted on: it ends with the weather.
var RestDuty = working.NewLaw("max(0, m_fresh) + m_soak - m_crop", massBalance, nil)

// Duty is the water in kg/s that a humidifier has to bring. Heat and water hang
// together: the more the coil cools, the more it dries, k (kg/J), and a kg of vapor
// brings b (J) of sensible heat with it, below 0 where fog takes the heat out of
// the air. S (W) is the sensible heat without the humidifier, and m_0 (kg/s) the
// duty while the coil rests. Where fog cools so well that the coil rests, m_0 is all.
var Duty = working.NewLaw("max(0, max(m_0, (m_0 + k * S) / (1 - k * b)))", "balance of masses and of heat", nil)

// VaporHeat is the heat in J that a kg of water takes to become vapor in air of T
// (K): its enthalpy as vapor less as liquid.
var VaporHeat = working.NewLaw("2501000 - 2326 * (T - 273.15)", "ASHRAE Handbook Fundamentals 2017, chapter 1, equations 30 and 33", nil)

// SteamHeat is the sensible heat in J that a kg of steam of 100 °C brings into air
// of T (K).
var SteamHeat = working.NewLaw("1860 * (373.15 - T)", "ASHRAE Handbook Fundamentals 2017, chapter 1, equation 30", nil)

var airFlow = working.Between("flow of air", "m³/s", 0, math.MaxFloat64, "")
