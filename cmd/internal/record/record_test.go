package record_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/record"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
)

// demo tells a batch of every protocol of the demo farm.
func demo(t *testing.T, vessels int, do func(string, procedure.Procedure)) {
	t.Helper()
	folder, _ := farmfile.Read(os.DirFS("../../.."), protocols.Library)
	require.Len(t, folder.Protocols, 7)
	for _, p := range folder.Protocols {
		plan, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
		require.NoError(t, err)
		b, err := batch.Compute(plan, vessels)
		require.NoError(t, err)
		do(p.Name, procedure.Build(b))
	}
}

var english = words.English(unit.Metric)

// limits are the limits that a record prints, by the number of their step, and
// whether there are boxes below or beside them.
func limits(r record.Record) map[int]string {
	out := map[int]string{}
	for _, p := range r.Parts {
		boxes := 0
		for _, t := range p.Tables {
			for _, row := range t.Rows {
				for _, c := range row.Cells {
					if c.Box {
						boxes++
					}
				}
			}
		}
		if boxes < 3 { // what was read, when and by whom
			continue
		}
		for _, b := range p.Bounds {
			out[b.Step] = english.Say(b.Limit)
		}
		for _, t := range p.Tables {
			if t.Kind != record.Limits {
				continue
			}
			for _, row := range t.Rows {
				for n := range 99 {
					if strings.HasPrefix(english.Say(row.Name), english.Say(words.Message("record.n", "n", n))+". ") {
						out[n] = english.Say(row.Cells[0].Text)
					}
				}
			}
		}
	}
	return out
}

// Every critical limit of the procedure stands on the record as on the sheet, with
// boxes for what was read.
func TestEveryCriticalLimitIsWrittenDown(t *testing.T) {
	for _, n := range []int{12, 400} {
		demo(t, n, func(name string, p procedure.Procedure) {
			printed := limits(record.Build(p))
			critical := 0
			for _, s := range p.Steps {
				if s.Critical {
					critical++
					assert.Equal(t, english.Say(s.Limit), printed[s.Number], "%s, step %d, %s", name, s.Number, s.ID)
				}
			}
			assert.GreaterOrEqual(t, critical, 6, name)
		})
	}
}

// A critical step that no part of the record is made for, of a farm's own, is not
// lost: it gets a line with the others.
func TestACriticalLimitOfAnotherStepIsNotLost(t *testing.T) {
	demo(t, 12, func(name string, p procedure.Procedure) {
		p.Steps[0].Critical = true // taking in the goods is of no part
		assert.Contains(t, limits(record.Build(p)), p.Steps[0].Number, name)
	})
}

func table(t *testing.T, r record.Record, id string) record.Table {
	t.Helper()
	for _, p := range r.Parts {
		for _, x := range p.Tables {
			if x.ID == id {
				return x
			}
		}
	}
	t.Fatalf("the record has no table %s", id)
	return record.Table{}
}

func names(x record.Table) []string {
	var out []string
	for _, r := range x.Rows {
		out = append(out, strings.ReplaceAll(english.Say(r.Name), unit.Space, " "))
	}
	return out
}

// The losses have a column for each reason and a line for each stage of the farm's
// results, so that a filled box is one entry of them. Looks are on day 4, 10 and then
// once a week until day 25, on which enoki is usually opened: worked by hand.
func TestLossesAreThoseOfTheResults(t *testing.T) {
	demo(t, 48, func(name string, p procedure.Procedure) {
		losses := table(t, record.Build(p), "losses")
		var heads []string
		for _, h := range losses.Heads[2 : 2+len(protocol.Reasons)] {
			heads = append(heads, strings.TrimPrefix(h.Name.ID, "book.results.why."))
		}
		assert.Equal(t, protocol.Reasons, heads, name)
		all := strings.Join(names(losses), "\n")
		for _, at := range protocol.Stages {
			has := at != "ripening" || p.Batch.Process.Input.Protocol.Incubation.Ripen > 0
			assert.Equal(t, has, strings.Contains(all, english.Say(words.Message("book.results.at."+at))), "%s: %s", name, at)
		}
		if name == "enoki-850" {
			assert.Equal(t, []string{"filling", "sterilizing", "inoculating", "incubation, day 4", "incubation, day 10", "incubation, day 17",
				"incubation, day 24", "incubation", "pinning", "pinning", "fruiting", "fruiting", "washing", "Together"}, names(losses))
		}
	})
}

