package procedure

import (
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// figure is a number of the sheets that no protocol carries: the same on every
// farm. Limits in it are targets of a worker, not ranges of a protocol.
type figure struct {
	name   string
	kind   unit.Kind
	value  float64 // SI; points of a percentage have the kind None
	source string
}

const (
	habit  = "common practice, no source"
	chosen = "design choice, no source"
)

func celsius(t float64) float64 { return float64(unit.FromCelsius(t)) }

// bareHand is the temperature (K) above which nothing is handled without gloves.
var bareHand = celsius(45)

// figures are entered among the facts under their names.
var figures = []figure{
	// Mixing and filling.
	{"moisture_points", unit.None, 1.5, habit},
	{"samples", unit.CountOf, 3, habit},
	{"lump", unit.LengthOf, 0.005, habit},
	{"remix", unit.TimeOf, 5 * unit.Minute, habit},
	{"wait", unit.TimeOf, work.MixWaits, "from water to steam before the mix sours; " + habit},
	{"wait_warm", unit.TimeOf, work.MixWaitsWarm, habit},
	{"warm", unit.TemperatureOf, work.WarmAir, habit},
	{"one_in", unit.CountOf, 10, habit},
	{"taps_low", unit.CountOf, 3, habit},
	{"taps_high", unit.CountOf, 5, habit},
	{"line_give", unit.LengthOf, 0.003, chosen},
	{"bore_give", unit.LengthOf, 0.010, "a hole ends 10 to 20 mm above the base; " + habit},
	{"flush", unit.TimeOf, 15 * unit.Minute, "first aid for caustics in the eye, from memory"},

	// Sterilizing.
	{"lift", unit.MassOf, 15, "below the NIOSH load constant of 23 kg for ideal lifts; " + chosen},
	{"every", unit.TimeOf, 10 * unit.Minute, chosen},
	{"rerun", unit.TimeOf, 12 * unit.Hour, habit},
	{"crack", unit.TimeOf, work.LidCracked, "Iowa State biosafety manual"},
	{"bare_hand", unit.TemperatureOf, bareHand, "below the burn thresholds of ISO 13732-1 (from memory)"},

	// The bench.
	{"alcohol_low", unit.ShareOf, 0.70, "University of Iowa EHS"},
	{"alcohol_high", unit.ShareOf, 0.80, "University of Iowa EHS"},
	{"alcohol_wet", unit.TimeOf, 3 * unit.Minute, "University of Iowa EHS"},
	{"alcohol_dry", unit.TimeOf, unit.Minute, habit},
	{"alcohol_bottle", unit.VolumeOf, 0.5e-3, habit},
	{"lid_off", unit.TimeOf, 10, habit},
	{"spawn_give", unit.ShareOf, 0.20, chosen},
	{"plate_time", unit.TimeOf, 30 * unit.Minute, habit},
	{"colonies", unit.CountOf, 1, habit},

	// Growing.
	{"gap_low", unit.LengthOf, 0.010, habit},
	{"gap_high", unit.LengthOf, 0.020, habit},
	{"air_give", unit.TemperatureDifference, 1.5, habit},
	{"humidity_points", unit.None, 5, habit},
	{"look_first", unit.CountOf, 4, habit},
	{"look_second", unit.CountOf, 5, habit},
	{"look_third", unit.CountOf, 10, habit},
	{"bad_usual", unit.ShareOf, 0.05, habit},
	{"bad_most", unit.ShareOf, 0.10, habit},
	{"co2_leave", unit.PartsPerMillion, 5000e-6, "OSHA PEL as an 8-hour mean (29 CFR 1910.1000 Table Z-1); leaving at once is stricter"},
	{"co2_never", unit.PartsPerMillion, 30000e-6, "ACGIH and NIOSH short-term limit (from memory)"},
	{"scrape_give", unit.LengthOf, 0.002, chosen},
	{"wet_most", unit.TimeOf, 3 * unit.Hour, habit},
	{"fleece_low", unit.LengthOf, 0.005, habit},
	{"fleece_high", unit.LengthOf, 0.010, habit},
	{"mouth_humidity", unit.ShareOf, 0.90, habit},
	{"pins_low", unit.LengthOf, 0.003, habit},
	{"pins_high", unit.LengthOf, 0.010, habit},
	{"pins_late", unit.CountOf, 3, habit},
	{"collar_give", unit.LengthOf, 0.005, chosen},

	// Cleaning.
	{"wash_give", unit.TemperatureDifference, 5, habit},
	{"washed_one_in", unit.CountOf, 20, habit},
	{"ph_give", unit.None, 1, habit},
}
