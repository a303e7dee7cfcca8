package farmfile

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/protocol"
)

func TestSet(t *testing.T) {
	for _, c := range []struct {
		name, src, key string
		value          any
		want           string
	}{
		{"a text", "a = \"x\" # why\nb = 1\n", "a", "y", "a = \"y\" # why\nb = 1\n"},
		{"a number", "n=1# c\n", "n", 12, "n=12# c\n"},
		{"true", "[t]\n  ok   =   false\n", "t.ok", true, "[t]\n  ok   =   true\n"},
		{"a list", "a = [1, # one\n 2]\nb = 1\n", "a", []int{3, 4}, "a = [3, 4]\nb = 1\n"},
		{"an item of a list", "a = [1, # one\n 2]\n", "a[1]", 7, "a = [1, # one\n 7]\n"},
		{"behind the last item", "a = [1, # one\n 2,\n]\n", "a[2]", 3, "a = [1, # one\n 2, 3,\n]\n"},
		{"into an empty list", "a = [ ]\n", "a[0]", "x", "a = [\"x\" ]\n"},
		{"single quotes stay", "a = 'x'\n", "a", "y", "a = 'y'\n"},
		{"where they can", "a = 'x'\n", "a", "it's", "a = \"it's\"\n"},
		{"several lines become one", "a = \"\"\"x\ny\"\"\" # c\n", "a", "z\nz", "a = \"z\\nz\" # c\n"},
		{"escapes", "a = 1\n", "a", "\"\\\t\x01\x7fä", "a = \"\\\"\\\\\\t\\u0001\\u007Fä\"\n"},
		{"the second of two tables", "[[s]]\nx = 1\n[[s]]\nx = 2\n", "s[1].x", 9, "[[s]]\nx = 1\n[[s]]\nx = 9\n"},
		{"in braces", "a = [ { x = 1 }, { x = 2 } ]\n", "a[1].x", 9, "a = [ { x = 1 }, { x = 9 } ]\n"},
		{"a dotted key", "a.b.c = 1 # c\n", "a.b.c", 2, "a.b.c = 2 # c\n"},
		{"a quoted key", "\"a b\".c = 1\n", `"a b".c`, 2, "\"a b\".c = 2\n"},
		{"CR LF", "a = 1\r\nb = 2\r\n", "a", 3, "a = 3\r\nb = 2\r\n"},

		{"a new key, with the indent of the last", "[t]\n\tx = 1 # one\n\n# about u\n[u]\n", "t.y", 2, "[t]\n\tx = 1 # one\n\ty = 2\n\n# about u\n[u]\n"},
		{"in a table without keys", "[t]  # empty\n\n[u]\nx = 1\n", "t.y", 2, "[t]  # empty\ny = 2\n\n[u]\nx = 1\n"},
		{"behind a value of several lines", "[t]\nx = [\n  1,\n] # one\n[u]\n", "t.y", 2, "[t]\nx = [\n  1,\n] # one\ny = 2\n[u]\n"},
		{"in a file without a last line end", "[t]\nx = 1", "t.y", 2, "[t]\nx = 1\ny = 2"},
		{"with CR LF", "[t]\r\nx = 1\r\n\r\n[u]\r\n", "t.y", 2, "[t]\r\nx = 1\r\ny = 2\r\n\r\n[u]\r\n"},
		{"at the top", "# file\n\nformat = 1\n\n# about t\n[t]\n", "title", "x", "# file\n\nformat = 1\ntitle = \"x\"\n\n# about t\n[t]\n"},
		{"at the top where nothing is", "# file\n\n# about t\n[t]\nx = 1\n", "format", 1, "# file\n\nformat = 1\n\n# about t\n[t]\nx = 1\n"},
		{"a first comment stays first", "#:schema schema.json\n[t]\nx = 1\n", "format", 1, "#:schema schema.json\nformat = 1\n\n[t]\nx = 1\n"},
		{"in an empty file", "", "format", 1, "format = 1\n"},
		{"in a file of comments", "# c", "format", 1, "# c\n\nformat = 1\n"},
		{"a new table", "a = 1\n", "fill.mass", "540 g", "a = 1\n\n[fill]\nmass = \"540 g\"\n"},
		{"a new table deeper down", "[a]\nx = 1\n", "a.b.c", 2, "[a]\nx = 1\n\n[a.b]\nc = 2\n"},
		{"a table that is there in name only", "[a.b]\nx = 1\n", "a.y", 2, "[a.b]\nx = 1\n\n[a]\ny = 2\n"},
		{"a new table with CR LF", "a = 1\r\n", "fill.mass", 5, "a = 1\r\n\r\n[fill]\r\nmass = 5\r\n"},
		{"in the first of two tables", "[[s]]\nx = 1\n\n# second\n[[s]]\nx = 2\n", "s[0].y", 9, "[[s]]\nx = 1\ny = 9\n\n# second\n[[s]]\nx = 2\n"},
		{"a table in the first of two", "[[s]]\nx = 1\n[[s]]\nx = 2\n", "s[0].t.y", 9, "[[s]]\nx = 1\nt.y = 9\n[[s]]\nx = 2\n"},
		{"one more table", "[[s]]\nx = 1\n[s.t]\ny = 2 # two\n\n[z]\n", "s[1].x", 9, "[[s]]\nx = 1\n[s.t]\ny = 2 # two\n\n[[s]]\nx = 9\n\n[z]\n"},
		{"one more table inside a table", "[[s]]\nx = 1\n[[s.h]]\nn = 1\n[[s]]\nx = 2\n", "s[0].h[1].n", 5, "[[s]]\nx = 1\n[[s.h]]\nn = 1\n\n[[s.h]]\nn = 5\n[[s]]\nx = 2\n"},
		{"a new key in braces", "a = { x = 1 } # c\n", "a.y", 2, "a = { x = 1, y = 2 } # c\n"},
		{"in empty braces", "a = {}\n", "a.y", 2, "a = { y = 2 }\n"},
		{"a table in braces", "a = { x.y = 1 }\n", "a.x.z", 2, "a = { x.y = 1, x.z = 2 }\n"},
		{"beside dotted keys", "a.b.c = 1\nd = 2\n", "a.b.e", 3, "a.b.c = 1\na.b.e = 3\nd = 2\n"},
		{"a key that needs quotes", "[a]\nb = 1\n", `a."c d"`, 3, "[a]\nb = 1\n\"c d\" = 3\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Set([]byte(c.src), c.key, c.value)
			require.NoError(t, err)
			assert.Equal(t, c.want, string(got))
		})
	}
}

