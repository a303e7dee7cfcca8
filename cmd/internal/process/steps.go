package process

import (
	"cmp"
	"slices"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// Step is one step that the protocol has.
type Step struct {
	ID      work.StepID
	Station work.Station
	Role    work.Role
	Own     bool           // a step of the farm's own
	Written *protocol.Step // what the author wrote of it; nil where it is the book's alone
	Key     string         // of that entry in the protocol: "step[2]"
}

// Subject is the subject of the quantities of a step of the farm's own. It has a
// point, which the id of no ingredient has.
func (s Step) Subject() string { return "step." + string(s.ID) }

// GrownAlone reports whether controls have no part in the step.
func (s Step) GrownAlone() bool {
	if s.Own {
		return work.GrownAt(s.Station)
	}
	return work.OnlyGrown(s.ID)
}

// Steps lists the steps that the protocol has, in their order: those of the book
// that its setting brings in and nobody skipped, and the farm's own.
func (p *Process) Steps() []Step { return p.steps }

// order works out the steps, enters the times of the farm's own, and judges what
// the protocol says of steps that it does not have.
func (p *Process) order() {
	pr, setting := p.Input.Protocol, p.Setting()
	written := map[work.StepID]int{}
	var own []work.Placed
	for i, s := range pr.Steps {
		id := work.StepID(s.ID)
		written[id] = i
		switch {
		case s.After != "":
			own = append(own, work.Placed{ID: id, At: work.StepID(s.After)})
		case s.Before != "":
			own = append(own, work.Placed{ID: id, At: work.StepID(s.Before), Before: true})
		}
	}
	at := map[work.StepID]Step{}
	for _, id := range work.Steps() {
		at[id] = Step{ID: id, Station: work.StationOf(id), Role: work.RoleOf(id)}
	}
	skipped := func(id work.StepID) bool {
		return slices.ContainsFunc(pr.Skips, func(s protocol.Skip) bool { return s.Step == string(id) })
	}
	for _, id := range work.Order(own) {
		s, books := at[id]
		if i, ok := written[id]; ok {
			s.Written, s.Key = &pr.Steps[i], protocol.Item("step", i)
		}
		if !books {
			s = p.ownStep(s, id, at)
			at[id] = s
		}
		if s.Own || work.Present(id, setting) && !skipped(id) {
			p.steps = append(p.steps, s)
		}
	}
}

// ownStep places a step of the farm's own at the station of the step that it
// stands by, with that step's role if it names none, and enters its time.
func (p *Process) ownStep(s Step, id work.StepID, at map[work.StepID]Step) Step {
	s.ID, s.Own, s.Role = id, true, work.Role(s.Written.Role)
	for by := s.Written; s.Station == ""; {
		next := work.StepID(by.After + by.Before) // one of the two is empty
		if n, known := at[next]; known {
			s.Station, s.Role = n.Station, cmp.Or(s.Role, n.Role)
			break
		}
		i := slices.IndexFunc(p.Input.Protocol.Steps, func(x protocol.Step) bool { return work.StepID(x.ID) == next })
		by = &p.Input.Protocol.Steps[i] // work.Order has placed it, so it is there
		s.Role = cmp.Or(s.Role, work.Role(by.Role))
	}
	p.Names[s.Subject()] = string(id)
	enter := func(name, key string, d *unit.Duration) {
		if d != nil {
			p.Ledger.GivenOf(name, s.Subject(), unit.TimeOf, float64(*d), working.Origin{Document: p.Input.Document(), Key: s.Key + "." + key}, "")
		}
	}
	enter("own_takes", "takes", s.Written.Takes)
	enter("own_takes_each", "takes_each", s.Written.TakesEach)
	return s
}

// OwnTime is the law of the hands-on time of a step of the farm's own, and its
// inputs that no number of vessels changes; n is left to bind, where the law has
// it.
func (p *Process) OwnTime(s Step) (*working.Law, []working.Input) {
	once, each := p.Ledger.Of("own_takes", s.Subject()), p.Ledger.Of("own_takes_each", s.Subject())
	var in []working.Input
	if once != nil {
		in = append(in, working.Bind("t", once))
	}
	if each != nil {
		in = append(in, working.Bind("t_each", each))
	}
	return work.OwnHandsOn(once != nil, each != nil), in
}

// stepFindings judges what a protocol says of steps that it does not have, and
// the skips that somebody should know of.
func (p *Process) stepFindings() []protocol.Finding {
	pr, setting := p.Input.Protocol, p.Setting()
	var out []protocol.Finding
	found := func(rule, key string, args map[string]any) *protocol.Finding {
		out = append(out, protocol.Finding{
			Severity: protocol.Warning, Rule: rule, Origin: working.Origin{Document: p.Input.Document(), Key: key},
			What: protocol.Message{ID: rule, Args: args}, Hint: protocol.Message{ID: rule + ".hint"}, Subject: pr.Name,
		})
		return &out[len(out)-1]
	}
	books := func(id string) bool { return slices.Contains(work.Steps(), work.StepID(id)) }
	for i, s := range pr.Steps {
		if books(s.ID) && !work.Present(work.StepID(s.ID), setting) {
			found("step.absent", protocol.Item("step", i)+".id", map[string]any{"step": s.ID})
		}
	}
	for i, s := range pr.Skips {
		id, key := work.StepID(s.Step), protocol.Item("skip", i)+".step"
		warn, onSheet := work.Missed(id)
		switch {
		case !work.Present(id, setting):
			found("skip.absent", key, map[string]any{"step": s.Step})
		case warn:
			f := found("skip."+s.Step, key, map[string]any{"who": s.Who})
			f.Why, f.Safety = protocol.Message{ID: f.Rule + ".why"}, onSheet
		}
	}
	return out
}
