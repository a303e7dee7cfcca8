package leaf

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Compared is two versions of a method beside each other.
type Compared struct {
	*change.Report
	Rise          change.Number
	Before, After string // what each is called
	// Places find the spot in a file of either side.
	PlaceBefore, PlaceAfter func(working.Origin) protocol.Place
}

// comparison is a comparison as it is printed.
type comparison struct {
	Heading, Between, Counted, Rise string
	Nothing                         bool
	Groups                          []comparedGroup
	Inputs, Idle                    []writtenOtherwise
}

// comparedGroup is the differences of one group: steps and limits, then figures.
type comparedGroup struct {
	ID, Name, What string
	Told           []comparedStep
	Figures        []comparedFigure
	More           int // figures that are left out
}

// comparedStep is a step or a limit that is not the same.
type comparedStep struct {
	What      string   // and by which causes
	Gone, New []string // lines that read otherwise
}

type comparedFigure struct{ Name, Before, After, Change, By string }

// writtenOtherwise is one changed input.
type writtenOtherwise struct {
	Mark, Key     string
	Where         spot
	Before, After string
}

// comparison sets a comparison in words, with at most so many figures in a group; 0 is
// all of them.
func (e Edition) comparison(c Compared, most int) comparison {
	pr := c.Report.After.Protocol
	vessels := e.manyOf(c)
	out := comparison{
		Heading: e.say("compare.title", "title", pr.Title, "n", c.Vessels, "vessels", vessels),
		Between: e.say("compare.between", "before", c.Before, "after", c.After),
		Rise:    e.say("compare.rise." + []string{"none", "second", "first"}[c.Rise]),
		Nothing: c.Nothing(),
	}
	workers := 0
	for _, d := range c.Differences {
		if d.Worker {
			workers++
		}
	}
	out.Counted = e.say("compare.counted", "n", len(c.Differences), "workers", workers)
	if len(c.Differences) == 0 {
		out.Counted = e.say("compare.same")
	}
	if pr.Name != c.Report.Before.Protocol.Name {
		out.Rise = "" // of two protocols none is a version of the other
	}
	marks := c.Marks()
	for _, x := range c.Report.Inputs {
		if marks[x] > 0 {
			out.Inputs = append(out.Inputs, e.otherwise(c, x, e.mark(marks[x])))
		}
	}
	for _, x := range c.Report.Idle {
		out.Idle = append(out.Idle, e.otherwise(c, x, ""))
	}
	for _, g := range change.GroupsInOrder() {
		list := c.Of(g)
		if len(list) == 0 {
			continue
		}
		of := comparedGroup{ID: "group-" + string(g), Name: e.say("compare.group." + string(g)), What: e.say("compare.group." + string(g) + ".what")}
		for _, d := range list {
			by := e.by(d, marks)
			switch {
			case d.Kind != change.Figure:
				told := e.stepApart(d)
				told.What = e.say("compare.told", "what", told.What, "by", by)
				of.Told = append(of.Told, told)
			case most > 0 && len(of.Figures) >= most:
				of.More++
			default:
				of.Figures = append(of.Figures, e.figureApart(d, by))
			}
		}
		out.Groups = append(out.Groups, of)
	}
	return out
}

// Marks numbers the changed inputs that move something, from 1, in the order in which
// they are listed.
func (c Compared) Marks() map[*change.Change]int {
	out := map[*change.Change]int{}
	for _, x := range c.Report.Inputs {
		if !slices.Contains(c.Report.Idle, x) {
			out[x] = len(out) + 1
		}
	}
	return out
}

func (e Edition) mark(n int) string { return e.say("compare.mark", "n", strconv.Itoa(n)) }

// manyOf is what the vessels of a comparison are called.
func (e Edition) manyOf(c Compared) string {
	after := c.Report.After
	return after.Library.Vessels[after.Protocol.Vessel].Called(c.Vessels)
}

// by names the causes of a difference.
func (e Edition) by(d change.Difference, marks map[*change.Change]int) string {
	var list []string
	for _, c := range d.Causes {
		list = append(list, e.mark(marks[c]))
	}
	text := strings.Join(list, unit.Space)
	switch {
	case d.Coarse:
		return e.say("compare.by.coarse", "marks", text)
	case !d.Alone && len(list) > 1:
		return e.say("compare.by.together", "marks", text)
	}
	return e.say("compare.by", "marks", text)
}

