package heat

// lines holds factored tridiagonal equations, one for each line of cells in one
// direction: x[n] = inv·rhs[n] − low·forward[n−1], then back with up.
type lines struct {
	low, inv, up []float64
}

func newLines(n int) lines {
	return lines{make([]float64, n), make([]float64, n), make([]float64, n)}
}

// sweeper advances the temperatures of a mesh by Peaceman and Rachford's two
// half steps. With A for conduction across r and B along z, both with their
// edges to the surroundings, C for heat capacities, h for half a step and e for
// what the surroundings give:
//
//	(C + hA)·T* = (C − hB)·T  + h·e
//	(C + hB)·T' = (C − hA)·T* + h·e
//
// where the right side of the second is 2C·T* less that of the first, and so on
// from step to step while A, B, C and h stay: no other product is ever formed.
type sweeper struct {
	m            *mesh
	t            []float64 // temperatures, K; 0 in the hole
	rest         []float64 // right side without what the surroundings give, over C
	out          []float64 // forward sweep
	cond         []float64 // conductivity of each cell, W/(m·K)
	heat         []float64 // heat capacity of each cell, J/K; 1 in the hole
	gr, gz       []float64 // conductance to the next cell outward and upward, W/K
	edge         []float64 // conductance of each edge, W/K
	given        []float64 // h·(sum of the cell's edges)/C: what the surroundings give per K
	across       lines
	along        lines
	owed         []float64 // half of what the last step left out, over C, K; nil for a constant heat capacity
	half         float64   // h, s
	fresh        bool      // coefficients have changed since the last step
	uptake       float64   // heat that came in during the last step, J
	onEdge       [sides]float64
	edgeR, edgeZ []float64 // sums of the edge conductances of each cell, W/K
}

func newSweeper(m *mesh, start float64) *sweeper {
	n := m.nr * m.nz
	s := &sweeper{m: m, edge: make([]float64, len(m.edges)), across: newLines(n), along: newLines(n)}
	for _, field := range []*[]float64{&s.t, &s.rest, &s.out, &s.cond, &s.heat, &s.gr, &s.gz, &s.given,
		&s.edgeR, &s.edgeZ} {
		*field = make([]float64, n)
	}
	for c, v := range m.volume {
		s.heat[c] = 1
		if v > 0 {
			s.t[c] = start
		}
	}
	return s
}

// conduct works out all conductances from the conductivities of the cells.
// Between two cells the mean of theirs counts, which is the better one where
// conductivity depends on temperature and matter is the same throughout.
func (s *sweeper) conduct() {
	m, n := s.m, len(s.cond)
	for c := range n - 1 {
		s.gr[c] = m.radial[c] * 0.5 * (s.cond[c] + s.cond[c+1])
	}
	for c := range n - m.nr {
		s.gz[c] = m.axial[c] * 0.5 * (s.cond[c] + s.cond[c+m.nr])
	}
	clear(s.edgeR)
	clear(s.edgeZ)
	for e, f := range m.edges {
		// In series with half a cell; an insulated face has none.
		g, u := s.cond[f.cell]*f.half, s.onEdge[f.side]*f.area
		s.edge[e] = g * u / (g + u)
		if e < m.across {
			s.edgeR[f.cell] += s.edge[e]
		} else {
			s.edgeZ[f.cell] += s.edge[e]
		}
	}
}

