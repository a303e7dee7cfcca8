package farmfile

import (
	"io/fs"

	"bottlecrop/cmd/internal/protocol"
)

// readResults reads what became of the batches. A result may be of a protocol that
// the farm has no more.
func (f *Folder) readResults(farm fs.FS) {
	b := readBeside(f, farm, protocol.ResultsDocument, &f.Results)
	if b == nil {
		return
	}
	for i, r := range f.Results.Batches {
		f.reference(b, protocol.ResultKey(i, "protocol"), false, "protocol", r.Protocol, true)
	}
}
