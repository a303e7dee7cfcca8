package main

import (
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/sanitation"
)

// judgeHygiene judges what the farm cleans with, and whether what its crops need has
// its day.
func (f *farm) judgeHygiene() {
	if !f.folder.Usable {
		return
	}
	var grown []protocol.Species
	for _, e := range f.entries {
		grown = append(grown, e.Process.Species)
	}
	f.add(sanitation.Findings(f.folder.Farm, grown))
}
