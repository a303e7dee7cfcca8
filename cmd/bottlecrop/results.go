package main

import (
	"fmt"
	"strings"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/words"
)

// record is what the results of the farm show; nil where it has written down none.
func (f *farm) record() (*results.Record, error) {
	if len(f.folder.Results.Batches) == 0 {
		return nil, nil
	}
	in := results.Input{Farm: f.folder.Farm, Results: f.folder.Results, Processes: map[string]*process.Process{}, Methods: map[string]string{}}
	for _, e := range f.entries {
		in.Processes[e.Method.Protocol], in.Methods[e.Method.Protocol] = e.Process, e.Method.Short
	}
	return results.Of(in)
}

// asked is the record where it was asked for. With faults in the results' file, which
// the findings tell, there is none; without results, asking is a fault.
func (f *farm) asked(wanted bool) (*results.Record, error) {
	if !wanted || f.verdict() != nil {
		return nil, nil
	}
	r, err := f.record()
	if r == nil && err == nil {
		return nil, &failure{atFault, words.Message("results.none", "file", protocol.ResultsDocument), words.Message("results.none.hint")}
	}
	return r, err
}

// results prints what became of the batches, beside what was assumed.
func (t *terminal) results(f *farm, r *results.Record) {
	for i := range r.Groups {
		g := &r.Groups[i]
		if i > 0 {
			fmt.Fprintln(t)
		}
		title := g.Name
		if g.Process != nil {
			title = g.Process.Input.Protocol.Title
		}
		t.say(f.voice, "results.heading", "title", title, "k", len(g.Done), "open", len(g.Open))
		for _, m := range g.Said() {
			t.point(f, m)
		}
		if len(g.Causes.Hints) > 0 {
			t.say(f.voice, "results.pattern")
			for _, h := range g.Causes.Hints {
				t.point(f, h.Said())
			}
		}
		if len(g.Offers) > 0 {
			t.say(f.voice, "results.offers")
		}
		for _, o := range g.Offers {
			t.point(f, o.Said())
			if !o.Differs {
				continue // nobody need change anything; JSON has the lines
			}
			id := "results.in"
			if o.Species != "" {
				id = "results.in_library"
			}
			t.lines(f, id, o.Document, o.Lines)
			if o.Species != "" && o.Species != g.Process.Species.ID {
				t.lines(f, "results.in", g.Process.Input.Document(), o.SpeciesLine())
			}
		}
	}
}

// point prints one item of a list.
func (t *terminal) point(f *farm, m protocol.Message) {
	fmt.Fprintf(t, "  - %s\n", plain(f.voice.Say(m)))
}

// lines prints what to write into a file.
func (t *terminal) lines(f *farm, id, document, text string) {
	fmt.Fprintf(t, "    %s\n", plain(f.voice.Say(words.Message(id, "file", document))))
	for l := range strings.Lines(text + "\n") {
		fmt.Fprint(t, "      "+l)
	}
}
