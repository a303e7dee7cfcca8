package sterilizer

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"bottlecrop/cmd/internal/working"
)

// Gap is the room for steam between two vessels and at the wall, m: a finger's
// width (common practice, no source).
const Gap = 0.010

// Tray is a level of a sterilizer: a round one has a Diameter, any other a Width
// and a Depth, m.
type Tray struct{ Width, Depth, Diameter float64 }

// Spot is where a vessel may stand: its center in m from the tray's left front
// corner, or from that of the square around a round tray.
type Spot struct{ X, Y float64 }

// mostSpots keeps a tray that somebody wrote in the wrong unit from filling the
// memory.
const mostSpots = 100_000

// Spots lists where round vessels stand that are so wide, with a gap around each,
// m: in straight or in staggered rows, or in rings, whichever takes more. Of two
// that take as many it is the first of these, which is the easiest to fill. It is
// no proof that none takes more.
func (t Tray) Spots(across, gap float64) []Spot {
	pitch := across + gap
	if !(across > 0) || !(gap >= 0) || t.size()/pitch/pitch > mostSpots {
		return nil
	}
	var best []Spot
	for _, list := range [][]Spot{t.rows(across, gap, false), t.rows(across, gap, true), t.rings(across, gap)} {
		if len(list) > len(best) {
			best = list
		}
	}
	return best
}

func (t Tray) size() float64 {
	if t.Diameter > 0 {
		return t.Diameter * t.Diameter
	}
	return t.Width * t.Depth
}

// rows are as many rows as go into the tray, from the middle outward.
func (t Tray) rows(across, gap float64, staggered bool) []Spot {
	pitch := across + gap
	high := pitch
	if staggered {
		high = pitch * math.Sqrt(3) / 2
	}
	wide, deep := t.Width, t.Depth
	if t.Diameter > 0 {
		wide, deep = t.Diameter, t.Diameter
	}
	// What is left for centers, with half a vessel and a gap at both walls.
	x, y := wide-2*gap-across, deep-2*gap-across
	if x < -slack || y < -slack {
		return nil
	}
	n := int((y+slack)/high) + 1
	var out []Spot
	for row := range n {
		at := deep/2 + (float64(row)-float64(n-1)/2)*high
		room := x
		if t.Diameter > 0 {
			r, dy := x/2, at-deep/2
			if math.Abs(dy) > r+slack {
				continue
			}
			room = 2 * math.Sqrt(max(0, r*r-dy*dy))
		}
		k := int((room+slack)/pitch) + 1
		shift := 0.0
		if staggered {
			// Each second row stands in the gaps of the one before it.
			k = int((x+slack)/pitch) + 1
			if row%2 == 1 {
				shift = pitch / 2
				if x-float64(k-1)*pitch < shift-slack {
					k--
				}
			}
		}
		first := wide/2 - float64(k-1)*pitch/2
		if staggered {
			whole := int((x+slack)/pitch) + 1
			left := wide/2 - float64(whole-1)*pitch/2
			if whole > 0 && x-float64(whole-1)*pitch >= pitch/2-slack {
				left -= pitch / 4 // both kinds of rows have as many: they share the room
			}
			first = left + shift
		}
		for i := range max(k, 0) {
			s := Spot{first + float64(i)*pitch, at}
			if t.Diameter > 0 && math.Hypot(s.X-wide/2, s.Y-deep/2) > x/2+slack {
				continue
			}
			out = append(out, s)
		}
	}
	return out
}

// rings are a vessel in the middle of a round tray and rings around it.
func (t Tray) rings(across, gap float64) []Spot {
	r := t.Diameter/2 - gap - across/2
	if t.Diameter <= 0 || r < -slack {
		return nil
	}
	pitch, c := across+gap, t.Diameter/2
	var out []Spot
	for ; r >= pitch/2-slack; r -= pitch {
		n := 2
		if r > pitch/2+slack {
			n = int(math.Pi/math.Asin(pitch/2/r) + slack)
		}
		for i := range n {
			a := 2 * math.Pi * float64(i) / float64(n)
			out = append(out, Spot{c + r*math.Cos(a), c + r*math.Sin(a)})
		}
	}
	if r > -pitch/2-slack && (len(out) == 0 || r > -slack) {
		out = append(out, Spot{c, c})
	}
	return out
}

// slack is a measure that no ruler shows, m.
const slack = 1e-9

// TrayPlaces is how many vessels of the width d stand with gaps on a tray of the width w
// and the depth l, or on a round one of the diameter d_tray; all in m.
var TrayPlaces = working.NewLaw("places(w, l, d_tray, d)", "straight or staggered rows, or rings, with 10 mm around each vessel",
	map[string]working.Function{"places": func(a ...float64) (float64, error) {
		if len(a) != 4 || !(a[3] > 0) {
			return 0, errors.New("takes a width, a depth, a diameter and the width of a vessel")
		}
		return float64(len(Tray{a[0], a[1], a[2]}.Spots(a[3], Gap))), nil
	}})