func TestSetRefuses(t *testing.T) {
	for _, c := range []struct {
		name, src, key string
		value          any
		want           string
	}{
		{"no path", "a = 1\n", "a..b", 1, "is no path"},
		{"a table", "[a]\nb = 1\n", "a", 1, "name the key in it"},
		{"a list of tables", "[[a]]\nb = 1\n", "a", 1, "name the key in it"},
		{"below a value", "a = 1\n", "a.b", 1, "would have to be"},
		{"beyond a list", "a = [1]\n", "a[2]", 1, "no item 2"},
		{"beyond the tables", "[[a]]\nb = 1\n", "a[2].b", 1, "no item 2"},
		{"a list that is not there", "a = 1\n", "b[0]", 1, "begun in the middle"},
		{"an item of a table", "[a]\n", "a[0]", 1, "no item 0"},
		{"a fraction", "a = 1\n", "a", 1.5, "cannot be written"},
		{"a map", "a = 1\n", "a", map[string]int{}, "cannot be written"},
		{"nothing", "a = 1\n", "a", nil, "no null"},
		{"bytes that are no text", "a = 1\n", "a", "\xff", "no UTF-8"},
		{"a file with a fault", "a = \n", "a", 1, "the file to write into: line 1"},
		{"a file that the decoder refuses", "a = 1__0\n", "a", 1, "the file to write into"},
		{"a file with a byte order mark", "\xEF\xBB\xBFa = 1\n", "a", 1, "file.bom"},
		{"a file that is no UTF-8", "a = \"\xff\"\n", "a", 1, "0xFF"},
		{"a file that is too large", "#" + strings.Repeat(" ", mostBytes), "a", 1, "too large"},
		{"a file that would be too large", "#" + strings.Repeat(" ", mostBytes-2), "a", 1, "would not be readable"},
		{"a table that an earlier item has", "[[s]]\n[s.t.u]\nx = 1\n[[s]]\n", "s[0].t.y", 1, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Set([]byte(c.src), c.key, c.value)
			require.ErrorContains(t, err, c.want)
			assert.Nil(t, got)
		})
	}
}

// leaves lists the paths of all single values and lists of a tree.
func leaves(n *node, path string, out *[]string) {
	if n.kind == leaf || n.kind == list {
		*out = append(*out, path)
	}
	for i, c := range n.items {
		if n.kind == table {
			leaves(c, under(path, c.name), out)
		} else {
			leaves(c, protocol.Item(path, i), out)
		}
	}
}

// outside reports whether two texts differ in one stretch only, and whether
// that stretch of the old one lies within a span.
func outside(old, now string, within span) bool {
	return strings.HasPrefix(now, old[:within.start]) && strings.HasSuffix(now, old[within.end:])
}

