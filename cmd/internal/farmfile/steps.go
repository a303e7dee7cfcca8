package farmfile

import (
	"slices"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// decidedBy has the book's steps that a key of the protocol brings in or not,
// and how that key is written so that the step goes. Days, amounts and sentences
// follow such a key; a skip would leave them behind.
var decidedBy = map[work.StepID]string{
	work.BoreHoles: `made = "none" under [bore]`,
	work.Ripen:     `ripen = "0 d" under [incubation]`,
	work.Scrape:    `scrape = "never" under [opening]`,
	work.Wet:       `water = "0 mL" under [opening]`,
	work.Cover:     `cover = "none" under [opening]`,
	work.FitCollar: `no [collar]`,
}

// ownTexts are the texts that a step of the farm's own can't do without, and
// bookless the keys that the book's steps don't have: their place, role and time
// are known.
var (
	ownTexts = []string{"title", "when", "do", "limit", "check", "if_off", "why"}
	bookless = []string{"after", "before", "role", "takes", "takes_each"}
)

func isBooks(id string) bool { return slices.Contains(work.Steps(), work.StepID(id)) }

// stepReferences checks the steps that a protocol replaces, adds and skips.
func (f *Folder) stepReferences(b *binder, p protocol.Protocol) {
	known := &shelfState{ids: map[string]bool{}, readable: true}
	for _, id := range work.Steps() {
		known.ids[string(id)] = true
	}
	bookIDs := sortedIDs(known.ids)
	for _, s := range p.Steps {
		known.ids[s.ID] = true
	}
	for i, s := range p.Steps {
		at := protocol.Item("step", i)
		b.blanks(at, s)
		switch {
		case s.ID == "" || b.refused[under(at, "id")]:
		case isBooks(s.ID):
			b.replaced(at, s)
		case s.After == "" && s.Before == "" && !b.refused[under(at, "after")] && !b.refused[under(at, "before")]:
			b.placeless(at, s, bookIDs)
		default:
			f.ownStep(b, at, s, known)
		}
	}
	b.circles(p.Steps)
	b.samePlace(p.Steps)
	for i, s := range p.Skips {
		f.skip(b, under(protocol.Item("skip", i), "step"), s, p.Steps)
	}
}

// blanks refuses texts of nothing but blanks, which no page could show.
func (b *binder) blanks(at string, s protocol.Step) {
	for _, l := range s.Lines() {
		if path := under(at, l.Key); !b.refused[path] && strings.TrimSpace(l.Text) == "" {
			b.refuse(path, "text.empty", nil, "text_empty", nil)
		}
	}
}

// wrote reports whether a key was written.
func (b *binder) wrote(at, key string) bool {
	_, _, whole := b.layers.find(under(at, key))
	return whole
}

// replaced checks an entry with the id of one of the book's steps.
func (b *binder) replaced(at string, s protocol.Step) {
	for _, key := range bookless {
		if b.wrote(at, key) {
			b.report(under(at, key), true, "step.not_own", args{"step": s.ID}, "step_not_own", args{"name": key})
		}
	}
	lines := s.Lines()
	if len(lines) == 0 && !b.below(at) {
		b.report(under(at, "id"), false, "step.nothing", args{"step": s.ID}, "step_nothing", nil)
	}
	if !work.Fixed(work.StepID(s.ID)) {
		return
	}
	told := map[string]bool{}
	for _, l := range lines {
		key, _, _ := strings.Cut(l.Key, "[")
		if key == "prose" || key == "caution" || told[key] {
			continue
		}
		told[key] = true
		b.report(under(at, key), true, "step.fixed", args{"step": s.ID, "why": keptWhy(s.ID)}, "step_fixed", nil)
	}
}

// below reports whether anything below a path was refused.
func (b *binder) below(at string) bool {
	for path := range b.refused {
		if rest, ok := strings.CutPrefix(path, at); ok && rest != "" && (rest[0] == '.' || rest[0] == '[') {
			return true
		}
	}
	return false
}

func keptWhy(id string) protocol.Message {
	return protocol.Message{ID: "farmfile.kept." + string(work.Kept(work.StepID(id)))}
}

// placeless reports a new id that is placed nowhere: one of the book's with a
// slip of the pen, or a step of the farm's own that does not say where it stands.
func (b *binder) placeless(at string, s protocol.Step, book []string) {
	path := under(at, "id")
	b.refused[path] = true
	if near := protocol.Nearest(s.ID, book); near != "" {
		b.report(path, false, "step.unknown", args{"found": quoted(s.ID)}, "reference_near", args{"near": near})
		return
	}
	b.report(path, false, "step.unknown", args{"found": quoted(s.ID)}, "step_place", nil)
}

// ownStep checks a step of the farm's own.
func (f *Folder) ownStep(b *binder, at string, s protocol.Step, known *shelfState) {
	for _, key := range []string{"after", "before"} {
		id := s.After
		if key == "before" {
			id = s.Before
		}
		f.named(b, under(at, key), false, "step", known, id, true)
	}
	if s.Role != "" {
		roles := &shelfState{ids: map[string]bool{}, readable: true}
		for _, r := range work.Roles() {
			roles.ids[string(r)] = true
		}
		f.named(b, under(at, "role"), false, "role", roles, s.Role, true)
	}
	for _, key := range ownTexts {
		if path := under(at, key); !b.wrote(at, key) && !b.partial && !b.meant[path] {
			value := quoted("…")
			if key == "do" {
				value = "[" + value + "]"
			}
			b.report(path, false, "key.missing", nil, "write_key", args{"example": example(key, value)})
		}
	}
	if !b.wrote(at, "takes") && !b.wrote(at, "takes_each") && !b.meant[under(at, "takes")] && !b.meant[under(at, "takes_each")] {
		b.report(under(at, "takes"), false, "key.missing_without", args{"other": "takes_each"}, "write_key",
			args{"example": example("takes", quoted("… min"))})
	}
}

// circles refuses own steps that stand by one another and by nothing else.
func (b *binder) circles(steps []protocol.Step) {
	at := map[string]string{}
	for _, s := range steps {
		if !isBooks(s.ID) && s.ID != "" {
			at[s.ID] = s.After + s.Before // one of the two is empty
		}
	}
	told := map[string]bool{}
	for i, s := range steps {
		ring := []string{s.ID}
		for next := at[s.ID]; at[next] != ""; next = at[next] {
			j := slices.Index(ring, next)
			if j < 0 {
				ring = append(ring, next)
				continue
			}
			if j > 0 || told[next] { // it only leads into a circle, or that was told
				break
			}
			for _, id := range ring {
				told[id] = true
			}
			key := "after"
			if s.Before != "" {
				key = "before"
			}
			b.refuse(under(protocol.Item("step", i), key), "step.circle",
				args{"circle": strings.Join(append(ring, next), " → ")}, "step_circle", nil)
			break
		}
	}
}

// samePlace refuses two own steps at one place: the order in the file says
// nothing.
func (b *binder) samePlace(steps []protocol.Step) {
	type place struct{ key, id string }
	first := map[place]string{}
	for i, s := range steps {
		for _, at := range []place{{"after", s.After}, {"before", s.Before}} {
			path := under(protocol.Item("step", i), at.key)
			if at.id == "" || isBooks(s.ID) || b.refused[path] {
				continue
			}
			if other, taken := first[at]; taken {
				b.refuse(path, "step.same_place", args{"step": at.id, "other": other}, "step_same_place",
					args{"example": example("after", quoted(other))})
				continue
			}
			first[at] = s.ID
		}
	}
}

// skip checks that a step may be left out.
func (f *Folder) skip(b *binder, path string, s protocol.Skip, steps []protocol.Step) {
	if s.Step == "" || b.refused[path] {
		return
	}
	written := slices.ContainsFunc(steps, func(x protocol.Step) bool { return x.ID == s.Step })
	id := work.StepID(s.Step)
	switch by, decided := decidedBy[id]; {
	case !isBooks(s.Step) && written:
		b.refuse(path, "skip.own", args{"step": s.Step}, "skip_own", nil)
	case !isBooks(s.Step):
		books := &shelfState{ids: map[string]bool{}, readable: true}
		for _, id := range work.Steps() {
			if _, decided := decidedBy[id]; !decided && work.Kept(id) == "" {
				books.ids[string(id)] = true
			}
		}
		f.named(b, path, false, "step", books, s.Step, true)
	case decided:
		b.refuse(path, "skip.decided", args{"step": s.Step}, "skip_decided", args{"example": by})
	case work.Kept(id) != "":
		b.refuse(path, "skip.kept", args{"step": s.Step, "why": keptWhy(s.Step)}, "skip_kept", nil)
	case written:
		b.refuse(path, "skip.replaced", args{"step": s.Step}, "skip_replaced", nil)
	}
}

// Decided reports whether a key of the protocol brings a step in or not, so that
// it is not skipped but left out by that key.
func Decided(id work.StepID) bool {
	_, decided := decidedBy[id]
	return decided
}
