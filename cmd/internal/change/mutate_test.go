package change_test

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// line is one key of a file with a value that can be changed.
type line struct {
	file string
	at   int // from 0
	from string
	to   string
}

var (
	keyed    = regexp.MustCompile(`^([A-Za-z0-9_-]+) = (.*?)(\s+#.*)?$`)
	quantity = regexp.MustCompile(`^"(-?[0-9.]+)( [^"]+)"$`)
	whole    = regexp.MustCompile(`^[0-9]+$`)
	listed   = regexp.MustCompile(`^\["(-?[0-9.]+)( [^"]+)"`)
)

// mutated is another value for a key: a tenth more, another count, the other of two, a
// word more.
func mutated(value string) string {
	more := func(number string) string {
		r, _ := new(big.Rat).SetString(number)
		return strings.TrimRight(strings.TrimRight(r.Mul(r, big.NewRat(11, 10)).FloatString(6), "0"), ".")
	}
	if m := quantity.FindStringSubmatch(value); m != nil {
		return `"` + more(m[1]) + m[2] + `"`
	}
	if m := listed.FindStringSubmatch(value); m != nil {
		return `["` + more(m[1]) + m[2] + `"` + value[len(m[0]):]
	}
	switch {
	case whole.MatchString(value):
		return value + "1"
	case value == "true":
		return "false"
	case value == "false":
		return "true"
	case strings.HasPrefix(value, `"""`):
		return ""
	case strings.HasPrefix(value, `"`) && strings.Contains(value, " "):
		return value[:len(value)-1] + ` too"`
	}
	return others[value]
}

// others are other values of keys that take one of a few.
var others = map[string]string{
	`"pressed"`: `"removed"`, `"level"`: `"light"`, `"inverted"`: `"damp-fleece"`, `"damp-fleece"`: `"none"`, `"mild-alkali"`: `"none"`,
	`"steam-1"`: `"kettle"`, `"bottle-850"`: `"bottle-950"`, `"ethanol"`: `"isopropanol"`, `"good"`: `"poor"`, `"autoclave-small"`: `"autoclave-medium"`,
	`"air"`: `"steam"`, `"rye-grain"`: `"millet"`, `"USD"`: `"EUR"`, `"filling"`: `"mixing"`, `"enoki"`: `"enoki-white"`,
}

// lines lists every key of some files that mutated has another value for.
func lines(farm fstest.MapFS, files ...string) []line {
	var out []line
	for _, file := range files {
		for i, text := range strings.Split(string(farm[file].Data), "\n") {
			m := keyed.FindStringSubmatch(text)
			if m == nil {
				continue
			}
			if to := mutated(m[2]); to != "" {
				out = append(out, line{file, i, text, m[1] + " = " + to + m[3]})
			}
		}
	}
	return out
}

// with is a farm with some lines changed.
func with(farm fstest.MapFS, changed ...line) fstest.MapFS {
	out := fstest.MapFS{}
	for name, f := range farm {
		out[name] = f
	}
	for _, l := range changed {
		all := strings.Split(string(out[l.file].Data), "\n")
		all[l.at] = l.to
		out[l.file] = &fstest.MapFile{Data: []byte(strings.Join(all, "\n"))}
	}
	return out
}

// said is what a batch says, gathered without the package that is tested: its figures,
// the limits that it crosses, and every message and amount of its steps.
type said struct {
	figures map[string]float64
	limits  []string
	steps   map[string]string
}

