package change

import (
	"slices"
	"strings"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/work"
)

// Group is what a difference is about, the gravest first.
type Group string

// The groups.
const (
	ForSafety   Group = "safety"   // it can hurt who works or eats, or leaves germs alive
	ForQuality  Group = "quality"  // it can spoil a batch or change what grows
	ForQuantity Group = "quantity" // how much, how many, how long, at what cost
	ForWording  Group = "wording"  // words alone, with the same figures
)

// GroupsInOrder lists the groups, the gravest first.
func GroupsInOrder() []Group { return []Group{ForSafety, ForQuality, ForQuantity, ForWording} }

func (g Group) rank() int { return slices.Index(GroupsInOrder(), g) }

// row puts quantities into a group. Names that end in an asterisk are beginnings; of
// several that fit a quantity the longest is meant.
type row struct {
	group Group
	why   string
	names string
}

// table of all quantities of a batch, of its process and of its lots. A test holds it
// to what the demo farm's ledgers have and to the catalog of names.
var rows = []row{
	{ForSafety, "steam under pressure: what bursts, scalds, or is refused by a name plate",
		`gauge_* rated_* relief_usual come_up* vent chamber_pressure chamber_temperature chamber_hottest
		chamber_above_boiling service_margin vessel_service vessel_not_heatproof lid_without_filter pressure_fall*
		lid_cracked boiler_makes_up charge_* stay_wet water_boiled_off water_charge* grain_gauge* grain_band grain_rated
		grain_vent grain_chamber grain_hottest grain_jar_service grain_jar_margin grain_lid_without_filter`},
	{ForSafety, "it kills germs: a critical limit, or the dose behind it",
		`hold* f0_* core_quick core_slow core_collapsed core_measured measured_* air_left grain_hold grain_air_left
		grain_safety spores*`},
	{ForSafety, "the air pressure and the boiling point that every run hangs on", `altitude air_pressure boiling_point`},
	{ForSafety, "what lifting does to a body", `lift_* crate_vessels crate_empty crate_mass crate_heaviest crate_spawned`},
	{ForSafety, "vapor that burns and is breathed", `alcohol_* vapor_* bench_* wet_film flame_by_alcohol work_day`},
	{ForSafety, "noise and heat where people work", `noise_* heat_reading heat_alert heat_limit work_heat`},
	{ForSafety, "carbon dioxide of rooms that people enter", `stage_incubation_co2 stage_pinning_co2 stage_fruiting_co2 wants_co2_incubate outdoor_co2`},
	{ForSafety, "food that is kept cold", `harvest_cool_*`},

	{ForQuality, "the formula: what the mycelium eats",
		`share shares_total minerals_total share_* carbon* nitrogen* ash ash_of rounding_* species_in_bottles`},
	{ForQuality, "its water", `moisture_* mass_change reading water_for_reading goods_for_reading sample_* one_point lot_moisture spawn_moisture`},
	{ForQuality, "how a vessel is filled and bored, which decides on air, heat and where spawn gets",
		`headspace* line_below_rim fill_* bore_* packed_density air_filled_porosity vessel_fit mouth_area substrate_* mixing_time
		mix_wait_most mix_to_steam shift_air`},
	{ForQuality, "how heat gets in", `mix_midway dry_heat steam_film wall_conduct* vessel_wall`},
	{ForQuality, "how long what was sterilized stays good, and how spawn goes in",
		`core_cool_to use_within cooling_time controls_per_load grain_controls`},
	{ForQuality, "spawn: how much, how old, how far from the plate",
		`spawn_rate spawn_age spawn_generation spawn_in_vessel grain_moisture grain_gypsum grain_density grain_comes_out
		grain_not_* grain_jar_filled grain_generations grain_grown_* grain_preparation grain_waits grain_water_in_jar
		grain_wet_in_jar gypsum_in_jar plate_grown`},
	{ForQuality, "the climate and the days of each stage, and what the species wants", `stage_* wants_* ripening* days_* core_most probe_most spawning_day`},
	{ForQuality, "how a vessel is opened, fruited and cleaned",
		`scrape* collar_* wetting_* empty_within wash_water detergent_left_out`},

	{ForQuantity, "vessels, loads and mixes", `vessels vessels_each loads loads_a_day controls filled largest_load load_* one_load mixes good_wanted
		mass_wanted confidence clustering lost_share crate_places_free trays tray_* chamber_usable`},
	{ForQuantity, "what goes in, by mass and volume",
		`waste waste_small waste_usual wet_total dry_* received* water_received water_for_* water_needed water_to_add mix_total in_mix weighed*
		weighings mix_weighed mix_of_mixer water_in_* water_volume mixer_capacity scale_* step_for lot_taken lots_taken`},
	{ForQuantity, "vessels as they are made", `vessel_* lid_lost_per_use lid_uses* wear`},
	{ForQuantity, "spawn to have ready", `spawn_* jar_usable jars_of_* mother_* plates* grain_*  gypsum_taken`},
	{ForQuantity, "what comes out, and what is left", `yield_* sold_* efficiency_* trim_share mushroom_dry respired* evaporated* carbon_dioxide_*
		water_made water_use water_per_respired spent_* value_of_lots`},
	{ForQuantity, "hours and days", `time_* first_water line_time mix_at mix_every mix_start steam_by shift_length shift_people shift_needed
		days_needed day_length own_*`},
	{ForQuantity, "energy and steam", `energy_* heat_of_* heat_stored heater_* metal_* water_heat vessel_heat chamber_surface chamber_conductance chamber_volume
		condensate* steam_* loss_* up_to_* run_time vessel_with_lid fan f0_wall`},
	{ForQuantity, "money", `price wage_* cost_* total_cost* ingredient_cost* consumables_* labor_* lid_* bag_* break_even_* waste_avoided waste_cost water_price water_cost*
		spawn_price spawn_cost* energy_price energy_cost* vessel_price vessel_cost* vessel_wear lot_price`},
}

