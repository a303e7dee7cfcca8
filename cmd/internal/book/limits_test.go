package book_test

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/sanitation"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// The page of all limits has every row of the table, with what it allows, what
// happens else, its reason, its remedy and its source.
func TestEveryLimitStandsOnItsPage(t *testing.T) {
	for _, sys := range systems {
		in := demo(t, sys)
		doc := demoPages(t, sys)[leaf.LimitsPath]
		rows := all(doc, class("limit-row"))
		assert.Len(t, rows, len(limit.All()))
		for _, row := range limit.All() {
			at := byID(doc, leaf.LimitAnchor(row.ID))
			if !assert.NotNil(t, at, row.ID) {
				continue
			}
			said := plainText(at)
			for _, m := range []string{"limit." + row.ID + ".why", "limit." + row.ID + ".hint"} {
				assert.Contains(t, said, flat(in.Voice.Say(words.Message(m))), row.ID)
			}
			assert.Contains(t, strings.ToLower(said), strings.ToLower(flat(row.Source)), row.ID)
			assert.Contains(t, said, "or else "+map[protocol.Severity]string{
				protocol.Error: "an error", protocol.Warning: "a warning", protocol.Note: "a note"}[row.Severity], row.ID)
			assert.Equal(t, row.Safety, strings.Contains(said, "About people's safety"), row.ID)
			allows := text(all(at, class("limit-value"))[0])
			assert.NotEmpty(t, allows, row.ID)
			for _, b := range []*limit.Bound{row.Low, row.High} {
				if b != nil && b.Of != "" {
					// A bound that is another quantity is named, not given as a number.
					name := in.Voice.Say(words.Message("quantity."+b.Of, "of", "an ingredient"))
					assert.Contains(t, plainText(all(at, class("limit-value"))[0]), flat(name), row.ID)
				}
			}
		}
		for _, g := range limit.Groups() {
			heading := byID(doc, "limits-"+g.ID)
			require.NotNil(t, heading, g.ID)
			assert.Contains(t, text(heading.Parent), strconv.Itoa(len(g.Rows)))
		}
	}
}

// What the words of a range are, for one of each form.
func TestRangesInWords(t *testing.T) {
	for sys, want := range map[unit.System]map[string]string{
		unit.Metric: {
			"altitude.outside":        "−430 m to 5000 m",
			"vent.never":              "5 min to 240 min",
			"minerals.high":           "At most 2 %",
			"share.high":              "At most the highest usual share of an ingredient in the dry matter",
			"gauge.rated":             "More than 0 kPa, at most the rated pressure of the sterilizer",
			"gauge.near":              "At most 90 % of the rated pressure of the sterilizer",
			"pinning.air_never":       "At least 5 K below the lowest air temperature for pinning that suits the species, at most 5 K above the highest air temperature for pinning that suits the species",
			"pinning.humidity_never":  "At least 70 % or the lowest humidity for pinning that suits the species, whichever is lower",
			"fruiting.staffed_never":  "Less than 5000 ppm",
			"come_up.never":           "More than 0 h, at most 4 h",
			"cooled.never":            "At most 48 h",
			"species.unsuited":        "Fair, good, excellent",
			"scrape.never":            "No",
			"scale.steps":             "At least 100",
			"stage_nothing.of_a_kind": "",
		},
		unit.US: {
			"altitude.high":     "−328.1 ft to 9843 ft",
			"pinning.air_never": "At least 9 °F below the lowest air temperature for pinning that suits the species, at most 9 °F above the highest air temperature for pinning that suits the species",
			"cool.never":        "41 °F to 82.4 °F",
		},
	} {
		doc := onePage(t, renderedOnly(t, demo(t, sys), at(leaf.LimitsPath)), leaf.LimitsPath)
		for id, words := range want {
			at := byID(doc, leaf.LimitAnchor(id))
			if words == "" {
				assert.Nil(t, at, id)
				continue
			}
			require.NotNil(t, at, id)
			assert.Equal(t, words, plainText(all(at, class("limit-value"))[0]), id)
		}
	}
}

// standing is one printed row of a table of standings.
type standing struct {
	found, word, allowed, refused string
	bar                           *html.Node
}

