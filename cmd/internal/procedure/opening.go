package procedure

import (
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// opening is the work in the fruiting room, from the lid to the ripe crop.
var opening = []draft{
	{
		id:     work.Open,
		safety: []line{{"mold", nil}, {"spores", nil}, {"crate", heavyCrate}, {"noise", loud(work.Fruiting)}, {"glass", glass}},
		when:   []line{{"when.ripe", ripened}, {"when.early", opensEarly}, {"when.fixed", fixed("incubation")}},
		do: []line{
			{"do.1", nil}, {"do.2", reusable}, {"do.2.bag", bag},
			{"do.3", opensWhite}, {"do.3.gray", opensGray}, {"do.3.early", opensEarly},
			{"do.4", nil},
			{"do.6", both(whole, opensWhite)}, {"do.6.gray", both(whole, opensGray)}, {"do.6.early", both(whole, opensEarly)},
			{"do.5", reusable},
		},
		limit: []line{{"limit.gray", opensGray}, {"limit.early", opensEarly}},
		off:   []line{{"off.gray", opensGray}, {"off.early", opensEarly}},
	},
	{
		id:     work.EarlyFruit,
		safety: []line{{"knife", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", opensWhite}, {"do.2.gray", opensGray}, {"do.3.gray", opensGray},
			{"do.2.early", opensEarly}, {"do.3.early", opensEarly},
			{"do.4.scraped", scraped}, {"do.4.whole", whole}, {"do.5", nil}, {"do.6", nil},
		},
		limit: []line{{"limit.gray", opensGray}, {"limit.early", opensEarly}},
	},
	{
		id:     work.Scrape,
		safety: []line{{"alcohol", nil}, {"mold", nil}},
		do: []line{
			{"do.1", nil},
			{"do.2.level", scrape("level")}, {"do.3.level", scrape("level")},
			{"do.2.raised", scrape("raised-center")}, {"do.3.raised", scrape("raised-center")},
			{"do.2.light", scrape("light")},
			{"do.4", nil}, {"do.5", nil},
		},
		limit:  []line{{"limit.light", scrape("light")}},
		answer: []line{{"answer.light", scrape("light")}},
	},
	{
		id:      work.Wet,
		when:    []line{{"when.whole", whole}},
		safety:  []line{{"floor", nil}},
		amounts: wetting,
		do:      []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
	},
	{
		id:    work.Cover,
		title: []line{{"title.inverted", inverted}},
		when:  []line{{"when.wet", wetted}, {"when.scraped", scraped}},
		do: []line{
			{"do.1.inverted", inverted}, {"do.2.inverted", inverted},
			{"do.1", not(inverted)}, {"do.2", not(inverted)}, {"do.3", not(inverted)},
		},
		limit:  []line{{"limit.inverted", inverted}},
		check:  []line{{"check.inverted", inverted}},
		off:    []line{{"off.inverted", inverted}},
		wrong:  []line{{"wrong.inverted", inverted}},
		ask:    []line{{"ask.inverted", inverted}},
		answer: []line{{"answer.inverted", inverted}},
	},
	{
		id:     work.Pin,
		when:   []line{{"when.fixed", fixed("pinning")}},
		safety: []line{{"co2", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", pinLight}, {"do.4.dark", not(pinLight)},
			{"do.5", both(covered, not(inverted))}, {"do.5.inverted", inverted}, {"do.6", collared},
		},
		looks: pinned,
	},
	{
		id:     work.FitCollar,
		safety: []line{{"co2", nil}},
		do:     []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
	},
	{
		id:     work.Fruit,
		when:   []line{{"when.fixed", fixed("fruiting")}},
		safety: []line{{"co2", nil}, {"spores", nil}, {"floor", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", light}, {"do.4.dark", not(light)}, {"do.5", nil}, {"do.6", nil},
		},
		wrong: []line{{"wrong.collar", collared}},
		looks: fruited,
	},
}

// whole is true where the top stays as it is.
var whole = not(scraped)

// wetting is the water for one vessel.
func wetting(t *teller) []Amount {
	return []Amount{{t.say("step.wet.each"), t.facts["water"].(unit.Amount), t.say("step.wet.clean")}}
}
