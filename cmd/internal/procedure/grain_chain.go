package procedure

import "bottlecrop/cmd/internal/work"

// Steps of the spawn sheet that a batch's sheet does not have. Their sentences are
// grain.<id>.title and so on.
const (
	weighGrain  work.StepID = "weigh"
	soakGrain   work.StepID = "soak"
	simmerGrain work.StepID = "simmer"
	drainGrain  work.StepID = "drain"
	fillJars    work.StepID = "fill"
	labelJars   work.StepID = "label"
	seedJars    work.StepID = "inoculate"
	growJars    work.StepID = "grow"
	watchJars   work.StepID = "inspect"
	storeJars   work.StepID = "store"
)

// grainChain is how a lot of spawn jars is made, in its order: grain, jars, heat,
// bench, shelf, cold.
func grainChain() []grainStep {
	kitchen := func(d draft) grainStep { return grainStep{d, work.Mixing, work.SubstrateMaker} }
	heat := func(d draft) grainStep { return grainStep{d, work.Sterilizing, work.Operator} }
	bench := func(d draft) grainStep { return grainStep{d, work.Bench, work.Inoculator} }
	shelf := func(d draft) grainStep { return grainStep{d, work.Incubation, work.Grower} }
	allergen := []line{{"wheat", allergens("wheat")}, {"gluten", allergens("gluten")}}
	return []grainStep{
		kitchen(draft{
			id: weighGrain, grain: true, amounts: jarDry,
			safety: append([]line{{"seed", nil}, {"dust", nil}, {"lift", nil}}, allergen...),
			do:     always("do.1", "do.2", "do.3", "do.4", "do.5"),
		}),
		kitchen(draft{id: soakGrain, grain: true, do: always("do.1", "do.2", "do.3", "do.4")}),
		kitchen(draft{
			id: simmerGrain, grain: true, safety: []line{{"boil", nil}, {"lift", nil}},
			do: always("do.1", "do.2", "do.3", "do.4", "do.5"),
		}),
		kitchen(draft{
			id: drainGrain, grain: true, critical: true, safety: []line{{"boil", nil}, {"lift", nil}},
			do: append(always("do.1", "do.2", "do.3", "do.4"), line{"do.5", gypsum}),
		}),
		{draft{
			id: fillJars, grain: true, amounts: jarWet, safety: []line{{"sealed", nil}, {"glass", glass}},
			do: always("do.1", "do.2", "do.3", "do.4", "do.5", "do.6"),
		}, work.Filling, work.SubstrateMaker},
		heat(draft{
			id: work.LoadVessels, when: []line{{"when.grain", nil}},
			safety: []line{{"vessel", nil}, {"sealed", nil}, {"lift", nil}, {"glass", glass}, {"manual", nil}},
			do:     append(always("do.1", "do.2"), append([]line{{"do.3", controls}}, always("do.4", "do.5", "do.6", "do.7", "do.8", "do.10")...)...),
			why:    []line{{"why.controls", controls}},
		}),
		heat(draft{
			id: work.Vent, critical: true, safety: []line{{"steam", nil}, {"dry-run", nil}, {"unattended", nil}, {"air", nil}},
			do: always("do.1", "do.2", "do.3", "do.4", "do.5", "do.6", "do.7"),
		}),
		heat(draft{
			id: work.Sterilize, critical: true,
			safety: []line{{"pressure", nil}, {"unattended", nil}, {"altitude", not(barometer)}, {"barometer", barometer}, {"run", nil}},
			do:     always("do.1", "do.2", "do.3", "do.4", "do.5", "do.6", "do.7"),
			limit:  []line{{"limit.barometer", barometer}},
			off:    []line{{"off.tight", tight}},
		}),
		heat(draft{
			id: work.PressureOff, safety: []line{{"steam", nil}, {"hot-load", nil}},
			do:    always("do.1", "do.2", "do.3", "do.4", "do.5"),
			why:   []line{{"why.grain", nil}},
			wrong: []line{{"wrong.grain", nil}},
		}),
		heat(draft{
			id: work.Unload, safety: []line{{"opening", nil}, {"hot-load", nil}, {"lift", nil}, {"glass", glass}},
			do:    always("do.1", "do.2", "do.3", "do.4", "do.5", "do.6", "do.7", "do.8", "do.9", "do.10"),
			why:   []line{{"why.grain", nil}},
			wrong: []line{{"wrong.grain", nil}},
		}),
		{draft{
			id: work.Cool, critical: true, safety: []line{{"hot-load", nil}, {"glass", glass}},
			do: always("do.1", "do.2", "do.3", "do.4", "do.5", "do.6"),
		}, work.Bench, work.Operator},
		bench(draft{
			id: work.WipeDown, safety: []line{{"alcohol", nil}},
			do: append(append(always("do.1", "do.2"), line{"do.9", vapors}), always("do.8", "do.3", "do.4", "do.5", "do.6")...),
		}),
		bench(draft{id: labelJars, grain: true, do: always("do.1", "do.2", "do.3")}),
		bench(draft{
			id: seedJars, grain: true, critical: true, amounts: seeded,
			safety: []line{{"alcohol", nil}, {"mold", nil}, {"knife", nil}},
			do: append(always("do.1", "do.2", "do.3", "do.4", "do.5"),
				append([]line{{"do.6", fromGrain}}, always("do.7", "do.8", "do.9", "do.10")...)...),
			limit:  []line{{"limit", fromGrain}, {"limit.plate", nil}},
			answer: []line{{"answer", fromGrain}, {"answer.plate", nil}},
		}),
		shelf(draft{id: growJars, grain: true, safety: []line{{"glass", glass}}, do: always("do.1", "do.2", "do.3", "do.4")}),
		shelf(draft{
			id: watchJars, grain: true, critical: true, safety: []line{{"mold", nil}},
			do: always("do.1", "do.2", "do.3", "do.4", "do.5"), looks: grainLooks,
		}),
		shelf(draft{
			id: work.Reject, safety: []line{{"mold", nil}},
			do: always("do.1", "do.2", "do.3", "do.4", "do.5", "do.6", "do.7", "do.8", "do.9"),
		}),
		shelf(draft{
			id: storeJars, grain: true,
			do:     []line{{"do.1", not(feelsCold)}, {"do.1.warm", feelsCold}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}},
			limit:  []line{{"limit.warm", feelsCold}},
			why:    []line{{"why.warm", feelsCold}},
			answer: []line{{"answer.warm", feelsCold}},
		}),
	}
}

// always are sentences that hold for every farm.
func always(ids ...string) []line {
	var out []line
	for _, id := range ids {
		out = append(out, line{id, nil})
	}
	return out
}

func jarDry(t *teller) []Amount {
	return []Amount{{t.say("grain.weigh.each"), t.amount("jar_dry"), t.say("grain.weigh.times")}}
}

func jarWet(t *teller) []Amount {
	return []Amount{{t.say("grain.fill.each"), t.amount("jar_wet"), t.say("grain.fill.give")}}
}

// seeded is what one grown jar or plate is shared out to.
func seeded(t *teller) []Amount {
	out := []Amount{{t.say("grain.inoculate.of_plate"), number(t.process.Grain.JarsOfPlate), t.say("grain.inoculate.first")}}
	if fromGrain(t) {
		out = append(out, Amount{t.say("grain.inoculate.of_jar"), number(t.process.Grain.JarsOfJar), t.say("grain.inoculate.later")})
	}
	return out
}

func grainLooks(t *teller) []Look {
	var out []Look
	for _, id := range []string{"good", "wet", "green", "orange", "control"} {
		out = append(out, Look{t.say("grain.inspect.look." + id + ".of"), t.say("grain.inspect.look." + id)})
	}
	return out
}
