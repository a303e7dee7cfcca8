package protocols_test

import (
	"encoding/csv"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/protocols"
)

// The tables that the library was made from lie in testdata with the source of
// each row. The tests below hold every entry to its row.
const (
	speciesTable    = "../testdata/species.csv"
	ingredientTable = "../testdata/ingredients.csv"
)

type entry map[string]any

// Every row of species.csv stands in the library with the same figures.
func TestSpeciesAsInTheTable(t *testing.T) {
	library := entries(t, "species.toml", "species")
	rows := table(t, speciesTable)
	ids := map[string]string{
		"flammulina_filiformis": "enoki", "pleurotus_ostreatus": "oyster",
		"pleurotus_pulmonarius": "phoenix-oyster", "pleurotus_eryngii": "king-oyster",
		"pleurotus_citrinopileatus": "golden-oyster", "grifola_frondosa": "maitake",
		"hypsizygus_marmoreus": "beech", "pholiota_microspora": "nameko",
		"hericium_erinaceus": "lions-mane", "cyclocybe_aegerita": "black-poplar",
		"lentinula_edodes": "shiitake",
	}
	require.Len(t, rows, len(ids))
	for id, e := range library {
		if _, strain := e["strain_of"]; strain {
			delete(library, id) // TestStrains
		}
	}
	require.Len(t, library, len(ids))
	spans := []struct{ key, column, unit string }{
		{"incubation", "incubation_opt_c", "°C"}, {"colonize", "colonise_days", "d"},
		{"pin_air", "pin_c", "°C"}, {"fruit_air", "fruit_c", "°C"},
		{"rh_incubate", "rh_incubate", "%"}, {"rh_pin", "rh_pin", "%"}, {"rh_fruit", "rh_fruit", "%"},
		{"co2_pin", "co2_pin_ppm", "ppm"}, {"co2_fruit", "co2_fruit_ppm", "ppm"},
		{"pin_days", "pin_days", "d"}, {"fruit_days", "fruit_days", "d"},
		{"n_dm", "n_target_pct", "%"}, {"moisture_wb", "moisture_pct", "%"},
	}
	singles := []struct{ key, column, unit string }{
		{"core_most", "incubation_core_max_c", "°C"}, {"ripen", "maturation_days", "d"},
		{"light_each_day", "light_h_per_day", "h"},
		{"efficiency_low", "be_pct_lo", "%"}, {"efficiency_usual", "be_pct_typ", "%"},
		{"efficiency_high", "be_pct_hi", "%"},
	}
	for _, row := range rows {
		t.Run(row["id"], func(t *testing.T) {
			e := find(t, library, ids[row["id"]])
			for _, s := range spans {
				e.meets(t, s.key, s.unit, row[s.column+"_lo"], row[s.column+"_hi"])
			}
			for _, s := range singles {
				e.meets(t, s.key, s.unit, row[s.column])
			}
			for key, column := range map[string]string{"light_pin": "light_pin_lux", "light_fruit": "light_fruit_lux"} {
				e.meets(t, key, "lx", strings.Split(row[column], "-")...)
			}
			// ">5000 in vessel; room <3000": the room's is the typed one.
			vessel, room, found := strings.Cut(row["co2_incubate_ppm"], " in vessel; room <")
			require.True(t, found, row["co2_incubate_ppm"])
			e.meets(t, "co2_room_incubate", "ppm", room)
			e.tells(t, vessel+" ppm inside the vessel")

			first, _, _ := strings.Cut(row["bottle_suitability"], " ")
			assert.Equal(t, strings.ToLower(first), e["in_bottles"])
			assert.Equal(t, collars[row["collar"]], e["collar"], row["collar"])
			assert.Equal(t, scrapes[row["scrape"]], e["scrape"], row["scrape"])
			assert.Equal(t, row["flushes_in_bottle"], e["flushes"])
			assert.Equal(t, row["source"], e["source"])
			assert.Equal(t, row["status"], e["status"])
			e.tells(t, row["notes"])
			e.tells(t, words(row["name"])...)
			e.tells(t, words(row["common"])...)
		})
	}
}

