package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// events are the entries of a batch in a calendar.
func (x onDays) events(asked planned) []calendar.Event {
	v, pr := x.farm.voice, x.protocol()
	of := words.Message("plan.event.of", "protocol", pr.Name, "fingerprint", x.farm.folder.ShortFingerprint(pr.Name),
		"batch", x.code, "n", x.batch.Vessels, "vessels", x.batch.Process.Vessel.Called(x.batch.Vessels))
	event := func(title protocol.Message, lines ...string) calendar.Words {
		return calendar.Words{Summary: plain(v.Say(words.Message("plan.event", "title", title, "batch", x.code))),
			Description: plain(strings.Join(append(lines, v.Say(of)), "\n"))}
	}
	return x.plan.Events(
		calendar.Identity{Farm: x.farm.folder.Farm.Name, Protocol: pr.Name, Batch: x.identity, Revision: asked.revision, Alarm: asked.alarm},
		func(task calendar.Task) calendar.Words {
			lines := []string{x.role(task)}
			if task.Takes > 0 {
				lines[0] = v.Say(words.Message("plan.work", "role", words.Message("role."+string(task.Role)), "time", leaf.HandsOn(task.Takes)))
			}
			if note := x.Note(task); note.ID != "" {
				lines = append(lines, v.Say(note))
			}
			w := event(x.Title(task), lines...)
			w.Category = x.role(task)
			return w
		},
		func(s calendar.Stretch) calendar.Words { return event(words.Message("book.stage." + s.Stage)) })
}

// writeICal puts events into a file for a calendar program.
func (f *farm) writeICal(file string, name protocol.Message, stamp calendar.Date, events []calendar.Event) error {
	text, err := calendar.Feed{Product: "-//bottlecrop//bottlecrop " + version + "//EN", Stamp: stamp, Events: events, Name: plain(f.voice.Say(name))}.Text()
	if err != nil {
		return fail(atFault, words.Message("command.failed", "error", err.Error()))
	}
	return replaceFile(file, text)
}

// replaceFile writes a text beside the old file and puts it in its place, so that one
// of the two is there whole.
func replaceFile(file, text string) (err error) {
	defer func() { err = of(file, err) }()
	beside, err := os.CreateTemp(filepath.Dir(file), "."+filepath.Base(file)+".*")
	if err != nil {
		return err
	}
	_, err = beside.WriteString(text)
	if e := beside.Chmod(0o644); err == nil {
		err = e
	}
	if e := beside.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(beside.Name(), file)
	}
	if err != nil {
		_ = os.Remove(beside.Name())
	}
	return err
}

// of is an error of a file beside another one, told of that other one, whose name the
// reader knows.
func of(file string, err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		err = path.Err
	case errors.As(err, &link):
		err = link.Err
	case err == nil:
		return nil
	}
	return &fs.PathError{Op: "write", Path: file, Err: err}
}
