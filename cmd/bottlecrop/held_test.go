package main

import (
	"runtime"
	"slices"
	"strings"
	"testing"
	"weak"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/protocol"
)

// Of a protocol whose own pages are set, a book that is being made holds its first batch
// and its largest alone, for the pages of the farm.
func TestBatchesAreLetGo(t *testing.T) {
	f, err := readFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	defer f.close()
	f.written.Farm.Languages, f.folder.Farm.Languages = nil, nil
	f.folder.Orders, f.folder.Results = protocol.Orders{}, protocol.Results{}
	f.folder.Protocols = slices.DeleteFunc(slices.Clone(f.folder.Protocols), func(p protocol.Protocol) bool { return p.Name != "enoki-850" })
	f.open(nil)
	require.Len(t, f.entries, 1)
	in, err := f.input(bookAsked{})
	require.NoError(t, err)
	pages, err := book.Pages(in)
	require.NoError(t, err)
	var batches []weak.Pointer[batch.Batch]
	for _, b := range f.entries[0].Batches {
		batches = append(batches, weak.Make(b))
	}
	require.Len(t, batches, 4)
	in = book.Input{}
	f.letGo()
	for i := range pages {
		if strings.HasPrefix(pages[i].Path, "enoki-850/") {
			_, err := pages[i].Set()
			require.NoError(t, err)
			pages[i].Set = nil
		}
	}
	runtime.GC()
	for i, b := range batches {
		assert.Equal(t, i == 0 || i == len(batches)-1, b.Value() != nil, "batch %d", i)
	}
	runtime.KeepAlive(pages)
	runtime.KeepAlive(f)
}
