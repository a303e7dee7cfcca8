package sterilizer

import (
	"errors"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// FullVent is the time of steady steam after which a chamber counts as free of
// air: 10 min (USDA Complete Guide to Home Canning; PNW 421).
const FullVent = 10 * unit.Minute

// shortVentAir is the mole fraction of air assumed after a shorter vent: at
// least 5 % (a design choice).
const shortVentAir = 0.05

// AirLeft is the mole fraction of air left in the chamber after venting for
// t_vent, in s.
var AirLeft = working.NewLaw("air_left(t_vent)", "0 after 10 min of steady steam (USDA Complete Guide to Home Canning), else 5 % (design choice)",
	map[string]working.Function{"air_left": func(a ...float64) (float64, error) {
		switch {
		case len(a) != 1 || a[0] < 0:
			return 0, errors.New("takes one time, not below zero")
		case a[0] >= FullVent*(1-1e-9):
			return 0, nil
		}
		return shortVentAir, nil
	}})

// Controls is the number of control vessels of all loads, c in each.
var Controls = working.NewLaw("loads * c", "definition", nil)

// LargestLoad is the number of vessels in the largest of even loads, as Split
// makes them out of n vessels.
var LargestLoad = working.NewLaw("ceil(n / loads)", "definition", nil)

// Cover is how many times the substrate of a load, its equal share of T kg for so many
// loads, fills the largest load of v vessels with M kg each.
var Cover = working.NewLaw("T / loads / (v * M)", "definition", nil)

// GaugeHighest is the top of the gauge's band in Pa: the set pressure p_gauge
// and the band allowed above it.
var GaugeHighest = working.NewLaw("p_gauge + band", "definition", nil)

// Margin is how far a temperature T stays below T_most, both in K.
var Margin = working.NewLaw("T_most - T", "definition", nil)

// ForCrop is how many vessels of a load are left to grow in, when cap stand in
// it and c of them are controls.
var ForCrop = working.NewLaw("cap - c", "definition", nil)

// StepsOfBand is how many of its steps r a gauge shows within the band allowed
// above the set pressure, both in Pa.
var StepsOfBand = working.NewLaw("band / r", "definition", nil)

// LoadOfChamber is the volume of cap vessels of V (m³) each, to the brim, as a
// share of the chamber's usable volume V_usable (m³).
var LoadOfChamber = working.NewLaw("cap * V / V_usable", "definition", nil)

// LoadFilled is the largest load of n vessels as a share of the cap that a
// load takes.
var LoadFilled = working.NewLaw("n / cap", "definition", nil)
