package farmfile

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// canonicalVersion stands first in the canonical form. Change it when the form
// changes: then every fingerprint does, and old ones are seen to be old.
const canonicalVersion = "bottlecrop method 1"

// Canonical is the method of one protocol as text, for comparing and for the
// fingerprint: all that can move a step, an amount or a critical limit, and
// nothing else. One line a value, sorted, numbers in SI units at 12 significant
// digits. It holds the protocol with what it is based on, its species and
// vessel, its ingredients with the moisture that the farm measured, and of the
// farm what every batch depends on, with the one sterilizer that is used. The
// order of keys, comments, units and line ends do not show in it, nor whether
// a value was inherited, nor the language that a folder is retold in. It is nil for a protocol that was not read.
func (f *Folder) Canonical(name string) []byte {
	if f.written != nil {
		return f.written.Canonical(name)
	}
	i := slices.IndexFunc(f.Protocols, func(p protocol.Protocol) bool { return p.Name == name })
	if i < 0 {
		return nil
	}
	p := f.Protocols[i]
	farm := f.Farm
	farm.Moisture = nil // stands with the ingredients
	farm.Sterilizers = nil
	var model protocol.Sterilizer
	for _, s := range f.Farm.Sterilizers {
		if s.ID != p.Sterilizer {
			continue
		}
		s.Holds = slices.DeleteFunc(slices.Clone(s.Holds), func(h protocol.Holds) bool { return h.Vessel != p.Vessel })
		farm.Sterilizers = append(farm.Sterilizers, s)
		model = f.Library.Sterilizers[s.Model]
	}
	var lines []string
	write := func(path, id string, v any) { lines = append(lines, f.linesOf(path, id, v)...) }
	lines = append(lines, canonical("protocol", reflect.ValueOf(p))...)
	write("farm", p.Sterilizer+" "+p.Vessel, farm)
	write("species", p.Species, f.Library.Species[p.Species])
	write("vessel", p.Vessel, f.Library.Vessels[p.Vessel])
	write("model", model.ID, model)
	for _, part := range p.Substrate.Ingredients {
		x := f.Library.Ingredients[part.Ingredient]
		if measured, ok := f.Farm.Moisture[part.Ingredient]; ok {
			x.Moisture = measured
		}
		write(under("ingredient", part.Ingredient), part.Ingredient, x)
	}
	lines = append(lines, f.canonicalGrain()...)
	slices.Sort(lines)
	return []byte(canonicalVersion + "\n" + strings.Join(lines, "\n") + "\n")
}

// canonicalGrain is what the farm's own grain spawn rests on beside its section:
// the grain with its moisture, the jar, and the sterilizer that the jars go into.
func (f *Folder) canonicalGrain() []string {
	g := f.Farm.Grain
	if g == nil {
		return nil
	}
	x := f.Library.Ingredients[g.Ingredient]
	if measured, ok := f.Farm.Moisture[g.Ingredient]; ok {
		x.Moisture = measured
	}
	lines := slices.Clone(f.linesOf("grain.of", "", x))
	lines = append(lines, f.linesOf("grain.into", "", f.Library.Vessels[g.Jar])...)
	for _, s := range f.Farm.Sterilizers {
		if s.ID != g.Sterilizer {
			continue
		}
		s.Holds = slices.DeleteFunc(slices.Clone(s.Holds), func(h protocol.Holds) bool { return h.Vessel != g.Jar })
		lines = append(lines, f.linesOf("grain.in", "", s)...)
		lines = append(lines, f.linesOf("grain.model", "", f.Library.Sterilizers[s.Model])...)
	}
	return lines
}

// linesOf is canonical of what does not depend on the protocol. Of a ground, on which
// many protocols are read, it is worked out once for each path and id.
func (f *Folder) linesOf(path, id string, v any) []string {
	if f.shared == nil {
		return canonical(path, reflect.ValueOf(v))
	}
	key := path + "\x00" + id
	if lines, ok := f.shared.Load(key); ok {
		return lines.([]string)
	}
	lines := canonical(path, reflect.ValueOf(v))
	f.shared.Store(key, lines)
	return lines
}

// canonical writes a value as sorted lines "path = value".
func canonical(path string, v reflect.Value) []string {
	t := v.Type()
	one := func(s string) []string { return []string{path + " = " + s} }
	switch {
	case t.Kind() == reflect.Pointer:
		if v.IsNil() {
			return nil
		}
		return canonical(path, v.Elem())
	case t == stepType:
		return one(number(v.Interface().(unit.Step).Size))
	case isRange(t):
		return one("[" + number(v.Field(0).Float()) + ", " + number(v.Field(1).Float()) + "]")
	case t.Kind() == reflect.Struct:
		var lines []string
		for _, f := range fieldsOf(t) {
			if f.method {
				lines = append(lines, canonical(under(path, f.key), v.FieldByIndex(f.index))...)
			}
		}
		slices.Sort(lines)
		return lines
	case t.Kind() == reflect.Slice && isTable(t.Elem()):
		// Tables of a list carry their own names: their order says nothing.
		var lines []string
		for i := range v.Len() {
			lines = append(lines, path+" = {"+strings.Join(canonical("", v.Index(i)), "; ")+"}")
		}
		slices.Sort(lines)
		return lines
	case t.Kind() == reflect.Slice: // of sentences, whose order is that of the work
		var items []string
		for i := range v.Len() {
			_, text, _ := strings.Cut(canonical("", v.Index(i))[0], " = ")
			items = append(items, text)
		}
		return one("[" + strings.Join(items, ", ") + "]")
	case t.Kind() == reflect.Float64:
		return one(number(v.Float()))
	case t.Kind() == reflect.Int:
		return one(strconv.FormatInt(v.Int(), 10))
	case t.Kind() == reflect.Bool:
		return one(strconv.FormatBool(v.Bool()))
	case t.Kind() == reflect.String:
		return one(strconv.Quote(strings.ReplaceAll(v.String(), "\r\n", "\n")))
	case t.Kind() == reflect.Map && v.Len() == 0:
		return nil
	}
	panic(fmt.Sprintf("farmfile: no canonical form for %s, a %s", path, t))
}

// number writes 12 significant digits: fewer than the 15 that survive a change
// of units, more than any scale reads. There is no negative zero.
func number(x float64) string {
	if x == 0 {
		x = 0
	}
	return strconv.FormatFloat(x, 'e', 11, 64)
}

// Fingerprint is the SHA-256 of the canonical form, in hex; "" for a protocol
// that was not read.
func (f *Folder) Fingerprint(name string) string {
	if f.written != nil {
		return f.written.Fingerprint(name)
	}
	if r := f.readings[name]; r != nil && r.protocol != nil {
		return r.print()
	}
	c := f.Canonical(name)
	if c == nil {
		return ""
	}
	sum := sha256.Sum256(c)
	return hex.EncodeToString(sum[:])
}

// ShortFingerprint is Short of a protocol's fingerprint.
func (f *Folder) ShortFingerprint(name string) string { return Short(f.Fingerprint(name)) }

// Short is the first 8 digits of a fingerprint, in two groups for reading aloud:
// "4f2a-91c0".
func Short(fingerprint string) string {
	if len(fingerprint) < 8 {
		return ""
	}
	return fingerprint[:4] + "-" + fingerprint[4:8]
}
