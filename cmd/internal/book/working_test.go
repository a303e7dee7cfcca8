package book_test

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// The digits that leaf promises to print.
const (
	inputDigits  = 8
	resultDigits = 6
)

// TestPrintedWorkingsGiveThePrintedValues reads back what every page prints
// under "How is this worked out?": the formula, the values of its inputs with
// their units, the result. Worked out anew by the reader of this test, which
// knows nothing of package working, formula and inputs give the result, as far
// as the printed digits go. All protocols, all sizes, both systems of units.
func TestPrintedWorkingsGiveThePrintedValues(t *testing.T) {
	for _, sys := range systems {
		in := demo(t, sys)
		docs := demoPages(t, sys)
		formulas := 0
		for _, e := range in.Entries {
			name := e.Process.Input.Protocol.Name
			formulas += readBack(t, in, docs[leaf.ProtocolPath(name)], e.Process.Ledger.Own())
			for _, b := range e.Batches {
				page := docs[leaf.WorkingPath(name, b.Vessels)]
				assert.Len(t, all(page, class("worked")), len(b.Ledger.Own()), "every quantity stands on its page once")
				formulas += readBack(t, in, page, b.Ledger.Own())
			}
		}
		t.Logf("%v: %d formulas read back", sys, formulas)
		assert.Greater(t, formulas, 700)
	}
}

// readBack reads every working of a page, and returns how many had a formula.
func readBack(t *testing.T, in book.Input, doc *html.Node, list []*working.Quantity) int {
	t.Helper()
	assert.GreaterOrEqual(t, len(all(doc, class("worked"))), len(list), "every quantity stands on its page")
	formulas, ids := 0, idsOf(doc)
	for _, q := range list {
		at := ids[anchor(q)]
		if !assert.NotNil(t, at, q.ID()) {
			continue
		}
		require.Len(t, all(at, tag("dt")), 1)
		assert.NotEmpty(t, text(all(at, tag("dt"))[0]), q.ID())
		assert.NotEmpty(t, text(all(at, class("source"))[0]), "%s: no source and no place", q.ID())
		if q.Source != "" {
			assert.Contains(t, text(at), q.Source, q.ID())
		}
		if q.Law != nil {
			assert.Contains(t, text(at), q.Law.Source, q.ID())
		} else if o := q.Origin; o.Document != "" {
			where := o.Document // of a protocol that is based on another, the place may be in that one
			if !strings.HasPrefix(where, "--") {
				p := in.Place(o)
				require.NotEmpty(t, p.File, q.ID())
				where = p.File // the file alone, where the value is that something was left out
				if p.Line > 0 {
					where = fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
				}
			}
			assert.Equal(t, where, text(all(at, class("source"))[0]), q.ID())
		}
		value := only(t, at, "value")
		result, lost := parsed(t, in, q, value, resultDigits)
		assert.InDelta(t, q.Value, result, lost, "%s is printed as %s", q.ID(), value)
		if q.Law == nil {
			assert.Empty(t, all(at, class("inputs")), q.ID())
			continue
		}
		if strings.HasPrefix(q.Law.Formula, "stay(") {
			continue // a search, and no formula: package people holds it
		}
		formulas++
		values, exact := inputs(t, in, at, q)
		got, err := readFormula(only(t, at, "formula"), values)
		require.NoError(t, err, q.ID())
		// What the printed digits of the inputs leave open, each by itself: asked for where
		// the digits of the result do not tell.
		near := math.Abs(result-got) <= lost+1e-9*math.Abs(result)
		for symbol, v := range values {
			if near || v == exact[symbol] {
				continue
			}
			moved := map[string]float64{}
			for k, v := range values {
				moved[k] = v
			}
			moved[symbol] = exact[symbol]
			if v, err := readFormula(only(t, at, "formula"), moved); err == nil {
				lost += math.Abs(v - got)
			}
		}
		assert.InDelta(t, result, got, lost+1e-9*math.Abs(result), "%s: %s with %v", q.ID(), only(t, at, "formula"), values)
	}
	return formulas
}