// tell works a side's batch out; false where it is refused.
func tell(s change.Side, vessels int) (said, bool) {
	in := process.Input{Farm: s.Farm, Library: s.Library, Protocol: s.Protocol}
	for i, e := range s.Farm.Evidence {
		by, known := s.Others[e.Protocol]
		if e.Protocol == s.Protocol.Name {
			by, known = s.Protocol, true
		}
		if known && s.Protocol.HeatsLike(by) {
			in.Evidence = append(in.Evidence, process.Evidence{Evidence: e, Index: i, Vessel: s.Logs[e.ID].Vessel, Chamber: s.Logs[e.ID].Chamber})
		}
	}
	p, err := process.Plan(in)
	if err != nil || protocol.Worst(p.Findings) == protocol.Error || protocol.Worst(procedure.Judge(p)) == protocol.Error {
		return said{}, false
	}
	b, err := batch.Compute(p, vessels)
	if err != nil || protocol.Worst(b.Findings) == protocol.Error {
		return said{}, false
	}
	out := said{figures: map[string]float64{}, steps: map[string]string{}}
	for _, q := range b.Ledger.All() {
		out.figures[q.ID()] = q.Value
	}
	for _, f := range slices.Concat(p.Findings, procedure.Judge(p), b.Own) {
		by := ""
		if f.By != nil {
			by = fmt.Sprint(*f.By)
		}
		out.limits = append(out.limits, fmt.Sprintln(f.Rule, f.Severity, by))
	}
	slices.Sort(out.limits)
	sheets := []procedure.Procedure{procedure.Build(b)}
	if g, ok := procedure.BuildGrain(b); ok {
		sheets = append(sheets, g)
	}
	for i, sheet := range sheets {
		for _, step := range sheet.Steps {
			var text strings.Builder
			step.Number = 0 // which changes where another step comes before it
			read(&text, reflect.ValueOf(step))
			out.steps[fmt.Sprint(i, " ", step.ID)] = text.String()
		}
	}
	return out, true
}

// read writes down everything that a value holds, messages as they are said.
func read(out *strings.Builder, v reflect.Value) {
	switch x := v.Interface().(type) {
	case protocol.Message:
		out.WriteString(english.Say(x) + "\n")
		return
	case unit.Amount:
		if x.Value != 0 {
			out.WriteString(x.Show(unit.Metric) + "\n")
		}
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			read(out, v.Field(i))
		}
	case reflect.Slice:
		for i := range v.Len() {
			read(out, v.Index(i))
		}
	default:
		fmt.Fprintln(out, v.Interface())
	}
}

// figuresApart are the figures that are not the same to six digits.
func (s said) figuresApart(o said) map[string]bool {
	out := map[string]bool{}
	for _, m := range []map[string]float64{s.figures, o.figures} {
		for id := range m {
			a, was := s.figures[id]
			b, is := o.figures[id]
			if was != is || math.Abs(a-b) > 1e-7*math.Max(math.Abs(a), math.Abs(b)) {
				out[id] = true
			}
		}
	}
	return out
}

func (s said) stepsApart(o said) map[string]bool {
	out := map[string]bool{}
	for _, m := range []map[string]string{s.steps, o.steps} {
		for id := range m {
			if s.steps[id] != o.steps[id] {
				out[id] = true
			}
		}
	}
	return out
}

// holds holds a report to what two batches say, and returns how much differs.
func holds(t require.TestingT, r *change.Report, before, after said, what string) int {
	figures, steps := map[string]bool{}, map[string]bool{}
	for _, d := range r.Differences {
		require.NotEmpty(t, d.Causes, "%s: %s", what, d.Kind)
		switch d.Kind {
		case change.Figure:
			q := d.After
			if q == nil {
				q = d.Before
			}
			figures[q.ID()] = true
		case change.Appears, change.Vanishes, change.Told:
			sheet := 0
			if d.Spawn {
				sheet = 1
			}
			steps[fmt.Sprint(sheet, " ", d.Step.ID)] = true
		}
	}
	require.Equal(t, before.figuresApart(after), figures, what)
	require.Equal(t, before.stepsApart(after), steps, what)
	crossed := slices.ContainsFunc(r.Differences, func(d change.Difference) bool { return d.Kind == change.Crossing })
	require.Equal(t, !slices.Equal(before.limits, after.limits), crossed, "%s: %s / %s", what, before.limits, after.limits)
	return len(r.Differences)
}

// stands reports whether a changed input stands at a line.
func stands(c *change.Change, l line, before, after *farmfile.Folder) bool {
	at := func(f *farmfile.Folder, o working.Origin) bool {
		p := f.Place(o)
		// A value that is a new item is placed at the table that it is in.
		return p.File == l.file && p.Line == l.at+1
	}
	return at(before, c.Before.Origin) || at(after, c.After.Origin)
}

var demoFiles = []string{"protocols/farm.toml", "protocols/oyster-1100.toml", "protocols/king-oyster-1100.toml", "protocols/enoki-850.toml"}

