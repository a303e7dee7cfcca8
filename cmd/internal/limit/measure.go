package limit

import "bottlecrop/cmd/internal/unit"

// Measure is what a quantity of the table measures: a page prints a row's range
// with its units also where no protocol of a farm has the quantity.
type Measure struct {
	Kind unit.Kind
	Of   Subject
	// Words are messages for the values 0, 1, 2 and so on, where the number
	// stands for a choice: book.limits.word.<word>.
	Words []string
}

// Subject says of what there are several, each with a value of its own.
type Subject string

// The subjects of quantities.
const (
	OfWhole      Subject = ""
	OfIngredient Subject = "ingredient"
	OfScale      Subject = "scale"
	OfMachine    Subject = "machine"
	OfCleaning   Subject = "cleaning" // what is cleaned each week, as the farm's file calls it
	OfStage      Subject = "stage"
	OfStanding   Subject = "standing"
	OfBreath     Subject = "breath"
	OfWall       Subject = "wall"
	OfResource   Subject = "resource"
)

// MeasureOf tells what a quantity of the table measures. The zero Measure is a
// plain number of the whole.
func MeasureOf(quantity string) Measure { return measures[quantity] }

var (
	yesNo = Measure{Words: []string{"no", "yes"}}
	rank  = Measure{Words: []string{"unsuited", "fair", "good", "excellent"}}
)

func kind(k unit.Kind) Measure            { return Measure{Kind: k} }
func each(k unit.Kind, s Subject) Measure { return Measure{Kind: k, Of: s} }

