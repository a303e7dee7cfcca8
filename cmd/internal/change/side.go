package change

import (
	"maps"
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// Side is one of the two that are compared: everything that may change a number or a
// step of a batch, but for the number of vessels and the units of print.
type Side struct {
	Farm     protocol.Farm
	Library  protocol.Library
	Protocol protocol.Protocol
	// Others are the protocols by which the farm's probe runs were made, by name: a
	// run speaks for a protocol whose vessels heat like theirs.
	Others map[string]protocol.Protocol
	Logs   map[string]Log // of the farm's probe runs that could be read, by their id
}

// Log is what a probe run measured, as series, with the file that it is in.
type Log struct {
	Document        string
	Vessel, Chamber []heat.Point
}

// input is what the side's batch is worked out from.
func (s Side) input(v *words.Voice) process.Input {
	in := process.Input{Farm: s.Farm, Library: s.Library, Protocol: s.Protocol, Units: v.Units()}
	for i, e := range s.Farm.Evidence {
		log, read := s.Logs[e.ID]
		by, known := s.Others[e.Protocol]
		if e.Protocol == s.Protocol.Name {
			by, known = s.Protocol, true
		}
		if read && known && s.Protocol.HeatsLike(by) {
			in.Evidence = append(in.Evidence, process.Evidence{Evidence: e, Index: i, Vessel: log.Vessel, Chamber: log.Chamber})
		}
	}
	return in
}

// state is what a batch of a side says: its figures, the limits that it crosses, and
// its steps. It is told once and not changed.
type state struct {
	batch    *batch.Batch
	figures  []*working.Quantity
	figure   map[string]*working.Quantity // by id
	names    map[string]string            // of the subjects of figures
	crossed  map[string]protocol.Finding  // by crossing
	crossing []string                     // their keys, in order
	steps    []told
	step     map[string]int // place in steps by key
}

// told is a step with each of its parts as a worker or a trainer reads it.
type told struct {
	procedure.Step
	key   string // the step's id; those of the spawn sheet have a name of their own
	grain bool
	parts map[Part]string
}

// tell works a side out for so many vessels. The findings are those that refuse it;
// an error is input that names what is not there.
func (s Side) tell(vessels int, v *words.Voice) (*state, []protocol.Finding, error) {
	p, err := process.Plan(s.input(v))
	if err != nil {
		return nil, nil, err
	}
	found := slices.Concat(p.Findings, procedure.Judge(p))
	if protocol.Worst(found) == protocol.Error {
		return nil, found, nil
	}
	b, err := batch.Compute(p, vessels)
	if err != nil {
		return nil, nil, err
	}
	if protocol.Worst(b.Findings) == protocol.Error {
		return nil, b.Findings, nil
	}
	out := &state{batch: b, figures: b.Ledger.All(), figure: map[string]*working.Quantity{}, names: p.Names, crossed: map[string]protocol.Finding{}, step: map[string]int{}}
	for _, q := range out.figures {
		out.figure[q.ID()] = q
	}
	for _, f := range slices.Concat(found, b.Own) {
		out.cross(f)
	}
	out.read(procedure.Build(b), false, v)
	if spawn, own := procedure.BuildGrain(b); own {
		out.read(spawn, true, v)
	}
	return out, nil, nil
}

// cross takes a finding in, under its rule and what it is about.
func (s *state) cross(f protocol.Finding) {
	what := f.What
	if inner, sized := what.Args["what"].(protocol.Message); sized {
		what = inner
	}
	key := f.Rule
	if of, several := what.Args["of"].(string); several {
		key += "/" + of
	}
	for _, twice := s.crossed[key]; twice; _, twice = s.crossed[key] {
		key += "+"
	}
	s.crossed[key] = f
	s.crossing = append(s.crossing, key)
}

func (s *state) read(p procedure.Procedure, grain bool, v *words.Voice) {
	for _, x := range p.Steps {
		t := told{Step: x, key: string(x.ID), grain: grain, parts: parts(x, v)}
		if grain {
			t.key = "spawn." + t.key
		}
		s.step[t.key] = len(s.steps)
		s.steps = append(s.steps, t)
	}
}

// mixture is the side with those of another's changed inputs that are taken, by their
// paths. An entry of the library that only one of them has comes along where the
// mixture asks for it.
func (s Side) mixture(other Side, taken map[string]bool) Side {
	out := meet(s, other, func(c *Change) bool { return taken[c.path] })
	lib := &out.Library
	need(lib.Species, s.Library.Species, other.Library.Species, out.Protocol.Species)
	need(lib.Vessels, s.Library.Vessels, other.Library.Vessels, out.Protocol.Vessel)
	for _, part := range out.Protocol.Substrate.Ingredients {
		need(lib.Ingredients, s.Library.Ingredients, other.Library.Ingredients, part.Ingredient)
	}
	for _, x := range out.Farm.Sterilizers {
		need(lib.Sterilizers, s.Library.Sterilizers, other.Library.Sterilizers, x.Model)
	}
	if g := out.Farm.Grain; g != nil {
		need(lib.Ingredients, s.Library.Ingredients, other.Library.Ingredients, g.Ingredient)
		need(lib.Vessels, s.Library.Vessels, other.Library.Vessels, g.Jar)
	}
	// Where entries stand says nothing of a value.
	lib.Entries = both(s.Library.Entries, other.Library.Entries)
	lib.Borrowed = both(s.Library.Borrowed, other.Library.Borrowed)
	lib.Troubles = s.Library.Troubles // cards beside the steps
	return out
}

func need[T any](into, first, second map[string]T, id string) {
	if _, there := into[id]; there {
		return
	}
	for _, from := range []map[string]T{first, second} {
		if x, there := from[id]; there {
			into[id] = x
			return
		}
	}
}

func both[T any](first, second map[string]T) map[string]T {
	out := maps.Clone(second)
	if out == nil {
		out = map[string]T{}
	}
	maps.Copy(out, first)
	return out
}
