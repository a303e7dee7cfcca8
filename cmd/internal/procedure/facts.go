package procedure

import (
	"math"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
)

// gather enters every fact of the batch that a sentence may name, each once,
// rounded to what is read on the spot.
func (t *teller) gather() {
	t.enter(figures)
	t.sizes()
	t.goods()
	t.vessel()
	t.run()
	t.stages()
	t.rest()
	t.counts()
}

// enter enters numbers that no farm writes down.
func (t *teller) enter(list []figure) {
	for _, f := range list {
		if f.kind == unit.CountOf {
			t.facts[f.name] = int(f.value)
			continue
		}
		t.facts[f.name] = t.read(f.kind, f.value)
	}
}

func (t *teller) quantity(fact, name string) {
	q := t.batch.Ledger.Get(name)
	t.facts[fact] = t.read(q.Kind, q.Value)
}

// sizes are what is counted. The word that goes with a count comes from the
// library, in the form that fits the count.
func (t *teller) sizes() {
	b, v := t.batch, t.process.Vessel
	t.facts["one"], t.facts["many"] = v.One, v.Many
	t.facts["species"] = t.process.Species.Common
	count := func(fact string, n int) {
		t.facts[fact] = n
		t.facts[fact+"_of"] = v.Called(n)
	}
	count("vessels", b.Vessels)
	count("filled", b.Filled)
	count("capacity", t.process.Holds)
	t.facts["controls"] = b.Controls
	t.facts["controls_per_load"] = t.process.Input.Farm.Controls.UninoculatedPerLoad
	t.facts["mixes"] = b.Mixes
	t.facts["loads"] = len(b.Loads)
	t.facts["work_days"] = int(b.Value("days_needed"))
	t.facts["jars"] = int(b.Value("spawn_jars"))
}

// goods are the goods and the mix: two rows of it that a trainer asks for, what
// a dried sample weighs, and the water for a point of moisture.
func (t *teller) goods() {
	b := t.batch
	first := t.process.Parts[0]
	t.facts["first_name"], t.facts["first_moisture"] = first.Name, t.recorded(first.ID)
	least := b.Mix.Rows[0]
	for _, r := range b.Mix.Rows {
		if r.ID != batch.Water && r.Mass < least.Mass {
			least = r
		}
	}
	t.facts["least_name"], t.facts["least_mass"], t.facts["least_scale"] = least.Name, least.Scale.Amount(least.Mass), least.Scale.Name
	t.facts["sample_wet"], t.facts["sample_dry"], t.facts["sample_low"], t.facts["sample_high"] = b.SampleReading()
	t.facts["point_water"] = b.Reading(b.Value("water_for_point"), batch.PortionPart)
}

func (t *teller) vessel() {
	b := t.batch
	t.facts["fill"], t.facts["fill_low"], t.facts["fill_high"] = b.FillReading()
	t.facts["full"] = b.FullVessel()
	t.facts["load_mass"] = unit.Amount{Kind: unit.MassOf, Value: float64(t.process.Holds) * b.FullVessel().Value, Digits: 2}
	t.people()
	t.facts["spawn"] = b.Reading(b.Value("spawn_in_vessel"), batch.PortionPart)
	t.pours()
	t.facts["moisture"] = unit.Amount{Kind: unit.ShareOf, Value: b.Value("moisture_mixed"), Digits: 3}
	t.quantity("mixing", "mixing_time")
	t.quantity("line", "line_below_rim")
	if bored(t) {
		t.quantity("bore_top", "bore_top")
		t.quantity("bore_bottom", "bore_bottom")
		t.quantity("bore_depth", "bore_depth")
	}
}

// people are the facts about lifting and alcohol, where the farm says enough.
func (t *teller) people() {
	l := t.batch.Ledger
	if q := l.Get("lift_index"); q != nil {
		t.facts["lift_index"] = unit.Amount{Kind: unit.None, Value: q.Value, Digits: 2}
		t.facts["crate_full"] = unit.Amount{Kind: unit.MassOf, Value: l.Value("crate_heaviest"), Digits: 2}
	}
	if q := l.Get("alcohol_most"); q != nil { // what a cup shows, and no more than that
		a := t.read(unit.VolumeOf, q.Value)
		if coarse := 10 * a.Step; q.Value >= 5*coarse {
			a.Step = coarse
		}
		a.Value = unit.Down(q.Value/a.Step) * a.Step
		t.facts["alcohol_room"] = a
	}
}

// pours are the two parts in which water goes on goods that must soak: two
// thirds, to the step of its scale, and what is left.
func (t *teller) pours() {
	for _, r := range t.batch.Mix.Rows {
		if r.ID != batch.Water {
			continue
		}
		first := unit.Nearest(r.Mass*2/3/r.Scale.Step) * r.Scale.Step
		t.facts["water_first"], t.facts["water_rest"] = r.Scale.Amount(first), r.Scale.Amount(r.Mass-first)
	}
}

// run is the run of the sterilizer: the dial in its own unit, the rated
// pressure as on the name plate.
func (t *teller) run() {
	b := t.batch
	t.facts["gauge_low"], t.facts["gauge_high"] = b.GaugeReading()
	t.facts["rated"] = unit.Amount{Kind: unit.GaugePressureOf, Value: b.Value("rated_pressure"), Unit: t.process.Sterilizer.Gauge.Unit}
	t.facts["gauge_zero"] = unit.Amount{Kind: unit.GaugePressureOf, Step: b.Value("gauge_step"), Unit: t.process.Sterilizer.Gauge.Unit}
	t.facts["gauge_tick"] = unit.Amount{Kind: unit.GaugePressureOf, Value: b.Value("gauge_step"), Step: b.Value("gauge_step"), Unit: t.process.Sterilizer.Gauge.Unit}
	t.facts["lock"] = t.process.Model.LidLock
	t.facts["sterilizer"] = t.process.Sterilizer.Name
	t.facts["chamber_volume"] = t.chamberVolume()
	for _, name := range []string{"vent", "hold"} { // always in minutes, as on the clock beside the dial
		t.facts[name] = unit.Amount{Kind: unit.TimeOf, Value: b.Value(name), Unit: "min"}
	}
	t.quantity("chamber", "chamber_temperature")
	t.quantity("core_cool", "core_cool_to")
	t.quantity("use_within", "use_within")
	if b.Ledger.Get("altitude") != nil {
		t.facts["altitude"] = unit.Height(b.Value("altitude"), t.process.Input.Units)
	}
	t.quantity("air_pressure", "air_pressure")
}

