package limit

import (
	"bottlecrop/cmd/internal/hygiene"
	"bottlecrop/cmd/internal/unit"
)

// clean are the ranges of what a farm cleans and disinfects with.
var clean = []Limit{
	{ID: "jug.reads", Quantity: "jug_reads", Severity: refuse, Low: liters(0.0001), High: liters(0.1), Source: chosen},
	{ID: "alcohol.strength", Quantity: "alcohol_wanted", Severity: warn, Low: at(hygiene.AlcoholLow), High: at(hygiene.AlcoholHigh), Source: hygiene.AlcoholWet.Source},
	{ID: "alcohol.strength_never", Quantity: "alcohol_wanted", Severity: refuse, Low: pct(60), High: pct(90), Source: "CDC Guideline for Disinfection and Sterilization in Healthcare Facilities 2008: 60 to 90 % (from memory)"},
	{ID: "alcohol.stock", Quantity: "alcohol_stock", Severity: refuse, Low: of("alcohol_wanted"), Source: "definition"},
	{ID: "alcohol.bottle", Quantity: "alcohol_bottle", Severity: warn, High: liters(0.5), Source: practice},
	{ID: "alcohol.measured", Quantity: "alcohol_off", Severity: warn, High: pct(3), Source: chosen, Blame: "jug_reads"},

	{ID: "bleach.label", Quantity: "bleach_stock", Severity: warn, Low: from(10_000e-6), High: at(150_000e-6), Source: "household bleach and that for pools are within (from memory); " + chosen, Blame: "bleach_label"},
	{ID: "bleach.stock", Quantity: "bleach_stock", Severity: refuse, Low: of("bleach_surfaces"), Source: "definition", Blame: "bleach_label"},
	{ID: "bleach.liter", Quantity: "bleach_liter", Severity: refuse, Low: at(1), High: at(1.35), Source: "water has 1 kg, and no bleach 1.35 kg (from memory)", What: "limit.bleach.liter.what"},
	{ID: "bleach.surfaces", Quantity: "bleach_surfaces", Severity: warn, Low: at(200e-6), High: at(1000e-6), Source: "500 ppm for clean surfaces (WHO 2014, Annex G), 500 to 615 ppm (CDC 2008); " + chosen},
	{ID: "bleach.surfaces_never", Quantity: "bleach_surfaces", Severity: refuse, Low: at(50e-6), High: at(10_000e-6), Source: chosen},
	{ID: "bleach.food", Quantity: "bleach_food", Severity: refuse, Low: at(50e-6), High: at(hygiene.NoRinse), Source: noRinse},
	{ID: "bleach.food_made", Quantity: "bleach_food_made", Severity: refuse, Low: at(50e-6), High: at(hygiene.NoRinse), Source: noRinse, Blame: "jug_reads"},
	{ID: "bleach.measured", Quantity: "bleach_surfaces_off", Severity: warn, High: pct(10), Source: chosen, Blame: "jug_reads"},
	{ID: "bleach.food_measured", Quantity: "bleach_food_off", Severity: warn, High: pct(10), Source: chosen, Blame: "jug_reads"},
	{ID: "bleach.bucket", Quantity: "bleach_bucket", Severity: refuse, Low: liters(0.1), High: liters(200), Source: chosen},

	{ID: "sanitize.cold", Quantity: "sanitize_water", Severity: refuse, Low: at(hygiene.HotWater.Value), High: from(celsius(100)), Source: hygiene.HotWater.Source},
	{ID: "sanitize.short", Quantity: "sanitize_time", Severity: refuse, Low: at(hygiene.HotWaterFor.Value), High: at(unit.Hour), Source: hygiene.HotWaterFor.Source + "; the high end: " + chosen},

	{ID: "listeria.weekly", Quantity: "weekly_left_out", Severity: warn, High: at(0), Source: "FDA Import Alert 25-21 (8 November 2023); how often: " + practice, What: "limit.listeria.weekly.what"},

	{ID: "bench.speed", Quantity: "bench_speed", Severity: warn, Low: at(0.36), High: at(0.54), Source: "0.45 m/s within a fifth (from memory)"},
	{ID: "bench.speed_never", Quantity: "bench_speed", Severity: refuse, Low: at(0.25), High: at(2), Source: chosen},
	{ID: "bench.uneven", Quantity: "bench_uneven", Severity: warn, High: pct(20), Source: "within a fifth of the mean (from memory)"},
}

const noRinse = "21 CFR 178.1010 and 40 CFR 180.940: 200 ppm at most without a rinse (from memory); FDA Food Code 4-501.114: 50 ppm at least"
