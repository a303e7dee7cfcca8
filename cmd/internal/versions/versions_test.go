package versions

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/history"
	"bottlecrop/cmd/internal/protocol"
)

var library = os.DirFS("../../../protocols")

// farm is a farm in a folder of a repository: three protocols of the demo farm.
type farm struct {
	*checks.Repository
	t *testing.T
}

const folder = "farms/north/"

func newFarm(t *testing.T) *farm {
	f := &farm{checks.NewRepository(t), t}
	demo := os.DirFS("../../..")
	for _, name := range []string{"farm.toml", "enoki-850.toml", "enoki-quart.toml", "oyster-1100.toml", "evidence/2026-03-02-enoki.csv"} {
		src, err := fs.ReadFile(demo, "protocols/"+name)
		require.NoError(t, err)
		f.Write(folder+"protocols/"+name, string(src))
	}
	return f
}

func (f *farm) read(name string) string {
	src, err := os.ReadFile(filepath.Join(f.Dir, folder, "protocols", name))
	require.NoError(f.t, err)
	return string(src)
}

func (f *farm) write(name, text string) { f.Write(folder+"protocols/"+name, text) }

// change replaces the one place where a text stands.
func (f *farm) change(name, from, to string) {
	f.t.Helper()
	require.Equal(f.t, 1, strings.Count(f.read(name), from), from)
	f.write(name, strings.Replace(f.read(name), from, to, 1))
}

func (f *farm) open() *history.Repository {
	r, err := history.Open(f.t.Context(), filepath.Join(f.Dir, folder))
	require.NoError(f.t, err)
	f.t.Cleanup(func() { assert.NoError(f.t, r.Close()) })
	return r
}

func (f *farm) resolve(r *history.Repository, name string) history.Commit {
	c, err := r.Resolve(f.t.Context(), name)
	require.NoError(f.t, err)
	return c
}

func (f *farm) lines(store Store, head string, names ...string) []Line {
	f.t.Helper()
	r := f.open()
	out, err := (&Reader{r, library, store}).Of(f.t.Context(), f.resolve(r, head), names...)
	require.NoError(f.t, err)
	require.Len(f.t, out, len(names))
	return out
}

// told is a line as a test reads it, the newest version first.
func told(l Line) (out []string) {
	for _, v := range l.Versions {
		text := v.From.Date[5:] + " " + v.From.Subject + ": "
		switch v.Kind {
		case Gone:
			text += strings.TrimSpace("gone " + v.Became)
		case Faulty:
			text += "faulty"
		default:
			text += strings.TrimSpace("version " + v.Method.Version)
			if v.Method.Approval != nil {
				text += ", by " + v.Method.Approval.By
			}
		}
		if v.Name != l.Name {
			text += ", as " + v.Name
		}
		if v.Side {
			text += ", at the side"
		}
		out = append(out, text)
	}
	return out
}

// story is the whole of what may become of a protocol, in a repository made with git
// itself. It is made once, and each test has a copy of its own.
func story(t *testing.T) *farm {
	t.Helper()
	if toldStory == nil {
		made := os.DirFS(tellStory(t).Dir)
		whole := fstest.MapFS{}
		require.NoError(t, fs.WalkDir(made, ".", func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			src, err := fs.ReadFile(made, path)
			whole[path] = &fstest.MapFile{Data: src, Mode: 0o644}
			return err
		}))
		toldStory = whole
	}
	f := &farm{&checks.Repository{T: t, Dir: t.TempDir()}, t}
	require.NoError(t, os.CopyFS(f.Dir, toldStory))
	require.Empty(t, f.Git("status", "--porcelain"), "the copy is whole")
	return f
}

var toldStory fstest.MapFS

