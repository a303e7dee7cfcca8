package chance_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/chance"
	"bottlecrop/cmd/internal/checks"
)

func TestPublishedIntervals(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	both := func(of func(int, int, float64) (chance.Interval, error), rows ...checks.Row) {
		for _, r := range rows {
			i, err := of(int(r.Input(t, "x")), int(r.Input(t, "n")), 0.95)
			require.NoError(t, err)
			r.Meet(t, i.Low, i.High)
		}
	}
	both(chance.ClopperPearson, append(table.Run(t, "C068..C071"), table.Row(t, "C074"))...)
	both(chance.Wilson, append(table.Run(t, "C072..C073"), table.Row(t, "C075"))...)

	three, err := chance.RuleOfThree(1500)
	require.NoError(t, err)
	table.Row(t, "C076").Meet(t, three)
	r := table.Row(t, "C077")
	most, err := chance.NoMoreThan(0, int(r.Input(t, "n")), 0.95)
	require.NoError(t, err)
	r.Meet(t, most)
	r = table.Row(t, "C078")
	n, err := chance.Sample(r.Input(t, "p")/100, 0.95)
	require.NoError(t, err)
	r.Meet(t, float64(n))
	for _, r := range table.Run(t, "C087..C088") {
		i, _, err := chance.Chart(r.Input(t, "pbar"), int(r.Input(t, "n")))
		require.NoError(t, err)
		r.Meet(t, i.Low, i.High)
	}
	r = table.Row(t, "C094")
	p, err := chance.Loss{Share: r.Input(t, "p") / 100}.AtMost(int(r.Input(t, "c")), int(r.Input(t, "n")))
	require.NoError(t, err)
	r.Meet(t, p)
	for _, c := range []struct {
		row      string
		lot, bad int
	}{{"C095", 400, 8}, {"C096", 50, 5}} {
		r := table.Row(t, c.row)
		p, err := chance.Accept(c.lot, c.bad, int(r.Input(t, "n")), int(r.Input(t, "c")))
		require.NoError(t, err)
		r.Meet(t, p)
	}
}

func TestPublishedFills(t *testing.T) {
	for _, r := range checks.Open(t, "climate-schedule").Run(t, "C079..C086") {
		n, err := chance.Fill(int(r.Input(t, "N")), 0.95, chance.Loss{Share: r.Input(t, "p") / 100})
		require.NoError(t, err)
		r.Meet(t, float64(n))
	}
}

// The table of spares of the reference on schedules, section (e): computed there
// with another program.
func TestTableOfSpares(t *testing.T) {
	shares := []float64{0.005, 0.01, 0.02, 0.03, 0.05, 0.10}
	for good, want := range map[int][]int{
		12:   {13, 13, 13, 14, 14, 16},
		24:   {25, 25, 26, 26, 27, 30},
		50:   {51, 52, 53, 54, 56, 60},
		100:  {102, 103, 105, 106, 109, 117},
		200:  {203, 205, 208, 211, 216, 231},
		400:  {405, 408, 413, 419, 429, 456},
		1000: {1009, 1016, 1028, 1040, 1065, 1130},
	} {
		for i, p := range shares {
			n, err := chance.Fill(good, 0.95, chance.Loss{Share: p})
			require.NoError(t, err)
			assert.Equal(t, want[i], n, "%d good at %g", good, p)
		}
	}
	// Clustered, and from a record of 8 bad in 400 (same place).
	for _, c := range []struct {
		share, clustering float64
		want              int
	}{{0.02, 200, 418}, {0.02, 50, 426}, {0.05, 200, 436}, {0.05, 50, 450}} {
		n, err := chance.Fill(400, 0.95, chance.Loss{Share: c.share, Clustering: c.clustering})
		require.NoError(t, err)
		assert.Equal(t, c.want, n, "%+v", c)
	}
	record, err := chance.FromRecord(8, 400)
	require.NoError(t, err)
	n, err := chance.Fill(400, 0.95, record)
	require.NoError(t, err)
	assert.Equal(t, 416, n)
	// Good divided by the share that stays is enough in 70 and 63 % of batches.
	for _, c := range []struct {
		n     int
		share float64
		want  float64
	}{{409, 0.02, 0.70}, {422, 0.05, 0.63}} {
		p, err := chance.Loss{Share: c.share}.AtMost(c.n-400, c.n)
		require.NoError(t, err)
		assert.InDelta(t, c.want, p, 0.005)
	}
}

