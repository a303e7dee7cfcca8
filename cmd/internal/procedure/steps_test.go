package procedure

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// cycle is the whole cycle in the order in which the work is done: tools are
// checked before the first scale is used, scale before mixer, the door opens
// after the pressure is off, labels before the bench work, cover before pins,
// collar between pins and crop, the crop is cold before it is let go.
var cycle = []work.StepID{
	"receive", "start-of-shift",
	"weigh", "mix", "check-moisture", "fill", "tap-down", "bore", "cap",
	"load", "vent", "sterilize", "pressure-off", "unload",
	"cool", "inspect-bore", "wipe-down", "label", "inoculate",
	"incubate", "inspect", "reject", "ripen",
	"open", "early-fruit", "scrape", "wet", "cover", "pin", "collar", "fruit",
	"harvest", "trim", "chill", "release", "empty", "wash", "inspect-vessel", "retire",
}

func oyster(p *protocol.Protocol) {
	p.Species, p.Collar = "oyster", nil
	p.Opening = protocol.Opening{Scrape: protocol.ScrapeNever, Cover: "damp-fleece"}
}

func hericium(p *protocol.Protocol) {
	p.Species, p.Collar = "hericium", nil
	p.Opening = protocol.Opening{Scrape: protocol.ScrapeNever, Cover: "none"}
}

func maitake(p *protocol.Protocol) {
	p.Species, p.Collar = "maitake", nil
	p.Incubation.Ripen = 21 * unit.Day
	p.Opening = protocol.Opening{Scrape: protocol.ScrapeNever, Cover: "none"}
}

func inJars(p *protocol.Protocol) {
	p.Vessel = "jar"
	p.Fill.Headspace, p.Fill.LineBelowRim = 189e-6, 0.04
	p.Bore.Depth = 0.115
}

// Without a bore, heat takes twice as long to the middle.
func noBore(p *protocol.Protocol) {
	p.Bore = protocol.Bore{Made: protocol.BoreNone}
	p.Sterilization.Hold = 4 * unit.Hour
}

func inBags(p *protocol.Protocol) {
	oyster(p)
	noBore(p)
	p.Vessel = "bag"
	p.Sterilization.Hold = 8 * unit.Hour // into 2.3 kg
	p.Fill = protocol.Fill{Mass: pointer(unit.Mass(2.3)), Headspace: 200e-6, LineBelowRim: 0.1, Tolerance: 0.03}
}

// TestSteps lists which steps each kind of protocol has not. All the others it
// has, in the order of the cycle.
func TestSteps(t *testing.T) {
	for _, c := range []struct {
		protocol protocol.Protocol
		absent   []work.StepID
	}{
		{enoki(), []work.StepID{
			"ripen", // enoki fruits as soon as it is white
		}},
		{variant("oyster", oyster), []work.StepID{
			"ripen",  // no ripening time is given
			"scrape", // oyster pins from the old spawn
			"wet",    // no water is given
			"collar", // no collar is given
		}},
		{variant("maitake", maitake), []work.StepID{
			"scrape", // a scrape would kill the primordial mat
			"wet",
			"cover", // cover is "none"
			"collar",
		}},
		{variant("jar", inJars), []work.StepID{
			"ripen",
		}},
		{variant("removed", func(p *protocol.Protocol) { p.Bore.Made = protocol.BoreRemoved }), []work.StepID{
			"ripen",
		}},
		{variant("no-bore", noBore), []work.StepID{
			"bore", "inspect-bore", // nothing to make, nothing to look at
			"ripen",
		}},
		{variant("bag", inBags), []work.StepID{
			"tap-down",             // a bag has no wall to tap against
			"bore", "inspect-bore", // no bore
			"cap", // folded over and clipped while it is filled
			"ripen", "scrape", "wet",
			"collar",                           // a bag has no mouth to put one round
			"wash", "inspect-vessel", "retire", // single use
		}},
		{variant("beech", func(p *protocol.Protocol) {
			p.Species, p.Incubation.Ripen, p.Opening.Scrape = "beech", 45*unit.Day, protocol.ScrapeRaised
		}), nil}, // the one that has them all
	} {
		t.Run(c.protocol.Name, func(t *testing.T) {
			want := slices.DeleteFunc(slices.Clone(cycle), func(id work.StepID) bool { return slices.Contains(c.absent, id) })
			assert.Equal(t, want, ids(on(c.protocol).build(t)))
		})
	}
}

// TestStepsOfWork holds the list of package work to the cycle.
func TestStepsOfWork(t *testing.T) {
	assert.Equal(t, cycle, work.Steps())
}

func ids(p Procedure) []work.StepID {
	var out []work.StepID
	for _, s := range p.Steps {
		out = append(out, s.ID)
	}
	return out
}

