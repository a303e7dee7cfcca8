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

// Free is the free air in m³ of a room of V (m³), in which n vessels of V_v (m³,
// outside) and shelves of V_s (m³) stand.
var Free = working.NewLaw("volume(V) - n * V_v - V_s", "sum of the parts", map[string]working.Function{
	"volume": working.Between("volume of the room", "m³", 0.1, 1e6, "")})

// Filled is the part of a room of V (m³) that n vessels of V_v (m³, outside) take.
// A sixth at most is advised: Stamets, Growing Gourmet and Medicinal Mushrooms.
var Filled = working.NewLaw("n * V_v / volume(V)", definition, map[string]working.Function{
	"volume": working.Between("volume of the room", "m³", 0.1, 1e6, "")})
