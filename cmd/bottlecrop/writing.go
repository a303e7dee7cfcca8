package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/filing"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// writing is a file of the farm as it was before a command worked out what is to stand
// in it, and then as it is to be. A command takes hold of the file before it reads the
// farm: whatever it works out was worked out from that text.
type writing struct {
	farm string
	held filing.Held
	err  error    // why the file can't be written
	text []byte   // as it is to be
	also []string // other protocols that have their formula from this file
}

// hold takes hold of a file of the farm that may have to be written. What stands in the
// way of that is told when it has to be.
func (s *settings) hold(file string) *writing {
	w := &writing{farm: s.farm, held: filing.Held{Name: file}}
	w.err = w.inFarm(func(root *os.Root) (err error) {
		w.held, err = filing.Hold(root, file)
		return err
	})
	return w
}

// inFarm does something in the folder, and tells its errors of the file as the caller
// knows it.
func (w *writing) inFarm(do func(root *os.Root) error) error {
	name := w.held.Name
	root, err := os.OpenRoot(w.farm)
	if err == nil {
		defer root.Close()
		err = do(root)
	}
	shown := filepath.Join(w.farm, filepath.FromSlash(name))
	var refused *filing.Refused
	if errors.As(err, &refused) {
		return &filing.Refused{File: shown, Why: refused.Why}
	}
	return filing.Named(shown, err)
}

// same reports whether there is nothing to write.
func (w *writing) same() bool { return bytes.Equal(w.held.Text, w.text) }

// put puts the text in the place of the file, if that still is as it was.
func (w *writing) put(ctx context.Context) error {
	return w.inFarm(func(root *os.Root) error { return w.held.Put(ctx, root, w.text) })
}

// What files that somebody named begin with. A name that slipped must not cost a text
// of another kind.
func likeCalendar(head []byte) bool { return bytes.HasPrefix(head, []byte("BEGIN:VCALENDAR")) }
func likePDF(head []byte) bool      { return bytes.HasPrefix(head, []byte("%PDF-")) }
func likePage(head []byte) bool {
	return bytes.Contains(head, []byte(`<meta name="generator" content="bottlecrop `))
}

// likePrinted is what a file is like that print and trace write.
func likePrinted(file string) func(head []byte) bool {
	if strings.EqualFold(filepath.Ext(file), ".pdf") {
		return likePDF
	}
	return likePage
}

// fileRefusals are the messages for a file that is left as it is. Each has a hint.
var fileRefusals = map[error]string{
	filing.ErrLink: "command.file_link", filing.ErrNotFile: "command.file_not_file", filing.ErrReadOnly: "command.file_read_only",
	filing.ErrForeign: "command.file_foreign", filing.ErrChanged: "command.file_changed",
}

// outRefusals are those for a folder that no book is written to. The entry is what was
// found in it.
var outRefusals = map[error]string{
	book.ErrNotFolder: "command.out_not_folder", book.ErrForeign: "command.out_foreign", book.ErrExtra: "command.out_extra",
	book.ErrChanged: "command.out_changed", book.ErrReadOnly: "command.out_read_only", book.ErrMount: "command.out_mount", book.ErrMoved: "command.out_moved",
}

// outRefused says why no book is written to a folder, and what to do.
func outRefused(r *book.Refused) (what, hint protocol.Message) {
	hint = words.Message("command.hint.out")
	switch r.Why {
	case book.ErrMount:
		hint = words.Message("command.out_mount.hint", "folder", filepath.Join(shorten(r.Folder), "book"))
	case book.ErrReadOnly, book.ErrMoved:
		hint = words.Message(outRefusals[r.Why] + ".hint")
	}
	return words.Message(outRefusals[r.Why], "folder", shorten(r.Folder), "entry", r.Entry), hint
}
