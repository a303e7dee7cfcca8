package versions

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/protocol"
)

// A second implementation of the fingerprint, by the words of farmfile.Canonical and not
// by its code: from the decoder's maps, with units of its own. It knows of the types of
// package protocol which keys there are and which are no part of the method.

type tree = map[string]any

// scaled are the units of the farms of these tests in SI: NIST SP 811, appendix B.8; the
// hour, the liter and percent by definition.
var scaled = map[string]float64{
	"kg": 1, "g": 1e-3, "L": 1e-3, "mL": 1e-6, "m": 1, "cm": 1e-2, "mm": 1e-3, "s": 1, "min": 60, "h": 3600, "d": 86400,
	"%": 1e-2, "ppm": 1e-6, "psi": 0.45359237 * 9.80665 / (0.0254 * 0.0254), "kPa": 1e3, "bar": 1e5, "lx": 1, "kg/L": 1e3, "kW": 1e3, "W": 1,
	"m/s": 1,
}

var quantity = regexp.MustCompile(`^([-+0-9.]+) ?(.+)$`)

func parsed(kind, text string) float64 {
	m := quantity.FindStringSubmatch(text)
	if m == nil {
		panic("no quantity: " + text)
	}
	x, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		panic(err)
	}
	if kind == "Temperature" {
		switch m[2] {
		case "°C":
			return x + 273.15
		case "°F":
			return (x + 459.67) * 5 / 9
		}
		panic("no temperature: " + text)
	}
	f, ok := scaled[m[2]]
	if !ok {
		panic("no unit: " + text)
	}
	return x * f
}

func digits(x float64) string { return fmt.Sprintf("%.11e", x+0) }

// flat writes what stands under a key as lines; a key that is not there is the zero of
// its type, but for what may be left out.
func flat(at string, t reflect.Type, v any) []string {
	optional := t.Kind() == reflect.Pointer
	if optional {
		t = t.Elem()
	}
	kind, _, _ := strings.Cut(t.Name(), "[")
	name, _ := v.(string)
	switch {
	case optional && v == nil:
		return nil
	case kind == "Step" && strings.HasSuffix(t.PkgPath(), "/unit"):
		return []string{at + " = " + digits(parsed(kind, name))}
	case kind == "Range":
		of := t.Field(0).Type.Name()
		low, high := 0.0, 0.0
		if list, ok := v.([]any); ok {
			low, high = parsed(of, list[0].(string)), parsed(of, list[1].(string))
		}
		return []string{fmt.Sprintf("%s = [%s, %s]", at, digits(low), digits(high))}
	case t.Kind() == reflect.Struct:
		table, _ := v.(tree)
		var out []string
		for i := range t.NumField() {
			f := t.Field(i)
			key := f.Tag.Get("toml")
			if f.Anonymous {
				out = append(out, flat(at, f.Type, v)...)
			} else if key != "-" && f.Tag.Get("method") != "-" {
				out = append(out, flat(strings.TrimPrefix(at+"."+key, "."), f.Type, table[key])...)
			}
		}
		slices.Sort(out)
		return out
	case t.Kind() == reflect.Slice:
		var tables, items []string
		for i := range length(v) {
			item := reflect.ValueOf(v).Index(i).Interface()
			if t.Elem().Kind() == reflect.Struct {
				tables = append(tables, at+" = {"+strings.Join(flat("", t.Elem(), item), "; ")+"}")
			} else {
				items = append(items, strings.TrimPrefix(flat("", t.Elem(), item)[0], " = "))
			}
		}
		if t.Elem().Kind() == reflect.Struct {
			slices.Sort(tables)
			return tables
		}
		return []string{at + " = [" + strings.Join(items, ", ") + "]"}
	case t.Kind() == reflect.Map:
		return nil // the farm's moistures, which stand with the ingredients
	case t.Kind() == reflect.Float64:
		if v == nil {
			return []string{at + " = " + digits(0)}
		}
		return []string{at + " = " + digits(parsed(kind, name))}
	case t.Kind() == reflect.Int:
		n, _ := v.(int64)
		return []string{fmt.Sprintf("%s = %d", at, n)}
	case t.Kind() == reflect.Bool:
		b, _ := v.(bool)
		return []string{fmt.Sprintf("%s = %t", at, b)}
	case t.Kind() == reflect.String:
		return []string{at + " = " + strconv.Quote(strings.ReplaceAll(name, "\r\n", "\n"))}
	}
	panic(at + ": " + t.String())
}

func length(list any) int {
	if list == nil {
		return 0
	}
	return reflect.ValueOf(list).Len()
}

