package procedure

import (
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

var growing = []draft{
	{
		id: work.Incubate, station: work.Incubation, role: work.Grower,
		safety: []line{{"co2", nil}, {"lift", nil}},
		when:   []line{{"when.fixed", fixed("incubation")}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", controls},
		},
	},
	{
		id: work.Inspect, station: work.Incubation, role: work.Grower,
		safety: []line{{"mold", nil}, {"co2", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", controls},
		},
	},
	{
		id: work.Ripen, station: work.Incubation, role: work.Grower,
		present: ripened,
		safety:  []line{{"co2", nil}},
		do:      []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
	},
}

var opening = []draft{
	{
		id: work.Open, station: work.Fruiting, role: work.Grower,
		safety: []line{{"mold", nil}, {"spores", nil}, {"glass", glass}},
		when:   []line{{"when.ripe", ripened}, {"when.fixed", fixed("incubation")}},
		do: []line{
			{"do.1", nil}, {"do.2", reusable}, {"do.2.bag", bag}, {"do.3", nil}, {"do.4", nil}, {"do.5", reusable},
		},
	},
	{
		id: work.Scrape, station: work.Fruiting, role: work.Grower,
		present: scraped,
		safety:  []line{{"alcohol", nil}, {"mold", nil}},
		do: []line{
			{"do.1", nil},
			{"do.2.level", scrape("level")}, {"do.3.level", scrape("level")},
			{"do.2.raised", scrape("raised-center")}, {"do.3.raised", scrape("raised-center")},
			{"do.2.light", scrape("light")},
			{"do.4", nil}, {"do.5", nil},
		},
		limit: []line{{"limit.light", scrape("light")}},
	},
	{
		id: work.Wet, station: work.Fruiting, role: work.Grower,
		present: wetted,
		amounts: wetting,
		do:      []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
	},
	{
		id: work.Cover, station: work.Fruiting, role: work.Grower,
		present: covered,
		title:   []line{{"title.inverted", inverted}},
		do: []line{
			{"do.1.inverted", inverted}, {"do.2.inverted", inverted},
			{"do.1", not(inverted)}, {"do.2", not(inverted)}, {"do.3", not(inverted)},
		},
		limit: []line{{"limit.inverted", inverted}},
		check: []line{{"check.inverted", inverted}},
	},
	{
		id: work.Pin, station: work.Fruiting, role: work.Grower,
		when:   []line{{"when.fixed", fixed("pinning")}},
		safety: []line{{"co2", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", pinLight}, {"do.4.dark", not(pinLight)},
			{"do.5", both(covered, not(inverted))}, {"do.5.inverted", inverted},
		},
	},
	{
		id: work.FitCollar, station: work.Fruiting, role: work.Grower,
		present: both(reusable, collared),
		safety:  []line{{"co2", nil}},
		do:      []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
	},
	{
		id: work.Fruit, station: work.Fruiting, role: work.Grower,
		when:   []line{{"when.fixed", fixed("fruiting")}},
		safety: []line{{"co2", nil}, {"spores", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", light}, {"do.4.dark", not(light)}, {"do.5", nil}, {"do.6", nil},
		},
	},
}

// wetting is the water for one vessel.
func wetting(t *teller) []Amount {
	return []Amount{{t.say("step.wet.each"), t.facts["water"].(unit.Amount), t.say("step.wet.clean")}}
}
