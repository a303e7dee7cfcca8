package procedure

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// grainFigures are the numbers of the spawn sheet that no farm writes down.
var grainFigures = []figure{
	{"soak_low", unit.TimeOf, 12 * unit.Hour, habit},
	{"soak_high", unit.TimeOf, 24 * unit.Hour, habit},
	{"simmer_low", unit.TimeOf, 10 * unit.Minute, habit},
	{"simmer_high", unit.TimeOf, 20 * unit.Minute, habit},
	{"drained_give", unit.ShareOf, 0.02, chosen},
	{"grain_give", unit.ShareOf, 0.03, "as for a vessel of substrate; " + habit},
	{"fill_within", unit.TimeOf, 4 * unit.Hour, "as for wet substrate; " + habit},
	{"shake_low", unit.CountOf, 5, habit},
	{"shake_high", unit.CountOf, 7, habit},
	{"watch", unit.CountOf, 7, habit},
	{"cold_low", unit.TemperatureOf, celsius(2), habit},
	{"cold_high", unit.TemperatureOf, celsius(4), habit},
	{"not_below", unit.TemperatureOf, celsius(10), habit},
}

// grainStep is a step of the spawn sheet, with where it is done and by whom. Those
// of the sterilizer and of cleaning are the same as on the sheet of a batch.
type grainStep struct {
	draft
	station work.Station
	role    work.Role
}

// BuildGrain tells how a lot of grain spawn is made for a batch's protocol: jars of
// any generation, for the protocol's species. It holds for every size of batch. It
// is false where the farm makes no spawn of its own.
func BuildGrain(b *batch.Batch) (Procedure, bool) {
	if b.Process.Grain == nil {
		return Procedure{}, false
	}
	t := newGrainTeller(b)
	p := Procedure{Batch: b}
	met, told := map[string]bool{}, map[string]bool{}
	var station work.Station
	for _, d := range grainChain() {
		if d.station != station || work.DaysApart(d.station) {
			station, told = d.station, map[string]bool{}
		}
		s := t.tell(d.draft, told)
		s.ID, s.Station, s.Role, s.Number = d.id, d.station, d.role, len(p.Steps)+1
		p.Steps = append(p.Steps, s)
		for _, l := range d.safety {
			met[l.id] = met[l.id] || t.holds(l.when)
		}
	}
	for _, h := range hazards {
		if met[h.name] && (h.signal != Notice || h.name == "manual") {
			p.Hazards = append(p.Hazards, Safety{h.signal, t.say("hazard." + h.name)})
		}
	}
	return p, true
}

// newGrainTeller tells of spawn jars: the sentences that a batch's sheet has as
// well are then about the jar, its sterilizer and its run.
func newGrainTeller(b *batch.Batch) *teller {
	t := newTeller(b)
	g := b.Process.Grain
	p := *b.Process
	p.Vessel, p.Sterilizer, p.Model, p.Holds = g.Into, g.In, g.Model, g.Holds
	p.Parts = []process.Part{{Ingredient: g.Of}}
	own := *b
	own.Process, own.Controls = &p, g.Controls
	t.batch, t.process = &own, &p
	t.setting = work.Setting{Reusable: true}
	t.enter(grainFigures)
	t.grainJar()
	t.grainRun()
	t.grainDays()
	return t
}

func (t *teller) grainJar() {
	b, v := t.batch, t.process.Vessel
	t.facts["one"], t.facts["many"] = v.One, v.Many
	t.facts["grain"] = t.process.Grain.Of.Name
	t.facts["jar_dry"] = b.Reading(b.Value("grain_in_jar"), batch.PortionPart)
	t.facts["jar_wet"] = b.Reading(b.Value("grain_wet_in_jar"), batch.FinePart)
	t.facts["jar_gypsum"] = b.Reading(b.Value("gypsum_in_jar"), batch.PortionPart)
	t.facts["times"] = unit.Amount{Kind: unit.None, Value: b.Value("grain_wet_in_jar") / b.Value("grain_in_jar"), Digits: 3}
	t.facts["grain_moisture"] = t.read(unit.ShareOf, b.Value("grain_moisture"))
	full := b.Value("grain_wet_in_jar") + float64(v.Empty+v.LidMass)
	t.facts["full"] = b.Reading(full, batch.PortionPart)
	t.facts["load_mass"] = unit.Amount{Kind: unit.MassOf, Value: float64(t.process.Holds) * full, Digits: 2}
}

func (t *teller) grainRun() {
	b, s := t.batch, t.process.Sterilizer
	dial := func(v float64) unit.Amount {
		return unit.Amount{Kind: unit.GaugePressureOf, Value: v, Step: s.Gauge.Size, Unit: s.Gauge.Unit}
	}
	t.facts["gauge_low"], t.facts["gauge_high"] = b.GrainGaugeReading()
	t.facts["rated"] = unit.Amount{Kind: unit.GaugePressureOf, Value: float64(s.Rated), Unit: s.Gauge.Unit}
	t.facts["gauge_zero"], t.facts["gauge_tick"] = dial(0), dial(s.Gauge.Size)
	t.facts["lock"], t.facts["sterilizer"] = t.process.Model.LidLock, s.Name
	t.facts["chamber_volume"] = t.chamberVolume()
	for fact, name := range map[string]string{"vent": "grain_vent", "hold": "grain_hold"} {
		t.facts[fact] = unit.Amount{Kind: unit.TimeOf, Value: b.Value(name), Unit: "min"}
	}
	t.quantity("chamber", "grain_chamber")
	t.facts["capacity"], t.facts["capacity_of"] = t.process.Holds, t.process.Vessel.Many
	t.facts["controls_per_load"] = t.process.Grain.Controls
}

func (t *teller) grainDays() {
	g := t.process.Grain
	t.facts["grown_low"], t.facts["grown_usual"], t.facts["grown_high"] = days(g.Shortest), days(g.Usual), days(g.Longest)
	t.facts["plate_days"] = days(g.Plate)
	t.facts["of_jar"], t.facts["of_plate"] = g.JarsOfJar, g.JarsOfPlate
	t.facts["generations"] = g.Generations
	t.facts["age_most"] = days(t.protocol.Spawn.AgeMost)
	// A grown jar is shared out by eye: what comes out of it goes into so many.
	t.facts["from_jar"] = t.batch.Reading(t.batch.Value("grain_usable")/float64(g.JarsOfJar), batch.PortionPart)
}

// feelsCold is true for spawn that dies in a refrigerator.
func feelsCold(t *teller) bool {
	s := t.process.Species
	return s.ID == "golden-oyster" || s.StrainOf == "golden-oyster"
}

func gypsum(t *teller) bool { return t.process.Grain.Gypsum > 0 }

// fromGrain is true where a jar may come from another jar.
func fromGrain(t *teller) bool { return t.process.Grain.Generations > 1 }

func (t *teller) amount(fact string) unit.Amount { return t.facts[fact].(unit.Amount) }
