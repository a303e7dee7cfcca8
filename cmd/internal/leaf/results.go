package leaf

import (
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// Pages on what became of the batches, and on how its figures were worked out.
const (
	ResultsPath        = "results.html"
	ResultsWorkingPath = "results-working.html"
)

// resultsPage holds what became of batches beside what was assumed of them.
type resultsPage struct {
	frame
	Lead    string
	Trace   string         // the page on where lots went, "" for none
	Groups  []resultsGroup // all together first
	Samples samples
}

// resultsGroup is one protocol, or all.
type resultsGroup struct {
	ID, Title string
	Href      string // of the protocol's page; "" for none
	When      string
	Said      []string
	Rows      []comparedRow
	Hours     *table
	Chart     *picture // nil where there are not two batches to compare
	Batches   table
	Causes    *table
	Hints     []string
	Offers    []offer
	Fills     *table
	Working   string // how its figures were worked out; "" where there are none
}

// resultsWorkingPage tells how the figures of the page on results were worked out.
type resultsWorkingPage struct {
	frame
	Results string
	Groups  []group
}

// comparedRow is one figure as assumed and as achieved.
type comparedRow struct {
	Name, Assumed, Achieved, Between, From string
	Href                                   string // how it was worked out; "" for none
}

// offer is a value that may be assumed instead, with what to write where.
type offer struct{ Said, In, Lines, Species string }

// samples are sampling plans.
type samples struct {
	Heads []string
	Rows  [][]string
	Weak  string
}

// Results sets the page on what became of the batches. It leads to where their lots went,
// where the book tells that.
func Results(e Edition, r *results.Record, recipes []Recipe, traced bool) ([]byte, error) {
	page := resultsPage{
		frame: e.frame(ResultsPath, "results-of-batches", e.say("book.results"), e.say("book.results.id"), ""),
		Lead:  e.say("book.results.lead", "k", len(r.All.Done)),
	}
	if traced {
		page.Trace = TracePath
	}
	for _, g := range groups(r) {
		page.Groups = append(page.Groups, e.resultsGroup(g, recipes))
	}
	page.Samples = e.samples(r.Plans)
	return e.html("results", page)
}

// groups are all of a record, all protocols together first.
func groups(r *results.Record) []*results.Group {
	out := []*results.Group{&r.All}
	for i := range r.Groups {
		out = append(out, &r.Groups[i])
	}
	return out
}

// ResultsWorking sets the page on how the figures on what became of the batches were
// worked out.
func ResultsWorking(e Edition, r *results.Record) ([]byte, error) {
	page := resultsWorkingPage{
		frame:   e.frame(ResultsWorkingPath, "results-of-batches", e.say("book.results.worked.title"), e.say("book.results.worked.id"), ""),
		Results: ResultsPath,
	}
	for _, g := range groups(r) {
		if len(g.Done) == 0 {
			continue
		}
		x, err := e.resultsWorking(g)
		if err != nil {
			return nil, err
		}
		page.Groups = append(page.Groups, x)
	}
	return e.html("results-working", page)
}

// workingOf is the anchor of a group's working.
func workingOf(g *results.Group) string { return "working-of-" + strings.ReplaceAll(g.Name, ".", "-") }

// ResultsFarmPage is how the home page and the search list it.
func ResultsFarmPage(e Edition) FarmPage {
	return FarmPage{Path: ResultsPath, Title: e.say("book.results"), For: words.Message("book.results.for"), Known: e.say("book.results.known")}
}

// groupTitle is what a group is called.
func (e Edition) groupTitle(g *results.Group) string {
	switch {
	case g.Name == results.AllOf:
		return e.say("book.results.all")
	case g.Process != nil:
		return g.Process.Input.Protocol.Title
	}
	return g.Name
}

func (e Edition) resultsGroup(g *results.Group, recipes []Recipe) resultsGroup {
	out := resultsGroup{
		ID: "of-" + strings.ReplaceAll(g.Name, ".", "-"), Title: e.groupTitle(g),
		When: e.say("book.results.batches", "k", len(g.Done), "open", len(g.Open)),
	}
	for _, r := range recipes {
		if r.Method.Protocol == g.Name {
			out.Href = ProtocolPath(g.Name)
		}
	}
	for _, m := range g.Said() {
		out.Said = append(out.Said, e.Voice.Say(m))
	}
	if len(g.Done) == 0 {
		return out
	}
	out.Rows = e.compared(g)
	out.Hours = e.hoursWorked(g, out.ID)
	if g.Name != results.AllOf {
		out.Chart = e.batchesDrawn(g)
		out.Batches = e.batchesTable(g, out.ID)
	}
	out.Causes = e.causes(g, out.ID)
	for _, h := range g.Causes.Hints {
		out.Hints = append(out.Hints, e.Voice.Say(h.Said()))
	}
	for _, o := range g.Offers {
		out.Offers = append(out.Offers, e.offer(g, o))
	}
	out.Fills = e.fills(g, out.ID)
	out.Working = ResultsWorkingPath + "#" + workingOf(g)
	return out
}

// resultsWorking tells how the figures of a group were worked out.
func (e Edition) resultsWorking(g *results.Group) (group, error) {
	title := e.groupTitle(g)
	w := bench{Edition: e, names: map[string]string{g.Name: title}, own: map[*working.Quantity]bool{}, others: ProtocolPath(g.Name)}
	if g.Name == results.AllOf {
		w.names[g.Name] = e.say("book.results.every")
	}
	for _, b := range g.Done {
		w.names[b.Subject()], w.names[results.OffAll(b)] = b.Code, b.Code
	}
	for _, q := range g.Ledger.Own() {
		w.own[q] = true
	}
	out := group{ID: workingOf(g), Name: title}
	for _, q := range g.Ledger.Own() {
		// The counts of batches are told once, with their protocol.
		if g.Name == results.AllOf && q.Of != g.Name && q.Of != "" && !strings.HasSuffix(q.Of, results.OfAll) {
			continue
		}
		x, err := w.worked(q)
		if err != nil {
			return out, err
		}
		out.Worked = append(out.Worked, x)
	}
	return out, nil
}

// compared are the figures as assumed and as achieved.
func (e Edition) compared(g *results.Group) []comparedRow {
	l := g.Ledger
	given := func(name string, say func(float64) unit.Amount) string {
		if g.Process == nil {
			return e.say("book.results.not_known")
		}
		return e.show(say(l.Value(name)))
	}
	between := func(low, high string, say func(float64) unit.Amount) string {
		a, b := g.Quantity(low), g.Quantity(high)
		if a == nil || b == nil {
			return e.say("book.results.too_few")
		}
		return e.say("book.results.range", "low", e.show(say(a.Value)), "high", e.show(say(b.Value)))
	}
	var out []comparedRow
	if q := g.Quantity("lost_achieved"); q != nil {
		from := []any{"lost", int(g.Quantity("lost_in_all").Value), "n", results.Grouped(int(g.Quantity("filled_in_all").Value)), "k", int(g.Quantity("batches_counted").Value)}
		id := "book.results.from.vessels"
		if worth := g.Quantity("filled_worth"); worth != nil && worth.Value < g.Quantity("filled_in_all").Value {
			id, from = "book.results.from.one_by_one", append(from, "worth", results.Grouped(int(worth.Value)))
		}
		row := comparedRow{e.say("book.results.row.lost"), given("lost_share", results.Share), e.show(results.Share(q.Value)),
			between("lost_at_least", "lost_at_most", results.Share), e.say(id, from...), ResultsWorkingPath + "#" + quantityID(q)}
		if g.Name == results.AllOf {
			row.Assumed = e.say("book.results.by_protocol")
		}
		out = append(out, row)
	}
	if q := g.Quantity("sold_achieved"); q != nil {
		from := e.say("book.results.from.batches", "k", int(g.Quantity("batches_weighed").Value))
		assumed := e.say("book.results.not_known")
		if g.Process != nil {
			part := func(level string) string { return e.show(weight(g.Quantity("sold_assumed_" + level).Value)) }
			assumed = e.say("book.results.usual", "usual", part("usual"), "shortest", part("low"), "longest", part("high"))
		}
		out = append(out, comparedRow{e.say("book.results.row.sold"), assumed, e.show(weight(q.Value)), between("sold_at_least", "sold_at_most", weight), from, ResultsWorkingPath + "#" + quantityID(q)})
		if be := g.Quantity("efficiency_achieved"); be != nil {
			out = append(out, comparedRow{e.say("book.results.row.efficiency"), given("efficiency_usual", results.Share), e.show(results.Share(be.Value)),
				between("efficiency_at_least", "efficiency_at_most", results.Share), from, ResultsWorkingPath + "#" + quantityID(be)})
			out = append(out, comparedRow{Name: e.say("book.results.row.trim"), Assumed: given("trim_share", results.Share), Achieved: e.say("book.results.not_weighed")})
		}
	}
	for _, d := range g.Days {
		assumed := e.say("book.results.not_known")
		if d.Known {
			assumed = e.say("book.results.usual", "usual", e.daysOf(d.Usual), "shortest", strconv.Itoa(d.Shortest), "longest", strconv.Itoa(d.Longest))
		}
		out = append(out, comparedRow{
			Name: e.say("book.results.row." + d.ID), Assumed: assumed,
			Achieved: e.show(unit.Amount{Kind: unit.TimeOf, Value: d.Mean * unit.Day, Unit: "d", Step: unit.Day}),
			Between:  e.say("book.results.saw", "low", strconv.Itoa(d.Least), "high", e.daysOf(d.Most)),
			From:     e.say("book.results.from.batches", "k", d.Batches),
		})
	}
	return out
}

// daysOf is a whole number of days.
func (e Edition) daysOf(n int) string {
	return e.show(unit.Amount{Kind: unit.TimeOf, Value: float64(n) * unit.Day, Unit: "d", Step: unit.Day})
}

// hoursWorked is the work beside that of the book.
func (e Edition) hoursWorked(g *results.Group, id string) *table {
	if len(g.Hours) == 0 {
		return nil
	}
	hours := func(d unit.Duration) string {
		return e.show(unit.Amount{Kind: unit.TimeOf, Value: float64(d), Unit: "h", Step: unit.Hour / 2})
	}
	out := &table{ID: "cap-hours-" + id, Caption: e.say("book.results.hours.caption", "title", e.groupTitle(g))}
	for _, h := range []string{"hours.role", "hours.book", "hours.worked", "hours.times", "from"} {
		out.Head = append(out.Head, e.say("book.results."+h))
	}
	for _, h := range g.Hours {
		name := e.say("book.results.hours.all")
		if h.Role != "" {
			name = e.say("role." + string(h.Role))
		}
		out.Rows = append(out.Rows, []string{name, hours(h.Assumed), hours(h.Worked), e.show(results.Times(float64(h.Worked / h.Assumed))),
			e.say("book.results.from.batches", "k", h.Batches)})
	}
	return out
}

// causes is the losses by where they were found and what they looked like.
func (e Edition) causes(g *results.Group, id string) *table {
	c := g.Causes
	if c.All == 0 {
		return nil
	}
	out := &table{ID: "cap-causes-" + id, Caption: e.say("book.results.causes.caption", "title", e.groupTitle(g)), Head: []string{e.say("book.results.causes.stage")}}
	for _, r := range c.Reasons {
		out.Head = append(out.Head, e.say("book.results.why."+r))
	}
	out.Head = append(out.Head, e.say("book.results.causes.all"))
	row := func(name, stage string) {
		cells := []string{name}
		for _, r := range append(slices.Clone(c.Reasons), "") {
			cell := ""
			if n := c.Of(stage, r); n > 0 {
				cell = strconv.Itoa(n)
			}
			cells = append(cells, cell)
		}
		out.Rows = append(out.Rows, cells)
	}
	for _, s := range c.Stages {
		row(e.say("book.results.at."+s), s)
	}
	if len(c.Stages) > 1 {
		row(e.say("book.results.causes.all"), "")
	}
	return out
}

// offer tells what to write where, and where today's value stands.
func (e Edition) offer(g *results.Group, o results.Offer) offer {
	out := offer{Said: e.Voice.Say(o.Said())}
	if !o.Differs {
		return out // nobody need change anything
	}
	out.Lines, out.In = o.Lines, e.say("book.results.offers.in", "file", o.Document)
	own := g.Process.Input.Document()
	if o.ID == "efficiency" {
		out.In = e.say("book.results.offers.in_library", "file", o.Document)
	}
	if o.ID == "lost" && e.Place != nil {
		if q := g.Ledger.Get("lost_share"); q != nil {
			out.In = e.say("book.results.offers.in_now", "file", o.Document, "place", e.spot(q.Origin).String())
		}
	}
	if o.Species != "" && o.Species != g.Process.Species.ID {
		out.Species = e.say("book.results.offers.species", "file", own, "line", o.SpeciesLine())
	}
	return out
}

// fills is how many to fill, as assumed and by the record.
func (e Edition) fills(g *results.Group, id string) *table {
	if len(g.Fills) == 0 {
		return nil
	}
	out := &table{ID: "cap-fills-" + id, Caption: e.say("book.results.fills.caption", "title", e.groupTitle(g), "confidence", results.Share(g.FillConfidence)),
		Head: []string{e.say("book.results.fills.good"), e.say("book.results.fills.assumed"), e.say("book.results.fills.recorded")}}
	number := func(n int) string {
		if n == 0 {
			return e.say("book.results.fills.never")
		}
		return strconv.Itoa(n)
	}
	for _, f := range g.Fills {
		out.Rows = append(out.Rows, []string{strconv.Itoa(f.Good), number(f.Assumed), number(f.Recorded)})
	}
	return out
}

// samples are the plans for lots, and how weak the strictest of the largest lot is.
func (e Edition) samples(lots []results.Lot) samples {
	var out samples
	if len(lots) == 0 {
		return out
	}
	for _, h := range []string{"lot", "limit", "look", "accept"} {
		out.Heads = append(out.Heads, e.say("book.results.samples."+h))
	}
	percent := func(v float64) string { return e.show(unit.Amount{Kind: unit.ShareOf, Value: v / 100, Digits: 2}) }
	chance := func(v float64) unit.Amount { return unit.Amount{Kind: unit.ShareOf, Value: v, Step: 0.01} }
	for i, lot := range lots {
		for _, p := range lot.Plans {
			look := strconv.Itoa(p.Sample)
			if p.All {
				look = e.say("book.results.samples.all")
			}
			row := []string{strconv.Itoa(lot.Size), percent(p.Quality), look, strconv.Itoa(p.Accept)}
			for _, x := range p.Passes {
				if i == 0 && len(out.Rows) == 0 {
					out.Heads = append(out.Heads, e.say("book.results.samples.passes", "share", unit.Amount{Kind: unit.ShareOf, Value: x.Share, Step: 0.01}))
				}
				row = append(row, e.say("book.results.samples.chance", "chance", chance(x.Chance), "bad", x.Bad))
			}
			out.Rows = append(out.Rows, row)
		}
	}
	last := lots[len(lots)-1]
	p := last.Plans[0]
	out.Weak = e.say("book.results.samples.weak", "lot", last.Size, "bad", p.Passes[0].Bad, "limit", percent(p.Quality), "chance", chance(p.Passes[0].Chance))
	return out
}
