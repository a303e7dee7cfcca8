package farmfile

import (
	"errors"
	"io/fs"
	"path"
	"regexp"

	"bottlecrop/cmd/internal/protocol"
)

// MostLog is the largest log of a probe run that a farm may keep, in bytes: a
// reading a second of eight channels, for a day.
const MostLog = 8 << 20

// logPattern is how a log is written in a farm's file: from the folder
// protocols, and nowhere else.
var logPattern = regexp.MustCompile(`^evidence/[A-Za-z0-9][A-Za-z0-9._-]*$`)

// LogPath is where the log of a probe run lies in the farm folder.
func LogPath(e protocol.Evidence) string { return path.Join(protocol.Folder, e.Log) }

// evidence checks what the farm's file says of probe runs, and that the logs are
// there. What is in them is read elsewhere.
func (f *Folder) evidence(b *binder, farm fs.FS) {
	for i, e := range f.Farm.Evidence {
		at := protocol.Item("evidence", i)
		f.reference(b, under(at, "protocol"), false, "protocol", e.Protocol, true)
		if w := e.Within; w != nil && !b.refused[under(at, "place_within")] && *w > protocol.MostWithin {
			b.refuse(under(at, "place_within"), "evidence.within", nil, "evidence_within", nil)
		}
		b.log(under(at, "log"), e, farm)
	}
}

// log checks that a log is a file of the folder for logs.
func (b *binder) log(at string, e protocol.Evidence, farm fs.FS) {
	if e.Log == "" || b.refused[at] {
		return
	}
	if !logPattern.MatchString(e.Log) {
		b.refuse(at, "evidence.path", nil, "evidence_path", nil)
		return
	}
	info, err := fs.Stat(farm, LogPath(e))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		b.refuse(at, "evidence.missing", nil, "evidence_missing", nil)
	case err != nil && leadsOut(err):
		b.refuse(at, "evidence.leads_out", nil, "evidence_path", nil)
	case err != nil || !info.Mode().IsRegular():
		b.refuse(at, "evidence.unreadable", nil, "evidence_missing", nil)
	case info.Size() > MostLog:
		b.refuse(at, "evidence.large", args{"most": MostLog >> 20}, "evidence_large", nil)
	}
}
