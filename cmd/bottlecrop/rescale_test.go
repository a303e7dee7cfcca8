package main

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/rescale"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// builtModule is the module, built once for the tests of a run.
var builtModule = sync.OnceValues(func() ([]byte, error) { return buildModule("../..") })

// The module has no reader of files, of Markdown or of HTML, no formula library, no git,
// no network and no tables of all languages in it: what it links is what it takes.
func TestModuleLinks(t *testing.T) {
	c := exec.Command("go", "list", "-deps", "./cmd/bottlecrop-web")
	c.Dir, c.Env = "../..", append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := c.Output()
	require.NoError(t, err)
	deps := strings.Fields(string(out))
	require.Contains(t, deps, "bottlecrop/cmd/internal/leaf")
	for _, banned := range []string{
		"github.com/yuin/goldmark", "golang.org/x/net", "golang.org/x/text", "gonum.org", "github.com/BurntSushi", "github.com/go-playground",
		"github.com/spf13", "github.com/chromedp", "net/http", "os/exec", "crypto/tls", "compress", "mime", "encoding/csv",
		"bottlecrop/cmd/internal/farmfile", "bottlecrop/cmd/internal/formula", "bottlecrop/cmd/internal/design", "bottlecrop/cmd/internal/prose",
		"bottlecrop/cmd/internal/binder", "bottlecrop/cmd/internal/book", "bottlecrop/cmd/internal/history", "bottlecrop/cmd/internal/press", "bottlecrop/cmd/internal/probe",
	} {
		for _, d := range deps {
			assert.False(t, d == banned || strings.HasPrefix(d, banned+"/"), "the module links %s", d)
		}
	}
}

// largestModule is what a book's module may be at the most, compressed.
const largestModule = 3_000_000

var modulePacked = regexp.MustCompile(`\nvar bottlecropModule = "([A-Za-z0-9+/=]+)";\n`)

func TestModuleIsSmallAndWhole(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	data, err := builtModule()
	require.NoError(t, err)
	m := modulePacked.FindSubmatch(data)
	require.NotNil(t, m)
	packed, err := base64.StdEncoding.DecodeString(string(m[1]))
	require.NoError(t, err)
	assert.Less(t, len(packed), largestModule)
	t.Logf("the module has %d bytes, compressed", len(packed))
	assert.True(t, sealedModule(data))
	assert.False(t, sealedModule(data[:len(data)-1]), "cut short")
	changed := slices.Clone(data)
	changed[len(changed)/2] ^= 1
	assert.False(t, sealedModule(changed))
	assert.False(t, sealedModule(nil))
	again, err := buildModule("../..")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(data, again), "the same source gives the same module")
}

// Without Go the program says why the book works out no sheets, in one line.
func TestWithoutGoThereIsNoModule(t *testing.T) {
	if embeddedModule != nil {
		t.Skip("this program carries the module, and needs no Go")
	}
	t.Setenv("PATH", t.TempDir())
	var out bytes.Buffer
	assert.Nil(t, moduleFile(&terminal{out: &out}, words.English(unit.Metric)))
	assert.Contains(t, strings.Join(strings.Fields(out.String()), " "), "Go is not installed")
}

// A release carries a module that was built from this source, to the byte.
func TestReleaseCarriesThisSource(t *testing.T) {
	if embeddedModule == nil {
		t.Skip("this program carries no module; .ci/run runs this test with the tag release")
	}
	data, err := builtModule()
	require.NoError(t, err)
	assert.True(t, bytes.Equal(data, embeddedModule), "run go generate ./cmd/bottlecrop again")
}

// asking is one question to the module, and what the program itself says.
type asking struct {
	Carried string `json:"carried"`
	Words   string `json:"words,omitempty"`
	Printed int    `json:"printed"`
	Call    string `json:"call"`
	Text    string `json:"text"`

	want rescale.Answer
}

// moduleAnswer is an answer of the module.
type moduleAnswer struct {
	rescale.Answer
	Failed string
	Took   float64 // ms
}

// carriedSession is one for each protocol of the demo farm in each of its languages.
type carriedSession struct {
	*rescale.Session
	entry          book.Entry
	farm           *farm
	carried, words string // files
}

