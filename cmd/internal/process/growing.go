package process

import (
	"bottlecrop/cmd/internal/crop"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/spawn"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Stage is one stretch of the vessel's life with its climate and its days.
type Stage struct {
	ID       string // "incubation", "ripening", "pinning", "fruiting"
	Shortest unit.Duration
	Usual    unit.Duration
	Longest  unit.Duration
	Air      unit.Temperature
	Humidity unit.Share
	CO2Most  unit.Concentration
	Light    unit.Light
	LightFor unit.Duration
}

// WholeDays is a length of a stage in whole days, as a person counts them and a
// calendar lays them out, 1 at least.
func WholeDays(d unit.Duration) int { return max(1, int(unit.Nearest(float64(d)/unit.Day))) }

// spawn works out what one vessel gets.
func (p *Process) spawn() {
	s := p.Input.Protocol.Spawn
	rate := p.given("spawn_rate", unit.ShareOf, float64(s.ShareOfWet), "spawn.share_of_wet_substrate")
	p.given("spawn_spare", unit.ShareOf, float64(s.Spare), "spawn.spare")
	p.given("spawn_age", unit.TimeOf, float64(s.AgeMost), "spawn.age_most")
	p.given("spawn_generation", unit.CountOf, float64(s.Generation), "spawn.generation_most")
	p.given("jar_usable", unit.MassOf, float64(s.JarUsable), "spawn.usable_in_a_jar")
	p.Ledger.Derive("spawn_in_vessel", unit.MassOf, spawn.PerVessel,
		working.Bind("rate", rate), working.Bind("M", p.Ledger.Get("fill_mass")))
}

// dryShareOfMushrooms is the dry fraction of fresh mushrooms, 0.08 to 0.12
// (from memory).
const dryShareOfMushrooms = 0.10

// crop works out what one vessel is expected to yield.
func (p *Process) crop() {
	l, s, h := p.Ledger, p.Species, p.Input.Protocol.Harvest
	p.given("lost_share", unit.ShareOf, float64(h.Lost), "harvest.lost")
	if g := p.Input.Farm.Good; g != nil {
		p.farm("confidence", unit.ShareOf, float64(g.Confidence), "good.confidence")
		p.farm("clustering", unit.None, float64(g.Clustering), "good.clustering")
	}
	p.given("trim_share", unit.ShareOf, float64(h.Trim), "harvest.trim")
	dry := l.Get("dry_in_vessel")
	for _, e := range []struct {
		name, key string
		value     unit.DryShare
	}{
		{"low", "efficiency_low", s.EfficiencyLow},
		{"usual", "efficiency_usual", s.EfficiencyUsual},
		{"high", "efficiency_high", s.EfficiencyHigh},
	} {
		be := p.species("efficiency_"+e.name, unit.ShareOf, float64(e.value), e.key)
		l.Derive("yield_in_vessel_"+e.name, unit.MassOf, crop.FreshPerVessel,
			working.Bind("BE", be), working.Bind("D", dry))
	}
	d := l.GivenOf("mushroom_dry", "", unit.ShareOf, dryShareOfMushrooms, working.Origin{}, "0.08 to 0.12, from memory")
	l.Derive("water_use", unit.ShareOf, crop.WaterUse,
		working.Bind("Y", l.Get("yield_in_vessel_usual")), working.Bind("d_f", d),
		working.Bind("D", dry), working.Bind("m", l.Get("moisture_target")))
}

// stages lays out the days. A stage's days are the protocol's own where it
// gives them, else the species'; the usual length is the middle of the
// species' span.
func (p *Process) stages() {
	pr, s := p.Input.Protocol, p.Species
	inc := pr.Incubation
	OutdoorCO2(p.Ledger, p.Input.Farm)
	p.stage(Stage{ID: "incubation", Air: inc.Air, Humidity: inc.Humidity, CO2Most: inc.CO2Most},
		inc.Days, s.Colonize, "colonize")
	if inc.Ripen > 0 {
		q := p.given("ripening", unit.TimeOf, float64(inc.Ripen), "incubation.ripen")
		d := unit.Duration(q.Value)
		p.Stages = append(p.Stages, Stage{ID: "ripening", Air: inc.Air, Humidity: inc.Humidity, CO2Most: inc.CO2Most,
			Shortest: d, Usual: d, Longest: d})
	} else {
		p.given("ripening", unit.TimeOf, 0, "incubation")
	}
	p.species("ripening_wanted", unit.TimeOf, float64(s.Ripen), "ripen")
	p.stage(Stage{ID: "pinning", Air: pr.Pinning.Air, Humidity: pr.Pinning.Humidity, CO2Most: pr.Pinning.CO2Most,
		Light: pr.Pinning.Light, LightFor: pr.Pinning.LightFor}, pr.Pinning.Days, s.PinDays, "pin_days")
	p.stage(Stage{ID: "fruiting", Air: pr.Fruiting.Air, Humidity: pr.Fruiting.Humidity, CO2Most: pr.Fruiting.CO2Most,
		Light: pr.Fruiting.Light, LightFor: pr.Fruiting.LightFor}, pr.Fruiting.Days, s.FruitDays, "fruit_days")
	p.speciesRanges()
	var shortest, usual, longest []*working.Quantity
	for _, st := range p.Stages {
		name := "stage_" + st.ID
		if st.ID == "ripening" {
			r := p.Ledger.Get("ripening")
			shortest, usual, longest = append(shortest, r), append(usual, r), append(longest, r)
			continue
		}
		shortest = append(shortest, p.Ledger.Get(name+"_shortest"))
		usual = append(usual, p.Ledger.Get(name+"_usual"))
		longest = append(longest, p.Ledger.Get(name+"_longest"))
	}
	p.Ledger.Sum("days_shortest", unit.TimeOf, shortest...)
	p.Ledger.Sum("days_usual", unit.TimeOf, usual...)
	p.Ledger.Sum("days_longest", unit.TimeOf, longest...)
}

func (p *Process) stage(st Stage, own protocol.Days, span protocol.Range[unit.Duration], speciesKey string) {
	name := "stage_" + st.ID
	p.given(name+"_air", unit.TemperatureOf, float64(st.Air), st.ID+".air")
	p.given(name+"_humidity", unit.ShareOf, float64(st.Humidity), st.ID+".humidity")
	p.given(name+"_co2", unit.PartsPerMillion, float64(st.CO2Most), st.ID+".co2_most")
	if st.ID != "incubation" {
		p.given(name+"_light", unit.LightOf, float64(st.Light), st.ID+".light")
		if st.Light > 0 {
			p.given(name+"_light_hours", unit.TimeOf, float64(st.LightFor), st.ID+".light_each_day")
		}
	}
	low := p.days(name+"_shortest", own.Shortest, st.ID+".days.shortest", float64(span.Low), speciesKey)
	high := p.days(name+"_longest", own.Longest, st.ID+".days.longest", float64(span.High), speciesKey)
	var usual *working.Quantity
	if own.Usual != nil {
		usual = p.given(name+"_usual", unit.TimeOf, float64(*own.Usual), st.ID+".days.usual")
	} else {
		usual = p.Ledger.Derive(name+"_usual", unit.TimeOf, crop.MiddleOfSpan,
			working.Bind("t_low", low), working.Bind("t_high", high))
	}
	st.Shortest, st.Usual, st.Longest = unit.Duration(low.Value), unit.Duration(usual.Value), unit.Duration(high.Value)
	p.Stages = append(p.Stages, st)
}

func (p *Process) days(name string, own *unit.Duration, key string, span float64, speciesKey string) *working.Quantity {
	if own != nil {
		return p.given(name, unit.TimeOf, float64(*own), key)
	}
	return p.species(name, unit.TimeOf, span, speciesKey)
}

// speciesRanges enters what the species wants, for limits to compare with.
func (p *Process) speciesRanges() {
	s := p.Species
	span := func(name string, k unit.Kind, low, high float64, key string) {
		p.species(name+"_low", k, low, key)
		p.species(name+"_high", k, high, key)
	}
	span("wants_incubation", unit.TemperatureOf, float64(s.Incubation.Low), float64(s.Incubation.High), "incubation")
	span("wants_pin_air", unit.TemperatureOf, float64(s.PinAir.Low), float64(s.PinAir.High), "pin_air")
	span("wants_fruit_air", unit.TemperatureOf, float64(s.FruitAir.Low), float64(s.FruitAir.High), "fruit_air")
	span("wants_rh_incubate", unit.ShareOf, float64(s.RHIncubate.Low), float64(s.RHIncubate.High), "rh_incubate")
	span("wants_rh_pin", unit.ShareOf, float64(s.RHPin.Low), float64(s.RHPin.High), "rh_pin")
	span("wants_rh_fruit", unit.ShareOf, float64(s.RHFruit.Low), float64(s.RHFruit.High), "rh_fruit")
	span("wants_co2_pin", unit.PartsPerMillion, float64(s.CO2Pin.Low), float64(s.CO2Pin.High), "co2_pin")
	span("wants_co2_fruit", unit.PartsPerMillion, float64(s.CO2Fruit.Low), float64(s.CO2Fruit.High), "co2_fruit")
	span("wants_light_pin", unit.LightOf, float64(s.LightPin.Low), float64(s.LightPin.High), "light_pin")
	span("wants_light_fruit", unit.LightOf, float64(s.LightFruit.Low), float64(s.LightFruit.High), "light_fruit")
	span("wants_nitrogen", unit.ShareOf, float64(s.Nitrogen.Low), float64(s.Nitrogen.High), "n_dm")
	span("wants_moisture", unit.ShareOf, float64(s.Moisture.Low), float64(s.Moisture.High), "moisture_wb")
	span("wants_incubation_days", unit.TimeOf, float64(s.Colonize.Low), float64(s.Colonize.High), "colonize")
	span("wants_pinning_days", unit.TimeOf, float64(s.PinDays.Low), float64(s.PinDays.High), "pin_days")
	span("wants_fruiting_days", unit.TimeOf, float64(s.FruitDays.Low), float64(s.FruitDays.High), "fruit_days")
	p.species("wants_light_hours", unit.TimeOf, float64(s.LightEachDay), "light_each_day")
	core := p.species("core_most", unit.TemperatureOf, float64(s.CoreMost), "core_most")
	p.Ledger.Derive("probe_most", unit.TemperatureOf, crop.ProbeMost, working.Bind("T_core", core))
	p.species("wants_co2_incubate", unit.PartsPerMillion, float64(s.CO2RoomIncubate), "co2_room_incubate")
}
