package limit

import "bottlecrop/cmd/internal/people"

// workers are the ranges of what work asks of a body, beside those of carbon
// dioxide, which stand with the rooms.
var workers = []Limit{
	{ID: "lift.none", Quantity: "lift_limit", Severity: refuse, Low: from(0), Source: people.LiftingManual, Blame: "lift_place_top", What: "limit.lift.none.what"},
	{ID: "lift.index", Quantity: "lift_index", Severity: warn, High: at(1), Source: people.LiftingManual, Blame: "crate_vessels"},
	{ID: "lift.index_never", Quantity: "lift_index", Severity: refuse, High: at(3), Source: people.LiftingManual, Blame: "crate_vessels"},

	{ID: "vapor.shift", Quantity: "vapor_mean", Severity: warn, High: of("alcohol_permissible"), Source: "29 CFR 1910.1000 Table Z-1, mean of 8 h", Blame: "bench_wiped", Safety: true},
	{ID: "vapor.explosive", Quantity: "vapor_of_explosive", Severity: warn, High: at(people.WarnExplosive), Source: "lower explosive limit: NIOSH Pocket Guide to Chemical Hazards; the part of it: " + practice, Blame: "bench_wiped", Safety: true},
	{ID: "vapor.explosive_never", Quantity: "vapor_of_explosive", Severity: refuse, High: at(people.RefuseExplosive), Source: "lower explosive limit: NIOSH Pocket Guide to Chemical Hazards; the part of it: " + practice, Blame: "bench_wiped", Safety: true},
	{ID: "flame.alcohol", Quantity: "flame_by_alcohol", Severity: refuse, High: at(0), Source: "University of Iowa EHS, section 8.2.1; AIHA, Clean Bench Fire", Safety: true, What: "limit.flame.alcohol.what"},

	{ID: "noise.loud", Quantity: "noise_mean", Severity: warn, High: at(80), Source: "5 dB(A) below the level from which OSHA asks for a program, 29 CFR 1910.95(c); " + practice, Blame: "noise_level"},
	{ID: "noise.never", Quantity: "noise_mean", Severity: refuse, High: at(90), Source: "29 CFR 1910.95 Table G-16: 8 h at 90 dB(A)", Blame: "noise_level", Safety: true},
	{ID: "noise.planned", Quantity: "noise_planned", Severity: warn, High: at(people.ActionNoise), Source: "29 CFR 1910.95(c)", Blame: "noise_level"},

	{ID: "heat.alert", Quantity: "heat_reading", Severity: warn, High: of("heat_alert"), Source: "NIOSH 2016-106, criteria for heat: recommended alert limit"},
	{ID: "heat.limit", Quantity: "heat_reading", Severity: warn, High: of("heat_limit"), Source: "NIOSH 2016-106, criteria for heat: recommended exposure limit"},
}