func tellStory(t *testing.T) *farm {
	f := newFarm(t)
	f.CommitOn("2026-03-01", "begun")
	f.change("oyster-1100.toml", `hold = "130 min"`, `hold = "140 min"`)
	f.CommitOn("2026-03-02", "held longer")
	// Remarks, line ends and the spelling of a unit mean nothing.
	f.write("oyster-1100.toml", strings.ReplaceAll("# a remark\n"+f.read("oyster-1100.toml"), "\n", "\r\n"))
	f.CommitOn("2026-03-03", "line ends of another system")
	f.change("oyster-1100.toml", `hold = "140 min"`, `hold = "8400 s"`)
	f.CommitOn("2026-03-04", "in seconds")
	f.write("oyster-1100.toml", f.read("oyster-1100.toml")+"\n[document]\nversion = \"1\"\nowner = \"O\"\n")
	f.CommitOn("2026-03-05", "counted")
	f.write("oyster-1100.toml", f.read("oyster-1100.toml")+"\n[approval]\nby = \"A\"\non = \"2026-03-06\"\nversion = \"1\"\nfingerprint = \"x\"\n")
	f.CommitOn("2026-03-06", "approved")
	f.change("farm.toml", `soy-hull = "0.42 USD/kg"`, `soy-hull = "0.52 USD/kg"`)
	f.write("results.toml", "format = 1\n")
	f.CommitOn("2026-03-07", "prices")

	// The entry of the vessel moves into the farm's own library, then changes there.
	vessels, err := fs.ReadFile(library, "library/vessels.toml")
	require.NoError(t, err)
	f.write("library/vessels.toml", string(vessels))
	f.CommitOn("2026-03-08", "a library of our own")
	before, entry, _ := strings.Cut(string(vessels), "[[vessel]]\nid = \"bottle-1100\"")
	entry, after, _ := strings.Cut(entry, "[[vessel]]")
	f.write("library/vessels.toml", before+"[[vessel]]"+after+"\n[[vessel]]\nid = \"bottle-1100\""+entry)
	f.CommitOn("2026-03-09", "the entry at the end")
	f.change("library/vessels.toml", `brimful = "1100 mL"`, `brimful = "1090 mL"`)
	f.CommitOn("2026-03-10", "measured")

	f.Git("mv", folder+"protocols/oyster-1100.toml", folder+"protocols/oyster.toml")
	f.CommitOn("2026-03-11", "renamed")
	f.change("oyster.toml", `hold = "8400 s"`, `hold = "150 min"`)
	f.CommitOn("2026-03-12", "held longer still")
	f.In(f.Dir, []string{"GIT_COMMITTER_DATE=2026-03-13T12:00:00Z", "GIT_AUTHOR_DATE=2026-03-13T12:00:00Z"}, "revert", "--no-edit", "HEAD")

	// A branch with two changes, of which only the second gets to the main one.
	f.Git("checkout", "--quiet", "-b", "trial")
	f.change("oyster.toml", `hold = "8400 s"`, `hold = "200 min"`)
	f.CommitOn("2026-03-14", "a trial")
	f.change("oyster.toml", `hold = "200 min"`, `hold = "145 min"`)
	f.CommitOn("2026-03-15", "a better trial")
	f.Git("checkout", "--quiet", "main")
	f.change("enoki-850.toml", `hold = "120 min"`, `hold = "125 min"`)
	f.CommitOn("2026-03-16", "enoki too")
	f.In(f.Dir, []string{"GIT_COMMITTER_DATE=2026-03-17T12:00:00Z"}, "merge", "--quiet", "--no-ff", "-m", "the trial is good", "trial")

	f.change("oyster.toml", "format = 1", "format = ")
	f.CommitOn("2026-03-18", "a slip")
	f.change("oyster.toml", "format = ", "format = 1")
	f.CommitOn("2026-03-19", "mended")
	kept := f.read("oyster.toml")
	f.Git("rm", "--quiet", folder+"protocols/oyster.toml")
	f.CommitOn("2026-03-20", "given up")
	f.write("oyster.toml", kept)
	f.CommitOn("2026-03-21", "taken up again")
	f.change("farm.toml", `altitude = "420 m"`, `altitude = "1300 m"`)
	f.CommitOn("2026-03-22", "moved up the hill")
	f.Write("elsewhere/readme", "of no farm")
	f.CommitOn("2026-03-23", "elsewhere")
	return f
}

