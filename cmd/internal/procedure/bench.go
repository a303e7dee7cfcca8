package procedure

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// The bench is where the load cools in clean air and meets its spawn. Labels
// come before the first lid is lifted: nobody writes with gloves on, and a
// crate without a card is soon a crate of unknown age.
var bench = []draft{
	{
		id: work.Cool, critical: true,
		safety: []line{{"hot-load", nil}, {"glass", glass}},
		do:     []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil}},
	},
	{
		id:     work.InspectBore,
		safety: []line{{"hole", nil}},
		do:     []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}},
	},
	{
		id:     work.WipeDown,
		safety: []line{{"alcohol", nil}, {"noise", loud(work.Bench)}},
		more:   []line{{"vapor", vapors}},
		do: []line{
			// the switch of the bench comes before the alcohol: it can spark
			{"do.7", nil}, {"do.1", nil}, {"do.2", nil}, {"do.9", vapors}, {"do.8", nil}, {"do.3", nil}, {"do.4", reusable}, {"do.4.bag", bag}, {"do.5", nil}, {"do.6", nil},
		},
	},
	{
		id:     work.Label,
		do:     []line{{"do.1", nil}, {"do.2", controls}, {"do.3", nil}},
		answer: []line{{"answer.controls", controls}},
	},
	{
		id: work.Inoculate, critical: true,
		amounts: spawned,
		safety:  []line{{"alcohol", nil}, {"mold", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.9", nil}, {"do.10", nil}, {"do.13", nil}, {"do.3", nil}, {"do.4", reusable}, {"do.4.bag", bag},
			{"do.11", nil}, {"do.5.hole", both(reusable, bored)}, {"do.5", not(both(reusable, bored))},
			{"do.6", nil}, {"do.7", controls}, {"do.12", nil}, {"do.8", nil},
		},
		check: []line{{"check.controls", controls}},
	},
}

// spawned are the spawn for one vessel, all of it with what is kept in spare,
// and the jars that it comes from.
func spawned(t *teller) []Amount {
	b := t.batch
	spare := "step.inoculate.spare"
	if staged(t) {
		spare += ".staged"
	}
	return []Amount{
		{t.say("step.inoculate.each"), t.facts["spawn"].(unit.Amount), t.say("step.inoculate.band")},
		{t.say("step.inoculate.all"), b.Reading(b.Value("spawn_with_spare"), batch.FinePart), t.say(spare)},
		{t.say("step.inoculate.jars"), number(int(b.Value("spawn_jars"))), t.say("step.inoculate.whole")},
	}
}
