package main

import (
	"context"
	"errors"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/design"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// prepare makes the new text of the protocol's file, and refuses it where a
// protocol would have errors with it. Nothing is written.
func (t *terminal) prepare(w *writing, f *farm, d *design.Design) (err error) {
	name, file := d.Input.Protocol.Name, d.Input.Document()
	w.also = f.sharing(name)
	if f.formulaFile(name) == file {
		for _, other := range append([]string{name}, w.also...) {
			if found := f.wrongWith(d, other); len(found) > 0 {
				t.findings(f.voice, found, false)
				return fail(atFault, words.Message("design.would_be_wrong", "protocol", other))
			}
		}
	}
	if w.err != nil {
		return w.err
	}
	w.text, err = farmfile.SetFormula(w.held.Text, d.Input.Protocol.Substrate.Ingredients)
	switch {
	case errors.Is(err, farmfile.ErrNoFormula):
		return &failure{atFault,
			words.Message("design.write_inherited", "protocol", name, "file", f.formulaFile(name)),
			words.Message("design.write_inherited.hint", "own", file)}
	case err != nil:
		return &failure{atFault,
			words.Message("design.write_form", "file", file, "error", strings.TrimPrefix(err.Error(), "farmfile: ")),
			words.Message("design.write_form.hint")}
	}
	return nil
}

// wrongWith lists the errors that a protocol would have with a new formula, at
// every batch size that it names. The formula is in no file yet, so the place is
// the file as a whole.
func (f *farm) wrongWith(d *design.Design, name string) []protocol.Finding {
	in := d.Input
	for _, p := range f.folder.Protocols {
		if p.Name == name {
			p.Substrate.Ingredients = d.Input.Protocol.Substrate.Ingredients
			in.Protocol = p
		}
	}
	p, err := process.Plan(in)
	if err != nil {
		return nil // it names what is not there, which the reader has refused
	}
	found := slices.Clone(p.Findings)
	if protocol.Worst(found) != protocol.Error {
		for _, n := range in.Protocol.BatchSizes {
			if b, err := batch.Compute(p, n); err == nil {
				found = append(found, b.Own...)
			}
		}
	}
	for i := range found {
		found[i].Place = protocol.Place{File: d.Input.Document()}
	}
	return f.distinct(slices.DeleteFunc(found, func(x protocol.Finding) bool { return x.Severity != protocol.Error }))
}

// sharing lists the other protocols whose ingredients stand in the file of this
// one.
func (f *farm) sharing(name string) []string {
	var out []string
	for _, p := range f.folder.Protocols {
		if p.Name != name && f.formulaFile(p.Name) == protocol.Document(name) {
			out = append(out, p.Name)
		}
	}
	return out
}

// formulaFile is where the ingredients of a protocol stand: in its own file, or
// in that of a protocol that it is based on.
func (f *farm) formulaFile(name string) string {
	return f.folder.Place(working.Origin{Document: protocol.Document(name), Key: "substrate.ingredient[0].ingredient"}).File
}

// commit writes the file and checks the protocol as it now stands.
func (t *terminal) commit(ctx context.Context, s *settings, f *farm, d *design.Design, w *writing, asJSON bool) error {
	shown := t.fromHere(protocol.Place{File: d.Input.Document()}).File
	say := func(id string, pairs ...any) {
		if !asJSON {
			t.say(f.voice, id, pairs...)
		}
	}
	if w.same() {
		say("design.wrote_nothing", "file", shown)
		return nil
	}
	if err := w.put(ctx); err != nil {
		return err
	}
	say("command.wrote", "file", shown)
	if len(w.also) > 0 {
		say("design.also", "protocols", strings.Join(w.also, ", "))
	}
	now, err := openFarm(s)
	if err != nil {
		return err
	}
	now.findings = slices.DeleteFunc(now.findings, func(x protocol.Finding) bool {
		return x.Subject != "" && x.Subject != d.Input.Protocol.Name && !slices.Contains(w.also, x.Subject)
	})
	t.findings(now.voice, now.findings, false)
	return now.verdict()
}
