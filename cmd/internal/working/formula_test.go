package working_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/working"
)

// law parses a formula of a test, with one function of its own.
func law(formula string) *working.Law {
	return working.NewLaw(formula, "test", map[string]working.Function{
		"hypotenuse": func(a ...float64) (float64, error) {
			if len(a) != 2 {
				return 0, errors.New("takes two sides")
			}
			if a[0] < 0 || a[1] < 0 {
				return 0, errors.New("a side is below zero")
			}
			return math.Hypot(a[0], a[1]), nil
		},
	})
}

// Values worked out by hand, by the usual rules of arithmetic: powers first and
// from the right, then the sign, then products, then sums from the left.
func TestGrammar(t *testing.T) {
	in := map[string]float64{"a": 7, "b": 2, "c": 3, "T_core": 20, "x2": 5, "ρ": 0.68}
	for formula, want := range map[string]float64{
		"42":                     42,
		"  1.25  ":               1.25,
		"1.":                     1,
		"a":                      7,
		"ρ":                      0.68,
		"T_core + x2":            25,
		"pi":                     math.Pi,
		"a + b * c":              13,
		"(a + b) * c":            27,
		"a - b - c":              2,
		"a - (b - c)":            8,
		"a / b / c":              7.0 / 2 / 3,
		"a / b * c":              10.5,
		"a * b / c":              14.0 / 3,
		"b ^ c ^ b":              512, // 2^(3^2), not (2^3)^2 = 64
		"(b ^ c) ^ b":            64,
		"a * b ^ c":              56,
		"-b ^ c":                 -8,
		"-b ^ b":                 -4, // the sign comes after the power
		"(-b) ^ b":               4,
		"b ^ -c":                 0.125,
		"b ^ -c ^ b":             1.0 / 512,
		"--a":                    7,
		"a - -b":                 9,
		"a * -b":                 -14,
		"-a * b":                 -14,
		"-a - b":                 -9,
		"((((a))))":              7,
		"min(a, b, c)":           2,
		"max(a)":                 7,
		"max(a, b * 5, c)":       10,
		"abs(b - a)":             5,
		"sqrt(a + b)":            3,
		"exp(0) + ln(exp(b))":    3,
		"round(a, b)":            8, // 3.5 steps of 2; a half goes up
		"round(1.234, 0.01)":     1.23,
		"ceil(a / b)":            4,
		"floor(a / b)":           3,
		"ceil(-a / b)":           -3,
		"floor(-a / b)":          -4,
		"hypotenuse(3, b * 2)":   5,
		"hypotenuse(a - 4, 4)^b": 25,
	} {
		got, err := law(formula).At(in)
		require.NoError(t, err, formula)
		assert.InDelta(t, want, got, 1e-12, formula)
	}
}

// A count that the program worked out itself must come back (substrate
// reference, A11: 1e-9 relative slack): neither one vessel more nor one less.
func TestRoundingUpAndDownForgivesTheLastBits(t *testing.T) {
	up, down := law("ceil(x)"), law("floor(x)")
	for _, x := range []float64{1, 12, 400, 999_999} {
		for _, c := range []struct {
			at              float64
			ceiled, floored float64
		}{
			{x, x, x},
			{x * (1 + 1e-10), x, x},
			{x * (1 - 1e-10), x, x},
			{x * (1 + 1e-8), x + 1, x},
			{x * (1 - 1e-8), x, x - 1},
		} {
			got, err := up.At(map[string]float64{"x": c.at})
			require.NoError(t, err)
			assert.Equal(t, c.ceiled, got, "ceil(%v)", c.at)
			got, err = down.At(map[string]float64{"x": c.at})
			require.NoError(t, err)
			assert.Equal(t, c.floored, got, "floor(%v)", c.at)
		}
	}
}

func TestSymbolsInOrderOfFirstAppearance(t *testing.T) {
	for formula, want := range map[string][]string{
		"1 + pi":                            nil,
		"b * a + b":                         {"b", "a"},
		"-z ^ y * hypotenuse(x, min(w, z))": {"z", "y", "x", "w"},
		"sqrt(q)":                           {"q"}, // a function's name is no symbol
	} {
		assert.Equal(t, want, law(formula).Symbols(), formula)
	}
}

func TestFormulaThatDoesNotParsePanics(t *testing.T) {
	for formula, why := range map[string]string{
		"":                      "expected a value at 1",
		"   ":                   "expected a value",
		"a +":                   "expected a value at 4",
		"* a":                   "expected a value at 1",
		"a b":                   `unexpected "b" at 3`,
		"2 a":                   `unexpected "a" at 3`,
		"1e9":                   `unexpected "e9" at 2`,
		".5":                    "expected a value at 1",
		"1.2.3":                 "invalid syntax",
		"(a":                    `expected ')' at 3`,
		"a)":                    `unexpected ")" at 2`,
		"()":                    "expected a value at 2",
		"a ^":                   "expected a value at 4",
		"a , b":                 `unexpected ", b" at 3`,
		"a = b":                 `unexpected "= b" at 3`,
		"sqrt(a, b)":            "sqrt takes 1 values, 2 were given",
		"round(a)":              "round takes 2 values, 1 were given",
		"min()":                 "expected a value at 5",
		"min(a,":                "expected a value at 7",
		"min(a":                 `expected ')' at 6`,
		"sine(a)":               "no function sine",
		"pi(a)":                 "no function pi",
		"a\t+ b":                "unexpected",
		"a × b":                 "unexpected",
		strings.Repeat("(", 50): "expected a value at 51",
	} {
		value := panicOf(t, func() { working.NewLaw(formula, "test", nil) }, formula)
		assert.Contains(t, value, "working: law ", formula)
		assert.Contains(t, value, why, formula)
	}
}

