package main

import (
	"strings"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/filing"
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
	return filing.Put(file, []byte(text), likeCalendar)
}
