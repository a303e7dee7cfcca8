package farmfile

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
)

// Documents as farms write them, and as TOML allows them: seeds of both fuzz tests.
var documents = []string{
	"",
	"# only a comment, with ä and µ\n",
	"format = 1\ntitle = \"Enoki\" # ä\n\n# bore\n[bore]\n\tmade = 'pressed'\n\tdepth = \"110 mm\"   # deep\n\n[fill]\nmass = \"540 g\"\n",
	"format = 1\r\ntitle = \"Enoki\"\r\n\r\n[fill]\r\nmass = \"540 g\"\r\n",
	"a = 1\nb.c = 2\nb.d.e = [1, 2, [3, 4], { f = \"x\", g.h = true }]\n\"quoted key\" = 'lit'\n'single' = \"\"\n\"\" = 0\n",
	"s = \"\"\"\nseveral \"lines\" \\\n   joined\"\"\"\"\"\nt = '''\nraw \\ '' text'''''\nu = \"a\\\"b\\\\\" \nv = ''\nw = \"\"\n",
	"[[scale]]\nid = \"bench\"\n\n[[scale]]\nid = \"floor\"\nsub.x = 1\n[scale.more]\ny = 2\n[[scale.holds]]\nn = 1\n[[scale.holds]]\nn = 2\n",
	"[a.b.c]\nx = 1\n[a]\ny = 2\n[a.b]\nz = 3\n",
	"x = [ # first\n  1, # one\n  2,\n  # last\n]\ny = [\n]\nz = {}\nw = { a = 1, b = { c = [] } }\n",
	"t1 = 1979-05-27T07:32:00Z\nt2 = 1979-05-27 07:32:00 # c\nt3 = 07:32:00\nt4 = 1979-05-27\nf = -1.5e+3\ni = 1_000\nh = 0xdead_BEEF\nn = nan\nm = -inf\n",
	"[ a . \"b.c\" . 'd' ]\nk = 1\n[a.\"b.c\".e]\nk = 2\n",
	"ingredient = [\n  { ingredient = \"soy-hull\", share_dm = \"50 %\" },\n  { ingredient = \"hardwood-pellet\", share_dm = \"50 %\" },\n]\n",
	"a.\"b c\".d = 1\na.\"b c\".e = 2\n[t]\nu.v.w = 1 # no newline at the end",
	"k = \"\\u00e4\"\n\"\\u00e4\" = 1\n\"tab\\tkey\" = 2\n",
	"x = { a = 1, # one\n  b = 2,\n}\n",
}

func seeds(f *testing.F) []string {
	out := documents
	for _, pattern := range []string{"testdata/base/protocols/*.toml", "testdata/base/protocols/library/*.toml"} {
		paths, err := filepath.Glob(pattern)
		require.NoError(f, err)
		require.NotEmpty(f, paths)
		for _, path := range paths {
			src, err := os.ReadFile(path)
			require.NoError(f, err)
			out = append(out, string(src))
		}
	}
	return out
}

// FuzzIndex holds the scanner to the decoder: what the one can read the other
// can, but for keys that stand twice, where the decoder is lax; every key has a
// place; and what stands there decodes to the value.
func FuzzIndex(f *testing.F) {
	for _, s := range seeds(f) {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		if len(src) > mostBytes {
			return
		}
		if rule, _ := foreign(src); rule != "" {
			return
		}
		if _, bad := badByte(src); bad {
			return
		}
		x, slips := scan(src)
		for _, s := range slips {
			require.True(t, 0 <= s.start && s.start <= s.end && s.end <= len(src), "%+v", s)
			d := document{name: "x", index: x}
			p := d.place(s.span)
			require.True(t, p.Line >= 1 && p.Column >= 1 && p.EndColumn > p.Column, "%+v", p)
		}
		tree, err := decode(src)
		if err != nil {
			return
		}
		for _, s := range slips {
			if s.rule != "key.twice" && s.rule != "file.deep" {
				t.Fatalf("the decoder reads this, the scanner says %s at %d", s.rule, s.start)
			}
		}
		if len(slips) == 0 {
			placed(t, x, x.root, tree)
		}
	})
}

