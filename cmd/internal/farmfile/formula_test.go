package farmfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

func TestRemove(t *testing.T) {
	for _, c := range []struct{ name, src, key, want string }{
		{"the first", "[[s]]\nx = 1\n\n[[s]]\nx = 2\n", "s[0]", "[[s]]\nx = 2\n"},
		{"one between", "[[s]]\nx = 1\n\n[[s]]\nx = 2 # two\n\n# three\n[[s]]\nx = 3\n", "s[1]", "[[s]]\nx = 1\n\n# three\n[[s]]\nx = 3\n"},
		{"the last of the file", "[[s]]\nx = 1\n\n[[s]]\nx = 2\n", "s[1]", "[[s]]\nx = 1\n"},
		{"without a last line end", "[[s]]\nx = 1\n\n[[s]]\nx = 2", "s[1]", "[[s]]\nx = 1\n"},
		{"without blank lines", "[[s]]\nx = 1\n[[s]]\nx = 2\n[t]\n", "s[1]", "[[s]]\nx = 1\n[t]\n"},
		{"remarks before and within stay", "# all of them\n[[s]]\n# why\nx = 1\n\n[[s]]\nx = 2\n", "s[0]", "# all of them\n# why\n\n[[s]]\nx = 2\n"},
		{"a value of several lines", "[[s]]\nx = [\n 1, # one\n]\ny = 2\n[[s]]\nx = [2]\n", "s[0]", "[[s]]\nx = [2]\n"},
		{"dotted keys", "[[s]]\na.b = 1\na.c = 2\n[[s]]\na.b = 3\n", "s[0]", "[[s]]\na.b = 3\n"},
		{"an empty one", "[[s]]\n[[s]]\nx = 2\n", "s[0]", "[[s]]\nx = 2\n"},
		{"not in order", "[[s]]\nx = 1\n\n[t]\ny = 1\n\n[[s]]\nx = 2\n\n[u]\nz = 1\n", "s[1]", "[[s]]\nx = 1\n\n[t]\ny = 1\n\n[u]\nz = 1\n"},
		{"CR LF", "[[s]]\r\nx = 1\r\n\r\n[[s]]\r\nx = 2\r\n", "s[0]", "[[s]]\r\nx = 2\r\n"},
		{"in a table", "[[a.s]]\nx = 1\n[[a.s]]\nx = 2\n", "a.s[0]", "[[a.s]]\nx = 2\n"},
		{"in one of a list", "[[a]]\n[[a.s]]\nx = 1\n[[a.s]]\nx = 2\n", "a[0].s[1]", "[[a]]\n[[a.s]]\nx = 1\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := remove([]byte(c.src), c.key)
			require.NoError(t, err)
			assert.Equal(t, c.want, string(got))
		})
	}
}

func TestRemoveRefuses(t *testing.T) {
	for _, c := range []struct{ src, key, want string }{
		{"[[s]]\n", "s", "no path of a table"},
		{"[[s]]\n", "s..", "no path of a table"},
		{"[[s]]\n[[s]]\n", "s[2]", "no such table"},
		{"[[s]]\n", "s[0]", "the only one"},
		{"s = [{x = 1}, {x = 2}]\n", "s[0]", "no table with a header"},
		{"[[s]]\n[s.t]\nx = 1\n[[s]]\n", "s[0]", "tables of its own"},
		{"[[s]]\n[[s.t]]\nx = 1\n[[s]]\n", "s[0]", "tables of its own"},
		{"[[s]\n", "s[0]", "the file to write into"},
	} {
		got, err := remove([]byte(c.src), c.key)
		require.ErrorContains(t, err, c.want, c.src)
		assert.Nil(t, got)
	}
}

const mixed = `# Ours.
[substrate]
moisture_wb = "65 %"

# Shares of the dry matter. The order is that of the shelf.
[[substrate.ingredient]]
ingredient = 'soy-hull'   # from the mill
share_dm = "42 %"         # was 40

  [[substrate.ingredient]]
  share_dm = "39.0 %"
  ingredient = "hardwood-pellet"

[[substrate.ingredient]]
# for nitrogen
ingredient = "wheat-bran"
share_dm = "18 %"

[[substrate.ingredient]]
ingredient = "gypsum"
share_dm = "1 %"

[fill]
density = "0.68 kg/L"
`

func parts(list ...any) []protocol.Part {
	var out []protocol.Part
	for i := 0; i < len(list); i += 2 {
		out = append(out, protocol.Part{Ingredient: list[i].(string), Share: unit.DryShare(list[i+1].(float64))})
	}
	return out
}

