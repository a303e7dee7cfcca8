package leaf

import (
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/hygiene"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/sanitation"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// HygienePath is the page of what the farm cleans with, and when.
const HygienePath = "hygiene.html"

// hygienePage is for those who clean: the farm's own solutions, its rooms from clean
// to dirty, its week, and what stops sales where the crop needs it.
type hygienePage struct {
	frame
	Safety   []safety
	Mixed    []mixed
	Mixing   []mixing
	UseUntil protocol.Message
	HotWater protocol.Message
	Zones    []zoned
	Week     []cleaning
	Against  []protocol.Message // what is done against Listeria
	Swabs    []swabbed
	Sources  []protocol.Message
	Cold     protocol.Message // why Listeria is looked for here; empty where it is not
	Bench    []protocol.Message
	Groups   []group
}

// mixed is one solution: what goes in, and how long it works.
type mixed struct {
	For, Strength          string
	Stock, Of, Water, Fill string
	Wet, Then              protocol.Message
}

// mixing is how a solution is made, step by step.
type mixing struct {
	ID, Name string
	Do       []protocol.Message
}

// zoned is the farm's rooms of one zone.
type zoned struct{ Zone, Rooms, Rule string }

// swabbed is a place where Listeria was found, and what to do.
type swabbed struct{ Where, Do protocol.Message }

// cleaning is what is cleaned on one day of the week.
type cleaning struct{ Day, What, How string }

// Hygiene sets the page of what the farm cleans with.
func Hygiene(e Edition, p *sanitation.Plan) ([]byte, error) {
	page := hygienePage{frame: e.frame(HygienePath, "hygiene", e.say("book.hygiene"), e.say("book.hygiene"), "")}
	warn := func(signal procedure.Signal, id string) {
		first, rest := Sentences(e.say(id))
		page.Safety = together(page.Safety, signal, safetyText{first, rest})
	}
	if p.Written.Bleach != nil {
		warn(procedure.Danger, "book.hygiene.safety.gas")
		warn(procedure.Warning, "book.hygiene.safety.burns")
	}
	if p.Written.Alcohol != nil {
		warn(procedure.Warning, "book.hygiene.safety.flame")
	}
	if p.Written.HotWater != nil {
		warn(procedure.Caution, "book.hygiene.safety.hot")
	}
	e.alcohol(&page, p)
	e.bleach(&page, p)
	if w := p.Written.HotWater; w != nil {
		page.HotWater = words.Message("book.hygiene.hot", "at", unit.Amount{Kind: unit.TemperatureOf, Value: float64(w.At)},
			"for", unit.Amount{Kind: unit.TimeOf, Value: float64(w.For)},
			"least", unit.Amount{Kind: unit.TemperatureOf, Value: hygiene.HotWater.Value}, "least_for", lasting(hygiene.HotWaterFor))
	}
	page.Zones = e.zones()
	page.Week = e.cleaning(p)
	if len(p.Cold) > 0 {
		var names []string
		for _, s := range p.Cold {
			names = append(names, s.Common)
		}
		page.Cold = words.Message("book.hygiene.listeria.why", "crops", e.Voice.List(names))
		page.Against = e.list("book.hygiene.listeria.do.")
		for _, m := range e.list("book.hygiene.swab.") {
			page.Swabs = append(page.Swabs, swabbed{m, words.Message(m.ID + ".do")})
		}
	}
	page.Sources = e.list("book.hygiene.source.")
	page.Bench = e.benchAir(p)
	var err error
	page.Groups, err = e.workingOfHygiene(p)
	if err != nil {
		return nil, err
	}
	return e.html("hygiene", page)
}

// workingOfHygiene explains what the farm's solutions come to.
func (e Edition) workingOfHygiene(p *sanitation.Plan) ([]group, error) {
	return e.working(bench{Edition: e, names: p.Names}, p.Ledger.All())
}

// cleaned is what the farm cleans with, for the page of all limits.
func (e Edition) cleaned(p *sanitation.Plan) []held {
	if p == nil {
		return nil
	}
	h := held{page: HygienePath, title: e.say("book.hygiene.ours"), ledger: p.Ledger, subjects: p.Names,
		quantities: map[string][]*working.Quantity{}, ofBatch: map[string]bool{}}
	for _, q := range p.Ledger.Own() {
		h.quantities[q.Name] = append(h.quantities[q.Name], q)
	}
	return []held{h}
}

// HygieneFarmPage lists the page.
func HygieneFarmPage(e Edition) FarmPage {
	return FarmPage{Path: HygienePath, Title: e.say("book.hygiene"), For: words.Message("book.hygiene.for"), Known: e.say("book.hygiene.known"), Today: "book.today.hygiene"}
}

func lasting(c hygiene.Contact) unit.Amount { return unit.Amount{Kind: unit.TimeOf, Value: c.Value} }

func (e Edition) alcohol(page *hygienePage, p *sanitation.Plan) {
	a := p.Written.Alcohol
	if a == nil {
		return
	}
	strength := unit.Amount{Kind: unit.ShareOf, Value: float64(a.Wanted)}
	of := unit.Amount{Kind: unit.ShareOf, Value: float64(a.Stock)}
	page.Mixed = append(page.Mixed, mixed{
		For: e.say("book.hygiene.alcohol.for"), Strength: e.show(strength), Stock: e.show(p.Shown("alcohol_measured")),
		Of: e.say("book.hygiene.alcohol.of", "strength", of), Fill: e.show(p.Shown("alcohol_bottle")),
		Water: e.say("book.hygiene.to_mark"), Wet: words.Message("book.hygiene.wet", "time", lasting(hygiene.AlcoholWet)), Then: words.Message("book.hygiene.alcohol.then"),
	})
	do := e.list("book.hygiene.alcohol.do.", "stock", p.Shown("alcohol_measured"), "of", of, "bottle", p.Shown("alcohol_bottle"), "strength", strength)
	page.Mixing = append(page.Mixing, mixing{"mix-alcohol", e.say("book.hygiene.alcohol.how"), do})
}

func (e Edition) bleach(page *hygienePage, p *sanitation.Plan) {
	b := p.Written.Bleach
	if b == nil {
		return
	}
	row := func(use string, ppm unit.Concentration, wet protocol.Message) {
		page.Mixed = append(page.Mixed, mixed{
			For: e.say("book.hygiene." + use + ".for"), Strength: e.show(unit.Amount{Kind: unit.PartsPerMillion, Value: float64(ppm)}),
			Stock: e.show(p.Shown("bleach_" + use + "_measured")), Of: e.say("book.hygiene.bleach.of"),
			Water: e.show(p.Shown("bleach_" + use + "_water")), Fill: e.show(p.Shown("bleach_bucket")),
			Wet: wet, Then: words.Message("book.hygiene." + use + ".then"),
		})
	}
	row("surfaces", b.Surfaces, words.Message("book.hygiene.wet_or_soak", "time", lasting(hygiene.BleachSurfaces), "soak", lasting(hygiene.BleachSoak)))
	if b.Food != nil {
		row("food", *b.Food, words.Message("book.hygiene.wet", "time", lasting(hygiene.BleachFood)))
	}
	page.Mixing = append(page.Mixing, mixing{"mix-bleach", e.say("book.hygiene.bleach.how"), e.list("book.hygiene.bleach.do.", "bucket", p.Shown("bleach_bucket"))})
	if opened, err := calendar.Parse(b.Opened); err == nil {
		page.UseUntil = words.Message("book.hygiene.until", "opened", b.Opened, "until", (opened + calendar.Date(hygiene.BleachKeeps/unit.Day)).String())
	}
}

// list is all messages of an id with a number behind it, from 1 on.
func (e Edition) list(id string, pairs ...any) []protocol.Message {
	var out []protocol.Message
	for i := 1; e.Voice.Has(id + strconv.Itoa(i)); i++ {
		out = append(out, words.Message(id+strconv.Itoa(i), pairs...))
	}
	return out
}

// zones lists the farm's rooms from clean to dirty, as people go through them.
func (e Edition) zones() []zoned {
	zone := func(r protocol.Room) int {
		switch {
		case slices.Contains(r.For, protocol.RoomPinning) || slices.Contains(r.For, protocol.RoomFruiting):
			return 3
		case slices.Contains(r.For, protocol.RoomIncubation) || slices.Contains(r.For, protocol.RoomRipening):
			return 2
		}
		return 1
	}
	var out []zoned
	for n := 1; n <= 3; n++ {
		var names []string
		for _, r := range e.Farm.Rooms {
			if zone(r) == n {
				names = append(names, r.Name)
			}
		}
		if len(names) > 0 {
			id := "book.hygiene.zone." + strconv.Itoa(n)
			out = append(out, zoned{e.say(id), e.Voice.Phrases(names), e.say(id + ".rule")})
		}
	}
	return out
}

// cleaning lists what has its day of the week, from Monday on.
func (e Edition) cleaning(p *sanitation.Plan) []cleaning {
	var out []cleaning
	for _, day := range []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"} {
		for _, t := range p.Written.Weekly {
			if t.On == day {
				out = append(out, cleaning{e.say("plan.weekday." + day), e.say("book.hygiene.clean." + t.Do), e.say("book.hygiene.clean." + t.Do + ".how")})
			}
		}
	}
	return out
}

// benchAir says how the air of the clean bench was, and who tests what when.
func (e Edition) benchAir(p *sanitation.Plan) []protocol.Message {
	b := p.Written.Bench
	if b == nil {
		return nil
	}
	speed := unit.Amount{Kind: unit.SpeedOf, Value: p.Ledger.Value("bench_speed"), Digits: 3}
	return []protocol.Message{
		words.Message("book.hygiene.bench.speed", "speed", speed, "day", b.Measured, "n", len(b.Readings),
			"flow", unit.Amount{Kind: unit.AirFlowOf, Value: p.Ledger.Value("bench_flow"), Digits: 3}),
		words.Message("book.hygiene.bench.often"),
		words.Message("book.hygiene.bench.class", "most", hygiene.ParticlesOfBench),
	}
}