// Each row has a cell for each head but the first, whatever the batch is.
func TestRowsFitTheirHeads(t *testing.T) {
	for _, n := range []int{1, 12, 48, 400} {
		demo(t, n, func(name string, p procedure.Procedure) {
			for _, part := range record.Build(p).Parts {
				assert.True(t, english.Has("record.part."+part.ID), part.ID)
				for _, x := range part.Tables {
					assert.NotEmpty(t, english.Say(x.Caption))
					for _, r := range x.Rows {
						assert.Len(t, r.Cells, len(x.Heads)-1, "%s for %d: %s", name, n, x.ID)
					}
					span := 0
					for _, g := range x.Groups {
						span += g.Span
					}
					assert.True(t, span == 0 || span == len(x.Heads), "%s for %d: %s", name, n, x.ID)
				}
			}
		})
	}
}

// The 48 bottles of enoki, counted by hand: 48 to grow and 2 controls are 50 filled, of
// which 1 in 10 is weighed once more; a hold of 120 min that is read every 10 min has
// 13 readings; incubation lasts 30 days at most.
func TestRecordOf48Bottles(t *testing.T) {
	demo(t, 48, func(name string, p procedure.Procedure) {
		if name != "enoki-850" {
			return
		}
		r := record.Build(p)
		assert.Equal(t, "5 weighings: 1 in 10 of the 50 bottles", strings.ReplaceAll(english.Say(table(t, r, "weights").Caption), unit.Space, " "))
		assert.Len(t, table(t, r, "weights").Rows[0].Cells, 6)
		gauge := table(t, r, "gauge-0")
		assert.Len(t, gauge.Heads, 1+13)
		assert.Equal(t, "120", english.Say(gauge.Heads[13].Name))
		air := table(t, r, "air-incubation")
		assert.Len(t, air.Rows, 15)
		assert.Equal(t, "30", english.Say(air.Rows[14].Cells[5].Text))
		assert.Equal(t, []string{"Filled", "Controls, which get no spawn", "To grow: A less B"}, []string{
			english.Say(table(t, r, "counts").Rows[0].Cells[0].Text), english.Say(table(t, r, "counts").Rows[1].Cells[0].Text), english.Say(table(t, r, "counts").Rows[2].Cells[0].Text)})
	})
}

// A batch of several loads has a line for each of them in all that is done load by
// load, and one for a load that is run again.
func TestLoadsHaveTheirLines(t *testing.T) {
	demo(t, 400, func(name string, p procedure.Procedure) {
		r, loads := record.Build(p), len(p.Batch.Loads)
		require.Greater(t, loads, 1, name)
		assert.Len(t, table(t, r, "runs").Rows, loads+1, name)
		assert.Len(t, table(t, r, "gauge-0").Rows, loads+1, name)
		assert.Len(t, table(t, r, "bench").Rows, loads+1, name)
		assert.Len(t, table(t, r, "tools").Rows, int(p.Batch.Value("days_needed")), name)
	})
}

// Crates of 10: 48 bottles fill four and leave 8 for a fifth; the controls hang apart.
func TestCardsCountTheCrates(t *testing.T) {
	demo(t, 48, func(name string, p procedure.Procedure) {
		cards := record.Cards(p.Batch, 8)
		require.Len(t, cards, 6, name)
		assert.Equal(t, record.Card{Number: 5, Of: 5, Vessels: 8}, cards[4])
		assert.Equal(t, record.Card{Vessels: p.Batch.Controls, Controls: true}, cards[5])
		sum := 0
		for _, c := range cards[:5] {
			sum += c.Vessels
		}
		assert.Equal(t, 48, sum)

		p.Batch.Process.Input.Farm.Crate = nil // who knows what a crate holds?
		cards = record.Cards(p.Batch, 8)
		assert.Len(t, cards, 8)
		assert.Zero(t, cards[0])
	})
}

// No vessel is opened before the shortest incubation and ripening are over, and the
// looks end before the usual day of opening.
func TestDaysOfTheCards(t *testing.T) {
	demo(t, 12, func(name string, p procedure.Procedure) {
		g := record.Days(p.Batch)
		assert.Positive(t, g.Earliest, name)
		assert.LessOrEqual(t, g.Earliest, g.Usual, name)
		assert.True(t, slices.IsSorted(g.Looks), name)
		assert.Less(t, g.Looks[len(g.Looks)-1], g.Usual, name)
	})
}

// Labels begin at the first free place of the first sheet, and at the first place of
// each that follows.
func TestLabelsAreLaidFromTheFirstFreeOne(t *testing.T) {
	s := protocol.LabelSheet{Columns: 2, Rows: 2, First: 3}
	assert.Equal(t, [][]int{{-1, -1, 0, 1}, {2, 3, 4, 5}, {6, -1, -1, -1}}, record.Lay(s, 7))
	assert.Equal(t, [][]int{{0, -1, -1, -1}}, record.Lay(protocol.LabelSheet{Columns: 2, Rows: 2}, 1))
	assert.Nil(t, record.Lay(s, 0))
}
