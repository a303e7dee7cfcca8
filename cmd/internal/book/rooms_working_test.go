package book_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
)

// roomFunction is what the names in the formulas of rooms mean, for a reader who knows
// the Handbook and no code of this project.
func roomFunction(name string, a []float64) (float64, error) {
	switch name {
	case "share", "volume", "growth", "mass", "given_off", "changes", "skin", "activity", "conductance", "flow", "time", "factor",
		"living", "kelvin", "pressure", "warmth", "ratio", "end", "transpired":
		return a[0], nil // refused outside of a range, and else itself
	case "excess", "colder", "dry":
		return a[0] - a[1], nil
	case "filling":
		if a[0] == 0 {
			return 1, nil
		}
		return -math.Expm1(-a[0]) / a[0], nil
	case "lagging":
		if math.Abs(a[0]) < 1e-4 {
			return 0.5 - a[0]/6, nil
		}
		return (1 + math.Expm1(-a[0])/a[0]) / a[0], nil
	case "saturation":
		return hylandWexler(a[0]), nil
	case "dew_point":
		low, high := 200.0, 400.0
		for range 100 {
			if mid := (low + high) / 2; hylandWexler(mid) < a[0] {
				low = mid
			} else {
				high = mid
			}
		}
		return low, nil
	}
	return function(name, a)
}

// hylandWexler is the saturation pressure in Pa over water, and over ice below the
// triple point: ASHRAE Handbook Fundamentals 2017, chapter 1, equations 5 and 6.
func hylandWexler(t float64) float64 {
	if t < 273.16 {
		return math.Exp(-5.6745359e3/t + 6.3925247 - 9.6778430e-3*t + 6.2215701e-7*t*t + 2.0747825e-9*t*t*t - 9.4840240e-13*t*t*t*t + 4.1635019*math.Log(t))
	}
	return math.Exp(-5.8002206e3/t + 1.3914993 - 4.8640239e-2*t + 4.1764768e-5*t*t - 1.4452093e-8*t*t*t + 6.5459673*math.Log(t))
}

// What is printed under "How is this worked out?" of a room gives, worked out anew by
// the reader of this test, what is printed as the result. How long one may stay is no
// formula: package people holds that.
func TestPrintedWorkingsOfRoomsGiveThePrintedValues(t *testing.T) {
	for _, sys := range []unit.System{unit.Metric, unit.US} {
		in := demo(t, sys)
		docs := pages(t, rendered(t, in))
		formulas := 0
		for _, r := range in.Climate.Rooms {
			doc := docs[leaf.RoomWorkingPath(r.ID)]
			for _, q := range r.Ledger.Own() {
				at := byID(doc, anchor(q))
				require.NotNil(t, at, q.ID())
				result, lost := parsed(t, in, q, only(t, at, "value"), resultDigits)
				assert.InDelta(t, q.Value, result, lost, "%s is printed as %s", q.ID(), only(t, at, "value"))
				if q.Law == nil || strings.HasPrefix(q.Law.Formula, "stay(") {
					continue
				}
				values, exact := map[string]float64{}, map[string]float64{}
				items := all(at, tag("li"))
				require.Len(t, items, len(q.Inputs), q.ID())
				for i, item := range items {
					from := q.Inputs[i]
					link := all(item, tag("a"))
					require.Len(t, link, 1)
					assert.True(t, strings.HasSuffix(attr(link[0], "href"), anchor(from.Quantity)), "%s: %s", q.ID(), attr(link[0], "href"))
					symbol, rest, ok := strings.Cut(text(item), " = ")
					require.True(t, ok, text(item))
					require.Equal(t, from.Symbol, symbol)
					v, gave := parsed(t, in, from.Quantity, strings.TrimSpace(strings.TrimSuffix(rest, text(link[0]))), inputDigits)
					assert.InDelta(t, from.Quantity.Value, v, gave, "%s: %s", q.ID(), text(item))
					values[symbol], exact[symbol] = v, from.Quantity.Value
				}
				formula := only(t, at, "formula")
				got, err := readRoom(formula, values)
				require.NoError(t, err, q.ID())
				for symbol := range values { // what the printed digits leave open, each by itself
					moved := map[string]float64{}
					for k, v := range values {
						moved[k] = v
					}
					moved[symbol] = exact[symbol]
					if v, err := readRoom(formula, moved); err == nil {
						lost += math.Abs(v - got)
					}
				}
				assert.InDelta(t, result, got, lost+1e-6*math.Abs(result)+1e-12, "%s: %s with %v", q.ID(), formula, values)
				formulas++
			}
		}
		assert.Greater(t, formulas, 400)
	}
}

func readRoom(formula string, values map[string]float64) (float64, error) {
	return readWith(roomFunction, formula, values)
}
