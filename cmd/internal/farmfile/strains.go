package farmfile

import (
	"maps"
	"reflect"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// strains knows which species a strain may belong to. A strain may stand in a
// farm's library and its species in the program's; it has the values of the
// species where it writes none of its own. A species that a farm replaces lends
// its new values to the farm's strains only: the program's own keep theirs.
type strains struct {
	species map[string]lender // by id: entries that are no strains themselves
	ids     map[string]bool   // of strains
}

// lender is a species as written.
type lender struct {
	tree map[string]any
	at   working.Origin
}

// lend gives each strain of a file the keys of its species that it does not
// write, and returns where each of those stands. What the strain lacks is not
// asked for: a fault of a borrowed key is told of the species, and without a
// known species nothing can be said of any key. It is written into entries of the
// document's own, for the tree may be that of other folders too.
func (s *strains) lend(d *document, b *binder) map[string]working.Origin {
	borrowed := map[string]working.Origin{}
	d.tree = maps.Clone(d.tree)
	switch list := d.tree["species"].(type) {
	case []map[string]any:
		list = slices.Clone(list)
		for i, entry := range list {
			list[i] = maps.Clone(entry)
		}
		d.tree["species"] = list
	case []any:
		list = slices.Clone(list)
		for i, x := range list {
			if entry, ok := x.(map[string]any); ok {
				list[i] = maps.Clone(entry)
			}
		}
		d.tree["species"] = list
	}
	list, _ := listOf(d.tree["species"])
	kin := map[int]map[string]any{}
	for i, x := range list {
		entry, ok := x.(map[string]any)
		if !ok {
			continue
		}
		id, _ := entry["id"].(string)
		if _, strain := entry["strain_of"]; strain {
			kin[i] = entry
			s.ids[id] = true
			continue
		}
		if id != "" {
			s.species[id] = lender{entry, working.Origin{Document: d.name, Key: protocol.Item("species", i)}}
			delete(s.ids, id)
		}
	}
	for i, entry := range kin {
		of, _ := entry["strain_of"].(string)
		from := s.species[of]
		if s.ids[of] {
			from = lender{}
		}
		for _, f := range fieldsOf(reflect.TypeFor[protocol.Species]()) {
			if _, own := entry[f.key]; own || f.key == "id" || f.key == "strain_of" {
				continue
			}
			path := under(protocol.Item("species", i), f.key)
			b.quiet[path] = true
			if v, there := from.tree[f.key]; there {
				entry[f.key] = v
				borrowed[path] = working.Origin{Document: from.at.Document, Key: under(from.at.Key, f.key)}
			}
		}
	}
	return borrowed
}

// strainsOf checks that each strain of a file names a species.
func (f *Folder) strainsOf(b *binder, tree map[string]any) {
	list, _ := listOf(tree["species"])
	for i, x := range list {
		entry, _ := x.(map[string]any)
		of, ok := entry["strain_of"].(string)
		at := under(protocol.Item("species", i), "strain_of")
		switch {
		case !ok || b.refused[at]:
		case strings.TrimSpace(of) == "":
			b.refuse(at, "text.empty", nil, "text_empty", nil)
		case f.strains.ids[of]:
			b.refuse(at, "strain.of_strain", args{"found": quoted(of)}, "strain_of_strain", nil)
		default:
			species := map[string]bool{}
			for id := range f.strains.species {
				species[id] = true
			}
			f.named(b, at, false, "species", &shelfState{species, f.known["species"].readable}, of, true)
		}
	}
}
