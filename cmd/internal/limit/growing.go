package limit

import (
	"bottlecrop/cmd/internal/crop"
	"bottlecrop/cmd/internal/people"
)

// growing are the ranges of the rooms and of the choices at opening. The
// species' own range warns; a general range, or one far outside the species',
// refuses.
var growing = []Limit{
	{ID: "species.unsuited", Quantity: "species_in_bottles", Severity: refuse, Low: at(1), Source: "the species' entry in the library", What: "limit.species.unsuited.what"},
	{ID: "species.fair", Quantity: "species_in_bottles", Severity: warn, Low: at(2), Source: "the species' entry in the library", What: "limit.species.fair.what"},

	{ID: "incubation.air", Quantity: "stage_incubation_air", Severity: warn, Low: of("wants_incubation_low"), High: of("wants_incubation_high"), Source: speciesEntry},
	{ID: "incubation.core", Quantity: "stage_incubation_air", Severity: refuse, Low: moved("wants_incubation_low", -10), High: of("core_most"), Source: speciesEntry + "; the core runs hotter than the air"},
	{ID: "incubation.rise", Quantity: "stage_incubation_air", Severity: warn, High: moved("core_most", -crop.CoreAboveAir), Source: crop.CoreAboveAirSource},
	{ID: "incubation.humidity", Quantity: "stage_incubation_humidity", Severity: warn, Low: of("wants_rh_incubate_low"), High: of("wants_rh_incubate_high"), Source: speciesEntry},
	{ID: "incubation.humidity_never", Quantity: "stage_incubation_humidity", Severity: refuse, Low: pct(20), High: pct(95), Source: practice},
	{ID: "ripening.short", Quantity: "ripening", Severity: warn, Low: of("ripening_wanted"), Source: speciesEntry},
	{ID: "ripening.long", Quantity: "ripening", Severity: warn, High: times("ripening_wanted", 1.5), Source: speciesEntry + ", and half as long again; " + chosen},

	{ID: "pinning.air", Quantity: "stage_pinning_air", Severity: warn, Low: of("wants_pin_air_low"), High: of("wants_pin_air_high"), Source: speciesEntry},
	{ID: "pinning.air_never", Quantity: "stage_pinning_air", Severity: refuse, Low: moved("wants_pin_air_low", -5), High: moved("wants_pin_air_high", 5), Source: speciesEntry + ", 5 K beyond; " + chosen},
	{ID: "pinning.humidity", Quantity: "stage_pinning_humidity", Severity: warn, Low: of("wants_rh_pin_low"), High: of("wants_rh_pin_high"), Source: speciesEntry},
	{ID: "pinning.humidity_never", Quantity: "stage_pinning_humidity", Severity: refuse, Low: &Bound{Value: 0.70, Of: "wants_rh_pin_low", Least: true}, Source: practice},
	{ID: "pinning.light", Quantity: "stage_pinning_light", Severity: warn, Low: of("wants_light_pin_low"), High: of("wants_light_pin_high"), Source: speciesEntry},
	{ID: "pinning.light_hours", Quantity: "stage_pinning_light_hours", Severity: warn, Low: times("wants_light_hours", 0.5), High: times("wants_light_hours", 2), Source: speciesEntry + ", half to twice of it; " + chosen},
	{ID: "pinning.light_day", Quantity: "stage_pinning_light_hours", Severity: refuse, High: hours(24), Source: "definition"},

	{ID: "fruiting.air", Quantity: "stage_fruiting_air", Severity: warn, Low: of("wants_fruit_air_low"), High: of("wants_fruit_air_high"), Source: speciesEntry},
	{ID: "fruiting.air_never", Quantity: "stage_fruiting_air", Severity: refuse, Low: moved("wants_fruit_air_low", -5), High: moved("wants_fruit_air_high", 5), Source: speciesEntry + ", 5 K beyond; " + chosen},
	{ID: "fruiting.humidity", Quantity: "stage_fruiting_humidity", Severity: warn, Low: of("wants_rh_fruit_low"), High: of("wants_rh_fruit_high"), Source: speciesEntry},
	{ID: "fruiting.humidity_never", Quantity: "stage_fruiting_humidity", Severity: refuse, Low: &Bound{Value: 0.70, Of: "wants_rh_fruit_low", Least: true}, Source: practice},
	{ID: "fruiting.wet", Quantity: "stage_fruiting_humidity", Severity: refuse, High: from(1), Source: practice},
	{ID: "fruiting.light", Quantity: "stage_fruiting_light", Severity: warn, Low: of("wants_light_fruit_low"), High: of("wants_light_fruit_high"), Source: speciesEntry},
	{ID: "fruiting.light_hours", Quantity: "stage_fruiting_light_hours", Severity: warn, Low: times("wants_light_hours", 0.5), High: times("wants_light_hours", 2), Source: speciesEntry + ", half to twice of it; " + chosen},
	{ID: "fruiting.light_day", Quantity: "stage_fruiting_light_hours", Severity: refuse, High: hours(24), Source: "definition"},

	// Carbon dioxide: what the crop wants, and what people may breathe. The
	// people's limits hold for every room that somebody works in.
	{ID: "pinning.co2", Quantity: "stage_pinning_co2", Severity: warn, High: of("wants_co2_pin_high"), Source: speciesEntry},
	{ID: "fruiting.co2", Quantity: "stage_fruiting_co2", Severity: warn, High: of("wants_co2_fruit_high"), Source: speciesEntry},
	{ID: "incubation.staffed", Quantity: "stage_incubation_co2", Severity: warn, High: from(people.WarnCO2), Source: staffed, Safety: true},
	{ID: "incubation.staffed_never", Quantity: "stage_incubation_co2", Severity: refuse, High: from(people.PermissibleCO2), Source: staffed, Safety: true},
	{ID: "incubation.outdoor", Quantity: "stage_incubation_co2", Severity: refuse, Low: &Bound{Of: "outdoor_co2", Open: true}, Source: outdoorAir},
	{ID: "pinning.staffed", Quantity: "stage_pinning_co2", Severity: warn, High: from(people.WarnCO2), Source: staffed, Safety: true},
	{ID: "pinning.staffed_never", Quantity: "stage_pinning_co2", Severity: refuse, High: from(people.PermissibleCO2), Source: staffed, Safety: true},
	{ID: "pinning.outdoor", Quantity: "stage_pinning_co2", Severity: refuse, Low: &Bound{Of: "outdoor_co2", Open: true}, Source: outdoorAir},
	{ID: "fruiting.staffed", Quantity: "stage_fruiting_co2", Severity: warn, High: from(people.WarnCO2), Source: staffed, Safety: true},
	{ID: "fruiting.staffed_never", Quantity: "stage_fruiting_co2", Severity: refuse, High: from(people.PermissibleCO2), Source: staffed, Safety: true},
	{ID: "fruiting.outdoor", Quantity: "stage_fruiting_co2", Severity: refuse, Low: &Bound{Of: "outdoor_co2", Open: true}, Source: outdoorAir},

	{ID: "incubation.days", Quantity: "stage_incubation_usual", Severity: refuse, Low: of("stage_incubation_shortest"), High: of("stage_incubation_longest"), Source: "definition", What: "limit.outside_span"},
	{ID: "incubation.span", Quantity: "stage_incubation_usual", Severity: warn, Low: times("wants_incubation_days_low", 0.5), High: times("wants_incubation_days_high", 1.5), Source: speciesEntry + ", half of its shortest to half as long again as its longest; " + chosen},
	{ID: "incubation.zero", Quantity: "stage_incubation_shortest", Severity: refuse, Low: from(0), Source: "definition", What: "limit.no_time"},
	{ID: "pinning.days", Quantity: "stage_pinning_usual", Severity: refuse, Low: of("stage_pinning_shortest"), High: of("stage_pinning_longest"), Source: "definition", What: "limit.outside_span"},
	{ID: "pinning.span", Quantity: "stage_pinning_usual", Severity: warn, Low: times("wants_pinning_days_low", 0.5), High: times("wants_pinning_days_high", 1.5), Source: speciesEntry + ", half of its shortest to half as long again as its longest; " + chosen},
	{ID: "pinning.zero", Quantity: "stage_pinning_shortest", Severity: refuse, Low: from(0), Source: "definition", What: "limit.no_time"},
	{ID: "fruiting.days", Quantity: "stage_fruiting_usual", Severity: refuse, Low: of("stage_fruiting_shortest"), High: of("stage_fruiting_longest"), Source: "definition", What: "limit.outside_span"},
	{ID: "fruiting.span", Quantity: "stage_fruiting_usual", Severity: warn, Low: times("wants_fruiting_days_low", 0.5), High: times("wants_fruiting_days_high", 1.5), Source: speciesEntry + ", half of its shortest to half as long again as its longest; " + chosen},
	{ID: "fruiting.zero", Quantity: "stage_fruiting_shortest", Severity: refuse, Low: from(0), Source: "definition", What: "limit.no_time"},

	{ID: "scrape.never", Quantity: "scraped_against_species", Severity: refuse, High: at(0), Source: speciesEntry, What: "limit.scrape.never.what"},
	{ID: "scrape.wanted", Quantity: "scrape_left_out", Severity: warn, High: at(0), Source: speciesEntry, What: "limit.scrape.wanted.what"},
	{ID: "scrape.depth", Quantity: "scrape_depth", Severity: warn, Low: mm(3), High: mm(8), Source: practice},
	{ID: "wetting.water", Quantity: "wetting_water", Severity: warn, Low: at(5e-6), High: at(20e-6), Source: practice},
	{ID: "wetting.stand", Quantity: "wetting_stand", Severity: warn, Low: hours(1), High: hours(3), Source: practice},
	{ID: "collar.unwanted", Quantity: "collar_against_species", Severity: warn, High: at(0), Source: speciesEntry, What: "limit.collar.unwanted.what"},
	{ID: "collar.wanted", Quantity: "collar_left_out", Severity: warn, High: at(0), Source: speciesEntry, What: "limit.collar.wanted.what"},
	{ID: "collar.height", Quantity: "collar_height", Severity: warn, Low: mm(100), High: mm(180), Source: practice},
	{ID: "collar.stems", Quantity: "collar_stem", Severity: warn, Low: mm(20), High: mm(30), Source: practice},
}

const (
	speciesEntry = "the species' entry in the library"
	outdoorAir   = "balance of masses: fresh air brings a room no lower than the air outdoors"
	staffed      = "OSHA PEL 5,000 ppm as an 8-hour mean (29 CFR 1910.1000 Table Z-1); half of it as a warning is a design choice"
)