// NarrowestOfTray is the width that a vessel may have at most to stand on a tray
// of the width w and the depth l, m. RoundTray is the same for a round one of the
// diameter d_tray, m.
var (
	NarrowestOfTray = working.NewLaw("min(w, l)", "definition", nil)
	RoundTray       = working.NewLaw("d_tray", "definition", nil)
)

// OutsideWidth is the outside diameter of a vessel of the inside D with a wall s, m.
var OutsideWidth = working.NewLaw("D + 2 * s", "definition", nil)

// LoadOfTrays is the load of cap vessels as a multiple of the places on all trays, k on
// each.
var LoadOfTrays = working.NewLaw("cap / max(1, trays * k)", "definition", nil)

// Use is what stands on a spot.
type Use uint8

// The uses of a spot.
const (
	Crop      Use = iota
	Control       // filled, gets no spawn
	Probe         // a vessel to grow, and where a probe goes in a probe run
	Indicator     // a vessel to grow, and where an indicator goes
	Water         // a vessel of water that fills up a part load
)

// Layer is one level of a load. Places are those of the load: a farm may count
// fewer than there are spots.
type Layer struct {
	Spots []Spot
	Uses  []Use
}

// Arrange lays n vessels, some of them controls, on so many layers with the same
// spots, in a sterilizer that takes places vessels. Vessels are spread evenly
// over the layers and over each of them, and water stands on the places that are
// left. The probe is in the middle of the fullest layer, of several the middle
// one: it is expected to be the slowest. With no vessel but controls there is no
// probe. Indicators are beside it and in the
// middle of the lowest layer, where air collects, and controls at the edge. It
// returns nil where they do not go in.
func Arrange(spots []Spot, layers, places, n, controls int) []Layer {
	if layers < 1 || n < 1 || controls < 0 || controls > n || n > places || places > layers*len(spots) {
		return nil
	}
	middle := center(spots)
	inner := slices.Clone(spots) // the nearest to the middle first
	slices.SortFunc(inner, func(a, b Spot) int {
		return cmp.Or(cmp.Compare(round(dist(a, middle)), round(dist(b, middle))), cmp.Compare(round(a.Y), round(b.Y)), cmp.Compare(round(a.X), round(b.X)))
	})
	held, filled := Split(places, layers), Split(n, layers)
	out := make([]Layer, layers)
	fullest := 0
	for i := range out {
		out[i] = spread(inner[:held[i]], filled[i])
		if filled[i] == filled[0] {
			fullest = i
		}
	}
	fullest /= 2
	mark := func(layer int, use Use, near Spot, farthest bool) bool {
		l, best := &out[layer], -1
		for i, s := range l.Spots {
			if l.Uses[i] != Crop {
				continue
			}
			if best < 0 || farthest && round(dist(s, near)) > round(dist(l.Spots[best], near)) ||
				!farthest && round(dist(s, near)) < round(dist(l.Spots[best], near)) {
				best = i
			}
		}
		if best >= 0 {
			l.Uses[best] = use
		}
		return best >= 0
	}
	mark(fullest, Probe, middle, false)
	for i := range controls {
		// In turn on the layers after the fullest; a layer that is used up is passed.
		for k := range layers {
			if mark((fullest+1+i+k)%layers, Control, middle, true) {
				break
			}
		}
	}
	mark(fullest, Indicator, middle, false)
	mark(0, Indicator, middle, false)
	return out
}

// spread fills n of the spots, of which the first is the innermost: that one, and
// then always the one that is farthest from all that stand. Of a layer that is
// more than half full the water is spread in this way, and the innermost stays.
func spread(spots []Spot, n int) Layer {
	rows := slices.Clone(spots)
	slices.SortFunc(rows, func(a, b Spot) int {
		return cmp.Or(cmp.Compare(round(a.Y), round(b.Y)), cmp.Compare(round(a.X), round(b.X)))
	})
	l := Layer{rows, make([]Use, len(rows))}
	few, use, rest := n, Crop, Water
	if n > len(rows)/2 {
		few, use, rest = len(rows)-n, Water, Crop
	}
	for i := range l.Uses {
		l.Uses[i] = rest
	}
	if few == 0 {
		return l
	}
	away := make([]float64, len(rows)) // from the nearest that is taken
	for i, s := range rows {
		away[i] = dist(s, spots[0])
	}
	if use == Crop {
		l.Uses[slices.Index(rows, spots[0])] = use
		few--
	}
	for range few {
		best := 0
		for i := range rows {
			if round(away[i]) > round(away[best]) {
				best = i
			}
		}
		l.Uses[best] = use
		for i, s := range rows {
			away[i] = min(away[i], dist(s, rows[best]))
		}
	}
	return l
}

func center(spots []Spot) (c Spot) {
	low, high := spots[0], spots[0]
	for _, s := range spots {
		low.X, low.Y, high.X, high.Y = min(low.X, s.X), min(low.Y, s.Y), max(high.X, s.X), max(high.Y, s.Y)
	}
	return Spot{(low.X + high.X) / 2, (low.Y + high.Y) / 2}
}

func dist(a, b Spot) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// round takes away the last bits, so that spots that are as far stay a tie.
func round(x float64) float64 { return math.Round(x*1e6) / 1e6 }
