package leaf

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Of each protocol of the demo farm, in both systems of units: three pictures with
// nothing on top of each other, levers from long to short, and a table of them all.
func TestChangesOfTheDemo(t *testing.T) {
	folder := DemoFarm()
	for _, pr := range folder.Protocols {
		for _, sys := range checks.Every(2, []unit.System{unit.Metric, unit.US}) {
			p, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: pr, Units: sys})
			require.NoError(t, err)
			b, err := batch.Compute(p, 100)
			require.NoError(t, err)
			e := InEnglish(sys)
			e.Farm = folder.Farm
			c := e.changes(p, []*batch.Batch{b})
			require.Len(t, c.Pictures, 3, pr.Name)
			assert.Empty(t, c.Unpriced)
			for _, x := range c.Pictures {
				require.Len(t, x.Drawings, 1)
				assert.Empty(t, checks.Drawing(string(x.Drawings[0]), 13), pr.Name)
				require.Len(t, x.Tables, 1)
				levers := strings.Count(string(x.Drawings[0]), `class="said"`) / 3
				assert.NotZero(t, levers)
				assert.GreaterOrEqual(t, len(x.Tables[0].Rows), levers)
			}
			page, err := e.html("change", c)
			require.NoError(t, err)
			assert.Equal(t, 3, strings.Count(string(page), "<svg"))
		}
	}
}

// The longest stands on top; a side that a limit refuses has no end, and says so in
// the table.
func TestRankedByEffect(t *testing.T) {
	e := Edition{Voice: words.English(unit.Metric)}
	nan := math.NaN()
	told := func(v float64) string { return unit.Metric.Number(v, 0.01) }
	list := e.ranked("cost", "10 USD/kg", []effect{{"small", -0.1, 0.1}, {"none", 0, 0}, {"large", 2, nan}, {"middle", 1, -1}}, told)
	require.Len(t, list, 1)
	rows := list[0].Tables[0].Rows
	require.Len(t, rows, 3)
	assert.Equal(t, []string{"Large", "+2.00", e.say("book.change.refused")}, rows[0])
	assert.Equal(t, []string{"Middle", "+1.00", "−1.00"}, rows[1])
	assert.Equal(t, "Small", rows[2][0])
	svg := string(list[0].Drawings[0])
	assert.Less(t, strings.Index(svg, "Large"), strings.Index(svg, "Middle"))
	assert.NotContains(t, svg, e.say("book.change.refused")+"<")
	assert.Nil(t, e.ranked("cost", "10 USD/kg", []effect{{"none", 0, 0}}, told))
}

func TestChangesWithoutPrices(t *testing.T) {
	folder := DemoFarm()
	folder.Farm.Costs = nil
	p, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: folder.Protocols[0]})
	require.NoError(t, err)
	b, err := batch.Compute(p, 48)
	require.NoError(t, err)
	e := Edition{Farm: folder.Farm, Voice: words.English(unit.Metric)}
	c := e.changes(p, []*batch.Batch{b})
	assert.Equal(t, e.say("book.change.unpriced"), c.Unpriced)
	assert.Len(t, c.Pictures, 2)
	assert.Empty(t, e.changes(p, nil).Pictures)
}
