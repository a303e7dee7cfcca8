package procedure

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// TestCautionsStandBeforeTheAction: each caution that printed procedures owe
// their readers stands at the step where it is needed, before the first
// sentence that starts the dangerous action. Sources: HSE Guidance Note PM73,
// PNW 421, Cornell EHS, Iowa State biosafety manual, AIChE Process Safety
// Beacon 2020, NIOSH and OSHA, as gathered in the sterilization reference;
// lockout, dust, caustics and rooms from the substrate and climate references.
func TestCautionsStandBeforeTheAction(t *testing.T) {
	limed := func(p *protocol.Protocol) { inJars(p); p.Substrate.Ingredients[3].Ingredient = "lime" }
	drilled := func(p *protocol.Protocol) { p.Bore.Made = protocol.BoreRemoved }
	for _, c := range []struct {
		name   string
		change func(*protocol.Protocol)
		step   work.StepID // where the full text stands
		signal Signal
		says   []string // what it must say
		action string   // first action that it must come before
	}{
		{"pressure vessel: marked, with working valve, gauge, lock; no drums; valve free; yearly check", nil, "load", Danger,
			[]string{"ASME", "relief valve", "gauge", "door lock", "home-made drum", "Never weight, plug or lift", "once a year"}, "Lock the door"},
		{"the same before its valve is looked at", nil, "start-of-shift", Danger,
			[]string{"relief valve", "gauge", "Never weight, plug or lift"}, "Open the vent of"},
		{"manual, codes and inspector win", nil, "load", Notice,
			[]string{"maker's manual", "local codes", "licensed inspector", "before this sheet"}, "Lock the door"},
		{"places that inspect above a size, with the size of this one (the fixture's 0.3 m³)", nil, "load", Notice,
			[]string{"Some places inspect a sterilizer above a size", "holds 300 L", "ask"}, "Lock the door"},
		{"closures vented, never sealed", nil, "cap", Warning,
			[]string{"sealed", "working filter"}, "Fit the lid"},
		{"never above rated pressure to make up for altitude", nil, "sterilize", Danger,
			[]string{"Never go above 30", "height above the sea"}, "Wait until the gauge reads"},
		{"opening: zero by gauge and vent, lid away from face and arms", nil, "unload", Danger,
			[]string{"zero", "open vent", "wait as long as its maker says", "Never trust the gauge alone", "away from your face and arms, and let the steam go"}, "Crack the lid"},
		{"the wait at zero stands before the vent is opened, too", nil, "pressure-off", Warning,
			[]string{"Never vent it fast"}, "Open the vent slowly"},
		{"hot load erupts; no fast venting; ten minutes; gloves, eye and face cover, shoes, sleeves; never in arms", nil, "pressure-off", Warning,
			[]string{"erupt", "Never vent it fast", "10 min", "Wear heat gloves, eye and face cover, closed shoes and long sleeves", "in your arms"}, "Open the vent slowly"},
		{"the same, in one line, where the lid is cracked", nil, "unload", Warning,
			[]string{"erupt", "Wait", "full cover"}, "Crack the lid"},
		{"no cold for hot glass, no chipped jars", inJars, "load", Caution,
			[]string{"Chipped", "cold water", "drafts"}, "Stand all"},
		{"the same, in one line, where hot glass is moved", inJars, "unload", Caution,
			[]string{"chilled while hot"}, "Move the load on a cart"},
		{"the same in full where it cools", inJars, "cool", Caution,
			[]string{"Chipped", "cold water", "drafts"}, "Keep heat gloves on"},
		{"still hot while it cools", nil, "cool", Warning,
			[]string{"erupt", "heat gloves", "in your arms"}, "Keep heat gloves on"},
		{"never lift a hot load in the arms: a cart", nil, "unload", Caution,
			[]string{"15 kg at most", "cart"}, "Move the load on a cart"},
		{"steam jet: hands and face out, air the room", nil, "vent", Warning,
			[]string{"hands and face out of the jet", "Air the room"}, "Turn on the heat"},
		{"altitude stated", nil, "sterilize", Notice,
			[]string{"420 m above the sea"}, "Wait until the gauge reads"},
		{"dry run: check water; cut heat, cool, do not open or add; have it inspected", nil, "vent", Warning,
			[]string{"Check the water before each run", "cut the heat", "Do not open it", "Do not add water", "Have it looked at"}, "Turn on the heat"},
		{"power and gas: never unattended, leakage-protected, burner gas outside", nil, "vent", Warning,
			[]string{"left alone", "grounded outlet", "leakage breaker", "fumes go outside", "gas can kill"}, "Turn on the heat"},
		{"lifting above 15 kg, what one weighs, and a full load: 120 of 620 g", nil, "load", Caution,
			[]string{"15 kg at most", "cart", "One full bottle is about 620 g", "one full load about 74 kg"}, "Stand all"},
		{"trapped air, which the gauge cannot show, and the whole of the vent", nil, "vent", Notice,
			[]string{"Air that is left in", "cooler than the gauge can show", "full 10 min"}, "Turn on the heat"},
		{"lifting starts with the sacks", nil, "receive", Caution,
			[]string{"15 kg at most"}, "Stack the sacks"},
		{"and goes on at the scale", nil, "weigh", Caution,
			[]string{"15 kg at most"}, "Weigh out each row"},
		{"dust of a sack that is opened", nil, "receive", Caution, []string{"dust mask"}, "Open one sack"},
		{"allergens of a sack that is opened", nil, "receive", Warning, []string{"soy"}, "Open one sack"},
		{"alcohol: vapor, flame hard to see, no heat or spark, small closed labeled bottles, never in the sterilizer, fire code", nil, "wipe-down", Warning,
			[]string{"vapor catches fire", "hard to see", "no flame, hot tool, heater or spark", "small closed bottles with a label", "Never put it in the sterilizer", "fire code"}, "Wipe the bench"},
		{"alcohol at the bench, in one line after the full text at wiping down", nil, "inoculate", Warning, []string{"No flame"}, "Lift one lid"},
		{"alcohol on the fork", nil, "scrape", Warning, []string{"no flame"}, "Wipe the fork with alcohol"},
		{"failure: a dip restarts, lost record; a plan and no proof; probe or indicator", nil, "sterilize", Notice,
			[]string{"dip", "lost record", "no proof", "probe or a spore strip"}, "Wait until the gauge reads"},
		{"mixer: lock out before reaching in or cleaning", nil, "mix", Danger,
			[]string{"lock it out", "guard shut", "clean"}, "Put the goods"},
		{"borer: the same", nil, "bore", Danger,
			[]string{"lock it out", "guard shut", "clean"}, "Press the rod"},
		{"capper: the same, in one line after boring", nil, "cap", Danger, []string{"Lock it out"}, "Wipe the neck"},
		{"power near water: leakage breaker, dry hands, unplug before washing", nil, "mix", Warning,
			[]string{"leakage breaker", "dry hands", "Pull the plug before you wash"}, "Put the goods"},
		{"lime: gloves and goggles, flush eyes", limed, "weigh", Warning,
			[]string{"Lime", "gloves and goggles", "eyewash", "15 min"}, "Weigh out each row"},
		{"lime comes in sacks", limed, "receive", Warning, []string{"Lime", "gloves and goggles", "eyewash"}, "Open one sack"},
		{"lime in the mixer", limed, "mix", Warning, []string{"Lime"}, "Put the goods"},
		{"dust", nil, "weigh", Caution, []string{"dust mask"}, "Weigh out each row"},
		{"allergens", nil, "weigh", Warning, []string{"soy"}, "Weigh out each row"},
		{"a drill", drilled, "bore", Warning, []string{"sleeves", "hair"}, "Drill straight down"},
		{"a bore that fell in", nil, "inspect-bore", Notice, []string{"may not be sterile", "Put no spawn in it"}, "Look down the hole"},
		{"contaminated vessels stay closed", nil, "inspect", Warning,
			[]string{"Never open or sniff", "Sterilize it closed"}, "Take the bad ones out"},
		{"carbon dioxide where people work", nil, "incubate", Warning,
			[]string{"Read the meter before you go in", "5000 ppm", "30000 ppm"}, "Stand them"},
		{"carbon dioxide at pinning", nil, "pin", Warning, []string{"5000 ppm"}, "Take the fleece off"},
		{"carbon dioxide with collars", nil, "collar", Warning, []string{"5000 ppm"}, "Use a clean, dry collar"},
		{"carbon dioxide in the crop", nil, "fruit", Warning, []string{"5000 ppm"}, "Mist the air, and never"},
		{"spores: pick early, mask, see a doctor", nil, "harvest", Warning,
			[]string{"before the caps flatten", "mask that fits", "see a doctor"}, "Twist off"},
		{"an airtight pack grows a poison (Health Canada, Guidance concerning the Packaging of Fresh Mushrooms)", nil, "chill", Warning,
			[]string{"airtight", "poison that kills", "packs with holes"}, "Pack it loose"},
		{"food law and cold", nil, "chill", Caution, []string{"cook it well", "food law"}, "Pack it loose"},
		{"local food law wins", nil, "release", Notice, []string{"food law of your place comes before this sheet"}, "Give the lot a number"},
		{"a knife at early fruit", nil, "early-fruit", Caution, []string{"Cut away from your hand"}, "Cut off all that grew"},
		{"a knife at the trim", nil, "trim", Caution, []string{"Cut away from your hand"}, "Cut off the base"},
		{"allergens of the base that is cut off", nil, "trim", Warning, []string{"soy and wheat", "very ill"}, "Cut off the base"},
		{"bad ones are never opened first", nil, "reject", Warning,
			[]string{"Never open or sniff", "Sterilize it closed before you empty it"}, "Carry them out in a bin"},
		{"bad ones come hot out of their run", nil, "reject", Warning, []string{"erupt", "10 min", "heat gloves"}, "Wait until they are cool"},
		{"power beside the tub", nil, "wash", Warning, []string{"leakage breaker", "dry hands"}, "Rinse out"},
		{"alkali: gloves, goggles, cleaner to water, never mix cleaners, eyewash", nil, "wash", Warning,
			[]string{"gloves and goggles", "Add cleaner to water, never water to cleaner", "Never mix cleaners", "15 min at the eyewash"}, "Add a mild alkali cleaner"},
		{"wet floors where water is used", nil, "wash", Caution, []string{"slip", "shoes that grip"}, "Rinse out"},
		{"and where it drips", nil, "fruit", Caution, []string{"slip", "shoes that grip"}, "Mist the air"},
		{"a mask is fitted before it is worn (29 CFR 1910.134)", nil, "harvest", Warning, []string{"fit tested before you start"}, "Twist off"},
		{"closed glass that is hot", inJars, "cool", Caution, []string{"closed glass over 60 °C by hand"}, "Keep heat gloves on"},
		{"hot water", nil, "wash", Caution, []string{"55 °C can scald"}, "Brush inside"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.change == nil {
				c.change = func(*protocol.Protocol) {}
			}
			p := on(variant("caution", c.change)).build(t)
			voice := words.English(unit.Metric)
			s := step(t, p, c.step)
			i := slices.IndexFunc(s.Safety, func(x Safety) bool {
				said := voice.Say(x.Text)
				return !slices.ContainsFunc(c.says, func(want string) bool { return !strings.Contains(plain(said), want) })
			})
			require.GreaterOrEqual(t, i, 0, "no caution of step %s says all of %q", s.ID, c.says)
			assert.Equal(t, c.signal, s.Safety[i].Signal)
			first := slices.IndexFunc(p.Steps, func(x Step) bool {
				return slices.ContainsFunc(x.Do, func(m protocol.Message) bool { return strings.HasPrefix(voice.Say(m), c.action) })
			})
			require.GreaterOrEqual(t, first, 0, "nothing starts with %q", c.action)
			assert.LessOrEqual(t, s.Number, first+1, "the caution comes after %q", c.action)
			up := slices.IndexFunc(p.Hazards, func(x Safety) bool {
				return hazardOf(x) == hazardOf(s.Safety[i])
			})
			if c.signal != Notice || hazardOf(s.Safety[i]) == "manual" {
				assert.GreaterOrEqual(t, up, 0, "it has no line up front")
			} else {
				assert.Less(t, up, 0, "a notice is about things and does not hurt")
			}
		})
	}
}

