package leaf

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/record"
	"bottlecrop/cmd/internal/unit"
)

// cardsPath is the sheet of cards for the crates of a batch.
func cardsPath(name string, vessels int) string {
	return ofSize(name, "labels", vessels)
}

// bottleLabelsPath is the sheet of labels for its vessels one by one.
func bottleLabelsPath(name string, vessels int) string {
	return ofSize(name, "bottle-labels", vessels)
}

// cards are labels to print, cut or peel, and hang up or stick on.
type cards struct {
	batchFrame
	Species   string
	Lead      string
	Measures  string // of one label, and how many there are
	Documents []link
	Cut       bool
	Bottles   bool // labels of vessels, else cards of crates
	Sheets    [][]label
	Open      string // the rule
	Looks     []int
	Code      string // of the protocol
	ToBook    *toBook
	Batch     BatchOf
	Form      string // how the code of a batch is written by hand
	Foot      bool   // there is room for what the foot of a page says
}

// label is one place on a sheet; Blank is one on which nothing is printed.
type label struct {
	Blank    bool
	Controls bool
	Which    string // "Crate 3 of 5"
	Holds    string // "10 bottles"
}

// Cards sets the cards of a batch's crates.
func Cards(e Edition, b *batch.Batch, method Method) ([]byte, error) {
	sheet := e.Farm.Cards()
	list := record.Cards(b, sheet.Columns*sheet.Rows)
	page := e.labelPage(b, cardsPath(b.Process.Input.Protocol.Name, b.Vessels), "cards", sheet, method)
	page.ToBook = e.onLabel(b, sheet, cardFor)
	page.Lead = e.say("book.cards.lead", "n", len(list))
	if e.Farm.Crate == nil {
		page.Lead = e.say("book.cards.lead.blank")
	}
	for _, places := range record.Lay(sheet, len(list)) {
		var laid []label
		for _, at := range places {
			if at < 0 {
				laid = append(laid, label{Blank: true})
				continue
			}
			laid = append(laid, e.crateCard(b, list[at]))
		}
		page.Sheets = append(page.Sheets, laid)
	}
	return e.html("labels", page)
}

func (e Edition) crateCard(b *batch.Batch, c record.Card) label {
	out := label{Controls: c.Controls, Which: e.say("book.cards.blank"), Holds: e.say("book.cards.holds", "vessels", b.Process.Vessel.Many)}
	if c.Vessels > 0 {
		out.Holds = e.counted(b, c.Vessels)
	}
	switch {
	case c.Controls:
		out.Which = e.say("book.cards.controls")
	case c.Of > 0:
		out.Which = e.say("book.cards.crate", "n", c.Number, "of", c.Of)
	}
	return out
}

// BottleLabels sets the labels of a batch's vessels, one for each to grow.
func BottleLabels(e Edition, b *batch.Batch, method Method) ([]byte, error) {
	sheet, _ := e.Farm.BottleLabels()
	page := e.labelPage(b, bottleLabelsPath(b.Process.Input.Protocol.Name, b.Vessels), "bottle_labels", sheet, method)
	page.Bottles, page.ToBook = true, e.onLabel(b, sheet, bottleFor)
	page.Lead = e.say("book.bottle_labels.lead", "n", b.Vessels)
	for _, places := range record.Lay(sheet, b.Vessels) {
		var laid []label
		for _, at := range places {
			c := label{Blank: at < 0}
			if at >= 0 {
				c.Which = e.say("book.bottle_labels.of", "n", at+1, "of", b.Vessels)
			}
			laid = append(laid, c)
		}
		page.Sheets = append(page.Sheets, laid)
	}
	return e.html("labels", page)
}

// labelsBottles is true where the farm wants labels of single vessels.
func labelsBottles(e Edition, _ *batch.Batch) bool {
	_, wants := e.Farm.BottleLabels()
	return wants
}

// labelPage is what both sheets of labels share.
func (e Edition) labelPage(b *batch.Batch, path, kind string, sheet protocol.LabelSheet, method Method) cards {
	pr := b.Process.Input.Protocol
	days := record.Days(b)
	page := cards{
		batchFrame: e.frameOfBatch(b, path, "labels", kind, method),
		Species:    b.Process.Species.Common,
		Documents:  e.documents(b, path),
		Cut:        sheet.Cut,
		Open:       e.say("book."+kind+".open", "earliest", days.Earliest, "usual", days.Usual),
		Looks:      days.Looks,
		Code:       pr.Name,
		Batch:      e.Batch,
		Form:       e.codeForm(pr),
		Measures: e.say("book.cards.measures", "columns", sheet.Columns, "rows", sheet.Rows,
			"width", millimeters(sheet.Width), "height", millimeters(sheet.Height)),
	}
	rule, foot := labelRule(sheet, e.Farm.Paper, kind)
	page.PageRule += rule
	page.Foot = foot
	page.Policy = policy(page.PageRule, page.Kind)
	return page
}

// millimeters is a length as it is read off a ruler beside a sheet of labels.
func millimeters(l unit.Length) unit.Amount {
	return unit.Amount{Kind: unit.LengthOf, Value: float64(l), Unit: "mm", Digits: 3}
}

// labelRule lays the labels out on paper: each sheet fills a page without margins,
// and each label lies at its place to a hundredth of a millimeter. What the page
// says of itself stands on every label, for there is no foot to write in.
// What the foot of other pages says stands small below the last label, or above the
// first, where there is room.
func labelRule(s protocol.LabelSheet, paper, kind string) (rule template.CSS, foot bool) {
	width, height := protocol.PaperSize(paper)
	across, down := s.Pitch()
	mm := func(l unit.Length) string {
		return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(float64(l)*1000, 'f', 2, 64), "0"), ".") + "mm"
	}
	var b strings.Builder
	b.WriteString("@media print{")
	// A hair less than the paper, or rounding makes each sheet two.
	fmt.Fprintf(&b, ".of-%s{width:%s;height:%s}", kind, mm(width), mm(height-0.0005))
	fmt.Fprintf(&b, ".of-%s .label{width:%s;height:%s}", kind, mm(s.Width), mm(s.Height))
	for i := range s.Columns * s.Rows {
		fmt.Fprintf(&b, ".of-%s .label:nth-child(%d){left:%s;top:%s}", kind, i+1,
			mm(s.Left+unit.Length(i%s.Columns)*across), mm(s.Top+unit.Length(i/s.Columns)*down))
	}
	top, foot := labelFoot(s, height)
	if foot {
		fmt.Fprintf(&b, ".of-%s .label-foot{left:%s;width:%s;top:%s}", kind, mm(labelEdge), mm(width-2*labelEdge), mm(top))
	}
	b.WriteString("}")
	return template.CSS(b.String()), foot
}
