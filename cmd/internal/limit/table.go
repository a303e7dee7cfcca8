package limit

import (
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// Sources that several rows share. Ranges without a publication are the
// trade's practice; where the project chose a number itself, it says so.
const (
	practice  = "common practice, no source"
	chosen    = "design choice, no source"
	weighable = "design choice: moved by rounding no more than a dried sample could tell"
)

// Short forms for the rows below: values in the units of the trade.
func celsius(t float64) float64 { return float64(unit.FromCelsius(t)) }

func at(v float64) *Bound      { return &Bound{Value: v} }
func of(name string) *Bound    { return &Bound{Of: name} }
func from(v float64) *Bound    { return &Bound{Value: v, Open: true} }
func mm(v float64) *Bound      { return at(v / 1000) }
func pct(v float64) *Bound     { return at(v / 100) }
func minutes(v float64) *Bound { return at(v * unit.Minute) }
func hours(v float64) *Bound   { return at(v * unit.Hour) }
func days(v float64) *Bound    { return at(v * unit.Day) }
func liters(v float64) *Bound  { return at(v / 1000) }
func psi(v float64) *Bound     { return at(v * unit.SizeOf(unit.GaugePressureOf, "psi")) }
func moved(name string, by float64) *Bound {
	return &Bound{Of: name, Plus: by}
}
func times(name string, by float64) *Bound {
	return &Bound{Of: name, Times: by}
}

const (
	warn   = protocol.Warning
	refuse = protocol.Error
)

// Group is the rows about one part of the work.
type Group struct {
	ID   string // message book.limits.group.<ID> names it
	Rows []Limit
}

// groups carry every range, grouped by what it is about. An id appears once; its
// messages are limit.<id>.why and limit.<id>.hint.
var groups = []Group{
	{"place", place}, {"formula", formula}, {"filling", filling}, {"sterilizing", sterilizing},
	{"spawning", spawning}, {"grain", grain}, {"growing", growing}, {"rooms", rooms}, {"finishing", finishing}, {"people", workers}, {"hygiene", clean}, {"scaling", scaling}, {"season", planned},
}

// Groups lists the table as it is grouped.
func Groups() []Group { return groups }

var table = func() []Limit {
	var out []Limit
	for _, g := range groups {
		out = append(out, g.Rows...)
	}
	return out
}()

var place = []Limit{
	{ID: "start.unusual", Quantity: "shift_air", Severity: warn, Low: at(celsius(5)), High: at(celsius(35)), Source: chosen},
	{ID: "start.never", Quantity: "shift_air", Severity: refuse, Low: at(celsius(0)), High: at(celsius(60)), Source: chosen},
	{ID: "altitude.outside", Quantity: "altitude", Severity: refuse, Low: at(-430), High: at(5000), Source: "US Standard Atmosphere 1976 from the lowest land to the highest farms; " + chosen},
	{ID: "altitude.high", Quantity: "altitude", Severity: warn, Low: at(-100), High: at(3000), Source: chosen, Safety: true},
	{ID: "air_pressure.outside", Quantity: "air_pressure", Severity: refuse, Low: at(52e3), High: at(110e3), Source: "US Standard Atmosphere 1976 at 5,000 m and below sea level, with weather; " + chosen},
}

var formula = []Limit{
	{ID: "shares.sum", Quantity: "shares_total", Severity: refuse, Low: pct(98), High: pct(102), Source: "definition", Blame: "shares_total"},
	{ID: "shares.near", Quantity: "shares_total", Severity: warn, Low: pct(99.9), High: pct(100.1), Source: "definition"},
	{ID: "share.high", Quantity: "share", Severity: warn, High: of("share_usual_most"), Source: practice},
	{ID: "share.never", Quantity: "share", Severity: refuse, High: of("share_never_above"), Source: practice},
	{ID: "ingredient.carbon", Quantity: "carbon_of", Severity: refuse, High: pct(60), Source: "lignin, the richest in carbon of what plants are made of, has 63 % (from memory); " + chosen},
	{ID: "ingredient.nitrogen", Quantity: "nitrogen_of", Severity: refuse, High: pct(15), Source: "above it lies urea, which has no place in a bottle; " + chosen},
	{ID: "ingredient.whole", Quantity: "carbon_and_ash", Severity: refuse, High: pct(100), Source: "definition", Blame: "carbon_of"},
	{ID: "minerals.high", Quantity: "minerals_total", Severity: warn, High: pct(2), Source: practice},
	{ID: "minerals.never", Quantity: "minerals_total", Severity: refuse, High: pct(5), Source: practice},
	{ID: "nitrogen.species", Quantity: "nitrogen", Severity: warn, Low: of("wants_nitrogen_low"), High: of("wants_nitrogen_high"), Source: "the species' entry in the library", Blame: "share"},
	{ID: "nitrogen.never", Quantity: "nitrogen", Severity: refuse, Low: pct(0.3), High: pct(2.5), Source: practice, Blame: "share"},
	{ID: "cn.unusual", Quantity: "carbon_to_nitrogen", Severity: warn, Low: at(25), High: at(60), Source: practice, Blame: "share"},
	{ID: "cn.never", Quantity: "carbon_to_nitrogen", Severity: refuse, Low: at(15), High: at(200), Source: practice, Blame: "share"},
	{ID: "moisture.species", Quantity: "moisture_target", Severity: warn, Low: of("wants_moisture_low"), High: of("wants_moisture_high"), Source: "the species' entry in the library"},
	{ID: "moisture.never", Quantity: "moisture_target", Severity: refuse, Low: pct(50), High: pct(75), Source: "sparse below 50 %, stalled above 75 %: published for enoki"},
	{ID: "received.impossible", Quantity: "moisture_received", Severity: refuse, High: &Bound{Value: 0.95, Open: true}, Source: practice},
	{ID: "received.far", Quantity: "moisture_off", Severity: warn, High: pct(5), Source: practice, Blame: "moisture_received"},
	{ID: "moisture.spread", Quantity: "moisture_spread_mixed", Severity: warn, High: of("moisture_give"), Source: practice, Blame: "moisture_spread"},
	{ID: "ingredients.wet", Quantity: "moisture_without_water", Severity: refuse, High: of("moisture_mixed"), Source: "balance of masses", Blame: "moisture_received", What: "limit.ingredients.wet.what"},
	{ID: "mass_change.never", Quantity: "mass_change", Severity: refuse, Low: pct(-5), High: pct(3), Source: "balance of heat: the flash from 121 to 100 °C takes at most 3.15 %; " + chosen},
	{ID: "mass_change.unusual", Quantity: "mass_change", Severity: warn, Low: pct(-3.15), High: pct(1), Source: "balance of heat: the flash from 121 to 100 °C takes at most 3.15 %; a gain: " + chosen},
	{ID: "mixing.time", Quantity: "mixing_time", Severity: warn, Low: minutes(10), High: minutes(20), Source: practice},
	{ID: "mixing.never", Quantity: "mixing_time", Severity: refuse, Low: minutes(2), High: minutes(60), Source: chosen},
}

var filling = []Limit{
	{ID: "density.unusual", Quantity: "packed_density", Severity: warn, Low: at(550), High: at(800), Source: practice},
	{ID: "density.never", Quantity: "packed_density", Severity: refuse, Low: at(300), High: at(1000), Source: practice},
	{ID: "porosity.unusual", Quantity: "air_filled_porosity", Severity: warn, Low: pct(25), High: pct(60), Source: practice},
	{ID: "porosity.never", Quantity: "air_filled_porosity", Severity: refuse, Low: pct(15), Source: practice},
	{ID: "fill.empty", Quantity: "fill_volume", Severity: refuse, Low: &Bound{Value: 0, Open: true}, Source: "definition", Blame: "headspace"},
	{ID: "headspace.fit", Quantity: "headspace_fit", Severity: warn, Low: at(0.9), Source: "volume of the neck down to the line; a tenth for measuring", Blame: "headspace", What: "limit.headspace.fit.what"},
	{ID: "headspace.line", Quantity: "line_below_rim", Severity: warn, Low: mm(10), High: mm(30), Source: practice},
	{ID: "fill.tolerance", Quantity: "fill_tolerance", Severity: warn, High: pct(3), Source: practice},
	{ID: "fill.tolerance_never", Quantity: "fill_tolerance", Severity: refuse, High: pct(6), Source: practice},
	{ID: "bore.diameter", Quantity: "bore_top", Severity: warn, Low: mm(12), High: mm(30), Source: practice},
	{ID: "bore.wide", Quantity: "bore_of_body", Severity: refuse, High: &Bound{Value: 0.6, Open: true}, Source: chosen},
	{ID: "bore.floor", Quantity: "bore_floor", Severity: warn, Low: mm(5), High: mm(30), Source: practice, Blame: "bore_depth"},
	{ID: "bore.deep", Quantity: "bore_floor", Severity: refuse, Low: &Bound{Value: 0, Open: true}, Source: "definition", Blame: "bore_depth", What: "limit.bore.deep.what"},
	{ID: "bore.shallow", Quantity: "bore_floor", Severity: refuse, High: &Bound{Of: "substrate_height", Open: true}, Source: "definition: a bore that ends in the neck does not reach the substrate as a cylinder of its volume", Blame: "bore_depth", What: "limit.bore.shallow.what"},
	{ID: "bore.taper", Quantity: "bore_bottom", Severity: refuse, High: of("bore_top"), Source: "a rod that is wider below cannot be drawn out", What: "limit.bore.taper.what"},
	{ID: "bore.mouth", Quantity: "bore_top", Severity: refuse, High: of("vessel_mouth"), Source: "the rod goes in through the mouth", What: "limit.bore.mouth.what"},
	{ID: "vessel.volume", Quantity: "vessel_fit", Severity: refuse, Low: at(0.4), High: at(1.1), Source: "volume of a cylinder; a tenth for measuring; the lower end: " + chosen, Blame: "vessel_brimful"},
	{ID: "vessel.mouth", Quantity: "vessel_mouth", Severity: refuse, High: of("vessel_body"), Source: "definition: a vessel is no wider at its mouth than its body is taken to be", What: "limit.vessel.mouth.what"},
}

// verdict is the source of the rows on F0: two cases bracket what nobody has
// measured.
const verdict = "conduction into the vessel, in the slow and the quick case that bracket it; modeled, not measured"

// fitted is the source of the rows on F0 where a probe run was accepted.
const fitted = "conduction into the vessel, with the conductivity that the farm's accepted probe run shows"

var sterilizing = []Limit{
	{ID: "gauge.rated", Quantity: "gauge_pressure", Severity: refuse, Low: &Bound{Value: 0, Open: true}, High: of("rated_pressure"), Source: "the vessel's name plate", Safety: true},
	{ID: "gauge.near", Quantity: "gauge_pressure", Severity: warn, High: times("rated_pressure", 0.9), Source: chosen, Safety: true},
	{ID: "gauge.band", Quantity: "gauge_highest", Severity: refuse, High: of("rated_pressure"), Source: "the vessel's name plate", Safety: true, Blame: "gauge_band"},
	{ID: "gauge.relief", Quantity: "gauge_highest", Severity: warn, High: of("relief_usual"), Source: "the kind's entry in the library", Safety: true, Blame: "gauge_pressure"},
	{ID: "band.wide", Quantity: "gauge_band", Severity: warn, High: psi(3), Source: chosen},
	{ID: "band.narrow", Quantity: "gauge_steps", Severity: warn, Low: at(1), Source: chosen, Blame: "gauge_band", What: "limit.band.narrow.what"},
	{ID: "rated.doubtful", Quantity: "rated_pressure", Severity: warn, High: of("rated_usual"), Source: "the kind's entry in the library", Safety: true},
	{ID: "chamber.unusual", Quantity: "chamber_temperature", Severity: warn, Low: at(celsius(118)), High: at(celsius(124)), Source: chosen, Blame: "gauge_pressure"},
	{ID: "chamber.never", Quantity: "chamber_temperature", Severity: refuse, Low: at(celsius(100)), High: at(celsius(135)), Source: "below 100 °C nothing is sterilized; " + chosen, Safety: true, Blame: "gauge_pressure"},
	{ID: "vessel.too_hot", Quantity: "service_margin", Severity: refuse, Low: at(0), Source: "the vessel's service temperature", Safety: true, Blame: "gauge_pressure", What: "limit.vessel.too_hot.what"},
	{ID: "vessel.material", Quantity: "vessel_not_heatproof", Severity: refuse, High: at(0), Source: "PET and milk-bottle polyethylene soften below 121 °C (from memory)", Safety: true, What: "limit.vessel.material.what"},
	{ID: "vessel.sealed", Quantity: "lid_without_filter", Severity: refuse, High: at(0), Source: "Cornell EHS and Iowa State biosafety manual on tightly closed bottles", Safety: true, What: "limit.vessel.sealed.what"},
	{ID: "vent.short", Quantity: "vent", Severity: warn, Low: minutes(10), Source: "PNW 421; USDA Complete Guide to Home Canning", Safety: true},
	{ID: "vent.never", Quantity: "vent", Severity: refuse, Low: minutes(5), High: minutes(240), Source: "PNW 421; USDA Complete Guide to Home Canning; " + chosen, Safety: true},
	{ID: "vent.long", Quantity: "vent", Severity: warn, High: minutes(30), Source: chosen, Safety: true},
	{ID: "come_up.unusual", Quantity: "come_up", Severity: warn, Low: minutes(15), High: minutes(90), Source: chosen},
	{ID: "come_up.never", Quantity: "come_up", Severity: refuse, Low: &Bound{Value: 0, Open: true}, High: minutes(240), Source: chosen},
	{ID: "heater.weak", Quantity: "heater_strength", Severity: refuse, Low: &Bound{Value: 1, Open: true}, Source: "balance of heat", Blame: "heater_power", What: "limit.heater.weak.what"},
	{ID: "come_up.slow", Quantity: "come_up_computed", Severity: warn, High: minutes(90), Source: chosen, Blame: "load_capacity"},
	{ID: "come_up.slow_never", Quantity: "come_up_computed", Severity: refuse, High: minutes(240), Source: chosen, Blame: "load_capacity"},
	{ID: "water.charge", Quantity: "water_charge", Severity: refuse, Low: of("charge_runs_dry"), Source: "balance of water", Safety: true, What: "limit.water.charge.what"},
	{ID: "water.scarce", Quantity: "water_charge", Severity: warn, Low: of("charge_least"), Source: "half of the steam again to spare: " + chosen, Safety: true, What: "limit.water.scarce.what"},
	{ID: "energy.differs", Quantity: "energy_of_computed", Severity: protocol.Note, Low: at(0.5), High: at(2), Source: chosen, Blame: "energy_a_run", What: "limit.energy.differs.what"},
	{ID: "hold.long", Quantity: "hold", Severity: warn, High: minutes(180), Source: practice},
	{ID: "hold.never", Quantity: "hold", Severity: refuse, Low: minutes(15), High: minutes(600), Source: chosen, Safety: true},
	{ID: "f0.target_never", Quantity: "f0_target", Severity: refuse, Low: minutes(3), High: minutes(60), Source: "the floor of F0; " + chosen},
	{ID: "f0.quick", Quantity: "f0_quick", Severity: refuse, Low: of("f0_target"), Source: verdict, Blame: "hold", What: "limit.f0.quick.what", Shows: "hold_quick", Unless: "f0_measured"},
	{ID: "f0.floor", Quantity: "f0_slow", Severity: refuse, Low: of("f0_floor"), Source: verdict, Blame: "hold", What: "limit.f0.floor.what", Shows: "hold_slow", Unless: "f0_measured"},
	{ID: "f0.probe", Quantity: "f0_slow", Severity: warn, Low: of("f0_target"), Source: verdict, Blame: "hold", What: "limit.f0.probe.what", Shows: "hold_slow", Unless: "f0_measured"},
	{ID: "f0.measured_floor", Quantity: "f0_measured", Severity: refuse, Low: of("f0_floor"), Source: fitted, Blame: "hold", What: "limit.f0.measured_floor.what", Shows: "hold_measured"},
	{ID: "f0.measured", Quantity: "f0_measured", Severity: warn, Low: of("f0_target"), Source: fitted, Blame: "hold", What: "limit.f0.measured.what", Shows: "hold_measured"},
	{ID: "f0.much", Quantity: "f0_wall", Severity: warn, High: minutes(120), Source: practice, Blame: "hold"},
	{ID: "cool.warm", Quantity: "core_cool_to", Severity: warn, High: at(celsius(25)), Source: practice},
	{ID: "cool.cold", Quantity: "core_cool_to", Severity: warn, Low: at(celsius(10)), Source: practice},
	{ID: "cool.never", Quantity: "core_cool_to", Severity: refuse, Low: at(celsius(5)), High: at(celsius(28)), Source: practice},
	{ID: "cooled.late", Quantity: "use_within", Severity: warn, High: hours(24), Source: practice},
	{ID: "cooled.never", Quantity: "use_within", Severity: refuse, High: hours(48), Source: practice},
	{ID: "load.none", Quantity: "load_for_crop", Severity: refuse, Low: at(1), Source: "definition", Blame: "load_capacity", What: "limit.load.none.what"},
	{ID: "load.crowded", Quantity: "load_capacity", Severity: warn, High: times("load_usual", 1.25), Source: "the kind's entry in the library, and a quarter more; " + chosen},
	{ID: "load.chamber", Quantity: "load_of_chamber", Severity: refuse, High: pct(75), Source: "round vessels in rows take 79 % of a box at most (π/4), walls and gaps included; " + chosen, Blame: "load_capacity"},
	{ID: "vessel.tray", Quantity: "vessel_outside", Severity: refuse, High: of("tray_narrowest"), Source: "definition: a vessel stands on the tray", Blame: "tray_narrowest", What: "limit.vessel.tray.what"},
	{ID: "load.trays", Quantity: "load_of_trays", Severity: warn, High: pct(100), Source: "places on the trays with 10 mm around each vessel; " + chosen, Blame: "load_capacity"},
	{ID: "controls.few", Quantity: "controls_per_load", Severity: warn, Low: at(2), Source: practice},
}

var spawning = []Limit{
	{ID: "spawn.unusual", Quantity: "spawn_rate", Severity: warn, Low: pct(2), High: pct(4), Source: practice},
	{ID: "spawn.never", Quantity: "spawn_rate", Severity: refuse, Low: &Bound{Value: 0, Open: true}, High: pct(15), Source: practice},
	{ID: "spawn.spare", Quantity: "spawn_spare", Severity: warn, Low: pct(5), High: pct(30), Source: practice},
	{ID: "spawn.age", Quantity: "spawn_age", Severity: warn, High: days(14), Source: practice},
	{ID: "spawn.age_never", Quantity: "spawn_age", Severity: refuse, High: days(45), Source: practice},
	{ID: "spawn.generation", Quantity: "spawn_generation", Severity: refuse, High: at(3), Source: practice},
	{ID: "grain.usable", Quantity: "jar_usable", Severity: warn, High: of("grain_usable"), Source: "95 % of what is filled in: " + practice},
	{ID: "jar.usable", Quantity: "jar_usable", Severity: refuse, Low: at(0.05), High: at(5), Source: chosen},
}

var finishing = []Limit{
	{ID: "lost.high", Quantity: "lost_share", Severity: warn, High: pct(10), Source: practice},
	{ID: "lost.never", Quantity: "lost_share", Severity: refuse, High: pct(30), Source: practice},
	{ID: "good.sure", Quantity: "confidence", Severity: warn, Low: pct(90), High: pct(99), Source: chosen},
	{ID: "good.never", Quantity: "confidence", Severity: refuse, Low: &Bound{Value: 0.5, Open: true}, High: &Bound{Value: 1, Open: true}, Source: chosen},
	{ID: "lost.none", Quantity: "lost_share", Severity: warn, Low: pct(0.1), Source: practice},
	{ID: "yield.order", Quantity: "efficiency_usual", Severity: refuse, Low: of("efficiency_low"), High: of("efficiency_high"), Source: "definition", What: "limit.yield.order.what"},
	{ID: "yield.never", Quantity: "efficiency_high", Severity: refuse, High: pct(200), Source: practice},
	{ID: "trim.high", Quantity: "trim_share", Severity: warn, High: pct(15), Source: practice},
	{ID: "trim.never", Quantity: "trim_share", Severity: refuse, High: pct(50), Source: chosen},
	{ID: "water_use.high", Quantity: "water_use", Severity: warn, High: at(0.60), Source: practice, Blame: "moisture_target"},
	{ID: "water_use.never", Quantity: "water_use", Severity: refuse, High: at(0.85), Source: practice, Blame: "moisture_target"},
	{ID: "spent.dry", Quantity: "dry_spent", Severity: warn, Low: at(0), Source: "balance of masses", Blame: "efficiency_usual"},
	{ID: "spent.moisture", Quantity: "spent_moisture", Severity: warn, Low: pct(50), High: pct(80), Source: practice, Blame: "moisture_target"},
	{ID: "cold.warm", Quantity: "harvest_cool_to", Severity: warn, High: at(celsius(4)), Source: practice, Safety: true},
	{ID: "cold.never", Quantity: "harvest_cool_to", Severity: refuse, High: at(celsius(8)), Source: practice, Safety: true},
	{ID: "cold.frozen", Quantity: "harvest_cool_to", Severity: warn, Low: at(celsius(0)), Source: "USDA Agriculture Handbook 66: mushrooms keep best at 0 °C and freeze at -0.9 °C (from memory)"},
	{ID: "cold.late", Quantity: "harvest_cool_within", Severity: warn, High: hours(4), Source: practice, Safety: true},
	{ID: "cold.late_never", Quantity: "harvest_cool_within", Severity: refuse, High: hours(24), Source: chosen, Safety: true},
	{ID: "empty.late", Quantity: "empty_within", Severity: warn, High: hours(24), Source: practice},
	{ID: "empty.never", Quantity: "empty_within", Severity: refuse, High: days(7), Source: chosen},
	{ID: "wash.unusual", Quantity: "wash_water", Severity: warn, Low: at(celsius(50)), High: at(celsius(60)), Source: practice, Safety: true},
	{ID: "wash.never", Quantity: "wash_water", Severity: refuse, Low: at(celsius(10)), High: at(celsius(70)), Source: "scalds within a second (from memory)", Safety: true},
	{ID: "wash.plain", Quantity: "detergent_left_out", Severity: warn, High: at(0), Source: practice, What: "limit.wash.plain.what"},
	{ID: "wash.volume", Quantity: "vessel_wash_water", Severity: warn, High: liters(1), Source: practice},
	{ID: "reuse.uses", Quantity: "vessel_uses_most", Severity: warn, Low: at(5), High: at(200), Source: practice},
	{ID: "reuse.lost", Quantity: "vessel_lost_per_use", Severity: warn, High: pct(5), Source: practice},
	{ID: "reuse.lost_never", Quantity: "vessel_lost_per_use", Severity: refuse, High: pct(25), Source: chosen, Safety: true},
	{ID: "lid.uses", Quantity: "lid_uses_most", Severity: warn, Low: at(2), High: at(60), Source: practice},
	{ID: "lid.lost", Quantity: "lid_lost_per_use", Severity: warn, High: pct(10), Source: practice},
}

var scaling = []Limit{
	{ID: "batch.large", Quantity: "vessels", Severity: warn, High: at(2000), Source: chosen},
	{ID: "loads.never", Quantity: "loads", Severity: refuse, High: at(20_000), Source: chosen, Blame: "load_capacity"},
	{ID: "batch.small", Quantity: "vessels", Severity: warn, Low: at(12), Source: "of so few, none bad proves next to nothing: the 95 % bound on none of 12 is 22 % bad"},
	{ID: "load.light", Quantity: "load_filled", Severity: warn, Low: pct(10), Source: chosen, Blame: "vessels"},
	{ID: "mixer.size", Quantity: "mixer_capacity", Severity: refuse, Low: at(1), High: at(20000), Source: chosen},
	{ID: "mix.small", Quantity: "mix_of_mixer", Severity: warn, Low: pct(10), Source: chosen, Blame: "mixer_capacity"},
	{ID: "crate.heavy", Quantity: "crate_mass", Severity: warn, High: at(12), Source: "half of the NIOSH load constant, for reach, wet floors and many crates a day; " + chosen, Safety: true, Blame: "crate_vessels"},
	{ID: "crate.never", Quantity: "crate_mass", Severity: refuse, High: at(23), Source: "NIOSH 94-110, revised lifting equation: load constant of 23 kg under the best conditions", Safety: true, Blame: "crate_vessels"},
	{ID: "waste.high", Quantity: "waste", Severity: warn, High: pct(10), Source: practice},
	{ID: "waste.never", Quantity: "waste", Severity: refuse, High: pct(15), Source: practice},
	{ID: "waste.low", Quantity: "waste", Severity: warn, Low: pct(1), Source: practice},
	{ID: "load.uneven", Quantity: "load_cover", Severity: warn, Low: at(1), Source: "balance of masses", Blame: "vessels", What: "limit.load.uneven.what"},
	{ID: "wait.mix_to_steam", Quantity: "mix_to_steam", Severity: refuse, High: of("mix_wait_most"), Source: practice, Blame: "load_capacity"},
	{ID: "wait.near", Quantity: "mix_to_steam", Severity: warn, High: &Bound{Of: "mix_wait_most", Times: 0.9}, Source: chosen, Blame: "load_capacity"},
	{ID: "shift.short", Quantity: "shift_needed", Severity: refuse, High: of("shift_length"), Source: "the shift in the farm's own file", Blame: "shift_length"},
	{ID: "day.long", Quantity: "day_length", Severity: warn, High: hours(12), Source: chosen, Blame: "vessels"},
	{ID: "scale.step", Quantity: "scale_reads", Severity: refuse, Low: at(1e-6), High: at(1), Source: chosen},
	{ID: "scale.steps", Quantity: "scale_steps", Severity: refuse, Low: at(100), Source: chosen, Blame: "scale_capacity"},
	{ID: "weighings.many", Quantity: "weighings", Severity: warn, High: at(10), Source: practice},
	{ID: "weighings.never", Quantity: "weighings", Severity: refuse, High: at(100), Source: chosen},
	{ID: "rounding.moisture", Quantity: "rounding_moisture", Severity: refuse, High: pct(0.2), Source: weighable, Blame: "scale_reads"},
	{ID: "rounding.nitrogen", Quantity: "rounding_nitrogen", Severity: refuse, High: pct(0.02), Source: weighable, Blame: "scale_reads"},
	{ID: "rounding.share", Quantity: "rounding_share", Severity: refuse, High: pct(1), Source: weighable, Blame: "scale_reads"},
	{ID: "rounding.mineral", Quantity: "rounding_mineral", Severity: refuse, High: pct(2.5), Source: weighable, Blame: "scale_reads"},
}