// binomial is P(X <= k) with whole numbers, by its definition.
func binomial(n, k int, num, den int64) float64 {
	sum := new(big.Int)
	for i := 0; i <= k; i++ {
		term := new(big.Int).Binomial(int64(n), int64(i))
		term.Mul(term, new(big.Int).Exp(big.NewInt(num), big.NewInt(int64(i)), nil))
		term.Mul(term, new(big.Int).Exp(big.NewInt(den-num), big.NewInt(int64(n-i)), nil))
		sum.Add(sum, term)
	}
	f, _ := new(big.Rat).SetFrac(sum, new(big.Int).Exp(big.NewInt(den), big.NewInt(int64(n)), nil)).Float64()
	return f
}

func TestAgainstWholeNumbers(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 300).Draw(rt, "n")
		k := rapid.IntRange(0, n).Draw(rt, "k")
		num := rapid.Int64Range(1, 499).Draw(rt, "per mille")
		got, err := chance.Loss{Share: float64(num) / 1000}.AtMost(k, n)
		require.NoError(rt, err)
		assert.InDelta(rt, binomial(n, k, num, 1000), got, 1e-12)
	})
	// Beyond where a plain coefficient overflows.
	got, err := chance.Loss{Share: 0.02}.AtMost(50, 2100)
	require.NoError(t, err)
	assert.InDelta(t, binomial(2100, 50, 20, 1000), got, 1e-12)
}

// A million is done, and a plan near it is what the normal law says.
func TestMillion(t *testing.T) {
	n, err := chance.Fill(chance.Most, 0.95, chance.Loss{Share: 0.05})
	require.NoError(t, err)
	// n (1 - p) - 1.6449 sqrt(n p (1 - p)) = good, to some vessels.
	mean, sd := float64(n)*0.95, math.Sqrt(float64(n)*0.05*0.95)
	assert.InDelta(t, chance.Most, mean-1.644854*sd, 3)
}

func TestFillIsTheSmallest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		good := rapid.IntRange(1, 500).Draw(rt, "good")
		c := rapid.Float64Range(0.5, 0.999).Draw(rt, "confidence")
		l := chance.Loss{Share: rapid.Float64Range(0, 0.45).Draw(rt, "share")}
		if rapid.Bool().Draw(rt, "clustered") {
			l.Clustering = rapid.Float64Range(20, 1000).Draw(rt, "clustering")
		}
		n, err := chance.Fill(good, c, l)
		if err != nil {
			assert.ErrorContains(rt, err, "not enough")
			p, err := l.AtMost(9*good, 10*good)
			require.NoError(rt, err)
			assert.Less(rt, p, c)
			return
		}
		p, err := l.AtMost(n-good, n)
		require.NoError(rt, err)
		assert.GreaterOrEqual(rt, p, c)
		if n > good {
			p, err = l.AtMost(n-1-good, n-1)
			require.NoError(rt, err)
			assert.Less(rt, p, c)
		}
	})
}

// Clustering goes over into none, and a batch of one knows no clusters.
func TestClustering(t *testing.T) {
	for _, k := range []int{0, 4, 8, 20} {
		alone, err := chance.Loss{Share: 0.02}.AtMost(k, 400)
		require.NoError(t, err)
		loose, err := chance.Loss{Share: 0.02, Clustering: 1e7}.AtMost(k, 400)
		require.NoError(t, err)
		assert.InDelta(t, alone, loose, 1e-4)
	}
	for _, s := range []float64{0, 1, 50} {
		p, err := chance.Loss{Share: 0.07, Clustering: s}.AtMost(0, 1)
		require.NoError(t, err)
		assert.InDelta(t, 0.93, p, 1e-12)
	}
	// Beta(1, 1) is a share of which nothing is known: each count is as likely.
	p, err := chance.Loss{Share: 0.5, Clustering: 2}.AtMost(3, 9)
	require.NoError(t, err)
	assert.InDelta(t, 0.4, p, 1e-12)
}

