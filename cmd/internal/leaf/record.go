package leaf

import (
	"fmt"
	"html/template"
	"strings"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/record"
)

// recordPath is the blank record of a batch.
func recordPath(name string, vessels int) string {
	return ofSize(name, "record", vessels)
}

// batchRecord is what a worker fills in with a pen, and a reviewer signs.
type batchRecord struct {
	batchFrame
	Sheet     link
	Documents []link // of this size, beside the record
	WorkedFor protocol.Message
	Record    recordView
	ToBook    *toBook
	Batch     BatchOf
	Form      string // how the code of the batch is written by hand
}

// recordView is the record itself: it stands behind a sheet on its own, too.
type recordView struct {
	Counts        protocol.Message // in the open
	Rules, Checks []protocol.Message
	Parts         []recordPart
}

type recordPart struct {
	ID     string
	Name   string
	Bounds []record.Bound
	Tables []recordTable
	Notes  []protocol.Message
}

// recordTable is a table of the record with its amounts set as figures.
type recordTable struct {
	record.Table
	Lines []recordLine
}

type recordLine struct {
	record.Row
	Boxes []recordCell
}

type recordCell struct {
	record.Cell
	Figure figure // of an amount
}

// Record sets the blank record of a batch.
func Record(e Edition, p procedure.Procedure, method Method) ([]byte, error) {
	b := p.Batch
	pr := b.Process.Input.Protocol
	own := recordPath(pr.Name, b.Vessels)
	page := batchRecord{
		batchFrame: e.frameOfBatch(b, own, "batch-record", "record", method),
		Sheet:      link{local(SheetPath(pr.Name, b.Vessels)), e.say("book.record.sheet")},
		Documents:  e.documents(b, own),
		WorkedFor:  e.workedFor(),
		Record:     e.record(p),
		ToBook:     e.toBookOf(own, codeModule),
		Batch:      e.Batch,
		Form:       e.codeForm(pr),
	}
	line := e.say("book.record.code_line")
	if e.Batch.Code != "" {
		line = e.say("book.record.code", "code", e.Batch.Code)
	}
	// Pages get apart, and each of them has to say of which batch it is.
	page.PageRule = template.CSS(fmt.Sprintf("%s@top-right{content:%s}}", strings.TrimSuffix(string(page.PageRule), "}"), cssString(line)))
	page.Policy = policy(page.PageRule, page.Kind)
	return e.html("record", page)
}

func (e Edition) record(p procedure.Procedure) recordView {
	v := recordView{Counts: countsInTheOpen(p.Batch), Rules: record.Rules(), Checks: record.Checks()}
	for _, part := range record.Build(p).Parts {
		x := recordPart{ID: "record-" + part.ID, Name: e.say("record.part." + part.ID), Bounds: part.Bounds, Notes: part.Notes}
		for _, t := range part.Tables {
			x.Tables = append(x.Tables, e.recordTable(t))
		}
		v.Parts = append(v.Parts, x)
	}
	return v
}

func (e Edition) recordTable(t record.Table) recordTable {
	out := recordTable{Table: t}
	out.ID = "cap-record-" + t.ID
	for _, r := range t.Rows {
		line := recordLine{Row: r}
		for _, c := range r.Cells {
			x := recordCell{Cell: c}
			if c.Amount != nil {
				x.Figure = e.figure(*c.Amount)
			}
			line.Boxes = append(line.Boxes, x)
		}
		out.Lines = append(out.Lines, line)
	}
	return out
}