func TestVersionsOfAProtocol(t *testing.T) {
	f := story(t)
	lines := f.lines(nil, "main", "oyster", "enoki-quart", "oyster-1100", "no-such")
	assert.Equal(t, []string{
		"03-22 moved up the hill: version 1, by A",
		"03-21 taken up again: version 1, by A",
		"03-20 given up: gone",
		"03-19 mended: version 1, by A",
		"03-18 a slip: faulty",
		"03-17 the trial is good: version 1, by A",
		"03-13 Revert \"held longer still\": version 1, by A",
		"03-12 held longer still: version 1, by A",
		"03-10 measured: version 1, by A, as oyster-1100",
		"03-05 counted: version 1, by A, as oyster-1100",
		"03-02 held longer: version, as oyster-1100",
		"03-01 begun: version, as oyster-1100",
		"03-14 a trial: version 1, by A, at the side",
	}, told(lines[0]))
	assert.Equal(t, []string{"oyster", "oyster-1100"}, lines[0].Names)
	// A file that is based on another changes with it.
	assert.Equal(t, []string{"03-22 moved up the hill: version", "03-16 enoki too: version", "03-01 begun: version"}, told(lines[1]))
	// Asked for by the name that it had.
	assert.Equal(t, []string{"03-11 renamed: gone oyster", "03-10 measured: version 1, by A"}, told(lines[2])[:2])
	assert.Empty(t, lines[3].Versions)

	v := lines[0].Versions
	assert.Equal(t, v[6].Method.Fingerprint, v[8].Method.Fingerprint, "what was reverted is as before")
	assert.Equal(t, v[1].Method.Fingerprint, v[3].Method.Fingerprint, "what was taken up again is as before")
	assert.Equal(t, protocol.ChangedSince, v[0].Standing())
	assert.Equal(t, protocol.Uncontrolled, v[11].Standing())
}

// At every commit the version is that of a second implementation, which reads the files
// that git itself checks out.
func TestFingerprintsAreThoseOfASecondImplementation(t *testing.T) {
	f := story(t)
	seen, store := map[string]bool{}, memory{}
	for _, id := range checks.Every(3, strings.Fields(f.Git("rev-list", "main"))) {
		dir := t.TempDir()
		f.Git("--work-tree="+dir, "checkout", "--quiet", id, "--", folder)
		files := os.DirFS(filepath.Join(dir, folder))
		names := []string{"oyster", "oyster-1100", "enoki-850", "enoki-quart"}
		for i, line := range f.lines(store, id, names...) {
			name := names[i]
			got := ""
			if len(line.Versions) > 0 && line.Versions[0].Kind == Readable && !line.Versions[0].Side {
				got = line.Versions[0].Method.Fingerprint
			}
			src, err := fs.ReadFile(files, "protocols/"+name+".toml")
			want := ""
			if err == nil && !strings.Contains(string(src), "format = \n") && !strings.Contains(string(src), "format = \r") {
				want = fingerprintOf(t, files, library, name)
			}
			if want != got { // git is asked only then
				t.Errorf("%s of %s: %q, not %q", name, f.Git("log", "-1", "--format=%s", id), got, want)
			}
			seen[want] = true
		}
	}
	assert.Greater(t, len(seen), checks.Rounds(5, 12))
}

// A tag is a commit's, signed or not: nobody checks its signature here.
func TestVersionsAtASignedTag(t *testing.T) {
	f := story(t)
	id := f.Git("rev-parse", "main~6")
	tag := "object " + id + "\ntype commit\ntag sold\ntagger Ada <ada@example.org> 1774000000 +0000\n\nsold\n" +
		"-----BEGIN PGP SIGNATURE-----\n\nmade up\n-----END PGP SIGNATURE-----\n"
	require.NoError(t, os.WriteFile(filepath.Join(f.Dir, "tag"), []byte(tag), 0o644))
	f.Git("tag", "sold", f.Git("hash-object", "-t", "tag", "-w", "tag"))
	r := f.open()
	assert.Equal(t, id, f.resolve(r, "sold").ID)
	assert.Equal(t, told(f.lines(nil, id, "oyster")[0]), told(f.lines(nil, "sold", "oyster")[0]))
}

