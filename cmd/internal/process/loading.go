package process

import (
	"math"

	"bottlecrop/cmd/internal/sterilizer"
)

// Loading is how a load stands in the sterilizer, its layers from the lowest up.
type Loading struct {
	Tray   sterilizer.Tray
	Sketch bool    // the farm has not written its trays down, or counts more than they take
	Across float64 // outside diameter of a vessel, m
	Layers []sterilizer.Layer
}

// mostDrawn is how many vessels a map shows; nobody reads one with more.
const mostDrawn = 1200

// Loading lays n vessels, some of them controls, into the sterilizer. Where the
// farm has not measured its trays, the layers are a guess from the chamber's
// usable volume, in straight rows. It has no layers where the vessels do not go
// in or are too many to show.
func (p *Process) Loading(n, controls int) Loading {
	v, s := p.Vessel, p.Sterilizer
	l := Loading{Across: float64(v.Body + 2*v.Wall)}
	if p.Holds > mostDrawn {
		return l
	}
	l.Tray = sterilizer.Tray{Width: float64(s.Wide), Depth: float64(s.Deep), Diameter: float64(s.Round)}
	if s.Trays > 0 {
		l.Layers = sterilizer.Arrange(l.Tray.Spots(l.Across, sterilizer.Gap), s.Trays, p.Holds, n, controls)
	}
	if l.Layers != nil {
		return l
	}
	l.Sketch = true
	layers := s.Trays
	if layers == 0 {
		// As if the usable volume were a cube.
		layers = int(math.Cbrt(float64(p.Model.Usable)) / (float64(v.Height) + 2*sterilizer.Gap))
	}
	layers = max(1, min(layers, p.Holds))
	each := (p.Holds + layers - 1) / layers
	columns := int(math.Ceil(math.Sqrt(float64(each))))
	rows := (each + columns - 1) / max(columns, 1)
	pitch := l.Across + sterilizer.Gap
	l.Tray = sterilizer.Tray{Width: float64(columns)*pitch + sterilizer.Gap, Depth: float64(rows)*pitch + sterilizer.Gap}
	var spots []sterilizer.Spot
	for row := range rows {
		for column := range columns {
			spots = append(spots, sterilizer.Spot{X: sterilizer.Gap + l.Across/2 + float64(column)*pitch, Y: sterilizer.Gap + l.Across/2 + float64(row)*pitch})
		}
	}
	l.Layers = sterilizer.Arrange(spots, layers, p.Holds, n, controls)
	return l
}