// factor prepares the equations of a step of twice h.
func (s *sweeper) factor(h float64) {
	m := s.m
	s.half, s.fresh = h, true
	for j := range m.nz {
		up := 0.0 // of the cell before
		for i := range m.nr {
			c := j*m.nr + i
			k := h / s.heat[c]
			in, out := 0.0, k*s.gr[c]
			if i > 0 {
				in = k * s.gr[c-1]
			}
			inv := 1 / (1 + in + out + k*s.edgeR[c] - in*up)
			s.across.low[c], s.across.inv[c], s.across.up[c] = -in*inv, inv, out*inv
			up = out * inv
		}
	}
	for c := range s.t {
		k := h / s.heat[c]
		below, above, up := 0.0, k*s.gz[c], 0.0
		if c >= m.nr {
			below, up = k*s.gz[c-m.nr], s.along.up[c-m.nr]
		}
		inv := 1 / (1 + below + above + k*s.edgeZ[c] - below*up)
		s.along.low[c], s.along.inv[c], s.along.up[c] = -below*inv, inv, above*inv
		s.given[c] = k * (s.edgeR[c] + s.edgeZ[c])
	}
}

// explicit forms (C − hB)·T over C, which a step needs when the last one had
// other coefficients.
func (s *sweeper) explicit() {
	m, t := s.m, s.t
	for c := range t {
		flow := -s.edgeZ[c] * t[c]
		if c >= m.nr {
			flow += s.gz[c-m.nr] * (t[c-m.nr] - t[c])
		}
		if c+m.nr < len(t) {
			flow += s.gz[c] * (t[c+m.nr] - t[c])
		}
		s.rest[c] = t[c] + s.half/s.heat[c]*flow
	}
	s.payOwed()
}

// payOwed adds to a right side what the step before left out.
func (s *sweeper) payOwed() {
	for c, k := range s.owed {
		s.rest[c] += k
	}
}

// step advances by twice h in surroundings that have the mean temperature te.
func (s *sweeper) step(te float64) {
	if s.fresh {
		s.explicit()
		s.fresh = false
	}
	s.uptake = 0
	s.addUptake(s.m.across, len(s.edge), te, s.half)
	s.sweepAcross(te)
	s.payOwed()
	s.addUptake(0, s.m.across, te, 2*s.half)
	s.sweepAlong(te)
	s.addUptake(s.m.across, len(s.edge), te, s.half)
}

// addUptake counts what comes in through a run of edges. Edges across r count
// with T* for the whole step, those along z with T and T' for half each: the
// sum of the two half steps' equations.
func (s *sweeper) addUptake(from, to int, te, time float64) {
	sum := 0.0
	for e := from; e < to; e++ {
		sum += s.edge[e] * (te - s.t[s.m.edges[e].cell])
	}
	s.uptake += sum * time
}

func (s *sweeper) sweepAcross(te float64) {
	nr := s.m.nr
	for a := 0; a < len(s.t); a += nr {
		t, rest, given := s.t[a:a+nr], s.rest[a:a+nr], s.given[a:a+nr]
		low, inv, up := s.across.low[a:a+nr], s.across.inv[a:a+nr], s.across.up[a:a+nr]
		before := 0.0
		for i := range t {
			right := rest[i] + given[i]*te
			rest[i] = right
			before = right*inv[i] - low[i]*before
			t[i] = before
		}
		after := 0.0
		for i := nr - 1; i >= 0; i-- {
			after = t[i] + up[i]*after
			t[i] = after
			rest[i] = 2*after - rest[i]
		}
	}
}

func (s *sweeper) sweepAlong(te float64) {
	nr := s.m.nr
	before := s.out[:nr]
	clear(before)
	for a := 0; a < len(s.t); a += nr {
		t, rest, given := s.t[a:a+nr], s.rest[a:a+nr], s.given[a:a+nr]
		low, inv := s.along.low[a:a+nr], s.along.inv[a:a+nr]
		for i := range t {
			right := rest[i] + given[i]*te
			rest[i] = right
			t[i] = right*inv[i] - low[i]*before[i]
		}
		before = t
	}
	after := s.out[:nr]
	clear(after)
	for a := len(s.t) - nr; a >= 0; a -= nr {
		t, rest, up := s.t[a:a+nr], s.rest[a:a+nr], s.along.up[a:a+nr]
		for i := range t {
			t[i] += up[i] * after[i]
			rest[i] = 2*t[i] - rest[i]
		}
		after = t
	}
}
