// Package room knows what a room full of bottles does to its air, and what its
// fan, coil and humidifier have to do about it: carbon dioxide and the fresh air
// against it, heat, water, and the surfaces that drip.
//
// Everything is in SI units: temperatures K, flows of air m³/s, of water and
// carbon dioxide kg/s, heat W, concentrations and humidities shares from 0 to 1.
// A flow of air is measured at the state of the room unless its comment says so.
//
// What is designed with this is advice: the maker of a coil or humidifier, and a
// licensed installer, have the last word, and so have local codes.
package room

import "bottlecrop/cmd/internal/working"

const (
	definition  = "definition"
	massBalance = "balance of masses"
	heatBalance = "balance of heat"
	iso6946     = "ISO 6946 (from memory)"
)

// How far the air of a room may be from what a stage wants, before somebody has to see
// to it: K, and a share of humidity. Common practice, no source.
const (
	AirGive      = 1.5
	HumidityGive = 0.05
)

// Displaced is the room in m³ that a vessel takes of the air: a cylinder of its
// outside diameter d (m) and its inside height h (m) with a wall s (m) below and a
// lid above. Beside the neck that is a little too much, which is on the safe side.
var Displaced = working.NewLaw("pi / 4 * d^2 * (h + 2 * s)", "volume of a cylinder", nil)

// Free is the free air in m³ of a room of V (m³), in which vessels of V_v (m³,
// outside, together) and shelves of V_s (m³) stand.
var Free = working.NewLaw("volume(V) - V_v - V_s", "sum of the parts", map[string]working.Function{
	"volume": working.Between("volume of the room", "m³", 0.1, 1e6, "")})

// Filled is the part of a room of V (m³) that vessels of V_v (m³, outside,
// together) take. A sixth at most is advised: Stamets, Growing Gourmet and
// Medicinal Mushrooms.
var Filled = working.NewLaw("V_v / volume(V)", definition, map[string]working.Function{
	"volume": working.Between("volume of the room", "m³", 0.1, 1e6, "")})

// Substrate is what of n vessels breathes before there are mushrooms, kg: the wet
// substrate M (kg) and the spawn S (kg) of each.
var Substrate = working.NewLaw("n * (M + S)", massBalance, nil)

// Mushrooms are what n vessels bear, kg, at Y (kg) each. They grow out of the
// substrate, whose mass is not lowered for them: a little too much breathes.
var Mushrooms = working.NewLaw("n * Y", massBalance, nil)

// Margin is how many times a load or duty L fits into what there is, P.
var Margin = working.NewLaw("P / L", definition, nil)

// ByFan is the fresh air in m³/s that a fan has to bring where Q_need (m³/s) is needed
// and Q_leak (m³/s) leaks in anyway.
var ByFan = working.NewLaw("max(0, Q_need - Q_leak)", definition, nil)

// Running is the fresh air in m³/s that comes in with the fan run just as much as the
// setpoint asks for, Q_need (m³/s), where leakage is Q_leak and leakage and fan
// together bring Q_all at most. RunningFree is the same for a fan that is as large as
// it has to be.
var (
	Running     = working.NewLaw("max(Q_leak, min(Q_need, Q_all))", definition, nil)
	RunningFree = working.NewLaw("max(Q_leak, Q_need)", definition, nil)
)

// Higher is the share of CO2 in the room before somebody enters: the setpoint C_set,
// or what the fan comes to, C_fan, where it can't hold that.
var Higher = working.NewLaw("max(C_set, C_fan)", definition, nil)

// Rest is what is left in m³ of a box of V (m³) beside what stands in it, V_x (m³).
var Rest = working.NewLaw("V - V_x", definition, nil)