func demoSessions(t *testing.T) []carriedSession {
	t.Helper()
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	dir := t.TempDir()
	var out []carriedSession
	farms := []*farm{f}
	for _, tag := range f.languages()[1:] {
		other, err := f.in(tag)
		require.NoError(t, err)
		farms = append(farms, other)
	}
	for i, f := range farms {
		e := f.edition()
		e.AnySize = true
		if i > 0 {
			e.Folder = f.voice.Tag()
		}
		catalog := ""
		if text := words.Catalog(f.voice); text != "" {
			catalog = filepath.Join(dir, e.Folder+".txt")
			require.NoError(t, os.WriteFile(catalog, []byte(text), 0o600))
		}
		for _, entry := range f.entries {
			c, err := rescale.Carry(e, entry.Process, entry.Method, f.folder.Farm.AsOf)
			require.NoError(t, err)
			data, err := c.Encode()
			require.NoError(t, err)
			file := filepath.Join(dir, e.Folder+entry.Method.Protocol+".json")
			require.NoError(t, os.WriteFile(file, data, 0o600))
			s, err := rescale.Open(data, words.Catalog(f.voice), entry.Batches[0].Vessels)
			require.NoError(t, err)
			out = append(out, carriedSession{s, entry, f, file, catalog})
		}
	}
	return out
}

// random asks for something, mostly what somebody might.
func (s carriedSession) random(r *rand.Rand) (call, text string) {
	fields := url.Values{"n": {strconv.Itoa(1 + int(400*r.Float64()*r.Float64()*r.Float64()*8))}}
	if r.IntN(4) == 0 {
		fields.Set("good", "yes")
	}
	parts := s.entry.Process.Parts
	if r.IntN(3) == 0 {
		for _, p := range parts {
			if p.Role != "mineral" && r.IntN(2) == 0 {
				fields.Set("m."+p.ID, strconv.FormatFloat(100*float64(p.Moisture)*(0.8+0.4*r.Float64()), 'f', 1, 64))
			}
		}
	}
	if r.IntN(3) == 0 {
		fields.Set("from", []string{"start", "deliver"}[r.IntN(2)])
		fields.Set("day", fmt.Sprintf("2027-%02d-%02d", 1+r.IntN(12), 1+r.IntN(28)))
	}
	if r.IntN(6) == 0 {
		fields.Set("short", parts[r.IntN(len(parts))].ID)
		fields.Set("have", fmt.Sprintf("%.1f kg", 0.1+30*r.Float64()))
	}
	if r.IntN(25) == 0 {
		fields.Set("air", []string{"96.4 kPa", "850 m", "1,2 bar", "2100 ft"}[r.IntN(4)])
	}
	if r.IntN(12) == 0 { // what nobody means
		fields.Set([]string{"n", "day", "have", "air", "m." + parts[0].ID, "zzz"}[r.IntN(6)], []string{"", "0", "-1", "1e9", "100001", "<b>", "NaN %", "9999-99-99", "\x00"}[r.IntN(9)])
	}
	return "work", fields.Encode()
}