// Strains stand under a species and write only what differs: brown enoki by a
// published grower review, white enoki from memory, both as in the substrate
// reference H and the notes of species.csv.
func TestStrains(t *testing.T) {
	library := entries(t, "species.toml", "species")
	strains := map[string]map[string][2]string{ // key: low and high, with the unit
		"enoki-white": {"pin_air": {"12 °C", "15 °C"}, "fruit_air": {"5 °C", "8 °C"}},
		"enoki-brown": {"fruit_air": {"10 °C", "16 °C"}, "rh_fruit": {"90 %", "95 %"}},
	}
	for id, e := range library {
		of, strain := e["strain_of"]
		if !strain {
			assert.NotContains(t, strains, id)
			continue
		}
		require.Contains(t, strains, id)
		species := find(t, library, of.(string))
		assert.NotContains(t, species, "strain_of", id)
		assert.Contains(t, e["common"], species["common"], id)
		for key, v := range e {
			switch key {
			case "id", "strain_of", "common", "source", "status", "notes":
				continue
			}
			require.Contains(t, strains[id], key, "%s writes %s", id, key)
			assert.Equal(t, []any{strains[id][key][0], strains[id][key][1]}, v, "%s: %s", id, key)
			assert.NotEqual(t, species[key], v, "%s writes what its species has: %s", id, key)
		}
		for key := range strains[id] {
			assert.Contains(t, e, key, id)
		}
	}
	// The two differ by several degrees in the growing room.
	white, brown := find(t, library, "enoki-white"), find(t, library, "enoki-brown")
	cold := quantity(t, "fruit_air", white["fruit_air"].([]any)[1], "°C")
	warm := quantity(t, "fruit_air", brown["fruit_air"].([]any)[1], "°C")
	assert.GreaterOrEqual(t, warm-cold, 5.0)
	assert.Contains(t, white["status"], "from memory")
}

// collars and scrapes are what the table says in words, by the library's word.
var (
	collars = map[string]string{
		"yes, 12-15 cm sleeve when stems 2-3 cm": "wanted",
		"optional short":                         "optional",
		"no":                                     "no",
		"no (mouth depth acts as collar)":        "no",
	}
	scrapes = map[string]string{
		"yes": "level", "yes, leaving a raised centre": "raised-center",
		"yes, light": "light", "yes, light; flood 1-2 h then drain": "light",
		"optional": "optional", "no": "never", "no: never scrape the primordial mat": "never",
	}
)

// Every row of ingredients.csv stands in the library with the same figures.
func TestIngredientsAsInTheTable(t *testing.T) {
	library := entries(t, "ingredients.toml", "ingredient")
	rows := table(t, ingredientTable)
	short := map[string]string{ // the rest only change _ for -
		"hardwood_sawdust_kd": "hardwood-sawdust-dried", "softwood_ref": "softwood",
		"hardwood_fuel_pellet": "hardwood-pellet", "newsprint_pellet": "paper-pellet",
	}
	roles := map[string]string{
		"base": "base", "supplement": "supplement", "mineral": "mineral",
		"spawn_grain": "spawn-grain", "base_reference": "reference",
	}
	require.Len(t, library, len(rows))
	for _, row := range rows {
		t.Run(row["id"], func(t *testing.T) {
			id, ok := short[row["id"]]
			if !ok {
				id = strings.ReplaceAll(row["id"], "_", "-")
			}
			e := find(t, library, id)
			e.meets(t, "moisture_wb", "%", row["moisture_as_received_pct_wb"])
			e.meets(t, "c_dm", "%", row["c_pct_dm"])
			e.meets(t, "n_dm", "%", row["n_pct_dm"])
			e.meets(t, "ash_dm", "%", row["ash_pct_dm"])
			e.meets(t, "bulk_density_dry", "kg/m3", row["bulk_density_dry_kg_m3"])
			method := strings.ReplaceAll(strings.ToLower(row["c_method"]), "_", "-")
			assert.Equal(t, strings.Replace(method, "n-x-cn", "n-times-cn", 1), e["c_method"])
			assert.Equal(t, roles[row["role"]], e["role"])
			assert.Equal(t, row["bulk_density_note"], e["bulk_density_note"])
			assert.Equal(t, row["source"], e["source"])
			assert.Equal(t, row["status"], e["status"])
			e.tells(t, row["notes"])
			e.tells(t, words(row["name"])...)
		})
	}
}

