package process

import (
	"errors"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Evidence is a probe run of the farm with its log as series, for a protocol
// whose vessels heat like those of the run.
type Evidence struct {
	protocol.Evidence
	Index   int          // in the farm's list
	Vessel  []heat.Point // the channel in the vessel
	Chamber []heat.Point // nil for a log without one
}

// Judged is a probe run with what it says of the protocol.
type Judged struct {
	Evidence
	Fit     *run.Fit     // nil where the log does not tell
	Refusal *run.Refusal // why it does not
	InForce bool         // it takes the place of what is assumed

	// At the slowest place of this protocol's run, for the low end of the interval.
	Place          heat.Place
	F0, Core, Hold float64 // s, K, s
}

// record is what a fit takes of the probe run.
func (e Evidence) record() run.Recorded {
	within := protocol.UsualWithin
	if e.Within != nil {
		within = *e.Within
	}
	bore := e.Bore
	if bore == "none" { // nothing is in a bore that is not there
		bore = "collapsed"
	}
	return run.Recorded{Vessel: e.Vessel, Chamber: e.Chamber, Bore: bore, Within: float64(within),
		Place: heat.Place{R: float64(e.FromAxis), Z: float64(e.AboveBase)}}
}

// Tell works out what one probe run says.
func (p *Process) Tell(e Evidence) Judged {
	j := Judged{Evidence: e}
	fit, err := p.Case.Fit(e.record())
	if err != nil {
		if !errors.As(err, &j.Refusal) { // a case that a limit has refused
			j.Refusal = &run.Refusal{Reason: run.NoCase}
		}
		return j
	}
	a := fit.Assumption()
	s, err := run.Solve(p.Case, a)
	if err != nil {
		j.Refusal = &run.Refusal{Reason: run.NoCase}
		return j
	}
	j.Fit, j.Place, j.F0, j.Core = fit, s.Place, s.Least, s.Core
	hold, err := run.HoldFor(p.Case, a, p.Value("f0_target"))
	if err != nil {
		return Judged{Evidence: e, Refusal: &run.Refusal{Reason: run.NoCase}}
	}
	j.Hold = run.HoldTold(hold)
	return j
}

// evidence judges the farm's probe runs. Of those that were accepted the one
// that gives the slowest place least takes the place of what is assumed:
// its quantities are measured, and the limits run over them. An accepted one
// that says nothing is an error: somebody relies on it.
func (p *Process) evidence(thermal []working.Input) {
	p.heated = thermal
	least := -1
	for _, e := range p.Input.Evidence {
		j := p.Tell(e)
		p.Evidence = append(p.Evidence, j)
		switch {
		case !e.Accepted:
		case j.Refusal != nil:
			p.unfit = append(p.unfit, protocol.Finding{
				Severity: protocol.Error, Rule: "evidence.refused", Origin: p.farmOrigin("evidence", e.Index, "accepted"),
				What:    protocol.Message{ID: "evidence.refused", Args: map[string]any{"id": e.ID, "reason": Reason(j.Refusal)}},
				Why:     protocol.Message{ID: "evidence.refused.why"},
				Hint:    protocol.Message{ID: "evidence.refused.hint"},
				Subject: p.Input.Protocol.Name,
			})
		case least < 0 || j.F0 < p.Evidence[least].F0:
			least = len(p.Evidence) - 1
		}
	}
	if least < 0 {
		return
	}
	p.Evidence[least].InForce = true
	e, l := p.Evidence[least], p.Ledger
	source := "probe run " + e.ID + ": low end of the 90 % interval of a fit to " + e.Log
	k := l.GivenOf("measured_conductivity", "", unit.ConductivityOf, e.Fit.Low, p.farmOrigin("evidence", e.Index, "log"), source)
	bore := l.GivenOf("measured_bore", "", unit.ConductanceOf, e.Fit.Bore, p.farmOrigin("evidence", e.Index, "bore"),
		"a bore full of steam 300 W/(m²·K), of air 10, fallen in 0: engineering assumption, no source")
	with := append(append([]working.Input(nil), thermal...), working.Bind("k", k), working.Bind("U_bore", bore))
	f0 := l.Derive("f0_measured", unit.TimeOf, run.LawsOfMeasured.F0, with...)
	l.Derive("core_measured", unit.TemperatureOf, run.LawsOfMeasured.Core, with...)
	hold := l.Derive("hold_measured", unit.TimeOf, run.LawsOfMeasured.Hold, append(with, working.Bind("F", l.Get("f0_target")))...)
	f0.Unit, hold.Unit = minutes, minutes
}

// unexplained are the faults of accepted probe runs, where no other error
// explains them: with a run that is itself refused, such as one at a pressure
// that no sterilizer bears, a good log tells nothing either, and nobody should
// make it again.
func (p *Process) unexplained(found []protocol.Finding) []protocol.Finding {
	if len(p.unfit) == 0 {
		return nil
	}
	heats := map[string]bool{} // what the run is worked out from
	row := make([]*working.Quantity, 0, len(p.heated))
	for _, in := range p.heated {
		row = append(row, in.Quantity)
	}
	for len(row) > 0 {
		q := row[len(row)-1]
		row = row[:len(row)-1]
		if heats[q.ID()] {
			continue
		}
		heats[q.ID()] = true
		for _, in := range q.Inputs {
			row = append(row, in.Quantity)
		}
	}
	about := map[string]string{"law.range": ""}
	for _, l := range limit.All() {
		about[l.ID] = l.Quantity
	}
	for _, f := range found {
		name, known := about[f.Rule]
		if known && f.Severity == protocol.Error && (name == "" || heats[name]) {
			return nil
		}
	}
	return p.unfit
}

// Reason is a refusal in words.
func Reason(r *run.Refusal) protocol.Message {
	amount := func(v float64) unit.Amount { return unit.Amount{Kind: r.Kind, Value: v, Digits: 3} }
	m := protocol.Message{ID: "evidence.reason." + string(r.Reason), Args: map[string]any{}}
	if r.Kind == unit.CountOf {
		m.Args["found"], m.Args["allowed"] = int(r.Found), int(r.Allowed)
	} else if r.Kind != unit.None {
		m.Args["found"], m.Args["allowed"] = amount(r.Found), amount(r.Allowed)
	}
	return m
}
