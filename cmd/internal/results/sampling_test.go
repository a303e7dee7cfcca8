package results_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/results"
)

func TestPublishedLettersAndPlans(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	for row, lots := range map[string][2]int{"C089": {281, 500}, "C090": {151, 280}} {
		r := table.Row(t, row)
		assert.Contains(t, r.Inputs, fmt.Sprintf("lot %d-%d", lots[0], lots[1]))
		for _, lot := range lots {
			letter, err := results.Letter(lot)
			require.NoError(t, err)
			assert.Equal(t, r.Expected, letter, row)
		}
	}
	for row, of := range map[string]struct {
		letter string
		limit  float64
	}{"C091": {"H", 1.0}, "C092": {"G", 2.5}, "C093": {"F", 0.65}} {
		r := table.Row(t, row)
		assert.Contains(t, r.Inputs, "code "+of.letter)
		p, err := results.Plan(of.letter, of.limit)
		require.NoError(t, err)
		assert.Equal(t, r.Expected, fmt.Sprintf("n=%d Ac=%d Re=%d", p.Sample, p.Accept, p.Refuse), row)
	}
}

// Letters and plans of ISO 2859-1, Tables 1 and 2-A, as the reference on schedules,
// section (e), lists them.
func TestTableOfPlans(t *testing.T) {
	for lot, want := range map[int]string{2: "A", 8: "A", 9: "B", 15: "B", 16: "C", 25: "C", 26: "D", 50: "D", 51: "E", 90: "E", 91: "F", 150: "F", 501: "J", 1200: "J", 1201: "K", 3200: "K"} {
		letter, err := results.Letter(lot)
		require.NoError(t, err)
		assert.Equal(t, want, letter, lot)
	}
	for letter, want := range map[string]int{"A": 2, "B": 3, "C": 5, "D": 8, "E": 13, "F": 20, "G": 32, "H": 50, "J": 80, "K": 125} {
		found := false
		for _, limit := range results.Qualities {
			p, err := results.Plan(letter, limit)
			require.NoError(t, err)
			if p.Letter == letter {
				assert.Equal(t, want, p.Sample, letter)
				found = true
			}
		}
		assert.True(t, found, letter)
	}
	for _, c := range []struct {
		letter string
		limit  float64
		accept int
	}{
		{"D", 1.5, 0}, {"D", 6.5, 1}, {"D", 10, 2}, {"E", 1.0, 0}, {"E", 4.0, 1}, {"E", 6.5, 2}, {"F", 0.65, 0}, {"F", 2.5, 1}, {"F", 4.0, 2},
		{"G", 1.5, 1}, {"G", 2.5, 2}, {"G", 4.0, 3}, {"H", 1.0, 1}, {"H", 1.5, 2}, {"H", 2.5, 3}, {"H", 4.0, 5},
		{"J", 0.65, 1}, {"J", 1.0, 2}, {"J", 1.5, 3}, {"J", 2.5, 5}, {"J", 4.0, 7},
	} {
		p, err := results.Plan(c.letter, c.limit)
		require.NoError(t, err)
		assert.Equal(t, c.letter, p.Letter, "%s %g is no arrow", c.letter, c.limit)
		assert.Equal(t, [2]int{c.accept, c.accept + 1}, [2]int{p.Accept, p.Refuse}, "%s %g", c.letter, c.limit)
	}
	// Arrows lead to the next plan, and its sample is the one to take.
	for _, c := range []struct {
		letter string
		limit  float64
		to     string
	}{{"B", 1.0, "E"}, {"D", 1.0, "E"}, {"G", 1.0, "H"}, {"F", 1.0, "E"}, {"E", 2.5, "F"}, {"A", 0.65, "F"}, {"G", 0.65, "F"}, {"H", 0.65, "J"}} {
		p, err := results.Plan(c.letter, c.limit)
		require.NoError(t, err)
		assert.Equal(t, c.to, p.Letter, "%s %g", c.letter, c.limit)
	}
}

// Down a column of Table 2-A samples grow, and no larger sample accepts fewer.
func TestPlansAreInOrder(t *testing.T) {
	for _, limit := range results.Qualities {
		before := results.Single{}
		for _, letter := range []string{"A", "B", "C", "D", "E", "F", "G", "H", "J", "K"} {
			p, err := results.Plan(letter, limit)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, p.Sample, before.Sample, "%s %g", letter, limit)
			assert.GreaterOrEqual(t, p.Accept, before.Accept, "%s %g", letter, limit)
			assert.Equal(t, p.Accept+1, p.Refuse)
			before = p
		}
	}
}

// H at 1.0 passes lots of 400 with 2 % bad 74 times of 100, with 5 % 26 times
// (reference on schedules, section (e)); the row of the first is C095.
func TestAPlanIsWeak(t *testing.T) {
	p, err := results.Plan("H", 1.0)
	require.NoError(t, err)
	for bad, want := range map[int]float64{8: 0.74, 20: 0.26} {
		got, err := p.Passes(400, bad)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 0.005)
	}
	got, err := p.Passes(400, 8)
	require.NoError(t, err)
	checks.Open(t, "climate-schedule").Row(t, "C095").Meet(t, got)
	// Of a large lot the sample is a small part, and the binomial takes over: C094.
	got, err = p.Passes(3200, 32)
	require.NoError(t, err)
	checks.Open(t, "climate-schedule").Row(t, "C094").Meet(t, got)
	got, err = p.Passes(3200, 3200)
	require.NoError(t, err)
	assert.Zero(t, got)
}

func TestNoPlanWithoutATable(t *testing.T) {
	for _, lot := range []int{-1, 0, 1, 3201} {
		_, err := results.Letter(lot)
		assert.Error(t, err)
	}
	for letter, limit := range map[string]float64{"I": 1, "L": 1, "": 1, "H": 2, "G": 0} {
		_, err := results.Plan(letter, limit)
		assert.Error(t, err)
	}
}

// The demo farm's sizes have plans; where the sample is the whole lot, it says so.
func TestPlansOfTheDemo(t *testing.T) {
	r, err := results.Of(demo(t))
	require.NoError(t, err)
	var sizes []int
	for _, lot := range r.Plans {
		sizes = append(sizes, lot.Size)
		for _, p := range lot.Plans {
			assert.Equal(t, p.Sample >= lot.Size, p.All)
			for _, x := range p.Passes {
				assert.GreaterOrEqual(t, float64(x.Bad), x.Share*float64(lot.Size)-1e-9)
			}
		}
	}
	assert.Equal(t, []int{12, 48, 160, 400}, sizes)
	assert.True(t, r.Plans[0].Plans[0].All)
}
