package people

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/working"
)

// Limits of carbon dioxide for the people in a room, as shares by volume. Older
// pages print 10,000 ppm: a rule of 1989 that was vacated, and advice of 1976.
const (
	PermissibleCO2 = 5000e-6 // mean of an 8-hour shift: OSHA PEL, 29 CFR 1910.1000 Table Z-1; ACGIH TLV-TWA
	ShortTermCO2   = 0.03    // ACGIH TLV-STEL, a mean of 15 minutes; here nobody enters above it
	DangerousCO2   = 0.04    // NIOSH IDLH, 124-38-9: immediately dangerous to life or health
	AlarmCO2       = 0.015   // a second, loud alarm: common practice, no source
	// WarnCO2 is what a room that people work in is to have at most, and what it is
	// purged to before anybody goes in: half of the limit, a design choice.
	WarnCO2 = PermissibleCO2 / 2
)

// Shift is the working day in s that limits for a shift are means of.
const Shift = 8 * 3600.0

// ScarceOxygen is the share of oxygen below which OSHA calls air deficient in
// it, 29 CFR 1910.134(b) and 1910.146(b).
const ScarceOxygen = 0.195

// Oxygen is its share in a room at the share C of CO2, where outdoor air has
// C_out and 20.95 % of oxygen: the crop takes in a mole for each that it gives
// off. At 1.5 % CO2 it is below ScarceOxygen.
var Oxygen = working.NewLaw("0.2095 - (crop(C) - C_out)", "a mole of oxygen for a mole of carbon dioxide",
	map[string]working.Function{"crop": working.Between("CO2", "", 0, 0.2, "a share from 0 to 1, not ppm; the crop stops long before it has used all oxygen")})

// Exhaled is the CO2 in m³/s that a person with the skin A (m²) gives off at the
// activity M (met). One worker gives off more than 400 bottles of enoki in a cold
// room (31 and 14 L/h), so a visit counts.
var Exhaled = working.NewLaw("0.00000276 * skin(A) * activity(M) * 0.83 / (0.23 * 0.83 + 0.77)",
	"ASTM D6245, with a respiratory quotient of 0.83", map[string]working.Function{
		"skin":     working.Between("skin of a person", "m²", 0.5, 3, ""),
		"activity": working.Between("activity", "met", 0.7, 10, "1 is rest")})

// A grown person of middle size, and standing work with some walking and
// carrying; both from memory (ASHRAE Handbook Fundamentals 2017, chapter 9).
const (
	AdultSkin    = 1.8 // m²
	StandingWork = 2.0 // met
)

// EightHour is the mean of a shift of 8 h in which a concentration times its
// time, summed over the shift, was dose (s).
var EightHour = working.NewLaw("dose / 28800", "29 CFR 1910.1000(d)(1)", nil)

// Period is a part of a shift.
type Period struct {
	Concentration float64 // mean, a share by volume
	Time          float64 // s
}

// TimeWeighted is the mean of an 8-hour shift, a share by volume. What the periods leave
// of the 8 hours counts as free of the gas; more than 8 hours count in full.
func TimeWeighted(periods ...Period) (float64, error) {
	dose := 0.0
	for i, p := range periods {
		if err := working.Within(fmt.Sprintf("concentration of period %d", i+1), "", p.Concentration, 0, 1, "a share from 0 to 1, not ppm"); err != nil {
			return 0, err
		}
		if err := working.Within(fmt.Sprintf("time of period %d", i+1), "s", p.Time, 0, 24*3600, "a day"); err != nil {
			return 0, err
		}
		dose += p.Concentration * p.Time
	}
	return EightHour.At(map[string]float64{"dose": dose})
}

// Visit is somebody's work in a room with CO2, after its air was purged.
type Visit struct {
	Volume  float64 // m³ of free air
	Outside float64 // share in the air that comes in
	Start   float64 // share in the room before the purge
	Crop    float64 // CO2 in m³/s that the crop gives off
	Exhaled float64 // CO2 in m³/s that all inside give off
	Purge   float64 // fresh air in m³/s before entry
	Inside  float64 // fresh air in m³/s during the stay, leakage included; may be 0
	Enter   float64 // share at which entry is allowed
	Rest    float64 // mean share where the rest of the 8 hours is spent
}

// Entry says when and for how long.
type Entry struct {
	Purge float64 // s of purging before anybody enters; 0 where none is needed
	Stay  float64 // s, whole minutes, 8 h at most: longest stay in a shift
	Leave float64 // share in the room at the end of that stay
	Mean  float64 // of the 8-hour shift with that stay
}

