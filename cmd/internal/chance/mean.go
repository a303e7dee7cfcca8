package chance

import (
	"fmt"
	"math"
)

// Student is the t that the mean of a sample lies within, either way, with that
// confidence, in standard errors: of Student's distribution with so many degrees of
// freedom, one less than there are values. Its probability is the finite sum of
// Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4.
func Student(confidence float64, freedom int) (float64, error) {
	if err := confident(confidence); err != nil {
		return 0, err
	}
	if freedom < 1 || freedom > Most {
		return 0, fmt.Errorf("chance: %d degrees of freedom; 1 to %d are possible", freedom, Most)
	}
	// The angle θ, of which t is √ν tan θ, is between 0 and a right angle.
	low, high := 0.0, math.Pi/2
	for range 60 {
		mid := (low + high) / 2
		if withinStudent(mid, freedom) < confidence {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Sqrt(float64(freedom)) * math.Tan((low+high)/2), nil
}

// withinStudent is the probability to be within t, either way.
func withinStudent(angle float64, freedom int) float64 {
	sin, cos := math.Sincos(angle)
	odd := freedom%2 == 1
	if freedom == 1 {
		return 2 / math.Pi * angle
	}
	term, k := 1.0, 2
	if odd {
		term, k = cos, 3
	}
	sum := term
	for ; k <= freedom-2; k += 2 {
		// The terms are 1/2, 1·3/(2·4), … or 2/3, 2·4/(3·5), … times powers of cos² θ.
		term *= float64(k-1) / float64(k) * cos * cos
		sum += term
	}
	if odd {
		return 2 / math.Pi * (angle + sin*sum)
	}
	return sin * sum
}

// beyond is how much of the normal distribution lies more than three standard
// deviations to one side.
const beyond = 0.0013498980316301

// ChartExact are limits in place of those of Chart for a batch that is too small for
// them: no more than so many lost, and no fewer, each but for the chance with which
// a normal value lies three standard deviations to that side.
func ChartExact(mean float64, n int) (least, most int, err error) {
	if !(mean >= 0 && mean <= 1) {
		return 0, 0, fmt.Errorf("chance: a mean share of %g: it is from 0 to 1", mean)
	}
	if n < 1 || n > Most {
		return 0, 0, fmt.Errorf("chance: %d vessels; 1 to %d are possible", n, Most)
	}
	if mean == 1 {
		return n, n, nil
	}
	l := Loss{Share: mean}
	first := func(enough func(k int) bool) int {
		low, high := -1, n // enough at n
		for high-low > 1 {
			if mid := (low + high) / 2; enough(mid) {
				high = mid
			} else {
				low = mid
			}
		}
		return high
	}
	least = first(func(k int) bool { return l.atMost(k, n) > beyond })
	most = first(func(k int) bool { return 1-l.atMost(k, n) <= beyond })
	return least, most, nil
}
