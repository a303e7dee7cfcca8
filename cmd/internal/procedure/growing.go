package procedure

import (
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

var growing = []draft{
	{
		id:     work.Incubate,
		safety: []line{{"co2", nil}, {"lift", nil}},
		when:   []line{{"when.fixed", fixed("incubation")}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", controls},
		},
	},
	{
		id:     work.Inspect,
		safety: []line{{"mold", nil}, {"co2", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", controls},
		},
	},
	{
		id:     work.Ripen,
		safety: []line{{"co2", nil}},
		do:     []line{{"do.0", nil}, {"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
	},
}

var opening = []draft{
	{
		id:     work.Open,
		safety: []line{{"mold", nil}, {"spores", nil}, {"glass", glass}},
		when:   []line{{"when.ripe", ripened}, {"when.early", opens(protocol.OpensEarly)}, {"when.fixed", fixed("incubation")}},
		do: []line{
			{"do.1", nil}, {"do.2", reusable}, {"do.2.bag", bag},
			{"do.3", opens(protocol.OpensWhite)}, {"do.3.gray", opens(protocol.OpensGray)}, {"do.3.early", opens(protocol.OpensEarly)},
			{"do.4", nil}, {"do.5", reusable},
		},
		limit: []line{{"limit.gray", opens(protocol.OpensGray)}, {"limit.early", opens(protocol.OpensEarly)}},
		off:   []line{{"off.gray", opens(protocol.OpensGray)}, {"off.early", opens(protocol.OpensEarly)}},
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
		limit: []line{{"limit.light", scrape("light")}},
	},
	{
		id:      work.Wet,
		when:    []line{{"when.whole", scrape(protocol.ScrapeNever)}},
		amounts: wetting,
		do:      []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
	},
	{
		id:    work.Cover,
		title: []line{{"title.inverted", inverted}},
		when:  []line{{"when.wet", wetted}, {"when.scraped", not(scrape(protocol.ScrapeNever))}},
		do: []line{
			{"do.1.inverted", inverted}, {"do.2.inverted", inverted},
			{"do.1", not(inverted)}, {"do.2", not(inverted)}, {"do.3", not(inverted)},
		},
		limit: []line{{"limit.inverted", inverted}},
		check: []line{{"check.inverted", inverted}},
		off:   []line{{"off.inverted", inverted}},
	},
	{
		id:     work.Pin,
		when:   []line{{"when.fixed", fixed("pinning")}},
		safety: []line{{"co2", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", pinLight}, {"do.4.dark", not(pinLight)},
			{"do.5", both(covered, not(inverted))}, {"do.5.inverted", inverted}, {"do.6", collared},
		},
	},
	{
		id:     work.FitCollar,
		safety: []line{{"co2", nil}},
		do:     []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
	},
	{
		id:     work.Fruit,
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