func TestSetFormula(t *testing.T) {
	got, err := SetFormula([]byte(mixed), parts("gypsum", 0.01, "hardwood-pellet", 0.39, "corn-cob", 0.2505, "soy-hull", 0.3495))
	require.NoError(t, err)
	want := strings.Replace(mixed, `"42 %" `, `"34.95 %" `, 1)
	want = strings.Replace(want, "[[substrate.ingredient]]\n# for nitrogen\ningredient = \"wheat-bran\"\nshare_dm = \"18 %\"\n", "# for nitrogen\n", 1)
	want = strings.Replace(want, "share_dm = \"1 %\"\n", "share_dm = \"1 %\"\n\n[[substrate.ingredient]]\ningredient = \"corn-cob\"\nshare_dm = \"25.05 %\"\n", 1)
	assert.Equal(t, want, string(got))

	same, err := SetFormula([]byte(mixed), parts("soy-hull", 0.42, "hardwood-pellet", 0.39, "wheat-bran", 0.18, "gypsum", 0.01))
	require.NoError(t, err)
	assert.Equal(t, mixed, string(same), "nothing changes, and nothing is written anew")

	crlf := strings.ReplaceAll(mixed, "\n", "\r\n")
	got, err = SetFormula([]byte(crlf), parts("gypsum", 0.01, "hardwood-pellet", 0.39, "corn-cob", 0.2505, "soy-hull", 0.3495))
	require.NoError(t, err)
	assert.Equal(t, strings.ReplaceAll(want, "\n", "\r\n"), string(got))

	_, err = SetFormula([]byte("based_on = \"x\"\n"), parts("gypsum", 1.0))
	require.ErrorIs(t, err, ErrNoFormula)
	_, err = SetFormula([]byte("[substrate]\ningredient = [{ingredient = \"a\", share_dm = \"50 %\"}, {ingredient = \"b\", share_dm = \"50 %\"}]\n"), parts("a", 1.0))
	require.ErrorContains(t, err, "no table with a header")
}

// Whatever formula is written, the file then has it, every remark is still
// there, and what is not about ingredients has not moved by a byte.
func TestSetFormulaKeepsEverythingElse(t *testing.T) {
	ids := []string{"soy-hull", "hardwood-pellet", "wheat-bran", "gypsum", "corn-cob", "rice-bran"}
	rapid.Check(t, func(t *rapid.T) {
		src := mixed
		if rapid.Bool().Draw(t, "CR LF") {
			src = strings.ReplaceAll(src, "\n", "\r\n")
		}
		var want []protocol.Part
		for _, id := range rapid.Permutation(ids).Draw(t, "order")[:rapid.IntRange(1, len(ids)).Draw(t, "n")] {
			want = append(want, protocol.Part{Ingredient: id, Share: unit.DryShare(float64(rapid.IntRange(1, 1000).Draw(t, id)) / 1000)})
		}
		got, err := SetFormula([]byte(src), want)
		require.NoError(t, err)
		head, _, _ := strings.Cut(src, "[[substrate")
		_, tail, _ := strings.Cut(src, "[fill]")
		require.True(t, strings.HasPrefix(string(got), head))
		require.True(t, strings.HasSuffix(string(got), "[fill]"+tail))
		require.Contains(t, string(got), "# for nitrogen")
		tree, err := decode(got)
		require.NoError(t, err)
		list, ok := listOf(tree["substrate"].(map[string]any)["ingredient"])
		require.True(t, ok)
		require.Len(t, list, len(want))
		for _, p := range want {
			found := false
			for _, e := range list {
				e := e.(map[string]any)
				share, err := unit.Parse(unit.ShareOf, e["share_dm"].(string))
				require.NoError(t, err)
				found = found || e["ingredient"] == p.Ingredient && share-float64(p.Share) < 1e-9 && float64(p.Share)-share < 1e-9
			}
			require.True(t, found, "%s is not in the file", p.Ingredient)
		}
	})
}

// FuzzRemove lets remove loose on any text with any key: it returns an error, or
// a file that lacks some lines and has no others.
func FuzzRemove(f *testing.F) {
	for _, s := range append(seeds(f), mixed) {
		for _, key := range []string{"substrate.ingredient[1]", "scale[0]", "sterilizer[0].holds[1]", "x[1]"} {
			f.Add([]byte(s), key)
		}
	}
	f.Fuzz(func(t *testing.T, src []byte, key string) {
		got, err := remove(src, key)
		if err != nil {
			require.Nil(t, got)
			return
		}
		_, _, err = readable(got)
		require.NoError(t, err)
		left := strings.SplitAfter(string(src), "\n")
		for line := range strings.Lines(string(got)) {
			i := 0
			for i < len(left) && left[i] != line {
				i++
			}
			require.Less(t, i, len(left), "%q is a line that was not there", line)
			left = left[i+1:]
		}
		require.Less(t, len(got), len(src))
	})
}
