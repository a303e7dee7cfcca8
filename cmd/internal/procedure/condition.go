package procedure

import (
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// condition decides from the data of a batch whether a step or a sentence
// belongs to it.
type condition func(*teller) bool

func not(c condition) condition {
	return func(t *teller) bool { return !c(t) }
}

func both(a, b condition) condition {
	return func(t *teller) bool { return a(t) && b(t) }
}

func either(a, b condition) condition {
	return func(t *teller) bool { return a(t) || b(t) }
}

// The vessel.

func reusable(t *teller) bool { return t.setting.Reusable }
func glass(t *teller) bool    { return t.process.Vessel.Material == "glass" }

var bag = not(reusable)

// The bore.

func bored(t *teller) bool   { return t.setting.Bored }
func pressed(t *teller) bool { return t.protocol.Bore.Made == protocol.BorePressed }
func removed(t *teller) bool { return t.protocol.Bore.Made == protocol.BoreRemoved }

// The formula.

func (t *teller) anyPart(is func(process.Part) bool) bool {
	return slices.ContainsFunc(t.process.Parts, is)
}

func soaking(t *teller) bool {
	return t.anyPart(func(p process.Part) bool { return p.Hydrate })
}

// drySide is true where something else is mixed with what must soak.
func drySide(t *teller) bool {
	return soaking(t) && t.anyPart(func(p process.Part) bool { return !p.Hydrate })
}

func dusty(t *teller) bool {
	return t.anyPart(func(p process.Part) bool { return p.Dusty })
}

func caustic(t *teller) bool {
	return t.anyPart(func(p process.Part) bool { return p.Caustic })
}

// allergens is true where the mix holds exactly these. Wheat holds gluten, so
// gluten is named by itself only where there is no wheat.
func allergens(names ...string) condition {
	return func(t *teller) bool {
		for _, name := range []string{"soy", "wheat", "gluten"} {
			holds := t.anyPart(func(p process.Part) bool { return slices.Contains(p.Allergens, name) })
			if name == "gluten" {
				holds = holds && !t.anyPart(func(p process.Part) bool { return slices.Contains(p.Allergens, "wheat") })
			}
			if holds != slices.Contains(names, name) {
				return false
			}
		}
		return true
	}
}

// wetGoods is true where something in the formula comes in wet and spoils.
func wetGoods(t *teller) bool {
	return t.anyPart(func(p process.Part) bool { return t.batch.Ledger.ValueOf("moisture_received", p.ID) > wetGoodsAbove })
}

func watered(t *teller) bool {
	return slices.ContainsFunc(t.batch.Mix.Rows, func(r batch.Weighing) bool { return r.ID == batch.Water && r.Mass > 0 })
}

func inParts(t *teller) bool {
	return slices.ContainsFunc(t.batch.Mix.Rows, func(r batch.Weighing) bool { return len(r.Parts) > 1 })
}

// The size of the batch.

func severalMixes(t *teller) bool { return t.batch.Mixes > 1 }
func severalLoads(t *teller) bool { return len(t.batch.Loads) > 1 }
func staged(t *teller) bool       { return t.facts["work_days"] != 1 }
func controls(t *teller) bool     { return t.batch.Controls > 0 }

func partLoad(t *teller) bool {
	return slices.ContainsFunc(t.batch.Loads, func(l batch.Load) bool { return l.Vessels < t.process.Holds })
}

// tight is true where the band of the gauge ends at the rated pressure, to a
// mark of the dial: whatever is above the band is then above the rating.
func tight(t *teller) bool {
	return t.amount("gauge_high").Value+1.01*t.amount("gauge_tick").Value >= t.amount("rated").Value
}

// barometer is true where the farm measures its air pressure instead of
// reckoning with its altitude.
func barometer(t *teller) bool { return t.process.Input.Farm.StationPressure != nil }

// Growing.

// fixed is true for a stage that is given as one length and no span.
func fixed(stage string) condition {
	return func(t *teller) bool { return t.facts[stage+"_low"] == t.facts[stage+"_high"] }
}

// opens is true where the species is opened to fruit when it looks like this.
func opens(how string) condition {
	return func(t *teller) bool { return t.process.Species.Opens == how }
}

func ripened(t *teller) bool  { return t.setting.Ripened }
func scraped(t *teller) bool  { return t.setting.Scraped }
func covered(t *teller) bool  { return t.setting.Covered }
func wetted(t *teller) bool   { return t.setting.Wetted }
func inverted(t *teller) bool { return t.protocol.Opening.Cover == "inverted" }
func collared(t *teller) bool { return t.setting.Collared }
func pinLight(t *teller) bool { return t.protocol.Pinning.Light > 0 }
func light(t *teller) bool    { return t.protocol.Fruiting.Light > 0 }

func scrape(how string) condition {
	return func(t *teller) bool { return t.protocol.Opening.Scrape == how }
}

func detergent(t *teller) bool { return t.protocol.Cleaning.Detergent != "none" }

// hotWash is true where the wash water can hurt a bare hand.
func hotWash(t *teller) bool { return float64(t.protocol.Cleaning.Water) > people.BareHands }

// People.

// heavyCrate is true where one person should not lift a full crate to all places
// that it goes to.
func heavyCrate(t *teller) bool {
	q := t.batch.Ledger.Get("lift_index")
	return q != nil && q.Value > 1
}

// outOfScope is true where the lifting index is an indication and no more.
func outOfScope(t *teller) bool {
	q := t.batch.Ledger.Get("lift_outside_scope")
	return q != nil && q.Value > 0
}

// vapors is true where the farm says what alcohol is used in which room.
func vapors(t *teller) bool { return t.batch.Ledger.Get("alcohol_most") != nil }

// loud is true where ears need cover at a station.
func loud(s work.Station) condition {
	return func(t *teller) bool { return t.process.Loud(s) }
}

// hot is true where the heat at the sterilizer makes who is new to it ill.
func hot(t *teller) bool {
	l := t.batch.Ledger
	return l.Get("heat_reading") != nil && l.Value("heat_reading") > l.Value("heat_alert")
}
