package main

import (
	"bytes"
	"errors"
	"flag"
	"image"
	"image/jpeg"
	"image/png"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
)

// updateScripts rewrites what the scripts expect.
var updateScripts = flag.Bool("update", false, "write the expected outputs of the scripts anew")

// uncached are tests of which none depends on what another left in the cache, nor
// fills the user's. The program itself, when a test calls it, is left alone.
type uncached struct{ *testing.M }

func (m uncached) Run() int {
	if err := errors.Join(os.Setenv(noCache, "1"), os.Setenv(noRescale, "off")); err != nil {
		panic(err)
	}
	defer unshare()
	return m.M.Run()
}

func TestMain(m *testing.M) {
	testscript.Main(uncached{m}, map[string]func(){"bottlecrop": func() { os.Exit(run()) }})
}

// Each file of testdata/script is one behavior of the program, named for the
// command first. `go test ./cmd/bottlecrop -run TestScript -update` writes the
// expected outputs anew: read them before you commit them. Outside CI a seventh of them is
// run, and all by -run TestScript.
func TestScript(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	// The scripts share a cache of their own: the farm is the same one hundreds of
	// times. TestTheCacheNeverChangesABook holds the program without one.
	cache := t.TempDir()
	files, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	if !*updateScripts && !strings.Contains(flag.Lookup("test.run").Value.String(), t.Name()) {
		files = checks.Every(7, files)
	}
	testscript.Run(t, testscript.Params{
		Files:         files,
		UpdateScripts: *updateScripts,
		Setup: func(e *testscript.Env) error {
			e.Setenv("DEMO", root)
			e.Setenv("XDG_CACHE_HOME", cache)
			e.Setenv(noRescale, "off") // it would be built anew, without the cache of Go
			// Each command lives for a moment: the collector of its memory has no need to run
			// as soon as it does by itself.
			e.Setenv("GOGC", "400")
			return nil
		},
		Condition: func(name string) (bool, error) { return name == "root" && os.Getuid() == 0, nil },
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"demo": copyDemo, "edit": edit, "fill": fill, "nest": nest, "exits": exits, "append": appendTo, "begins": begins, "picture": picture, "object": removeObject, "steps": steps,
		},
	})
}

// scripted are the demo farm's protocols that the scripts work on: those without
// a warning, so that an output holds what its script is about and nothing else.
// All seven are held by check_demo.
var scripted = []string{"enoki-850.toml", "enoki-quart.toml", "oyster-1100.toml"}

// easyTarget is written into the scripts' farm: with it no run needs a probe, and
// a script meets the warning only where it takes the line out.
const easyTarget = `f0_target = "3 min"`

// calmed are values of the farm that cross a limit in the demo on purpose, each with
// one that does not; and as_of, so that a script says what counts as today.
var calmed = map[string]string{
	"humidifier_brings = \"0.6 L/h\"\nmachines = \"200 W\"": "humidifier_brings = \"0.8 L/h\"\nmachines = \"200 W\"",
	`depth = "26 cm"`:      `depth = "20 cm"`,
	`lifts = "2 /min"`:     `lifts = "0.2 /min"`,
	`as_of = "2026-11-26"`: `# as_of = "2026-11-26"`,
}

// answered begins the answer to the crate's warning, which the scripts' farm does not
// have.
const answered = "\n[[acknowledge]]\nrule = \"lift.index\""

// inTwo are the demo's languages. The scripts' farm is in English alone, and has them
// where a script asks for "demo FOLDER languages".
const inTwo = `languages = ["en", "es"]`

// sizes are the batch sizes of the scripted protocols, and oneSize what they have where a
// script asks for "demo FOLDER small": a book of it is made in half the time.
const (
	sizes   = "batch_sizes = [12, 48, 160, 400]"
	oneSize = "batch_sizes = [48]"
)

