package main

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/process"
	thermal "bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// probeText prints what a log says.
func (t *terminal) probeText(v *words.Voice, r *probeReport) {
	t.say(v, "command.probe.log", "file", r.file, "rows", r.log.Rows, "interval", unit.Amount{Kind: unit.TimeOf, Value: r.log.Interval, Digits: 3}, "start", r.log.Start)
	fmt.Fprintln(t)
	head := []string{v.Say(words.Message("command.probe.channel")), v.Say(words.Message("command.probe.lowest")), v.Say(words.Message("command.probe.highest"))}
	for _, level := range probeLevels {
		head = append(head, v.Say(words.Message("command.probe.above", "level", unit.Amount{Kind: unit.TemperatureOf, Value: level, Digits: 3})))
	}
	rows := [][]string{append(head, v.Say(words.Message("command.probe.f0")))}
	show := func(a unit.Amount) string { return a.Show(v.Units()) }
	for i, c := range r.channels {
		row := []string{channelName(r.log.Channels[i]), show(degreesOf(v, c.Lowest)), show(degreesOf(v, c.Highest))}
		for _, above := range c.Above {
			row = append(row, show(minutesOf(math.Round(above)))) // of a second nothing is known
		}
		rows = append(rows, append(row, show(minutesOf(c.Dose))))
	}
	t.columns(rows)
	fmt.Fprintln(t)
	counted := "command.probe.counted_all"
	if r.compared != nil && r.compared.Held {
		counted = "command.probe.counted_hold"
	}
	t.say(v, counted)
	for i, c := range r.channels {
		if c.LeftOut > 0 {
			t.say(v, "command.probe.left_out", "channel", channelName(r.log.Channels[i]), "left", minutesOf(c.LeftOut), "gap", minutesOf(r.gap()))
		}
	}
	fmt.Fprintln(t)
	if r.compared == nil {
		t.say(v, "command.probe.no_chamber")
	} else {
		t.compared(v, r.process, *r.compared)
	}
	if r.judged != nil {
		fmt.Fprintln(t)
		t.judged(v, r.process, *r.judged)
	}
	fmt.Fprintln(t)
	t.say(v, "command.probe.defers")
}

// compared prints the chamber beside the protocol.
func (t *terminal) compared(v *words.Voice, p *process.Process, c thermal.Comparison) {
	t.say(v, "command.probe.beside", "protocol", p.Input.Protocol.Name)
	wanted := degreesOf(v, p.Case.Chamber)
	vent := "command.probe.vent_short"
	if c.Vented >= p.Case.Vent-1 {
		vent = "command.probe.vent_met"
	}
	t.say(v, vent, "found", minutesOf(c.Vented), "wanted", minutesOf(p.Case.Vent), "boiling", degreesOf(v, p.Case.Boiling))
	switch {
	case !c.Held:
		t.say(v, "command.probe.hold_none", "wanted", wanted)
		return
	case c.Hold() >= p.Case.Hold-1:
		t.say(v, "command.probe.hold_met", "found", minutesOf(c.Hold()), "wanted", minutesOf(p.Case.Hold))
	default:
		t.say(v, "command.probe.hold_short", "found", minutesOf(c.Hold()), "wanted", minutesOf(p.Case.Hold))
	}
	t.say(v, "command.probe.hold_lowest", "found", degreesOf(v, c.Lowest), "wanted", wanted)
}

// conductivity is one as it is printed: to a thousandth, which no fit is better than.
func conductivity(k float64) unit.Amount {
	return unit.Amount{Kind: unit.ConductivityOf, Value: k, Step: 0.001}
}

// judged prints what a fit says, or why there is none.
func (t *terminal) judged(v *words.Voice, p *process.Process, j process.Judged) {
	if j.Refusal != nil {
		t.say(v, "command.probe.refused", "reason", process.Reason(j.Refusal))
		t.say(v, "command.probe.refused_hint")
		return
	}
	f := j.Fit
	t.say(v, "command.probe.fitted", "k", conductivity(f.Conductivity), "low", conductivity(f.Low), "high", conductivity(f.High))
	t.say(v, "command.probe.bore."+j.Bore)
	t.say(v, "command.probe.closeness", "rms", unit.Amount{Kind: unit.TemperatureDifference, Value: f.RMS, Digits: 2},
		"offset", unit.Amount{Kind: unit.TemperatureDifference, Value: f.Offset, Digits: 2}, "n", f.Readings)
	t.say(v, "command.probe.at_probe", "read", minutesOf(f.DoseRead), "computed", minutesOf(f.DoseComputed))
	id := "command.probe.slowest_met"
	if j.F0 < p.Value("f0_target")*(1-1e-9) {
		id = "command.probe.slowest_short"
	}
	t.say(v, id, "k", conductivity(f.Low), "protocol", p.Input.Protocol.Name, "f0", minutesOf(j.F0), "target", minutesOf(p.Value("f0_target")), "hold", minutesOf(j.Hold))
	t.say(v, "command.probe.accept")
}

