package draw

import "math"

// Axis is the stretch of values that a bar shows, in the unit of its values.
type Axis struct {
	From, To float64
	Log      bool // by powers of ten; From is above zero
}

// How an axis is laid (design choices, for the eye).
const (
	room     = 0.15 // left free at either end, of what is shown
	zeroNear = 0.6  // an axis starts at zero if its least value is under this part of its greatest
	farApart = 300  // greatest over least, above which an axis goes by powers of ten
	farthest = 1e12 // greatest over least that an axis shows; what is smaller stands at its end
)

// AxisOver lays an axis over the edges of ranges and the values to be shown,
// with room at both ends. It starts at zero where zero is near, and goes below
// it only where something lies there or an edge lies on it. Without a single
// value there is no axis, and it panics.
func AxisOver(edges, values []float64) Axis {
	all := append(append([]float64{}, edges...), values...)
	if len(all) == 0 {
		panic("draw: an axis over nothing")
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range all {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	if low > 0 && high/low > farApart {
		low = math.Max(low, high/farthest)
		by := math.Pow(high/low, room)
		return Axis{low / by, high * by, true}
	}
	span := high - low
	if span == 0 {
		span = math.Max(math.Abs(high), 1)
	}
	a := Axis{From: low - room*span, To: high + room*span}
	if low > 0 && low < zeroNear*high || low == 0 && !has(edges, 0) {
		a.From = 0
	}
	return a
}

func has(list []float64, v float64) bool {
	for _, x := range list {
		if x == v {
			return true
		}
	}
	return false
}

// margin is left free at both ends of a picture for half a mark.
const margin = 6

// place is where a value stands in a picture of that width. What lies beyond
// the axis stands at its end.
func (a Axis) place(v, width float64) float64 { return margin + a.share(v)*(width-2*margin) }

// share is where a value stands on the axis, from 0 to 1.
func (a Axis) share(v float64) float64 {
	from, to := a.From, a.To
	if a.Log {
		v, from, to = math.Log(math.Max(v, from)), math.Log(from), math.Log(to)
	}
	return math.Min(math.Max((v-from)/(to-from), 0), 1)
}
