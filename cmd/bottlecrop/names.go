package main

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

func namesCommand(t *terminal, s *settings) *cobra.Command {
	asJSON := false
	c := &cobra.Command{
		Use:   "names [PROTOCOL]",
		Short: "List the steps of the book, and the facts that your own sentences may name",
		Long: `names lists the steps of the book with what a protocol may do to each: replace its
texts, skip it, or add to it only. Below it lists the facts that a sentence of your own
may name in braces, such as {hold}. With a protocol, it says which of them that protocol
has, and what they are for its smallest batch.`,
		Args:              atMostOne,
		ValidArgsFunction: protocolNames(s, 1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return t.names(t.speaks(), nil, asJSON)
			}
			f, err := openFarm(s)
			if err != nil {
				return err
			}
			i := slices.IndexFunc(f.entries, func(e book.Entry) bool { return e.Method.Protocol == args[0] })
			if i < 0 || len(f.entries[i].Batches) == 0 {
				_, err := f.sheet(args[0], 1, nil) // it says why
				t.findings(f.voice, f.findings, false)
				if err == nil {
					err = errFaulty
				}
				return err
			}
			return t.names(f.voice, f.entries[i].Batches[0], asJSON)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// names prints both lists, of all protocols or as a batch has them.
func (t *terminal) names(v *words.Voice, b *batch.Batch, asJSON bool) error {
	names := reportNames(v, b)
	if asJSON {
		return t.json(names)
	}
	t.stepNames(v, names)
	t.factNames(v, names)
	return nil
}

// mayDo says what a protocol may do to a step, by the end of the message that says so;
// without a process that of any protocol.
func mayDo(id work.StepID, p *process.Process) string {
	switch {
	case p != nil && !work.Present(id, p.Setting()):
		return "absent"
	case work.Fixed(id):
		return "fixed"
	case farmfile.Decided(id):
		return "decided"
	case work.Kept(id) != "":
		return "kept"
	}
	return "free"
}

// stepNames lists the steps of the book; those that a protocol lacks are marked.
func (t *terminal) stepNames(v *words.Voice, names namesJSON) {
	t.say(v, "command.names.steps")
	var rows [][]string
	for _, s := range names.Steps {
		rows = append(rows, []string{s.ID, v.Say(words.Message("station." + s.Station)), v.Say(words.Message("command.names." + s.May))})
	}
	t.columns(rows)
}

// factNames lists the facts with what they mean and, of a batch, what they are.
func (t *terminal) factNames(v *words.Voice, names namesJSON) {
	fmt.Fprintln(t)
	if names.Protocol == "" {
		t.say(v, "command.names.facts")
	} else {
		t.say(v, "command.names.facts_of", "protocol", names.Protocol, "n", names.Vessels)
	}
	var rows [][]string
	for _, f := range names.Facts {
		row := []string{"{" + f.Name + "}"}
		if names.Protocol != "" {
			value := v.Say(words.Message("command.names.absent"))
			if f.Value != nil {
				value = *f.Value
			}
			row = append(row, value)
		}
		rows = append(rows, append(row, f.Means))
	}
	t.columns(rows)
}

// mostWide is the widest that a column but the last may make the ones after it
// begin: one long value does not push all meanings off the screen.
const mostWide = 24

// columns prints rows with their cells under one another.
func (t *terminal) columns(rows [][]string) { t.table(rows, mostWide) }

// table is columns, of which a cell of up to so many letters moves those behind it.
func (t *terminal) table(rows [][]string, most int) {
	var wide []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(wide) {
				wide = append(wide, 0)
			}
			wide[i] = max(wide[i], min(utf8.RuneCountInString(cell), most))
		}
	}
	for _, row := range rows {
		line := ""
		for i, cell := range row {
			line += "  " + cell
			if i < len(row)-1 {
				line += strings.Repeat(" ", max(0, wide[i]-utf8.RuneCountInString(cell)))
			}
		}
		fmt.Fprintln(t, plain(line))
	}
}
