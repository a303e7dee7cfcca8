package change

import (
	"slices"
	"strings"
)

// mostTrials is how many batches are worked out at the most to find fewer causes where
// single inputs don't explain a difference (design choice: seconds). Beyond it the
// causes that were proved by then are named, and that some of them may be idle.
const mostTrials = 400

// atom is changed inputs that are taken together or not at all.
type atom []*Change

// trial works batches out with some of the changed inputs, and keeps what came out.
type trial struct {
	*pair
	atoms  []atom
	kept   map[string]*state // by the atoms taken; nil where that is refused
	worked int
}

func newTrial(p *pair) *trial {
	t := &trial{pair: p, kept: map[string]*state{}}
	bundles := map[string]int{}
	for _, c := range p.inputs {
		i, there := bundles[c.bundle]
		if c.bundle == "" || !there {
			i = len(t.atoms)
			t.atoms = append(t.atoms, nil)
			bundles[c.bundle] = i
		}
		t.atoms[i] = append(t.atoms[i], c)
	}
	t.join(func(a atom) string { return table(a[0].path) })
	t.join(func(atom) string { return "all" })
	return t
}

// table is the part of a path that its list or table has: shares that have to come to
// 100 % stand in one.
func table(path string) string {
	if i := strings.IndexAny(path, "{#"); i >= 0 {
		return path[:i]
	}
	return path[:max(strings.LastIndex(path, "."), 0)]
}

// join puts those atoms together that are refused alone, both when they are taken by
// themselves and when all the others are taken: they mean something together only.
func (t *trial) join(by func(atom) string) {
	if len(t.atoms) < 2 {
		return
	}
	all := t.every()
	var out []atom
	joined := map[string]int{}
	for i, a := range t.atoms {
		if t.with(only(i, len(all))) != nil || t.with(without(all, i)) != nil {
			out = append(out, a)
			continue
		}
		key := by(a)
		j, there := joined[key]
		if !there {
			j = len(out)
			joined[key] = j
			out = append(out, nil)
		}
		out[j] = append(out[j], a...)
	}
	if len(out) < len(t.atoms) {
		t.atoms, t.kept = out, map[string]*state{}
	}
}

// set is which atoms are taken.
type set []bool

func (t *trial) every() set {
	s := make(set, len(t.atoms))
	for i := range s {
		s[i] = true
	}
	return s
}

func only(i, n int) set {
	s := make(set, n)
	s[i] = true
	return s
}

func without(s set, drop ...int) set {
	s = slices.Clone(s)
	for _, i := range drop {
		s[i] = false
	}
	return s
}

func (s set) count() int {
	n := 0
	for _, x := range s {
		if x {
			n++
		}
	}
	return n
}

// with is the state before with some of the changed inputs; nil where that is refused.
func (t *trial) with(s set) *state {
	switch s.count() {
	case 0:
		return t.was
	case len(s):
		return t.is
	}
	key := make([]byte, len(s))
	taken := map[string]bool{}
	for i, x := range s {
		key[i] = '0'
		if x {
			key[i] = '1'
			for _, c := range t.atoms[i] {
				taken[c.path] = true
			}
		}
	}
	out, known := t.kept[string(key)]
	if !known {
		t.worked++
		out = t.mixed(taken)
		t.kept[string(key)] = out
	}
	return out
}

// mixed works out a mixture. No reader has let it through, so that what is refused
// there may break the calculation here: such a mixture says nothing, as one that a
// limit refuses.
func (p *pair) mixed(taken map[string]bool) (out *state) {
	defer func() {
		if recover() != nil {
			out = nil
		}
	}()
	s, _, err := p.before.mixture(p.after, taken).tell(p.vessels, p.voice)
	if err != nil {
		return nil
	}
	return s
}

// explain finds the causes of each difference.
func (t *trial) explain(list []Difference) {
	n := len(t.atoms)
	alone, last := make([]*state, n), make([]*state, n)
	if n > 1 && len(list) > 0 {
		for i := range n {
			alone[i], last[i] = t.with(only(i, n)), t.with(without(t.every(), i))
		}
	}
	for k := range list {
		d := &list[k]
		was, is := d.read(t.was), d.read(t.is)
		got := make(set, n) // that move it by themselves, or without which it is not the same
		moves := make(set, n)
		for i := range n {
			moves[i] = n == 1 || alone[i] != nil && !d.read(alone[i]).is(was)
			got[i] = moves[i] || last[i] != nil && !d.read(last[i]).is(is)
		}
		does := func(s set) bool {
			x := t.with(s)
			return x != nil && d.read(x).is(is)
		}
		if got.count() == 0 || !does(got) {
			got, d.Coarse = t.fewer(does, got)
		}
		d.Alone = true
		for i, taken := range got {
			if taken {
				d.Causes = append(d.Causes, t.atoms[i]...)
				d.Alone = d.Alone && moves[i] && (len(t.atoms[i]) == 1)
			}
		}
	}
}

// fewer is a set of atoms that does it, from which none can be taken away but those
// that are kept: pieces of halving size are left out as long as it does without.
func (t *trial) fewer(does func(set) bool, keep set) (got set, coarse bool) {
	got = t.every()
	for size := (len(got) + 1) / 2; size >= 1; size /= 2 {
		for i := 0; i < len(got); i += size {
			var drop []int
			for j := i; j < min(i+size, len(got)); j++ {
				if got[j] && !keep[j] {
					drop = append(drop, j)
				}
			}
			if len(drop) == 0 {
				continue
			}
			if t.worked > mostTrials+2*len(t.atoms) {
				return got, true
			}
			if less := without(got, drop...); less.count() > 0 && does(less) {
				got = less
			}
		}
	}
	return got, false
}
