package history

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a folder held is what git itself lists (git ls-tree), in a repository of either
// kind of ids.
func TestListIsWhatGitLists(t *testing.T) {
	for _, kind := range []string{"sha1", "sha256"} {
		f := newFixture(t)
		require.NoError(t, os.RemoveAll(filepath.Join(f.dir, ".git")))
		f.git("init", "--quiet", "--initial-branch=main", "--object-format="+kind)
		f.write("farms/north/protocols/enoki.toml", "hold = \"90 min\"\n")
		f.write("farms/north/protocols/née und\n\"so\".toml", "")
		f.write("farms/north/protocols/library/species.toml", "a = 1\n")
		f.write("readme", "x")
		require.NoError(t, os.Symlink("enoki.toml", filepath.Join(f.dir, "farms/north/protocols/link.toml")))
		require.NoError(t, os.Chmod(filepath.Join(f.dir, "farms/north/protocols/enoki.toml"), 0o755))
		f.commit("first")
		f.git("rm", "-r", "--quiet", "farms/north/protocols")
		f.write("farms/north/other", "")
		f.commit("gone")

		r := f.open(filepath.Join(f.dir, "farms/north"))
		list, err := r.List(t.Context(), f.resolve(r, "HEAD~1"), "protocols")
		require.NoError(t, err)
		modes := map[string]fs.FileMode{"100644": 0, "100755": 0, "120000": fs.ModeSymlink, "040000": fs.ModeDir}
		var want []Item
		for line := range strings.SplitSeq(strings.Trim(f.git("ls-tree", "-z", "HEAD~1:farms/north/protocols"), "\x00"), "\x00") {
			meta, name, _ := strings.Cut(line, "\t")
			p := strings.Fields(meta)
			want = append(want, Item{name, p[2], modes[p[0]]})
		}
		require.Len(t, want, 4)
		assert.Equal(t, want, list, kind)
		for _, i := range list {
			if i.Name == "enoki.toml" {
				text, err := r.Read(t.Context(), i.ID)
				require.NoError(t, err)
				assert.Equal(t, "hold = \"90 min\"\n", string(text))
			}
		}
		list, err = r.List(t.Context(), f.resolve(r, "HEAD"), "protocols")
		require.NoError(t, err)
		assert.Nil(t, list, "the folder is not there any more")
		list, err = r.List(t.Context(), f.resolve(r, "HEAD~1"), "protocols/enoki.toml")
		require.NoError(t, err)
		assert.Nil(t, list, "a file is no folder")
		_, err = r.Read(t.Context(), strings.Repeat("1", len(f.git("rev-parse", "HEAD"))))
		assert.ErrorAs(t, err, new(*Damaged))
	}
}

// The line of a branch has a merge as one state, and what it brought not by itself.
func TestLineKeepsToABranch(t *testing.T) {
	f := newFixture(t)
	f.write("protocols/enoki.toml", "1\n")
	f.commit("first")
	f.git("checkout", "--quiet", "-b", "side")
	f.write("protocols/oyster.toml", "side\n")
	f.commit("of the side")
	f.git("checkout", "--quiet", "main")
	f.write("protocols/enoki.toml", "2\n")
	f.commit("of the branch")
	f.git("merge", "--quiet", "--no-ff", "-m", "merge", "side")
	r := f.open(f.dir)
	told := func(list []Change, err error) string {
		require.NoError(t, err)
		var out []string
		for _, c := range list {
			for _, x := range c.Files {
				out = append(out, fmt.Sprintf("%s %c %s", c.Subject, x.Kind, x.Path))
			}
		}
		return strings.Join(out, "; ")
	}
	head := f.resolve(r, "HEAD")
	assert.Equal(t, "merge A protocols/oyster.toml; of the branch M protocols/enoki.toml; first A protocols/enoki.toml",
		told(r.Line(t.Context(), head, "protocols")))
	assert.Equal(t, "merge A protocols/oyster.toml; of the side A protocols/oyster.toml; of the branch M protocols/enoki.toml; first A protocols/enoki.toml",
		told(r.Log(t.Context(), head, "protocols")))
}
