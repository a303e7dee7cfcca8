package probe

import (
	"math"
	"strconv"
)

// highestOf is the highest number in a column of the whole table; −Inf where
// there is none.
func (s *shape) highestOf(column int) float64 {
	highest := math.Inf(-1)
	s.each(column, func(cell string) {
		if x, _, ok := number(cell, s.mark); ok {
			highest = max(highest, x)
		}
	})
	return highest
}

func (s *shape) highest(column int) string {
	return strconv.FormatFloat(s.highestOf(column), 'f', 1, 64)
}

// suggest says which unit a run in a pressure vessel would fit: one that was
// hot reads 90 to 140 in °C, and 190 to 285 in °F (the same, rounded). It is a
// hint and nothing more; who asks has to answer.
func (s *shape) suggest(column int) string {
	switch x := s.highestOf(column); {
	case x >= 90 && x <= 140:
		return "unit_celsius"
	case x >= 190 && x <= 285:
		return "unit_fahrenheit"
	}
	return "unit"
}
