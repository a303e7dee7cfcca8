package draw

import "math"

// Field is a quantity at the points of a grid: by Y, then X, both ascending. A
// point where there is nothing is NaN.
type Field struct {
	X, Y []float64
	V    [][]float64
}

// Contour is where a field has one value: a line, or a ring whose last point is
// its first.
type Contour struct{ Points [][2]float64 }

// mirrored is a field by the distance from an axis as a cut through the axis
// shows it, on both sides.
func (f Field) mirrored() Field {
	n := len(f.X)
	out := Field{X: make([]float64, 2*n), Y: f.Y}
	for i, x := range f.X {
		out.X[n-1-i], out.X[n+i] = -x, x
	}
	for _, row := range f.V {
		both := make([]float64, 2*n)
		for i, v := range row {
			both[n-1-i], both[n+i] = v, v
		}
		out.V = append(out.V, both)
	}
	return out
}

// Contours are the lines of a level by marching squares: what is at the level
// counts as above it. Between four points that alternate, the mean of the four
// says which two hang together. Lines end where the field ends.
func (f Field) Contours(level float64) []Contour {
	m := march{f: f, level: level, next: map[int][]int{}}
	for j := 0; j+1 < len(f.Y); j++ {
		for i := 0; i+1 < len(f.X); i++ {
			m.square(i, j)
		}
	}
	return m.chained()
}

// march collects where a level crosses the edges of a grid, and which crossings
// one square joins.
type march struct {
	f     Field
	level float64
	next  map[int][]int // crossings joined to a crossing
	order []int         // crossings as they were found
}

// An edge is named by its lower left point: even numbers go right, odd ones up.
func (m *march) edge(i, j, up int) int { return 2*(j*len(m.f.X)+i) + up }

func (m *march) square(i, j int) {
	corners := [4]float64{m.f.V[j][i], m.f.V[j][i+1], m.f.V[j+1][i+1], m.f.V[j+1][i]}
	kind, sum := 0, 0.0
	for k, v := range corners {
		if math.IsNaN(v) {
			return
		}
		if v >= m.level {
			kind |= 1 << k
		}
		sum += v
	}
	bottom, right, top, left := m.edge(i, j, 0), m.edge(i+1, j, 1), m.edge(i, j+1, 0), m.edge(i, j, 1)
	switch kind {
	case 1, 14:
		m.join(left, bottom)
	case 2, 13:
		m.join(bottom, right)
	case 4, 11:
		m.join(right, top)
	case 8, 7:
		m.join(top, left)
	case 3, 12:
		m.join(left, right)
	case 6, 9:
		m.join(bottom, top)
	case 5, 10:
		// The middle belongs to the corners on its own side of the level: these
		// hang together, and the lines cut off the other two.
		if (sum/4 >= m.level) == (kind == 5) {
			m.join(bottom, right)
			m.join(top, left)
		} else {
			m.join(left, bottom)
			m.join(right, top)
		}
	}
}

func (m *march) join(a, b int) {
	for _, e := range [2]int{a, b} {
		if len(m.next[e]) == 0 {
			m.order = append(m.order, e)
		}
	}
	m.next[a] = append(m.next[a], b)
	m.next[b] = append(m.next[b], a)
}

// chained puts the crossings in rows: first the lines from their ends, then the
// rings.
func (m *march) chained() []Contour {
	var out []Contour
	done := map[int]bool{}
	follow := func(start int) {
		c := Contour{}
		at, closed := start, false
		for {
			done[at] = true
			c.Points = append(c.Points, m.point(at))
			to := -1
			for _, e := range m.next[at] {
				if !done[e] {
					to = e
					break
				}
				closed = closed || e == start && len(c.Points) > 2
			}
			if to < 0 {
				break
			}
			at, closed = to, false
		}
		if closed {
			c.Points = append(c.Points, c.Points[0])
		}
		out = append(out, c)
	}
	for _, ends := range []bool{true, false} {
		for _, e := range m.order {
			if !done[e] && (len(m.next[e]) == 1) == ends {
				follow(e)
			}
		}
	}
	return out
}

// point is where the level crosses an edge.
func (m *march) point(edge int) [2]float64 {
	n := len(m.f.X)
	i, j, up := edge/2%n, edge/2/n, edge%2
	k, l := i+1-up, j+up
	share := (m.level - m.f.V[j][i]) / (m.f.V[l][k] - m.f.V[j][i])
	return [2]float64{
		m.f.X[i] + share*(m.f.X[k]-m.f.X[i]),
		m.f.Y[j] + share*(m.f.Y[l]-m.f.Y[j]),
	}
}

// Rounds are round numbers between two values, from the lower: three to six of
// them, by steps of 1, 2 or 5 times a power of ten as small as that allows, and
// the step. There are none where the two are as good as the same.
func Rounds(from, to float64) (levels []float64, step float64) {
	const fewest, most = 3, 6
	if !(to-from > 1e-9*math.Max(1, math.Max(math.Abs(from), math.Abs(to)))) {
		return nil, 0
	}
	count := func(step float64) (first float64, n int) {
		first = math.Floor(from/step+1e-9) + 1
		return first, int(math.Ceil(to/step-1e-9) - first)
	}
	power := math.Floor(math.Log10(to-from)+1e-9) - 1
	for _, lead := range []float64{1, 2, 5, 10, 20, 50, 100} {
		next := lead * math.Pow(10, power)
		first, n := count(next)
		if len(levels) > 0 && n < fewest {
			break // the step before had one too many
		}
		levels, step = nil, next
		for k := range min(n, most) {
			levels = append(levels, (first+float64(k))*next)
		}
		if n <= most {
			break
		}
	}
	return levels, step
}
