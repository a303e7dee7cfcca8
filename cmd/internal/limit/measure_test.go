package limit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Every group has rows and a name of its own, and all rows of the table stand
// in one; all rows of a quantity stand together.
func TestGroupsHoldTheTable(t *testing.T) {
	var rows []string
	group := map[string]string{}
	seen := map[string]bool{}
	for _, g := range limit.Groups() {
		assert.NotEmpty(t, g.Rows, g.ID)
		assert.False(t, seen[g.ID], "%s stands twice", g.ID)
		seen[g.ID] = true
		for _, row := range g.Rows {
			rows = append(rows, row.ID)
			if in, known := group[row.Quantity]; known {
				assert.Equal(t, in, g.ID, "%s: rows of %s stand in two groups", row.ID, row.Quantity)
			}
			group[row.Quantity] = g.ID
		}
	}
	var table []string
	held := 0
	for _, row := range limit.All() {
		table = append(table, row.ID)
	}
	assert.Equal(t, table, rows)
	for q := range group {
		held += len(limit.Of(q))
	}
	assert.Equal(t, len(table), held)
	assert.Empty(t, limit.Of("nothing"))
}

// A range that is a choice has words for every value that it may have.
func TestChoicesHaveWords(t *testing.T) {
	for _, row := range limit.All() {
		m := limit.MeasureOf(row.Quantity)
		if len(m.Words) == 0 {
			continue
		}
		for _, b := range []*limit.Bound{row.Low, row.High} {
			if b != nil {
				assert.Empty(t, b.Of, row.ID)
				assert.Less(t, b.Value, float64(len(m.Words)), row.ID)
			}
		}
		assert.Equal(t, unit.None, m.Kind, row.ID)
	}
}

// The range that a page draws is the range that Check judges by: the ends of
// the subject, of the whole, moved, the lower of two, and missing ones.
func TestRangeOfAQuantity(t *testing.T) {
	l := working.NewLedger(nil)
	l.GivenOf("cap", "bran", unit.ShareOf, 0.25, working.Origin{}, "")
	l.Given("cap", unit.ShareOf, 0.60, working.Origin{})
	bran := l.GivenOf("share", "bran", unit.ShareOf, 0.3, working.Origin{}, "")
	straw := l.GivenOf("share", "straw", unit.ShareOf, 0.3, working.Origin{}, "")
	for _, c := range []struct {
		name      string
		low, high *limit.Bound
		q         *working.Quantity
		want      limit.Range
	}{
		{"a number", &limit.Bound{Value: 0.1}, nil, bran, limit.Range{Low: limit.End{Value: 0.1, There: true}}},
		{"its own", nil, &limit.Bound{Of: "cap"}, bran, limit.Range{High: limit.End{Value: 0.25, There: true}}},
		{"the whole's", nil, &limit.Bound{Of: "cap"}, straw, limit.Range{High: limit.End{Value: 0.60, There: true}}},
		{"moved, open", nil, &limit.Bound{Of: "cap", Plus: 0.05, Open: true}, straw, limit.Range{High: limit.End{Value: 0.65, There: true, Open: true}}},
		{"a part", nil, &limit.Bound{Of: "cap", Times: 0.5}, straw, limit.Range{High: limit.End{Value: 0.30, There: true}}},
		{"the lower, a number", &limit.Bound{Value: 0.5, Of: "cap", Least: true}, nil, straw, limit.Range{Low: limit.End{Value: 0.5, There: true}}},
		{"the lower, a quantity", &limit.Bound{Value: 0.5, Of: "cap", Least: true}, nil, bran, limit.Range{Low: limit.End{Value: 0.25, There: true}}},
		{"missing", nil, &limit.Bound{Of: "nobody"}, bran, limit.Range{}},
	} {
		got := limit.Limit{Low: c.low, High: c.high}.Range(c.q, l)
		assert.InDelta(t, c.want.Low.Value, got.Low.Value, 1e-12, c.name)
		assert.InDelta(t, c.want.High.Value, got.High.Value, 1e-12, c.name)
		got.Low.Value, got.High.Value, c.want.Low.Value, c.want.High.Value = 0, 0, 0, 0
		assert.Equal(t, c.want, got, c.name)
		assert.Equal(t, c.name != "missing", got.Low.There || got.High.There, c.name)
	}
}
