package book_test

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/steam"
)

// reader works out a printed formula the way a person with a calculator would:
// from its text and the values that stand under it. It shares no code with
// package working.
type reader struct {
	tokens []string
	values map[string]float64
	means  func(name string, a []float64) (float64, error) // of the names of functions
}

// readFormula cuts a printed formula into numbers, names and signs, and works
// it out.
func readFormula(formula string, values map[string]float64) (result float64, err error) {
	return readWith(function, formula, values)
}

func readWith(means func(string, []float64) (float64, error), formula string, values map[string]float64) (result float64, err error) {
	r := &reader{values: values, means: means}
	runes := []rune(formula)
	for i := 0; i < len(runes); {
		j := i + 1
		switch {
		case runes[i] == ' ':
		case strings.ContainsRune("0123456789.", runes[i]):
			for j < len(runes) && strings.ContainsRune("0123456789.", runes[j]) {
				j++
			}
			r.tokens = append(r.tokens, string(runes[i:j]))
		case strings.ContainsRune("+−×/^(),", runes[i]):
			r.tokens = append(r.tokens, string(runes[i]))
		default:
			for j < len(runes) && !strings.ContainsRune(" +−×/^(),", runes[j]) {
				j++
			}
			r.tokens = append(r.tokens, string(runes[i:j]))
		}
		i = j
	}
	defer func() {
		if failed := recover(); failed != nil {
			err = fmt.Errorf("%s: %v", formula, failed)
		}
	}()
	result = r.sum()
	if len(r.tokens) > 0 {
		return 0, fmt.Errorf("%s: %q is left over", formula, r.tokens)
	}
	return result, nil
}

func (r *reader) take(signs ...string) string {
	if len(r.tokens) > 0 {
		for _, s := range signs {
			if r.tokens[0] == s {
				r.tokens = r.tokens[1:]
				return s
			}
		}
	}
	return ""
}

func (r *reader) sum() float64 {
	v := r.product()
	for {
		switch r.take("+", "−") {
		case "+":
			v += r.product()
		case "−":
			v -= r.product()
		default:
			return v
		}
	}
}

func (r *reader) product() float64 {
	v := r.power()
	for {
		switch r.take("×", "/") {
		case "×":
			v *= r.power()
		case "/":
			v /= r.power()
		default:
			return v
		}
	}
}

func (r *reader) power() float64 {
	if r.take("−") != "" {
		return -r.power()
	}
	v := r.atom()
	if r.take("^") != "" {
		return math.Pow(v, r.power())
	}
	return v
}

func (r *reader) atom() float64 {
	if r.take("(") != "" {
		v := r.sum()
		r.closed()
		return v
	}
	if len(r.tokens) == 0 {
		panic("it ends too early")
	}
	word := r.tokens[0]
	r.tokens = r.tokens[1:]
	if v, err := strconv.ParseFloat(word, 64); err == nil {
		return v
	}
	if r.take("(") != "" {
		args := []float64{r.sum()}
		for r.take(",") != "" {
			args = append(args, r.sum())
		}
		r.closed()
		v, err := r.means(word, args)
		if err != nil {
			panic(err)
		}
		return v
	}
	if word == "π" {
		return math.Pi
	}
	v, ok := r.values[word]
	if !ok {
		panic("no value is printed for " + word)
	}
	return v
}

func (r *reader) closed() {
	if r.take(")") == "" {
		panic("a parenthesis is not closed")
	}
}

// function is what the names in printed formulas mean.
func function(name string, a []float64) (float64, error) {
	switch name {
	case "ceil":
		return math.Ceil(a[0] * (1 - 1e-9)), nil
	case "floor":
		return math.Floor(a[0] * (1 + 1e-9)), nil
	case "round": // to a step
		return math.Round(a[0]/a[1]) * a[1], nil
	case "abs":
		return math.Abs(a[0]), nil
	case "sqrt":
		return math.Sqrt(a[0]), nil
	case "exp":
		return math.Exp(a[0]), nil
	case "ln":
		return math.Log(a[0]), nil
	case "min", "max":
		v := a[0]
		for _, x := range a[1:] {
			if name == "min" {
				v = math.Min(v, x)
			} else {
				v = math.Max(v, x)
			}
		}
		return v, nil
	case "above_zero":
		if a[0] <= 0 {
			return 0, errors.New("not above zero")
		}
		return a[0], nil
	case "waste": // the first allowance below 48 vessels
		if a[0] < 48 {
			return a[1], nil
		}
		return a[2], nil
	case "air_left": // 10 min of steam clear the chamber
		if a[0] >= 600*(1-1e-9) {
			return 0, nil
		}
		return 0.05, nil
	case "mix_wait": // a wet mix waits 4 h, and 2 h above 25 °C
		if a[0] > 298.15+1e-6 {
			return 2 * 3600, nil
		}
		return 4 * 3600, nil
	case "pound_step", "ounce_step", "gram_step":
		size := map[string]float64{"pound_step": 0.45359237, "ounce_step": 0.45359237 / 16, "gram_step": 1e-3}[name]
		for p := 1e-6; ; p *= 10 {
			for _, m := range []float64{1, 2, 5} {
				if m*p*size >= a[0]*(1-1e-9) {
					return m * p * size, nil
				}
			}
		}
	case "expected_uses": // the chance to be there for round k is (1 - p)^(k - 1)
		uses := 0.0
		for k := range int(math.Round(a[1])) {
			uses += math.Pow(1-a[0], float64(k))
		}
		return uses, nil
	case "standard_pressure":
		// U.S. Standard Atmosphere 1976, Eq. 18 and 33a, with its own constants.
		h := 6356766 * a[0] / (6356766 + a[0])
		return 101325 * math.Pow(288.15/(288.15-0.0065*h), -9.80665*0.0289644/(8.31432*0.0065)), nil
	case "boiling":
		return steam.SaturationTemperature(a[0]) // held to IAPWS tables in package steam
	case "pressure_at":
		return steam.SaturationPressure(a[0])
	case "latent_heat":
		return steam.LatentHeat(a[0])
	case "wood", "moisture", "thick": // refused outside of a range, and else itself
		return a[0], nil
	case "film": // steam's, W/(m²·K): with air in it a twentieth
		if a[0] > 0 {
			return 100, nil
		}
		return 2000, nil
	}
	if v, known := ofPeople(name, a); known {
		return v, nil
	}
	return heated(name, a)
}
