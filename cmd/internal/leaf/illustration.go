package leaf

import (
	"math"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// illustration is a picture of how a step is done, from the figures of the
// protocol.
type illustration struct {
	Step    work.StepID
	Picture picture
}

// illustrations are the pictures of a batch's steps, in their order. Steps that
// the batch does not have give none.
func (e Edition) illustrations(p procedure.Procedure) []illustration {
	has := map[work.StepID]bool{}
	for _, s := range p.Steps {
		has[s.ID] = true
	}
	var out []illustration
	for _, i := range []struct {
		step work.StepID
		make func(*batch.Batch) *picture
	}{
		{work.StartShift, e.zeroPicture}, {work.TapDown, e.linePicture}, {work.BoreHoles, e.madePicture}, {work.Cap, e.capPicture},
		{work.Sterilize, e.dialPicture}, {work.InspectBore, func(b *batch.Batch) *picture { return e.borePicture(b.Process) }},
		{work.Scrape, e.scrapePicture}, {work.FitCollar, e.collarPicture},
	} {
		if has[i.step] {
			if made := i.make(p.Batch); made != nil {
				out = append(out, illustration{i.step, *made})
			}
		}
	}
	return out
}

// inFigures is a table of what a picture shows, in two columns.
func (e Edition) inFigures(id, caption string, rows [][]string) []table {
	return []table{{ID: id, Caption: e.say(caption), Head: []string{e.say("book.figure.of.what"), e.say("book.figure.of.how-much")}, Rows: rows}}
}

// madePicture is the bore while it is made.
func (e Edition) madePicture(b *batch.Batch) *picture {
	p := b.Process
	bore := boreOf(p)
	deep, floor, top, foot := e.ruler(bore.Depth), e.ruler(p.Value("bore_floor")), e.ruler(bore.Top), e.ruler(bore.Bottom)
	out := &picture{Notice: e.say("book.figure.made.notice", "depth", deep)}
	out.add(draw.BoreLook{
		Title:       e.say("book.figure.made.title", "one", p.Vessel.One),
		Description: e.say("book.figure.made.desc", "depth", deep, "top", top, "foot", foot, "floor", floor),
		Shape:       shapeOf(p.Vessel), Line: p.Value("line_below_rim"), Bore: bore, Rod: true,
		Deep: e.labeled(deep, "book.figure.made.deep"), Floor: e.labeled(floor, "book.figure.made.floor"), Across: e.labeled(top, "book.figure.made.across"),
	}.String())
	out.Tables = e.inFigures("cap-made", "book.figure.made.table", [][]string{
		{e.say("book.figure.made.row.deep"), e.show(deep)}, {e.say("book.figure.made.row.floor"), e.show(floor)},
		{e.say("book.figure.made.row.across"), e.show(top)}, {e.say("book.figure.made.row.foot"), e.show(foot)},
	})
	return out
}

// labeled is an amount with what it is of.
func (e Edition) labeled(a unit.Amount, id string) draw.Label {
	return draw.Label{Measure: e.show(a), Words: e.say(id)}
}

// capPicture is a lid that sits, and one that does not.
func (e Edition) capPicture(b *batch.Batch) *picture {
	p := b.Process
	out := &picture{Notice: e.say("book.figure.cap.notice")}
	for _, which := range []string{"seated", "tipped"} {
		id := "book.figure.cap." + which
		is := id + ".is"
		if which == "seated" && !p.Vessel.LidFiltered {
			is = id + ".loose"
		}
		out.add(draw.CapLook{
			Title: e.say(id, "one", p.Vessel.One), Description: e.say(id + ".desc"),
			Shape: shapeOf(p.Vessel), Line: p.Value("line_below_rim"), Tipped: which == "tipped",
			Verdict: draw.Label{Measure: e.say(id + ".word"), Words: e.say(is)},
		}.String())
	}
	return out
}

// How broad a finger is, at the last joint of the middle one: 18 to 20 mm in most
// adults, from memory, m. Fingers differ, so the picture says that a ruler
// decides.
const (
	fingerLeast = 0.018
	fingerMost  = 0.020
	fingerDrawn = 0.019
	lengthSlack = 1e-9 // a length of a file is not exact to the last bit
)

// inFingers says about how many fingers a measure below the rim is.
func inFingers(line float64, measure unit.Amount) protocol.Message {
	n, whole := int(math.Round(line/fingerDrawn)), int(line/fingerDrawn)
	switch {
	case line < fingerLeast-lengthSlack:
		return words.Message("book.figure.line.under", "line", measure)
	case line < float64(n)*fingerLeast-lengthSlack || line > float64(n)*fingerMost+lengthSlack:
		return words.Message("book.figure.line.between", "line", measure, "n", whole, "more", whole+1)
	}
	return words.Message("book.figure.line.about", "line", measure, "n", n)
}

// linePicture is the fill line, with a finger for a ruler.
func (e Edition) linePicture(b *batch.Batch) *picture {
	p := b.Process
	line := p.Value("line_below_rim")
	measure := e.ruler(line)
	out := &picture{Notice: e.Voice.Say(inFingers(line, measure))}
	broad := e.say("book.figure.line.of", "least", e.ruler(fingerLeast), "most", e.ruler(fingerMost))
	out.add(draw.FingerLook{
		Title:       e.say("book.figure.line.title", "one", p.Vessel.One),
		Description: e.say("book.figure.line.desc", "line", measure),
		Shape:       shapeOf(p.Vessel), Line: line, Breadth: fingerDrawn, Fingers: max(1, int(line/fingerLeast)),
		Measure: e.labeled(measure, "book.figure.line.word"), Of: draw.Label{Measure: broad, Words: e.say("book.figure.line.finger")},
	}.String())
	out.Tables = e.inFigures("cap-line", "book.figure.line.table", [][]string{
		{e.say("book.figure.line.row"), e.show(measure)}, {e.say("book.figure.line.row.finger"), broad},
	})
	return out
}

// scrapePicture is what comes off a top.
func (e Edition) scrapePicture(b *batch.Batch) *picture {
	p := b.Process
	depth := e.ruler(p.Value("scrape_depth"))
	how, kind, off := draw.ScrapeLevel, "", "book.figure.scrape.off"
	switch p.Input.Protocol.Opening.Scrape {
	case protocol.ScrapeRaised:
		how, kind = draw.ScrapeRaised, ".raised"
	case protocol.ScrapeLight:
		how, kind, off = draw.ScrapeSkin, ".light", off+".light"
	}
	out := &picture{Notice: e.say("book.figure.scrape.notice"+kind, "depth", depth)}
	out.add(draw.ScrapeLook{
		Title: e.say("book.figure.scrape.title", "one", p.Vessel.One), Description: e.say("book.figure.scrape.desc"+kind, "depth", depth),
		Shape: shapeOf(p.Vessel), Line: p.Value("line_below_rim"), Depth: p.Value("scrape_depth"), How: how,
		Off: e.labeled(depth, off), Middle: draw.Label{Words: e.say("book.figure.scrape.middle")},
	}.String())
	out.Tables = e.inFigures("cap-scrape", "book.figure.scrape.table", [][]string{{e.say("book.figure.scrape.row"), e.show(depth)}})
	return out
}

// collarPicture is a collar and the stems that it goes round.
func (e Edition) collarPicture(b *batch.Batch) *picture {
	p := b.Process
	stem, high := e.ruler(p.Value("collar_stem")), e.ruler(p.Value("collar_height"))
	line := p.Value("line_below_rim")
	if p.Input.Protocol.Opening.Scrape == protocol.ScrapeLevel { // the stems stand on what is left
		line += p.Value("scrape_depth")
	}
	out := &picture{Notice: e.say("book.figure.collar.notice", "stem", stem, "height", high)}
	out.add(draw.CollarLook{
		Title: e.say("book.figure.collar.title", "one", p.Vessel.One), Description: e.say("book.figure.collar.desc", "stem", stem, "height", high),
		Shape: shapeOf(p.Vessel), Line: line, Stem: p.Value("collar_stem"), Collar: p.Value("collar_height"),
		StemLong: e.labeled(stem, "book.figure.collar.stem"), High: e.labeled(high, "book.figure.collar.high"),
	}.String())
	out.Tables = e.inFigures("cap-collar", "book.figure.collar.table", [][]string{
		{e.say("book.figure.collar.row.stem"), e.show(stem)}, {e.say("book.figure.collar.row.high"), e.show(high)},
	})
	return out
}
