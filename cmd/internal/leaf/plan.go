package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// plan is the list of a batch's mixes with the loads that they are for.
type plan struct {
	How    protocol.Message
	Staged bool // over days
	Rows   []planRow
}

type planRow struct {
	Day, Load, Mix string
	At, SteamBy    protocol.Message // times of the day
	Whole          protocol.Message // the row as a sentence
}

// plan lists the mixes, where there are several.
func (e Edition) plan(b *batch.Batch) *plan {
	if b.Mixes < 2 {
		return nil
	}
	p := &plan{How: words.Message("book.plan.how"), Staged: daysOf(b) > 1}
	if wait := b.Value("mix_wait_most"); wait > work.MixWaitsWarm {
		p.How = words.Message("book.plan.how.warm", "warm", unit.Amount{Kind: unit.TemperatureOf, Value: work.WarmAir},
			"wait", unit.Amount{Kind: unit.TimeOf, Value: work.MixWaitsWarm, Unit: "h"})
	}
	for _, r := range b.Runs {
		by := clock(r.SteamBy)
		for j, water := range r.Water {
			at, n := clock(water), r.First+j
			row := planRow{Day: strconv.Itoa(r.Day), Load: strconv.Itoa(r.Load), Mix: strconv.Itoa(n), At: at, SteamBy: by,
				Whole: words.Message("book.plan.one", "mix", n, "load", r.Load, "at", at, "by", by)}
			if p.Staged {
				row.Whole = words.Message("book.plan.one.day", "day", r.Day, "mix", n, "load", r.Load, "at", at, "by", by)
			}
			p.Rows = append(p.Rows, row)
		}
	}
	return p
}

// daysOf is on how many days a batch is mixed and sterilized.
func daysOf(b *batch.Batch) int { return int(b.Value("days_needed")) }

// clock is a time since the start of a day, to 5 min: "3 h 10 min".
func clock(d unit.Duration) protocol.Message {
	minutes := 5 * int(unit.Nearest(float64(d)/(5*unit.Minute)))
	h, m := minutes/60, minutes%60
	switch {
	case h == 0:
		return words.Message("book.clock.minutes", "minutes", m)
	case m == 0:
		return words.Message("book.clock.hours", "hours", h)
	}
	return words.Message("book.clock", "hours", h, "minutes", m)
}

// loads says how many vessels stand in each load, and on how many days. Loads
// are even: there are two sizes at most, the larger ones first. Vessels of water
// for free places have to be ready too, so their number stands on the first page.
func (e Edition) loads(b *batch.Batch) string {
	if days := daysOf(b); days > 1 {
		return e.say("book.ready.loads.days", "loads", e.evenly(b), "days", days)
	}
	return e.evenly(b)
}

func (e Edition) evenly(b *batch.Batch) string {
	most, least := b.Loads[0].Vessels, b.Loads[len(b.Loads)-1].Vessels
	if free := b.Process.Holds - most; most == least && free > 0 && b.Process.Setting().Reusable {
		return e.say("book.ready.loads.water", "n", len(b.Loads), "each", most, "free", free)
	}
	if most == least {
		return e.say("book.ready.loads.even", "n", len(b.Loads), "each", most, "places", b.Process.Holds)
	}
	more := 0
	for _, l := range b.Loads {
		if l.Vessels == most {
			more++
		}
	}
	return e.say("book.ready.loads.uneven", "more", more, "most", most, "fewer", len(b.Loads)-more, "least", least,
		"places", b.Process.Holds)
}

// loadsOn is the number of loads, and the number of days where there are several.
func (e Edition) loadsOn(b *batch.Batch) string {
	if days := daysOf(b); days > 1 {
		return e.say("book.protocol.loads.days", "loads", len(b.Loads), "days", days)
	}
	return strconv.Itoa(len(b.Loads))
}