func fileOf(t testing.TB, files fs.FS, name string) tree {
	src, err := fs.ReadFile(files, name)
	if err != nil {
		return nil
	}
	// Most files of a commit are those of the one before; nobody changes what was read.
	if out, is := treeOf[string(src)]; is {
		return out
	}
	out := tree{}
	require.NoError(t, toml.Unmarshal(src, &out), name)
	treeOf[string(src)] = out
	return out
}

var treeOf = map[string]tree{}

// listOf are the tables of a list.
func listOf(v any) []tree {
	list, _ := v.([]map[string]any)
	return list
}

// over puts a child's keys over its parent's.
func over(parent, child tree) tree {
	out := maps.Clone(parent)
	if child["mass"] != nil { // of the two ways to say how much goes in, the child's
		delete(out, "density")
	}
	if child["density"] != nil {
		delete(out, "mass")
	}
	for key, v := range child {
		a, both := out[key].(tree)
		if b, ok := v.(tree); ok && both {
			v = over(a, b)
		}
		out[key] = v
	}
	return out
}

func written(t testing.TB, files fs.FS, name string) tree {
	own := fileOf(t, files, "protocols/"+name+".toml")
	if parent, ok := own["based_on"].(string); ok {
		return over(written(t, files, parent), own)
	}
	return own
}

// fingerprintOf is the fingerprint of a protocol of a farm without faults.
func fingerprintOf(t testing.TB, files, base fs.FS, name string) string {
	// The farm's entries stand before the program's.
	entry := func(file, kind, id string) tree {
		for _, lib := range []tree{fileOf(t, files, "protocols/library/"+file+".toml"), fileOf(t, base, "library/"+file+".toml")} {
			for _, e := range listOf(lib[kind]) {
				if e["id"] == id {
					return e
				}
			}
		}
		require.Fail(t, "no "+kind+" "+id)
		return nil
	}
	farm, p := fileOf(t, files, "protocols/farm.toml"), written(t, files, name)
	sterilizer := func(id, vessel any) tree {
		for _, s := range listOf(farm["sterilizer"]) {
			if s["id"] == id {
				s = maps.Clone(s)
				s["holds"] = slices.DeleteFunc(slices.Clone(listOf(s["holds"])), func(h map[string]any) bool { return h["vessel"] != vessel })
				return s
			}
		}
		require.Fail(t, "no sterilizer")
		return nil
	}
	ingredient := func(id string) tree {
		e := maps.Clone(entry("ingredients", "ingredient", id))
		if measured, ok := farm["moisture_wb"].(tree)[id]; ok {
			e["moisture_wb"] = measured
		}
		return e
	}
	var lines []string
	write := func(at string, t reflect.Type, v tree) { lines = append(lines, flat(at, t, v)...) }
	its := sterilizer(p["sterilizer"], p["vessel"])
	ofFarm := maps.Clone(farm)
	ofFarm["sterilizer"] = []map[string]any{its}
	write("protocol", reflect.TypeFor[protocol.Protocol](), p)
	write("farm", reflect.TypeFor[protocol.Farm](), ofFarm)
	write("species", reflect.TypeFor[protocol.Species](), entry("species", "species", p["species"].(string)))
	write("vessel", reflect.TypeFor[protocol.Vessel](), entry("vessels", "vessel", p["vessel"].(string)))
	write("model", reflect.TypeFor[protocol.Sterilizer](), entry("sterilizers", "sterilizer", its["model"].(string)))
	for _, part := range listOf(p["substrate"].(tree)["ingredient"]) {
		id := part["ingredient"].(string)
		write("ingredient."+id, reflect.TypeFor[protocol.Ingredient](), ingredient(id))
	}
	if g, ok := farm["grain"].(tree); ok {
		its := sterilizer(g["sterilizer"], g["jar"])
		write("grain.of", reflect.TypeFor[protocol.Ingredient](), ingredient(g["ingredient"].(string)))
		write("grain.into", reflect.TypeFor[protocol.Vessel](), entry("vessels", "vessel", g["jar"].(string)))
		write("grain.in", reflect.TypeFor[protocol.FarmSterilizer](), its)
		write("grain.model", reflect.TypeFor[protocol.Sterilizer](), entry("sterilizers", "sterilizer", its["model"].(string)))
	}
	slices.Sort(lines)
	return fmt.Sprintf("%x", sha256.Sum256([]byte("bottlecrop method 1\n"+strings.Join(lines, "\n")+"\n")))
}

// Both implementations agree on every protocol of the demo farm.
func TestFingerprintsOfTheDemoFarm(t *testing.T) {
	files, base := os.DirFS("../../.."), os.DirFS("../../../protocols")
	folder, _ := farmfile.Read(files, base)
	require.Greater(t, len(folder.Protocols), 5)
	for _, p := range folder.Protocols {
		assert.Equal(t, folder.Fingerprint(p.Name), fingerprintOf(t, files, base, p.Name), p.Name)
	}
}
