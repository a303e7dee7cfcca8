package chance

import (
	"fmt"
	"math"
)

// Interval is a span of shares.
type Interval struct {
	Low, High float64
}

// Wilson is the score interval for the share of bad ones after bad of n (Wilson
// 1927, Journal of the American Statistical Association 22:209). On the average
// it covers what it says; it is the one for charts.
func Wilson(bad, n int, confidence float64) (Interval, error) {
	if err := checkAll(bad, n, confidence); err != nil {
		return Interval{}, err
	}
	z, size := math.Sqrt2*math.Erfinv(confidence), float64(n)
	p, z2 := float64(bad)/size, z*z
	middle := p + z2/(2*size)
	half := z * math.Sqrt(p*(1-p)/size+z2/(4*size*size))
	i := Interval{(middle - half) / (1 + z2/size), (middle + half) / (1 + z2/size)}
	// What is 0 and 1 by the formula is not to be 1e-17 off it.
	if bad == 0 {
		i.Low = 0
	}
	if bad == n {
		i.High = 1
	}
	return i, nil
}

// ClopperPearson is the exact interval after bad of n (Clopper and Pearson 1934,
// Biometrika 26:404). It covers at least what it says; it is the one for claims.
func ClopperPearson(bad, n int, confidence float64) (Interval, error) {
	if err := checkAll(bad, n, confidence); err != nil {
		return Interval{}, err
	}
	tail := (1 - confidence) / 2
	// As many good ones as bad ones, seen from the other side.
	return Interval{1 - bound(n-bad, n, tail), bound(bad, n, tail)}, nil
}

// NoMoreThan is the exact bound on one side: after bad of n the share of bad ones
// is no more than this, with that confidence. After none of n it is
// 1 - (1 - confidence)^(1/n).
func NoMoreThan(bad, n int, confidence float64) (float64, error) {
	if err := checkAll(bad, n, confidence); err != nil {
		return 0, err
	}
	return bound(bad, n, 1-confidence), nil
}

// bound is the share at which bad or fewer of n have the probability tail.
func bound(bad, n int, tail float64) float64 {
	if bad == n {
		return 1
	}
	if bad == 0 {
		return -math.Expm1(math.Log(tail) / float64(n))
	}
	// By Newton's method, for the derivative of the sum is its last term, times what is
	// below, within the shares that the bound is known to lie between, which are halved
	// where that leads out of them. It begins at the bound of the normal distribution.
	x, size, z := float64(bad), float64(n), math.Sqrt2*math.Erfinv(1-2*tail)
	low, high, p := 0.0, 1.0, (x+0.5)/size
	p = max(1/(2*size), min(1-1/(2*size), p+z*math.Sqrt(p*(1-p)/size)))
	for range 100 {
		over := (Loss{Share: p}).atMost(bad, n) - tail
		if over > 0 {
			low = p
		} else {
			high = p
		}
		step := over * (1 - p) / ((size - x) * math.Exp(logChoose(n, bad)+x*math.Log(p)+(size-x)*math.Log1p(-p)))
		switch {
		case math.Abs(step) <= 1e-10*p: // the next step would be of 1e-14 or less
			return p + step
		case p+step > low && p+step < high:
			p += step
		default:
			p = (low + high) / 2
		}
	}
	return (low + high) / 2
}

// RuleOfThree is 3/n, which is nearly the bound of 95 % after none of n were bad
// (Hanley and Lippman-Hand 1983, JAMA 249:1743, from memory): to be reckoned in
// the head. It is up to 5 % too high from 30 on, and useless below.
func RuleOfThree(n int) (float64, error) {
	if n < 30 || n > Most {
		return 0, fmt.Errorf("chance: the rule of three for %d; it holds from 30 to %d", n, Most)
	}
	return 3 / float64(n), nil
}

// Sample is how many have to be looked at, none of them bad, to say with that
// confidence that less than a share is bad: the least n with (1 - share)^n no more than
// 1 - confidence.
func Sample(share, confidence float64) (int, error) {
	if err := confident(confidence); err != nil {
		return 0, err
	}
	if !(share > 0 && share < 1) {
		return 0, fmt.Errorf("chance: a share of %g: it is above 0 and below 1", share)
	}
	n := math.Ceil(math.Log1p(-confidence) / math.Log1p(-share))
	if n > Most {
		return 0, fmt.Errorf("chance: to tell that less than %g is bad takes more than %d", share, Most)
	}
	return int(n), nil
}

// Chart are the limits of a p-chart for a batch of n, three standard deviations
// from the mean share, cut off at 0 and 1. Usable is whether they say anything:
// with fewer than 5 bad ones to expect, or good ones, a single one is a leap.
func Chart(mean float64, n int) (limits Interval, usable bool, err error) {
	if !(mean >= 0 && mean <= 1) {
		return Interval{}, false, fmt.Errorf("chance: a mean share of %g: it is from 0 to 1", mean)
	}
	if n < 1 || n > Most {
		return Interval{}, false, fmt.Errorf("chance: %d vessels; 1 to %d are possible", n, Most)
	}
	half := 3 * math.Sqrt(mean*(1-mean)/float64(n))
	return Interval{max(0, mean-half), min(1, mean+half)}, float64(n)*min(mean, 1-mean) >= 5, nil
}

// Accept is the probability that of a sample from a lot, bad of which are bad, no
// more than accept are bad: the hypergeometric distribution. Where the sample is
// less than a tenth of the lot, Loss.AtMost is nearly the same.
func Accept(lot, bad, sample, accept int) (float64, error) {
	if err := counted(bad, lot); err != nil {
		return 0, err
	}
	if sample < 1 || sample > lot {
		return 0, fmt.Errorf("chance: a sample of %d; 1 to %d, the whole lot, are possible", sample, lot)
	}
	if accept < 0 {
		return 0, fmt.Errorf("chance: %d bad ones are accepted; 0 or more are possible", accept)
	}
	var sum logSum
	for k := max(0, sample-(lot-bad)); k <= min(accept, bad, sample); k++ {
		sum.add(logChoose(bad, k) + logChoose(lot-bad, sample-k) - logChoose(lot, sample))
	}
	return math.Min(1, sum.value()), nil
}

func logChoose(n, k int) float64 {
	return -math.Log(float64(n+1)) - logBeta(float64(n-k+1), float64(k+1))
}

func checkAll(bad, n int, confidence float64) error {
	if err := counted(bad, n); err != nil {
		return err
	}
	return confident(confidence)
}
