package change_test

import (
	"fmt"
	"io/fs"
	"math/big"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// respelled writes quantities in another unit of the same kind.
var respelled = map[string]struct {
	unit string
	by   *big.Rat
}{
	"mm": {"cm", big.NewRat(1, 10)}, "cm": {"mm", big.NewRat(10, 1)}, "g": {"kg", big.NewRat(1, 1000)}, "kg": {"g", big.NewRat(1000, 1)},
	"mL": {"L", big.NewRat(1, 1000)}, "L": {"mL", big.NewRat(1000, 1)}, "h": {"min", big.NewRat(60, 1)}, "d": {"h", big.NewRat(24, 1)},
}

var withUnit = regexp.MustCompile(`"(-?[0-9.]+) (mm|cm|g|kg|mL|L|h|d)"`)

// respell writes a file in other units, with remarks, and with its tables in another order.
func respell(t testing.TB, text string, shuffle func(n int) []int) string {
	t.Helper()
	var blocks []string // the head, then each table with what is below it
	block, times := "", 0
	for _, l := range strings.Split(text, "\n") {
		if strings.HasPrefix(l, "[") && !strings.HasPrefix(l, "[[") && !strings.Contains(l, ".") || regexp.MustCompile(`^\[\[[a-z_]+\]\]`).MatchString(l) {
			blocks = append(blocks, block)
			block = ""
		}
		if !strings.Contains(l, "reads = ") { // the unit of a dial is the one that sheets name
			l = withUnit.ReplaceAllStringFunc(l, func(q string) string {
				m := withUnit.FindStringSubmatch(q)
				r, ok := new(big.Rat).SetString(m[1])
				require.True(t, ok)
				to := respelled[m[2]]
				times++
				return fmt.Sprintf(`"%s %s"`, r.Mul(r, to.by).FloatString(7), to.unit)
			})
		}
		block += l + "\n"
		if keyed.MatchString(l) {
			block += "# a remark\n"
		}
	}
	blocks = append(blocks, block)
	require.Greater(t, times, 3)
	out := blocks[0]
	for _, i := range shuffle(len(blocks) - 1) {
		out += blocks[i+1]
	}
	return out
}

// Units that are spelled in another way, remarks, and the order of tables are nothing.
func TestSpellingRemarksAndOrderAreNothing(t *testing.T) {
	farm := demo(t)
	for seed := range checks.Rounds(2, 40) {
		random := rand.New(rand.NewPCG(9, uint64(seed)))
		other := fstest.MapFS{}
		for file, f := range farm {
			other[file] = f
		}
		for _, file := range demoFiles {
			other[file] = &fstest.MapFile{Data: []byte(respell(t, string(farm[file].Data), random.Perm))}
		}
		for _, name := range []string{"enoki-850", "king-oyster-1100"} {
			before, after := must(t, farm, name), must(t, other, name)
			require.Equal(t, fingerprint(t, farm, name), fingerprint(t, other, name), "it is no change of the method")
			got, err := change.Compare(before, after, 240, english)
			require.NoError(t, err)
			require.Empty(t, got.Differences)
			for _, c := range got.Inputs {
				require.Equal(t, change.Order{}, c.Before.Value, "%v", c.Before.Origin)
			}
			require.True(t, got.Nothing())
			number, _, err := change.Rise(before, after, []int{48}, english)
			require.NoError(t, err)
			require.Equal(t, change.None, number)
		}
	}
}

func fingerprint(t testing.TB, farm fs.FS, name string) string {
	t.Helper()
	_, folder, ok := side(farm, name)
	require.True(t, ok)
	return folder.Fingerprint(name)
}

// Spanish and US units tell the same differences.
func TestVoicesTellTheSameDifferences(t *testing.T) {
	farm := demo(t)
	later := edit(t, edit(t, farm, "protocols/enoki-850.toml", `hold = "120 min"`, `hold = "130 min"`), "protocols/farm.toml", `altitude = "420 m"`, `altitude = "900 m"`)
	before, after := must(t, farm, "enoki-850"), must(t, later, "enoki-850")
	spanish, err := words.In("es", unit.US)
	require.NoError(t, err)
	list := func(v *words.Voice) (out []string) {
		r, err := change.Compare(before, after, 240, v)
		require.NoError(t, err)
		for _, d := range r.Differences {
			if d.Kind == change.Figure && d.After != nil && d.After.Step == 0 {
				out = append(out, fmt.Sprint(d.Group, d.After.ID(), len(d.Causes)))
			}
		}
		return out
	}
	metric, us := list(english), list(spanish)
	assert.Greater(t, len(metric), 40)
	for _, x := range []string{"safetyhold1", "safetyf0_slow2"} {
		assert.Contains(t, metric, x)
		assert.Contains(t, us, x)
	}
}
