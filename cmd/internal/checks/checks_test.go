package checks_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

const head = "id,quantity,inputs,expected,unit,tolerance,tolerance_is,kind,source,status,note\n"

// failing is a test that notes what it was told instead of failing.
type failing struct {
	testing.TB
	said string
}

type ended struct{}

func (f *failing) Helper()                   {}
func (f *failing) Errorf(s string, a ...any) { f.said += fmt.Sprintf(s, a...) }
func (f *failing) Fatalf(s string, a ...any) { f.Errorf(s, a...); panic(ended{}) }

// said runs a check that may end its test and returns what it complained of.
func said(check func(testing.TB)) (text string) {
	f := &failing{}
	defer func() {
		if r := recover(); r != nil && r != any(ended{}) {
			panic(r)
		}
		text = f.said
	}()
	check(f)
	return
}

func table(t *testing.T, rows string) *checks.Table {
	x, err := checks.Read("made-up", strings.NewReader(head+rows))
	require.NoError(t, err)
	return x
}

func TestMeetCanFail(t *testing.T) {
	x := table(t, `X001,q,a=1,2.5,kg,0.1,absolute,computed,"A. Author, 1999",confirmed,
X002,q,a=1,200,kg,0.01,relative,computed,B,confirmed,
X003,q,a=1,25.4,mm,0,absolute,computed,C,confirmed,
X004,q,a=1,1;2,mm,0.1,absolute,computed,D,confirmed,
X005,q,a=1,infeasible,error,0,absolute,text,E,confirmed,
`)
	for _, c := range []struct {
		id  string
		got []float64
		bad bool
	}{
		{"X001", []float64{2.6}, false},
		{"X001", []float64{2.4}, false},
		{"X001", []float64{2.61}, true},
		{"X001", []float64{nan()}, true},
		{"X001", nil, true},
		{"X002", []float64{201.9}, false},
		{"X002", []float64{202.1}, true},
		{"X003", []float64{0.0254 * 1000}, false},
		{"X003", []float64{25.4001}, true},
		{"X004", []float64{1, 2}, false},
		{"X004", []float64{1, 2.2}, true},
		{"X005", []float64{1}, true},
	} {
		text := said(func(tb testing.TB) { x.Row(tb, c.id).Meet(tb, c.got...) })
		assert.Equal(t, c.bad, text != "", "%s with %v said %q", c.id, c.got, text)
	}
	text := said(func(tb testing.TB) { x.Row(tb, "X001").Meet(tb, 3) })
	assert.Contains(t, text, "X001")
	assert.Contains(t, text, "A. Author, 1999", "the source must be named")
}

func nan() float64 { zero := 0.0; return zero / zero }

func TestAbsentRowEndsTheTest(t *testing.T) {
	x := table(t, "X001,q,a=1,2.5,kg,0.1,absolute,computed,A,confirmed,\n")
	assert.Contains(t, said(func(tb testing.TB) { x.Row(tb, "X002") }), "no row X002")
	assert.Contains(t, said(func(tb testing.TB) { x.Run(tb, "X001..X002") }), "no row X002")
	assert.Contains(t, said(func(tb testing.TB) { x.Run(tb, "X001-X002") }), "no run")
	assert.Contains(t, said(func(tb testing.TB) { x.Row(tb, "X001").Input(tb, "b") }), "no input b")
}

func TestInput(t *testing.T) {
	x := table(t, `X001,q,Q1=10 kg;M1=77.5 %;goal CN=30; p=-1e-3,2.5,kg,0.1,absolute,computed,A,confirmed,`)
	r := x.Row(t, "X001")
	assert.Equal(t, 10.0, r.Input(t, "Q1"))
	assert.Equal(t, 77.5, r.Input(t, "M1"))
	assert.Equal(t, 30.0, r.Input(t, "goal CN"))
	assert.Equal(t, -1e-3, r.Input(t, "p"))
	assert.Contains(t, said(func(tb testing.TB) { r.Input(tb, "1") }), "no input 1", "a name is not the end of another")
}

func TestReadRefuses(t *testing.T) {
	for what, text := range map[string]string{
		"the first line": strings.Replace(head, "source", "origin", 1),
		"wrong number":   head + "X001,q\n",
		"tolerance:":     head + "X001,q,a=1,2,kg,wide,absolute,computed,A,confirmed,\n",
		"must be":        head + "X001,q,a=1,2,kg,1,percent,computed,A,confirmed,\n",
		"twice":          head + strings.Repeat("X001,q,a=1,2,kg,1,absolute,computed,A,confirmed,\n", 2),
	} {
		_, err := checks.Read("made-up", strings.NewReader(text))
		assert.ErrorContains(t, err, what)
	}
}

func ExampleExpand() {
	fmt.Println(checks.Expand("S010..S013"))
	// Output: [S010 S011 S012 S013]
}
