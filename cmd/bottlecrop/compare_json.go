package main

import (
	"strings"

	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// A comparison as JSON: values in SI units, differences by group, the gravest first.
type (
	compareJSON struct {
		Schema      string           `json:"schema"`
		Before      string           `json:"before"`
		After       string           `json:"after"`
		Vessels     int              `json:"vessels"`
		Nothing     bool             `json:"nothing_for_workers"`
		Rise        string           `json:"version_number_to_rise,omitempty"` // "none", "second", "first"; of one protocol
		Inputs      []changedJSON    `json:"changed_inputs"`
		Differences []differenceJSON `json:"differences"`
	}
	changedJSON struct {
		Mark   int         `json:"mark"` // 0 of one that moves nothing here
		Before writtenJSON `json:"before"`
		After  writtenJSON `json:"after"`
		Method bool        `json:"part_of_method"`
	}
	writtenJSON struct {
		File  string `json:"file"`
		Line  int    `json:"line"`
		Key   string `json:"key"`
		Value string `json:"value"`
	}
	differenceJSON struct {
		Group    string       `json:"group"`
		Kind     string       `json:"kind"`
		Worker   bool         `json:"workers_meet_it"`
		First    bool         `json:"first_number_rises"`
		Marks    []int        `json:"causes"`
		Alone    bool         `json:"each_alone"`
		Coarse   bool         `json:"some_may_be_idle,omitempty"`
		Quantity string       `json:"quantity,omitempty"`
		Name     string       `json:"name,omitempty"`
		Why      string       `json:"group_because,omitempty"`
		Before   *float64     `json:"before_si,omitempty"`
		After    *float64     `json:"after_si,omitempty"`
		Was      *findingNote `json:"crossed_before,omitempty"`
		Is       *findingNote `json:"crossed_after,omitempty"`
		Step     *stepNote    `json:"step,omitempty"`
	}
	findingNote struct {
		Rule     string `json:"rule"`
		Severity string `json:"severity"`
		What     string `json:"what"`
		By       string `json:"acknowledged_by,omitempty"`
	}
	stepNote struct {
		ID           string   `json:"id"`
		Title        string   `json:"title"`
		Spawn        bool     `json:"of_spawn_sheet,omitempty"`
		NumberBefore int      `json:"number_before"`
		NumberAfter  int      `json:"number_after"`
		Part         string   `json:"part,omitempty"`
		Before       []string `json:"before,omitempty"`
		After        []string `json:"after,omitempty"`
	}
)

func compareReport(e leaf.Edition, c leaf.Compared) compareJSON {
	out := compareJSON{Schema: "bottlecrop compare 1", Before: c.Before, After: c.After, Vessels: c.Vessels, Nothing: c.Nothing(),
		Rise: []string{"none", "second", "first"}[c.Rise], Inputs: []changedJSON{}, Differences: []differenceJSON{}}
	if c.Report.Before.Protocol.Name != c.Report.After.Protocol.Name {
		out.Rise = ""
	}
	mark := c.Marks()
	for _, x := range c.Report.Inputs {
		out.Inputs = append(out.Inputs, changedJSON{mark[x], writtenReport(e, x.Before, c.PlaceBefore), writtenReport(e, x.After, c.PlaceAfter), x.Method})
	}
	for _, d := range c.Differences {
		x := differenceJSON{Group: string(d.Group), Kind: string(d.Kind), Worker: d.Worker, First: d.First, Alone: d.Alone, Coarse: d.Coarse,
			Was: findingNoteOf(e, d.Was), Is: findingNoteOf(e, d.Is)}
		for _, cause := range d.Causes {
			x.Marks = append(x.Marks, mark[cause])
		}
		switch d.Kind {
		case change.Figure:
			x.figure(e, d)
		case change.Crossing:
		default:
			x.Step = &stepNote{ID: string(d.Step.ID), Title: e.Voice.Say(d.Step.Title), Spawn: d.Spawn, NumberBefore: d.NumberBefore, NumberAfter: d.NumberAfter, Part: string(d.Part)}
			if d.Kind == change.Told {
				x.Step.Before, x.Step.After = strings.Split(d.TextBefore, "\n"), strings.Split(d.TextAfter, "\n")
			}
		}
		out.Differences = append(out.Differences, x)
	}
	return out
}

func (x *differenceJSON) figure(e leaf.Edition, d change.Difference) {
	for _, q := range []*working.Quantity{d.Before, d.After} {
		if q != nil {
			x.Quantity, x.Name, x.Why = q.ID(), e.Voice.Say(limit.Name(q, d.Names)), change.ReasonOf(q.Name)
		}
	}
	if d.Before != nil {
		x.Before = &d.Before.Value
	}
	if d.After != nil {
		x.After = &d.After.Value
	}
}

func writtenReport(e leaf.Edition, w change.Written, place func(working.Origin) protocol.Place) writtenJSON {
	p := place(w.Origin)
	if p.File == "" {
		p.File = w.Origin.Document
	}
	return writtenJSON{p.File, p.Line, w.Origin.Key, e.Written(w.Value)}
}

func findingNoteOf(e leaf.Edition, f *protocol.Finding) *findingNote {
	if f == nil {
		return nil
	}
	out := &findingNote{Rule: f.Rule, Severity: f.Severity.String(), What: e.Voice.Say(f.What)}
	if f.By != nil {
		out.By = f.By.Who
	}
	return out
}
