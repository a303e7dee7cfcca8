package heat

import "math"

// mesh is a body cut into rings: cell (i, j) is the i-th from the axis and the
// j-th from the bottom, number j·nr+i. Cells in the hole are there but masked.
type mesh struct {
	nr, nz  int
	rf, zf  []float64 // faces, m: nr+1 and nz+1 of them
	r, z    []float64 // centers, m
	ih, jh  int       // the hole has the cells with i < ih and j ≥ jh
	volume  []float64 // m³; 0 in the hole
	radial  []float64 // area over distance to the next cell outward, m; 0 where there is none
	axial   []float64 // the same, to the next cell upward
	edges   []edge    // faces to the surroundings, those across r first
	across  int       // how many of edges are across r
	weights float64   // volume of all cells, m³
}

// edge is a face between a cell and the surroundings.
type edge struct {
	cell int
	half float64 // area over distance from the cell's center to the face, m
	area float64 // m²
	side int     // which conductance it has: onSide, ...
}

const (
	onSide = iota
	onBottom
	onTop
	onHole
	sides
)

func (s Surfaces) all() [sides]float64 { return [sides]float64{s.Side, s.Bottom, s.Top, s.Hole} }

// thinnest floor of a hole, m; one with less is none (design choice). Its cells would be
// so flat that the scheme, which takes directions one after the other, is no longer stable
// where vapor moves: at a twentieth of this a dose was a quarter too low, and a little less
// still gave temperatures without end.
const thinnest = 1e-3

// newMesh cuts a body up, with faces on the wall and the floor of the hole.
func newMesh(b Body, h Hole, g Grid) *mesh {
	m := &mesh{nr: g.Radial, nz: g.Axial}
	// Cells inside the radius of the hole hold matter under its floor only.
	m.rf, m.ih = split(h.Radius, b.Radius, g.Radial, 2, max(2, g.Radial/6))
	floor := b.Height
	if h.Radius > 0 {
		if floor -= h.Depth; floor < thinnest {
			floor = 0
		}
	}
	// The floor gets a quarter of them at least: beside a wide hole the slowest
	// place lies in it.
	m.zf, m.jh = split(floor, b.Height, g.Axial, max(2, g.Axial/4), g.Axial-2)
	m.r, m.z = centers(m.rf), centers(m.zf)

	n := m.nr * m.nz
	m.volume, m.radial, m.axial = make([]float64, n), make([]float64, n), make([]float64, n)
	var up []edge
	for j := range m.nz {
		dz := m.zf[j+1] - m.zf[j]
		for i := range m.nr {
			if m.hollow(i, j) {
				continue
			}
			c := j*m.nr + i
			ring := math.Pi * (m.rf[i+1]*m.rf[i+1] - m.rf[i]*m.rf[i])
			m.volume[c] = ring * dz
			m.weights += m.volume[c]
			round := 2 * math.Pi * dz
			if i > 0 && m.hollow(i-1, j) {
				m.edges = append(m.edges, edge{c, round / math.Log(m.r[i]/m.rf[i]), round * m.rf[i], onHole})
			}
			if i == m.nr-1 {
				m.edges = append(m.edges, edge{c, round / math.Log(m.rf[i+1]/m.r[i]), round * m.rf[i+1], onSide})
			} else {
				m.radial[c] = round * m.rf[i+1] / (m.r[i+1] - m.r[i])
			}
			if j == 0 {
				up = append(up, edge{c, ring / (m.z[j] - m.zf[j]), ring, onBottom})
			}
			switch {
			case j == m.nz-1:
				up = append(up, edge{c, ring / (m.zf[j+1] - m.z[j]), ring, onTop})
			case m.hollow(i, j+1):
				up = append(up, edge{c, ring / (m.zf[j+1] - m.z[j]), ring, onHole})
			default:
				m.axial[c] = ring / (m.z[j+1] - m.z[j])
			}
		}
	}
	m.across = len(m.edges)
	m.edges = append(m.edges, up...)
	return m
}

// hollow says whether a cell lies in the hole.
func (m *mesh) hollow(i, j int) bool { return i < m.ih && j >= m.jh }

// first is the first cell of a row that holds matter.
func (m *mesh) first(j int) int {
	if j >= m.jh {
		return m.ih
	}
	return 0
}

// split cuts 0…whole into n cells with a face at part, and from few to many
// cells below it; it returns the faces and the number of the one at part.
// Nothing is cut where part is 0 or the whole.
func split(part, whole float64, n, few, many int) (faces []float64, at int) {
	if part > 0 && part < whole {
		at = int(math.Round(float64(n) * part / whole))
		at = min(max(at, few), many)
	} else if part >= whole {
		at = n
	}
	faces = make([]float64, n+1)
	for i := range faces {
		if i <= at && at > 0 {
			faces[i] = part * float64(i) / float64(at)
		} else {
			faces[i] = part + (whole-part)*float64(i-at)/float64(n-at)
		}
	}
	faces[n] = whole
	return faces, at
}

func centers(faces []float64) []float64 {
	out := make([]float64, len(faces)-1)
	for i := range out {
		out[i] = (faces[i] + faces[i+1]) / 2
	}
	return out
}
