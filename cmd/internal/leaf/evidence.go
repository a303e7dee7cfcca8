package leaf

import (
	"math"

	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
)

// EvidencePath is the page on what is measured of a protocol's run.
func EvidencePath(name string) string { return name + "/evidence.html" }

// evidencePage is for the author: each probe run beside what was computed, and
// whether it counts.
type evidencePage struct {
	frame
	ProtocolTitle string
	Beside        []link
	Verdict       verdict
	Modeled       safety
	Runs          []probeRun
}

// probeRun is one run with a probe in a vessel.
type probeRun struct {
	ID       string // unique on the page, for links
	Name     string
	Standing string // whether it counts
	Why      string // of who decided that
	Refused  string // why its log tells nothing; "" where it does
	Facts    []fact
	Notes    []string
	Picture  *picture // nil without a fit
	Rows     []momentRow
}

// momentRow is a moment of the run: what was read, and what was computed for it.
type momentRow struct{ Time, Chamber, Read, Computed, Difference string }

// betweenRows is the time between two rows of the table, s.
const betweenRows = 10 * unit.Minute

// Evidence sets the page on what is measured of a protocol's run.
func Evidence(e Edition, p *process.Process, method Method) ([]byte, error) {
	pr := p.Input.Protocol
	page := evidencePage{
		frame:         e.frameOf(pr, EvidencePath(pr.Name), "evidence", e.say("book.evidence.title", "title", pr.Title), e.say("book.evidence.id", "document", pr.Name), method),
		ProtocolTitle: pr.Title,
		Beside:        e.otherPages(pr.Name, EvidencePath(pr.Name), local),
		Verdict:       e.verdict(p),
		Modeled:       safety{procedure.Notice, []safetyText{{e.say("book.run.modeled"), []string{e.say("book.run.prove_it")}}}},
	}
	for _, j := range p.Evidence {
		page.Runs = append(page.Runs, e.probeRun(p, j))
	}
	return e.html("evidence", page)
}

// probeRun tells one run. It reads off the figures of the fit and computes none.
func (e Edition) probeRun(p *process.Process, j process.Judged) probeRun {
	run := probeRun{ID: "run-" + j.ID, Name: e.say("book.evidence.run", "id", j.ID), Why: j.Why, Standing: e.say("book.evidence." + standingOf(j))}
	run.Facts = []fact{
		{Name: e.say("book.evidence.on"), Value: e.say("book.evidence.on.by", "on", j.MeasuredOn, "by", j.By)},
		{Name: e.say("book.evidence.log"), Value: j.Log},
		{Name: e.say("book.evidence.protocol"), Value: j.Protocol},
		{Name: e.say("book.evidence.place"), Value: e.say("book.evidence.place.at", "axis", e.length(float64(j.FromAxis)), "base", e.length(float64(j.AboveBase)))},
		{Name: e.say("book.evidence.bore"), Value: e.say("book.evidence.bore." + j.Bore)},
	}
	if j.Refusal != nil {
		run.Refused = e.say("book.evidence.refused", "reason", process.Reason(j.Refusal))
		return run
	}
	f := j.Fit
	min := func(seconds float64) unit.Amount {
		return unit.Amount{Kind: unit.TimeOf, Value: seconds, Digits: 3, Unit: "min"}
	}
	k := func(v float64) unit.Amount {
		return unit.Amount{Kind: unit.ConductivityOf, Value: v, Step: 0.001}
	}
	run.Facts = append(run.Facts,
		fact{Name: e.say("book.evidence.k"), Value: e.say("book.evidence.k.between", "k", k(f.Conductivity), "low", k(f.Low), "high", k(f.High))},
		fact{Name: e.say("book.evidence.at_probe"), Value: e.say("book.evidence.at_probe.both", "read", min(f.DoseRead), "computed", min(f.DoseComputed))},
		fact{Name: e.say("book.evidence.left"), Value: e.say("book.evidence.left.of", "rms", e.difference(f.RMS), "offset", e.difference(f.Offset), "n", f.Readings)},
		fact{Name: e.say("book.evidence.slowest"), Value: e.say("book.evidence.slowest.gets", "f0", min(j.F0), "axis", e.length(j.Place.R), "base", e.length(j.Place.Z))},
	)
	run.Notes = []string{e.say("book.evidence.elsewhere", "low", k(f.Low))}
	if j.Bore != "none" {
		run.Notes = append(run.Notes, e.say("book.evidence.bore.stated"))
	}
	told := everyTenMinutes(j)
	run.Picture = e.readPicture(j, told)
	for _, k := range told {
		m := f.Moments[k]
		run.Rows = append(run.Rows, momentRow{
			e.show(unit.Amount{Kind: unit.TimeOf, Value: m.Time, Unit: "min", Step: unit.Minute}),
			e.tenth(m.Chamber), e.tenth(m.Read), e.tenth(m.Computed), e.show(e.difference(m.Read - m.Computed)),
		})
	}
	return run
}