// step returns a step that must be there.
func step(t *testing.T, p Procedure, id work.StepID) Step {
	t.Helper()
	i := slices.IndexFunc(p.Steps, func(s Step) bool { return s.ID == id })
	if i < 0 {
		t.Fatalf("no step %s", id)
	}
	return p.Steps[i]
}

// TestSentencesFollowData checks sentences that come and go within a step.
func TestSentencesFollowData(t *testing.T) {
	for _, c := range []struct {
		name   string
		on     setting
		step   work.StepID
		has    []string // message ids
		hasNot []string
	}{
		{"a pressed bore keeps its substrate", on(enoki()), "bore",
			[]string{"step.bore.do.1.pressed"}, []string{"step.bore.do.1.removed", "step.bore.do.4.removed"}},
		{"a removed bore is weighed after it is made", on(variant("removed", func(p *protocol.Protocol) { p.Bore.Made = protocol.BoreRemoved })), "bore",
			[]string{"step.bore.do.4.removed"}, []string{"step.bore.do.1.pressed"}},
		{"a removed bore is not in the fill mass", on(variant("removed", func(p *protocol.Protocol) { p.Bore.Made = protocol.BoreRemoved })), "fill",
			[]string{"step.fill.do.3"}, nil},
		{"spawn goes down a bore", on(enoki()), "inoculate",
			[]string{"step.inoculate.do.5.hole"}, []string{"step.inoculate.do.5"}},
		{"spawn stays on top without one", on(variant("no-bore", noBore)), "inoculate",
			[]string{"step.inoculate.do.5"}, []string{"step.inoculate.do.5.hole"}},
		{"120 places, 50 bottles: a part load", on(enoki()), "load",
			[]string{"step.load.do.7", "step.load.do.7.water", "step.load.do.8"}, []string{"step.load.do.9"}},
		{"118 bottles and 2 controls fill it", on(enoki()).of(118), "load",
			nil, []string{"step.load.do.7", "step.load.do.7.water", "step.load.do.8", "step.load.do.9"}},
		{"119 need two loads", on(enoki()).of(119), "load",
			[]string{"step.load.do.7", "step.load.do.9.staged", "step.load.do.11"}, []string{"step.load.do.9"}},
		{"a long day holds both", on(enoki()).of(119).at(allDay()), "load",
			[]string{"step.load.do.9", "step.load.do.11"}, []string{"step.load.do.9.staged"}},
		{"goods that come wet are kept cold", on(variant("wet", formula(protocol.Part{Ingredient: "okara", Share: 0.1}))), "receive",
			[]string{"step.receive.do.wet", "step.receive.limit.wet"}, []string{"step.receive.limit"}},
		{"dry goods are not", on(enoki()), "receive",
			[]string{"step.receive.limit"}, []string{"step.receive.do.wet", "step.receive.do.lime"}},
		{"lime is kept dry", on(variant("lime", func(p *protocol.Protocol) { p.Substrate.Ingredients[3].Ingredient = "lime" })), "receive",
			[]string{"step.receive.do.lime"}, nil},
		{"a bag has no lid to look at", on(variant("bag", inBags)), "unload",
			[]string{"step.unload.do.9.bag", "step.unload.off.bag"}, []string{"step.unload.do.9", "step.unload.off"}},
		{"a bag is kept upright from filling on, a bottle from its lid", on(variant("bag", inBags)), "fill",
			[]string{"step.fill.do.8.bag"}, nil},
		{"a bottle is kept upright from its lid on", on(enoki()), "cap",
			[]string{"step.cap.do.4", "step.cap.do.5"}, nil},
		{"one mix needs no list", on(enoki()), "mix",
			nil, []string{"step.mix.do.0"}},
		{"several mixes have their times in one", on(enoki()).of(400), "mix",
			[]string{"step.mix.do.0"}, nil},
		{"of several days, a day's mixes are weighed on it", on(enoki()).of(400), "weigh",
			[]string{"step.weigh.do.5"}, nil},
		{"of one day, all mixes are", on(enoki()).of(400).at(allDay()), "weigh",
			nil, []string{"step.weigh.do.5"}},
		{"no controls, none to mark", on(enoki()).at(withoutControls()), "load",
			nil, []string{"step.load.do.3"}},
		{"a level scrape", on(enoki()), "scrape",
			[]string{"step.scrape.do.3.level"}, []string{"step.scrape.do.3.raised", "step.scrape.do.2.light"}},
		{"a light scrape", on(variant("nameko", func(p *protocol.Protocol) { p.Opening.Scrape = protocol.ScrapeLight })), "scrape",
			[]string{"step.scrape.do.2.light"}, []string{"step.scrape.do.2.level"}},
		{"an upturned vessel has no fleece", on(variant("inverted", func(p *protocol.Protocol) { p.Opening.Cover = "inverted" })), "pin",
			[]string{"step.pin.do.5.inverted"}, []string{"step.pin.do.5"}},
		{"no cover, none to take off", on(variant("maitake", maitake)), "pin",
			nil, []string{"step.pin.do.5", "step.pin.do.5.inverted"}},
		{"sawdust need not soak", on(variant("sawdust", sawdust)), "mix",
			[]string{"step.mix.do.1.dry"}, []string{"step.mix.do.1.soak", "step.mix.do.4.soak"}},
		{"pellets soak first", on(enoki()), "mix",
			[]string{"step.mix.do.1.soak"}, []string{"step.mix.do.1.dry"}},
		{"what is never scraped is told so at opening", on(variant("oyster", oyster)), "open",
			[]string{"step.open.do.6"}, []string{"step.open.do.6.gray", "step.open.do.6.early"}},
		{"a gray mat is never scraped", on(variant("maitake", maitake)), "open",
			[]string{"step.open.do.6.gray"}, []string{"step.open.do.6"}},
		{"what is scraped next is not forbidden", on(enoki()), "open",
			nil, []string{"step.open.do.6", "step.open.do.6.gray", "step.open.do.6.early"}},
		{"early fruit of a scraped top goes whole", on(enoki()), "early-fruit",
			[]string{"step.early-fruit.do.2", "step.early-fruit.do.4.scraped"}, []string{"step.early-fruit.do.4.whole"}},
		{"a gray mat is no early fruit", on(variant("maitake", maitake)), "early-fruit",
			[]string{"step.early-fruit.do.2.gray", "step.early-fruit.do.4.whole"}, []string{"step.early-fruit.do.2"}},
		{"pins of what is opened early are the crop", on(variant("hericium", hericium)), "early-fruit",
			[]string{"step.early-fruit.do.2.early"}, []string{"step.early-fruit.do.2", "step.early-fruit.do.2.gray"}},
		{"and its foot may stay brown", on(variant("hericium", hericium)), "incubate",
			[]string{"step.incubate.look.done.early"}, []string{"step.incubate.look.done", "step.incubate.look.ripe"}},
		{"no controls, none to look at", on(enoki()).at(withoutControls()), "inspect",
			[]string{"step.inspect.look.green"}, []string{"step.inspect.look.control"}},
		{"no collar, none to take off", on(variant("oyster", oyster)), "harvest",
			nil, []string{"step.harvest.do.7"}},
		{"no detergent and cold water, no gloves", on(variant("plain", func(p *protocol.Protocol) { p.Cleaning.Detergent, p.Cleaning.Water = "none", c(20) })), "wash",
			nil, []string{"step.wash.do.0"}},
		{"no detergent, no strip", on(variant("plain", func(p *protocol.Protocol) { p.Cleaning.Detergent = "none" })), "wash",
			nil, []string{"step.wash.do.3", "step.wash.check.detergent"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := step(t, c.on.build(t), c.step)
			got := messageIDs(s)
			for _, id := range c.has {
				assert.Contains(t, got, id)
			}
			for _, id := range c.hasNot {
				assert.NotContains(t, got, id)
			}
		})
	}
}

