package book_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// withNews tells what is new in one protocol of the demo, made up: once it was held for
// less long, lower down, with another formula and no collar, by other hands. So every
// check of pages meets a page of what is new, with each kind of thing on it.
func withNews(t *testing.T, in *book.Input, once string) {
	t.Helper()
	i := slices.IndexFunc(in.Entries, func(e book.Entry) bool { return e.Method.Protocol == "enoki-850" })
	if i < 0 || len(in.Entries[i].Batches) == 0 {
		return
	}
	now := in.Entries[i].Process.Input
	after := change.Side{Farm: now.Farm, Library: now.Library, Protocol: now.Protocol}
	before := after
	before.Protocol.Sterilization.Hold = 110 * unit.Minute
	before.Protocol.Collar = nil
	before.Protocol.Substrate.Ingredients = slices.Clone(now.Protocol.Substrate.Ingredients)
	before.Protocol.Substrate.Ingredients[0].Share += 0.005
	before.Protocol.Substrate.Ingredients[1].Share -= 0.005
	low := unit.Length(400)
	before.Farm.Altitude = &low
	before.Farm.Prices = maps.Clone(now.Farm.Prices)
	price := before.Farm.Prices["gypsum"]
	price.Amount *= 2
	before.Farm.Prices["gypsum"] = price
	report := news[once]
	if report == nil {
		var err error
		report, err = change.Compare(before, after, in.Entries[i].Batches[0].Vessels, in.Voice)
		require.NoError(t, err)
		news[once] = report
	}
	in.Entries[i].Changes = &leaf.Compared{Report: report, Rise: change.First, PlaceBefore: in.Place, PlaceAfter: in.Place,
		Before: in.Voice.Say(words.Message("book.changes.since.revision", "commit", "5d0c1f2a9e", "date", "2026-03-01"))}
	in.News = []string{"enoki-850"}
}
