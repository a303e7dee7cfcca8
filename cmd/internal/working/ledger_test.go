package working_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

var (
	product = working.NewLaw("a * b", "test", nil)
	ratio   = working.NewLaw("a / b", "test", nil)
	// Answers whatever it is asked, as a rule with a fallback does.
	stubborn = working.NewLaw("answer(a)", "test", map[string]working.Function{
		"answer": func(...float64) (float64, error) { return 42, nil },
	})
)

func here(key string) working.Origin { return working.Origin{Document: "protocols/x.toml", Key: key} }

func given(l *working.Ledger, name string, v float64) *working.Quantity {
	return l.Given(name, unit.MassOf, v, here(name))
}

func TestDerivedQuantityKeepsItsWorking(t *testing.T) {
	l := working.NewLedger(nil)
	a := l.Given("mass", unit.MassOf, 3, here("fill.mass"))
	b := l.GivenOf("share", "bran", unit.ShareOf, 0.25, here("share"), "a table")
	q := l.DeriveOf("part", "bran", unit.MassOf, product, working.Bind("a", a), working.Bind("b", b))
	require.NoError(t, l.Err())
	assert.Equal(t, 0.75, q.Value)
	assert.Equal(t, "part/bran", q.ID())
	assert.Equal(t, "mass", a.ID())
	assert.Same(t, product, q.Law)
	assert.Equal(t, []working.Input{{Symbol: "a", Quantity: a}, {Symbol: "b", Quantity: b}}, q.Inputs)
	assert.Equal(t, working.Origin{}, q.Origin)
	assert.Equal(t, "a table", b.Source)
	assert.Equal(t, unit.ShareOf, b.Kind)

	assert.Same(t, q, l.Of("part", "bran"))
	assert.Nil(t, l.Of("part", ""))
	assert.Nil(t, l.Get("part"))
	assert.Equal(t, 3.0, l.Value("mass"))
	assert.Equal(t, 0.75, l.ValueOf("part", "bran"))
	assert.PanicsWithValue(t, "working: no quantity part", func() { l.Value("part") })
	assert.PanicsWithValue(t, "working: no quantity part/oats", func() { l.ValueOf("part", "oats") })
	assert.Equal(t, []*working.Quantity{a, b, q}, l.All())
}

func TestInputsStandInTheOrderOfTheSymbols(t *testing.T) {
	l := working.NewLedger(nil)
	a, b := given(l, "x", 12), given(l, "y", 3)
	q := l.Derive("q", unit.None, ratio, working.Bind("b", b), working.Bind("a", a))
	assert.Equal(t, 4.0, q.Value)
	assert.Equal(t, []working.Input{{Symbol: "a", Quantity: a}, {Symbol: "b", Quantity: b}}, q.Inputs)
}

func TestWrongBindingPanics(t *testing.T) {
	l := working.NewLedger(nil)
	a, b := given(l, "x", 12), given(l, "y", 3)
	for why, in := range map[string][]working.Input{
		"has 2 symbols, 1 were bound":    {working.Bind("a", a)},
		"has 2 symbols, 3 were bound":    {working.Bind("a", a), working.Bind("b", b), working.Bind("c", b)},
		"no quantity is bound to b":      {working.Bind("a", a), working.Bind("c", b)},
		"no quantity is bound to a":      {working.Bind("b", a), working.Bind("b", b)},
		`law "a / b": no quantity is bo`: {working.Bind("a", nil), working.Bind("b", b)},
	} {
		assert.Contains(t, panicOf(t, func() { l.Derive("q", unit.None, ratio, in...) }, why), why)
	}
	assert.Len(t, l.All(), 2, "a refused quantity leaves no trace")
}

func TestQuantityIsWorkedOutOnce(t *testing.T) {
	base := working.NewLedger(nil)
	given(base, "x", 1)
	l := working.NewLedger(base)
	given(l, "y", 1)
	const twice = "working: quantity x was worked out twice"
	assert.PanicsWithValue(t, twice, func() { given(base, "x", 2) })
	assert.PanicsWithValue(t, twice, func() { given(l, "x", 2) }, "nor may a continued ledger hide one of its base")
	assert.Panics(t, func() { l.Sum("y", unit.MassOf) })
	assert.NotPanics(t, func() { l.GivenOf("x", "bran", unit.MassOf, 2, here("x"), "") }, "another subject is another quantity")
	assert.Equal(t, 1.0, l.Value("x"))
}

func TestContinuedLedger(t *testing.T) {
	first := working.NewLedger(nil)
	x := given(first, "x", 6)
	second := working.NewLedger(first)
	y := given(second, "y", 3)
	third := working.NewLedger(second)
	z := third.Derive("z", unit.None, ratio, working.Bind("a", third.Get("x")), working.Bind("b", third.Get("y")))
	assert.Equal(t, 2.0, z.Value)
	assert.Equal(t, []*working.Quantity{z}, third.Own())
	assert.Equal(t, []*working.Quantity{x, y, z}, third.All())
	assert.Equal(t, []*working.Quantity{x, y}, second.All())
	assert.Equal(t, []*working.Quantity{x}, first.All())
	assert.Nil(t, first.Get("z"), "a base knows nothing of what continues it")

	// Two ledgers on one base do not share a list.
	other := working.NewLedger(second)
	w := given(other, "w", 1)
	v := given(third, "v", 1)
	assert.Equal(t, []*working.Quantity{x, y, w}, other.All())
	assert.Equal(t, []*working.Quantity{x, y, z, v}, third.All())
}

