package room

import (
	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/working"
)

// What a growing crop gives off follows from the heat of burning glucose,
// C6H12O6 + 6 O2 = 6 CO2 + 6 H2O, 2803 kJ/mol (CRC Handbook, from memory).
const GlucoseHeat = 2803e3 // J/mol

// HeatPerCO2 is the heat in J that goes with a kg of CO2, where a mole of glucose
// gives H (J) and six moles of CO2 of M (kg/mol).
var HeatPerCO2 = working.NewLaw("H / (6 * M)", "standard enthalpy of combustion of glucose", nil)

// MetabolicHeat is the heat in W that goes with E (kg/s) of CO2, at h (J/kg). Some
// of it leaves with the water that the crop breathes out: as a load for a chiller
// all of it counts, which is on the safe side.
var MetabolicHeat = working.NewLaw("E * h", heatBalance, nil)

// RateOfHeat is the CO2 in kg/s that a kg gives off of what was measured to
// breathe out q (W) of heat, at h (J/kg).
var RateOfHeat = working.NewLaw("q / h", heatBalance, nil)

// RateAt is the CO2 in kg/s that a kg gives off at T (K), where it is r at T_ref
// (K) and grows by the factor Q10 with each 10 K. From 0 to 40 °C; life ends the
// rule above that, and ice below.
var RateAt = working.NewLaw("r * factor(Q10)^((living(T) - T_ref) / 10)", "van 't Hoff's rule", map[string]working.Function{
	"factor": working.Between("Q10", "", 1, 5, "published ones of mushrooms are 1.8 to 3.0"),
	"living": working.Between("temperature of what breathes", "K", 273.15, 313.15, "0 to 40 °C")})

// TenDegrees is the Q10 between a rate q_1 at T_1 (K) and q_2 at T_2 (K).
var TenDegrees = working.NewLaw("(q_1 / q_2)^(10 / (T_1 - T_2))", "van 't Hoff's rule", nil)

// Emission is the CO2 in kg/s of m (kg) at r (kg/s for each kg), times f for tissue
// that grows faster than what the rate was measured of, else 1.
var Emission = working.NewLaw("growth(f) * r * mass(m)", definition, map[string]working.Function{
	"growth": working.Between("factor of growing tissue", "", 0.1, 10, ""),
	"mass":   working.Between("mass that breathes", "kg", 0, 1e7, "")})

// DryLoss is the share of the dry matter D (kg) that is gone when C (kg) of CO2
// was given off: 30 g of sugar for 44 g of CO2. More than 0.35 in incubation is
// an error of the data.
var DryLoss = working.NewLaw("C * 0.03003 / 0.04401 / D", massBalance, nil)

// ClosedBox is the CO2 in kg/s that a kg gives off, from a test in a closed box:
// m (kg) in a box of V (m³), of which it takes V_x (m³), brings the air from C_1 to
// C_2 within t (s); a mole of gas takes V_m (m³). Up to 2 %, for mycelium breathes
// less in its own CO2. It replaces a published rate, which may be two or three
// times off for a given species in bottles. What leaks from the box is missing.
var ClosedBox = working.NewLaw("(V - V_x) * (end(C_2) - C_1) / time(t) * 0.04401 / V_m / m", massBalance, map[string]working.Function{
	"end":  working.Between("CO2 at the end of the test", "", 0, 0.02, "a share from 0 to 1; stop the test by 2 %"),
	"time": working.Between("time of the test", "s", 60, 4*3600, "a minute to four hours")})

// Rate is a published rate of respiration.
type Rate struct {
	Per    float64 // kg of CO2 a second and kg
	At     float64 // K
	Q10    float64
	Source string
}

const perKilogramHour = 1e-6 / 3600 // kg/s of mg/h

// The heats of respiration of oyster fruit bodies in J/(kg·h), Bohling and Hansen
// 1989; the two that the rate below is made of.
const (
	WarmOysterHeat = 2500.0
	WarmOysterAt   = 273.15 + 15
	ColdOysterHeat = 750.0
	ColdOysterAt   = 273.15 + 3.5
)

// Published rates. They are of fruit bodies after harvest and of substrate in
// bags; nobody has published one of an enoki bottle. A farm that has measured its
// own (ClosedBox) puts it in their place.
var (
	FruitBodies = oyster()
	SpawnRun    = Rate{128 * perKilogramHour, 273.15 + 21, 2.5, "shiitake substrate in spawn run, measured means quoted by a secondary page; Q10: design choice within 1.8 to 3.0"}
	Fruiting    = Rate{96 * perKilogramHour, 273.15 + 21, 2.5, "shiitake substrate in fruiting, measured means quoted by a secondary page; Q10: design choice within 1.8 to 3.0"}
)

// GrowingFactor is how much more tissue gives off that grows than the same after
// harvest. Common practice, no source.
const GrowingFactor = 2.0

// oyster puts the two published heats into a rate.
func oyster() Rate {
	at := func(law *working.Law, constants map[string]float64) float64 {
		v, err := law.At(constants)
		if err != nil {
			panic(err) // they are of this file, and have been tried
		}
		return v
	}
	heat := at(HeatPerCO2, map[string]float64{"H": GlucoseHeat, "M": air.MolarMassCO2})
	per := at(RateOfHeat, map[string]float64{"q": WarmOysterHeat / 3600, "h": heat})
	q10 := at(TenDegrees, map[string]float64{"q_1": WarmOysterHeat, "q_2": ColdOysterHeat, "T_1": WarmOysterAt, "T_2": ColdOysterAt})
	return Rate{per, WarmOysterAt, q10, "oyster after harvest, Bohling and Hansen, Acta Horticulturae 258 (1989) 573, from the heat of respiration"}
}

// For is the rate in kg of CO2 a second and kg at t (K); range as RateAt.
func (r Rate) For(t float64) (float64, error) {
	return RateAt.At(map[string]float64{"r": r.Per, "Q10": r.Q10, "T": t, "T_ref": r.At})
}
