// Package checks reads the tables of published figures in testdata/ and holds
// results against them, each with its own tolerance and its source in the
// failure. It is for tests only.
//
// A table is a CSV file named …-checks.csv. A test claims a row by writing its
// id, or a run of ids such as "S010..S018", as a string literal; a test of this
// package reads all test files and finds the rows that nobody claimed.
package checks

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// header is what the columns of a table must be, in order.
var header = []string{"id", "quantity", "inputs", "expected", "unit", "tolerance", "tolerance_is", "kind", "source", "status", "note"}

// Row is one published figure.
type Row struct {
	ID          string
	Quantity    string
	Inputs      string  // "Q1=10 kg;M1=77 %"
	Expected    string  // one number, several with semicolons, or a word
	Unit        string  // of the expected number, as printed in the source
	Tolerance   float64 // in that unit, or relative
	ToleranceIs string  // "absolute" or "relative"
	Kind        string  // "computed", "constant", "range" or "text"
	Source      string
	Status      string // how well the source was seen
	Note        string
}

// Table is the rows of one file, in its order.
type Table struct {
	Name string
	Rows []Row
}

// Read reads a table. A wrong header, a row of another length, a tolerance
// that is no number and a repeated id are errors.
func Read(name string, r io.Reader) (*Table, error) {
	reader := csv.NewReader(r)
	reader.FieldsPerRecord = len(header)
	lines, err := reader.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(lines) == 0 || !slices.Equal(lines[0], header) {
		return nil, fmt.Errorf("%s: the first line must be %q", name, strings.Join(header, ","))
	}
	t := &Table{Name: name}
	for _, f := range lines[1:] {
		tolerance, err := strconv.ParseFloat(f[5], 64)
		if err != nil {
			return nil, fmt.Errorf("%s: %s: tolerance: %w", name, f[0], err)
		}
		if f[6] != "absolute" && f[6] != "relative" {
			return nil, fmt.Errorf("%s: %s: tolerance_is %q must be absolute or relative", name, f[0], f[6])
		}
		if t.find(f[0]) >= 0 {
			return nil, fmt.Errorf("%s: %s stands there twice", name, f[0])
		}
		t.Rows = append(t.Rows, Row{f[0], f[1], f[2], f[3], f[4], tolerance, f[6], f[7], f[8], f[9], f[10]})
	}
	return t, nil
}

func (t *Table) find(id string) int {
	return slices.IndexFunc(t.Rows, func(r Row) bool { return r.ID == id })
}

// Open reads testdata/NAME-checks.csv of this repository. The test ends where
// it cannot be read.
func Open(tb testing.TB, name string) *Table {
	tb.Helper()
	root, err := Root()
	if err != nil {
		tb.Fatal(err)
	}
	file := name + "-checks.csv"
	f, err := os.Open(filepath.Join(root, "testdata", file))
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	t, err := Read(file, f)
	if err != nil {
		tb.Fatal(err)
	}
	return t
}

// Root is the folder of the repository: the nearest one at or above the
// working directory with a go.mod. Tests run in the folder of their package.
func Root() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", fmt.Errorf("checks: no go.mod at or above the working directory")
		}
		dir = up
	}
}

// Row returns the row with that id. The test ends where there is none.
func (t *Table) Row(tb testing.TB, id string) Row {
	tb.Helper()
	i := t.find(id)
	if i < 0 {
		tb.Fatalf("%s has no row %s", t.Name, id)
	}
	return t.Rows[i]
}

// Run returns the rows of a run of ids, "S010..S018", both ends included. The
// test ends where one is absent.
func (t *Table) Run(tb testing.TB, run string) []Row {
	tb.Helper()
	ids := Expand(run)
	if ids == nil {
		tb.Fatalf("%q is no run of row ids such as S010..S018", run)
	}
	rows := make([]Row, len(ids))
	for i, id := range ids {
		rows[i] = t.Row(tb, id)
	}
	return rows
}

