package record

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// Card is what hangs on one crate.
type Card struct {
	Number, Of int // crates of crop are counted; 0 where the farm does not say what a crate holds
	Vessels    int // in it
	Controls   bool
}

// Growing is what a card says of the days after the spawn, the same on each.
type Growing struct {
	Earliest int   // day before which no vessel is opened
	Usual    int   // day on which it usually is
	Looks    []int // days
}

// Days are the days that the cards of a batch name.
func Days(b *batch.Batch) Growing {
	g := Growing{Usual: procedure.Facts(b)["open_on"].(int)}
	for _, s := range b.Process.Stages {
		if s.ID == "incubation" || s.ID == "ripening" {
			g.Earliest += process.WholeDays(s.Shortest)
		}
	}
	g.Looks = work.Looks(g.Usual)
	return g
}

// Cards are the cards of a batch: one for each crate, of which the last may hold
// fewer, and one for the controls. A farm that does not say what a crate holds gets
// as many blank ones as one sheet has.
func Cards(b *batch.Batch, onSheet int) []Card {
	var out []Card
	if c := b.Process.Input.Farm.Crate; c != nil && c.Vessels > 0 {
		of := (b.Vessels + c.Vessels - 1) / c.Vessels
		for i := range of {
			out = append(out, Card{Number: i + 1, Of: of, Vessels: min(c.Vessels, b.Vessels-i*c.Vessels)})
		}
	} else {
		out = make([]Card, max(1, onSheet-1))
	}
	if b.Controls > 0 {
		out = append(out, Card{Vessels: b.Controls, Controls: true})
	}
	return out
}

// Lay puts n labels on sheets, from the first free one on: the places of each sheet
// hold the number of a label from 0, or -1.
func Lay(s protocol.LabelSheet, n int) [][]int {
	places := s.Columns * s.Rows
	if places < 1 || n < 1 {
		return nil
	}
	at := max(0, s.First-1) % places
	var out [][]int
	for next := 0; next < n; {
		sheet := make([]int, places)
		for i := range sheet {
			sheet[i] = -1
			if i >= at && next < n {
				sheet[i] = next
				next++
			}
		}
		at = 0
		out = append(out, sheet)
	}
	return out
}