func TestFailureSpreadsAndTheFirstErrorStays(t *testing.T) {
	l := working.NewLedger(nil)
	x, zero := given(l, "x", 1), given(l, "zero", 0)
	require.NoError(t, l.Err())
	bad := l.Derive("bad", unit.None, ratio, working.Bind("a", x), working.Bind("b", zero))
	assert.True(t, math.IsNaN(bad.Value))
	require.EqualError(t, l.Err(), "bad: a / b: division by zero")

	worse := l.Derive("worse", unit.None, working.NewLaw("sqrt(0 - a)", "test", nil), working.Bind("a", x))
	assert.True(t, math.IsNaN(worse.Value))
	// NaN ^ 0 is 1 to a processor, and a rule with a fallback answers anything.
	power := l.Derive("power", unit.None, working.NewLaw("a ^ b", "test", nil), working.Bind("a", bad), working.Bind("b", zero))
	assert.True(t, math.IsNaN(power.Value))
	answer := l.Derive("answer", unit.None, stubborn, working.Bind("a", power))
	assert.True(t, math.IsNaN(answer.Value))
	assert.True(t, math.IsNaN(l.Sum("sum", unit.None, x, answer).Value))
	good := l.Derive("good", unit.None, product, working.Bind("a", x), working.Bind("b", x))
	assert.Equal(t, 1.0, good.Value, "what does not rest on it goes on")
	require.EqualError(t, l.Err(), "bad: a / b: division by zero")

	next := working.NewLedger(l)
	require.EqualError(t, next.Err(), "bad: a / b: division by zero", "the error of the base is an error of what continues it")
}

func TestGivenValueThatIsNoNumber(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		l := working.NewLedger(nil)
		q := l.Derive("q", unit.None, working.NewLaw("1 / a", "test", nil), working.Bind("a", given(l, "x", v)))
		assert.True(t, math.IsNaN(q.Value))
		require.EqualError(t, l.Err(), "q: x has no value")
	}
}

func TestSumAndDot(t *testing.T) {
	l := working.NewLedger(nil)
	var a, b []*working.Quantity
	sum, dot := 0.0, 0.0
	for i := range 12 { // past t9, so that t1 must not be taken for the start of t10
		x, y := float64(i+1), float64(100-7*i)
		a = append(a, l.GivenOf("a", string(rune('a'+i)), unit.MassOf, x, here("a"), ""))
		b = append(b, l.GivenOf("b", string(rune('a'+i)), unit.MassOf, y, here("b"), ""))
		sum, dot = sum+x, dot+x*y
	}
	s := l.Sum("sum", unit.MassOf, a...)
	assert.Equal(t, sum, s.Value)
	assert.Equal(t, "t1 + t2 + t3 + t4 + t5 + t6 + t7 + t8 + t9 + t10 + t11 + t12", s.Law.Formula)
	d := l.Dot("dot", unit.MassOf, a, b)
	assert.Equal(t, dot, d.Value)
	assert.Len(t, d.Inputs, 24)
	assert.Equal(t, "a1 * b1 + a2 * b2", l.Dot("short", unit.MassOf, a[:2], b[:2]).Law.Formula)
	assert.Equal(t, 1.0*100+2*93, l.Value("short"))
	assert.Zero(t, l.Sum("none", unit.MassOf).Value)
	assert.Zero(t, l.Dot("none of two", unit.MassOf, nil, nil).Value)
	assert.Same(t, s.Law, l.Sum("again", unit.MassOf, b...).Law, "each length is parsed once")
	assert.Panics(t, func() { l.Dot("uneven", unit.MassOf, a, b[:3]) })
	assert.Panics(t, func() { l.Dot("uneven", unit.MassOf, a[:3], b) })
	require.NoError(t, l.Err())
}

func TestOriginsNearestFirstAndEachOnce(t *testing.T) {
	l := working.NewLedger(nil)
	far, farther := given(l, "far", 1), given(l, "farther", 2)
	near := given(l, "near", 3)
	nowhere := l.Given("constant", unit.None, 4, working.Origin{})
	twin := l.Given("twin", unit.MassOf, 3, near.Origin) // one key, read for two purposes
	deep := l.Derive("deep", unit.None, product, working.Bind("a", far), working.Bind("b", farther))
	middle := l.Derive("middle", unit.None, product, working.Bind("a", deep), working.Bind("b", nowhere))
	sum := l.Sum("top", unit.None, middle, near, twin, near)
	assert.Equal(t, []working.Origin{here("near"), here("far"), here("farther")}, sum.Origins())
	assert.Equal(t, []working.Origin{here("far")}, far.Origins())
	assert.Empty(t, nowhere.Origins())
}