// standings reads where a protocol stands in the ranges of a quantity.
func standings(t *testing.T, doc *html.Node, quantity string, e book.Entry) standing {
	t.Helper()
	heading := byID(doc, "of-"+strings.ReplaceAll(quantity, "_", "-"))
	require.NotNil(t, heading, quantity)
	rows := all(all(heading.Parent, tag("tbody"))[0], tag("tr"))
	for _, row := range rows {
		links := all(row, tag("a"))
		if len(rows) > 1 && attr(links[0], "href") != "../"+leaf.ProtocolPath(e.Process.Input.Protocol.Name) {
			continue
		}
		cells := all(row, tag("td"))
		require.Len(t, cells, 4)
		s := standing{found: text(all(cells[0], class("limit-value"))[0]), allowed: text(cells[1]), refused: text(cells[2])}
		if w := all(cells[0], class("finding-word")); len(w) > 0 {
			s.word = text(w[0])
		}
		if b := all(cells[3], tag("svg")); len(b) > 0 {
			s.bar = b[0]
		}
		return s
	}
	require.Fail(t, "no standing", "%s of %s", quantity, e.Process.Input.Protocol.Name)
	return standing{}
}

// Each protocol of the farm stands in every range, once, where the check of the
// limits has put it: in words, and as drawn.
func TestProtocolsStandWhereTheCheckPutsThem(t *testing.T) {
	in := anew(t, words.English(unit.Metric), asWritten, some) // for outside changes a process
	outside(t, &in)
	doc := onePage(t, renderedOnly(t, in, at(leaf.LimitsPath)), leaf.LimitsPath)
	quantityOf := map[string]string{}
	for _, row := range limit.All() {
		quantityOf[row.ID] = row.Quantity
	}
	solutions := sanitation.New(in.Edition.Farm, nil).Ledger
	ofRooms := map[string]bool{}
	for _, r := range in.Climate.Rooms {
		for _, q := range r.Ledger.Own() {
			ofRooms[q.Name] = true // TestRoomsStandAmongTheLimits looks at them
		}
	}
	worded, bars := 0, 0
	for _, e := range in.Entries {
		b := e.Batches[len(e.Batches)-1]
		worst := map[string]protocol.Severity{}
		for _, one := range b.Ledger.All() { // by itself: beside a refused one a warning may be left away
			for _, f := range limit.Check([]*working.Quantity{one}, b.Ledger, nil, "") {
				q := quantityOf[f.Rule]
				worst[q] = max(worst[q], f.Severity)
			}
		}
		has := map[string]bool{}
		for _, q := range b.Ledger.All() {
			has[q.Name] = true
		}
		for _, quantity := range quantityOf {
			if solutions.Get(quantity) != nil || quantity == "weekly_left_out" || ofRooms[quantity] {
				continue // of the farm, whose standing TestSolutionsStandAmongTheLimits looks at
			}
			s := standings(t, doc, quantity, e)
			about := quantity + " of " + e.Process.Input.Protocol.Name
			if !has[quantity] {
				assert.Nil(t, s.bar, about)
				assert.Contains(t, s.found, "not in this protocol", about)
				continue
			}
			bars++
			want := map[protocol.Severity]string{protocol.Warning: "Warning.", protocol.Error: "Error.", protocol.Note: "Note."}[worst[quantity]]
			assert.Equal(t, want, s.word, about)
			assert.NotEmpty(t, s.allowed, about)
			if want != "" {
				worded++
			}
			zone := zoneOfMark(t, s.bar, about)
			switch worst[quantity] {
			case protocol.Error:
				assert.Contains(t, zone, "refused", about)
			case protocol.Warning, protocol.Note:
				assert.Contains(t, zone, "warned", about)
			default:
				assert.Contains(t, zone, "allowed", about)
			}
			assert.Contains(t, text(all(s.bar, tag("title"))[0]), s.found, about)
			assert.Contains(t, text(all(s.bar, tag("desc"))[0]), s.allowed, about)
			if s.refused == "nothing" {
				assert.NotContains(t, text(all(s.bar, tag("desc"))[0]), "Refused", about)
				assert.Empty(t, all(s.bar, class("refused")), about)
			} else {
				assert.Contains(t, text(all(s.bar, tag("desc"))[0]), s.refused, about)
			}
			assert.Equal(t, "img", attr(s.bar, "role"), about)
			assert.Equal(t, s.found, text(all(s.bar, class("found"))[0]), about)
		}
	}
	assert.Greater(t, bars, 300)
	assert.Greater(t, worded, 4, "the test saw crossings of both kinds")
}

