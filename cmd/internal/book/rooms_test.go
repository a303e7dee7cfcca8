package book_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// Each room stands among the limits by itself, once, where the check has put it.
func TestRoomsStandAmongTheLimits(t *testing.T) {
	in := demo(t, unit.Metric)
	doc := demoPages(t, unit.Metric)[leaf.LimitsPath]
	words := map[protocol.Severity]string{protocol.Warning: "Warning.", protocol.Error: "Error."}
	seen, warned := 0, 0
	for _, r := range in.Climate.Rooms {
		has, worst := map[string]bool{}, map[string]protocol.Severity{}
		for _, q := range r.Ledger.Own() {
			has[q.Name] = true
		}
		for _, f := range r.Findings {
			for _, row := range limit.All() {
				if row.ID == f.Rule {
					worst[row.Quantity] = max(worst[row.Quantity], f.Severity)
				}
			}
		}
		for _, row := range limit.All() {
			if !has[row.Quantity] {
				continue
			}
			heading := byID(doc, "of-"+strings.ReplaceAll(row.Quantity, "_", "-"))
			require.NotNil(t, heading, row.Quantity)
			found := 0
			rows := all(all(heading.Parent, tag("tbody"))[0], tag("tr"))
			for _, tr := range rows {
				said := plainText(tr)
				if links := all(tr, tag("a")); len(rows) > 1 && (len(links) == 0 || attr(links[0], "href") != "../"+leaf.RoomWorkingPath(r.ID)) {
					continue
				}
				found++
				want := words[worst[row.Quantity]]
				assert.Equal(t, want != "", strings.Contains(said, "Warning.") || strings.Contains(said, "Error."), "%s of %s", row.Quantity, r.ID)
				if want != "" {
					warned++
					assert.Contains(t, said, want, "%s of %s", row.Quantity, r.ID)
				}
			}
			assert.Equal(t, 1, found, "%s of %s", row.Quantity, r.ID)
			seen++
		}
	}
	assert.Greater(t, seen, 100)
	assert.Positive(t, warned)
}

// The worker's card has no design figure: what the crop gives off, duties, margins and
// ceilings stand on the author's page, and each of them with its working.
func TestRoomCardsStayPlain(t *testing.T) {
	for _, sys := range systems {
		in := demo(t, sys)
		docs := demoPages(t, sys)
		for _, r := range in.Climate.Rooms {
			card := plainText(docs[leaf.RoomPath(r.ID)])
			for _, word := range []string{"m³/h", "cfm", "W", "kW", "g/h", "oz/h", "reserve", "dew point", "Reserve", "latent"} {
				assert.NotRegexp(t, `(^|\s)`+word+`([\s.,]|$)`, card, "%s: %s", r.ID, word)
			}
			author := plainText(docs[leaf.RoomsPath])
			assert.Contains(t, author, r.Name)
			working := docs[leaf.RoomWorkingPath(r.ID)]
			for _, q := range r.Ledger.Own() {
				at := byID(working, anchor(q))
				if assert.NotNil(t, at, "%s: %s", r.ID, q.ID()) {
					assert.NotEmpty(t, text(all(at, class("source"))[0]), "%s: %s: no source and no place", r.ID, q.ID())
				}
			}
		}
	}
}

// A farm without rooms has no page on them.
func TestBookWithoutRooms(t *testing.T) {
	in := demo(t, unit.Metric)
	in.Climate = nil
	assert.NotContains(t, paths(t, in), leaf.RoomsPath)
	assert.NotContains(t, plainText(onePage(t, renderedOnly(t, in, at(leaf.HomePath)), leaf.HomePath)), "Rooms and their air")
}
