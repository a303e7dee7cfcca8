package process

import (
	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/sterilizer"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// place works out the air pressure and the boiling point where the farm is. A
// barometer of the farm's own wins over the standard atmosphere.
func (p *Process) place() {
	air := Pressure(p.Ledger, p.Input.Farm)
	p.Ledger.Derive("boiling_point", unit.TemperatureOf, steam.Boiling, working.Bind("p", air))
}

// OutdoorCO2 enters the CO2 of the fresh air: the farm's own figure, or the usual.
func OutdoorCO2(l *working.Ledger, f protocol.Farm) *working.Quantity {
	if w := f.Outdoor; w != nil && w.CO2 != nil {
		return l.Given("outdoor_co2", unit.PartsPerMillion, float64(*w.CO2), protocol.InFarm("outdoor.co2"))
	}
	return l.GivenOf("outdoor_co2", "", unit.PartsPerMillion, air.Outdoor, working.Origin{}, air.OutdoorSource)
}

// Pressure enters how high the farm lies and the pressure of its air, and returns
// the pressure.
func Pressure(l *working.Ledger, f protocol.Farm) *working.Quantity {
	var air *working.Quantity
	if f.Altitude != nil {
		z := l.Given("altitude", unit.LengthOf, float64(*f.Altitude), protocol.InFarm("altitude"))
		if f.StationPressure == nil {
			air = l.Derive("air_pressure", unit.AbsolutePressureOf, steam.Atmosphere, working.Bind("z", z))
		}
	}
	if f.StationPressure != nil {
		air = l.Given("air_pressure", unit.AbsolutePressureOf, float64(*f.StationPressure), protocol.InFarm("station_pressure"))
	}
	return air
}

// scales enters what the farm's balances read and carry, and what its mixer
// takes: one that takes next to nothing is refused here, before a batch counts
// its mixes out one by one.
func (p *Process) scales() {
	p.farm("mixer_capacity", unit.MassOf, float64(p.Input.Farm.Mixer.Capacity), "mixer.capacity")
	for i, s := range p.Input.Farm.Scales {
		p.Names[s.ID] = s.Name
		step := p.Ledger.GivenOf("scale_reads", s.ID, unit.MassOf, s.Step.Size, p.farmOrigin("scale", i, "reads"), "")
		most := p.Ledger.GivenOf("scale_capacity", s.ID, unit.MassOf, float64(s.Capacity), p.farmOrigin("scale", i, "capacity"), "")
		p.Ledger.DeriveOf("scale_steps", s.ID, unit.None, substrate.StepsOf, working.Bind("cap", most), working.Bind("r", step))
	}
}

// run works out the chamber's temperature during the hold.
func (p *Process) run() {
	l, s := p.Ledger, p.Input.Protocol.Sterilization
	air := l.Get("air_pressure")
	gauge := p.given("gauge_pressure", unit.GaugePressureOf, float64(s.GaugePressure), "sterilization.gauge_pressure")
	band := p.given("gauge_band", unit.GaugePressureOf, float64(s.GaugeBand), "sterilization.gauge_band")
	rated := p.farm("rated_pressure", unit.GaugePressureOf, float64(p.Sterilizer.Rated), p.sterilizerKey("rated_pressure"))
	reads := p.farm("gauge_step", unit.GaugePressureOf, p.Sterilizer.Gauge.Size, p.sterilizerKey("gauge_reads"))
	l.Derive("gauge_steps", unit.None, sterilizer.StepsOfBand, working.Bind("band", band), working.Bind("r", reads))
	p.farm("come_up", unit.TimeOf, float64(p.Sterilizer.ComeUp), p.sterilizerKey("fastest_come_up"))
	usual := p.kind("rated_usual", unit.GaugePressureOf, float64(p.Model.RatedMost), "usual_rated_pressure")
	relief := p.kind("relief_usual", unit.GaugePressureOf, float64(p.Model.Relief), "relief_pressure")
	p.holds()
	highest := l.Derive("gauge_highest", unit.GaugePressureOf, sterilizer.GaugeHighest,
		working.Bind("p_gauge", gauge), working.Bind("band", band))
	// A dial is read in its own unit, whatever the page is printed in.
	for _, q := range []*working.Quantity{gauge, band, rated, reads, usual, relief, highest} {
		q.Unit = p.Sterilizer.Gauge.Unit
	}
	vent := p.given("vent", unit.TimeOf, float64(s.Vent), "sterilization.vent")
	p.given("hold", unit.TimeOf, float64(s.Hold), "sterilization.hold")
	p.given("core_cool_to", unit.TemperatureOf, float64(s.CoolTo), "sterilization.cool_to")
	p.given("use_within", unit.TimeOf, float64(s.UseWithin), "sterilization.use_within")

	left := l.Derive("air_left", unit.ShareOf, sterilizer.AirLeft, working.Bind("t_vent", vent))
	l.Derive("chamber_pressure", unit.AbsolutePressureOf, steam.ChamberAbsolute,
		working.Bind("p_air", air), working.Bind("p_gauge", gauge))
	chamber := l.Derive("chamber_temperature", unit.TemperatureOf, steam.ChamberTemperature,
		working.Bind("p_air", air), working.Bind("p_gauge", gauge), working.Bind("y", left))
	hottest := l.Derive("chamber_hottest", unit.TemperatureOf, steam.ChamberTemperature,
		working.Bind("p_air", air), working.Bind("p_gauge", l.Get("gauge_highest")), working.Bind("y", left))
	service := p.vessel("vessel_service", unit.TemperatureOf, float64(p.Vessel.Service), "service_temperature")
	l.Derive("service_margin", unit.TemperatureDifference, sterilizer.Margin,
		working.Bind("T_most", service), working.Bind("T", hottest))
	l.Derive("chamber_above_boiling", unit.TemperatureDifference, sterilizer.Margin,
		working.Bind("T_most", chamber), working.Bind("T", l.Get("boiling_point")))
}

// holds enters how many vessels one load takes. Where the farm has not said,
// the place shown is the sterilizer's own entry.
func (p *Process) holds() {
	key := p.sterilizerKey("holds")
	for i, h := range p.Sterilizer.Holds {
		if h.Vessel == p.Vessel.ID {
			key = p.sterilizerKey(protocol.Item("holds", i) + ".count")
		}
	}
	capacity := p.farm("load_capacity", unit.CountOf, float64(p.Holds), key)
	controls := p.farm("controls_per_load", unit.CountOf, float64(p.Input.Farm.Controls.UninoculatedPerLoad), "controls.uninoculated_per_load")
	p.Ledger.Derive("load_for_crop", unit.CountOf, sterilizer.ForCrop, working.Bind("cap", capacity), working.Bind("c", controls))
	for i, h := range p.Model.Holds {
		if h.Vessel == p.Vessel.ID {
			p.kind("load_usual", unit.CountOf, float64(h.Count), protocol.Item("holds", i)+".count")
		}
	}
	usable := p.kind("chamber_usable", unit.VolumeOf, float64(p.Model.Usable), "usable")
	p.Ledger.Derive("load_of_chamber", unit.ShareOf, sterilizer.LoadOfChamber, working.Bind("cap", capacity),
		working.Bind("V", p.Ledger.Get("vessel_brimful")), working.Bind("V_usable", usable))
}

// trays compares a load with the places that the farm's trays have, where it has
// written them down.
func (p *Process) trays() {
	l, s := p.Ledger, p.Sterilizer
	if s.Trays == 0 || s.Round == 0 && (s.Wide == 0 || s.Deep == 0) {
		return
	}
	count := p.farm("trays", unit.CountOf, float64(s.Trays), p.sterilizerKey("trays"))
	measure := func(key string, v unit.Length) *working.Quantity {
		return p.farm(key, unit.LengthOf, float64(v), p.sterilizerKey(key))
	}
	outside := l.Derive("vessel_outside", unit.LengthOf, sterilizer.OutsideWidth, working.Bind("D", l.Get("vessel_body")), working.Bind("s", l.Get("vessel_wall")))
	wide, deep, round := measure("tray_width", s.Wide), measure("tray_depth", s.Deep), measure("tray_diameter", s.Round)
	if s.Round > 0 {
		l.Derive("tray_narrowest", unit.LengthOf, sterilizer.RoundTray, working.Bind("d_tray", round))
	} else {
		l.Derive("tray_narrowest", unit.LengthOf, sterilizer.NarrowestOfTray, working.Bind("w", wide), working.Bind("l", deep))
	}
	k := l.Derive("tray_places", unit.CountOf, sterilizer.TrayPlaces, working.Bind("w", wide),
		working.Bind("l", deep), working.Bind("d_tray", round), working.Bind("d", outside))
	l.Derive("load_of_trays", unit.ShareOf, sterilizer.LoadOfTrays,
		working.Bind("cap", l.Get("load_capacity")), working.Bind("trays", count), working.Bind("k", k))
}

func (p *Process) sterilizerKey(key string) string {
	for i, s := range p.Input.Farm.Sterilizers {
		if s.ID == p.Sterilizer.ID {
			return protocol.SterilizerKey(i, key)
		}
	}
	return "sterilizer"
}

// choices enters what an author chose from a list, where it can go against the
// species or against safety: 1 stands for the conflict.
func (p *Process) choices() {
	pr, s := p.Input.Protocol, p.Species
	suits := map[string]float64{
		protocol.BottleUnsuited: 0, protocol.BottleFair: 1, protocol.BottleGood: 2, protocol.BottleExcellent: 3,
	}
	p.given("species_in_bottles", unit.None, suits[s.InBottles], "species")
	p.flag("lid_without_filter", !p.Vessel.LidFiltered, "vessel")
	p.flag("vessel_not_heatproof", p.Vessel.Material == "PET" || p.Vessel.Material == "polyethylene", "vessel")
	p.flag("scraped_against_species", s.Scrape == protocol.ScrapeNever && pr.Opening.Scrape != protocol.ScrapeNever, "opening.scrape")
	p.flag("scrape_left_out", wantsScrape(s.Scrape) && pr.Opening.Scrape == protocol.ScrapeNever, "opening.scrape")
	p.flag("collar_against_species", s.Collar == "no" && pr.Collar != nil, "collar")
	p.flag("collar_left_out", s.Collar == "wanted" && pr.Collar == nil, "species")
	if pr.Opening.Scrape != protocol.ScrapeNever {
		p.given("scrape_depth", unit.LengthOf, float64(pr.Opening.Depth), "opening.scrape_depth")
	}
	if pr.Opening.Water > 0 {
		p.given("wetting_water", unit.VolumeOf, float64(pr.Opening.Water), "opening.water")
		p.given("wetting_stand", unit.TimeOf, float64(pr.Opening.Stand), "opening.stand")
	}
	if pr.Collar != nil {
		p.given("collar_height", unit.LengthOf, float64(pr.Collar.Height), "collar.height")
		p.given("collar_stem", unit.LengthOf, float64(pr.Collar.StemLength), "collar.when_stems_reach")
	}
	p.given("mixing_time", unit.TimeOf, float64(pr.Substrate.Mixing), "substrate.mixing")
	p.given("empty_within", unit.TimeOf, float64(pr.Cleaning.EmptyWithin), "cleaning.empty_within")
	p.given("wash_water", unit.TemperatureOf, float64(pr.Cleaning.Water), "cleaning.water")
	p.given("harvest_cool_to", unit.TemperatureOf, float64(pr.Harvest.CoolTo), "harvest.cool_to")
	p.given("harvest_cool_within", unit.TimeOf, float64(pr.Harvest.CoolWithin), "harvest.cool_within")
}

func wantsScrape(s string) bool {
	return s == protocol.ScrapeLevel || s == protocol.ScrapeRaised || s == protocol.ScrapeLight
}
