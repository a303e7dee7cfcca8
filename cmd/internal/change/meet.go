package change

import (
	"maps"
	"reflect"
	"slices"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// meet merges two sides; decide is asked at each input that they have differently.
func meet(before, after Side, decide func(*Change) bool) Side {
	w := walk{decide}
	out := before
	in := func(document string) func(string) working.Origin {
		return func(key string) working.Origin { return working.Origin{Document: document, Key: key} }
	}
	of := func(a, b string) spot {
		return spot{before: in(protocol.Document(a)), after: in(protocol.Document(b)), method: true}
	}

	at := of(before.Protocol.Name, after.Protocol.Name)
	at.path = "protocol"
	out.Protocol = merged(w, before.Protocol, after.Protocol, at)
	if before.Protocol.Name != after.Protocol.Name {
		name := at.into("name")
		name.before, name.after = at.before, at.after // it is the file's, and no key
		name.method = false
		out.Protocol.Name = w.choose(reflect.ValueOf(before.Protocol.Name), reflect.ValueOf(after.Protocol.Name), name, "").String()
	}

	farm := spot{path: "farm", before: protocol.InFarm, after: protocol.InFarm, method: true}
	out.Farm = merged(w, before.Farm, after.Farm, farm)

	out.Library.Species = shelf(w, before, after, "species", func(l protocol.Library) map[string]protocol.Species { return l.Species })
	out.Library.Ingredients = shelf(w, before, after, "ingredient", func(l protocol.Library) map[string]protocol.Ingredient { return l.Ingredients })
	out.Library.Vessels = shelf(w, before, after, "vessel", func(l protocol.Library) map[string]protocol.Vessel { return l.Vessels })
	out.Library.Sterilizers = shelf(w, before, after, "sterilizer", func(l protocol.Library) map[string]protocol.Sterilizer { return l.Sterilizers })

	out.Others = both(before.Others, after.Others)
	for _, name := range slices.Sorted(maps.Keys(namesOf(before.Others, after.Others))) {
		b, was := before.Others[name]
		a, is := after.Others[name]
		if was && is {
			at := of(name, name)
			at.path, at.method = "other."+name, false
			out.Others[name] = merged(w, b, a, at)
		}
	}

	out.Logs = both(before.Logs, after.Logs)
	for _, id := range slices.Sorted(maps.Keys(namesOf(before.Logs, after.Logs))) {
		b, was := before.Logs[id]
		a, is := after.Logs[id]
		if was && is && !(slices.Equal(b.Vessel, a.Vessel) && slices.Equal(b.Chamber, a.Chamber)) {
			at := spot{path: "log." + id, before: in(b.Document), after: in(a.Document)}
			out.Logs[id] = w.choose(reflect.ValueOf(b), reflect.ValueOf(a), at, "").Interface().(Log)
		}
	}
	return out
}

func merged[T any](w walk, before, after T, at spot) T {
	return w.merge(reflect.ValueOf(before), reflect.ValueOf(after), at, "", "").Interface().(T)
}

// shelf merges one kind of entries of the library.
func shelf[T any](w walk, before, after Side, kind string, of func(protocol.Library) map[string]T) map[string]T {
	first, second := of(before.Library), of(after.Library)
	out := map[string]T{}
	for _, id := range slices.Sorted(maps.Keys(namesOf(first, second))) {
		at := spot{path: kind + "." + id, method: true,
			before: func(key string) working.Origin { return place(before.Library, kind, id, key) },
			after:  func(key string) working.Origin { return place(after.Library, kind, id, key) }}
		b, was := first[id]
		a, is := second[id]
		switch {
		case was && is:
			out[id] = merged(w, b, a, at)
		case was:
			if !w.decide(&Change{Method: true, path: at.path, Before: Written{at.before(""), Whole{}}, After: Written{at.after(""), nil}}) {
				out[id] = b
			}
		default:
			if w.decide(&Change{Method: true, path: at.path, Before: Written{at.before(""), nil}, After: Written{at.after(""), Whole{}}}) {
				out[id] = a
			}
		}
	}
	return out
}

// place is where a key of an entry stands; with no key, the entry.
func place(l protocol.Library, kind, id, key string) working.Origin {
	if key == "" {
		return l.Entries[kind+"."+id]
	}
	return l.Origin(kind, id, key)
}

func namesOf[T any](lists ...map[string]T) map[string]bool {
	out := map[string]bool{}
	for _, m := range lists {
		for name := range m {
			out[name] = true
		}
	}
	return out
}

// inputsOf lists what two sides have written differently, in the order of their parts.
func inputsOf(before, after Side) []*Change {
	var out []*Change
	meet(before, after, func(c *Change) bool {
		out = append(out, c)
		return false
	})
	return out
}