// otherwise is a changed input with its place after, or before where it is gone.
func (e Edition) otherwise(c Compared, x *change.Change, mark string) writtenOtherwise {
	find, at := c.PlaceAfter, x.After
	if x.After.Value == nil {
		find, at = c.PlaceBefore, x.Before
	}
	p := protocol.Place{File: at.Origin.Document}
	if find != nil && at.Origin.Document != "" {
		if found := find(at.Origin); found.File != "" {
			p = found
		}
	}
	key := at.Origin.Key
	if key == "" && x.Before.Origin.Document != x.After.Origin.Document {
		key = e.say("compare.name")
	}
	return writtenOtherwise{Mark: mark, Key: key, Where: spotOf(p), Before: e.Written(x.Before.Value), After: e.Written(x.After.Value)}
}

// stepApart is a step or a limit that is not the same.
func (e Edition) stepApart(d change.Difference) comparedStep {
	if d.Kind == change.Crossing {
		return e.limitApart(d)
	}
	id := "compare.step"
	if d.Spawn {
		id += ".spawn"
	}
	before, after := strconv.Itoa(d.NumberBefore), strconv.Itoa(d.NumberAfter)
	title := e.Voice.Say(d.Step.Title)
	var out comparedStep
	switch d.Kind {
	case change.Appears:
		out.What = e.say(id+".new", "n", after, "title", title)
	case change.Vanishes:
		out.What = e.say(id+".gone", "n", before, "title", title)
	case change.Moves:
		out.What = e.say(id+".moved", "title", title, "before", before, "after", after)
	default:
		out.What = e.say(id, "n", after, "title", title, "part", e.say("compare.part."+string(d.Part)))
		out.Gone, out.New = e.linesApart(d)
	}
	return out
}

// linesApart are the lines of a part that are gone, and those that are new. Where only
// their order has changed, all of them are shown.
func (e Edition) linesApart(d change.Difference) (gone, new []string) {
	before, after := strings.Split(d.TextBefore, "\n"), strings.Split(d.TextAfter, "\n")
	if d.Part == change.Who {
		before, after = e.whoWhere(before), e.whoWhere(after)
	}
	lacks := func(list, other []string) (out []string) {
		for _, l := range list {
			if l != "" && !slices.Contains(other, l) {
				out = append(out, l)
			}
		}
		return out
	}
	gone, new = lacks(before, after), lacks(after, before)
	if len(gone)+len(new) == 0 {
		return before, after
	}
	return gone, new
}

// whoWhere says a station and a role by their names.
func (e Edition) whoWhere(ids []string) []string {
	return []string{e.say("station." + ids[0]), e.say("role." + ids[1])}
}

// limitApart is a limit that is crossed now or no more, or that is judged otherwise.
func (e Edition) limitApart(d change.Difference) comparedStep {
	var out comparedStep
	switch {
	case d.Was == nil:
		out.What = e.say("compare.crossed.now", "what", d.Is.What)
	case d.Is == nil:
		out.What = e.say("compare.crossed.no_more", "what", d.Was.What)
	default:
		out.What = e.say("compare.crossed.other", "what", d.Is.What)
	}
	for _, f := range []*protocol.Finding{d.Was, d.Is} {
		if f == nil || f.By == nil {
			continue
		}
		line := e.say("compare.crossed.stood_by", "who", f.By.Who, "on", f.By.On, "reason", f.By.Reason)
		if f == d.Is {
			out.New = append(out.New, line)
		} else {
			out.Gone = append(out.Gone, line)
		}
	}
	return out
}

// mostFigures is how many figures of a group a terminal prints without --all (design
// choice): what follows from what is then left to the page and to JSON.
const mostFigures = 12

// CompareText sets a comparison as plain text of at most Columns columns.
func CompareText(e Edition, c Compared, all bool) (string, error) {
	return e.text("compare.txt.tmpl", e.comparison(c, few(all)))
}

// CompareMarkdown sets a comparison in Markdown, as comments of a pull request have it.
func CompareMarkdown(e Edition, c Compared, all bool) (string, error) {
	return e.text("compare-markdown.txt.tmpl", e.comparison(c, few(all)))
}

func few(all bool) int {
	if all {
		return 0
	}
	return mostFigures
}

// text fills a template for a terminal, which breaks no lines at no-break spaces.
func (e Edition) text(name string, data any) (string, error) {
	e, err := e.Ready()
	if err != nil {
		return "", err
	}
	var b strings.Builder
	if err := e.set.text.ExecuteTemplate(&b, name, data); err != nil {
		return "", fmt.Errorf("leaf: %w", err)
	}
	return strings.ReplaceAll(b.String(), unit.Space, " "), nil
}

// markdown writes a text so that nothing in it is a mark of Markdown: whoever wrote a
// farm's files can't make a link or a heading of a comment on a pull request.
func markdown(text string) string {
	return markdownMarks.Replace(text)
}

var markdownMarks = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", "&lt;", ">", "&gt;", "|", `\|`, "#", `\#`, "~", `\~`, "@", "&#64;", "\n", " ")
