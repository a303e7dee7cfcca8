package words_test

import (
	"os"
	"sync"
	"testing"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
)

// demo is a protocol of the demo farm, which is this repository, with maps of
// its own that a test may change.
func demo(t *testing.T, name string) process.Input {
	t.Helper()
	folder := farm()
	for _, p := range folder.Protocols {
		if p.Name == name {
			return checks.Copy(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
		}
	}
	t.Fatalf("the demo farm has no protocol %s", name)
	return process.Input{}
}

// farm is the demo farm, read once: nobody may change it.
var farm = sync.OnceValue(func() *farmfile.Folder {
	folder, findings := farmfile.Read(os.DirFS("../../.."), os.DirFS("../../../protocols"))
	if protocol.Worst(findings) == protocol.Error {
		panic("the demo farm has errors: bottlecrop check tells them")
	}
	return folder
})