var measures = map[string]Measure{
	"utilization": each(unit.ShareOf, OfResource),

	"altitude":     kind(unit.LengthOf),
	"air_pressure": kind(unit.AbsolutePressureOf),
	"shift_air":    kind(unit.TemperatureOf),

	"shares_total":           kind(unit.ShareOf),
	"share":                  each(unit.ShareOf, OfIngredient),
	"minerals_total":         kind(unit.ShareOf),
	"nitrogen":               kind(unit.ShareOf),
	"carbon_to_nitrogen":     kind(unit.None),
	"carbon_of":              each(unit.ShareOf, OfIngredient),
	"nitrogen_of":            each(unit.ShareOf, OfIngredient),
	"carbon_and_ash":         each(unit.ShareOf, OfIngredient),
	"moisture_target":        kind(unit.ShareOf),
	"moisture_received":      each(unit.ShareOf, OfIngredient),
	"moisture_off":           each(unit.ShareOf, OfIngredient),
	"moisture_without_water": each(unit.ShareOf, OfIngredient),
	"moisture_spread_mixed":  each(unit.ShareOf, OfIngredient),
	"mass_change":            kind(unit.ShareOf),
	"mixing_time":            kind(unit.TimeOf),

	"packed_density":      kind(unit.DensityOf),
	"air_filled_porosity": kind(unit.ShareOf),
	"fill_volume":         kind(unit.VolumeOf),
	"headspace_fit":       kind(unit.None),
	"line_below_rim":      kind(unit.LengthOf),
	"fill_tolerance":      kind(unit.ShareOf),
	"bore_top":            kind(unit.LengthOf),
	"bore_bottom":         kind(unit.LengthOf),
	"bore_floor":          kind(unit.LengthOf),
	"bore_of_body":        kind(unit.ShareOf),
	"vessel_fit":          kind(unit.ShareOf),
	"vessel_mouth":        kind(unit.LengthOf),

	"gauge_pressure":       kind(unit.GaugePressureOf),
	"gauge_highest":        kind(unit.GaugePressureOf),
	"gauge_band":           kind(unit.GaugePressureOf),
	"gauge_steps":          kind(unit.None),
	"rated_pressure":       kind(unit.GaugePressureOf),
	"chamber_temperature":  kind(unit.TemperatureOf),
	"service_margin":       kind(unit.TemperatureDifference),
	"vessel_not_heatproof": yesNo,
	"lid_without_filter":   yesNo,
	"vent":                 kind(unit.TimeOf),
	"come_up":              kind(unit.TimeOf),
	"hold":                 kind(unit.TimeOf),
	"heater_strength":      kind(unit.None),
	"come_up_computed":     kind(unit.TimeOf),
	"water_charge":         kind(unit.VolumeOf),
	"energy_of_computed":   kind(unit.None),
	"f0_target":            kind(unit.TimeOf),
	"f0_quick":             kind(unit.TimeOf),
	"f0_measured":          kind(unit.TimeOf),
	"f0_slow":              kind(unit.TimeOf),
	"f0_wall":              kind(unit.TimeOf),
	"core_cool_to":         kind(unit.TemperatureOf),
	"use_within":           kind(unit.TimeOf),
	"load_for_crop":        kind(unit.CountOf),
	"load_capacity":        kind(unit.CountOf),
	"load_of_chamber":      kind(unit.ShareOf),
	"load_of_trays":        kind(unit.ShareOf),
	"vessel_outside":       kind(unit.LengthOf),
	"load_cover":           kind(unit.None),
	"load_filled":          kind(unit.ShareOf),
	"controls_per_load":    kind(unit.CountOf),

	"spawn_rate":       kind(unit.ShareOf),
	"spawn_spare":      kind(unit.ShareOf),
	"jar_usable":       kind(unit.MassOf),
	"spawn_age":        kind(unit.TimeOf),
	"spawn_generation": kind(unit.CountOf),

	"grain_not_for_spawn":      yesNo,
	"grain_not_in_jars":        yesNo,
	"grain_lid_without_filter": yesNo,
	"grain_moisture":           kind(unit.ShareOf),
	"grain_received":           kind(unit.ShareOf),
	"grain_gypsum":             kind(unit.ShareOf),
	"grain_jar_filled":         kind(unit.ShareOf),
	"jars_of_jar":              kind(unit.CountOf),
	"jars_of_plate":            kind(unit.CountOf),
	"grain_generations":        kind(unit.CountOf),
	"grain_controls":           kind(unit.CountOf),
	"grain_places":             kind(unit.CountOf),
	"grain_grown_shortest":     kind(unit.TimeOf),
	"grain_grown_usual":        kind(unit.TimeOf),
	"grain_grown_longest":      kind(unit.TimeOf),
	"grain_waits":              kind(unit.TimeOf),
	"plate_grown":              kind(unit.TimeOf),
	"grain_gauge":              kind(unit.GaugePressureOf),
	"grain_gauge_highest":      kind(unit.GaugePressureOf),
	"grain_chamber":            kind(unit.TemperatureOf),
	"grain_jar_margin":         kind(unit.TemperatureDifference),
	"grain_vent":               kind(unit.TimeOf),
	"grain_hold":               kind(unit.TimeOf),

	"species_in_bottles":         rank,
	"stage_incubation_air":       kind(unit.TemperatureOf),
	"stage_incubation_humidity":  kind(unit.ShareOf),
	"stage_incubation_co2":       kind(unit.PartsPerMillion),
	"stage_incubation_shortest":  kind(unit.TimeOf),
	"stage_incubation_usual":     kind(unit.TimeOf),
	"ripening":                   kind(unit.TimeOf),
	"stage_pinning_air":          kind(unit.TemperatureOf),
	"stage_pinning_humidity":     kind(unit.ShareOf),
	"stage_pinning_co2":          kind(unit.PartsPerMillion),
	"stage_pinning_light":        kind(unit.LightOf),
	"stage_pinning_light_hours":  kind(unit.TimeOf),
	"stage_pinning_shortest":     kind(unit.TimeOf),
	"stage_pinning_usual":        kind(unit.TimeOf),
	"stage_fruiting_air":         kind(unit.TemperatureOf),
	"stage_fruiting_humidity":    kind(unit.ShareOf),
	"stage_fruiting_co2":         kind(unit.PartsPerMillion),
	"stage_fruiting_light":       kind(unit.LightOf),
	"stage_fruiting_light_hours": kind(unit.TimeOf),
	"stage_fruiting_shortest":    kind(unit.TimeOf),
	"stage_fruiting_usual":       kind(unit.TimeOf),
	"scraped_against_species":    yesNo,
	"scrape_left_out":            yesNo,
	"scrape_depth":               kind(unit.LengthOf),
	"wetting_water":              kind(unit.VolumeOf),
	"wetting_stand":              kind(unit.TimeOf),
	"collar_against_species":     yesNo,
	"collar_left_out":            yesNo,
	"collar_height":              kind(unit.LengthOf),
	"collar_stem":                kind(unit.LengthOf),

	"outdoor_co2":        kind(unit.PartsPerMillion),
	"rooms_for_stage":    each(unit.CountOf, OfStage),
	"humidity_off":       each(unit.ShareOf, OfStanding),
	"room_filled":        kind(unit.ShareOf),
	"room_free":          kind(unit.VolumeOf),
	"breath_measured":    kind(unit.RespirationOf),
	"breath_rate":        each(unit.RespirationOf, OfBreath),
	"breath_q10":         each(unit.FactorOf, OfBreath),
	"box_free":           kind(unit.VolumeOf),
	"box_to":             kind(unit.PartsPerMillion),
	"box_took":           kind(unit.TimeOf),
	"room_volume":        kind(unit.VolumeOf),
	"room_air":           kind(unit.TemperatureOf),
	"coil":               kind(unit.TemperatureOf),
	"wall_u":             each(unit.ConductanceOf, OfWall),
	"room_co2":           kind(unit.PartsPerMillion),
	"co2_at_entry":       kind(unit.PartsPerMillion),
	"shift_mean":         kind(unit.PartsPerMillion),
	"purge_end":          kind(unit.PartsPerMillion),
	"purge":              kind(unit.TimeOf),
	"sealed_with_people": yesNo,
	"leak":               kind(unit.AirChangesOf),
	"co2_ceiling":        kind(unit.PartsPerMillion),
	"fan_margin":         kind(unit.FactorOf),
	"cooling_margin":     kind(unit.FactorOf),
	"heating_margin":     kind(unit.FactorOf),
	"humidifier_margin":  kind(unit.FactorOf),
	"surfaces_above_dew": kind(unit.TemperatureDifference),
	"brought_above_dew":  each(unit.TemperatureDifference, OfStanding),

	"lost_share":          kind(unit.ShareOf),
	"trim_share":          kind(unit.ShareOf),
	"water_use":           kind(unit.ShareOf),
	"efficiency_usual":    kind(unit.ShareOf),
	"efficiency_high":     kind(unit.ShareOf),
	"dry_spent":           kind(unit.MassOf),
	"spent_moisture":      kind(unit.ShareOf),
	"harvest_cool_to":     kind(unit.TemperatureOf),
	"harvest_cool_within": kind(unit.TimeOf),
	"empty_within":        kind(unit.TimeOf),
	"wash_water":          kind(unit.TemperatureOf),
	"detergent_left_out":  yesNo,
	"vessel_wash_water":   kind(unit.VolumeOf),
	"vessel_uses_most":    kind(unit.CountOf),
	"vessel_lost_per_use": kind(unit.ShareOf),
	"lid_uses_most":       kind(unit.CountOf),
	"lid_lost_per_use":    kind(unit.ShareOf),

	"weekly_left_out":     {Of: OfCleaning, Words: yesNo.Words},
	"jug_reads":           kind(unit.VolumeOf),
	"alcohol_wanted":      kind(unit.ShareOf),
	"alcohol_stock":       kind(unit.ShareOf),
	"alcohol_bottle":      kind(unit.VolumeOf),
	"alcohol_off":         kind(unit.ShareOf),
	"bleach_stock":        kind(unit.PartsPerMillion),
	"bleach_liter":        kind(unit.MassOf),
	"bleach_surfaces":     kind(unit.PartsPerMillion),
	"bleach_food":         kind(unit.PartsPerMillion),
	"bleach_food_made":    kind(unit.PartsPerMillion),
	"bleach_surfaces_off": kind(unit.ShareOf),
	"bleach_food_off":     kind(unit.ShareOf),
	"bleach_bucket":       kind(unit.VolumeOf),
	"sanitize_water":      kind(unit.TemperatureOf),
	"sanitize_time":       kind(unit.TimeOf),
	"bench_speed":         kind(unit.SpeedOf),
	"bench_uneven":        kind(unit.ShareOf),

	"confidence":         kind(unit.ShareOf),
	"lift_limit":         kind(unit.MassOf),
	"lift_index":         kind(unit.None),
	"vapor_mean":         kind(unit.PartsPerMillion),
	"vapor_of_explosive": kind(unit.ShareOf),
	"flame_by_alcohol":   yesNo,
	"heat_reading":       kind(unit.TemperatureOf),
	"noise_mean":         each(unit.SoundLevelOf, OfMachine),
	"noise_planned":      each(unit.SoundLevelOf, OfMachine),

	"vessels":           kind(unit.CountOf),
	"loads":             kind(unit.CountOf),
	"waste":             kind(unit.ShareOf),
	"mixer_capacity":    kind(unit.MassOf),
	"mix_of_mixer":      kind(unit.ShareOf),
	"crate_mass":        kind(unit.MassOf),
	"mix_to_steam":      kind(unit.TimeOf),
	"shift_needed":      kind(unit.TimeOf),
	"day_length":        kind(unit.TimeOf),
	"scale_reads":       each(unit.MassOf, OfScale),
	"scale_steps":       each(unit.None, OfScale),
	"weighings":         each(unit.CountOf, OfIngredient),
	"rounding_moisture": kind(unit.ShareOf),
	"rounding_nitrogen": kind(unit.ShareOf),
	"rounding_share":    each(unit.ShareOf, OfIngredient),
	"rounding_mineral":  each(unit.ShareOf, OfIngredient),
}
