package main

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// namesJSON are the names that an author may write, as JSON.
type namesJSON struct {
	Schema   string         `json:"schema"`
	Protocol string         `json:"protocol"` // "" where none was asked for
	Vessels  int            `json:"vessels"`  // that the facts are for; 0 without a protocol
	Steps    []stepNameJSON `json:"steps"`
	Facts    []factNameJSON `json:"facts"`
}

// stepNameJSON is a step of the book.
type stepNameJSON struct {
	ID      string `json:"id"`
	Station string `json:"station"`
	May     string `json:"may"` // what a protocol may do to it: free, decided, kept, fixed; absent where it lacks it
}

// factNameJSON is a fact that a sentence may name.
type factNameJSON struct {
	Name  string  `json:"name"`
	Means string  `json:"means"`
	Value *string `json:"value"` // as a page has it; null where the protocol lacks it, or none was asked for
}

// reportNames reports the names as a batch has them, or without one as all protocols do.
func reportNames(v *words.Voice, b *batch.Batch) namesJSON {
	out := namesJSON{Schema: "bottlecrop names 1"}
	var p *process.Process
	facts := map[string]any{}
	if b != nil {
		p, facts = b.Process, procedure.Facts(b)
		out.Protocol, out.Vessels = p.Input.Protocol.Name, b.Vessels
	}
	for _, id := range work.Steps() {
		out.Steps = append(out.Steps, stepNameJSON{string(id), string(work.StationOf(id)), mayDo(id, p)})
	}
	for _, name := range procedure.FactNames() {
		f := factNameJSON{Name: name, Means: plain(v.Say(words.Message("fact." + name)))}
		if _, has := facts[name]; has {
			said := plain(v.Say(words.Authored("{"+name+"}", facts)))
			f.Value = &said
		}
		out.Facts = append(out.Facts, f)
	}
	return out
}