// Every key of the demo farm's file and of three of its protocols, one at a time: what
// alters a figure, a step or a limit is reported with that key as its cause, and what
// alters nothing gives no difference. King oyster has most of its keys from the
// protocol that it is based on.
func TestEachKeyIsTheCauseOfWhatItMoves(t *testing.T) {
	farm := demo(t)
	for name, files := range map[string][]string{
		"enoki-850":        {"protocols/farm.toml", "protocols/enoki-850.toml"},
		"king-oyster-1100": {"protocols/oyster-1100.toml", "protocols/king-oyster-1100.toml"},
	} {
		before, folder, ok := side(farm, name)
		require.True(t, ok)
		was, ok := tell(before, 240)
		require.True(t, ok)
		read, moved := 0, 0
		nth := 11
		if name == "enoki-850" { // which has most keys
			nth = 23
		}
		for _, l := range checks.Every(nth, lines(farm, files...)) {
			after, changed, ok := side(with(farm, l), name)
			if !ok {
				continue // the reader refuses it
			}
			is, ok := tell(after, 240)
			if !ok {
				continue // a limit refuses it
			}
			read++
			what := fmt.Sprintf("%s:%d: %s", l.file, l.at+1, l.to)
			r, err := change.Compare(before, after, 240, english)
			require.NoError(t, err, what)
			if holds(t, r, was, is, what) == 0 {
				continue
			}
			moved++
			for _, d := range r.Differences {
				assert.False(t, d.Coarse, what)
				for _, c := range d.Causes {
					assert.True(t, stands(c, l, folder, changed) || len(d.Causes) > 1, "%s: the cause of %s stands at %v", what, d.Kind, folder.Place(c.Before.Origin))
				}
			}
		}
		t.Logf("%s: %d keys read, %d of them move something", name, read, moved)
		assert.Greater(t, read, checks.Rounds(4, 50), name)
		assert.Greater(t, moved, checks.Rounds(3, 30), name)
	}
}

// Several keys at once: the causes that a difference names make all of it, when they
// alone are written into the files and these are read again.
func TestCausesDoItByThemselves(t *testing.T) {
	farm := demo(t)
	const name, vessels = "enoki-850", 240
	before, folder, ok := side(farm, name)
	require.True(t, ok)
	was, ok := tell(before, vessels)
	require.True(t, ok)
	all := lines(farm, "protocols/farm.toml", "protocols/enoki-850.toml")
	told, several := 0, 0
	for seed := range checks.Rounds(20, 1000) {
		if !checks.Whole() && told > 7 && several > 0 {
			break
		}
		random := rand.New(rand.NewPCG(9, uint64(seed)))
		var changed []line
		for _, i := range random.Perm(len(all))[:2+random.IntN(4)] {
			changed = append(changed, all[i])
		}
		after, later, ok := side(with(farm, changed...), name)
		if !ok {
			continue // the reader refuses it
		}
		is, ok := tell(after, vessels)
		if !ok {
			continue // a limit refuses it
		}
		r, err := change.Compare(before, after, vessels, english)
		require.NoError(t, err)
		holds(t, r, was, is, fmt.Sprintf("seed %d", seed))
		told++
		proofs := map[string]said{}
		for _, d := range r.Differences {
			if d.Kind != change.Figure || d.After == nil {
				continue
			}
			var causes []line
			for _, l := range changed {
				if slices.ContainsFunc(d.Causes, func(c *change.Change) bool { return stands(c, l, folder, later) }) {
					causes = append(causes, l)
				}
			}
			require.NotEmpty(t, causes, d.After.ID())
			key := fmt.Sprint(causes)
			if _, known := proofs[key]; !known {
				half, _, ok := side(with(farm, causes...), name)
				if !ok {
					continue // the reader is stricter than the calculation
				}
				proofs[key], ok = tell(half, vessels)
				require.True(t, ok, "%v", causes)
			}
			got := proofs[key].figures[d.After.ID()]
			require.InEpsilon(t, d.After.Value, got, 1e-7, "%s by %v", d.After.ID(), causes)
			if len(causes) > 1 {
				several++
			}
		}
	}
	t.Logf("%d farms told; %d figures with several causes", told, several)
	assert.Greater(t, told, 5)
	assert.Positive(t, several)
}
