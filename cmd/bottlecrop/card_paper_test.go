package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// The card that hangs at the sterilizer is one page, for every protocol of the
// demo farm, in both systems of units and on both papers: nobody turns a page
// beside a hot sterilizer. All of it is on that page, the last line too.
func TestSterilizerCardOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	page := loosePage(t)
	for _, units := range checks.Every(2, []string{"metric", "us"}) {
		f, err := openFarm(&settings{farm: "../..", units: units})
		require.NoError(t, err)
		require.Len(t, f.entries, 7)
		for _, paper := range papers {
			e := f.edition()
			e.Farm.Paper = paper
			for _, entry := range some(f.entries) {
				name := strings.Join([]string{entry.Method.Protocol, units, paper}, ", ")
				card, err := leaf.SterilizerCard(e, entry.Batches[0], entry.Method)
				require.NoError(t, err, name)
				said := onePage(t, ctx, page, card, name)
				for _, fault := range procedure.RunCardOf(entry.Batches[0]).Faults {
					title := e.Voice.Say(fault.Title)
					assert.Contains(t, said, title, "%s: the fault is not on the page", name)
				}
				for _, part := range []string{"DANGER", "WARNING", "NOTICE", "At once", "The load", "Decides", "Not on this card", entry.Method.Short} {
					assert.Contains(t, said, part, name)
				}
			}
		}
	}
}

// A wall card is one page with all of it on it: for every station and protocol of
// the demo farm, in metric units on both papers, in those of the US on its own. What
// is too much for a page was left to the sheet, and nothing runs over.
func TestWallCardsOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	page := loosePage(t)
	for _, units := range checks.Every(2, []string{"metric", "us"}) {
		f, err := openFarm(&settings{farm: "../..", units: units})
		require.NoError(t, err)
		for _, paper := range papers {
			if units == "us" && paper == "A4" {
				continue // a farm with inches has no such paper
			}
			e := f.edition()
			e.Farm.Paper = paper
			for _, entry := range some(f.entries) {
				b := entry.Batches[0]
				if paper == "letter" { // the lower paper, and the longer texts
					b = entry.Batches[len(entry.Batches)-1]
				}
				told := procedure.Build(b)
				for _, at := range checks.Every(3, work.Stations()) {
					name := strings.Join([]string{entry.Method.Protocol, string(at), units, paper}, ", ")
					card, err := leaf.WallCard(e, told, at, entry.Method)
					require.NoError(t, err, name)
					said := onePage(t, ctx, page, card, name)
					for _, s := range told.Steps {
						if s.Station == at && s.Critical {
							assert.Contains(t, said, flat(e.Voice.Say(s.IfOff)), name)
						}
					}
					for _, part := range []string{e.Voice.Say(words.Message("station." + string(at))), "When to stop the work", "Person in charge 555 0100", "Emergency 911", "Printed copies are uncontrolled", entry.Method.Short} {
						assert.Contains(t, said, part, name)
					}
				}
			}
		}
	}
}
