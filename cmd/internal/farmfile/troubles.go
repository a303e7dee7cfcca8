package farmfile

import (
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// troubles checks the names of steps, roles and species in a file of troubles.
func (f *Folder) troubles(b *binder, list []protocol.Trouble) {
	steps := &shelfState{ids: map[string]bool{}, readable: true}
	for _, id := range work.Steps() {
		steps.ids[string(id)] = true
	}
	roles := &shelfState{ids: map[string]bool{}, readable: true}
	for _, r := range work.Roles() {
		roles.ids[string(r)] = true
	}
	for i, t := range list {
		at := protocol.Item("trouble", i)
		for j, id := range t.SeenAt {
			f.named(b, protocol.Item(under(at, "seen_at"), j), false, "step", steps, id, true)
		}
		f.named(b, under(at, "decides"), false, "role", roles, t.Decides, true)
		f.applies(b, at, t.Applies)
		for j, c := range t.Causes {
			f.applies(b, protocol.Item(under(at, "cause"), j), c.Applies)
		}
	}
}

// applies checks the species that an entry or a cause is for.
func (f *Folder) applies(b *binder, at string, a protocol.Applies) {
	for _, list := range []struct {
		key string
		ids []string
	}{{"species", a.Species}, {"except", a.Except}} {
		for i, id := range list.ids {
			f.reference(b, protocol.Item(under(at, list.key), i), false, "species", id, true)
		}
	}
}