// inputs reads the printed values of a working, and holds each to the quantity
// that it stands for.
func inputs(t *testing.T, in book.Input, at *html.Node, q *working.Quantity) (values, exact map[string]float64) {
	t.Helper()
	values, exact = map[string]float64{}, map[string]float64{}
	items := all(at, tag("li"))
	require.Len(t, items, len(q.Inputs), q.ID())
	for i, item := range items {
		from := q.Inputs[i]
		link := all(item, tag("a"))
		require.Len(t, link, 1)
		to := attr(link[0], "href") // of rooms, what several share stands under a name of its own
		assert.Regexp(t, `#([a-z0-9-]+\.)?`+regexp.QuoteMeta(anchor(from.Quantity))+`$`, to, q.ID())
		symbol, rest, ok := strings.Cut(text(item), " = ")
		require.True(t, ok, text(item))
		require.Equal(t, from.Symbol, symbol)
		printed := strings.TrimSpace(strings.TrimSuffix(rest, text(link[0])))
		v, lost := parsed(t, in, from.Quantity, printed, inputDigits)
		assert.InDelta(t, from.Quantity.Value, v, lost, "%s: %s", q.ID(), text(item))
		values[symbol], exact[symbol] = v, from.Quantity.Value
	}
	return values, exact
}

// parsed reads a printed value back into SI, and says how much its digits may
// have lost.
func parsed(t *testing.T, in book.Input, q *working.Quantity, printed string, digits int) (v, lost float64) {
	t.Helper()
	number := strings.NewReplacer("−", "-").Replace(printed)
	number, _, _ = strings.Cut(number, unit.Space)
	size := 1.0
	switch q.Kind {
	case unit.None, unit.CountOf:
		v = plainNumber(t, number)
	case unit.MoneyOf:
		m, err := unit.ParseMoney(printed)
		require.NoError(t, err, q.ID())
		require.Equal(t, in.Farm.Currency, m.Currency)
		v = m.Amount
	case unit.PriceOfMass, unit.PriceOfTime, unit.PriceOfEnergy, unit.PriceOfVolume:
		p, err := unit.ParsePrice(q.Kind, printed)
		require.NoError(t, err, q.ID())
		require.Equal(t, in.Farm.Currency, p.Currency)
		v, size = p.Amount, p.Amount/plainNumber(t, number)
	default:
		var err error
		v, err = unit.Parse(q.Kind, printed)
		require.NoError(t, err, "%s: %q", q.ID(), printed)
		_, name, _ := strings.Cut(printed, unit.Space)
		size = unit.SizeOf(q.Kind, name)
	}
	hair := 1e-9 * math.Abs(q.Value)
	x := math.Abs(plainNumber(t, number))
	switch {
	case q.Kind == unit.CountOf || q.Step > 0:
		return v, hair // a whole number of vessels, or of a scale's steps
	case x == 0:
		return v, hair + 1e-12
	}
	return v, hair + 0.5000001*math.Pow(10, math.Floor(math.Log10(x))-float64(digits-1))*size
}

func plainNumber(t *testing.T, s string) float64 {
	t.Helper()
	v, err := unit.Parse(unit.ShareOf, s+" %")
	require.NoError(t, err, s)
	return v * 100
}

// anchor is the id under which a quantity stands.
func anchor(q *working.Quantity) string {
	id := "q-" + strings.ReplaceAll(q.Name, "_", "-")
	if q.Of != "" {
		id += "." + q.Of
	}
	return id
}

func only(t *testing.T, n *html.Node, name string) string {
	t.Helper()
	found := all(n, class(name))
	require.Len(t, found, 1)
	return text(found[0])
}

// The reader itself: figures worked out by hand.
func TestReader(t *testing.T) {
	for _, c := range []struct {
		formula string
		want    float64
	}{
		{"a − b × 2", -1}, {"(a − b) × 2", 4}, {"−a^2", -25}, {"a / b / 2", 5.0 / 6}, {"2^b^2", 512},
		{"π × a^2 / 4", 19.634954084936208}, {"round(a + 0.4, 0.25)", 5.5}, {"ceil(a / b)", 2}, {"floor(a / b)", 1},
		{"min(a, b, 4)", 3}, {"max(a, b)", 5}, {"abs(b − a)", 2}, {"a − b − 1", 1}, {"waste(a, 0.05, 0.03)", 0.05},
	} {
		got, err := readFormula(c.formula, map[string]float64{"a": 5, "b": 3})
		require.NoError(t, err, c.formula)
		assert.InDelta(t, c.want, got, 1e-12, c.formula)
	}
	for _, bad := range []string{"", "a +", "(a", "a b", "c", "nothing(a)", "a)"} {
		_, err := readFormula(bad, map[string]float64{"a": 5, "b": 3})
		assert.Error(t, err, bad)
	}
}
