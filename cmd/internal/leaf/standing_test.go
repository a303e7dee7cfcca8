package leaf

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// Of many protocols a table shows the ends and what is worst off; of few all of them,
// and one where a reader would read the same line again and again.
func TestATableOfManyProtocolsIsShort(t *testing.T) {
	stands := func(n int, value func(i int) float64) (farm []held, found []stand) {
		for i := range n {
			farm = append(farm, held{})
			found = append(found, stand{q: &working.Quantity{Name: "moisture", Value: value(i)}})
		}
		return farm, found
	}
	farm, found := stands(12, func(int) float64 { return 0.6 })
	assert.Len(t, chosen(farm, found), 12, "few")

	farm, found = stands(500, func(int) float64 { return 0.6 })
	assert.Equal(t, []int{0}, chosen(farm, found), "all alike")
	found[300].worst = protocol.Warning
	found[300].rows = []rowRange{{severity: protocol.Warning}}
	assert.Equal(t, []int{0, 300}, chosen(farm, found), "one that is not")

	farm, found = stands(500, func(i int) float64 { return float64((i + 250) % 500) })
	found[7] = stand{} // has none
	for i := 100; i < 200; i++ {
		found[i].worst = protocol.Warning
	}
	found[499].worst = protocol.Error
	got := chosen(farm, found)
	assert.Len(t, got, mostStandings)
	assert.Subset(t, got, []int{250, 249, 499}, "the lowest, the highest and the worst")
	for _, i := range got {
		assert.True(t, i == 249 || i == 250 || found[i].worst > 0, "%d", i)
	}
}