// json is the report for programs: SI units but for F0 and times, which are in
// minutes, and temperatures in °C.
func (r *probeReport) json(v *words.Voice) any {
	type channel struct {
		Name    string    `json:"name"`
		Column  int       `json:"column"`
		Lowest  float64   `json:"lowest_c"`
		Highest float64   `json:"highest_c"`
		F0      float64   `json:"f0_min"`
		LeftOut float64   `json:"left_out_min"`
		Levels  []float64 `json:"levels_c"`
		Above   []float64 `json:"above_min"`
	}
	type compared struct {
		Held        bool     `json:"hold_found"`
		Hold        float64  `json:"hold_min"`
		HoldWanted  float64  `json:"hold_wanted_min"`
		Lowest      *float64 `json:"lowest_in_hold_c"`
		Chamber     float64  `json:"chamber_wanted_c"`
		Vented      float64  `json:"vent_min"`
		VentWanted  float64  `json:"vent_wanted_min"`
		BoilingHere float64  `json:"boiling_c"`
	}
	type fit struct {
		Conductivity float64  `json:"conductivity_w_mk"`
		Low          float64  `json:"low_w_mk"`
		High         float64  `json:"high_w_mk"`
		Confidence   float64  `json:"confidence"`
		Offset       float64  `json:"offset_k"`
		RMS          float64  `json:"rms_k"`
		Readings     int      `json:"readings"`
		F0Read       float64  `json:"f0_at_probe_read_min"`
		F0Computed   float64  `json:"f0_at_probe_computed_min"`
		F0Slowest    float64  `json:"f0_slowest_at_low_min"`
		Hold         *float64 `json:"hold_for_target_at_low_min"`
	}
	celsius := func(k float64) float64 { return unit.Temperature(k).Celsius() }
	out := struct {
		Schema   string    `json:"schema"`
		Log      string    `json:"log"`
		Protocol string    `json:"protocol"`
		Start    string    `json:"start"`
		Rows     int       `json:"rows"`
		Interval float64   `json:"interval_s"`
		Channels []channel `json:"channels"`
		Compared *compared `json:"compared"`
		Fit      *fit      `json:"fit"`
		Refused  string    `json:"refused"`
		Defers   string    `json:"note"`
	}{
		Schema: "bottlecrop probe 1", Log: r.file, Protocol: r.process.Input.Protocol.Name, Start: r.log.Start, Rows: r.log.Rows,
		Interval: r.log.Interval, Channels: []channel{}, Defers: v.Say(words.Message("command.probe.defers")),
	}
	var levels []float64
	for _, l := range probeLevels {
		levels = append(levels, celsius(l))
	}
	for i, c := range r.channels {
		x := channel{Name: channelName(r.log.Channels[i]), Column: r.log.Channels[i].Column, Lowest: celsius(c.Lowest), Highest: celsius(c.Highest),
			F0: c.Dose / unit.Minute, LeftOut: c.LeftOut / unit.Minute, Levels: levels}
		for _, a := range c.Above {
			x.Above = append(x.Above, math.Round(a)/unit.Minute)
		}
		out.Channels = append(out.Channels, x)
	}
	if c := r.compared; c != nil {
		out.Compared = &compared{c.Held, c.Hold() / unit.Minute, r.process.Case.Hold / unit.Minute, nil, celsius(r.process.Case.Chamber),
			c.Vented / unit.Minute, r.process.Case.Vent / unit.Minute, celsius(r.process.Case.Boiling)}
		if c.Held {
			out.Compared.Lowest = finite(celsius(c.Lowest))
		}
	}
	if j := r.judged; j != nil && j.Refusal != nil {
		out.Refused = v.Say(words.Message("command.probe.refused", "reason", process.Reason(j.Refusal)))
	} else if j != nil {
		f := j.Fit
		out.Fit = &fit{f.Conductivity, f.Low, f.High, thermal.Confidence, f.Offset, f.RMS, f.Readings, f.DoseRead / unit.Minute,
			f.DoseComputed / unit.Minute, j.F0 / unit.Minute, finite(j.Hold / unit.Minute)}
	}
	return out
}
