package procedure

import (
	"bottlecrop/cmd/internal/crop"
	"bottlecrop/cmd/internal/hygiene"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/substrate"
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

// figures are entered among the facts under their names.
var figures = []figure{
	// Receiving, and the start of a shift.
	{"record_points", unit.None, 2, habit},
	{"wet_cold", unit.TemperatureOf, celsius(5), habit},
	{"wet_within", unit.TimeOf, 24 * unit.Hour, habit},
	{"ice", unit.TemperatureOf, celsius(0), "melting ice at the air pressure of any farm, to 0.01 °C"},
	{"ice_give", unit.TemperatureDifference, 0.5, chosen},
	{"ice_wait", unit.TimeOf, 2 * unit.Minute, habit},
	{"fan_low", unit.TimeOf, 15 * unit.Minute, habit},
	{"fan_high", unit.TimeOf, 30 * unit.Minute, habit},

	// Mixing and filling.
	{"moisture_points", unit.None, 100 * substrate.MoistureGive, habit},
	{"oven", unit.TemperatureOf, celsius(105), "oven-dry method: wood to constant mass at 103 to 105 °C; ISO 18134-2 for routine control on site, wet basis"},
	{"oven_low", unit.TimeOf, 16 * unit.Hour, habit},
	{"oven_high", unit.TimeOf, 24 * unit.Hour, habit},
	{"oven_more", unit.TimeOf, unit.Hour, habit},
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
	{"burn", unit.TimeOf, 20 * unit.Minute, "first aid for burns: cool running water, from memory"},
	{"crack", unit.TimeOf, work.LidCracked, "Iowa State biosafety manual"},
	{"bare_hand", unit.TemperatureOf, people.BareHands, "below the burn thresholds of ISO 13732-1 (from memory)"},
	{"drink", unit.TimeOf, 20 * unit.Minute, "NIOSH 2016-106: a cup of 240 mL each 15 to 20 min"},
	{"closed_glass", unit.TemperatureOf, people.SealedJar, "it may burst and scald; " + habit},

	// The bench.
	{"alcohol_low", unit.ShareOf, hygiene.AlcoholLow, hygiene.AlcoholWet.Source},
	{"alcohol_high", unit.ShareOf, hygiene.AlcoholHigh, hygiene.AlcoholWet.Source},
	{"alcohol_wet", unit.TimeOf, hygiene.AlcoholWet.Value, hygiene.AlcoholWet.Source},
	{"alcohol_dry", unit.TimeOf, unit.Minute, habit},
	{"alcohol_bottle", unit.VolumeOf, 0.5e-3, habit},
	{"lid_off", unit.TimeOf, 10, habit},
	{"spawn_give", unit.ShareOf, 0.20, chosen},
	{"plate_time", unit.TimeOf, 30 * unit.Minute, habit},
	{"colonies", unit.CountOf, 1, habit},

	// Growing.
	{"gap_low", unit.LengthOf, 0.010, habit},
	{"gap_high", unit.LengthOf, 0.020, habit},
	{"air_give", unit.TemperatureDifference, room.AirGive, habit},
	{"humidity_points", unit.None, 100 * room.HumidityGive, habit},
	{"look_first", unit.CountOf, work.FirstLook, habit},
	{"look_second", unit.CountOf, work.SecondLook, habit},
	{"look_third", unit.CountOf, work.ThirdLook, habit},
	{"core_rise_low", unit.TemperatureDifference, crop.CoreAboveAir, crop.CoreAboveAirSource},
	{"core_rise_high", unit.TemperatureDifference, 4, crop.CoreAboveAirSource},
	{"bad_usual", unit.ShareOf, 0.05, habit},
	{"bad_most", unit.ShareOf, 0.10, habit},
	{"co2_leave", unit.PartsPerMillion, people.PermissibleCO2, "OSHA PEL as an 8-hour mean (29 CFR 1910.1000 Table Z-1); leaving at once is stricter"},
	{"co2_never", unit.PartsPerMillion, people.ShortTermCO2, "ACGIH and NIOSH short-term limit (from memory)"},
	{"scrape_give", unit.LengthOf, 0.002, chosen},
	{"wet_most", unit.TimeOf, 3 * unit.Hour, habit},
	{"fleece_low", unit.LengthOf, 0.005, habit},
	{"fleece_high", unit.LengthOf, 0.010, habit},
	{"mouth_humidity", unit.ShareOf, 0.90, habit},
	{"pins_low", unit.LengthOf, 0.003, habit},
	{"pins_high", unit.LengthOf, 0.010, habit},
	{"pins_late", unit.CountOf, 3, habit},
	{"collar_give", unit.LengthOf, 0.005, chosen},

	// Packing.
	{"store_humidity_low", unit.ShareOf, 0.90, habit},
	{"store_humidity_high", unit.ShareOf, 0.95, "USDA Agriculture Handbook 66 (from memory)"},

	// Cleaning.
	{"wash_give", unit.TemperatureDifference, 5, habit},
	{"washed_one_in", unit.CountOf, 20, habit},
	{"ph_give", unit.None, 1, habit},
}

// checkSteps is how many of its steps a scale may be off its check weight:
// design choice, no source.
const checkSteps = 2

// wetGoodsAbove is the moisture (share of the wet mass) above which goods spoil within
// days: spent grain, okara, coffee grounds. Design choice, no source.
const wetGoodsAbove = 0.5

// checkWeights are the usual weights to check a scale with, up to what is lifted
// by hand (common practice, no source). A weight in pounds is read in ounces on a
// scale that shows these.
var checkWeights = map[bool][]unit.Amount{ // by whether pages are in US units
	false: weights("g", 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000),
	true:  append(weights("oz", 1, 2, 4, 8), weights("lb", 1, 2, 5, 10, 20)...),
}

// weights are masses in the unit that is stamped on them; of grams, whole
// kilograms are stamped so.
func weights(name string, list ...float64) []unit.Amount {
	var out []unit.Amount
	for _, m := range list {
		a := unit.Amount{Kind: unit.MassOf, Value: m * unit.SizeOf(unit.MassOf, name), Unit: name}
		if name == "g" && m >= 1000 {
			a.Unit = "kg"
		}
		out = append(out, a)
	}
	return out
}