// hazardOf names the hazard of a safety message, told in full or in one line.
func hazardOf(s Safety) string {
	_, name, _ := strings.Cut(s.Text.ID, ".")
	return name
}

// TestCautionsAreToldOnceInFull: a station tells each caution in full where it
// first holds and in one line after that; where steps are days apart, each
// tells it in full.
func TestCautionsAreToldOnceInFull(t *testing.T) {
	for _, s := range settings() {
		p := s.build(t)
		full := map[string]bool{}
		for i, x := range p.Steps {
			if i > 0 && x.Station != p.Steps[i-1].Station {
				full = map[string]bool{}
			}
			for _, h := range x.Safety {
				told := strings.HasPrefix(h.Text.ID, "safety.")
				assert.Equal(t, told, !full[hazardOf(h)] || work.DaysApart(x.Station), "%s at %s", hazardOf(h), x.ID)
				full[hazardOf(h)] = true
			}
		}
	}
}

// plain turns no-break spaces into spaces.
func plain(s string) string { return strings.ReplaceAll(s, unit.Space, " ") }

// TestHazardsWorstFirst: up front and at each step, DANGER before WARNING
// before CAUTION before NOTICE, and each hazard once.
func TestHazardsWorstFirst(t *testing.T) {
	rank := map[Signal]int{Danger: 0, Warning: 1, Caution: 2, Notice: 3}
	sorted := func(list []Safety) bool {
		return slices.IsSortedFunc(list, func(a, b Safety) int { return rank[a.Signal] - rank[b.Signal] })
	}
	for _, s := range settings() {
		p := s.build(t)
		assert.True(t, sorted(p.Hazards), s.protocol.Name)
		front := map[string]bool{}
		for _, h := range p.Hazards {
			assert.False(t, front[h.Text.ID], h.Text.ID)
			front[h.Text.ID] = true
		}
		at := map[string]bool{}
		for _, x := range p.Steps {
			assert.True(t, sorted(x.Safety), x.ID)
			for _, h := range x.Safety {
				if h.Signal != Notice || hazardOf(h) == "manual" {
					at["hazard."+hazardOf(h)] = true
				}
			}
		}
		assert.Equal(t, at, front, "each hazard of a step that is about people stands up front, and no other")
	}
}