// chamberVolume is the size of the sterilizer as inspectors ask for it: in liters
// or in cubic feet.
func (t *teller) chamberVolume() unit.Amount {
	a := unit.Amount{Kind: unit.VolumeOf, Value: float64(t.process.Model.Chamber), Digits: 2, Unit: "L"}
	if t.process.Input.Units.IsUS() {
		a.Unit = "ft³"
	}
	return a
}

func (t *teller) stages() {
	for _, s := range t.process.Stages {
		t.facts[s.ID+"_low"] = days(s.Shortest)
		t.facts[s.ID+"_usual"] = days(s.Usual)
		t.facts[s.ID+"_high"] = days(s.Longest)
		t.climate(s)
	}
	t.quantity("core_most", "core_most")
}

func (t *teller) climate(s process.Stage) {
	t.facts[s.ID+"_air"] = t.read(unit.TemperatureOf, float64(s.Air))
	t.facts[s.ID+"_humidity"] = t.read(unit.ShareOf, float64(s.Humidity))
	t.facts[s.ID+"_co2"] = t.read(unit.PartsPerMillion, float64(s.CO2Most))
	if s.Light > 0 {
		t.facts[s.ID+"_light"] = t.read(unit.LightOf, float64(s.Light))
		t.facts[s.ID+"_light_for"] = t.read(unit.TimeOf, float64(s.LightFor))
	}
}

func (t *teller) rest() {
	if t.setting.Scraped {
		t.quantity("scrape_depth", "scrape_depth")
	}
	if wetted(t) {
		t.quantity("water", "wetting_water")
		t.quantity("stand", "wetting_stand")
	}
	if collared(t) {
		t.quantity("collar_height", "collar_height")
		t.quantity("collar_stem", "collar_stem")
	}
	t.facts["sign"] = t.protocol.Harvest.Sign
	t.quantity("cold", "harvest_cool_to")
	t.quantity("cold_within", "harvest_cool_within")
	t.quantity("empty_within", "empty_within")
	t.quantity("wash_water", "wash_water")
}

// days is a length of a stage in whole days, as a person counts them, 1 at least.
func days(d unit.Duration) int { return process.WholeDays(d) }

// read rounds a value to what its instrument shows in the units of the page.
func (t *teller) read(k unit.Kind, v float64) unit.Amount {
	a := unit.Amount{Kind: k, Value: v}
	us := t.process.Input.Units.IsUS()
	step := func(metric float64, unitUS string, inUS float64) {
		a.Step = metric
		if us {
			a.Step = inUS * unit.SizeOf(k, unitUS)
		}
	}
	switch k {
	case unit.TemperatureOf: // a thermometer: half a degree Celsius, or a whole one
		step(0.5, "°F", 1)
		if half := unit.Nearest(2 * unit.Temperature(v).Celsius()); !us && math.Mod(half, 2) == 0 {
			a.Step = 1
		}
	case unit.TemperatureDifference:
		step(0.5, "°F", 1)
		if !us {
			a.Unit = "°C"
			if v == math.Round(v) {
				a.Step = 1
			}
		}
	case unit.ShareOf:
		a.Step = 0.01
	case unit.PartsPerMillion:
		a.Step = 50e-6
	case unit.LightOf:
		step(10, "fc", 1)
	case unit.LengthOf:
		return OnRuler(v, t.process.Input.Units)
	case unit.VolumeOf: // a measuring cup, or for more a jug
		step(1e-6, "fl oz", 0.05)
		if v >= 0.1e-3 {
			step(10e-6, "fl oz", 1)
		}
	case unit.MassOf:
		step(1, "lb", 1)
	case unit.AbsolutePressureOf: // a barometer
		step(100, "psia", 0.01)
	case unit.TimeOf:
		a.Digits, a.Unit = 3, clock(v)
	}
	return a
}

// OnRuler is a length, m, as a ruler shows it: to a millimeter, or to a twentieth
// of an inch, of which whole inches and tenths are said as such: "1 in" and not
// "1.00 in".
func OnRuler(v float64, units unit.System) unit.Amount {
	a := unit.Amount{Kind: unit.LengthOf, Value: v, Step: 0.001}
	if !units.IsUS() {
		return a
	}
	a.Step = 0.05 * inch
	for _, coarse := range []float64{0.1, 1} {
		if n := unit.Nearest(v / a.Step); math.Abs(math.Remainder(n*a.Step, coarse*inch)) < a.Step/2 {
			a.Step = coarse * inch
		}
	}
	return a
}

// inch is one inch, m.
var inch = unit.SizeOf(unit.LengthOf, "in")

// clock is the unit in which people say a time: a hold of 200 min is not one of
// 3.33 h, but a night is 12 h.
func clock(s float64) string {
	switch {
	case s < unit.Minute:
		return "s"
	case s >= 2*unit.Hour && math.Mod(s, unit.Hour/2) == 0:
		return "h"
	case s > 10*unit.Hour:
		return "h"
	}
	return "min"
}
