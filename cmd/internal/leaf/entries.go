package leaf

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// allSpecies sorts the species by how well they do in bottles, each with its
// strains under it.
func (l librarian) allSpecies() []shelf {
	of := map[string][]item{}
	strains := map[string][]item{}
	for _, id := range slices.Sorted(maps.Keys(l.lib.Species)) {
		s := l.lib.Species[id]
		if parent, ok := l.lib.Species[s.StrainOf]; ok {
			strains[parent.ID] = append(strains[parent.ID], l.strain(s, parent))
		}
	}
	for _, id := range slices.Sorted(maps.Keys(l.lib.Species)) {
		s := l.lib.Species[id]
		if _, strain := l.lib.Species[s.StrainOf]; strain {
			continue
		}
		x := l.oneSpecies(s)
		x.Strains = strains[id]
		of[s.InBottles] = append(of[s.InBottles], x)
	}
	return l.sort(speciesKind, []string{protocol.BottleExcellent, protocol.BottleGood, protocol.BottleFair, protocol.BottleUnsuited}, of)
}

func (l librarian) oneSpecies(s protocol.Species) item {
	x := l.entry(speciesKind, s.ID, s.Common, s.Known)
	x.Latin = s.Scientific
	warm := func(r protocol.Range[unit.Temperature]) string {
		return l.span(unit.TemperatureOf, float64(r.Low), float64(r.High))
	}
	damp := func(r protocol.Range[unit.Share]) string {
		return l.span(unit.ShareOf, float64(r.Low), float64(r.High))
	}
	gas := func(r protocol.Range[unit.Concentration]) string {
		return l.span(unit.PartsPerMillion, float64(r.Low), float64(r.High))
	}
	light := func(r protocol.Range[unit.Light]) string {
		return l.span(unit.LightOf, float64(r.Low), float64(r.High))
	}
	days := func(r protocol.Range[unit.Duration]) string {
		inDays := func(d unit.Duration) string {
			return l.figure(unit.Amount{Kind: unit.TimeOf, Value: float64(d), Unit: "d"}).Number
		}
		return l.say("book.library.days", "low", inDays(r.Low), "high", inDays(r.High))
	}
	// In threes, as they stand on a page: spawn run, pinning, fruiting.
	x.Facts = []fact{
		l.fact("colonize", days(s.Colonize)),
		l.fact("pin_days", days(s.PinDays)),
		l.fact("fruit_days", days(s.FruitDays)),
		l.fact("incubation", warm(s.Incubation)),
		l.fact("pin_air", warm(s.PinAir)),
		l.fact("fruit_air", warm(s.FruitAir)),
		l.fact("rh_incubate", damp(s.RHIncubate)),
		l.fact("rh_pin", damp(s.RHPin)),
		l.fact("rh_fruit", damp(s.RHFruit)),
		l.fact("co2_room_incubate", l.say("book.limits.at_most", "bound",
			words.Message("book.limits.bound", "amount", unit.Amount{Kind: unit.PartsPerMillion, Value: float64(s.CO2RoomIncubate)}))),
		l.fact("co2_pin", gas(s.CO2Pin)),
		l.fact("co2_fruit", gas(s.CO2Fruit)),
		l.fact("light_each_day", l.show(unit.Amount{Kind: unit.TimeOf, Value: float64(s.LightEachDay), Unit: "h"})),
		l.fact("light_pin", light(s.LightPin)),
		l.fact("light_fruit", light(s.LightFruit)),
		l.fact("core_most", l.amount(unit.TemperatureOf, float64(s.CoreMost))),
		l.fact("ripen", l.show(unit.Amount{Kind: unit.TimeOf, Value: float64(s.Ripen), Unit: "d"})),
		l.fact("in_bottles", l.say("book.limits.word."+s.InBottles)),
		l.fact("scrape", l.say("book.library.scrape."+s.Scrape)),
		l.fact("opens", l.say("book.library.opens."+s.Opens)),
		l.fact("collar", l.collar(s)),
		l.fact("flushes", s.Flushes),
		l.fact("nitrogen", l.span(unit.ShareOf, float64(s.Nitrogen.Low), float64(s.Nitrogen.High))),
		l.fact("moisture", l.span(unit.ShareOf, float64(s.Moisture.Low), float64(s.Moisture.High))),
		l.fact("efficiency", l.say("book.library.efficiencies",
			"span", l.span(unit.ShareOf, float64(s.EfficiencyLow), float64(s.EfficiencyHigh)),
			"usual", l.amount(unit.ShareOf, float64(s.EfficiencyUsual)))),
		l.fact("respiration", l.respiration(s)),
	}
	if s.Listeria != "" {
		x.Facts = append(x.Facts, l.fact("listeria", l.Voice.Capital(s.Listeria)))
	}
	return x
}

