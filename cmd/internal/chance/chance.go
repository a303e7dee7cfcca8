// Package chance knows what counts of good and bad vessels show, and how many
// to fill so that enough good ones result: the binomial distribution, and the
// beta-binomial where losses come in clusters.
//
// Sums are made of logarithms: a binomial coefficient of more than 1,029 things
// is beyond the largest float64. Shares and confidences are from 0 to 1.
package chance

import (
	"fmt"
	"math"
)

// Most is the most vessels, or trials, that anything here is asked of.
const Most = 1_000_000

// Loss is how vessels are lost on their way.
type Loss struct {
	Share float64 // of all, on the average; from 0 to below 1

	// Clustering is 0 where each vessel is lost by itself. Losses of one run of
	// the sterilizer or one lot of spawn come together: then the share of a batch
	// is itself drawn from Beta(s p, s (1 - p)), of p the Share and s this number.
	// The smaller, the more they cluster: 50 to 200 (common practice, no source).
	// As it grows, the binomial comes back.
	Clustering float64
}

// FromRecord is the loss to expect after bad of n vessels were lost: Jeffreys'
// posterior Beta(bad + 1/2, n - bad + 1/2). A short record is a wide one, and so
// asks for more to be filled.
func FromRecord(bad, n int) (Loss, error) {
	if err := counted(bad, n); err != nil {
		return Loss{}, err
	}
	return Loss{Share: (float64(bad) + 0.5) / (float64(n) + 1), Clustering: float64(n) + 1}, nil
}

func (l Loss) check() error {
	if !(l.Share >= 0 && l.Share < 1) {
		return fmt.Errorf("chance: a loss of %g: it is a share from 0 to below 1", l.Share)
	}
	if !(l.Clustering >= 0) || math.IsInf(l.Clustering, 1) {
		return fmt.Errorf("chance: a clustering of %g: it is 0 for none, else a number above 0, such as 50 to 200", l.Clustering)
	}
	return nil
}

// AtMost is the probability that of n vessels no more than lost are lost. It is
// good to 1e-6 at a million, and better below.
func (l Loss) AtMost(lost, n int) (float64, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	if n < 0 || n > mostFilled {
		return 0, fmt.Errorf("chance: %d vessels; 0 to %d are possible", n, mostFilled)
	}
	return l.atMost(lost, n), nil
}

// mostFilled bounds what is filled for Most good ones.
const mostFilled = tooMany * Most

func (l Loss) atMost(lost, n int) float64 {
	switch {
	case lost < 0:
		return 0
	case lost >= n || l.Share == 0:
		return 1
	}
	p, size := l.Share, float64(n)
	// The logarithm of the probability that none is lost, and the ratio of one
	// more to k.
	first := size * math.Log1p(-p)
	next := func(k float64) float64 { return (size - k) / (k + 1) * (p / (1 - p)) }
	if s := l.Clustering; s > 0 {
		a, b := s*p, s*(1-p)
		first = logBeta(a, b+size) - logBeta(a, b)
		next = func(k float64) float64 { return (size - k) / (k + 1) * (k + a) / (size - k - 1 + b) }
	}
	if l.Clustering == 0 && lost > manyLost {
		return around(lost, n, p, next)
	}
	// In parts of the first, which may be too small for a number by itself; where they
	// come to too much for one, in so much larger parts.
	const huge = 1e250
	sum, term := 0.0, 1.0
	for k := 0; ; k++ {
		sum += term
		if k == lost {
			return math.Min(1, math.Exp(first+math.Log(sum)))
		}
		if term *= next(float64(k)); term > huge {
			sum, term, first = sum/huge, term/huge, first+math.Log(huge)
		}
	}
}

// manyLost is how many lost are summed one by one from none on, and negligible is by
// how much the logarithm of a term is below the largest where it adds nothing any more:
// a million of them are less than 1e-15 of the sum.
const (
	manyLost   = 20_000
	negligible = 50
)

// around is the binomial part of atMost, summed from its largest term outwards, for a
// million terms of which some thousands count. The first term is from Lgamma, which
// is good to 1e-8 at a million.
func around(lost, n int, p float64, next func(k float64) float64) float64 {
	lg := func(x int) float64 {
		y, _ := math.Lgamma(float64(x) + 1)
		return y
	}
	mid := min(lost, int(float64(n+1)*p))
	top := lg(n) - lg(mid) - lg(n-mid) + float64(mid)*math.Log(p) + float64(n-mid)*math.Log1p(-p)
	var sum logSum
	sum.add(top)
	for k, term := mid-1, top; k >= 0; k-- {
		if term -= math.Log(next(float64(k))); term < top-negligible {
			break
		}
		sum.add(term)
	}
	for k, term := mid+1, top; k <= lost; k++ {
		if term += math.Log(next(float64(k - 1))); term < top-negligible {
			break
		}
		sum.add(term)
	}
	return math.Min(1, sum.value())
}

func logBeta(a, b float64) float64 {
	x, _ := math.Lgamma(a)
	y, _ := math.Lgamma(b)
	z, _ := math.Lgamma(a + b)
	return x + y - z
}

// logSum sums what is given by its logarithm.
type logSum struct {
	high, rest float64 // the sum is exp(high) * rest
}

func (s *logSum) add(l float64) {
	switch {
	case s.rest == 0:
		s.high, s.rest = l, 1
	case l <= s.high:
		s.rest += math.Exp(l - s.high)
	default:
		s.high, s.rest = l, s.rest*math.Exp(s.high-l)+1
	}
}

func (s *logSum) value() float64 { return math.Exp(s.high) * s.rest }

// tooMany times what is wanted is no plan any more: so many are not filled.
const tooMany = 10

// Fill is how many vessels to fill so that good good ones result with that
// confidence: the smallest n of which no more than n - good are lost. Vessels
// that never were to be good, controls and those with a probe, come on top. "good
// / (1 - loss), rounded up" is not it: that is enough in some two batches of three.
func Fill(good int, confidence float64, l Loss) (int, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	if err := confident(confidence); err != nil {
		return 0, err
	}
	if good < 1 || good > Most {
		return 0, fmt.Errorf("chance: %d good vessels; 1 to %d are possible", good, Most)
	}
	enough := func(n int) bool { return l.atMost(n-good, n) >= confidence }
	most := tooMany * good
	few, many := good-1, good // good-1 can't be enough
	for step := 1; !enough(many); step *= 2 {
		if many == most {
			return 0, fmt.Errorf("chance: for %d good vessels with a confidence of %g at a loss of %g, %d are not enough: mend the losses first, or ask for less confidence",
				good, confidence, l.Share, most)
		}
		few, many = many, min(many+step, most)
	}
	for many-few > 1 {
		if mid := (few + many) / 2; enough(mid) {
			many = mid
		} else {
			few = mid
		}
	}
	return many, nil
}

func confident(c float64) error {
	if !(c > 0 && c < 1) {
		return fmt.Errorf("chance: a confidence of %g: it is above 0 and below 1, such as 0.95", c)
	}
	return nil
}

func counted(bad, n int) error {
	if n < 1 || n > Most {
		return fmt.Errorf("chance: %d vessels; 1 to %d are possible", n, Most)
	}
	if bad < 0 || bad > n {
		return fmt.Errorf("chance: %d bad of %d; 0 to %d are possible", bad, n, n)
	}
	return nil
}