// allDay works on until the batch is done.
func allDay() protocol.Farm {
	f := farm()
	f.Shift = &protocol.Shift{Length: 24 * unit.Hour, Air: c(20), People: 2}
	return f
}

func withoutControls() protocol.Farm {
	f := farm()
	f.Controls.UninoculatedPerLoad = 0
	return f
}

func sawdust(p *protocol.Protocol) {
	p.Substrate.Ingredients = []protocol.Part{{Ingredient: "sawdust", Share: 0.8}, {Ingredient: "bran", Share: 0.2}}
}

// TestSoakingGoesFirst: the order of the rows in the mixer's list.
func TestSoakingGoesFirst(t *testing.T) {
	var order []any
	for _, a := range step(t, on(enoki()).build(t), "mix").Amounts {
		order = append(order, a.What.Args["name"])
	}
	assert.Equal(t, []any{"Hardwood pellets", "Soybean hulls", nil, "Wheat bran", "Gypsum"}, order, "nil is the water")
}

func messageIDs(s Step) []string {
	out := []string{s.Title.ID, s.When.ID, s.Limit.ID, s.Check.ID, s.IfOff.ID, s.Why.ID, s.Wrong.ID, s.Ask.ID, s.Answer.ID}
	for _, m := range s.Do {
		out = append(out, m.ID)
	}
	for _, m := range s.Safety {
		out = append(out, m.Text.ID)
	}
	for _, a := range s.Amounts {
		out = append(out, a.What.ID, a.Remark.ID)
	}
	for _, l := range s.Looks {
		out = append(out, l.Of.ID, l.Text.ID)
	}
	return slices.DeleteFunc(out, func(id string) bool { return id == "" })
}
