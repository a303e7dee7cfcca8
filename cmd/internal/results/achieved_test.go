package results_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/unit"
)

// Mean 9.261460 of 195 values with the standard deviation 0.02278881: 95 % from
// 9.258242 to 9.264679 (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2, from
// memory).
func TestPublishedIntervalOfAMean(t *testing.T) {
	of := map[string]float64{"m": 9.261460, "k": 195, "s": 0.02278881}
	assert.InDelta(t, 9.258242, checks.Eval(t, results.MeanAtLeast, of), 2e-6)
	assert.InDelta(t, 9.264679, checks.Eval(t, results.MeanAtMost, of), 2e-6)
}

// Ten of 148 and the like are rows of the table; here the laws that print them.
func TestExactIntervalIsTheTables(t *testing.T) {
	r := checks.Open(t, "climate-schedule").Row(t, "C074")
	of := map[string]float64{"x": r.Input(t, "x"), "n": r.Input(t, "n")}
	r.Meet(t, checks.Eval(t, results.AtLeast, of), checks.Eval(t, results.AtMost, of))
}

// Two by two of counts: 10 of 100 and 30 of 100 are Pearson's 12.5 with one degree of
// freedom (by hand: 2 · 10² / (100 · 0.2 · 0.8)).
func TestApartByHand(t *testing.T) {
	off := checks.Eval(t, results.OffMean, map[string]float64{"x": 10, "n": 100, "p": 0.2}) +
		checks.Eval(t, results.OffMean, map[string]float64{"x": 30, "n": 100, "p": 0.2})
	assert.InDelta(t, 12.5, off, 1e-12)
	assert.InDelta(t, 12.5, checks.Eval(t, results.Apart, map[string]float64{"X": off, "k": 2}), 1e-12)
	assert.InDelta(t, 1, checks.Eval(t, results.Apart, map[string]float64{"X": 0.3, "k": 2}), 0)
}

// The interval covers the true share with at least its confidence, whatever the share:
// by exact enumeration for small numbers.
func TestCoverageByEnumeration(t *testing.T) {
	in := demo(t)
	for _, n := range []int{1, 5, 12, 30} {
		low, high, most := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
		for x := range n + 1 {
			g := of(t, in, batchOf(0, n, x))
			low[x], high[x], most[x] = value(t, g, "lost_at_least"), value(t, g, "lost_at_most"), g.Done[0].AtMost
		}
		for i := 1; i < 200; i++ {
			p := float64(i) / 200
			both, oneSide := 0.0, 0.0
			for x := range n + 1 {
				c, _ := new(big.Float).SetInt(new(big.Int).Binomial(int64(n), int64(x))).Float64()
				weight := c * math.Pow(p, float64(x)) * math.Pow(1-p, float64(n-x))
				if low[x] <= p && p <= high[x] {
					both += weight
				}
				if p <= most[x] {
					oneSide += weight
				}
			}
			assert.GreaterOrEqual(t, both, results.Confidence-1e-9, "n %d, p %g", n, p)
			assert.GreaterOrEqual(t, oneSide, results.Confidence-1e-9, "n %d, p %g", n, p)
		}
	}
}

// Where losses come together, an interval that takes them one by one misses the truth
// much too often. This one does not: batches of which the share lost is itself drawn,
// 20 of 100 vessels, 5 % on the average, spread as Beta(2.5, 47.5).
func TestClusteredLossesAreCovered(t *testing.T) {
	in := demo(t)
	dice := rand.New(rand.NewPCG(7, 2026))
	gamma := func(shape float64) float64 { // Marsaglia and Tsang 2000
		d := shape - 1.0/3
		for {
			x := dice.NormFloat64()
			v := math.Pow(1+x/math.Sqrt(9*d), 3)
			if v > 0 && math.Log(dice.Float64()) < x*x/2+d-d*v+d*math.Log(v) {
				return d * v
			}
		}
	}
	farms := checks.Rounds(60, 120)
	covered, plain := 0, 0
	for range farms {
		var list []protocol.Result
		lost := 0
		for i := range 20 {
			a, b := gamma(2.5), gamma(47.5)
			x := 0
			for range 100 {
				if dice.Float64() < a/(a+b) {
					x++
				}
			}
			lost += x
			list = append(list, batchOf(i, 100, x))
		}
		g := of(t, in, list...)
		if value(t, g, "lost_at_least") <= 0.05 && 0.05 <= value(t, g, "lost_at_most") {
			covered++
		}
		one := map[string]float64{"x": float64(lost), "n": 2000}
		if checks.Eval(t, results.AtLeast, one) <= 0.05 && 0.05 <= checks.Eval(t, results.AtMost, one) {
			plain++
		}
	}
	assert.Greater(t, covered, farms*9/10)
	assert.Less(t, plain, farms*85/100, "the example is too tame to tell")
}

