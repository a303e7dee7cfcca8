package protocol

import "bottlecrop/cmd/internal/unit"

// Labels are the sheets of labels that a farm prints. What is left out is printed
// on plain paper: cards to cut, and no labels for single vessels.
type Labels struct {
	Cards   *LabelSheet `toml:"cards" method:"-"`   // for crates
	Bottles *LabelSheet `toml:"bottles" method:"-"` // for vessels one by one
}

// LabelSheet is the measures of one sheet of labels, on the farm's paper. Labels are
// counted along the rows, from the upper left one.
type LabelSheet struct {
	Columns int         `toml:"columns" validate:"required,min=1,max=20" method:"-"`
	Rows    int         `toml:"rows" validate:"required,min=1,max=60" method:"-"`
	Width   unit.Length `toml:"width" validate:"required" method:"-"` // of one label
	Height  unit.Length `toml:"height" validate:"required" method:"-"`
	Across  unit.Length `toml:"across" method:"-"`                      // from left edge to left edge; left out, the width
	Down    unit.Length `toml:"down" method:"-"`                        // from upper edge to upper edge; left out, the height
	Left    unit.Length `toml:"left" method:"-"`                        // margin beside the first
	Top     unit.Length `toml:"top" method:"-"`                         // margin above it
	First   int         `toml:"first_free" validate:"min=0" method:"-"` // of a sheet that was begun, from 1; 0 is the first
	Cut     bool        `toml:"cut_lines" method:"-"`                   // for paper without labels of its own
}

// PaperSize is a sheet of paper: A4 by ISO 216, letter by ANSI/ASME Y14.1 (8.5 by
// 11 in; from memory).
func PaperSize(paper string) (width, height unit.Length) {
	if paper == "A4" {
		return 0.210, 0.297
	}
	return 0.2159, 0.2794
}

// Measures of a label that texts fit into (design choice): a card for a crate has
// lines for a pen, a label for a vessel has three lines of print.
const (
	CardWidth    unit.Length = 0.085
	CardHeight   unit.Length = 0.058
	BottleWidth  unit.Length = 0.038
	BottleHeight unit.Length = 0.021
)

// plainCards are two by four cards in the middle of a sheet of plain paper, to be
// cut: as large on A4 as on letter (design choice).
func plainCards(paper string) LabelSheet {
	w, h := PaperSize(paper)
	s := LabelSheet{Columns: 2, Rows: 4, Width: 0.093, Height: 0.063, Cut: true}
	s.Left, s.Top = (w-2*s.Width)/2, (h-4*s.Height)/2
	return s
}

// Pitch is from one label to the next.
func (s LabelSheet) Pitch() (across, down unit.Length) {
	across, down = s.Across, s.Down
	if across == 0 {
		across = s.Width
	}
	if down == 0 {
		down = s.Height
	}
	return across, down
}

// Reach is how far the last label reaches from the paper's left and upper edges.
func (s LabelSheet) Reach() (right, bottom unit.Length) {
	across, down := s.Pitch()
	return s.Left + unit.Length(s.Columns-1)*across + s.Width, s.Top + unit.Length(s.Rows-1)*down + s.Height
}

// Cards is how crate cards of a farm are printed.
func (f Farm) Cards() LabelSheet {
	if f.Labels != nil && f.Labels.Cards != nil {
		return *f.Labels.Cards
	}
	return plainCards(f.Paper)
}

// BottleLabels is how labels of single vessels are printed, if the farm wants any.
func (f Farm) BottleLabels() (LabelSheet, bool) {
	if f.Labels != nil && f.Labels.Bottles != nil {
		return *f.Labels.Bottles, true
	}
	return LabelSheet{}, false
}
