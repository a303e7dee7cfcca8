package leaf

import (
	"math"
	"strings"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// How long a card gets is reckoned from the sizes that the stylesheet prints ("Wall cards"
// in book.css: change both).

// wallPapers are A4 and Letter without the card's margins: wide and high, mm.
var wallPapers = map[string][2]float64{"A4": {188, 280.5}, "letter": {193.9, 262.9}}

// wallLarge is how many times as large a card's letters are, by its class large-2
// and large-3.
var wallLarge = []float64{1, 1.2, 1.45}

// wallSpare is left free, since what is reckoned is not what a browser does, mm.
// Words that are longer break lines elsewhere than is reckoned, which adds up.
const (
	wallSpare       = 1.0
	wallSpareLonger = 6.0
)

// The measures and the letters of a card, as the stylesheet prints them, mm.
const (
	pt           = 25.4 / 72
	wallNumbers  = 12.0 // the numbers of the steps hang in it
	wallPicture  = 78.0
	wallLook     = 36.0       // one of two drawings beside each other
	wallUnit     = 78.0 / 284 // mm to a unit of a drawing, so that its letters are alike
	wallBeside   = 4.0        // between the steps and a picture
	wallAmounts  = 26.5
	wallSignals  = 34.0 // the signal words of English
	wallLonger   = 43.0 // those of other languages: ADVERTENCIA
	wallStopName = 20.0
)

// wallSignals is how wide the column of signal words is, with the gap behind it, mm.
func (e Edition) wallSignals() float64 {
	if e.Voice.Tag() == words.Original {
		return wallSignals
	}
	return wallLonger
}

// wallSpare is what is left free on a card, mm.
func (e Edition) wallSpare() float64 {
	if e.Voice.Tag() == words.Original {
		return wallSpare
	}
	return wallSpareLonger
}

// typeface is a size of type: its size and the height of a line, both in pt and
// in its size, and how much wider it is set than the regular one.
type typeface struct{ size, line, set float64 }

const regular, bold = 1.0, 1.08

var (
	wallText     = typeface{13, 1.2, regular}
	wallBold     = typeface{13, 1.2, bold}
	wallTitle    = typeface{15, 1.15, bold}
	wallCritical = typeface{14, 1.45, bold} // its figures are 20 pt, and make the lines higher
	wallFigure   = typeface{20, 1, bold}
	wallSmall    = typeface{11, 1.2, regular}
	wallReading  = typeface{10, 1.2, regular} // how to read a picture
)

// fontWidths are those of the letters from blank to tilde in the book's font, in
// thousandths of its size: its own, of the regular weight.
var fontWidths = [...]float64{
	280, 286, 301, 651, 592, 919, 731, 160, 299, 299, 485, 606, 210, 362, 210, 387, 648, 407, 548,
	576, 614, 588, 598, 510, 615, 595, 210, 210, 553, 628, 553, 480, 778, 626, 613, 645, 669, 569,
	552, 694, 694, 392, 512, 631, 541, 824, 693, 714, 592, 724, 614, 592, 558, 690, 593, 856, 623,
	575, 607, 317, 387, 344, 552, 372, 243, 525, 566, 485, 564, 538, 314, 558, 550, 252, 245, 492,
	262, 845, 550, 548, 566, 574, 349, 471, 326, 540, 461, 684, 481, 449, 460, 344, 237, 344, 555,
}

// widthOf is the width of a letter as a share of its size. What the table does
// not have is taken as wide as a wide small letter.
func widthOf(r rune) float64 {
	switch i := int(r) - ' '; {
	case i >= 0 && i < len(fontWidths):
		return fontWidths[i] / 1000
	case r == '\u00a0':
		return fontWidths[0] / 1000
	}
	return 0.6
}

func (f typeface) long(text string) float64 {
	sum := 0.0
	for _, r := range text {
		sum += widthOf(r)
	}
	return sum * f.set * f.size * pt
}

// high is how high a text is that is broken at blanks to a width, mm.
func (f typeface) high(text string, width float64) float64 {
	at, lines := 0.0, 1.0
	for _, word := range strings.Split(text, " ") {
		w := f.long(word)
		if at > 0 && at+w > width {
			lines++
			at = 0
		}
		at += w + f.long(" ")
	}
	return lines * f.size * f.line * pt
}

func (e Edition) fits(c wallCard, large float64) bool {
	paper := wallPapers[e.Farm.Paper]
	scale := large * e.lettering()
	return scale*(e.paperOf(c, paper[0]/scale, large)+e.wallSpare()) <= paper[1]
}

// paperOf is how high a card is on paper of a width, mm, where letters are so many times
// as large and all else is told in their measure.
func (e Edition) paperOf(c wallCard, wide, large float64) float64 {
	say := e.Voice.Say
	lead := strings.Join([]string{c.ProtocolTitle, e.say("book.sheet.size", "n", c.Size, "vessels", c.Many), c.Roles}, " · ")
	title := wallText
	title.set = (wallText.long(lead) + wallBold.long(say(c.When))) / wallText.long(lead+say(c.When))
	head := 6.2 + 1 + 32*pt + title.high(lead+" · "+say(c.When), wide) + 1.2
	for i, g := range c.Hazards {
		if i == 0 {
			head += 1.6
		}
		head += 1
		f := typeface{13, 1.13, regular}
		if g.Signal == procedure.Danger {
			f.set = bold
		}
		for _, l := range g.Lines {
			head += f.high(say(l.Text), wide-e.wallSignals())
		}
	}
	return head + e.middleOf(c, wide) + e.footOf(c, wide, large)
}

// footOf is how high the end of a card is: when to stop, whom to call, and what the
// foot of a page says.
func (e Edition) footOf(c wallCard, wide, large float64) float64 {
	say := e.Voice.Say
	foot := 1.2 + 1.4 + 8.7 + 17*pt // the lines above and below, the foot of the page
	stop := typeface{17, 1, bold}.long(e.say("book.wall.stops")) + wallText.long(" ")
	foot += wallText.high(strings.Repeat("\u00a0", int(stop/wallText.long(" ")))+e.say("book.wall.stops.any"), wide) - wallText.size*pt
	for _, s := range c.Stops {
		foot += 0.5 + wallText.high(say(s.Text), wide-wallStopName)
	}
	more := []string{e.say("book.wall.full")}
	if c.Short {
		more = append(more, e.say("book.wall.short"))
	}
	if c.TroubleCard.Href != "" {
		more = append(more, e.say("book.wall.trouble"), c.TroubleCard.Text)
	}
	code := 0.0
	if c.ToBook != nil { // it is as large whatever the letters are, and the last lines stand beside it
		code = c.ToBook.side / large
		wide -= code + wallBeside
		more = append(more, strings.ReplaceAll(c.ToBook.Text, "/", " ")) // it may break behind a stroke
	}
	return foot + math.Max(code, e.callsOf(c, wide)+0.8+wallSmall.high(strings.Join(more, " "), wide))
}

// callsOf is how high the lines are that say whom to call, or those to write it on.
func (e Edition) callsOf(c wallCard, wide float64) float64 {
	const blank = 9.4
	if len(c.Calls) == 0 {
		return blank
	}
	high := 0.6
	for _, x := range c.Calls {
		high += 0.3 + wallBold.high(x.Who+" "+strings.ReplaceAll(x.Telephone, " ", "\u00a0")+" "+x.When, wide)
	}
	if !c.Emergency {
		high += blank
	}
	return high
}

// middleOf is how high the steps and the pictures are beside each other: steps
// that begin beside a picture are narrow, those below it go all across.
func (e Edition) middleOf(c wallCard, wide float64) float64 {
	beside := 0.0
	for i, p := range c.Pictures {
		if i > 0 {
			beside += 2.5
		}
		beside += 1.5 + drawnHigh(p) + wallBold.high(p.Notice, wallPicture)
		if p.How != "" {
			beside += wallReading.high(p.How, wallPicture)
		}
	}
	steps := 1.0
	for _, s := range c.Steps {
		width := wide - wallNumbers
		if steps < beside+1 {
			width -= wallPicture + wallBeside
		}
		steps += e.highOf(s, width)
	}
	return math.Max(steps, beside+1)
}

// drawnHigh is how high the drawings of a picture are printed, mm.
func drawnHigh(p picture) float64 {
	high := 0.0
	for _, s := range p.sizes {
		wide := math.Min(wallPicture, wallUnit*s[0])
		if len(p.sizes) > 1 {
			wide = wallLook
		}
		high = math.Max(high, s[1]/s[0]*wide)
	}
	return high
}

// highOf is how high a step is in a width, mm.
func (e Edition) highOf(s wallStep, width float64) float64 {
	say := e.Voice.Say
	const around = 2.5
	if s.Rest.ID != "" {
		return around + wallText.high(say(s.Rest), width)
	}
	title := say(s.Title)
	if s.Time != "" { // it does not break
		title += "  " + strings.ReplaceAll(s.Time, " ", "\u00a0")
	}
	high := around + wallTitle.high(title, width)
	if s.Later.ID != "" {
		high += wallText.high(say(s.Later), width)
	}
	if len(s.Amounts) > 0 {
		high += 0.6
	}
	for _, a := range s.Amounts {
		text := say(a.What)
		if a.Remark.ID != "" {
			text += ", " + say(a.Remark)
		}
		high += math.Max(wallText.high(text, width-wallAmounts), 15*1.15*pt)
	}
	if s.Limit.ID == "" {
		return high
	}
	if s.Critical {
		return high + 0.5 + e.withFigures(s.Limit, wallCritical, wallFigure).high(e.say("book.wall.critical")+": "+say(s.Limit), width-4)
	}
	return high + e.withFigures(s.Limit, wallText, wallBold).high(say(s.Limit), width)
}

// withFigures is a size of type that reckons with the figures of a message, which
// are set in another.
func (e Edition) withFigures(m protocol.Message, text, figures typeface) typeface {
	all, inFigures := text.long(e.Voice.Say(m)), 0.0
	for _, a := range amountsOf(e.Voice, m) {
		inFigures += text.long(a)
	}
	share := math.Min(inFigures/all, 1)
	text.set *= 1 + share*(figures.set*figures.size/(text.set*text.size)-1)
	return text
}
