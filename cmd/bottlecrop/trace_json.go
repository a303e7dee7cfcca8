package main

import (
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/unit"
)

// toMilligrams drops what sums of kilograms are off by in a computer's numbers.
func toMilligrams(kg float64) float64 { return unit.Nearest(kg*1e6) / 1e6 }

// traceJSON is a trace as JSON. Masses are in kg.
type traceJSON struct {
	Schema   string         `json:"schema"`
	Start    nodeJSON       `json:"start"`
	About    []string       `json:"about"`
	Back     []nodeJSON     `json:"went_in"`
	Spawn    []nodeJSON     `json:"spawn_touched"`
	Batches  []touchedJSON  `json:"batches"`
	Maybe    []perhapsJSON  `json:"batches_that_may_be"`
	Lots     []harvestJSON  `json:"harvest"`
	Total    harvestJSON    `json:"together"`
	Means    []string       `json:"gap_means"`
	Sent     []deliveryJSON `json:"sent"` // the latest first
	Promised []promisedJSON `json:"orders_that_wait"`
	Bought   *purchasedJSON `json:"lot_of_goods"` // null where the stock does not say how much came
	Do       []string       `json:"what_to_do"`
}

type nodeJSON struct {
	Kind string `json:"kind"`
	Code string `json:"code"`
	Name string `json:"name"`
}

type touchedJSON struct {
	Code     string      `json:"code"`
	Protocol string      `json:"protocol"`
	Method   string      `json:"method"`
	Mixed    string      `json:"mixed"`
	Emptied  string      `json:"emptied"` // "" while it is under way
	By       []nodeJSON  `json:"by"`
	Vessels  int         `json:"vessels_at_most"`
	Of       int         `json:"of"`
	Balance  balanceJSON `json:"balance"`
}

type balanceJSON struct {
	Goods       float64         `json:"goods"`
	Water       float64         `json:"water"`
	Spawn       float64         `json:"spawn"`
	In          float64         `json:"in"`
	Sold        float64         `json:"sold"`
	Trimmings   float64         `json:"trimmings"`
	Waste       float64         `json:"waste"`
	Gap         float64         `json:"gap"`
	AirLow      float64         `json:"air_low"`
	Air         float64         `json:"air_usual"`
	AirHigh     float64         `json:"air_high"`
	Missing     []trace.Missing `json:"missing_on_the_record"`
	Unexplained *float64        `json:"unexplained"` // null where something is missing
	Says        []string        `json:"says"`
}

type perhapsJSON struct {
	Code     string `json:"code"`
	Protocol string `json:"protocol"`
	Mixed    string `json:"mixed"`
	Why      string `json:"why"`
}

type harvestJSON struct {
	Lot     string   `json:"lot"`
	Batches []string `json:"batches"`
	Others  []string `json:"untouched_batches_in_it"`
	Picked  float64  `json:"picked"`
	Sent    float64  `json:"sent"`
	Unsold  float64  `json:"unsold"`
	Gap     float64  `json:"gap"`
}

type deliveryJSON struct {
	On    string  `json:"on"`
	To    string  `json:"to"`
	Lot   string  `json:"lot"`
	Mass  float64 `json:"mass"`
	Order string  `json:"order"`
	For   string  `json:"order_is_for"` // "" where it is for the one who got it
}

type promisedJSON struct {
	Order    string `json:"order"`
	For      string `json:"for"`
	Protocol string `json:"protocol"`
}

type purchasedJSON struct {
	Came float64 `json:"came"`
	Used float64 `json:"used"`
	Left float64 `json:"left"`
	Gap  float64 `json:"gap"`
}

// traceReport is a trace as JSON.
func traceReport(f *farm, w *trace.Web, r *trace.Recall) traceJSON {
	said := func(list []protocol.Message) []string {
		out := []string{}
		for _, m := range list {
			out = append(out, plain(f.voice.Say(m)))
		}
		return out
	}
	node := func(n trace.Node) nodeJSON {
		return nodeJSON{string(n.Kind), n.Code, said([]protocol.Message{w.Said(n)})[0]}
	}
	nodes := func(list []trace.Node) []nodeJSON {
		out := []nodeJSON{}
		for _, n := range list {
			out = append(out, node(n))
		}
		return out
	}
	harvest := func(l trace.HarvestLot) harvestJSON {
		return harvestJSON{l.Code, append([]string{}, l.Batches...), append([]string{}, l.Others...), toMilligrams(l.Picked), toMilligrams(l.Sent), toMilligrams(l.Unsold), toMilligrams(l.Gap)}
	}
	out := traceJSON{
		Schema: "bottlecrop trace 1", Start: node(r.Start), About: said(w.About(r.Start)), Back: nodes(r.Back), Spawn: nodes(r.Spawn),
		Batches: []touchedJSON{}, Maybe: []perhapsJSON{}, Lots: []harvestJSON{}, Total: harvest(r.Total), Means: said(r.Means()),
		Sent: []deliveryJSON{}, Promised: []promisedJSON{}, Do: said(w.Do(r)),
	}
	for _, t := range r.Batches {
		b := t.Balance
		x := balanceJSON{toMilligrams(b.Goods), toMilligrams(b.Water), toMilligrams(b.Spawn), toMilligrams(b.In), toMilligrams(b.Sold), toMilligrams(b.Trimmings), toMilligrams(b.Waste), toMilligrams(b.Gap),
			toMilligrams(b.AirLow), toMilligrams(b.Air), toMilligrams(b.AirHigh), append([]trace.Missing{}, b.Missing...), nil, said(b.Said())}
		if b.Closed() {
			rest := toMilligrams(b.Unexplained)
			x.Unexplained = &rest
		}
		out.Batches = append(out.Batches, touchedJSON{t.Code, t.Protocol, t.Method, t.Mixed, t.Emptied, nodes(t.By), t.Vessels, t.Of, x})
	}
	for _, p := range r.Maybe {
		out.Maybe = append(out.Maybe, perhapsJSON{p.Code, p.Protocol, p.Mixed, said([]protocol.Message{w.Open(p)})[0]})
	}
	for _, l := range r.Lots {
		out.Lots = append(out.Lots, harvest(l))
	}
	for _, d := range r.Sent {
		out.Sent = append(out.Sent, deliveryJSON{d.On, d.To, d.Lot, float64(d.Mass), d.Order, d.For})
	}
	for _, o := range r.Promised {
		out.Promised = append(out.Promised, promisedJSON{o.ID, o.For, o.Protocol})
	}
	if b := r.Bought; b != nil {
		out.Bought = &purchasedJSON{toMilligrams(b.Came), toMilligrams(b.Used), toMilligrams(b.Left), toMilligrams(b.Gap)}
	}
	return out
}
