package main

import (
	"math"

	"bottlecrop/cmd/internal/design"
	"bottlecrop/cmd/internal/formula"
)

// boundReport is one side of a range, as JSON.
type boundReport struct {
	Of    string   `json:"of"`   // id of an ingredient, or name of a quantity
	Side  string   `json:"side"` // "low" or "high"
	Says  string   `json:"says"`
	By    *float64 `json:"loosened_by,omitempty"`
	Gains *float64 `json:"gain,omitempty"` // off the objective
}

func side(b formula.Bound) string {
	if b.Upper {
		return "high"
	}
	return "low"
}

// end is an end of a range; one that is left open is null.
func end(v float64) *float64 {
	if math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// designReport is a design as JSON: shares are fractions of the dry matter, and
// costs of a kg of it.
func designReport(f *farm, d *design.Design, written bool) any {
	type line struct {
		Ingredient string   `json:"ingredient"`
		Share      float64  `json:"share_dm"`
		House      float64  `json:"house_share_dm"`
		Low        *float64 `json:"low"`
		High       *float64 `json:"high"`
		From       string   `json:"bounds_from"`
	}
	type figure struct {
		Quantity string   `json:"quantity"`
		Value    float64  `json:"value"`
		House    float64  `json:"house_value"`
		Low      *float64 `json:"low"`
		High     *float64 `json:"high"`
		From     string   `json:"target_from"`
	}
	report := struct {
		Schema    string          `json:"schema"`
		Protocol  string          `json:"protocol"`
		Goal      string          `json:"goal"`
		Written   bool            `json:"written"`
		Lines     []line          `json:"ingredients"`
		Figures   []figure        `json:"figures"`
		Change    float64         `json:"change"`
		Currency  string          `json:"currency"`
		Cost      *float64        `json:"cost_of_dry_kg"`
		HouseCost *float64        `json:"house_cost_of_dry_kg"`
		Held      []boundReport   `json:"held_back_by"`
		Findings  []findingReport `json:"findings"`
	}{
		Schema: "bottlecrop design 1", Protocol: d.Input.Protocol.Name, Written: written,
		Goal:   map[design.Goal]string{design.Cheapest: "cheapest", design.Closest: "closest", design.LeastSquares: "least-squares"}[d.Goal],
		Change: d.Change, Currency: f.folder.Farm.Currency, Cost: d.Cost, HouseCost: d.HouseCost,
		Held: []boundReport{}, Findings: reportFindings(f.voice, designFindings(d)),
	}
	for _, l := range d.Lines {
		report.Lines = append(report.Lines, line{l.Ingredient.ID, l.Now, l.House, end(l.Bounds.Low), end(l.Bounds.High), l.From})
	}
	for _, x := range d.Figures {
		report.Figures = append(report.Figures, figure{x.Quantity, x.Now, x.House, end(x.Target.Low), end(x.Target.High), x.From})
	}
	said := d.HeldBack(f.saving)
	for i, h := range d.Held {
		report.Held = append(report.Held, boundReport{h.Of, side(h.Bound), plain(f.voice.Say(said[i])), &h.By, &h.Gain})
	}
	return report
}

// refusalReport is what keeps a formula from being there, as JSON.
func refusalReport(f *farm, name string, r *design.Refusal) any {
	type reach struct {
		Quantity string   `json:"quantity"`
		Low      *float64 `json:"low"`
		High     *float64 `json:"high"`
	}
	report := struct {
		Schema   string        `json:"schema"`
		Protocol string        `json:"protocol"`
		Against  []boundReport `json:"contradict"`
		Reach    []reach       `json:"reach"`
	}{Schema: "bottlecrop design 1", Protocol: name, Against: []boundReport{}, Reach: []reach{}}
	said := r.Bounds()
	for i, b := range r.Against {
		report.Against = append(report.Against, boundReport{Of: b.Of, Side: side(b), Says: plain(f.voice.Say(said[i]))})
	}
	for _, x := range r.Reach {
		report.Reach = append(report.Reach, reach{x.Target, end(x.Low), end(x.High)})
	}
	return report
}
