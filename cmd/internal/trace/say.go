package trace

import (
	"cmp"
	"math"
	"slices"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

func say(id string, pairs ...any) protocol.Message { return words.Message("trace."+id, pairs...) }

// Mass is a mass as traces say it. Less than a scale of a farm shows is nothing.
func Mass(kg float64) unit.Amount {
	const least = 0.0005
	if math.Abs(kg) < least {
		kg = 0
	}
	return unit.Amount{Kind: unit.MassOf, Value: kg, Digits: 4}
}

func share(v float64) unit.Amount { return unit.Amount{Kind: unit.ShareOf, Value: v, Digits: 2} }

// name is what people call an ingredient or a protocol.
func (w *Web) name(id string) string { return cmp.Or(w.Names[id], id) }

// Title is what a protocol is called.
func (w *Web) Title(of string) string { return w.name(of) }

// Said names a thing with its kind.
func (w *Web) Said(n Node) protocol.Message {
	switch n.Kind {
	case Goods:
		return say("is.goods", "code", n.Code, "of", w.name(w.goods[n.Code]))
	case Method:
		for name, m := range w.Methods {
			if m.Short == n.Code {
				return say("is.method.now", "code", n.Code, "of", w.name(name))
			}
		}
	}
	return say("is."+string(n.Kind), "code", n.Code)
}

// Written names a thing as it is told apart from others of the same code.
func Written(n Node) string { return string(n.Kind) + ":" + n.Code }

// About is what the record says of a thing beside its name.
func (w *Web) About(n Node) []protocol.Message {
	var out []protocol.Message
	add := func(id string, pairs ...any) { out = append(out, say("about."+id, pairs...)) }
	switch n.Kind {
	case Goods:
		if l, known := w.stock[n.Code]; known {
			add("goods", "day", l.ReceivedOn, "left", Mass(float64(l.Mass)))
		} else {
			add("goods.gone")
		}
	case Run:
		r := w.runs[n.Code]
		if r.Sterilizer == "" {
			add("run", "day", r.On)
		} else {
			add("run.of", "sterilizer", r.Sterilizer, "day", r.On)
		}
		if r.Failed != "" {
			add("run.failed", "why", r.Failed)
		}
	case Spawn:
		s, known := w.spawn[n.Code]
		if !known {
			add("spawn.unknown")
		}
		if s.Generation > 0 {
			add("spawn.generation", "n", s.Generation)
		}
		if s.Jars > 0 {
			add("spawn.jars", "n", s.Jars)
		}
		if s.Full != "" {
			add("spawn.full", "day", s.Full)
		}
		if s.Maker != "" {
			add("spawn.maker", "maker", s.Maker)
		}
	case Batch:
		out = append(out, w.ofBatch(n.Code)...)
	}
	return out
}

// ofBatch is what the record says of a batch's way through the farm.
func (w *Web) ofBatch(code string) []protocol.Message {
	r := w.batches[code]
	var out []protocol.Message
	add := func(id string, pairs ...any) { out = append(out, say("about."+id, pairs...)) }
	add("batch", "of", w.name(r.Protocol), "day", r.Mixed, "n", r.Filled, "controls", r.Controls)
	if r.Mixes > 0 {
		add("batch.mixes", "n", r.Mixes)
	}
	for _, l := range r.Loads {
		id := "batch.load"
		if w.runs[l.Run].Failed != "" {
			id = "batch.load.failed"
		}
		args := []any{"n", l.Vessels, "run", l.Run}
		if len(l.Racks) > 0 {
			id, args = id+".racks", append(args, "racks", list(l.Racks))
		}
		add(id, args...)
	}
	for _, s := range r.Spawned {
		if of := w.spawn[s.Lot]; of.Generation > 0 {
			add("batch.spawned.generation", "lot", s.Lot, "n", s.Vessels, "generation", of.Generation)
		} else {
			add("batch.spawned", "lot", s.Lot, "n", s.Vessels)
		}
	}
	switch {
	case r.Given != "" && r.Bench != "":
		add("batch.given.at", "day", r.Given, "bench", r.Bench)
	case r.Given != "":
		add("batch.given", "day", r.Given)
	}
	if r.Room != "" {
		add("batch.room", "room", r.Room)
	}
	if r.Done() {
		add("batch.emptied", "day", r.Emptied)
	} else {
		add("batch.open")
	}
	return out
}

// list is codes in one line, with what the language puts between them.
func list(codes []string) protocol.Message {
	var out protocol.Message
	for i, code := range codes {
		if i == 0 {
			out = say("one", "code", code)
			continue
		}
		out = say("several", "before", out, "last", code)
	}
	return out
}

// Shares names the batches that share a lot with those that are touched.
func (l HarvestLot) Shares() protocol.Message {
	return say("lot.others", "code", l.Code, "others", list(l.Others))
}

// Reached says how a batch is touched.
func (w *Web) Reached(t Touched, start Node) protocol.Message {
	var by []string
	for _, n := range t.By {
		by = append(by, n.Code)
	}
	switch {
	case start.Kind == Customer:
		return say("by.sent", "by", list(by))
	case start.Kind == Harvest || len(by) == 0:
		return say("by.itself", "of", t.Of)
	case t.Vessels == t.Of:
		return say("by.all", "of", t.Of, "by", list(by))
	}
	return say("by.some", "n", t.Vessels, "of", t.Of, "by", list(by))
}

// Open says why a batch may be touched.
func (w *Web) Open(p Perhaps) protocol.Message {
	return say("perhaps."+string(p.Open), "by", p.By.Code)
}

// Means says what the gaps of the harvest stand for, lot by lot: what is missing from one
// is not made good by what another has too much of.
func (r *Recall) Means() []protocol.Message {
	if r.Total.Picked == 0 {
		return []protocol.Message{say("gap.nothing")}
	}
	var out []protocol.Message
	missing, more := false, false
	for _, l := range r.Lots {
		gap := Mass(math.Abs(l.Gap))
		switch {
		case !l.Open():
		case l.Gap > 0:
			missing = true
			out = append(out, say("gap.missing", "lot", l.Code, "gap", gap, "share", share(l.Gap/l.Picked)))
		default:
			more = true
			out = append(out, say("gap.more", "lot", l.Code, "gap", gap))
		}
	}
	if missing {
		out = append(out, say("gap.missing.why"))
	}
	if more {
		out = append(out, say("gap.more.why"))
	}
	if len(out) == 0 {
		out = append(out, say("gap.none", "gap", Mass(math.Abs(r.Total.Gap)), "share", share(Close)))
	}
	return out
}

// Found reports whether nothing of the harvest is missing, and nothing too much.
func (r *Recall) Found() bool { return !slices.ContainsFunc(r.Lots, HarvestLot.Open) }

// Said says what a batch's balance shows.
func (b Balance) Said() []protocol.Message {
	if b.In == 0 {
		return []protocol.Message{say("balance.none")}
	}
	if slices.Contains(b.Missing, NoEnd) {
		return []protocol.Message{say("balance.growing", "in", Mass(b.In), "goods", Mass(b.Goods), "water", Mass(b.Water), "spawn", Mass(b.Spawn), "out", Mass(b.Out), "waste", Mass(b.Waste))}
	}
	out := []protocol.Message{say("balance", "in", Mass(b.In), "goods", Mass(b.Goods), "water", Mass(b.Water), "spawn", Mass(b.Spawn),
		"out", Mass(b.Out), "waste", Mass(b.Waste), "gap", Mass(b.Gap))}
	if !b.Closed() {
		for _, m := range b.Missing {
			out = append(out, say("balance.lacks."+string(m)))
		}
		return append(out, say("balance.open"))
	}
	air := []any{"low", Mass(b.AirLow), "high", Mass(b.AirHigh), "usual", Mass(b.Air)}
	switch {
	case b.Unexplained == 0:
		return append(out, say("balance.air", air...))
	case b.Unexplained > 0:
		return append(out, say("balance.more", append(air, "rest", Mass(b.Unexplained))...))
	}
	return append(out, say("balance.less", append(air, "rest", Mass(-b.Unexplained))...))
}

// Said says what became of a lot of goods.
func (b Bought) Said() protocol.Message {
	id := "bought"
	if b.Gap < -Close*b.Came {
		id = "bought.more"
	} else if b.Gap > Close*b.Came {
		id = "bought.less"
	}
	return say(id, "came", Mass(b.Came), "used", Mass(b.Used), "left", Mass(b.Left), "gap", Mass(math.Abs(b.Gap)))
}

// Do is what to do, in this order. What is in force is local food law, and who decides is
// who is in charge.
func (w *Web) Do(r *Recall) []protocol.Message {
	growing := slices.ContainsFunc(r.Batches, func(t Touched) bool { return !t.Done() })
	out := []protocol.Message{say("do.hold"), say("do.charge")}
	switch r.Start.Kind {
	case Goods:
		out = append(out, say("do.goods", "lot", r.Start.Code))
	case Spawn:
		out = append(out, say("do.spawn", "lot", r.Start.Code))
	case Run:
		out = append(out, say("do.run", "run", r.Start.Code))
	case Method:
		out = append(out, say("do.method", "method", r.Start.Code))
	}
	if len(r.Spawn) > 0 {
		var lots []string
		for _, n := range r.Spawn {
			lots = append(lots, n.Code)
		}
		out = append(out, say("do.spawn.too", "lots", list(lots), "n", len(lots)))
	}
	if growing {
		out = append(out, say("do.growing"))
	}
	if len(r.Maybe) > 0 {
		out = append(out, say("do.maybe", "n", len(r.Maybe)))
	}
	if len(r.Sent) > 0 {
		out = append(out, say("do.tell"), say("do.count"))
	}
	if !r.Found() {
		out = append(out, say("do.find"))
	}
	if len(r.Promised) > 0 {
		out = append(out, say("do.promised", "n", len(r.Promised)))
	}
	return append(out, say("do.decide"), say("do.cause"))
}

// Head says what a trace found in numbers.
func (r *Recall) Head() protocol.Message {
	who := map[string]bool{}
	for _, d := range r.Sent {
		who[d.To] = true
	}
	if r.Start.Kind == Customer {
		return say("head.customer", "batches", len(r.Batches), "lots", len(r.Lots), "sent", Mass(sum(r.Sent)))
	}
	return say("head", "batches", len(r.Batches), "maybe", len(r.Maybe), "who", len(who), "sent", Mass(sum(r.Sent)))
}

func sum(list []Delivery) float64 {
	kg := 0.0
	for _, d := range list {
		kg += float64(d.Mass)
	}
	return kg
}

// AirSaid is the law of what goes into the air as it is evaluated, with its source, for
// those who check it.
func AirSaid() protocol.Message {
	percent := func(low, high float64) []unit.Amount { return []unit.Amount{share(low), share(high)} }
	e, r := percent(process.EvaporatedLeast, process.EvaporatedMost), percent(process.RespiredLeast, process.RespiredMost)
	return say("balance.law", "law", ToAir.Formula, "e_low", e[0], "e_high", e[1], "r_low", r[0], "r_high", r[1])
}