// fits is how much of a quantity's name a pattern of the table names; 0 is nothing.
func fits(pattern, name string) int {
	beginning, isBeginning := strings.CutSuffix(pattern, "*")
	switch {
	case !isBeginning && pattern == name:
		return len(name) + 1 // before any beginning
	case isBeginning && strings.HasPrefix(name, beginning):
		return len(beginning)
	}
	return 0
}

// groupOf is the group of a quantity with the reason; "" for one that the table lacks.
func groupOf(name string) (g Group, why string) {
	most := 0
	for _, r := range rows {
		for p := range strings.FieldsSeq(r.names) {
			if n := fits(p, name); n > most {
				most, g, why = n, r.group, r.why
			}
		}
	}
	return g, why
}

// ReasonOf is why a quantity stands in its group.
func ReasonOf(quantity string) string {
	_, why := groupOf(quantity)
	return why
}

// figureGroup is the group of a quantity. What no row names is taken for quality, so
// that nobody passes over it.
func figureGroup(name string) Group {
	if g, _ := groupOf(name); g != "" {
		return g
	}
	return ForQuality
}

// limited is the quantity that each limit is about.
var limited = func() map[string]limit.Limit {
	out := map[string]limit.Limit{}
	for _, l := range limit.All() {
		out[l.ID] = l
	}
	return out
}()

// crossingGroup is the group of a limit: safety where the table of limits says so, else
// that of its quantity. What is no limit, such as a step that is left out, is quality.
func crossingGroup(rule string, safety bool) Group {
	l, known := limited[rule]
	switch {
	case safety || l.Safety:
		return ForSafety
	case known:
		return figureGroup(l.Quantity)
	}
	return ForQuality
}

// aboutPeople are the reasons for which a step is a safety step: people work at the
// pressure vessel or beside mold there, or eat what comes of it.
var aboutPeople = []work.Reason{work.AtPressure, work.AtMold, work.ForEaters}

// isSafetyStep reports whether a step is one of safety. On the sheet for spawn the
// steps at the pressure vessel have the names that they have on any sheet.
func isSafetyStep(id work.StepID) bool { return slices.Contains(aboutPeople, work.Kept(id)) }

// forWorkers reports whether a part of a step stands on a worker's sheet; the rest is
// for who trains.
func forWorkers(p Part) bool {
	switch p {
	case Why, Wrong, Ask:
		return false
	}
	return true
}

// binding are the parts of a step that a worker has to keep to.
func binding(p Part) bool {
	switch p {
	case When, Safety, Amounts, Do, Limit, Check, IfOff:
		return true
	}
	return false
}