// respiration tells what is published of the species' CO2, with its source.
func (l librarian) respiration(s protocol.Species) string {
	out := []string{}
	for _, r := range s.Respiration {
		out = append(out, l.say("book.library.respires", "of", words.Message("book.library.respires."+r.Of),
			"rate", unit.Amount{Kind: r.Rate.Kind(), Value: float64(r.Rate)}, "at", unit.Amount{Kind: r.At.Kind(), Value: float64(r.At)},
			"q10", unit.Amount{Kind: r.Q10.Kind(), Value: float64(r.Q10)}, "source", l.source(r.Source)))
	}
	if len(out) == 0 {
		return l.say("book.library.respires.any")
	}
	return l.Voice.Phrases(out)
}

// source is one in the midst of a sentence, where no language can be marked.
func (l librarian) source(text string) string {
	said, _ := l.Voice.Source(text)
	return said
}

// collar is whether the species wants one, with the note on it, which may have
// said so already.
func (l librarian) collar(s protocol.Species) string {
	word := l.say("book.library.collar." + s.Collar)
	if strings.HasPrefix(strings.ToLower(s.CollarNote), word) {
		return s.CollarNote
	}
	return l.withNote(word, strings.TrimSuffix(s.CollarNote, "."))
}

// strain shows only what differs from the species that it stands under.
func (l librarian) strain(s, parent protocol.Species) item {
	x, of := l.oneSpecies(s), l.oneSpecies(parent)
	own := func(mine, theirs []fact) []fact {
		var out []fact
		for i, f := range mine {
			if f != theirs[i] {
				out = append(out, f)
			}
		}
		return out
	}
	x.Facts, x.Known = own(x.Facts, of.Facts), own(x.Known, of.Known)
	if x.Latin == of.Latin {
		x.Latin = ""
	}
	if slices.Equal(x.Notes, of.Notes) {
		x.Notes = nil
	}
	return x
}

// ingredients stand by their role in a formula.
func (l librarian) ingredients() []shelf {
	of := map[string][]item{}
	for _, i := range l.lib.Ingredients {
		x := l.entry(ingredientKind, i.ID, i.Name, i.Known)
		share := func(v unit.DryShare) string { return l.amount(unit.ShareOf, float64(v)) }
		received := l.amount(unit.ShareOf, float64(i.Moisture))
		if i.Spread != nil {
			received = l.say("book.formula.spread", "moisture", received, "points", points(float64(*i.Spread)))
		}
		x.Facts = []fact{l.fact("received", received)}
		if m, ok := l.Farm.Moisture[i.ID]; ok {
			x.Facts = append(x.Facts, l.fact("received.here", l.amount(unit.ShareOf, float64(m))))
		}
		x.Facts = append(x.Facts,
			l.fact("carbon", share(i.Carbon)),
			l.fact("nitrogen_of", share(i.Nitrogen)),
			l.fact("ash", share(i.Ash)),
			l.fact("bulk", l.amount(unit.DensityOf, float64(i.BulkDry))),
			l.fact("usual_most", share(i.UsualMost)),
			l.fact("never_above", share(i.NeverAbove)),
			l.fact("allergens", l.allergens(i)),
		)
		x.Known = append(x.Known,
			l.fact("carbon.by", l.Voice.Capital(l.say("book.library.carbon."+i.CarbonBy))),
			l.fact("cap_source", l.Voice.Capital(i.CapSource)))
		if i.BulkNote != "" {
			x.Known = append(x.Known, l.fact("bulk_note", l.Voice.Capital(i.BulkNote)))
		}
		if p, ok := l.Farm.Prices[i.ID]; ok {
			x.Facts = append(x.Facts, l.fact("price.here", l.Edition.price(unit.PriceOfMass, p.Amount, 4)))
		}
		for _, w := range []struct {
			so bool
			id string
		}{{i.Caustic, "caustic"}, {i.Dusty, "dusty"}, {i.Hydrate, "hydrate"}, {i.Spoils, "spoils"}} {
			if w.so {
				x.Notes = append([]string{l.say("book.library." + w.id)}, x.Notes...)
			}
		}
		of[i.Role] = append(of[i.Role], x)
	}
	return l.sort(ingredientKind, []string{protocol.RoleBase, protocol.RoleSupplement, protocol.RoleMineral, protocol.RoleGrain, protocol.RoleReference}, of)
}

func (l librarian) allergens(i protocol.Ingredient) string {
	if len(i.Allergens) == 0 {
		return l.say("book.library.allergens.none")
	}
	var names []string
	for _, a := range i.Allergens {
		names = append(names, l.say("book.library.allergen."+a))
	}
	return l.Voice.List(names)
}

func (l librarian) withNote(value, note string) string {
	if note == "" {
		return value
	}
	return l.Edition.say("shape.noted", "value", value, "note", note)
}