// Plan works out a visit. The stay ends before the mean of the shift passes
// PermissibleCO2, and before the room passes ShortTermCO2 for a moment, which is
// stricter than the limit's mean of 15 minutes. A room that the purge can't bring
// to Enter is an error, and so is an Enter above ShortTermCO2.
func Plan(v Visit) (Entry, error) {
	for _, c := range []struct {
		quantity, unit     string
		found, least, most float64
		why                string
	}{
		{"free volume", "m³", v.Volume, 0.1, 1e6, ""},
		{"CO2 outdoors", "", v.Outside, 0, PermissibleCO2, "a share from 0 to 1, not ppm"},
		{"CO2 in the room", "", v.Start, 0, 1, "a share from 0 to 1, not ppm"},
		{"CO2 of the crop", "m³/s", v.Crop, 0, 1, ""},
		{"CO2 exhaled", "m³/s", v.Exhaled, 0, 1, ""},
		{"fresh air of the purge", "m³/s", v.Purge, 0, 1e3, ""},
		{"fresh air during the stay", "m³/s", v.Inside, 0, 1e3, ""},
		{"CO2 at entry", "", v.Enter, v.Outside, ShortTermCO2, "above the outdoor air's, and never above the short-term limit"},
		{"CO2 in the rest of the shift", "", v.Rest, 0, PermissibleCO2, "the rest of the shift has its own limit to keep"},
	} {
		if err := working.Within(c.quantity, c.unit, c.found, c.least, c.most, c.why); err != nil {
			return Entry{}, fmt.Errorf("visit: %w", err)
		}
	}
	purge, err := v.purge()
	if err != nil {
		return Entry{}, fmt.Errorf("visit: purge: %w", err)
	}
	e := Entry{Purge: purge, Leave: math.Min(v.Start, v.Enter)}
	if e.Mean, err = TimeWeighted(Period{v.Rest, Shift}); err != nil {
		return Entry{}, err
	}
	const minute = 60.0
	for t := minute; t <= Shift; t += minute {
		room := map[string]float64{"V": v.Volume, "Q": v.Inside, "G": v.Crop + v.Exhaled,
			"C_0": math.Min(v.Start, v.Enter), "C_out": v.Outside, "t": t}
		now, err := air.After.At(room)
		if err != nil {
			return Entry{}, err
		}
		inside, err := air.Mean.At(room)
		if err != nil {
			return Entry{}, err
		}
		if now > ShortTermCO2 {
			break
		}
		mean, err := TimeWeighted(Period{inside, t}, Period{v.Rest, Shift - t})
		if err != nil {
			return Entry{}, err
		}
		if mean > PermissibleCO2 {
			break
		}
		e.Stay, e.Leave, e.Mean = t, now, mean
	}
	return e, nil
}

// PurgeTime is the time in s of purging with Q (m³/s) of fresh air that has C_out
// until a room of the free volume V (m³), in which G (m³/s) of CO2 is given off, has
// come from C_0 to C_in, at which people may enter; Plan's.
var PurgeTime = working.NewLaw("purge(V, C_out, C_0, C_in, G, Q)", massBalance, map[string]working.Function{
	"purge": working.Exactly(6, func(a ...float64) (float64, error) {
		return Visit{Volume: a[0], Outside: a[1], Start: a[2], Enter: a[3], Crop: a[4], Purge: a[5]}.purge()
	})})

// LongestStay is the time in s, whole minutes and 8 h at most, that somebody may stay
// in a shift in a room of the free volume V (m³) that has C_0 at first, with G (m³/s)
// of CO2 given off by crop and people, and Q (m³/s) of fresh air that has C_out; the
// rest of the shift is spent at C_rest. Plan's.
var LongestStay = working.NewLaw("stay(V, C_out, C_0, G, Q, C_rest)", "29 CFR 1910.1000 Table Z-1 as a mean of 8 hours, and the short-term limit of ACGIH", map[string]working.Function{
	"stay": working.Exactly(6, func(a ...float64) (float64, error) {
		e, err := Plan(Visit{Volume: a[0], Outside: a[1], Start: a[2], Enter: a[2], Crop: a[3], Inside: a[4], Rest: a[5]})
		return e.Stay, err
	})})

// ShiftMean is the mean of a shift of 8 h of which t (s) were spent at C_in on the
// average, and the rest at C_rest.
var ShiftMean = working.NewLaw("(C_in * t + C_rest * max(0, 28800 - t)) / 28800", "29 CFR 1910.1000(d)(1)", nil)

// OfPeople is the CO2 in m³/s that n people give off, g (m³/s) each.
var OfPeople = working.NewLaw("n * g", definition, nil)

// purge is the time in s until the empty room has come to Enter.
func (v Visit) purge() (float64, error) {
	if v.Start <= v.Enter {
		return 0, nil
	}
	end, err := air.Steady.At(map[string]float64{"C_out": v.Outside, "G": v.Crop, "Q": v.Purge})
	if err != nil {
		return 0, err
	}
	if err := working.Within("CO2 to which the purge leads", "", end, 0, math.Nextafter(v.Enter, 0),
		"the fan must bring the room below what entry asks for: more air, or no entry"); err != nil {
		return 0, err
	}
	return air.TimeTo.At(map[string]float64{"V": v.Volume, "Q": v.Purge, "C_0": v.Start, "C_lim": v.Enter, "C_ss": end})
}
