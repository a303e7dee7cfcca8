package calendar

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/unit"
)

// PERT is the mean and the standard deviation, in its unit, of a length that is a at
// least, m as a rule and b at most: (a + 4 m + b) / 6 and (b - a) / 6 (Malcolm,
// Roseboom, Clark and Fazar 1959, Operations Research 7:646, from memory).
func PERT(a, m, b float64) (mean, sd float64, err error) {
	if !(a > 0 && a <= m && m <= b) || math.IsInf(b, 1) {
		return 0, 0, fmt.Errorf("calendar: %g days at least, %g as a rule and %g at most: they must ascend from above 0", a, m, b)
	}
	return (a + 4*m + b) / 6, (b - a) / 6, nil
}

// nineInTen is the quantile of the normal law that nine of ten stay below.
const nineInTen = 1.2815515655446004

// safeDays is how many whole days later than usual nine batches of ten are done,
// where stages that vary by themselves add up to that mean and variance.
func safeDays(mean, variance float64, usual int) int {
	// A hair for the last bits of a mean that is a whole number.
	return max(0, int(unit.Up(mean+nineInTen*math.Sqrt(variance)-float64(usual))))
}
