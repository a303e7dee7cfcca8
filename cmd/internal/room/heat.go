package room

import "bottlecrop/cmd/internal/working"

// FreshSensible is the heat in W with which Q (m³/s) of outdoor air of T_out (K)
// warms a room of T (K) before any of its water counts: c_p (J/(kg·K)) is that of
// the outdoor air, v (m³/kg) that of the air where Q was measured.
var FreshSensible = working.NewLaw("flow(Q) / v * c_p * (T_out - T)", heatBalance, map[string]working.Function{"flow": airFlow})

// FreshTotal is that heat in W with the water's: Q (m³/s) and v (m³/kg) as before, h_out
// and h (J/kg) the enthalpies outdoors and in the room.
var FreshTotal = working.NewLaw("flow(Q) / v * (h_out - h)", heatBalance, map[string]working.Function{"flow": airFlow})

// Through is the heat in W through an area A (m²) of U (W/(m²·K)) from where it is
// T_out (K) into a room of T (K).
var Through = working.NewLaw("conductance(U) * A * (T_out - T)", iso6946, map[string]working.Function{"conductance": conductance})

var conductance = working.Between("conductance of a wall", "W/(m²·K)", 0.01, 10, "0.2 is a cold room's panel, 6 a single pane")

// HumidifierHeat is the sensible heat in W that m (kg/s) of vapor brings, at b (J/kg):
// below 0 for fog.
var HumidifierHeat = working.NewLaw("m * b", heatBalance, nil)

// FogHeat is the sensible heat in J that a kg of fog brings: less than nothing, for
// it takes h (J/kg) out of the air to become vapor.
var FogHeat = working.NewLaw("-h", heatBalance, nil)

// ToCool and ToHeat are the W that a chiller and a heater have to move where the
// sensible heat that comes in is S (W); one of them rests.
var (
	ToCool = working.NewLaw("max(0, S)", definition, nil)
	ToHeat = working.NewLaw("max(0, -S)", definition, nil)
)

// PeopleHeat is the sensible heat in W of n people at work, P (W) each.
var PeopleHeat = working.NewLaw("n * P", definition, nil)

// Latent is the heat in W that a coil takes with m (kg/s) of water, at h (J/kg).
var Latent = working.NewLaw("m * h", heatBalance, nil)

// PersonHeat is the sensible heat in W of one person at work. Common practice, no
// source.
const PersonHeat = 100.0

// ThermalResistance of the air at a surface inside, m²·K/W: ISO 6946 (from memory).
const (
	AtWall    = 0.13
	AtCeiling = 0.10 // heat goes up
	AtFloor   = 0.17 // heat goes down
)

// SurfaceTemperature is what the inside of a wall of U (W/(m²·K)) has, in K,
// between T (K) inside and T_out (K); R (m²·K/W) is that of the air at it.
var SurfaceTemperature = working.NewLaw("T - conductance(U) * R * (T - T_out)", iso6946,
	map[string]working.Function{"conductance": conductance})

// AboveDew is how far in K a surface of T_s (K) is above the dew point T_dew (K) of
// the air at it: below 0 it drips.
var AboveDew = working.NewLaw("T_s - T_dew", definition, nil)

// MostConductance is the U in W/(m²·K) up to which a wall stays dry, where the
// dew point of the room is T_dew (K) and it is colder than T (K) at T_out (K). R
// (m²·K/W) is the resistance of the air at its inside.
var MostConductance = working.NewLaw("(T - T_dew) / (R * colder(T, T_out))", iso6946, map[string]working.Function{
	"colder": working.Exactly(2, func(a ...float64) (float64, error) {
		if err := working.Within("temperature beyond the wall", "K", a[1], 150, a[0]-0.01, "a wall that is warmer beyond stays dry"); err != nil {
			return 0, err
		}
		return a[0] - a[1], nil
	})})
