package change

import (
	"slices"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// value is one thing that a state says, for telling states apart.
type value struct {
	there  bool
	number bool
	n      float64
	text   string
}

// figuresApart is by what part of itself a figure may differ and be the same: a tenth of
// the sixth digit, which is the last that a page of working prints. Solvers stop short
// of the last bits, and no scale, clock or gauge shows so much.
const figuresApart = 1e-7

func (v value) is(w value) bool {
	if v.there != w.there || v.number != w.number {
		return false
	}
	if v.number {
		return near(v.n, w.n, figuresApart)
	}
	return v.text == w.text
}

func figureOf(id string) func(*state) value {
	return func(s *state) value {
		q := s.figure[id]
		if q == nil {
			return value{}
		}
		return value{there: true, number: true, n: q.Value}
	}
}

func crossingOf(key string) func(*state) value {
	return func(s *state) value {
		f, crossed := s.crossed[key]
		if !crossed {
			return value{}
		}
		text := f.Severity.String()
		if f.By != nil { // who stands by it, and why
			text += "\n" + f.By.Who + "\n" + f.By.On + "\n" + f.By.Reason
		}
		return value{there: true, text: text}
	}
}

func presenceOf(key string) func(*state) value {
	return func(s *state) value {
		_, there := s.step[key]
		return value{there: there}
	}
}

func partOf(key string, p Part) func(*state) value {
	return func(s *state) value {
		i, there := s.step[key]
		if !there {
			return value{}
		}
		return value{there: true, text: s.steps[i].parts[p]}
	}
}

// placeOf is which of some steps a step stands behind.
func placeOf(key string, among map[string]bool) func(*state) value {
	return func(s *state) value {
		before := ""
		for _, x := range s.steps {
			switch {
			case x.key == key:
				return value{there: true, text: before}
			case among[x.key]:
				before = x.key
			}
		}
		return value{}
	}
}

// differences lists what the two states of a pair say otherwise: steps, limits and
// figures, each as a sheet or a page of its working has them.
func (p *pair) differences() []Difference {
	var out []Difference
	add := func(d Difference) {
		if !d.read(p.was).is(d.read(p.is)) {
			out = append(out, d)
		}
	}
	common := map[string]bool{}
	for _, x := range p.is.steps {
		if _, there := p.was.step[x.key]; there {
			common[x.key] = true
		}
	}
	moved := p.moved(common)
	for _, x := range p.all() {
		i, was := p.was.step[x.key]
		j, is := p.is.step[x.key]
		d := Difference{Step: x.Step, Spawn: x.grain, key: x.key, Worker: true}
		if was {
			d.NumberBefore = p.was.steps[i].Number
		}
		if is {
			d.NumberAfter = p.is.steps[j].Number
		}
		if was != is {
			d.Kind, d.read = map[bool]Kind{true: Appears, false: Vanishes}[is], presenceOf(x.key)
			add(d)
			continue
		}
		if moved[x.key] {
			m := d
			m.Kind, m.read = Moves, placeOf(x.key, common)
			add(m)
		}
		for _, part := range Parts() {
			m := d
			m.Kind, m.Part, m.read = Told, part, partOf(x.key, part)
			m.TextBefore, m.TextAfter = p.was.steps[i].parts[part], p.is.steps[j].parts[part]
			m.Worker = forWorkers(part)
			add(m)
		}
	}
	for _, key := range union(p.is.crossing, p.was.crossing) {
		d := Difference{Kind: Crossing, key: key, read: crossingOf(key)}
		if f, there := p.was.crossed[key]; there {
			d.Was = &f
		}
		if f, there := p.is.crossed[key]; there {
			d.Is = &f
		}
		d.Worker = either(d.Was, d.Is).Safety
		add(d)
	}
	for _, id := range union(ids(p.is.figures), ids(p.was.figures)) {
		d := Difference{Kind: Figure, key: id, Before: p.was.figure[id], After: p.is.figure[id], Names: p.is.names, read: figureOf(id)}
		if d.After == nil {
			d.Names = p.was.names
		}
		add(d)
	}
	return out
}

// either is what was found on one of the sides, after before before.
func either(was, is *protocol.Finding) *protocol.Finding {
	if is != nil {
		return is
	}
	return was
}

// all lists the steps of both sides, those that are gone where they were.
func (p *pair) all() []told {
	out := slices.Clone(p.is.steps)
	for i, x := range p.was.steps {
		if _, there := p.is.step[x.key]; there {
			continue
		}
		at := 0
		if i > 0 {
			at = 1 + slices.IndexFunc(out, func(y told) bool { return y.key == p.was.steps[i-1].key })
		}
		out = slices.Insert(out, at, x)
	}
	return out
}

// moved are the steps that changed their place among those that both sides have: all
// but the longest row of steps whose order is the same.
func (p *pair) moved(common map[string]bool) map[string]bool {
	var order []int // places in the state before, in the order of that after
	var keys []string
	for _, x := range p.is.steps {
		if common[x.key] {
			order, keys = append(order, p.was.step[x.key]), append(keys, x.key)
		}
	}
	// The longest row that rises, by the length of the longest that ends at each.
	length, back, best := make([]int, len(order)), make([]int, len(order)), -1
	for i := range order {
		length[i], back[i] = 1, -1
		for j := range i {
			if order[j] < order[i] && length[j] >= length[i] {
				length[i], back[i] = length[j]+1, j
			}
		}
		if best < 0 || length[i] > length[best] {
			best = i
		}
	}
	out := map[string]bool{}
	for _, k := range keys {
		out[k] = true
	}
	for i := best; i >= 0; i = back[i] {
		delete(out, keys[i])
	}
	return out
}

// union is a list with what another has besides, in their orders.
func union(list, more []string) []string {
	seen := map[string]bool{}
	var out []string
	for _, x := range slices.Concat(list, more) {
		if !seen[x] {
			seen[x] = true
			out = append(out, x)
		}
	}
	return out
}

func ids(list []*working.Quantity) []string {
	var out []string
	for _, q := range list {
		out = append(out, q.ID())
	}
	return out
}
