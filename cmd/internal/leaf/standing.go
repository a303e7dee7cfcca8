package leaf

import (
	"cmp"
	"math"
	"slices"

	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// stand is where a quantity of one protocol stands in the ranges of its rows.
type stand struct {
	q       *working.Quantity // nil: the protocol has no such quantity
	rows    []rowRange
	worst   protocol.Severity // of the rows that it crosses; 0 for none
	near    float64           // distance to the nearest end, as a part of the greater of the two
	among   int               // quantities of this name: the one nearest to a limit is shown
	largest bool              // worked out for the largest batch
}

// rowRange is a row of the table with its ends for one quantity.
type rowRange struct {
	severity protocol.Severity
	limit.Range
}

// stand finds the quantity of a name. Of several, that of each ingredient or
// each scale, it is the one that is worst off: outside the severest row, or else
// nearest to an end.
func (h held) stand(name string) stand {
	var out stand
	for _, q := range h.quantities[name] {
		if math.IsNaN(q.Value) {
			continue
		}
		s := stand{q: q, near: math.Inf(1)}
		for _, row := range limit.Of(name) {
			r := rowRange{row.Severity, row.Range(q, h.ledger)}
			s.rows = append(s.rows, r)
			if _, _, crossed := r.Crossed(q.Value); crossed {
				s.worst = max(s.worst, row.Severity)
			}
			for _, end := range []limit.End{r.Low, r.High} {
				if end.There {
					s.near = min(s.near, apart(q.Value, end.Value))
				}
			}
		}
		if out.q == nil || s.worst > out.worst || s.worst == out.worst && s.near < out.near {
			out = s
		}
	}
	out.among = len(h.quantities[name])
	out.largest = h.ofBatch[name]
	return out
}

// mostStandings is how many protocols stand in a table: nobody reads a longer one, and
// the page of a large farm would be too heavy for a browser (design choice).
const mostStandings = 12

// chosen are those protocols that stand in a table, by their places: all of a few; of
// many the lowest, the highest and those that are worst off; one where all are the same.
func chosen(farm []held, found []stand) []int {
	all := make([]int, len(found))
	for i := range all {
		all[i] = i
	}
	if len(all) <= mostStandings {
		return all
	}
	one := func(i int) bool { return farm[i].likewise(found[i], farm[0], found[0]) }
	if !slices.ContainsFunc(all, func(i int) bool { return !one(i) }) {
		return all[:1]
	}
	there := slices.DeleteFunc(all, func(i int) bool { return found[i].q == nil })
	byValue := func(a, b int) int { return cmp.Compare(found[a].q.Value, found[b].q.Value) }
	out := []int{slices.MinFunc(there, byValue), slices.MaxFunc(there, byValue)}
	slices.SortStableFunc(there, func(a, b int) int { return cmp.Compare(found[b].worst, found[a].worst) })
	for _, i := range there {
		if found[i].worst > 0 && len(out) < mostStandings && !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// likewise tells whether two protocols stand alike, word for word.
func (h held) likewise(s stand, other held, of stand) bool {
	if s.q == nil || of.q == nil {
		return s.q == of.q
	}
	return s.q.Value == of.q.Value && s.q.Unit == of.q.Unit && h.subject(s.q) == other.subject(of.q) && s.among == of.among &&
		slices.Equal(s.rows, of.rows) && s.largest == of.largest && (!s.largest || h.vessels == other.vessels && h.many == other.many)
}

func apart(a, b float64) float64 {
	if a == b {
		return 0
	}
	return math.Abs(a-b) / max(math.Abs(a), math.Abs(b))
}

// at is what a value would get.
func (s stand) at(v float64) draw.ZoneKind {
	kind := draw.Allowed
	for _, r := range s.rows {
		if _, _, crossed := r.Crossed(v); !crossed {
			continue
		}
		if r.severity == protocol.Error {
			return draw.Refused
		}
		kind = draw.Warned
	}
	return kind
}

// span is what no row of at least that severity is crossed in.
func (s stand) span(least protocol.Severity) (low, high limit.End) {
	for _, r := range s.rows {
		if r.severity < least {
			continue
		}
		if e := r.Low; e.There && (!low.There || e.Value > low.Value || e.Value == low.Value && e.Open) {
			low = e
		}
		if e := r.High; e.There && (!high.There || e.Value < high.Value || e.Value == high.Value && e.Open) {
			high = e
		}
	}
	return low, high
}

// edges are the places at which what a value gets changes: ends of the rows or,
// for choices, half way between two of them. An end beyond a stricter one
// changes nothing, and is left out.
func (s stand) edges(m limit.Measure) []float64 {
	var ends []float64
	for _, r := range s.rows {
		for i, end := range []limit.End{r.Low, r.High} {
			switch {
			case !end.There:
			case len(m.Words) == 0:
				ends = append(ends, end.Value)
			case i == 0:
				ends = append(ends, end.Value-0.5)
			default:
				ends = append(ends, end.Value+0.5)
			}
		}
	}
	slices.Sort(ends)
	ends = slices.Compact(ends)
	var out []float64
	for i, v := range ends {
		below, above := v-max(1, math.Abs(v)), v+max(1, math.Abs(v))
		if i > 0 {
			below = (ends[i-1] + v) / 2
		}
		if i < len(ends)-1 {
			above = (v + ends[i+1]) / 2
		}
		if b, a := s.at(below), s.at(above); b != a || b != s.at(v) {
			out = append(out, v)
		}
	}
	return out
}

// axisOf lays one axis for all protocols, so that their bars can be compared.
func axisOf(found []stand, m limit.Measure) (axis draw.Axis, ok bool) {
	if len(m.Words) > 0 {
		return draw.Axis{From: -0.5, To: float64(len(m.Words)) - 0.5}, true
	}
	var edges, values []float64
	for _, s := range found {
		if s.q != nil {
			edges = append(edges, s.edges(m)...)
			values = append(values, s.q.Value)
		}
	}
	if len(values) == 0 {
		return draw.Axis{}, false
	}
	return draw.AxisOver(edges, values), true
}

// shower prints values as this quantity is read: in its instrument's unit and,
// for times, all in one.
func (s stand) shower(m limit.Measure) func(float64) unit.Amount {
	name := s.q.Unit
	if s.q.Kind == unit.TimeOf {
		name = timeUnit(append(s.edges(m), s.q.Value)...)
	}
	return func(v float64) unit.Amount { return unit.Amount{Kind: s.q.Kind, Value: v, Unit: name, Digits: 4} }
}

// timeUnit is the unit in which several times are read side by side: the
// largest of which the shortest of them has a half or more. Hours go up to
// three days, as people say them.
func timeUnit(times ...float64) string {
	shortest, longest := math.Inf(1), 0.0
	for _, t := range times {
		if t = math.Abs(t); t > 0 {
			shortest, longest = min(shortest, t), max(longest, t)
		}
	}
	switch {
	case longest == 0:
		return "min"
	case shortest >= unit.Day/2 && longest >= 3*unit.Day:
		return "d"
	case shortest >= unit.Hour/2 && longest > 3*unit.Hour:
		return "h"
	case shortest >= unit.Minute/2:
		return "min"
	}
	return "s"
}

// barOf draws where a quantity stands.
func (e Edition) barOf(s stand, m limit.Measure, axis draw.Axis, names map[string]string) draw.Bar {
	label := func(v float64) string { return e.show(s.shower(m)(v)) }
	if len(m.Words) > 0 {
		label = func(v float64) string { return e.say("book.limits.word." + m.Words[int(v)]) }
	}
	b := draw.Bar{Axis: axis, Mark: &draw.Tick{At: s.q.Value, Label: label(s.q.Value)}}
	edges := s.edges(m)
	b.Zones = s.zones(edges, axis)
	if len(m.Words) == 0 {
		// What is allowed is labelled first, then the rest from the left.
		low, high := s.span(protocol.Note)
		for _, end := range []limit.End{low, high} {
			if end.There {
				b.Edges = append(b.Edges, draw.Tick{At: end.Value, Label: label(end.Value)})
			}
		}
		for _, v := range edges {
			if !(low.There && v == low.Value || high.There && v == high.Value) {
				b.Edges = append(b.Edges, draw.Tick{At: v, Label: label(v)})
			}
		}
	} else {
		for _, v := range edges {
			b.Edges = append(b.Edges, draw.Tick{At: v})
		}
	}
	inside, refused := e.allowed(s, m)
	b.Title = e.say("book.limits.bar.title", "quantity", limit.Name(s.q, names), "found", b.Mark.Label)
	b.Description = e.say("book.limits.bar.inside", "inside", inside)
	if refused != "" {
		b.Description = e.say("book.limits.bar.both", "inside", inside, "refused", refused)
	}
	return b
}

// zones cuts the axis where what a value gets changes. A single value that is
// better off than both of its sides gets a zone just wide enough to be seen.
func (s stand) zones(edges []float64, axis draw.Axis) []draw.Zone {
	var out []draw.Zone
	from := axis.From
	add := func(to float64, kind draw.ZoneKind) {
		to = min(to, axis.To)
		if to <= from {
			return
		}
		if n := len(out); n > 0 && out[n-1].Kind == kind {
			out[n-1].To = to
		} else {
			out = append(out, draw.Zone{From: from, To: to, Kind: kind})
		}
		from = to
	}
	for i, v := range edges {
		next := axis.To
		if i < len(edges)-1 {
			next = edges[i+1]
		}
		before, here, after := s.at(middle(from, v, axis.Log)), s.at(v), s.at(middle(v, next, axis.Log))
		if here < before && here < after && !axis.Log {
			hair := (axis.To - axis.From) / 60
			add(v-hair, before)
			add(v+hair, here)
			continue
		}
		add(v, before)
	}
	add(axis.To, s.at(middle(from, axis.To, axis.Log)))
	return out
}

func middle(a, b float64, log bool) float64 {
	if log {
		return math.Sqrt(a * b)
	}
	return (a + b) / 2
}

// barKey is a bar that says what its zones and its mark are.
func (e Edition) barKey() draw.Bar {
	return draw.Bar{
		Title: e.say("book.limits.key"), Description: e.say("book.limits.key.how"),
		Axis: draw.Axis{From: 0, To: 3},
		Zones: []draw.Zone{
			{From: 0, To: 1, Kind: draw.Refused, Label: e.say("book.limits.key.refused")},
			{From: 1, To: 2, Kind: draw.Warned, Label: e.say("book.limits.key.warned")},
			{From: 2, To: 3, Kind: draw.Allowed, Label: e.say("book.limits.key.allowed")},
		},
		Mark: &draw.Tick{At: 2.4, Label: e.say("book.limits.key.found")},
	}
}
