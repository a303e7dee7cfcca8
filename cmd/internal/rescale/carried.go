// Package rescale works a sheet out for what somebody writes into the sheet's own form:
// another number of vessels, a day, a measured moisture, an ingredient that runs short,
// the air as it is. It does so from what a book carries of a protocol (Carried), with the
// packages that made the book, so the program and the page say the same.
//
// It runs in a browser (cmd/bottlecrop-web): it knows no files, no clock and no network.
package rescale

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// format of what a book carries. It is raised with any change of it.
const format = 1

// Carried is what a book has of one protocol in one language: all that its sheets can be
// worked out from again.
type Carried struct {
	Format      int
	Calculation int          // of package process
	Run         int          // of package run
	Program     string       // that made the book, as its pages say it
	Spoken      words.Spoken // the language, and the units
	Folder      string       // of the language in the book, "" for the first
	Today       string       `json:",omitempty"`
	Unreviewed  bool         // what its edition says of the translation, and of other pages
	News, Past  []string     `json:",omitempty"`
	Size        int          // that a form is shown for before anything else
	Method      leaf.Method
	Farm        protocol.Farm
	Library     protocol.Library // the entries that the protocol can need
	Protocol    protocol.Protocol
	Evidence    []evidence                 `json:",omitempty"`
	Prose       map[string]leaf.Prose      `json:",omitempty"` // made ready, by the text
	Answers     map[string]json.RawMessage // of package run, by their keys
}

// evidence is process.Evidence: two of its fields have one name.
type evidence struct {
	Said            protocol.Evidence
	Index           int
	Vessel, Chamber []heat.Point
}

// Carry is what a book carries of a process that has no errors, in an edition.
func Carry(e leaf.Edition, p *process.Process, m leaf.Method, today string) (*Carried, error) {
	answers, err := p.Answers()
	if err != nil {
		return nil, fmt.Errorf("rescale: %w", err)
	}
	in := p.Input
	c := &Carried{
		Format: format, Calculation: process.Calculation, Run: run.Version, Program: e.Version,
		Spoken: e.Voice.Spoken(), Folder: e.Folder, Today: today, Unreviewed: e.Unreviewed, News: e.News, Past: e.Past, Method: m,
		Farm: in.Farm, Library: needed(in), Protocol: in.Protocol, Answers: answers, Prose: map[string]leaf.Prose{},
	}
	if len(in.Protocol.BatchSizes) > 0 {
		c.Size = in.Protocol.BatchSizes[0]
	}
	for _, x := range in.Evidence {
		c.Evidence = append(c.Evidence, evidence{x.Evidence, x.Index, x.Vessel, x.Chamber})
	}
	for _, s := range p.Steps() {
		if s.Written != nil && s.Written.Prose != "" {
			c.Prose[s.Written.Prose] = e.Prose(s.Written.Prose)
		}
	}
	return c, nil
}

// needed is a library with the entries that a sheet of a protocol can need: the species
// and the ingredients that protocol and grain spawn name, all vessels and sterilizers,
// with which others are compared, and the troubles.
func needed(in process.Input) protocol.Library {
	lib := in.Library
	out := protocol.Library{
		Species: map[string]protocol.Species{}, Ingredients: map[string]protocol.Ingredient{}, Vessels: lib.Vessels,
		Sterilizers: lib.Sterilizers, Troubles: lib.Troubles, Entries: map[string]working.Origin{}, Borrowed: map[string]working.Origin{},
	}
	out.Species[in.Protocol.Species] = lib.Species[in.Protocol.Species]
	named := []string{}
	for _, part := range in.Protocol.Substrate.Ingredients {
		named = append(named, part.Ingredient)
	}
	if g := in.Farm.Grain; g != nil {
		named = append(named, g.Ingredient)
	}
	for _, id := range named {
		out.Ingredients[id] = lib.Ingredients[id]
	}
	// The places of entries are kept for those that are there.
	for _, all := range []struct{ from, to map[string]working.Origin }{{lib.Entries, out.Entries}, {lib.Borrowed, out.Borrowed}} {
		for key, at := range all.from {
			kind, rest, _ := strings.Cut(key, ".")
			id, _, _ := strings.Cut(rest, ".")
			if kind == "species" && id != in.Protocol.Species || kind == "ingredient" && !slices.Contains(named, id) {
				continue
			}
			all.to[key] = at
		}
	}
	return out
}

// Encode is what is carried as JSON: the same for the same, whenever it is made.
func (c *Carried) Encode() ([]byte, error) {
	data, err := json.Marshal(c)
	if err != nil {
		return nil, fmt.Errorf("rescale: %w", err)
	}
	return data, nil
}

// errMismatch says that a book and the module that is to work out its sheets are of two
// versions of the program.
var errMismatch = errors.New("rescale: made by another version of the program")

// decode reads it back.
func decode(data []byte) (*Carried, error) {
	var c Carried
	if err := json.Unmarshal(data, &c); err != nil {
		return nil, fmt.Errorf("rescale: %w", err)
	}
	if c.Format != format || c.Calculation != process.Calculation || c.Run != run.Version {
		return nil, errMismatch
	}
	return &c, nil
}

// input is what the protocol is planned from.
func (c *Carried) input(v *words.Voice) process.Input {
	in := process.Input{Farm: c.Farm, Library: c.Library, Protocol: c.Protocol, Units: v.Units()}
	for _, x := range c.Evidence {
		in.Evidence = append(in.Evidence, process.Evidence{Evidence: x.Said, Index: x.Index, Vessel: x.Vessel, Chamber: x.Chamber})
	}
	return in
}

// store gives package run what the book carries, and counts what it had not.
type store struct {
	answers map[string]json.RawMessage
	worked  int // solved because nobody had it
}

// Find implements run.Store.
func (s *store) Find(key string) ([]byte, bool) {
	data, ok := s.answers[key]
	return data, ok
}

// Keep implements run.Store.
func (s *store) Keep(string, []byte) { s.worked++ }