// placed follows a decoded value and its node down together.
func placed(t *testing.T, x *index, n *node, v any) {
	t.Helper()
	text := string(x.src[n.value.start:n.value.end])
	switch v := v.(type) {
	case map[string]any:
		require.Equal(t, table, n.kind, text)
		require.Len(t, n.items, len(v), text)
		for key, inner := range v {
			c := n.child(key)
			require.NotNil(t, c, "no place for %q", key)
			written := string(x.src[c.key.start:c.key.end])
			name, err := decode([]byte(written + " = 1"))
			require.NoError(t, err, written)
			require.Contains(t, name, key)
			placed(t, x, c, inner)
		}
		if !n.braces {
			return
		}
	case []map[string]any:
		require.Equal(t, tables, n.kind)
		require.Len(t, n.items, len(v))
		for i := range v {
			placed(t, x, n.items[i], v[i])
		}
		return
	case []any:
		require.Equal(t, list, n.kind, text)
		require.Len(t, n.items, len(v), text)
		for i := range v {
			placed(t, x, n.items[i], v[i])
		}
	default:
		require.Equal(t, leaf, n.kind, text)
	}
	again, err := decode([]byte("k = " + text))
	require.NoError(t, err, text)
	require.True(t, same(v, again["k"]), "%q is %v, not %v", text, again["k"], v)
}

func TestPaths(t *testing.T) {
	for path, want := range map[string][]step{
		"a":                                {{"a", -1}},
		"substrate.ingredient[1].share_dm": {{"substrate", -1}, {"ingredient", -1}, {"", 1}, {"share_dm", -1}},
		"x[0][12]":                         {{"x", -1}, {"", 0}, {"", 12}},
		`"a.b"."c\"d".e`:                   {{"a.b", -1}, {`c"d`, -1}, {"e", -1}},
		`""`:                               {{"", -1}},
	} {
		got, ok := parsePath(path)
		require.True(t, ok, path)
		assert.Equal(t, len(want), len(got), path)
		back := ""
		for i, s := range got {
			if s.item >= 0 {
				assert.Equal(t, want[i].item, s.item, path)
				back = protocol.Item(back, s.item)
			} else {
				assert.Equal(t, want[i].name, s.name, path)
				back = under(back, s.name)
			}
		}
		if path != `""` {
			assert.Equal(t, path, back)
		}
	}
	for _, bad := range []string{"", ".", "a.", ".a", "a..b", "[1]", "a[", "a[x]", "a[-1]", "a[1]b", "a b", `"a`, `"a"b`, "ä", "a.[1]"} {
		_, ok := parsePath(bad)
		assert.False(t, ok, bad)
	}
	assert.Equal(t, "substrate.ingredient.share_dm", plain("substrate.ingredient[1].share_dm"))
	assert.Equal(t, "no path!", plain("no path!"))
}

// Columns count characters, not bytes; a tab is one; CR LF is no part of a line.
func TestPlaces(t *testing.T) {
	const src = "title = \"Bär µm\" # é\r\n" +
		"\tä\r\n"
	for _, c := range []struct {
		name, src, path    string
		line, column, stop int
		text               string
	}{
		{"multi-byte", "k = \"Bär\" # é\n", "k", 1, 5, 10, "k = \"Bär\" # é"},
		{"behind multi-byte", "a = { n = \"ä°µ\", k = 12 }\n", "a.k", 1, 22, 24, "a = { n = \"ä°µ\", k = 12 }"},
		{"tabs", "\t[fill]\n\t\tmass\t=\t\"540 g\"\n", "fill.mass", 2, 10, 17, "\t\tmass\t=\t\"540 g\""},
		{"CR LF", "a = 1\r\nb = 22\r\n", "b", 2, 5, 7, "b = 22"},
		{"several lines", "a = \"\"\"\nx\n\"\"\"\n", "a", 1, 5, 8, "a = \"\"\""},
		{"second table of a list", "[[s]]\nx = 1\n[[s]]\nx = 2\n", "s[1].x", 4, 5, 6, "x = 2"},
		{"list in lines", "a = [\n  1,\n  234,\n]\n", "a[1]", 3, 3, 6, "  234,"},
		{"missing key of a table", "[fill]\nmass = 1\n", "fill.density", 1, 1, 7, "[fill]"},
		{"missing key below a missing table", "[fill]\n", "fill.more.deep", 1, 1, 7, "[fill]"},
		{"missing key at the top", "a = 1\n", "b", 0, 0, 0, ""},
		{"item that is not there", "a = [1, 2]\n", "a[2]", 1, 5, 11, "a = [1, 2]"},
		{"no path", "a = 1\n", "a b", 0, 0, 0, ""},
		{"quoted", "\"a.b\" = 7\n", `"a.b"`, 1, 9, 10, "\"a.b\" = 7"},
		{"last line without end", "a = 1\nb = 2", "b", 2, 5, 6, "b = 2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			x, slips := scan([]byte(c.src))
			require.Empty(t, slips)
			_, p, _ := layers{{name: "f.toml", index: x}}.place(c.path, false)
			assert.Equal(t, "f.toml", p.File)
			assert.Equal(t, []int{c.line, c.column, c.stop}, []int{p.Line, p.Column, p.EndColumn})
			assert.Equal(t, c.text, p.Text)
		})
	}
	x, slips := scan([]byte(src))
	require.Len(t, slips, 1)
	d := document{name: "f.toml", index: x}
	p := d.place(slips[0].span)
	assert.Equal(t, []int{2, 2, 3}, []int{p.Line, p.Column, p.EndColumn})
	assert.Equal(t, "\tä", p.Text)
}

