package working_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A second calculator that shares nothing with the package: formulas are drawn
// as lists of tokens, put into reverse Polish order by the shunting-yard method
// (Dijkstra 1961, Mathematical Centre report MR 35), and run on a stack.

// drawn appends the tokens of a random formula.
func drawn(t *rapid.T, depth int, out []string) []string {
	kind := rapid.IntRange(0, 9).Draw(t, "kind")
	if depth == 0 {
		kind %= 3
	}
	switch kind {
	case 0:
		return append(out, strconv.FormatFloat(float64(rapid.IntRange(0, 400).Draw(t, "number"))/8, 'f', -1, 64))
	case 1, 2:
		return append(out, rapid.SampledFrom([]string{"a", "b_2", "ρ", "pi"}).Draw(t, "symbol"))
	case 3:
		return drawn(t, depth-1, append(out, "neg"))
	case 4:
		return append(drawn(t, depth-1, append(out, "(")), ")")
	case 5:
		out = append(out, rapid.SampledFrom([]string{"abs", "sqrt", "exp"}).Draw(t, "function"), "(")
		return append(drawn(t, depth-1, out), ")")
	case 6:
		out = append(out, rapid.SampledFrom([]string{"min", "max"}).Draw(t, "function"), "(")
		out = append(drawn(t, depth-1, out), ",")
		return append(drawn(t, depth-1, out), ")")
	}
	out = drawn(t, depth-1, out)
	out = append(out, rapid.SampledFrom([]string{"+", "-", "*", "/", "^"}).Draw(t, "operator"))
	return drawn(t, depth-1, out)
}

var binding = map[string]int{"+": 1, "-": 1, "*": 2, "/": 2, "neg": 3, "^": 4}

func polish(tokens []string) []string {
	var out, held []string
	pop := func() {
		out = append(out, held[len(held)-1])
		held = held[:len(held)-1]
	}
	top := func() string {
		if len(held) == 0 {
			return ""
		}
		return held[len(held)-1]
	}
	for _, tok := range tokens {
		switch tok {
		case "neg", "(", "abs", "sqrt", "exp", "min", "max":
			held = append(held, tok)
		case ",":
			for top() != "(" {
				pop()
			}
		case ")":
			for top() != "(" {
				pop()
			}
			held = held[:len(held)-1]
			if name := top(); len(name) == 3 && binding[name] == 0 || name == "sqrt" {
				pop()
			}
		case "+", "-", "*", "/", "^":
			for binding[top()] > binding[tok] || binding[top()] == binding[tok] && tok != "^" {
				pop()
			}
			held = append(held, tok)
		default:
			out = append(out, tok)
		}
	}
	for len(held) > 0 {
		pop()
	}
	return out
}

// run works out a formula in reverse Polish order; false is a division by zero.
func run(rpn []string, values map[string]float64) (float64, bool) {
	var stack []float64
	take := func() float64 {
		x := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		return x
	}
	for _, tok := range rpn {
		var x float64
		switch tok {
		case "neg":
			x = -take()
		case "abs":
			x = math.Abs(take())
		case "sqrt":
			x = math.Sqrt(take())
		case "exp":
			x = math.Exp(take())
		case "+", "-", "*", "/", "^", "min", "max":
			right, left := take(), take()
			switch tok {
			case "+":
				x = left + right
			case "-":
				x = left - right
			case "*":
				x = float64(left * right)
			case "/":
				if right == 0 {
					return 0, false
				}
				x = left / right
			case "^":
				x = math.Pow(left, right)
			case "min":
				x = min(left, right)
			case "max":
				x = max(left, right)
			}
		default:
			var known bool
			if x, known = values[tok]; !known {
				var err error
				if x, err = strconv.ParseFloat(tok, 64); err != nil {
					panic(err)
				}
			}
		}
		stack = append(stack, x)
	}
	return stack[0], len(stack) == 1
}

func TestRandomFormulasAgreeWithASecondCalculator(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tokens := drawn(t, 5, nil)
		spaces := rapid.SampledFrom([]string{"", " ", "  "}).Draw(t, "space")
		text := strings.ReplaceAll(strings.Join(tokens, spaces), "neg", "-")
		values := map[string]float64{
			"a":   rapid.Float64Range(-100, 100).Draw(t, "a"),
			"b_2": rapid.Float64Range(0, 10).Draw(t, "b_2"),
			"ρ":   rapid.Float64Range(-1, 1).Draw(t, "ρ"),
			"pi":  math.Pi,
		}
		want, ok := run(polish(tokens), values)
		ok = ok && !math.IsNaN(want) && !math.IsInf(want, 0)
		got, err := law(text).At(values)
		switch {
		case ok && err != nil:
			t.Fatalf("%s: %v, but it is %v", text, err, want)
		case !ok && err == nil:
			t.Fatalf("%s: %v, but it has no value", text, got)
		case ok && got != want:
			t.Fatalf("%s: %v, but it is %v", text, got, want)
		}
	})
}
