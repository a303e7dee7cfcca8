package farmfile

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
)

// clean reads a farm that must be without findings.
func clean(t testing.TB, farm fs.FS) *Folder {
	t.Helper()
	f, list := Read(farm, builtIn)
	require.Empty(t, lines(list))
	return f
}

// in protocols/enoki.toml, the same values in other units: NIST SP 811, B.8
// (1 in = 25.4 mm, 1 lb = 453.59237 g); 1 d = 24 h = 1440 min, by definition.
var inOtherUnits = [][2]string{
	{`mixing = "15 min"`, `mixing = "900 s"`},
	{`mixing = "15 min"`, `mixing = "0.25 h"`},
	{`density = "0.68 kg/L"`, `density = "680 kg/m3"`},
	{`headspace = "60 mL"`, `headspace = "0.06 L"`},
	{`line_below_rim = "20 mm"`, `line_below_rim = "2 cm"`},
	{`gauge_pressure = "15 psi"`, `gauge_pressure = "15.0 psig"`},
	{`hold = "90 min"`, `hold = "1.5 h"`},
	{`cool_to = "25 °C"`, `cool_to = "77 °F"`},
	{`use_within = "24 h"`, `use_within = "1 d"`},
	{`usable_in_a_jar = "450 g"`, `usable_in_a_jar = "0.450 kg"`},
	{`air = "19 °C"`, `air = "292.15 K"`},
	{`co2_most = "2000 ppm"`, `co2_most = "0.2 %"`},
	{`water = "10 mL"`, `water = "10 cm3"`},
	{`scrape_depth = "5 mm"`, `scrape_depth = "0.5cm"`},
}

// in the same file, what no step, amount or limit depends on.
var besideTheMethod = [][2]string{
	{`title = "Enoki in the 850 mL bottle"`, `title = "Another title"`},
	{`summary = "`, `summary = "And: `},
	{`batch_sizes = [12, 48, 160, 400]`, `batch_sizes = [1, 7]`},
	{`[fill]`, "# a remark\n\n[fill]   # and another"},
	{`made = "pressed"`, `made    =   'pressed'`},
	{`trim = "7 %"`, `"trim" = """7 %"""`},
	{`mass_change_in_sterilizer = "0 %"`, ""}, // until it is measured it is 0
	{`sign = "`, `sign = "Look: `},
}

// Texts of the file that change the method, each by itself.
var ofTheMethod = [][2]string{
	{`hold = "90 min"`, `hold = "91 min"`},
	{`share_dm = "42 %"`, `share_dm = "42.000001 %"`},
	{`made = "pressed"`, `made = "removed"`},
	{`mass_change_in_sterilizer = "0 %"`, `mass_change_in_sterilizer = "-1 %"`},
	{`vessel = "bottle-850"`, `vessel = "jar-quart"`},
	{`species = "enoki"`, `species = "oyster"`},
	{`ingredient = "wheat-bran"`, `ingredient = "rye-grain"`},
	{`density = "0.68 kg/L"`, `mass = "537 g"`},
	{`detergent = "mild-alkali"`, `detergent = "none"`},
	{`[collar]`, `[collar2]`},
}

// shuffled writes the same document in another order: the tables after the
// first, the items of lists of tables, and the lines within each.
func shuffled(t *rapid.T, src string) string {
	sections := regexp.MustCompile(`(?m)^\[`).Split(src, -1)
	for i := range sections[1:] {
		sections[i+1] = "[" + sections[i+1]
	}
	top, rest := sections[0], sections[1:]
	for i, s := range rest {
		header, body, _ := strings.Cut(s, "\n")
		rest[i] = header + "\n" + strings.Join(rapid.Permutation(strings.Split(strings.Trim(body, "\n"), "\n")).Draw(t, "lines"), "\n") + "\n"
	}
	rest = rapid.Permutation(rest).Draw(t, "tables")
	// A table of a table must come before its lists: TOML wants it so only for
	// lists that would begin an implicit one, and [substrate] is such a table.
	slices.SortStableFunc(rest, func(a, b string) int {
		return strings.Compare(order(a), order(b))
	})
	return top + strings.Join(rest, "\n")
}

func order(section string) string {
	if strings.HasPrefix(section, "[substrate]") {
		return "0"
	}
	return "1"
}

func withEnoki(t testing.TB, src []byte) fs.FS {
	return farmOf(t, map[string][]byte{"protocols/enoki.toml": src})
}