// demo FOLDER [languages] [small] copies the demo farm's files into a folder, of its
// protocols the scripted ones, and gives the farm an easy target.
func copyDemo(ts *testscript.TestScript, _ bool, args []string) {
	to := ts.MkAbs(args[0])
	alone, small := true, false
	for _, a := range args[1:] {
		switch a {
		case "languages":
			alone = false
		case "small":
			small = true
		default:
			ts.Fatalf("usage: demo FOLDER [languages] [small]")
		}
	}
	made := 0
	for _, part := range []string{"protocols", "site"} {
		from := filepath.Join(ts.Getenv("DEMO"), part)
		ts.Check(filepath.WalkDir(from, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(path) == ".go" {
				return err
			}
			if filepath.Base(filepath.Dir(path)) == "protocols" && d.Name() != "farm.toml" && !slices.Contains(scripted, d.Name()) {
				return nil
			}
			rel, err := filepath.Rel(ts.Getenv("DEMO"), path)
			if err != nil {
				return err
			}
			if folder := filepath.Base(filepath.Dir(path)); alone && (folder == protocol.LanguagesFolder || folder == "es") {
				return nil
			}
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			if d.Name() == "farm.toml" {
				// In place of an empty line, so that every other stays where it is.
				text = bytes.Replace(text, []byte("currency = \"USD\"\n\n"), []byte("currency = \"USD\"\n"+easyTarget+"\n"), 1)
				if !bytes.Contains(text, []byte(easyTarget)) {
					return errors.New("the demo's farm.toml has no place for " + easyTarget)
				}
				if alone {
					text = bytes.Replace(text, []byte(inTwo), []byte("# "+inTwo), 1)
				}
				for from, to := range calmed {
					if bytes.Count(text, []byte(from)) != 1 {
						return errors.New("the demo's farm.toml has no single " + from)
					}
					text = bytes.Replace(text, []byte(from), []byte(to), 1)
				}
			}
			text, _, _ = bytes.Cut(text, []byte(answered)) // at the end of the quart's file
			if small {
				made += bytes.Count(text, []byte(sizes))
				text = bytes.Replace(text, []byte(sizes), []byte(oneSize), 1)
			}
			if err := os.MkdirAll(filepath.Dir(filepath.Join(to, rel)), 0o755); err != nil {
				return err
			}
			return os.WriteFile(filepath.Join(to, rel), text, 0o644)
		}))
	}
	if small && made == 0 {
		ts.Fatalf("no protocol has %s", sizes)
	}
}

// edit FILE OLD NEW replaces the one place where OLD stands; \n, \t, \r and
// \xNN are understood in both.
func edit(ts *testscript.TestScript, _ bool, args []string) {
	if len(args) != 3 {
		ts.Fatalf("usage: edit FILE OLD NEW")
	}
	path := ts.MkAbs(args[0])
	text, err := os.ReadFile(path)
	ts.Check(err)
	from, to := unescape(ts, args[1]), unescape(ts, args[2])
	if n := bytes.Count(text, from); n != 1 {
		ts.Fatalf("%q stands %d times in %s", from, n, args[0])
	}
	ts.Check(os.WriteFile(path, bytes.Replace(text, from, to, 1), 0o644))
}

// append FILE MORE writes the text of one file at the end of another.
func appendTo(ts *testscript.TestScript, _ bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: append FILE MORE")
	}
	text, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	more, err := os.ReadFile(ts.MkAbs(args[1]))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), append(text, more...), 0o644))
}

// begins FILE OTHER holds that a file begins with all of another.
func begins(ts *testscript.TestScript, _ bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: begins FILE OTHER")
	}
	whole, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	first, err := os.ReadFile(ts.MkAbs(args[1]))
	ts.Check(err)
	if !bytes.HasPrefix(whole, first) {
		ts.Fatalf("%s does not begin with all of %s", args[0], args[1])
	}
}

func unescape(ts *testscript.TestScript, s string) []byte {
	out, err := strconv.Unquote(`"` + strings.ReplaceAll(s, `"`, `\"`) + `"`)
	ts.Check(err)
	return []byte(out)
}

// fill FILE BYTES writes a file of comment lines of that size.
func fill(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	line := "# nothing but a comment, again and again, to the size that was asked for\n"
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), bytes.Repeat([]byte(line), n/len(line)+1), 0o644))
}

// picture FILE WIDTH HEIGHT writes a picture of that size in pixels, of the kind
// that its ending says.
func picture(ts *testscript.TestScript, _ bool, args []string) {
	width, err := strconv.Atoi(args[1])
	ts.Check(err)
	height, err := strconv.Atoi(args[2])
	ts.Check(err)
	drawn := image.NewGray(image.Rect(0, 0, width, height))
	var b bytes.Buffer
	if strings.EqualFold(filepath.Ext(args[0]), ".jpg") {
		ts.Check(jpeg.Encode(&b, drawn, nil))
	} else {
		ts.Check(png.Encode(&b, drawn))
	}
	ts.Check(os.MkdirAll(filepath.Dir(ts.MkAbs(args[0])), 0o755))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b.Bytes(), 0o644))
}

// nest FILE DEPTH appends a table that deep.
func nest(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	f, err := os.OpenFile(ts.MkAbs(args[0]), os.O_APPEND|os.O_WRONLY, 0)
	ts.Check(err)
	_, err = f.WriteString("\n[a" + strings.Repeat(".a", n-1) + "]\n")
	ts.Check(err)
	ts.Check(f.Close())
}

// object REPOSITORY NAME takes an object out of a repository, as a damaged disk would.
func removeObject(ts *testscript.TestScript, _ bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: object REPOSITORY NAME")
	}
	ts.Check(ts.Exec("git", "-C", ts.MkAbs(args[0]), "rev-parse", args[1]))
	id := strings.TrimSpace(ts.ReadFile("stdout"))
	ts.Check(os.Remove(filepath.Join(ts.MkAbs(args[0]), ".git", "objects", id[:2], id[2:])))
}

// exits CODE COMMAND... runs a command and holds it to an exit code.
func exits(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var exit *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("%v exited with %d, want %d", args[1:], got, want)
	}
}