var runPattern = regexp.MustCompile(`^([A-Z]+)(\d{3})(?:\.\.([A-Z]+)(\d{3}))?$`)

// Expand lists the ids of "S010" or "S010..S018"; nil for any other text.
func Expand(run string) []string {
	m := runPattern.FindStringSubmatch(run)
	if m == nil || m[3] != "" && m[3] != m[1] {
		return nil
	}
	first, _ := strconv.Atoi(m[2])
	last := first
	if m[4] != "" {
		last, _ = strconv.Atoi(m[4])
	}
	var ids []string
	for i := first; i <= last; i++ {
		ids = append(ids, fmt.Sprintf("%s%03d", m[1], i))
	}
	return ids
}

// Input returns a named number of the row's inputs: of "Q1=10 kg;M1=77 %",
// Input("M1") is 77, in the unit printed there. The test ends where there is none.
func (r Row) Input(tb testing.TB, name string) float64 {
	tb.Helper()
	m := regexp.MustCompile(`(?:^|[^\w])` + regexp.QuoteMeta(name) + `=(-?\d+(?:\.\d+)?(?:e-?\d+)?)`).FindStringSubmatch(r.Inputs)
	if m == nil {
		tb.Fatalf("%s: no input %s in %q", r.ID, name, r.Inputs)
	}
	v, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		tb.Fatalf("%s: input %s: %v", r.ID, name, err)
	}
	return v
}

// Values are the expected numbers. The test ends where one is a word.
func (r Row) Values(tb testing.TB) []float64 {
	tb.Helper()
	var values []float64
	for _, s := range strings.Split(r.Expected, ";") {
		v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
		if err != nil {
			tb.Fatalf("%s: expected: %v", r.ID, err)
		}
		values = append(values, v)
	}
	return values
}

// binary is the slack, relative, for numbers that are equal in decimals but
// not in binary; a printed figure with a tolerance of 0 is met with it.
const binary = 1e-12

// Meet holds results, in the row's unit, against the row's expected numbers
// with the row's tolerance, and fails the test with the row's id and source.
func (r Row) Meet(tb testing.TB, got ...float64) {
	tb.Helper()
	want := r.Values(tb)
	if len(got) != len(want) {
		tb.Errorf("%s %s: %d numbers expected, got %v", r.ID, r.Quantity, len(want), got)
		return
	}
	for i := range want {
		tolerance := r.Tolerance
		if r.ToleranceIs == "relative" {
			tolerance *= math.Abs(want[i])
		}
		// Written so that NaN fails.
		if !(math.Abs(got[i]-want[i]) <= tolerance+binary*math.Abs(want[i])) {
			tb.Errorf("%s %s (%s): got %.10g %s, want %.10g within %g %s\nsource: %s (%s)",
				r.ID, r.Quantity, r.Inputs, got[i], r.Unit, want[i], r.Tolerance, r.ToleranceIs, r.Source, r.Status)
		}
	}
}

// Law is a formula with named inputs in SI units.
type Law interface {
	Symbols() []string
	At(inputs map[string]float64) (float64, error)
}

// T is a test, or one draw of a property: a law is evaluated in both.
type T interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

// Eval evaluates a law for inputs in SI units. The test ends where they are not
// exactly the law's symbols, or the law has no value for them.
func Eval(tb T, law Law, inputs map[string]float64) float64 {
	tb.Helper()
	for _, s := range law.Symbols() {
		if _, ok := inputs[s]; !ok {
			tb.Fatalf("a law of %v: no value for %s", law.Symbols(), s)
		}
	}
	if len(inputs) != len(law.Symbols()) {
		tb.Fatalf("a law of %v: values were given for %v", law.Symbols(), inputs)
	}
	v, err := law.At(inputs)
	if err != nil {
		tb.Fatal(err)
	}
	return v
}