// The module says the same as the program, to the byte: for each protocol of the demo
// farm, in each language, over random inputs and every document of a batch. Where the
// book carries what a run comes to, the module solves none anew.
func TestModuleSaysTheSame(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	need(t, "node")
	module, err := builtModule()
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "module.js")
	require.NoError(t, os.WriteFile(file, module, 0o600))
	inputs := checks.Rounds(3, 200)
	var asked []asking
	for i, s := range checks.Every(7, demoSessions(t)) {
		r := rand.New(rand.NewPCG(1, uint64(i)))
		ask := func(call, text string) {
			a := asking{Carried: s.carried, Words: s.words, Printed: s.entry.Batches[0].Vessels, Call: call, Text: text}
			if call == "work" {
				fields, err := url.ParseQuery(text)
				require.NoError(t, err)
				a.want, err = s.Work(fields)
				require.NoError(t, err, text)
			} else {
				a.want, err = s.Restore(text)
				require.NoError(t, err, text)
			}
			asked = append(asked, a)
		}
		for range inputs {
			ask(s.random(r))
		}
		answer, err := s.Restore("n=37&start=2027-02-01")
		require.NoError(t, err)
		require.False(t, answer.Refused, answer.Said)
		for _, link := range slices.Sorted(valuesOf(answer.Links)) {
			ask("restore", link)
		}
	}
	answers := askModule(t, file, asked)
	require.Equal(t, len(asked), len(answers))
	worked, refused, slowest := 0, 0, 0.0
	for i, a := range asked {
		got := answers[i]
		require.Empty(t, got.Failed, a.Text)
		if !assert.Equal(t, a.want.Fragment, got.Fragment, a.Text) || !assert.Equal(t, a.want.Said, got.Said, a.Text) ||
			!assert.True(t, maps.Equal(a.want.Links, got.Links), a.Text) || !assert.Equal(t, a.want.Refused, got.Refused) {
			return
		}
		if a.want.Page != got.Page {
			t.Fatalf("%s: %s differs: %s", filepath.Base(a.Carried), a.Text, firstDifference(a.want.Page, got.Page))
		}
		if strings.Contains(a.Text, "air=") {
			worked += got.Worked
		} else {
			assert.Zero(t, got.Worked, "%s: a run was solved that the book carries", a.Text)
			slowest = max(slowest, got.Took)
		}
		if got.Refused {
			refused++
		}
	}
	assert.Less(t, refused, len(asked)/2, "most inputs give a sheet")
	t.Logf("%d answers, %d of them refusals; %d runs solved for other air; %.0f ms for the slowest of the rest", len(asked), refused, worked, slowest)
}

func valuesOf(m map[string]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for _, v := range m {
			if !yield(v) {
				return
			}
		}
	}
}

// askModule asks the module under Node.
func askModule(t *testing.T, module string, asked []asking) []moduleAnswer {
	t.Helper()
	questions := filepath.Join(t.TempDir(), "questions.json")
	data, err := json.Marshal(asked)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(questions, data, 0o600))
	c := exec.Command("node", "testdata/module/work.mjs", module, questions)
	c.Stderr = os.Stderr
	out, err := c.Output()
	require.NoError(t, err)
	var answers []moduleAnswer
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, 16<<20)
	for lines.Scan() {
		var a moduleAnswer
		require.NoError(t, json.Unmarshal(lines.Bytes(), &a))
		answers = append(answers, a)
	}
	require.NoError(t, lines.Err())
	return answers
}

// firstDifference shows where two texts part.
func firstDifference(a, b string) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	around := func(s string) string { return s[max(0, i-80):min(len(s), i+80)] }
	return fmt.Sprintf("at byte %d, %q against %q", i, around(a), around(b))
}

var (
	toCards  = regexp.MustCompile(`(?s)<p class="cards on-screen">.*?</p>\n`)
	sheetOf  = regexp.MustCompile(`(?s)<section class="hazards".*</section>\n</div>\n`)
	daysOf   = regexp.MustCompile(`(?s)<section class="batch-days".*?</section>\n`)
	behind   = regexp.MustCompile(`(?s)<div class="record-behind">.*`)
	theSteps = regexp.MustCompile(`<li class="step"`)
)

// A sheet that is worked out in the page is the sheet that the command prints for the
// same input: what hurts, what to have ready, and all stations.
func TestRescaledSheetIsThatOfTheCommand(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	parts := func(page string) string {
		return sheetOf.FindString(daysOf.ReplaceAllString(toCards.ReplaceAllString(behind.ReplaceAllString(page, ""), ""), ""))
	}
	for _, s := range demoSessions(t) {
		if s.words != "" {
			continue // the command speaks the farm's first language
		}
		name := s.entry.Method.Protocol
		id := s.entry.Process.Parts[0].ID
		for _, n := range []int{1, 47, 48, 137} {
			b, err := s.farm.worked(name, size{vessels: n}, []string{id + "=9.5%"}, false)
			require.NoError(t, err)
			want, err := leaf.LoneSheet(s.farm.edition(), procedure.Build(b), s.entry.Method)
			require.NoError(t, err)
			got, err := s.Work(url.Values{"n": {strconv.Itoa(n)}, "m." + id: {"9.5"}, "day": {"2027-01-04"}, "from": {"start"}})
			require.NoError(t, err)
			a, z := parts(string(want)), parts(got.Page)
			require.Greater(t, len(theSteps.FindAllString(a, -1)), 20)
			if a != z {
				t.Fatalf("%s %d: %s", name, n, firstDifference(a, z))
			}
		}
	}
}