// A function that is named like a built-in one would never be called.
func TestFunctionCannotReplaceABuiltIn(t *testing.T) {
	value := panicOf(t, func() {
		working.NewLaw("round(x)", "test", map[string]working.Function{
			"round": func(a ...float64) (float64, error) { return a[0], nil },
		})
	}, "round")
	assert.Contains(t, value, "round is a built-in function")
}

func panicOf(t *testing.T, f func(), about string) (text string) {
	t.Helper()
	defer func() {
		t.Helper()
		value := recover()
		require.IsType(t, "", value, "%q does not panic with a text", about)
		text = value.(string)
	}()
	f()
	return ""
}

func TestEvaluationErrors(t *testing.T) {
	for _, c := range []struct {
		formula string
		in      map[string]float64
		why     string
	}{
		{"a + b", map[string]float64{"a": 1}, "no value for b"},
		{"a / b", map[string]float64{"a": 1, "b": 0}, "division by zero"},
		{"1 + min(2, 1 / (a - a))", map[string]float64{"a": 1}, "division by zero"},
		{"sqrt(a)", map[string]float64{"a": -1}, "not a finite number"},
		{"ln(a)", map[string]float64{"a": 0}, "not a finite number"},
		{"a ^ 0.5", map[string]float64{"a": -1}, "not a finite number"},
		{"exp(a)", map[string]float64{"a": 1000}, "not a finite number"},
		{"round(a, b)", map[string]float64{"a": 1, "b": 0}, "round: step 0 is not above zero"},
		{"hypotenuse(a, 1)", map[string]float64{"a": -1}, "hypotenuse: a side is below zero"},
		{"hypotenuse(a)", map[string]float64{"a": 1}, "hypotenuse: takes two sides"},
		{"-(a ^ hypotenuse(a, 0))", map[string]float64{"a": -1}, "hypotenuse: a side is below zero"},
	} {
		l := law(c.formula)
		_, err := l.At(c.in)
		require.Error(t, err, c.formula)
		assert.Contains(t, err.Error(), c.why)
		assert.True(t, strings.HasPrefix(err.Error(), c.formula+": "), "the error %q names the formula", err)
	}
}

// Whatever a formula's text is: it is refused as documented, or its symbols are names, each
// once; its value is a number or an error; read again it means the same, and so it does in
// parentheses.
func FuzzFormula(f *testing.F) {
	for _, seed := range []string{
		"a + b * c", "-a ^ -2 ^ b", "min(a, max(b, 1.5), c) / (d - 4)", "round(x, 0)", "ρ_1 * pi",
		"sqrt(-1)", "f(a, b)", "((a", "1..2", "a\x00b", "é(", "ceil(1 / 0)", "x2 ^ x2 ^ x2", "--1", "\xff", "ln(a,)",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, formula string) {
		if len(formula) > 4096 {
			return // no law is as long; the depth of its parentheses is the depth of the parser
		}
		l := parsed(t, formula)
		if l == nil {
			return
		}
		in := map[string]float64{}
		for i, s := range l.Symbols() {
			if strings.ContainsAny(s, " +-*/^(),") || s == "" || s == "pi" {
				t.Errorf("%q: symbol %q", formula, s)
			}
			in[s] = float64(i) + 0.5
		}
		if len(in) != len(l.Symbols()) {
			t.Errorf("%q: symbols %q repeat", formula, l.Symbols())
		}
		v, err := l.At(in)
		if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Errorf("%q: %v without an error", formula, v)
		}
		// The same text always means the same.
		again := parsed(t, formula)
		if !slices.Equal(l.Symbols(), again.Symbols()) {
			t.Errorf("%q: symbols %q, then %q", formula, l.Symbols(), again.Symbols())
		}
		if w, err2 := again.At(in); (err == nil) != (err2 == nil) || err == nil && w != v {
			t.Errorf("%q: %v (%v), then %v (%v)", formula, v, err, w, err2)
		}
		// Parentheses around the whole change nothing.
		if w, err2 := parsed(t, "("+formula+")").At(in); (err == nil) != (err2 == nil) || err == nil && w != v {
			t.Errorf("%q: %v, in parentheses %v", formula, v, w)
		}
	})
}

// parsed is the law, or nil where NewLaw panics as documented; any other panic
// is a failure.
func parsed(t *testing.T, formula string) (l *working.Law) {
	defer func() {
		if value := recover(); value != nil {
			text, ok := value.(string)
			if !ok || !strings.HasPrefix(text, "working: law ") {
				t.Fatalf("%q: panic %v", formula, value)
			}
			l = nil
		}
	}()
	return working.NewLaw(formula, "fuzz", map[string]working.Function{
		"f": func(a ...float64) (float64, error) { return a[0], nil },
	})
}
