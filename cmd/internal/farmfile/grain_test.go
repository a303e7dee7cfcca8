package farmfile

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
)

const grainSection = `
[grain]
ingredient = "rye-grain"
in_a_jar = "270 g"
moisture_wb = "52 %"
gypsum = "0.5 %"
jar = "jar-quart"
sterilizer = "steam-1"
gauge_pressure = "15 psi"
gauge_band = "0.5 psi"
vent = "10 min"
hold = "120 min"
controls_per_run = 1
generations = 2
jars_from_a_jar = 9
jars_from_a_plate = 4
grown_shortest = "10 d"
grown_usual = "14 d"
grown_longest = "16 d"
plate_grown = "12 d"
`

// withGrain is the base farm with its own spawn; pairs are replaced in its file.
func withGrain(t *testing.T, pairs ...string) map[string][]byte {
	t.Helper()
	src, err := fs.ReadFile(base, protocol.FarmDocument)
	require.NoError(t, err)
	text := string(src) + grainSection
	for i := 0; i < len(pairs); i += 2 {
		require.Equal(t, 1, strings.Count(text, pairs[i]), pairs[i])
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return map[string][]byte{protocol.FarmDocument: []byte(text)}
}

// The spawn sheet bears the method's fingerprint, so what moves an amount, a day or
// the run on it moves the fingerprint too: the section, the grain's own moisture,
// and how many jars stand in the sterilizer.
func TestGrainIsOfTheMethod(t *testing.T) {
	seen := map[string]string{}
	note := func(what string, files map[string][]byte) {
		c := string(clean(t, farmOf(t, files)).Canonical("enoki"))
		require.NotEmpty(t, c, what)
		assert.Empty(t, seen[c], "%s and %s have the same form", what, seen[c])
		seen[c] = what
	}
	note("bought", nil)
	note("as it is", withGrain(t))
	for _, pair := range [][2]string{
		{`in_a_jar = "270 g"`, `in_a_jar = "271 g"`},
		{`moisture_wb = "52 %"`, `moisture_wb = "51 %"`},
		{`ingredient = "rye-grain"`, `ingredient = "wheat-bran"`},
		{`jars_from_a_jar = 9`, `jars_from_a_jar = 8`},
		{`hold = "120 min"`, `hold = "121 min"`},
		{`grown_usual = "14 d"`, `grown_usual = "15 d"`},
		{`count = 100`, `count = 101`}, // of quart jars
		{`soy-hull = "10.2 %"`, "soy-hull = \"10.2 %\"\nrye-grain = \"13 %\""},
	} {
		note(pair[1], withGrain(t, pair[0], pair[1]))
	}
	same := clean(t, farmOf(t, withGrain(t, `in_a_jar = "270 g"`, `in_a_jar = "0.27 kg"`))).Canonical("enoki")
	assert.Equal(t, "as it is", seen[string(same)])
}

// A name that nothing has is told with its place and what is near.
func TestGrainNamesWhatIsThere(t *testing.T) {
	for _, c := range []struct{ was, is, says string }{
		{`ingredient = "rye-grain"`, `ingredient = "rye-grian"`, "rye-grain"},
		{`jar = "jar-quart"`, `jar = "jar-quarts"`, "jar-quart"},
		{`sterilizer = "steam-1"`, `sterilizer = "steam-7"`, "steam-1"},
	} {
		_, found := Read(farmOf(t, withGrain(t, c.was, c.is)), builtIn)
		require.Len(t, found, 1, lines(found))
		assert.Equal(t, "reference.unknown", found[0].Rule)
		assert.Equal(t, protocol.FarmDocument, found[0].Place.File)
		assert.Positive(t, found[0].Place.Line)
		assert.Contains(t, lines(found), c.says)
	}
	// What is a quantity has its unit, and nothing is left out but the gypsum.
	_, found := Read(farmOf(t, withGrain(t, `hold = "120 min"`, `hold = 120`)), builtIn)
	require.Len(t, found, 1, lines(found))
	assert.Equal(t, "unit.missing", found[0].Rule)
	_, found = Read(farmOf(t, withGrain(t, "generations = 2\n", "")), builtIn)
	require.Len(t, found, 1, lines(found))
	clean(t, farmOf(t, withGrain(t, "gypsum = \"0.5 %\"\n", "")))
}
