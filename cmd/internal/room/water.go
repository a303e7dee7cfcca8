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
	"heat": working.Between("sensible heat of the coil", "W", 0, 1e7, "a coil that heats takes no water out"),
	"colder": working.Exactly(2, func(a ...float64) (float64, error) {
		if err := working.Within("surface of the coil", "K", a[1], 200, a[0]-0.1, "it must be colder than the room"); err != nil {
			return 0, err
		}
		return a[0] - a[1], nil
	})})

// CropWater is the water in kg/s that m (kg) of fruit bodies give off at k (kg/s
// for each kg).
var CropWater = working.NewLaw("transpired(k) * m", massBalance, map[string]working.Function{
	"transpired": working.Between("transpiration", "1/s", 0, 1e-5, "0.5 to 4 g an hour and kg are published")})

// Transpiration in kg of water a second and kg of fruit bodies. Measured of
// oyster mushrooms: 0.52 g/(kg·h) at 2 °C and 100 %, up to 3.88 at 18 °C and 86 %
// (Journal of Food Engineering 2017, doi 10.1016/j.jfoodeng.2017.05.026). The
// middle one is for a cold room: common practice, no source.
const (
	LeastTranspiration   = 0.5e-3 / 3600
	DefaultTranspiration = 1.5e-3 / 3600
	MostTranspiration    = 4.0e-3 / 3600
)

// Humidify is the water in kg/s that a humidifier has to bring: what fresh air
// takes, the coil takes and dry walls and floors soak up (m_soak), less what the
// crop gives off. Water that outdoor air brings in is not counted on: it ends with
// the weather.
var Humidify = working.NewLaw("max(0, max(0, m_fresh) + m_coil + m_soak - m_crop)", massBalance, nil)

// HumidifierSize is what a humidifier should be able to bring, in kg/s, for the
// duty m (kg/s): it ages, and it rests. A margin of 1.3 to 1.5 is common practice,
// no source.
var HumidifierSize = working.NewLaw("margin(x) * m", definition, map[string]working.Function{
	"margin": working.Between("margin", "", 1, 3, "")})

// VaporHeat is the heat in J that a kg of water takes to become vapor in air of T
// (K): its enthalpy as vapor less as liquid.
var VaporHeat = working.NewLaw("2501000 - 2326 * (T - 273.15)", "ASHRAE Handbook Fundamentals 2017, chapter 1, equations 30 and 33", nil)

// SteamHeat is the sensible heat in J that a kg of steam of 100 °C brings into air
// of T (K).
var SteamHeat = working.NewLaw("1860 * (373.15 - T)", "ASHRAE Handbook Fundamentals 2017, chapter 1, equation 30", nil)

var airFlow = working.Between("flow of air", "m³/s", 0, math.MaxFloat64, "")