// The canonical form does not see order, units, remarks, line ends, or what no
// step depends on, in any combination.
func TestCanonicalIsBlind(t *testing.T) {
	source, err := fs.ReadFile(base, "protocols/enoki.toml")
	require.NoError(t, err)
	want := string(clean(t, withEnoki(t, source)).Canonical("enoki"))
	require.NotEmpty(t, want)
	var same [][2]string
	same = append(append(same, inOtherUnits...), besideTheMethod...)
	for _, pair := range same { // each by itself
		require.Equal(t, 1, strings.Count(string(source), pair[0]), pair[0])
		src := strings.Replace(string(source), pair[0], pair[1], 1)
		assert.Equal(t, want, string(clean(t, withEnoki(t, []byte(src))).Canonical("enoki")), pair[1])
	}
	checks.Cases(t, 40)
	rapid.Check(t, func(rt *rapid.T) {
		src := string(source)
		for _, pair := range same {
			if rapid.Bool().Draw(rt, pair[1]) {
				src = strings.Replace(src, pair[0], pair[1], 1)
			}
		}
		src = shuffled(rt, src)
		if rapid.Bool().Draw(rt, "CR LF") {
			src = strings.ReplaceAll(src, "\n", "\r\n")
		}
		f, list := Read(withEnoki(t, []byte(src)), builtIn)
		if len(list) > 0 {
			rt.Fatalf("%s\n%s", lines(list), src)
		}
		if got := string(f.Canonical("enoki")); got != want {
			rt.Fatalf("%s\n%s", got, src)
		}
	})
}

// A text of several lines is the same whichever system's line ends the file has.
func TestLineEndsWithinATextAreNotSeen(t *testing.T) {
	source, err := fs.ReadFile(base, "protocols/enoki.toml")
	require.NoError(t, err)
	unix := string(source) + "\n[[step]]\nid = \"radio\"\nafter = \"weigh\"\nrole = \"grower\"\ntitle = \"Turn the radio off\"\nwhen = \"Before that.\"\ntakes = \"1 min\"\n" +
		"wrong = \"It is on.\"\ndo = [\"Turn it off.\"]\nlimit = \"Silence.\"\ncheck = \"Listen.\"\nif_off = \"Turn it off again.\"\nwhy = \"\"\"One hears a leak.\nAnd talks.\"\"\"\nask = \"Why is it off?\"\nanswer = \"To hear a leak.\"\n"
	want := string(clean(t, withEnoki(t, []byte(unix))).Canonical("enoki"))
	require.Contains(t, want, `One hears a leak.\nAnd talks.`)
	got := string(clean(t, withEnoki(t, []byte(strings.ReplaceAll(unix, "\n", "\r\n")))).Canonical("enoki"))
	checks.Same(t, "the canonical form", want, got)
}

func TestCanonicalSees(t *testing.T) {
	seen := map[string]string{}
	note := func(what string, f *Folder) {
		c := string(f.Canonical("enoki"))
		require.NotEmpty(t, c, what)
		assert.Empty(t, seen[c], "%s and %s have the same form", what, seen[c])
		seen[c] = what
	}
	note("as it is", clean(t, farmOf(t, nil)))
	for _, pair := range ofTheMethod {
		f, _ := Read(withEnoki(t, changed(t, "protocols/enoki.toml", pair[0], pair[1])), builtIn)
		if pair[1] == "[collar2]" { // taken out with its two keys
			f = clean(t, withEnoki(t, changed(t, "protocols/enoki.toml", "[collar]\nwhen_stems_reach = \"25 mm\"\nheight = \"130 mm\"\n", "")))
		}
		note(pair[1], f)
	}
	for _, pair := range [][2]string{
		{`altitude = "420 m"`, `altitude = "421 m"`},
		{`usual = "3 %"`, `usual = "4 %"`},
		{`uninoculated_per_load = 2`, `uninoculated_per_load = 3`},
		{`reads = "0.1 g"`, `reads = "0.2 g"`},
		{`rated_pressure = "30 psi"`, `rated_pressure = "29 psi"`},
		{`count = 120`, `count = 121`},
		{`soy-hull = "10.2 %"`, `soy-hull = "10.3 %"`},
	} {
		note(pair[1], clean(t, farmOf(t, map[string][]byte{protocol.FarmDocument: changed(t, protocol.FarmDocument, pair[0], pair[1])})))
	}
	// The library: one figure of the vessel and of an ingredient.
	for _, pair := range [][3]string{
		{"vessels.toml", `brimful = "850 mL"`, `brimful = "851 mL"`},
		{"ingredients.toml", `n_dm = "2.78 %"`, `n_dm = "2.79 %"`},
	} {
		name := protocol.LibraryFolder + "/" + pair[0]
		note(pair[2], clean(t, farmOf(t, map[string][]byte{name: changed(t, name, pair[1], pair[2])})))
	}
}

