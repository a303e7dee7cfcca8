package limit

import (
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/unit"
)

// rooms are the ranges of the farm's rooms, with what stands in them. A dry crop or a
// wet wall costs money: a warning. What hurts people is refused.
var rooms = []Limit{
	{ID: "outdoor.co2", Quantity: "outdoor_co2", Severity: warn, Low: ppm(380), High: ppm(500), Source: "outdoor air has 425 ppm on the average, and more in towns (from memory); " + chosen},
	{ID: "outdoor.co2_never", Quantity: "outdoor_co2", Severity: refuse, Low: ppm(300), High: ppm(1000), Source: "there has been no such outdoor air in our time; " + chosen},

	{ID: "rooms.none", Quantity: "rooms_for_stage", Severity: warn, Low: at(1), Source: "within 2 K of the air that the stage wants: " + chosen, What: "limit.rooms.none.what"},
	{ID: "rooms.humidity", Quantity: "humidity_off", Severity: warn, High: pct(10), Source: chosen, Blame: "room_humidity"},

	{ID: "rooms.filled", Quantity: "room_filled", Severity: warn, High: at(1.0 / 6), Source: stamets, Blame: "room_places"},
	{ID: "rooms.filled_never", Quantity: "room_filled", Severity: refuse, High: at(0.25), Source: "a quarter in button mushroom houses: common practice, no source", Blame: "room_places"},
	{ID: "rooms.air_left", Quantity: "room_free", Severity: refuse, Low: from(0), Source: "definition", Blame: "room_shelving"},

	{ID: "breath.unusual", Quantity: "breath_measured", Severity: warn, Low: respires(20), High: respires(300), Source: respirations, Blame: "box_to"},
	{ID: "breath.never", Quantity: "breath_measured", Severity: refuse, Low: from(0), High: respires(1500), Source: respirations, Blame: "box_to"},
	{ID: "breath.published", Quantity: "breath_rate", Severity: warn, Low: respires(20), High: respires(300), Source: respirations},
	{ID: "breath.published_never", Quantity: "breath_rate", Severity: refuse, Low: from(0), High: respires(1500), Source: respirations},
	{ID: "q10.unusual", Quantity: "breath_q10", Severity: warn, Low: at(1.8), High: at(3), Source: tenDegrees},
	{ID: "q10.never", Quantity: "breath_q10", Severity: refuse, Low: at(1), High: at(5), Source: tenDegrees},
	{ID: "box.full", Quantity: "box_free", Severity: refuse, Low: from(0), Source: "definition", Blame: "box_volume"},
	{ID: "box.strong", Quantity: "box_to", Severity: refuse, High: pct(2), Source: "mycelium breathes less in its own CO2: " + chosen},
	{ID: "box.rise", Quantity: "box_to", Severity: refuse, Low: &Bound{Of: "box_from", Open: true}, Source: "definition: what grows gives CO2 off"},
	{ID: "box.took", Quantity: "box_took", Severity: refuse, Low: minutes(1), High: hours(4), Source: chosen},

	{ID: "rooms.co2_outdoor", Quantity: "room_co2", Severity: refuse, Low: &Bound{Of: "outdoor_co2", Open: true}, Source: outdoorAir},
	{ID: "rooms.co2_deadly", Quantity: "room_co2", Severity: refuse, High: from(people.ShortTermCO2), Source: "ACGIH TLV-STEL: above it nobody goes in, not for a minute", Safety: true},
	{ID: "rooms.staffed", Quantity: "co2_at_entry", Severity: warn, High: at(people.WarnCO2), Source: staffed, Safety: true, Blame: "room_co2"},
	{ID: "rooms.staffed_never", Quantity: "co2_at_entry", Severity: refuse, High: from(people.PermissibleCO2), Source: staffed, Safety: true, Blame: "room_co2"},
	{ID: "rooms.shift", Quantity: "shift_mean", Severity: warn, High: at(people.WarnCO2), Source: staffed, Safety: true, Blame: "stay"},
	{ID: "rooms.shift_never", Quantity: "shift_mean", Severity: refuse, High: at(people.PermissibleCO2), Source: staffed, Safety: true, Blame: "stay"},
	{ID: "rooms.purge", Quantity: "purge_end", Severity: refuse, High: &Bound{Of: "entry_limit", Open: true}, Source: staffed, Safety: true, Blame: "purge_fan"},
	{ID: "rooms.purge_short", Quantity: "purge", Severity: refuse, Low: of("purge_needed"), Source: "balance of masses in a well mixed room", Safety: true, What: "limit.rooms.purge_short.what"},
	{ID: "rooms.sealed", Quantity: "sealed_with_people", Severity: refuse, High: at(0), Source: "definition: no air comes in, and somebody works there", Safety: true, Blame: "leak", What: "limit.rooms.sealed.what"},
	{ID: "rooms.volume", Quantity: "room_volume", Severity: refuse, Low: at(1), High: at(100_000), Source: chosen},
	{ID: "rooms.air", Quantity: "room_air", Severity: refuse, Low: at(celsius(0)), High: at(celsius(40)), Source: "nothing of these species lives in it; " + chosen},
	{ID: "rooms.coil", Quantity: "coil", Severity: refuse, High: moved("room_air", -0.5), Source: "heat goes to where it is colder"},
	{ID: "rooms.wall", Quantity: "wall_u", Severity: refuse, Low: at(0.05), High: at(8), Source: "0.2 is a cold room's panel, 6 a single pane: " + practice},
	{ID: "rooms.leak", Quantity: "leak", Severity: warn, Low: changes(0.05), High: changes(1), Source: practice},
	{ID: "rooms.unreachable", Quantity: "co2_ceiling", Severity: warn, Low: of("co2_wanted"), Source: speciesEntry + ", and what leaks in through the shell", Blame: "leak", What: "limit.rooms.unreachable.what"},
	{ID: "rooms.fan", Quantity: "fan_margin", Severity: warn, Low: at(1), Source: "balance of masses in a well mixed room", Blame: "fan", What: "limit.rooms.fan.what"},
	{ID: "rooms.fan_never", Quantity: "fan_margin", Severity: refuse, Low: at(0.8), Source: "balance of masses in a well mixed room; a fifth is what the rate of respiration may be off by: " + chosen, Blame: "fan", What: "limit.rooms.fan.what"},

	{ID: "rooms.chiller", Quantity: "cooling_margin", Severity: warn, Low: at(1.2), Source: practice, Blame: "cooling"},
	{ID: "rooms.chiller_never", Quantity: "cooling_margin", Severity: refuse, Low: at(1), Source: "balance of heat", Blame: "cooling"},
	{ID: "rooms.heater", Quantity: "heating_margin", Severity: warn, Low: at(1.2), Source: practice, Blame: "heating"},
	{ID: "rooms.humidifier", Quantity: "humidifier_margin", Severity: warn, Low: at(1.3), Source: practice, Blame: "humidifier_brings"},
	{ID: "rooms.drips", Quantity: "surfaces_above_dew", Severity: warn, Low: &Bound{Value: 1, Of: "room_above_dew", Times: 0.5, Least: true}, Source: "ISO 6946 (from memory); 1 K for corners and screws, or half of what the air has, where it is so damp: " + practice, Blame: "wall_u"},
	{ID: "rooms.brought_cold", Quantity: "brought_above_dew", Severity: warn, Low: at(0), Source: "definition of the dew point", Blame: "room_air"},
}

const (
	stamets      = "a sixth at most: Stamets, Growing Gourmet and Medicinal Mushrooms"
	respirations = "40 to 260 mg/(kg·h) are published of mushrooms and of substrate near 20 °C; " + chosen
	tenDegrees   = "1.9 to 2.9 are published of mushrooms; " + chosen
)

func ppm(v float64) *Bound { return at(v * unit.SizeOf(unit.PartsPerMillion, "ppm")) }
func changes(v float64) *Bound {
	return at(v * unit.SizeOf(unit.AirChangesOf, "/h"))
}
func respires(v float64) *Bound {
	return at(v * unit.SizeOf(unit.RespirationOf, "mg/(kg·h)"))
}
