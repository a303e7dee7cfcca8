package farmfile

import (
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// labels checks that the farm's sheets of labels can be printed: each label is large
// enough for its text, none lies on another, and all of them lie on the paper.
func (f *Folder) labels(b *binder) {
	if f.Farm.Labels == nil {
		return
	}
	if s := f.Farm.Labels.Cards; s != nil {
		f.labelSheet(b, "labels.cards", *s, protocol.CardWidth, protocol.CardHeight)
	}
	if s := f.Farm.Labels.Bottles; s != nil {
		f.labelSheet(b, "labels.bottles", *s, protocol.BottleWidth, protocol.BottleHeight)
	}
}

// hair is less than a ruler shows, m: measures of labels are rounded by who prints
// them on the box.
const hair = 0.00005

func (f *Folder) labelSheet(b *binder, path string, s protocol.LabelSheet, width, height unit.Length) {
	right := func(keys ...string) bool { // what is used was written as it should be
		for _, k := range keys {
			if b.refused[under(path, k)] {
				return false
			}
		}
		return true
	}
	mm := func(l unit.Length) unit.Amount {
		return unit.Amount{Kind: unit.LengthOf, Value: float64(l), Unit: "mm", Digits: 4}
	}
	if !right("columns", "rows", "width", "height") {
		return
	}
	across, down := s.Pitch()
	w, h := protocol.PaperSize(f.Farm.Paper)
	toRight, toBottom := s.Reach()
	for _, side := range []struct {
		size, pitch, margin string
		is, least, step     unit.Length
		reach, paper        unit.Length
	}{
		{"width", "across", "left", s.Width, width, across, toRight, w},
		{"height", "down", "top", s.Height, height, down, toBottom, h},
	} {
		switch {
		case side.is < side.least-hair:
			b.refuse(under(path, side.size), "labels.small", args{"least": mm(side.least)}, "labels_small", nil)
		case right(side.pitch) && side.step < side.is-hair:
			b.refuse(under(path, side.pitch), "labels.pitch", args{"size": mm(side.is)}, "labels_pitch", nil)
		case right(side.pitch, side.margin) && !b.refused["paper"] && side.reach > side.paper+hair:
			b.refuse(under(path, side.size), "labels.paper", args{"reach": mm(side.reach), "paper": mm(side.paper), "name": f.Farm.Paper}, "labels_paper", nil)
		}
	}
	if n := s.Columns * s.Rows; right("first_free") && s.First > n {
		b.refuse(under(path, "first_free"), "labels.first", args{"n": n}, "labels_first", nil)
	}
}