// What the farm does not use for a protocol, and what changes no method.
func TestCanonicalLeavesOut(t *testing.T) {
	want := clean(t, farmOf(t, nil)).Canonical("enoki")
	for _, pair := range [][2]string{
		{`name = "Willow Fork"`, `name = "Elder Fork"`},
		{`invented = true`, `invented = false`},
		{`units = "metric"`, `units = "us"`},
		{`paper = "letter"`, `paper = "A4"`},
		{`soy-hull = "0.42 USD/kg"`, `soy-hull = "0.43 USD/kg"`},
		{`name = "Bench scale"`, `name = "Scale on the bench"`},
		{`count = 100`, `count = 101`}, // of quart jars
		{`altitude = "420 m"`, `altitude = "0.42 km"`},
	} {
		got := clean(t, farmOf(t, map[string][]byte{protocol.FarmDocument: changed(t, protocol.FarmDocument, pair[0], pair[1])})).Canonical("enoki")
		assert.Equal(t, string(want), string(got), pair[1])
	}
	// A measured moisture that is the library's own changes nothing.
	got := clean(t, farmOf(t, map[string][]byte{protocol.FarmDocument: changed(t, protocol.FarmDocument, `soy-hull = "10.2 %"`, "soy-hull = \"10.2 %\"\nwheat-bran = \"9.9 %\"")})).Canonical("enoki")
	assert.Equal(t, string(want), string(got))
	// Nor does a copy of the library's entry in the farm's own library, with
	// another source, nor an entry that is not used.
	vessels := changed(t, protocol.LibraryFolder+"/vessels.toml",
		`source = "Table of common bottle sizes; wall of the heat model of the sterilization reference; lid mass as in the comparison with bags"`+"\n"+`status = "dimensions and masses from memory; service temperature from memory"`+"\n"+`notes = "Mouth 58`,
		`source = "measured"`+"\n"+`status = "measured"`+"\n"+`notes = "Mouth 58`)
	f := clean(t, farmOf(t, map[string][]byte{protocol.LibraryFolder + "/vessels.toml": vessels}))
	assert.Equal(t, string(want), string(f.Canonical("enoki")))
}

// A value that comes by based_on is the same as one in place.
func TestCanonicalOfAChild(t *testing.T) {
	child := "format = 1\ntitle = \"Child\"\nbased_on = \"enoki\"\n"
	f := clean(t, farmOf(t, map[string][]byte{"protocols/child.toml": []byte(child)}))
	assert.Equal(t, string(f.Canonical("enoki")), string(f.Canonical("child")))
	assert.Equal(t, f.Fingerprint("enoki"), f.Fingerprint("child"))

	inChild := clean(t, farmOf(t, map[string][]byte{
		"protocols/child.toml": []byte(child + "[sterilization]\nhold = \"100 min\"\n[fill]\nmass = \"540 g\"\n"),
	}))
	inPlace := clean(t, withEnoki(t, changed(t, "protocols/enoki.toml", `hold = "90 min"`, `hold = "6000 s"`, `density = "0.68 kg/L"`, `mass = "0.54 kg"`)))
	assert.Equal(t, string(inPlace.Canonical("enoki")), string(inChild.Canonical("child")))
	assert.NotEqual(t, inChild.Fingerprint("enoki"), inChild.Fingerprint("child"))
}

func TestFingerprint(t *testing.T) {
	f := clean(t, farmOf(t, nil))
	sum := sha256.Sum256(f.Canonical("enoki"))
	assert.Equal(t, hex.EncodeToString(sum[:]), f.Fingerprint("enoki"))
	assert.Equal(t, hex.EncodeToString(sum[:2])+"-"+hex.EncodeToString(sum[2:4]), f.ShortFingerprint("enoki"))
	assert.Nil(t, f.Canonical("no-such"))
	assert.Empty(t, f.Fingerprint("no-such"))
	assert.Empty(t, f.ShortFingerprint("no-such"))
}

// Every line is a key and a value, sorted, and no key is of a field that the
// types mark as no part of the method.
func TestCanonicalForm(t *testing.T) {
	text := string(clean(t, farmOf(t, nil)).Canonical("enoki"))
	head, body, _ := strings.Cut(text, "\n")
	assert.Equal(t, canonicalVersion, head)
	all := strings.Split(strings.TrimSuffix(body, "\n"), "\n")
	assert.True(t, slices.IsSorted(all))
	for _, l := range all {
		assert.Regexp(t, `^[a-z0-9_.-]+ = \S`, l)
	}
	for _, mark := range []string{".title", ".summary", ".notes", ".source", ".status", ".batch_sizes", ".price", "farm.name", ".currency"} {
		assert.NotContains(t, body, mark)
	}
	// Each key of the protocol's type is there, or is marked as not of the method.
	var walk func(t reflect.Type, path string) []string
	walk = func(t reflect.Type, path string) (out []string) {
		for _, f := range fieldsOf(t) {
			k := f.kind
			for k.Kind() == reflect.Pointer {
				k = k.Elem()
			}
			switch {
			case !f.method:
			case isTable(k):
				out = append(out, walk(k, under(path, f.key))...)
			default:
				out = append(out, under(path, f.key))
			}
		}
		return out
	}
	for _, key := range walk(reflect.TypeFor[protocol.Protocol](), "protocol") {
		optional := strings.Contains(key, ".days.") || key == "protocol.fill.mass" ||
			key == "protocol.step" || key == "protocol.skip"
		assert.Equal(t, !optional, strings.Contains(body, key+" = "), key)
	}
}

func TestNumber(t *testing.T) {
	zero := 0.0
	assert.Equal(t, number(0), number(-zero))
	assert.Equal(t, number(0.1+0.2), number(0.3))
	assert.NotEqual(t, number(1), number(1+2e-11))
	assert.Equal(t, "1.03421359398e+05", number(103421.3593975254)) // 15 psi, SP 811 B.8
}