// A clone of the last commits alone knows those, and a detached head is a commit.
func TestVersionsOfAShallowClone(t *testing.T) {
	f := story(t)
	to := t.TempDir()
	f.In(to, nil, "clone", "--quiet", "--depth", "3", "file://"+f.Dir, ".")
	f.In(to, nil, "checkout", "--quiet", "--detach")
	r, err := history.Open(t.Context(), filepath.Join(to, folder))
	require.NoError(t, err)
	defer r.Close()
	assert.True(t, r.Shallow)
	assert.Empty(t, r.Branch)
	lines, err := (&Reader{r, library, nil}).Of(t.Context(), f.resolve(r, "HEAD"), "oyster")
	require.NoError(t, err)
	assert.Equal(t, []string{"03-22 moved up the hill: version 1, by A", "03-21 taken up again: version 1, by A"}, told(lines[0]))
}

// memory is a store.
type memory map[string][]byte

func (m memory) Find(key string) ([]byte, bool) { v, ok := m[key]; return v, ok }
func (m memory) Keep(key string, value []byte)  { m[key] = value }

// What was read once is not read again: with it, files that are damaged since are not
// missed. Without it, they are; and rubbish in a store changes nothing.
func TestWhatIsKept(t *testing.T) {
	f := story(t)
	names := []string{"oyster", "enoki-850", "enoki-quart"}
	want := f.lines(nil, "main", names...)
	store := memory{}
	assert.Equal(t, want, f.lines(store, "main", names...))
	require.Len(t, store, 1)
	before := string(store[keptAs])
	assert.Equal(t, want, f.lines(store, "main", names...))
	assert.Equal(t, before, string(store[keptAs]), "nothing new was worked out")

	id := f.Git("rev-parse", "main~3:"+folder+"protocols/enoki-850.toml")
	require.NoError(t, os.Remove(filepath.Join(f.Dir, ".git/objects", id[:2], id[2:])))
	assert.Equal(t, want, f.lines(store, "main", names...))
	for _, rubbish := range []string{"", "rubbish", before[:len(before)/2]} {
		r := f.open()
		_, err := (&Reader{r, library, memory{keptAs: []byte(rubbish)}}).Of(t.Context(), f.resolve(r, "main"), names...)
		assert.ErrorAs(t, err, new(*history.Damaged), "%.10q", rubbish)
	}
}

// The library's object is damaged: no fault of what the farm wrote.
func TestDamagedLibrary(t *testing.T) {
	f := story(t)
	id := f.Git("rev-parse", "main:"+folder+"protocols/library/vessels.toml")
	require.NoError(t, os.Remove(filepath.Join(f.Dir, ".git/objects", id[:2], id[2:])))
	r := f.open()
	_, err := (&Reader{r, library, nil}).Of(t.Context(), f.resolve(r, "main"), "oyster")
	assert.ErrorAs(t, err, new(*history.Damaged))
}

// A link in the place of a protocol is followed nowhere.
func TestALinkIsNoProtocol(t *testing.T) {
	f := newFarm(t)
	f.CommitOn("2026-03-01", "begun")
	at := filepath.Join(f.Dir, folder, "protocols/oyster-1100.toml")
	require.NoError(t, os.Remove(at))
	require.NoError(t, os.Symlink("enoki-850.toml", at))
	f.CommitOn("2026-03-02", "linked")
	assert.Equal(t, []string{"03-02 linked: faulty", "03-01 begun: version"}, told(f.lines(nil, "main", "oyster-1100")[0]))
}