// outside puts two of the farm's values outside their ranges, as if they had
// been written so: a warning and an error. A book with an error is never made,
// but the page must not lie about one.
func outside(t *testing.T, in *book.Input) {
	t.Helper()
	for name, v := range map[string]float64{"vent": 7 * unit.Minute, "hold": 10 * unit.Minute} {
		q := in.Entries[0].Process.Ledger.Get(name)
		require.NotNil(t, q)
		q.Value = v
	}
}

var (
	stemAt  = regexp.MustCompile(`^M([\d.]+) `)
	railRun = regexp.MustCompile(`M([\d.]+) 19H([\d.]+)`)
	boxRun  = regexp.MustCompile(`M([\d.]+) 19H([\d.]+)V31H[\d.]+Z`)
	hatched = regexp.MustCompile(`M([\d.]+) [\d.]+l([\d.]+)`)
)

// zoneOfMark finds the zones in which the mark of a bar stands, by what is
// drawn there: two where it stands on an edge.
func zoneOfMark(t *testing.T, bar *html.Node, about string) []string {
	t.Helper()
	path := func(class string) string {
		found := all(bar, func(n *html.Node) bool { return n.Data == "path" && hasClass(n, class) })
		if len(found) == 0 {
			return ""
		}
		return attr(found[0], "d")
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	m := stemAt.FindStringSubmatch(path("stem"))
	require.NotNil(t, m, about)
	x := number(m[1])
	inside := func(from, to string) bool { return x >= number(from)-0.11 && x <= number(to)+0.11 }
	var out []string
	for _, run := range railRun.FindAllStringSubmatch(path("allowed"), -1) {
		if inside(run[1], run[2]) {
			out = append(out, "allowed")
		}
	}
	for _, run := range boxRun.FindAllStringSubmatch(path("thin"), -1) {
		if !inside(run[1], run[2]) {
			continue
		}
		// Which hatching begins within the box?
		for _, kind := range []string{"warned", "refused"} {
			for _, line := range hatched.FindAllStringSubmatch(path(kind), -1) {
				if v := number(line[1]); v >= number(run[1])-0.11 && v+number(line[2]) <= number(run[2])+0.11 {
					out = append(out, kind)
					break
				}
			}
		}
	}
	return out
}

// What is worked out for a number of vessels is that of the largest batch, and
// of several ingredients the one that is nearest to its limit stands there.
func TestStandingsSayOfWhichTheyAre(t *testing.T) {
	in := demo(t, unit.Metric)
	doc := demoPages(t, unit.Metric)[leaf.LimitsPath]
	for _, e := range in.Entries {
		largest := e.Batches[len(e.Batches)-1]
		s := standings(t, doc, "vessels", e)
		assert.Equal(t, strconv.Itoa(largest.Vessels), s.found)

		// Worked out here in another way: the smallest room under the cap.
		s = standings(t, doc, "share", e)
		room, want := 2.0, 0.0
		for _, p := range e.Process.Parts {
			for _, bound := range []unit.DryShare{p.UsualMost, p.NeverAbove} {
				if r := float64((bound - p.Share) / bound); r < room {
					room, want = r, float64(p.Share)
				}
			}
		}
		v, err := unit.Parse(unit.ShareOf, s.found)
		require.NoError(t, err)
		assert.InDelta(t, want, v, 1e-4, e.Process.Input.Protocol.Name)
	}
	assert.Contains(t, plainText(byID(doc, "of-vessels").Parent), "each protocol's largest is shown")
	assert.Contains(t, plainText(byID(doc, "of-share").Parent), "nearest to a limit")
}

// plainText is the words of an element with plain blanks, and CO2 as it is
// written.
func plainText(n *html.Node) string { return flat(text(n)) }

func flat(s string) string {
	return strings.Join(strings.Fields(strings.NewReplacer(unit.Space, " ", "CO₂", "CO2").Replace(s)), " ")
}