// How often chance alone brings so many: by fractions, without any logarithm.
func TestTailsOfABatch(t *testing.T) {
	in := demo(t)
	for _, c := range []struct{ n, x int }{{12, 0}, {12, 2}, {48, 6}, {160, 26}} {
		b := of(t, in, batchOf(0, c.n, c.x)).Done[0]
		p, q := big.NewRat(1, 20), big.NewRat(19, 20) // the demo's enoki loses 5 %
		sum := new(big.Rat)
		for k := c.x; k <= c.n; k++ {
			term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(c.n), int64(k)))
			for range k {
				term.Mul(term, p)
			}
			for range c.n - k {
				term.Mul(term, q)
			}
			sum.Add(sum, term)
		}
		want, _ := sum.Float64()
		assert.InDelta(t, want, b.Alone, 1e-9, "%v", c)
		if c.x > 2 {
			assert.Greater(t, b.Clustered, b.Alone, "clusters make bad batches less rare")
		}
	}
}

// A clean batch of 12 leaves room for 22 %, of 50 for 5.8 % (reference on schedules,
// section (e)).
func TestWhatACleanBatchShows(t *testing.T) {
	in := demo(t)
	for n, want := range map[int]float64{12: 0.22, 50: 0.058, 400: 0.0075} {
		assert.InDelta(t, want, of(t, in, batchOf(0, n, 0)).Done[0].AtMost, 0.05*want, n)
	}
}

// Nothing is offered, and no interval of a mean told, under three batches.
func TestNothingUnderThree(t *testing.T) {
	in := demo(t)
	list := []protocol.Result{gave(batchOf(0, 160, 20), 20), gave(batchOf(1, 160, 20), 22), gave(batchOf(2, 160, 20), 21)}
	g := of(t, in, list[:2]...)
	assert.Empty(t, g.Offers)
	assert.Nil(t, g.Quantity("sold_at_least"))
	assert.Nil(t, g.Quantity("batches_apart"))
	assert.InDelta(t, 21.0/140, value(t, g, "sold_achieved"), 1e-12)
	g = of(t, in, list...)
	assert.NotEmpty(t, g.Offers)
	assert.NotNil(t, g.Quantity("sold_at_least"))
}

// The mean and its interval for three batches of one size, by hand: 1.00, 1.02 and
// 1.04 kg of 10 vessels are 102 g with a deviation of 2 g; t is 4.303.
func TestYieldByHand(t *testing.T) {
	g := of(t, demo(t), gave(batchOf(0, 10, 0), 1.00), gave(batchOf(1, 10, 0), 1.02), gave(batchOf(2, 10, 0), 1.04))
	assert.InDelta(t, 0.102, value(t, g, "sold_achieved"), 1e-12)
	half := 4.3027 * 0.002 / math.Sqrt(3)
	assert.InDelta(t, 0.102-half, value(t, g, "sold_at_least"), 1e-7)
	assert.InDelta(t, 0.102+half, value(t, g, "sold_at_most"), 1e-7)
	p := g.Process
	assert.InDelta(t, 0.102/(1-p.Value("trim_share"))/p.Value("dry_in_vessel"), value(t, g, "efficiency_achieved"), 1e-12)
}

// Batches alike have an interval of no width, and a batch of which nothing was weighed,
// or of which none was good, says nothing of yield.
func TestYieldOfOddBatches(t *testing.T) {
	in := demo(t)
	g := of(t, in, gave(batchOf(0, 10, 0), 1.1), gave(batchOf(1, 10, 0), 1.1), gave(batchOf(2, 20, 0), 2.2))
	assert.InDelta(t, 0.11, value(t, g, "sold_at_least"), 1e-7)
	assert.InDelta(t, 0.11, value(t, g, "sold_at_most"), 1e-7)
	g = of(t, in, batchOf(0, 10, 2), gave(batchOf(1, 10, 10), 1))
	assert.Nil(t, g.Quantity("sold_achieved"))
}

func TestUnderWayAndGivenUp(t *testing.T) {
	in := demo(t)
	open := batchOf(1, 160, 9)
	open.Emptied = ""
	g := of(t, in, batchOf(0, 160, 3), open)
	assert.Len(t, g.Done, 1)
	assert.Len(t, g.Open, 1)
	assert.InDelta(t, 3.0/160, value(t, g, "lost_achieved"), 1e-12)
	assert.Equal(t, 12, g.Causes.All, "where vessels were lost is known of those under way too")
	g = of(t, in, open)
	assert.Nil(t, g.Quantity("lost_achieved"))

	gone := batchOf(0, 160, 3)
	gone.Protocol = "enoki-old"
	g = of(t, in, gave(gone, 20), gave(func() protocol.Result { g := gone; g.Code = "B-1"; return g }(), 21), gave(func() protocol.Result { g := gone; g.Code = "B-2"; return g }(), 22))
	assert.Nil(t, g.Process)
	assert.True(t, math.IsNaN(g.Done[0].Alone))
	assert.Empty(t, g.Offers)
	assert.NotNil(t, g.Quantity("sold_at_most"))
	assert.Nil(t, g.Quantity("efficiency_achieved"))
}