// vessels stand by their form.
func (l librarian) vessels() []shelf {
	of := map[string][]item{}
	for _, v := range l.lib.Vessels {
		x := l.entry(vesselKind, v.ID, v.Name, v.Known)
		length := func(d unit.Length) string { return l.amount(unit.LengthOf, float64(d)) }
		mass := func(m unit.Mass) string { return l.amount(unit.MassOf, float64(m)) }
		money := func(m unit.Money) string { return l.Voice.Units().Money(m.Amount, m.Currency) }
		lost := func(s unit.Share) string { return l.amount(unit.ShareOf, float64(s)) }
		x.Facts = []fact{
			l.fact("called", v.One+", "+v.Many),
			l.fact("material", l.say("book.library.material."+v.Material)),
			l.fact("brimful", l.amount(unit.VolumeOf, float64(v.Brimful))),
			l.fact("height", length(v.Height)),
			l.fact("body", length(v.Body)),
			l.fact("mouth", length(v.Mouth)),
			l.fact("wall", length(v.Wall)),
			l.fact("empty", mass(v.Empty)),
			l.fact("service", l.amount(unit.TemperatureOf, float64(v.Service))),
			l.fact("lid", v.Lid),
			l.fact("lid_mass", mass(v.LidMass)),
			l.fact("price", money(v.Price)),
			l.fact("uses", strconv.Itoa(v.UsesMost)),
			l.fact("lost", lost(v.LostPerUse)),
			l.fact("lid_price", money(v.LidPrice)),
			l.fact("lid_uses", strconv.Itoa(v.LidUsesMost)),
			l.fact("lid_lost", lost(v.LidLost)),
			l.fact("wash", l.amount(unit.VolumeOf, float64(v.WashWater))),
		}
		if p, ok := l.Farm.VesselPrices[v.ID]; ok {
			x.Facts = append(x.Facts, l.fact("price.here", money(p)))
		}
		if p, ok := l.Farm.LidPrices[v.ID]; ok {
			x.Facts = append(x.Facts, l.fact("lid_price.here", money(p)))
		}
		if !v.LidFiltered {
			x.Notes = append([]string{l.say("book.library.no_filter")}, x.Notes...)
		}
		of[v.Form] = append(of[v.Form], x)
	}
	return l.sort(vesselKind, []string{protocol.FormBottle, protocol.FormJar, protocol.FormBag}, of)
}

// sterilizers are few: they stand on one shelf, the smallest first.
func (l librarian) sterilizers() []shelf {
	list := slices.SortedFunc(maps.Values(l.lib.Sterilizers), func(a, b protocol.Sterilizer) int {
		return cmp.Or(cmp.Compare(a.Chamber, b.Chamber), strings.Compare(a.ID, b.ID))
	})
	all := shelf{ID: "shelf-all", Name: l.say("book.library.sterilizer.all")}
	for _, s := range list {
		x := l.entry(sterilizerKind, s.ID, s.Name, s.Known)
		volume := func(v unit.Volume) string { return l.amount(unit.VolumeOf, float64(v)) }
		gauge := func(p unit.Gauge) string { return l.amount(unit.GaugePressureOf, float64(p)) }
		x.Facts = []fact{
			l.fact("chamber", volume(s.Chamber)),
			l.fact("usable", volume(s.Usable)),
			l.fact("rated", gauge(s.RatedMost)),
			l.fact("relief", gauge(s.Relief)),
			l.fact("power", l.amount(unit.PowerOf, float64(s.Power))),
			l.fact("charge", volume(s.Water)),
			l.fact("stay_wet", volume(s.StayWet)),
			l.fact("metal", l.amount(unit.MassOf, float64(s.Metal))),
			l.fact("metal_of", l.say("book.library.metal."+s.MetalOf)),
			l.fact("insulated", l.say(either(s.Insulated, "book.library.wall.insulated", "book.library.wall.bare"))),
			l.fact("steam_loss", l.amount(unit.PowerOf, float64(s.SteamLoss))),
			l.fact("steam_from", l.say(either(s.OwnBoiler, "book.library.steam.boiler", "book.library.steam.inside"))),
		}
		if s.Efficient > 0 {
			x.Facts = append(x.Facts, l.fact("efficient", l.amount(unit.ShareOf, float64(s.Efficient))))
		}
		x.Known = append(x.Known, l.fact("lid_lock", l.Voice.Capital(s.LidLock)))
		for _, h := range s.Holds {
			name := h.Vessel
			if v, ok := l.lib.Vessels[h.Vessel]; ok {
				name = v.Name
			}
			x.Facts = append(x.Facts, fact{Name: l.say("book.library.load", "vessel", name), Value: strconv.Itoa(h.Count)})
		}
		for _, own := range l.Farm.Sterilizers {
			if own.Model == s.ID {
				x.Facts = append(x.Facts, l.fact("on_farm", own.Name))
			}
		}
		all.Items = append(all.Items, x)
	}
	return []shelf{all}
}

// either is one of two message ids.
func either(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}