// everyTenMinutes are the first moment of a run and the first of each ten minutes
// after it, as places in the list of its moments.
func everyTenMinutes(j process.Judged) []int {
	var out []int
	next := math.Inf(-1)
	for k, m := range j.Fit.Moments {
		if m.Time >= next {
			next = (math.Floor(m.Time/betweenRows) + 1) * betweenRows
			out = append(out, k)
		}
	}
	return out
}

// readPicture has what the probe read over what was computed for its place, and
// the chamber beside both. The table below it has the same in figures.
func (e Edition) readPicture(j process.Judged, told []int) *picture {
	all := j.Fit.Moments
	if len(all) < 2 {
		return nil
	}
	in, last, widest := e.degrees(), all[len(all)-1], 0.0
	end := all[told[len(told)-1]]
	d := draw.Run{
		Title:        e.say("book.figure.probe.title", "id", j.ID),
		Temperature:  in.say,
		Time:         in.clockTime,
		ChamberLabel: draw.Label{Measure: e.tenth(last.Chamber), Words: e.say("book.figure.probe.chamber")},
		SlowestLabel: draw.Label{Measure: e.tenth(last.Computed), Words: e.say("book.figure.probe.computed")},
		ReadLabel:    draw.Label{Measure: e.tenth(end.Read), Words: e.say("book.figure.probe.read")},
	}
	for _, m := range all {
		d.Minutes = append(d.Minutes, m.Time/unit.Minute)
		d.Chamber, d.Slowest = append(d.Chamber, in.in(m.Chamber)), append(d.Slowest, in.in(m.Computed))
		widest = math.Max(widest, math.Abs(m.Read-m.Computed))
	}
	for _, k := range told {
		m := all[k]
		d.Read = append(d.Read, [2]float64{m.Time / unit.Minute, in.in(m.Read)})
	}
	if from, to := j.Fit.HoldFrom/unit.Minute, j.Fit.HoldTo/unit.Minute; from > 0 && to > from {
		d.Phases = []draw.Phase{{To: from}, {From: from, To: math.Min(to, last.Time/unit.Minute), Name: e.say("book.figure.run.hold")}}
	}
	d.Description = e.say("book.figure.probe.desc", "begin", e.warm(all[0].Read), "end", e.warm(last.Read), "whole", minutes(last.Time),
		"computed", e.warm(last.Computed), "chamber", e.warm(last.Chamber))
	out := &picture{Notice: e.say("book.figure.probe.notice", "most", e.difference(widest)), How: e.say("book.figure.probe.how")}
	out.add(d.String())
	return out
}

// standingOf is the message on whether a run counts.
func standingOf(j process.Judged) string {
	switch {
	case j.InForce:
		return "in_force"
	case j.Accepted && j.Refusal == nil:
		return "other"
	case j.Accepted:
		return "useless"
	}
	return "not_accepted"
}

// length is a place in a vessel, to a millimeter.
func (e Edition) length(m float64) unit.Amount {
	return unit.Amount{Kind: unit.LengthOf, Value: m, Unit: "mm", Step: 0.001}
}

// difference is one of temperatures, to a tenth of a degree of the page.
func (e Edition) difference(k float64) unit.Amount {
	name := unit.UnitFor(unit.TemperatureDifference, k, e.Voice.Units())
	return unit.Amount{Kind: unit.TemperatureDifference, Value: k, Step: unit.SizeOf(unit.TemperatureDifference, name) / 10}
}
