package main

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// portionJSON is what one lot gives to a row; what the stock lacks is no lot's.
type portionJSON struct {
	Lot        string  `json:"lot"`
	ReceivedOn string  `json:"received_on"`
	Mass       float64 `json:"mass_kg"`
	InAllMixes float64 `json:"in_all_mixes_kg"`
}

func portionsReport(r batch.Weighing) []portionJSON {
	var out []portionJSON
	for _, p := range r.Portions {
		if p.Lot != "" {
			out = append(out, portionJSON{p.Lot, p.ReceivedOn, tidy(p.Mass), tidy(p.All)})
		}
	}
	return out
}

// tidy takes the noise of sums and differences off a mass in kg: no scale reads
// a microgram.
func tidy(mass float64) float64 { return unit.Nearest(mass*1e9) / 1e9 }

// stockReport is what the stock makes, as JSON.
func stockReport(f *farm, all []made, shared bool) any {
	type lot struct {
		Lot        string  `json:"lot"`
		Ingredient string  `json:"ingredient"`
		ReceivedOn string  `json:"received_on"`
		There      float64 `json:"in_stock_kg"`
		Used       float64 `json:"used_kg"`
		Left       float64 `json:"left_kg"`
	}
	type lack struct {
		Ingredient string   `json:"ingredient"`
		Mass       float64  `json:"mass_kg"`
		Cost       *float64 `json:"cost"` // null without a price
	}
	type answer struct {
		Protocol string          `json:"protocol"`
		Asked    int             `json:"asked,omitempty"` // vessels; left out, as many as there may be
		Vessels  int             `json:"vessels"`         // that the stock makes
		First    []string        `json:"runs_out_first"`
		Lots     []lot           `json:"lots"`
		For      int             `json:"missing_for"` // vessels
		Missing  []lack          `json:"missing"`
		Findings []findingReport `json:"findings"`
	}
	out := struct {
		Schema   string   `json:"schema"`
		Currency string   `json:"currency"`
		Shared   bool     `json:"shared"` // whether each protocol has only what those before it leave
		Answers  []answer `json:"protocols"`
	}{Schema: "bottlecrop stock 1", Currency: f.folder.Farm.Currency, Shared: shared}
	for _, m := range all {
		a := answer{Protocol: m.name, Asked: m.wanted.vessels, First: []string{}, Lots: []lot{}, Missing: []lack{}, Findings: reportFindings(f.voice, m.findings)}
		if m.batch != nil && !m.batch.Short() && protocol.Worst(m.batch.Own) != protocol.Error {
			a.Vessels = m.batch.Vessels
		}
		for _, r := range m.first {
			a.First = append(a.First, r.ID)
		}
		if m.batch != nil {
			after := m.before.Less(m.batch).Lots()
			for i, l := range m.before.Lots() {
				for _, r := range m.batch.Mix.Rows {
					if r.ID == l.Ingredient {
						a.Lots = append(a.Lots, lot{l.ID, l.Ingredient, l.ReceivedOn, tidy(float64(l.Left)), tidy(taken(r, l)), tidy(float64(after[i].Left))})
					}
				}
			}
		}
		list, _, _ := m.missing()
		for _, x := range list {
			a.For = m.next.Vessels
			a.Missing = append(a.Missing, lack{x.row.ID, tidy(x.row.Short()), x.cost})
		}
		out.Answers = append(out.Answers, a)
	}
	return out
}