// A text can be hostile in its shape. Each of these is answered at once, with a
// finding and not with a full stack.
// A reader that takes time by the square of such a file would not come back from
// these; BenchmarkHostile says how long they take.
func TestHostileShapes(t *testing.T) {
	many := func(s string, n int) string { return strings.Repeat(s, n) }
	lots := checks.Rounds(20_000, 100_000)
	for name, c := range map[string]struct{ src, rule string }{
		"nested lists":                   {"a = " + many("[", 10_000) + many("]", 10_000), "file.deep"},
		"nested lists, not closed":       {"a = " + many("[", 1_000_000), "file.deep"},
		"nested tables":                  {many("[a.", 1) + many("a.", 10_000) + "a]\n", "file.deep"},
		"nested inline tables":           {many("a={", 10_000) + many("}", 10_000), "file.deep"},
		"a deep key below a deep header": {"[" + many("a.", 9) + "a]\n" + many("b.", 6) + "b = 1\n", "file.deep"},
		"braces below a deep header":     {"[" + many("a.", 9) + "a]\nb = " + many("{c=", 6) + "1" + many("}", 6), "file.deep"},
		"dotted key":                     {many("a.", 10_000) + "a = 1", "file.deep"},
		"headers ever deeper": {func() string {
			var b strings.Builder
			for i := 1; i < 400; i++ {
				b.WriteString("[a" + many(".a", i) + "]\n")
			}
			return b.String()
		}(), "file.deep"},
		"brackets behind a slip": {"a = 1 " + many("[", 1_000_000), "toml.after"},
		"quotes":                 {many(`"`, 1_000_000), "toml.key"},
		"one open text":          {`a = "` + many("x", 1_000_000), "toml.quote"},
		"one long comment":       {"#" + many("x", 1_000_000), ""},
		"line ends":              {many("\n", 1_000_000), ""},
		"keys": {func() string {
			var b strings.Builder
			for i := range lots {
				b.WriteString("k" + string(rune('a'+i%26)) + strconv.Itoa(i) + "=1\n")
			}
			return b.String()
		}(), ""},
		"keys on one line": {func() string {
			var b strings.Builder
			b.WriteString("a={")
			for i := range lots {
				b.WriteString("k" + strconv.Itoa(i) + "=1,")
			}
			return strings.TrimSuffix(b.String(), ",") + "}"
		}(), ""},
		"impossible batch sizes": {"batch_sizes = [" + many("0,", lots) + "]", ""},
		"the same key":           {many("k=1\n", lots), "key.twice"},
		"tables":                 {many("[[t]]\n", lots), ""},
	} {
		t.Run(name, func(t *testing.T) {
			farm := farmOf(t, map[string][]byte{"protocols/hostile.toml": []byte(c.src)})
			_, list := Read(farm, builtIn)
			require.NotEmpty(t, list)
			if c.rule != "" {
				assert.Equal(t, c.rule, list[0].Rule)
			}
		})
	}
}

func BenchmarkHostile(b *testing.B) {
	for name, src := range map[string]string{
		"keys":   strings.Repeat("[[t]]\n", 100_000),
		"depth":  "a = " + strings.Repeat("[", 1_000_000),
		"quotes": strings.Repeat(`"`, 1_000_000),
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Read(fstest.MapFS{"protocols/hostile.toml": {Data: []byte(src)}}, builtIn)
			}
		})
	}
}
