package leaf

import (
	"strings"

	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// spread is what the author's page says of samples: how far runs and vessels lie
// apart. Ask stands for all of it in a book that was made without.
type spread struct {
	Ask                          string
	How, Yours, PutAside, Vented string
	Caption, Inputs              string
	Matters, Between             string
	Rows                         []spreadRow
	Drawn                        []drawnRow
	Picture                      picture
}

type spreadRow struct {
	Name                    string
	P5, P50, P95            string
	UnderTarget, UnderFloor string
	BadRuns, BadVessels     string
}

type drawnRow struct{ Name, From, Each, Rank string }

func (e Edition) spread(p *process.Process) (spread, error) {
	if !e.Spread {
		return spread{Ask: e.say("book.spread.ask")}, nil
	}
	s, err := p.Spread()
	if err != nil {
		return spread{}, err
	}
	target := minutes(p.Value("f0_target"))
	out := spread{
		How: e.say("book.spread.how", "vessels", s.Vessels, "runs", s.Runs), Yours: e.say("book.spread.yours"),
		Caption: e.say("book.spread.caption", "share", sampled(s.Bad), "target", target),
		Inputs:  e.say("book.spread.inputs"),
		Matters: e.say("book.spread.matters", "input", words.Message("book.spread.in."+s.Influences[0].Input.String())),
		Between: e.say("book.spread.between", "share", sampled(s.Between)),
		Rows:    []spreadRow{e.spreadRow("all", s.All, true), e.spreadRow("still", s.Still, true)},
	}
	if p.Value("air_left") == 0 {
		out.Vented = e.say("book.spread.vented")
	}
	if s.Fallen != nil {
		out.PutAside = e.say("book.spread.put_aside")
		out.Rows = append(out.Rows, e.spreadRow("fallen", *s.Fallen, false))
	}
	for _, i := range s.Influences {
		out.Drawn = append(out.Drawn, e.drawnRow(p, i))
	}
	out.Picture = e.strip(p, s.All, s.Still, s.Fallen)
	return out, nil
}

// dose is a time of samples: whole minutes, and two figures where it is short,
// which is as good as chance lets it be.
func dose(s float64) unit.Amount {
	if s < 10*unit.Minute {
		return unit.Amount{Kind: unit.TimeOf, Value: s, Unit: "min", Digits: 2}
	}
	return minutes(s)
}

// sampled is a share to the quarter of a percent that one vessel of the samples is.
func sampled(share float64) unit.Amount {
	return unit.Amount{Kind: unit.ShareOf, Value: share, Digits: 2}
}

func (e Edition) spreadRow(id string, s process.Samples, runs bool) spreadRow {
	share := func(v float64) string {
		if v == 0 {
			return e.say("book.spread.seen")
		}
		return e.show(sampled(v))
	}
	row := spreadRow{
		Name: e.say("book.spread." + id),
		P5:   e.show(dose(s.F0.P5)), P50: e.show(dose(s.F0.P50)), P95: e.show(dose(s.F0.P95)),
		UnderTarget: share(s.UnderTarget), UnderFloor: share(s.UnderFloor),
		BadRuns: share(s.BadRuns), BadVessels: share(s.BadVessels),
	}
	switch {
	case !runs:
		row.BadRuns, row.BadVessels = e.say("book.spread.fallen.runs"), e.say("book.spread.fallen.runs")
	case s.BadRuns == 1:
		row.BadVessels = e.say("book.spread.no_other")
	}
	return row
}

// drawnRow is what was drawn, from where, and how closely F0 follows it.
func (e Edition) drawnRow(p *process.Process, i process.Influence) drawnRow {
	v, name := p.Scatter().Intervals[i.Input], i.Input.String()
	kinds := map[string]unit.Kind{"conductivity": unit.ConductivityOf, "bore": unit.ConductanceOf}
	amount := func(x float64) any {
		switch name {
		case "gauge":
			g := p.Sterilizer.Gauge
			return unit.Amount{Kind: unit.GaugePressureOf, Value: x, Digits: 2, Unit: g.Unit}
		case "moisture":
			return unit.Show(unit.None, 100*x, e.Voice.Units(), 2)
		}
		if k, ok := kinds[name]; ok {
			return unit.Amount{Kind: k, Value: x, Digits: 2}
		}
		return unit.Amount{Kind: unit.ShareOf, Value: x, Digits: 3}
	}
	each := "vessel"
	if i.Input.EachRun() {
		each = "run"
	}
	// A figure of two decimals: with four hundred samples chance alone gives a
	// twentieth.
	return drawnRow{
		Name: e.say("book.spread.in." + name), From: e.say("book.spread.from."+name, "low", amount(v.Low), "high", amount(v.High)),
		Each: e.say("book.spread.each." + each), Rank: e.Voice.Units().Number(unit.Nearest(100*i.Rank)/100, 0.01),
	}
}

// strip is the picture: nine in ten of the vessels of each group on one scale.
func (e Edition) strip(p *process.Process, all, still process.Samples, fallen *process.Samples) picture {
	target, floor := p.Value("f0_target"), p.Value("f0_floor")
	bound := func(class string, s float64) draw.Bound {
		return draw.Bound{Class: class, Tick: draw.Tick{At: s / unit.Minute,
			Label: e.say("book.spread.figure.bound", "name", e.say("book.verdict."+class), "value", minutes(s))}}
	}
	d := draw.Strip{
		Title:  e.say("book.spread.figure"),
		Bounds: []draw.Bound{bound("floor", floor), bound("target", target)},
		Say: func(v float64) string {
			return e.show(unit.Amount{Kind: unit.TimeOf, Value: v * unit.Minute, Unit: "min", Digits: 1})
		},
	}
	if floor > target {
		d.Bounds[0], d.Bounds[1] = d.Bounds[1], d.Bounds[0]
	}
	var told []string
	add := func(id string, s process.Samples) {
		tick := func(x float64) draw.Tick { return draw.Tick{At: x / unit.Minute, Label: e.show(dose(x))} }
		g := draw.Group{Name: e.say("book.spread." + id), Low: tick(s.F0.P5), Middle: tick(s.F0.P50), High: tick(s.F0.P95)}
		d.Groups = append(d.Groups, g)
		told = append(told, e.say("book.spread.figure.row", "name", e.say("book.spread."+id),
			"low", dose(s.F0.P5), "middle", dose(s.F0.P50), "high", dose(s.F0.P95)))
	}
	add("all", all)
	add("still", still)
	if fallen != nil {
		add("fallen", *fallen)
	}
	d.Description = e.say("book.spread.figure.desc", "rows", strings.Join(told, " "), "target", minutes(target), "floor", minutes(floor))
	notice := "met"
	switch {
	case all.F0.P5 < target:
		notice = "under"
	case still.F0.P5 < target:
		notice = "apart"
	}
	out := picture{Notice: e.say("book.spread.figure.notice." + notice)}
	out.add(d.String())
	return out
}