// Carbon and ash of one sample cannot be more than all of it (substrate
// reference B4: the mistake behind a well-known table's 106 % carbon).
func TestIngredientsAddUp(t *testing.T) {
	for id, e := range entries(t, "ingredients.toml", "ingredient") {
		c, n, ash := e.number(t, "c_dm", "%"), e.number(t, "n_dm", "%"), e.number(t, "ash_dm", "%")
		assert.LessOrEqual(t, c+n+ash, 100.0, id)
		assert.LessOrEqual(t, c, 60.0, id)
		assert.LessOrEqual(t, e.number(t, "usual_most_dm", "%"), e.number(t, "never_above_dm", "%"), id)
	}
}

func TestEveryEntryNamesItsSource(t *testing.T) {
	for file, kind := range map[string]string{
		"species.toml": "species", "ingredients.toml": "ingredient",
		"vessels.toml": "vessel", "sterilizers.toml": "sterilizer",
		"troubles.toml": "trouble",
	} {
		for id, e := range entries(t, file, kind) {
			assert.NotEmpty(t, e["source"], "%s %s", file, id)
			assert.NotEmpty(t, e["status"], "%s %s", file, id)
		}
	}
}

// entries reads one file of the library, by id.
func entries(t *testing.T, file, kind string) map[string]entry {
	t.Helper()
	data, err := fs.ReadFile(protocols.Library, "library/"+file)
	require.NoError(t, err)
	var doc map[string]any
	_, err = toml.Decode(string(data), &doc)
	require.NoError(t, err)
	require.EqualValues(t, 1, doc["format"])
	require.Len(t, doc, 2, "only format and [[%s]] in %s", kind, file)
	list, ok := doc[kind].([]map[string]any)
	require.True(t, ok, "no [[%s]] in %s", kind, file)
	out := make(map[string]entry, len(list))
	for _, e := range list {
		id, ok := e["id"].(string)
		require.True(t, ok)
		require.NotContains(t, out, id, "twice in %s", file)
		out[id] = e
	}
	return out
}

func find(t *testing.T, library map[string]entry, id string) entry {
	t.Helper()
	e, ok := library[id]
	require.True(t, ok, "the library has no %q", id)
	return e
}

// meets checks a quantity, or a pair of them, against the table's numbers.
func (e entry) meets(t *testing.T, key, unit string, want ...string) {
	t.Helper()
	got := []any{e[key]}
	if list, ok := e[key].([]any); ok {
		got = list
	}
	require.Len(t, got, len(want), key)
	for i, w := range want {
		x, err := strconv.ParseFloat(w, 64)
		require.NoError(t, err, key)
		assert.InDelta(t, x, quantity(t, key, got[i], unit), 0, key)
	}
}

func (e entry) number(t *testing.T, key, unit string) float64 {
	t.Helper()
	return quantity(t, key, e[key], unit)
}

// quantity reads "540 g" where the unit is known to be g.
func quantity(t *testing.T, key string, v any, unit string) float64 {
	t.Helper()
	text, ok := v.(string)
	require.True(t, ok, "%s = %v is no text", key, v)
	number, found := strings.CutSuffix(text, " "+unit)
	require.True(t, found, "%s = %q is not in %s", key, text, unit)
	x, err := strconv.ParseFloat(number, 64)
	require.NoError(t, err, key)
	return x
}

// tells checks that what the table says stands in one of the entry's texts;
// only the first letter may have become a capital.
func (e entry) tells(t *testing.T, said ...string) {
	t.Helper()
	var all strings.Builder
	for _, key := range []string{"name", "scientific", "common", "notes", "role"} {
		if s, ok := e[key].(string); ok {
			all.WriteString(strings.ToLower(s) + "\n")
		}
	}
	for _, s := range said {
		assert.Contains(t, all.String(), strings.ToLower(s))
	}
}

// words of a name, without what stands between them.
func words(name string) []string {
	return strings.FieldsFunc(name, func(r rune) bool { return strings.ContainsRune(" ()/,", r) })
}

func table(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.FromSlash(path))
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 1, path)
	var out []map[string]string
	for _, line := range lines[1:] {
		row := make(map[string]string, len(line))
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		out = append(out, row)
	}
	return out
}
