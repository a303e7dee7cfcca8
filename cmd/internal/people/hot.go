package people

import "bottlecrop/cmd/internal/working"

// NoiseOSHA is the time in s that OSHA permits at the level L (dB(A)).
var NoiseOSHA = working.NewLaw("28800 / 2^((level(L) - 90) / 5)", "29 CFR 1910.95 Table G-16",
	map[string]working.Function{"level": working.Between("level of sound", "dB(A)", 80, 115, "above 115 dB(A) no time is permitted, below 80 none is counted")})

// NoiseNIOSH is the time in s that NIOSH recommends as the most at the level L
// (dB(A)); it is the stricter of the two.
var NoiseNIOSH = working.NewLaw("28800 / 2^((level(L) - 85) / 3)", "NIOSH 98-126, criteria for noise, section 1.1",
	map[string]working.Function{"level": working.Between("level of sound", "dB(A)", 80, 140, "above 140 dB(A) no time is recommended, below 80 none is counted")})

// NoiseMean is the level in dB(A) that, for a shift of 8 h, is as bad as the level L
// (dB(A)) for the time t (s, above 0, to 24 h): 3 dB(A) less where it is half as long.
var NoiseMean = working.NewLaw("level(L) + 3 * ln(time(t) / 28800) / ln(2)", "NIOSH 98-126, criteria for noise, section 1.1: exchange rate of 3 dB",
	map[string]working.Function{
		"level": working.Between("level of sound", "dB(A)", 0, 140, "above 140 dB(A) no time is recommended"),
		"time":  working.Between("time in the noise", "s", 1, 24*3600, "")})

// ActionNoise is the level in dB(A), as a mean of 8 h, from which on OSHA asks
// for a hearing conservation program: 29 CFR 1910.95(c).
const ActionNoise = 85.0

// WetBulbGlobe is the wet-bulb globe temperature in K indoors, of a wet bulb in
// the air as it moves there, T_nwb (K), and a black globe, T_g (K). A wet bulb
// from the humidity (air.WetBulb) is of air that moves fast: a little lower where
// the air stands still, so it flatters.
var WetBulbGlobe = working.NewLaw("0.7 * T_nwb + 0.3 * T_g", "NIOSH 2016-106, criteria for heat; ISO 7243 (from memory)", nil)

const heatCriteria = "NIOSH 2016-106, criteria for heat, figures 8-1 and 8-2 (formulas from memory)"

var metabolic = map[string]working.Function{
	"work": working.Between("heat of the body", "W", 100, 600, "116 W is rest, 300 W is moderate and 520 W very heavy work")}

// HeatLimit is the wet-bulb globe temperature in K above which a person who is
// used to heat needs rests or less work, at the body's heat M (W, 100 to 600);
// clothes are light.
var HeatLimit = working.NewLaw("329.85 - 11.5 * ln(work(M)) / ln(10)", heatCriteria, metabolic)

// HeatAlert is the same in K, of M (W), for who is not used to heat: the first two weeks
// of hot work, or of a hot season.
var HeatAlert = working.NewLaw("333.05 - 14.1 * ln(work(M)) / ln(10)", heatCriteria, metabolic)

// Burn is the temperature in K of bare metal from which on skin burns that
// touches it for a time (s, to 8 h): ISO 13732-1 (from memory) gives 51 °C for 1
// min, 48 °C for 10 min and 43 °C for 8 h. Between them it is that of the next
// longer time, and for a shorter touch that of 1 min, which is on the safe side.
func Burn(contact float64) (float64, error) {
	if err := working.Within("time of contact", "s", contact, 0, 8*3600, "the standard's range"); err != nil {
		return 0, err
	}
	switch {
	case contact <= 60:
		return 273.15 + 51, nil
	case contact <= 600:
		return 273.15 + 48, nil
	}
	return 273.15 + 43, nil
}

// Temperatures in K up to which a load is handled: common practice, no source.
// The maker's manual of the sterilizer comes first.
const (
	BareHands = 273.15 + 45 // unloading without gloves
	SealedJar = 273.15 + 60 // moving closed glass, which may burst and scald
)
