package main

import "slices"

// by is a reach by these changes.
func by(list ...change) reach { return reach{changes: list} }

// at is the same for a batch of that size alone.
func (r reach) at(size int) reach {
	r.changes = append(slices.Clip(r.changes), on("batch_sizes", []int{size}))
	return r
}

// and is the same with more changes.
func (r reach) and(more ...change) reach {
	r.changes = slices.Concat(r.changes, more)
	return r
}

// after is the same where the demo crosses the limit as it is, and does not with
// these changes.
func (r reach) after(list ...change) reach {
	r.before = list
	return r
}

// crossing is the same where other limits are crossed too.
func (r reach) crossing(also ...string) reach {
	r.also = also
	return r
}

// reaches says for each limit how a farm's files cross it. Where others are
// crossed as well, the same fault is seen from another side: so little air
// pressure is no farm's, and its steam is too cool.
var reaches = map[string]reach{
	"altitude.outside":     by(onFarm("altitude", "-500 m"), on("sterilization.gauge_pressure", "13.5 psi")).crossing("grain.too_hot"),
	"altitude.high":        by(onFarm("altitude", "-200 m")).crossing("grain.too_hot"),
	"air_pressure.outside": by(onFarm("station_pressure", "111 kPa"), on("sterilization.gauge_pressure", "13 psi")).crossing("grain.too_hot"),

	"start.unusual": by(onFarm("shift.air", "3 °C")),
	"start.never":   by(onFarm("shift.air", "65 °C")),

	"shares.sum":          by(on("substrate.ingredient[0].share_dm", "45 %")),
	"shares.near":         by(on("substrate.ingredient[0].share_dm", "42.5 %")),
	"share.high":          by(mixOf("soy-hull 42 %", "hardwood-pellet 31 %", "wheat-bran 26 %", "gypsum 1 %")...),
	"share.never":         by(mixOf("soy-hull 61 %", "hardwood-pellet 20 %", "hardwood-sawdust-dried 18 %", "gypsum 1 %")...),
	"ingredient.carbon":   by(in("ingredient gypsum c_dm", "61 %"), in("ingredient gypsum ash_dm", "30 %")),
	"ingredient.nitrogen": by(in("ingredient gypsum n_dm", "16 %")),
	"ingredient.whole":    by(in("ingredient gypsum c_dm", "1 %")),
	"minerals.high":       by(mixOf("soy-hull 41 %", "hardwood-pellet 38.5 %", "wheat-bran 18 %", "gypsum 1.5 %", "calcium-carbonate 1 %")...),
	"minerals.never":      by(mixOf("soy-hull 40 %", "hardwood-pellet 36 %", "wheat-bran 18 %", "gypsum 3 %", "calcium-carbonate 3 %")...).crossing("share.high"),
	"nitrogen.species":    by(mixOf("soy-hull 32 %", "hardwood-pellet 49 %", "wheat-bran 18 %", "gypsum 1 %")...),
	"nitrogen.never":      by(mixOf("hardwood-sawdust-dried 42 %", "hardwood-pellet 52 %", "wheat-bran 5 %", "gypsum 1 %")...),
	"cn.unusual":          by(in("ingredient hardwood-pellet c_dm", "17 %")),
	"cn.never":            by(in("ingredient hardwood-pellet c_dm", "0 %"), in("ingredient soy-hull c_dm", "20 %")),
	"moisture.species":    by(on("substrate.moisture_wb", "69 %")),
	"moisture.never":      by(on("substrate.moisture_wb", "76 %")),
	"received.impossible": by(in("ingredient gypsum moisture_wb", "96 %")),
	"received.far":        by(onFarm("moisture_wb.soy-hull", "16 %")),
	"moisture.spread":     by(in("ingredient soy-hull moisture_spread_wb", "12 %")),
	"ingredients.wet":     by(in("ingredient soy-hull moisture_wb", "85 %"), onFarm("moisture_wb.soy-hull", "85 %")),
	"mass_change.never":   by(on("substrate.mass_change_in_sterilizer", "-6 %")),
	"mass_change.unusual": by(on("substrate.mass_change_in_sterilizer", "-4 %")),
	"mixing.time":         by(on("substrate.mixing", "25 min")),
	"mixing.never":        by(on("substrate.mixing", "90 min")),

	"density.unusual":      by(on("fill.density", "0.82 kg/L"), on("sterilization.hold", "140 min")).at(48),
	"density.never":        by(on("fill.density", "0.29 kg/L")),
	"porosity.unusual":     by(on("fill.density", "0.86 kg/L"), on("sterilization.hold", "140 min")).at(48).crossing("density.unusual"),
	"porosity.never":       by(on("fill.density", "0.98 kg/L"), on("sterilization.hold", "150 min")).crossing("density.unusual"),
	"fill.empty":           by(on("fill.headspace", "850 mL")).crossing("bore.shallow"),
	"headspace.fit":        by(on("fill.headspace", "45 mL")),
	"headspace.line":       by(on("fill.line_below_rim", "8 mm")),
	"fill.tolerance":       by(on("fill.tolerance", "4 %")),
	"fill.tolerance_never": by(on("fill.tolerance", "7 %")),
	"bore.diameter":        by(on("bore.top_diameter", "32 mm")),
	"bore.wide":            by(on("bore.top_diameter", "56 mm")).crossing("bore.diameter"),
	"bore.floor":           by(on("bore.depth", "143 mm")),
	"bore.deep":            by(on("bore.depth", "150 mm")),
	"bore.shallow":         by(on("bore.depth", "10 mm")),
	"bore.taper":           by(on("bore.bottom_diameter", "22 mm")),
	"bore.mouth":           by(in("vessel bottle-850 mouth_diameter", "19 mm")),
	"vessel.volume":        by(in("vessel bottle-850 brimful", "430 mL")),
	"vessel.mouth":         by(in("vessel bottle-850 mouth_diameter", "92 mm"), on("fill.headspace", "130 mL")),

	"gauge.rated":        by(onFarm("sterilizer[0].rated_pressure", "14 psi")).crossing("grain.band", "grain.gauge", "gauge.band"),
	"gauge.near":         by(onFarm("sterilizer[0].rated_pressure", "16.5 psi")).crossing("grain.gauge_near"),
	"gauge.band":         by(onFarm("sterilizer[0].rated_pressure", "17 psi"), on("sterilization.gauge_band", "2.5 psi")),
	"gauge.relief":       by(in("sterilizer autoclave-small relief_pressure", "15.5 psi")),
	"band.wide":          by(on("sterilization.gauge_band", "4 psi")),
	"band.narrow":        by(on("sterilization.gauge_band", "0.2 psi")),
	"rated.doubtful":     by(onFarm("sterilizer[0].rated_pressure", "45 psi")),
	"chamber.unusual":    by(on("sterilization.gauge_pressure", "12 psi")),
	"chamber.never":      by(on("sterilization.gauge_pressure", "0.1 psi")).crossing("f0.quick", "f0.floor"),
	"vessel.too_hot":     by(in("vessel bottle-850 service_temperature", "120 °C")),
	"vessel.material":    by(in("vessel bottle-850 material", "PET")),
	"vessel.sealed":      by(in("vessel bottle-850 lid_filtered", false)),
	"vent.short":         by(on("sterilization.vent", "8 min")),
	"vent.never":         by(on("sterilization.vent", "3 min"), on("sterilization.hold", "140 min")),
	"vent.long":          by(on("sterilization.vent", "32 min"), in("sterilizer autoclave-small water_charge", "40 L")),
	"come_up.unusual":    by(onFarm("sterilizer[0].fastest_come_up", "10 min")),
	"come_up.never":      by(onFarm("sterilizer[0].fastest_come_up", "0 min")),
	"heater.weak":        by(in("sterilizer autoclave-small heater_power", "2.4 kW")),
	"come_up.slow":       by(in("sterilizer autoclave-small heater_power", "8 kW")),
	"come_up.slow_never": by(in("sterilizer autoclave-small heater_power", "3.9 kW")),
	"water.charge":       by(in("sterilizer autoclave-small water_charge", "16 L")),
	"water.scarce":       by(in("sterilizer autoclave-small water_charge", "18 L")),
	"energy.differs":     by(onFarm("sterilizer[0].energy_a_run", "8 kWh")),
	"hold.long":          by(on("sterilization.hold", "190 min"), onFarm("shift.length", "12 h")).crossing("f0.much"),
	"hold.never":         by(on("sterilization.hold", "12 min")).crossing("f0.quick", "f0.floor"),
	"f0.target_never":    by(onFarm("f0_target", "2 min")),
	"f0.quick":           by(on("sterilization.hold", "18 min")).crossing("f0.floor"),
	"f0.floor":           by(on("sterilization.hold", "95 min")),
	"f0.probe":           by(on("sterilization.hold", "125 min")).after(on("sterilization.hold", "140 min")),
	"f0.measured_floor":  by(onFarm("evidence[0].accepted", true), on("sterilization.hold", "75 min")),
	"f0.measured":        by(onFarm("evidence[0].accepted", true), on("sterilization.hold", "110 min")),
	"f0.much":            by(on("sterilization.hold", "170 min"), onFarm("shift.length", "12 h")),
	"cool.warm":          by(on("sterilization.cool_to", "26 °C")),
	"cool.cold":          by(on("sterilization.cool_to", "8 °C")),
	"cool.never":         by(on("sterilization.cool_to", "30 °C")),
	"cooled.late":        by(on("sterilization.use_within", "30 h")),
	"cooled.never":       by(on("sterilization.use_within", "60 h")),
	"load.none":          by(onFarm("sterilizer[0].holds[0].count", 2)),
	"load.crowded":       by(onFarm("sterilizer[0].holds[0].count", 151)).at(48).crossing("load.trays"),
	"load.chamber":       by(in("sterilizer autoclave-small usable", "130 L")),
	"vessel.tray":        by(onFarm("sterilizer[0].tray_width", "9 cm")),
	"load.trays":         by(onFarm("sterilizer[0].trays", 2), onFarm("sterilizer[0].tray_width", "70 cm"), onFarm("sterilizer[0].tray_depth", "60 cm")),
	"controls.few":       by(onFarm("controls.uninoculated_per_load", 1)),

	"spawn.unusual":    by(on("spawn.share_of_wet_substrate", "5 %")),
	"spawn.never":      by(on("spawn.share_of_wet_substrate", "16 %")),
	"spawn.spare":      by(on("spawn.spare", "2 %")),
	"spawn.age":        by(on("spawn.age_most", "20 d")),
	"spawn.age_never":  by(on("spawn.age_most", "50 d")),
	"spawn.generation": by(on("spawn.generation_most", 4)),
	"grain.usable":     by(on("spawn.usable_in_a_jar", "480 g")),
	"jar.usable":       by(on("spawn.usable_in_a_jar", "30 g")),

	"grain.kind":           by(onFarm("grain.ingredient", "wheat-bran")),
	"grain.jar":            by(onFarm("grain.jar", "bottle-950")),
	"grain.sealed":         by(in("vessel jar-quart lid_filtered", false)),
	"grain.moisture":       by(onFarm("grain.moisture_wb", "60 %"), onFarm("grain.in_a_jar", "225 g")),
	"grain.moisture_never": by(onFarm("grain.moisture_wb", "72 %"), onFarm("grain.in_a_jar", "155 g")),
	"grain.dry":            by(in("ingredient rye-grain moisture_wb", "25 %"), onFarm("grain.in_a_jar", "310 g")),
	"grain.gypsum":         by(onFarm("grain.gypsum", "3 %")),
	"grain.gypsum_never":   by(onFarm("grain.gypsum", "6 %")),
	"grain.filled":         by(onFarm("grain.in_a_jar", "310 g")),
	"grain.filled_never":   by(onFarm("grain.in_a_jar", "400 g")),
	"grain.ratio":          by(onFarm("grain.jars_from_a_jar", 6)),
	"grain.ratio_never":    by(onFarm("grain.jars_from_a_jar", 25)),
	"grain.plate":          by(onFarm("grain.jars_from_a_plate", 6)),
	"grain.plate_never":    by(onFarm("grain.jars_from_a_plate", 15)),
	"grain.generations":    by(onFarm("grain.generations", 4)),
	"grain.controls":       by(onFarm("grain.controls_per_run", 0)),
	"grain.places":         by(onFarm("sterilizer[0].holds[1].count", 1)),
	"grain.days":           by(onFarm("grain.grown_shortest", "8 d"), onFarm("grain.grown_usual", "9 d"), onFarm("grain.grown_longest", "11 d")),
	"grain.days_order":     by(onFarm("grain.grown_usual", "9 d"), onFarm("grain.grown_longest", "12 d")),
	"grain.watch":          by(onFarm("grain.grown_shortest", "5 d")),
	"grain.late":           by(onFarm("grain.grown_longest", "20 d")),
	"grain.waits":          by(on("spawn.age_most", "6 d")),
	"grain.plate_days":     by(onFarm("grain.plate_grown", "30 d")),
	"grain.gauge":          by(onFarm("grain.gauge_pressure", "40 psi")).crossing("grain.band", "grain.chamber_never", "grain.too_hot"),
	"grain.gauge_near":     by(onFarm("grain.gauge_pressure", "28 psi")).crossing("grain.chamber", "grain.too_hot"),
	"grain.band":           by(onFarm("grain.gauge_band", "16 psi")).crossing("grain.too_hot"),
	"grain.chamber":        by(onFarm("grain.gauge_pressure", "12 psi")),
	"grain.chamber_never":  by(onFarm("grain.gauge_pressure", "0.5 psi")),
	"grain.too_hot":        by(onFarm("grain.gauge_band", "2 psi")),
	"grain.vent":           by(onFarm("grain.vent", "8 min")),
	"grain.vent_never":     by(onFarm("grain.vent", "4 min")),
	"grain.hold":           by(onFarm("grain.hold", "80 min")),
	"grain.hold_never":     by(onFarm("grain.hold", "50 min")),

	"species.unsuited": by(in("species enoki in_bottles", "unsuited")),
	"species.fair":     by(in("species enoki in_bottles", "fair")),

	"incubation.air":            by(on("incubation.air", "17 °C")),
	"incubation.core":           by(on("incubation.air", "26 °C")),
	"incubation.rise":           by(on("incubation.air", "23.5 °C")),
	"incubation.humidity":       by(on("incubation.humidity", "56 %")),
	"incubation.humidity_never": by(on("incubation.humidity", "15 %")),
	"incubation.staffed":        by(on("incubation.co2_most", "2600 ppm")),
	"incubation.staffed_never":  by(on("incubation.co2_most", "5000 ppm")),
	"incubation.outdoor":        by(on("incubation.co2_most", "400 ppm")),
	"incubation.days":           by(on("incubation.days.usual", "40 d")),
	"incubation.span":           by(on("incubation.days.shortest", "5 d"), on("incubation.days.usual", "8 d")),
	"incubation.zero":           by(on("incubation.days.shortest", "0 d")),
	"ripening.short":            by(in("species enoki ripen", "10 d")),
	"ripening.long":             by(on("incubation.ripen", "5 d")),

	"pinning.air":            by(on("pinning.air", "16 °C")),
	"pinning.air_never":      by(on("pinning.air", "21 °C")),
	"pinning.humidity":       by(on("pinning.humidity", "85 %")),
	"pinning.humidity_never": by(on("pinning.humidity", "65 %")),
	"pinning.light":          by(on("pinning.light", "150 lx")),
	"pinning.light_hours":    by(on("pinning.light_each_day", "5 h")),
	"pinning.light_day":      by(on("pinning.light_each_day", "25 h")),
	"pinning.co2":            by(in("species enoki co2_pin", []string{"500 ppm", "2000 ppm"})),
	"pinning.staffed":        by(on("pinning.co2_most", "2600 ppm")),
	"pinning.staffed_never":  by(on("pinning.co2_most", "5000 ppm")),
	"pinning.outdoor":        by(on("pinning.co2_most", "400 ppm")),
	"pinning.days":           by(on("pinning.days.usual", "20 d")),
	"pinning.span":           by(on("pinning.days.shortest", "1 d"), on("pinning.days.usual", "2 d")),
	"pinning.zero":           by(on("pinning.days.shortest", "0 d")),

	"fruiting.air":            by(on("fruiting.air", "13 °C")),
	"fruiting.air_never":      by(on("fruiting.air", "18 °C")),
	"fruiting.humidity":       by(on("fruiting.humidity", "97 %")),
	"fruiting.humidity_never": by(on("fruiting.humidity", "65 %")),
	"fruiting.wet":            by(on("fruiting.humidity", "100 %")),
	"fruiting.light":          by(on("fruiting.light", "250 lx")),
	"fruiting.light_hours":    by(on("fruiting.light_each_day", "5 h")),
	"fruiting.light_day":      by(on("fruiting.light_each_day", "25 h")),
	"fruiting.co2":            by(in("species enoki co2_fruit", []string{"500 ppm", "2000 ppm"})),
	"fruiting.staffed":        by(on("fruiting.co2_most", "2600 ppm")),
	"fruiting.staffed_never":  by(on("fruiting.co2_most", "5000 ppm")),
	"fruiting.outdoor":        by(on("fruiting.co2_most", "400 ppm")),
	"fruiting.days":           by(on("fruiting.days.usual", "30 d")),
	"fruiting.span":           by(on("fruiting.days.shortest", "2 d"), on("fruiting.days.usual", "4 d")),
	"fruiting.zero":           by(on("fruiting.days.shortest", "0 d")),

	"scrape.never":    by(in("species enoki scrape", "never")),
	"scrape.wanted":   by(on("opening.scrape", "never")),
	"scrape.depth":    by(on("opening.scrape_depth", "10 mm")),
	"wetting.water":   by(on("opening.water", "25 mL")),
	"wetting.stand":   by(on("opening.stand", "5 h")),
	"collar.unwanted": by(in("species enoki collar", "no")),
	"collar.wanted":   by(without("collar")),
	"collar.height":   by(on("collar.height", "200 mm")),
	"collar.stems":    by(on("collar.when_stems_reach", "50 mm")),

	"good.sure":        by(onFarm("good.confidence", "80 %")),
	"good.never":       by(onFarm("good.confidence", "100 %")),
	"lost.none":        by(on("harvest.lost", "0 %")),
	"lost.high":        by(on("harvest.lost", "12 %")),
	"lost.never":       by(on("harvest.lost", "35 %")),
	"trim.high":        by(on("harvest.trim", "20 %")),
	"trim.never":       by(on("harvest.trim", "60 %")),
	"yield.order":      by(in("species enoki efficiency_usual", "40 %")),
	"yield.never":      by(in("species enoki efficiency_high", "210 %")),
	"water_use.high":   by(in("species enoki efficiency_usual", "130 %")).crossing("spent.moisture"),
	"water_use.never":  by(in("species enoki efficiency_usual", "180 %"), in("species enoki efficiency_high", "190 %")).crossing("spent.moisture"),
	"spent.dry":        by(in("species enoki efficiency_usual", "820 %"), in("species enoki efficiency_high", "830 %")).crossing("yield.never", "water_use.never", "spent.moisture"),
	"spent.moisture":   by(in("species enoki efficiency_usual", "122 %")),
	"cold.warm":        by(on("harvest.cool_to", "6 °C")),
	"cold.never":       by(on("harvest.cool_to", "10 °C")),
	"cold.frozen":      by(on("harvest.cool_to", "-2 °C")),
	"cold.late":        by(on("harvest.cool_within", "6 h")),
	"cold.late_never":  by(on("harvest.cool_within", "30 h")),
	"empty.late":       by(on("cleaning.empty_within", "48 h")),
	"empty.never":      by(on("cleaning.empty_within", "10 d")),
	"wash.unusual":     by(on("cleaning.water", "45 °C")),
	"wash.never":       by(on("cleaning.water", "75 °C")),
	"wash.plain":       by(on("cleaning.detergent", "none")),
	"wash.volume":      by(in("vessel bottle-850 wash_water", "2 L")),
	"reuse.uses":       by(in("vessel bottle-850 uses_most", 1)),
	"reuse.lost":       by(in("vessel bottle-850 lost_per_use", "8 %")),
	"reuse.lost_never": by(in("vessel bottle-850 lost_per_use", "30 %")),
	"lid.uses":         by(in("vessel bottle-850 lid_uses_most", 100)),
	"lid.lost":         by(in("vessel bottle-850 lid_lost_per_use", "12 %")),

	"batch.large":     by(onFarm("sterilizer[0].holds[0].count", 100)).at(2100),
	"batch.small":     by().at(10),
	"loads.never":     by(onFarm("sterilizer[0].holds[0].count", 3)).at(20_001).crossing("batch.large"),
	"load.light":      by(onFarm("sterilizer[0].holds[0].count", 150)).at(12).crossing("load.trays"),
	"mixer.size":      by(onFarm("mixer.capacity", "0.000000000001 kg")),
	"mix.small":       by(onFarm("mixer.capacity", "100 kg")).at(12),
	"crate.heavy":     by(onFarm("crate.vessels", 20)),
	"crate.never":     by(onFarm("crate.vessels", 40)),
	"waste.high":      by(onFarm("waste.usual", "12 %")).at(48),
	"waste.never":     by(onFarm("waste.usual", "16 %")).at(48),
	"waste.low":       by(onFarm("waste.usual", "0.5 %")),
	"scale.step":      by(onFarm("scale[1].reads", "2 kg"), onFarm("scale[1].capacity", "300 kg")),
	"scale.steps":     by(onFarm("scale[1].capacity", "0.9 kg")),
	"weighings.many":  by(onFarm("scale[1].capacity", "1.5 kg")),
	"weighings.never": by(onFarm("scale[1].reads", "1 g"), onFarm("scale[1].capacity", "0.3 kg")).at(400).crossing("weighings.many"),

	// All of a mix on one coarse scale: the masses are chosen to lie half way
	// between two of its steps.
	"rounding.moisture": by(mixOf("soy-hull 60 %", "hardwood-pellet 40 %")...).
		and(in("ingredient soy-hull usual_most_dm", "60 %"), onFarm("scale[0].reads", "100 g"), onFarm("scale[1].reads", "200 g"),
			onFarm("scale[0].capacity", "60 kg")).at(40),
	"rounding.nitrogen": by(mixOf("hardwood-pellet 90 %", "wheat-bran 10 %")...).
		and(in("ingredient wheat-bran n_dm", "12 %"), onFarm("scale[0].reads", "42.2 g"), onFarm("scale[1].reads", "42.2 g"),
			onFarm("scale[0].capacity", "60 kg")).at(48).crossing("rounding.share"),
	"rounding.share": by(mixOf("soy-hull 42 %", "hardwood-pellet 40 %", "wheat-bran 18 %")...).
		and(onFarm("scale[0].reads", "100 g"), onFarm("scale[1].reads", "200 g"), onFarm("scale[0].capacity", "60 kg")).at(100),
	// A mineral off by almost a fiftieth, and ten ingredients off the other way.
	"rounding.mineral": by(mixOf(
		"soy-hull 9.5 %", "hardwood-pellet 9.5 %", "hardwood-sawdust-dried 9.5 %", "wheat-bran 9.5 %", "rice-bran 9.5 %",
		"corn-cob 9.5 %", "cottonseed-hull 9.5 %", "beet-pulp 9.5 %", "oat-hull 9.5 %", "peanut-hull 9.5 %", "gypsum 5 %")...).
		and(onFarm("scale[0].reads", "19 g"), onFarm("scale[1].reads", "19 g"), onFarm("scale[0].capacity", "60 kg"),
			onFarm("moisture_wb.soy-hull", "9.55 %"), onFarm("moisture_wb.hardwood-pellet", "9.55 %"),
			onFarm("moisture_wb.hardwood-sawdust-dried", "9.55 %"), onFarm("moisture_wb.wheat-bran", "9.55 %"),
			onFarm("moisture_wb.rice-bran", "9.55 %"), onFarm("moisture_wb.corn-cob", "9.55 %"),
			onFarm("moisture_wb.cottonseed-hull", "9.55 %"), onFarm("moisture_wb.beet-pulp", "9.55 %"),
			onFarm("moisture_wb.oat-hull", "9.55 %"), onFarm("moisture_wb.peanut-hull", "9.55 %")).at(48).
		crossing("minerals.high", "share.high"),

	"load.uneven":       by(onFarm("sterilizer[0].holds[0].count", 9), onFarm("mixer.capacity", "20 kg")).at(13),
	"wait.mix_to_steam": by(onFarm("shift.air", "30 °C"), onFarm("shift.people", 1)).at(48),
	"wait.near":         by(onFarm("shift.air", "30 °C"), onFarm("shift.people", 1)).at(30),
	"shift.short":       by(onFarm("shift.length", "4 h"), onFarm("shift.people", 1)).at(12),
	"day.long":          by(onFarm("shift.length", "20 h")),
}
