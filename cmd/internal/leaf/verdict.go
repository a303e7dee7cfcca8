package leaf

import (
	"math"
	"strconv"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
)

// verdict is what the author's page says of a run: what the slowest place gets
// in each of the cases that bracket it, and which hold would do. None of it
// stands on a worker's page.
type verdict struct {
	Word  string // "Met by calculation"
	Means string
	Cases []thermalCase
	Facts []fact
}

type thermalCase struct {
	Name, Assumes  string
	F0, Core, Hold string
	Margin         string // of the hold in force over the one that would do
	F0Href         string
}

// cases are the cases in the order of the page.
var thermalCases = []string{"measured", "quick", "slow", "collapsed"}

func (e Edition) verdict(p *process.Process) verdict {
	time := func(id string) string {
		return e.show(unit.Amount{Kind: unit.TimeOf, Value: p.Value(id), Digits: 3, Unit: "min"})
	}
	v := verdict{Word: e.say("book.verdict." + string(p.Verdict())), Means: e.say("book.verdict." + string(p.Verdict()) + ".means")}
	for _, name := range thermalCases {
		if p.Ledger.Get("f0_"+name) == nil {
			continue
		}
		spare := p.Value("hold") - p.Value("hold_"+name)
		margin := "book.verdict.spare"
		if spare < 0 {
			margin, spare = "book.verdict.lacks", -spare
		}
		v.Cases = append(v.Cases, thermalCase{
			Name: e.say("book.verdict.case." + name), Assumes: e.say(assumes(p, name)),
			F0: time("f0_" + name), F0Href: "#" + quantityID(p.Ledger.Get("f0_"+name)), Core: e.tenth(p.Value("core_" + name)), Hold: time("hold_" + name),
			Margin: e.say(margin, "time", unit.Amount{Kind: unit.TimeOf, Value: spare, Digits: 3, Unit: "min"}),
		})
	}
	v.Facts = []fact{
		{Name: e.say("book.verdict.target"), Value: time("f0_target")},
		{Name: e.say("book.verdict.floor"), Value: time("f0_floor")},
		{Name: e.say("book.verdict.wall"), Value: time("f0_wall")},
		{Name: e.say("book.verdict.spores"), Value: e.chance(p.Value("spores_left"))},
	}
	if q := p.Ledger.Get("gauge_needed"); q != nil {
		v.Facts = append(v.Facts, fact{Name: e.say("book.verdict.gauge"),
			Value: e.show(unit.Amount{Kind: unit.GaugePressureOf, Value: q.Value, Step: p.Sterilizer.Gauge.Size, Unit: p.Sterilizer.Gauge.Unit})})
	} else {
		v.Facts = append(v.Facts, fact{Name: e.say("book.verdict.gauge"), Value: e.say("book.verdict.gauge.none")})
	}
	return v
}

// assumes is the message on what a case takes for granted. Without a bore nothing
// can fill it.
func assumes(p *process.Process, name string) string {
	id := "book.verdict.assumes." + name
	if !p.Setting().Bored {
		id += ".solid"
	}
	return id
}

// tenth shows a temperature to a tenth of a degree, which is what the steam
// figures are good to.
func (e Edition) tenth(kelvin float64) string { return e.show(e.warm(kelvin)) }

// chance tells how many endospores are expected in a vessel: one in so many
// vessels, where it is fewer than one.
func (e Edition) chance(n float64) string {
	round := func(x float64) string {
		return unit.Grouped(strconv.FormatFloat(unit.Nearest(x/math.Pow(10, unit.Down(math.Log10(x))-1))*math.Pow(10, unit.Down(math.Log10(x))-1), 'f', 0, 64))
	}
	switch {
	case n >= 1:
		return e.say("book.verdict.spores.several", "n", round(n))
	case n < 1e-12:
		return e.say("book.verdict.spores.none")
	}
	return e.say("book.verdict.spores.one_in", "n", round(1/n))
}

// grouped sets digits in groups of three.