// The folder as it is stands before all commits, where it is another.
func TestNow(t *testing.T) {
	f := newFarm(t)
	f.CommitOn("2026-03-01", "begun")
	l := f.lines(nil, "main", "oyster-1100")[0]
	same := l.Versions[0].Method
	same.Approval = &protocol.Approval{By: "A"}
	l.Now(same)
	require.Len(t, l.Versions, 1)
	assert.Equal(t, "A", l.Versions[0].Method.Approval.By)
	l.Now(farmfile.Method{Fingerprint: "other"})
	require.Len(t, l.Versions, 2)
	assert.Empty(t, l.Versions[0].From.ID)
}

func TestMade(t *testing.T) {
	on := func(date, print string, kind Kind) Version {
		return Version{From: history.Commit{ID: "c" + date, Date: date}, Kind: kind, Method: farmfile.Method{Fingerprint: print}}
	}
	l := Line{Name: "enoki", Names: []string{"enoki", "old-enoki"}, Versions: []Version{
		{Method: farmfile.Method{Fingerprint: "ffff0000aaaa"}}, // not committed
		on("2026-06-01", "aaaa0000aaaa", Readable),
		on("2026-05-01", "", Gone),
		on("2026-03-10", "bbbb0000aaaa", Readable),
		on("2026-03-10", "cccc0000aaaa", Readable),
		on("2026-03-01", "aaaa0000aaaa", Readable),
		{From: history.Commit{ID: "s", Date: "2026-03-05"}, Side: true, Method: farmfile.Method{Fingerprint: "dddd0000aaaa"}},
	}}
	batch := func(code, of, mixed, method string) protocol.Result {
		return protocol.Result{Code: code, Protocol: of, Mixed: mixed, Method: method}
	}
	for _, x := range []struct {
		batch protocol.Result
		at    int // -1: of none
		how   How
	}{
		{batch("by the day", "enoki", "2026-03-05", ""), 5, ByDay},
		{batch("under its old name", "old-enoki", "2026-03-05", ""), 5, ByDay},
		{batch("on a day of two", "enoki", "2026-03-10", ""), 5, Perhaps},
		{batch("after it", "enoki", "2026-03-11", ""), 3, ByDay},
		{batch("on the first day", "enoki", "2026-03-01", ""), 5, Perhaps},
		{batch("before", "enoki", "2026-02-28", ""), -1, NoneThen},
		{batch("while it was gone", "enoki", "2026-05-20", ""), -1, NoneThen},
		{batch("lately", "enoki", "2027-01-01", ""), 1, ByDay},
		{batch("by its method", "enoki", "2026-03-20", "cccc-0000"), 4, ByMethod},
		{batch("by its method, of two: that of the day", "enoki", "2026-03-05", "AAAA-0000"), 5, ByMethod},
		{batch("by its method, of two: the newest before", "enoki", "2026-04-05", "aaaa-0000"), 5, ByMethod},
		{batch("by its method, of two: the new one", "enoki", "2026-06-05", "aaaa-0000"), 1, ByMethod},
		{batch("of the side", "enoki", "2026-03-20", "dddd-0000"), 6, ByMethod},
		{batch("not committed", "enoki", "2026-06-20", "ffff-0000-aaaa"), 0, ByMethod},
		{batch("unknown", "enoki", "2026-03-05", "1234-5678"), -1, NotKnown},
		{batch("too few digits", "enoki", "2026-03-05", "aaaa"), -1, NotKnown},
	} {
		of, other := l.Made([]protocol.Result{x.batch, batch("another", "oyster", "2026-03-05", "")})
		var got []string
		for i, list := range of {
			for _, m := range list {
				got = append(got, fmt.Sprint(m.Code, " ", i, " ", m.How))
			}
		}
		for _, m := range other {
			got = append(got, fmt.Sprint(m.Code, " ", -1, " ", m.How))
		}
		assert.Equal(t, []string{fmt.Sprint(x.batch.Code, " ", x.at, " ", x.how)}, got)
	}
}