// Days are counted over a leap day and a year's end.
func TestDaysBetween(t *testing.T) {
	in := demo(t)
	r := batchOf(0, 12, 0)
	r.Mixed, r.Opened = "2027-12-20", "2028-01-15"
	r.Picked = []protocol.Picked{{On: "2028-03-02", Mass: 1}, {On: "2028-03-01", Mass: 1}}
	r.Emptied = "2028-03-03"
	days := of(t, in, r).Days
	require.Len(t, days, 2)
	assert.Equal(t, []any{"opening", 26, 26, 26.0}, []any{days[0].ID, days[0].Least, days[0].Most, days[0].Mean})
	assert.Equal(t, 72, days[1].Least, "to the first picking: 12 of December, 31, 29 of February, 1")
	assert.Equal(t, [3]int{21, 26, 31}, [3]int{days[0].Shortest, days[0].Usual, days[0].Longest}, "a night to cool, and 20 to 30 days of incubation")
}

// A batch counts for the roles of which somebody wrote hours, and for nothing else.
func TestHours(t *testing.T) {
	in := demo(t)
	r := batchOf(0, 48, 0)
	r.Labor = []protocol.Labor{{Role: "picker", Time: unit.Duration(unit.Hour)}, {Role: "picker", Time: unit.Duration(unit.Hour)}, {Role: "washer", Time: unit.Duration(unit.Hour)}}
	g := of(t, in, r, batchOf(1, 48, 0))
	require.Len(t, g.Hours, 3)
	assert.Equal(t, "picker", string(g.Hours[0].Role))
	assert.InDelta(t, 2*unit.Hour, float64(g.Hours[0].Worked), 1e-9)
	assert.Equal(t, 1, g.Hours[2].Batches)
	assert.Equal(t, "", string(g.Hours[2].Role))
	assert.InDelta(t, float64(g.Hours[0].Assumed+g.Hours[1].Assumed), float64(g.Hours[2].Assumed), 1e-6)
}

// In whatever order batches are written, and however the losses of one are split, the
// record is the same; what is achieved lies in its interval, and one more lost makes
// no figure smaller.
func TestProperties(t *testing.T) {
	in := demo(t)
	checks.Cases(t, 40)
	rapid.Check(t, func(t *rapid.T) {
		var list []protocol.Result
		for i := range rapid.IntRange(1, 12).Draw(t, "batches") {
			n := rapid.IntRange(1, 500).Draw(t, "filled")
			list = append(list, gave(batchOf(i, n, rapid.IntRange(0, n).Draw(t, "lost")), rapid.Float64Range(0.1, 100).Draw(t, "kg")))
		}
		g := of(t, in, list...)
		share := value(t, g, "lost_achieved")
		assert.LessOrEqual(t, value(t, g, "lost_at_least"), share+1e-9)
		assert.GreaterOrEqual(t, value(t, g, "lost_at_most"), share-1e-9)
		if q := g.Quantity("sold_at_least"); q != nil {
			assert.LessOrEqual(t, q.Value, value(t, g, "sold_achieved")+1e-12)
		}
		turned := slices.Clone(list)
		slices.Reverse(turned)
		for i, r := range turned {
			if len(r.Lost) == 1 && r.Lost[0].Count > 1 {
				l := r.Lost[0]
				turned[i].Lost = []protocol.LostVessels{{Count: 1, At: l.At, Why: l.Why}, {Count: l.Count - 1, At: l.At, Why: l.Why}}
			}
		}
		other := of(t, in, turned...)
		for _, name := range []string{"lost_achieved", "lost_at_least", "lost_at_most"} {
			assert.InDelta(t, value(t, g, name), value(t, other, name), 1e-12, name)
		}
		assert.Equal(t, g.Chart.Mean, other.Chart.Mean)
		one := list[0]
		if one.LostInAll() < one.Filled {
			before := of(t, in, one).Done[0]
			one.Lost = append(slices.Clone(one.Lost), protocol.LostVessels{Count: 1, At: "fruiting", Why: "dry"})
			after := of(t, in, one).Done[0]
			assert.Greater(t, after.AtMost, before.AtMost-1e-12)
			assert.LessOrEqual(t, after.Alone, before.Alone+1e-12)
		}
	})
}