// The exact interval ends where a tail is as likely as it should be, holds what
// was seen, and lies round the score interval's middle.
func TestIntervals(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 800).Draw(rt, "n")
		bad := rapid.IntRange(0, n).Draw(rt, "bad")
		c := rapid.Float64Range(0.5, 0.999).Draw(rt, "confidence")
		exact, err := chance.ClopperPearson(bad, n, c)
		require.NoError(rt, err)
		score, err := chance.Wilson(bad, n, c)
		require.NoError(rt, err)
		seen := float64(bad) / float64(n)
		for _, i := range []chance.Interval{exact, score} {
			assert.LessOrEqual(rt, i.Low, seen)
			assert.GreaterOrEqual(rt, i.High, seen)
			assert.GreaterOrEqual(rt, i.Low, 0.0)
			assert.LessOrEqual(rt, i.High, 1.0)
		}
		if bad > 0 {
			p, err := chance.Loss{Share: exact.Low}.AtMost(bad-1, n)
			require.NoError(rt, err)
			assert.InDelta(rt, (1-c)/2, 1-p, 1e-9)
		} else {
			assert.Zero(rt, exact.Low)
		}
		if bad < n {
			p, err := chance.Loss{Share: exact.High}.AtMost(bad, n)
			require.NoError(rt, err)
			assert.InDelta(rt, (1-c)/2, p, 1e-9)
		} else {
			assert.Equal(rt, 1.0, exact.High)
		}
	})
}

// Three in n is near the bound, and never below it.
func TestRuleOfThree(t *testing.T) {
	for _, n := range []int{30, 100, 400, 1500, 100000} {
		three, err := chance.RuleOfThree(n)
		require.NoError(t, err)
		exact, err := chance.NoMoreThan(0, n, 0.95)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, three, exact)
		assert.Less(t, three, 1.06*exact)
	}
}

// A chart of 12 bottles at 2 % says nothing; one of 400 does.
func TestChartIsUsable(t *testing.T) {
	limits, usable, err := chance.Chart(0.02, 12)
	require.NoError(t, err)
	assert.False(t, usable)
	assert.InDelta(t, 0.1412, limits.High, 1e-4) // 0.02 + 3 sqrt(0.02 x 0.98 / 12)
	_, usable, err = chance.Chart(0.02, 400)
	require.NoError(t, err)
	assert.True(t, usable)
}

func TestWholeLotIsCertain(t *testing.T) {
	for accept, want := range map[int]float64{2: 0, 3: 1, 4: 1} {
		p, err := chance.Accept(10, 3, 10, accept)
		require.NoError(t, err)
		assert.InDelta(t, want, p, 1e-12)
	}
}

func TestOutOfRange(t *testing.T) {
	two := func(_ any, err error) error { return err }
	nan := math.NaN()
	for what, err := range map[string]error{
		"a loss of -0.1":              two(chance.Fill(12, 0.95, chance.Loss{Share: -0.1})),
		"a loss of 1:":                two(chance.Fill(12, 0.95, chance.Loss{Share: 1})),
		"a loss of NaN":               two(chance.Loss{Share: nan}.AtMost(1, 2)),
		"a clustering of -1":          two(chance.Fill(12, 0.95, chance.Loss{Clustering: -1})),
		"a clustering of +Inf":        two(chance.Fill(12, 0.95, chance.Loss{Clustering: math.Inf(1)})),
		"a confidence of 1:":          two(chance.Fill(12, 1, chance.Loss{Share: 0.1})),
		"a confidence of 0:":          two(chance.Wilson(1, 12, 0)),
		"a confidence of NaN":         two(chance.ClopperPearson(1, 12, nan)),
		"0 good vessels":              two(chance.Fill(0, 0.95, chance.Loss{})),
		"1000001 good vessels":        two(chance.Fill(chance.Most+1, 0.95, chance.Loss{})),
		"120 are not enough":          two(chance.Fill(12, 0.95, chance.Loss{Share: 0.95})),
		"13 bad of 12":                two(chance.Wilson(13, 12, 0.95)),
		"-1 bad of 12":                two(chance.NoMoreThan(-1, 12, 0.95)),
		"0 vessels":                   two(chance.FromRecord(0, 0)),
		"-1 vessels":                  two(chance.Loss{}.AtMost(0, -1)),
		"rule of three for 12":        two(chance.RuleOfThree(12)),
		"a share of 0:":               two(chance.Sample(0, 0.95)),
		"takes more than 1000000":     two(chance.Sample(1e-9, 0.95)),
		"a sample of 11; 1 to 10":     two(chance.Accept(10, 1, 11, 0)),
		"-1 bad ones are accepted":    two(chance.Accept(10, 1, 5, -1)),
		"a mean share of 2:":          func() error { _, _, err := chance.Chart(2, 12); return err }(),
		"chance: 0 vessels; 1 to 100": func() error { _, _, err := chance.Chart(0.1, 0); return err }(),
	} {
		assert.ErrorContains(t, err, what)
	}
}
