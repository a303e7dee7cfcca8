package leaf

import (
	"html/template"
	"net/url"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// A QR code on paper leads from a wet hand to the page in the book. Each of its
// modules is half a millimeter wide at least, and a quarter of it may be covered: some
// six dots of a printer with 300 to the inch, and, at arm's length (60 cm), two pixels
// or more of a telephone's camera (4000 pixels over 70 degrees; design choice, from
// memory). What hangs on a wall has larger ones.
const (
	codeModule = 0.5 // mm
	wallModule = 0.6 // mm
)

// toBook is a QR code with what it leads to in words beside it.
type toBook struct {
	Drawing template.HTML
	Text    string // the batch's code, where it has one, else the address without its scheme
	side    float64
}

// BatchOf says of which batch the documents of an edition are, where they are printed
// for one.
type BatchOf struct {
	Code  string // "" for documents with a box to write it in
	Mixed string // the day, "" where nobody said
}

// address is where a page of the book is by its path, and a place on it; "" where the
// farm has no address, and for a page that no book has as it is.
func (e Edition) address(path, place string) string {
	if e.Address == "" || e.Rescaled != nil {
		return "" // the page in the book is another than this one
	}
	folder := ""
	if e.Folder != "" {
		folder = e.Folder + "/"
	}
	address := strings.TrimSuffix(e.Address, "/") + "/" + folder + path
	if place != "" {
		address += "#" + place
	}
	return address
}

// toBook leads to a page of the book; nil where that has no address.
func (e Edition) toBook(path, place string, module float64) *toBook {
	address := e.address(path, place)
	if address == "" {
		return nil
	}
	code, err := draw.NewQR(address)
	if err != nil {
		return nil // longer than any address that the reader lets through
	}
	_, text, _ := strings.Cut(address, "://")
	text, _, _ = strings.Cut(text, "#")
	return &toBook{Drawing: template.HTML(code.SVG(module, e.say("book.to_book", "address", address))), // drawn, its title escaped
		Text: text, side: module * float64(code.Modules())}
}

// toBookOf leads to a page about a batch: with its code, where it has one.
func (e Edition) toBookOf(path string, module float64) *toBook {
	c := e.toBook(path, e.batchPlace(), module)
	if c != nil && e.Batch.Code != "" {
		c.Text = e.Batch.Code
	}
	return c
}

// batchPlace is the batch as a place on a page about it.
func (e Edition) batchPlace() string {
	if e.Batch.Code == "" {
		return ""
	}
	return "batch=" + url.QueryEscape(e.Batch.Code)
}

// codeForm is how the code of a batch of a protocol is written, for who writes it by
// hand.
func (e Edition) codeForm(pr protocol.Protocol) string {
	return e.Farm.CodeRule().Code(pr, protocol.MixingDay{
		Date: e.say("book.code.date"), Short: e.say("book.code.short"), Week: e.say("book.code.week")}, 1)
}

// Room that a label has to have beside and below a code, m: for the lines of a crate
// card, which go all across below it, and for what else stands on a label of a vessel.
const (
	cardBeside   unit.Length = 0.050
	cardBelow    unit.Length = 0.030
	bottleBeside unit.Length = 0.0345
	bottleAround unit.Length = 0.0025
)

// Measures of a label, m, as the stylesheet prints them: what is left free at each edge.
const (
	cardEdge   unit.Length = 0.0035
	bottleEdge unit.Length = 0.0018
	codeText   unit.Length = 0.0045 // two lines of small print below a code
)

// cardFor and bottleFor are the smallest labels that a code fits on.
func cardFor(side unit.Length) (width, height unit.Length) {
	return max(protocol.CardWidth, side+cardBeside+2*cardEdge), max(protocol.CardHeight, side+codeText+cardBelow)
}

func bottleFor(side unit.Length) (width, height unit.Length) {
	return max(protocol.BottleWidth, side+bottleBeside+2*bottleEdge), max(protocol.BottleHeight, side+bottleAround)
}

// onLabel is the code of a label sheet's labels: nil where they are too small for it.
// It leads to the sheet of the batch.
func (e Edition) onLabel(b *batch.Batch, s protocol.LabelSheet, least func(unit.Length) (unit.Length, unit.Length)) *toBook {
	c := e.toBookOf(SheetPath(b.Process.Input.Protocol.Name, b.Vessels), codeModule)
	if c == nil {
		return nil
	}
	if w, h := least(unit.Length(c.side / 1000)); !hasRoom(s, w, h) {
		return nil
	}
	return c
}

// hasRoom reports whether labels are as large as that.
func hasRoom(s protocol.LabelSheet, width, height unit.Length) bool {
	return s.Width >= width && s.Height >= height
}

// TooSmall are the measures that the labels of a batch would have to have for a QR
// code that they lack: by "cards" and "bottles".
func (e Edition) TooSmall(b *batch.Batch) map[string][2]unit.Length {
	address := e.address(SheetPath(b.Process.Input.Protocol.Name, b.Vessels), e.batchPlace())
	if address == "" {
		return nil
	}
	modules, err := draw.QRModules(address)
	if err != nil {
		return nil // as in toBook
	}
	out := map[string][2]unit.Length{}
	add := func(kind string, s protocol.LabelSheet, least func(unit.Length) (unit.Length, unit.Length)) {
		if w, h := least(unit.Length(codeModule * float64(modules) / 1000)); !hasRoom(s, w, h) {
			out[kind] = [2]unit.Length{w, h}
		}
	}
	add("cards", e.Farm.Cards(), cardFor)
	if s, wanted := e.Farm.BottleLabels(); wanted {
		add("bottles", s, bottleFor)
	}
	return out
}

// call is somebody to call, as it is printed.
type call struct{ Who, Telephone, When string }

// calls are those whom the farm says to call, and whether its emergency number is
// among them.
func (e Edition) calls() (list []call, emergency bool) {
	for _, c := range e.Farm.Calls {
		list = append(list, call{c.Who, c.Telephone, c.When})
		emergency = emergency || c.Emergency
	}
	return list, emergency
}

// callLine names them in a line, "" where the farm says none.
func (e Edition) callLine() string {
	var out []string
	for _, c := range e.Farm.Calls {
		out = append(out, e.say("book.calls.one", "who", c.Who, "telephone", strings.ReplaceAll(c.Telephone, " ", unit.Space)))
	}
	return e.Voice.List(out)
}

// labelFoot is where what the foot of a page says elsewhere stands on a sheet of labels:
// small, in the margin below the last label or above the first, where there is room.
func labelFoot(s protocol.LabelSheet, height unit.Length) (top unit.Length, fits bool) {
	_, bottom := s.Reach()
	const apart = 0.001
	switch {
	case height-bottom >= labelLines+labelEdge+apart:
		return bottom + apart, true
	case s.Top >= labelLines+labelEdge+apart:
		return s.Top - apart - labelLines, true
	}
	return 0, false
}

// Two lines of print in the margin of a sheet of labels, and what no printer reaches, m.
const (
	labelLines unit.Length = 0.0055
	labelEdge  unit.Length = 0.006
)