// Whatever value is set, the bytes before and behind it stay, and the value can
// be set back.
func TestSetKeepsEverythingElse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src := rapid.SampledFrom(documents).Draw(t, "document")
		x, slips := scan([]byte(src))
		if len(slips) > 0 {
			t.Fatalf("a seed is no TOML: %v", slips)
		}
		var paths []string
		leaves(x.root, "", &paths)
		if len(paths) == 0 {
			return
		}
		path := rapid.SampledFrom(paths).Draw(t, "path")
		value := rapid.OneOf(
			rapid.String().AsAny(), rapid.Int().AsAny(), rapid.Bool().AsAny(),
			rapid.SliceOfN(rapid.String(), 0, 3).AsAny(),
		).Draw(t, "value")
		got, err := Set([]byte(src), path, value)
		if err != nil {
			t.Fatalf("%s = %v: %v", path, value, err)
		}
		steps, _ := parsePath(path)
		n, _ := x.find(steps)
		if !outside(src, string(got), n.value) {
			t.Fatalf("%s = %v changed more:\n%s\n%s", path, value, src, got)
		}
		again, err := Set(got, path, value)
		if err != nil || string(again) != string(got) {
			t.Fatalf("%s = %v a second time: %v\n%s\n%s", path, value, err, got, again)
		}
	})
}

// leavesOf lists what a tree says, path by path, by a walk of its own; a table or a list
// that is empty is a leaf too.
func leavesOf(v any, at []step, out map[string]string) {
	into := func(s step, v any) { leavesOf(v, append(slices.Clone(at), s), out) }
	switch v := v.(type) {
	case map[string]any:
		for name, x := range v {
			into(step{name: name, item: -1}, x)
		}
		if len(v) > 0 {
			return
		}
	case []any:
		for i, x := range v {
			into(step{item: i}, x)
		}
		if len(v) > 0 {
			return
		}
	case []map[string]any:
		for i, x := range v {
			into(step{item: i}, x)
		}
		if len(v) > 0 {
			return
		}
	}
	out[pathOf(at)] = fmt.Sprintf("%T %v", v, v)
}

// pathOf is a path that is the beginning of the paths below it, and of no other.
func pathOf(steps []step) string {
	out := ""
	for _, s := range steps {
		out += fmt.Sprintf("%q%d/", s.name, s.item)
	}
	return out
}

// isEmpty is true for what leavesOf says of a table or a list without anything in it.
func isEmpty(leaf string) bool {
	return strings.HasSuffix(leaf, " map[]") || strings.HasSuffix(leaf, " []")
}

// FuzzSet lets Set loose on any text with any key and value: it returns an error, or a
// file that differs in one place, where the value is. All else that the file says it says
// as before, by a walk that knows nothing of how Set works; and done again it changes
// nothing.
func FuzzSet(f *testing.F) {
	for i, s := range seeds(f) {
		for k, key := range []string{"title", "substrate.ingredient[1].share_dm", "fill.mass", "a.b.new", "scale[2].id", "x[1]", fmt.Sprintf("new%d.t", i)} {
			f.Add([]byte(s), key, "12 g", byte(i+k))
		}
	}
	f.Fuzz(func(t *testing.T, src []byte, key, text string, kind byte) {
		value := []any{text, len(text), kind > 127, []string{text, "x"}}[kind%4]
		got, err := Set(src, key, value)
		if err != nil {
			if got != nil {
				t.Fatal("an error and a file")
			}
			return
		}
		before, old, err := readable(src)
		require.NoError(t, err)
		after, x, err := readable(got)
		require.NoError(t, err)
		steps, ok := parsePath(key)
		require.True(t, ok)
		n, whole := x.find(steps)
		require.True(t, whole, "%q is not in %q", key, got)
		written, err := decode([]byte("k = " + string(got[n.value.start:n.value.end])))
		require.NoError(t, err)
		want := map[string]string{}
		v, err := plainValue(reflect.ValueOf(value))
		require.NoError(t, err)
		leavesOf(v, nil, want)
		said := map[string]string{}
		leavesOf(written["k"], nil, said)
		require.Equal(t, want, said)

		was, is := map[string]string{}, map[string]string{}
		leavesOf(before, nil, was)
		leavesOf(after, nil, is)
		at := pathOf(steps)
		for path, leaf := range is {
			if !strings.HasPrefix(path, at) {
				require.Equal(t, was[path], leaf, "%s of %q, which became %q", path, src, got)
			}
		}
		for path, leaf := range was {
			if !strings.HasPrefix(path, at) && !(strings.HasPrefix(at, path) && isEmpty(leaf)) {
				require.Equal(t, leaf, is[path], "%s of %q, which became %q", path, src, got)
			}
		}
		again, err := Set(got, key, value)
		require.NoError(t, err)
		require.Equal(t, string(got), string(again))
		if was, there := old.find(steps); there {
			require.True(t, outside(string(src), string(got), was.value), "%q became %q", src, got)
			return
		}
		// A key that was not there is put in, and nothing taken out.
		head, tail := 0, 0
		for head < len(src) && src[head] == got[head] {
			head++
		}
		for tail < len(src)-head && src[len(src)-1-tail] == got[len(got)-1-tail] {
			tail++
		}
		require.Equal(t, len(src), head+tail, "%q became %q", src, got)
	})
}

// find walks a path. Where a part of it does not exist, the node is the last
// that does, and whole is false.
func (x *index) find(steps []step) (n *node, whole bool) {
	n = x.root
	for _, s := range steps {
		next := n.at(s)
		if next == nil {
			return n, false
		}
		n = next
	}
	return n, true
}
