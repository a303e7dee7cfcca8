package book

import (
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
)

// brief is a protocol as the farm's pages have it: with its first batch and its largest,
// and of those between with the number of vessels alone. They are let go of once the
// protocol's own pages are set, which of a large farm is a fifth of what is held.
func brief(r leaf.Recipe) leaf.Recipe {
	r.Batches = slices.Clone(r.Batches)
	for i := 1; i < len(r.Batches)-1; i++ {
		r.Batches[i] = &batch.Batch{Process: r.Process, Vessels: r.Batches[i].Vessels}
	}
	return r
}

// briefly are the entries of a book as the farm's pages have them.
func (s *shelf) briefly() []Entry {
	out := slices.Clone(s.in.Entries)
	for i := range out {
		out[i].Batches = s.recipes[i].Batches
	}
	return out
}
