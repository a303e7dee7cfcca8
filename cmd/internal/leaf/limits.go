package leaf

import (
	"html/template"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/sanitation"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// limitsPage lists every range of the table, and where each protocol of the
// farm stands in it, or each of its rooms.
type limitsPage struct {
	frame
	Groups []limitGroup
	Rows   int
	Key    template.HTML // a bar that is told how to be read
}

// limitGroup is the rows about one part of the work.
type limitGroup struct {
	ID, Name   string
	Rows       int
	Quantities []limitQuantity
}

// limitQuantity is what one or more rows are about.
type limitQuantity struct {
	ID, Name  string
	Rows      []limitRow
	Standings []standing
	Notes     []protocol.Message // on how to read the standings
}

// limitRow is one row of the table.
type limitRow struct {
	ID, Anchor        string
	Range             template.HTML // what it allows, marked, and what a value outside of it is
	Safety            bool
	Why, Hint, Source string
}

// standing is where one protocol or room stands in the ranges of a quantity.
type standing struct {
	Name, Href string // without Href it is all protocols
	Found      string
	Word       string // "Warning.", where it is outside
	Of         string // of which ingredient or scale, for which batch
	Allowed    string
	Refused    string
	Bar        template.HTML
}

// Limits sets the page of all limits.
func Limits(e Edition, recipes []Recipe, rooms *Climate, cleans *sanitation.Plan) ([]byte, error) {
	page := limitsPage{
		frame: e.frame(LimitsPath, "limits", e.say("book.limits"), e.say("book.limits.id"), ""),
		Rows:  len(limit.All()),
		Key:   template.HTML(e.barKey().String()),
	}
	farm := make([]held, len(recipes))
	for i, r := range recipes {
		farm[i] = heldOf(r)
	}
	places, solutions := rooms.held(), e.cleaned(cleans)
	for _, g := range limit.Groups() {
		group := limitGroup{ID: "limits-" + g.ID, Name: e.say("book.limits.group." + g.ID), Rows: len(g.Rows)}
		seen := map[string]bool{}
		for _, row := range g.Rows {
			if !seen[row.Quantity] {
				seen[row.Quantity] = true
				group.Quantities = append(group.Quantities, e.limitQuantity(row.Quantity, whose(row.Quantity, farm, places, solutions)))
			}
		}
		page.Groups = append(page.Groups, group)
	}
	return e.html("limits", page)
}

// whose are those that have a quantity: the rooms or the farm's solutions, or else the
// protocols.
func whose(quantity string, farm []held, others ...[]held) []held {
	for _, list := range others {
		if slices.ContainsFunc(list, func(h held) bool { return len(h.quantities[quantity]) > 0 }) {
			return list
		}
	}
	return farm
}

// LimitAnchor is where a row of the table stands on the page of all limits.
func LimitAnchor(id string) string { return "limit-" + id }

// quantityAnchor is where the rows about a quantity begin on that page.
func quantityAnchor(name string) string { return "of-" + strings.ReplaceAll(name, "_", "-") }

func (e Edition) limitQuantity(name string, farm []held) limitQuantity {
	m := limit.MeasureOf(name)
	q := limitQuantity{ID: quantityAnchor(name), Name: e.Voice.Capital(e.general(name))}
	for _, row := range limit.Of(name) {
		q.Rows = append(q.Rows, limitRow{
			ID: row.ID, Anchor: LimitAnchor(row.ID), Safety: row.Safety,
			Range: e.ranged(row, m),
			Why:   e.say("limit." + row.ID + ".why"), Hint: e.say("limit." + row.ID + ".hint"), Source: row.Source,
		})
	}
	var found []stand
	largest, several := false, false
	for _, h := range farm {
		s := h.stand(name)
		found = append(found, s)
		largest = largest || s.q != nil && s.largest
		several = several || s.among > 1
	}
	axis, ok := axisOf(found, m)
	shown := chosen(farm, found)
	for _, i := range shown {
		q.Standings = append(q.Standings, e.standing(farm[i], found[i], m, axis))
	}
	switch {
	case len(shown) == len(farm):
		q.Standings = e.alike(q.Standings)
	case len(shown) == 1:
		q.Standings[0].Name, q.Standings[0].Href = e.say("book.limits.every", "n", len(farm)), ""
	default:
		q.Notes = append(q.Notes, words.Message("book.limits.some", "n", len(farm)))
	}
	if largest {
		q.Notes = append(q.Notes, words.Message("book.limits.largest"))
	}
	if several {
		q.Notes = append(q.Notes, words.Message("book.limits.nearest_of"))
	}
	if ok && axis.Log {
		q.Notes = append(q.Notes, words.Message("book.limits.powers"))
	}
	return q
}

// ranged says what a row allows, and what a value outside of it is.
func (e Edition) ranged(row limit.Limit, m limit.Measure) template.HTML {
	inside := e.Voice.Capital(e.Voice.Say(e.rangeInWords(row, m)))
	return emphasized(e.say("book.limits.else."+row.Severity.String(), "range", inside), "limit-value", []string{inside})
}

// general names a quantity without a protocol at hand: of an ingredient, of a
// scale.
func (e Edition) general(name string) string { return e.Voice.Say(e.generalName(name)) }

func (e Edition) generalName(name string) protocol.Message {
	m := words.Message("quantity." + name)
	of := limit.MeasureOf(name).Of
	if slices.Contains(words.Arguments(m.ID), "of:text") {
		if of == limit.OfWhole {
			of = limit.OfIngredient // a bound of an ingredient's own
		}
		m = words.Message(m.ID, "of", e.say("book.limits.any."+string(of)))
	}
	return m
}

// rangeInWords tells what a row allows, on any farm: a bound that is another
// quantity is named.
func (e Edition) rangeInWords(row limit.Limit, m limit.Measure) protocol.Message {
	if len(m.Words) > 0 {
		return words.Message("book.limits.words", "words", e.Voice.List(e.wordsInside(row, m)))
	}
	name := ""
	if m.Kind == unit.TimeOf {
		var times []float64
		for _, b := range []*limit.Bound{row.Low, row.High} {
			if b != nil {
				times = append(times, b.Value)
			}
		}
		name = timeUnit(times...)
	}
	low, high := e.boundInWords(row.Low, m.Kind, name), e.boundInWords(row.High, m.Kind, name)
	plain := func(b *limit.Bound) bool { return b != nil && b.Of == "" && !b.Open }
	if plain(row.Low) && plain(row.High) {
		return words.Message("book.limits.between", "low", low, "high", high)
	}
	ends := func(b *limit.Bound, of protocol.Message, closed, open string) protocol.Message {
		if b.Open {
			return words.Message(open, "bound", of)
		}
		return words.Message(closed, "bound", of)
	}
	switch {
	case row.High == nil:
		return ends(row.Low, low, "book.limits.at_least", "book.limits.more_than")
	case row.Low == nil:
		return ends(row.High, high, "book.limits.at_most", "book.limits.less_than")
	}
	return words.Message("book.limits.both",
		"low", ends(row.Low, low, "book.limits.at_least", "book.limits.more_than"),
		"high", ends(row.High, high, "book.limits.at_most", "book.limits.less_than"))
}

// wordsInside lists the choices that a row allows.
func (e Edition) wordsInside(row limit.Limit, m limit.Measure) []string {
	none := func(string) (float64, bool) { return 0, false }
	var out []string
	for i, word := range m.Words {
		if _, _, crossed := row.Crossed(float64(i), none); !crossed {
			out = append(out, e.say("book.limits.word."+word))
		}
	}
	return out
}

// boundInWords names a bound; name is the unit of a number, "" for the page's.
func (e Edition) boundInWords(b *limit.Bound, k unit.Kind, name string) protocol.Message {
	if b == nil {
		return protocol.Message{}
	}
	value := words.Message("book.limits.bound", "amount", unit.Amount{Kind: k, Value: b.Value, Unit: name})
	if b.Of == "" {
		return value
	}
	of := words.Message("book.limits.bound.of", "quantity", e.generalName(b.Of))
	by := unit.Amount{Kind: k, Value: b.Plus}
	if k == unit.TemperatureOf {
		by.Kind = unit.TemperatureDifference
	}
	switch {
	case b.Times != 0:
		of = words.Message("book.limits.bound.part", "part", unit.Amount{Kind: unit.ShareOf, Value: b.Times}, "quantity", e.generalName(b.Of))
	case b.Plus > 0:
		of = words.Message("book.limits.bound.above", "by", by, "quantity", e.generalName(b.Of))
	case b.Plus < 0:
		by.Value = -by.Value
		of = words.Message("book.limits.bound.below", "by", by, "quantity", e.generalName(b.Of))
	}
	if b.Least {
		return words.Message("book.limits.bound.lower", "one", value, "other", of)
	}
	return of
}

// standing tells where a protocol stands, and draws it.
func (e Edition) standing(h held, s stand, m limit.Measure, axis draw.Axis) standing {
	out := standing{Name: h.title, Href: "../" + h.page}
	if s.q == nil {
		out.Found = e.say("book.limits.absent")
		return out
	}
	b := e.barOf(s, m, axis, h.subjects)
	out.Found = b.Mark.Label
	out.Allowed, out.Refused = e.allowed(s, m)
	if s.worst > 0 {
		out.Word = e.say("book.finding." + s.worst.String())
	}
	var of []string
	if s.among > 1 {
		of = append(of, e.say("book.limits.nearest", "of", h.subject(s.q), "n", s.among))
	} else if s.q.Of != "" {
		of = append(of, h.subject(s.q))
	}
	if s.largest {
		of = append(of, e.say("book.limits.for", "n", h.vessels, "vessels", h.many))
	}
	out.Of = e.Voice.Phrases(of)
	out.Bar = template.HTML(b.String()) // every text in it was escaped
	return out
}

// allowed tells in words what the bar shows: what has no finding, and what is
// refused.
func (e Edition) allowed(s stand, m limit.Measure) (inside, refused string) {
	if len(m.Words) > 0 {
		var clean, never []string
		for i, word := range m.Words {
			switch s.at(float64(i)) {
			case draw.Allowed:
				clean = append(clean, e.say("book.limits.word."+word))
			case draw.Refused:
				never = append(never, e.say("book.limits.word."+word))
			}
		}
		return e.Voice.List(clean), e.Voice.List(never)
	}
	show := s.shower(m)
	low, high := s.span(protocol.Note)
	inside = e.spanInWords(low, high, show)
	low, high = s.span(protocol.Error)
	switch {
	case low.There && high.There:
		refused = e.say("book.limits.outside", "low", e.refused(low, true, show), "high", e.refused(high, false, show))
	case low.There:
		refused = e.Voice.Say(e.refused(low, true, show))
	case high.There:
		refused = e.Voice.Say(e.refused(high, false, show))
	}
	return inside, refused
}

func (e Edition) refused(end limit.End, low bool, show func(float64) unit.Amount) protocol.Message {
	id := map[[2]bool]string{
		{true, false}: "book.limits.under", {true, true}: "book.limits.up_to",
		{false, false}: "book.limits.over", {false, true}: "book.limits.from",
	}[[2]bool{low, end.Open}]
	return words.Message(id, "amount", show(end.Value))
}

func (e Edition) spanInWords(low, high limit.End, show func(float64) unit.Amount) string {
	bound := func(end limit.End) protocol.Message {
		return words.Message("book.limits.bound", "amount", show(end.Value))
	}
	one := func(end limit.End, closed, open string) protocol.Message {
		if end.Open {
			return words.Message(open, "bound", bound(end))
		}
		return words.Message(closed, "bound", bound(end))
	}
	least := one(low, "book.limits.at_least", "book.limits.more_than")
	most := one(high, "book.limits.at_most", "book.limits.less_than")
	switch {
	case !low.There && !high.There:
		return e.say("book.limits.any_value")
	case !high.There:
		return e.Voice.Say(least)
	case !low.There:
		return e.Voice.Say(most)
	case low.Open || high.Open:
		return e.say("book.limits.both", "low", least, "high", most)
	}
	return e.say("book.limits.between", "low", bound(low), "high", bound(high))
}

// alike tells in one row what is the same for every protocol of the farm.
func (e Edition) alike(list []standing) []standing {
	if len(list) < 2 {
		return list
	}
	for _, s := range list[1:] {
		s.Name, s.Href = list[0].Name, list[0].Href
		if s != list[0] {
			return list
		}
	}
	one := list[0]
	one.Name, one.Href = e.say("book.limits.every", "n", len(list)), ""
	return []standing{one}
}

// held is a protocol with all its quantities.
type held struct {
	page, title string // its page, and what it is called
	vessels     int    // of its largest batch, 0 for none
	many        string
	ledger      *working.Ledger
	quantities  map[string][]*working.Quantity
	ofBatch     map[string]bool // worked out for the largest batch
	subjects    map[string]string
}

func heldOf(r Recipe) held {
	pr := r.Process.Input.Protocol
	h := held{
		page: ProtocolPath(pr.Name), title: pr.Title, ledger: r.Process.Ledger, subjects: r.Process.Names,
		quantities: map[string][]*working.Quantity{}, ofBatch: map[string]bool{},
	}
	if n := len(r.Batches); n > 0 {
		b := r.Batches[n-1]
		h.ledger, h.vessels, h.many = b.Ledger, b.Vessels, r.Process.Vessel.Many
		for _, q := range b.Ledger.Own() {
			h.ofBatch[q.Name] = true
		}
	}
	for _, q := range h.ledger.All() {
		h.quantities[q.Name] = append(h.quantities[q.Name], q)
	}
	return h
}

func (h held) subject(q *working.Quantity) string { return limit.SubjectOf(q, h.subjects) }
