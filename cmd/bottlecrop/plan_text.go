package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// days prints a plan day by day.
func (t *terminal) days(x telling) {
	v, p := x.farm.voice, x.plan
	pr := x.batch.Process.Input.Protocol
	id, args := "plan.title", []any{"protocol", pr.Name, "title", pr.Title, "n", x.batch.Vessels, "vessels", vesselsOf(x.batch.Process, x.batch.Vessels)}
	if x.batch.Good > 0 {
		id, args = "plan.title.good", append(args, "good", x.batch.Good, "controls", x.batch.Controls)
	}
	t.say(v, id, args...)
	t.say(v, "plan.first", "start", p.Start.String())
	t.say(v, "plan.picked", "expected", p.Expected.String(), "earliest", p.Earliest.String(), "latest", p.Latest.String(), "safe", p.Safe.String())
	if x.farm.folder.Farm.Week == nil {
		t.say(v, "plan.every_day", "file", protocol.FarmDocument)
	}
	for i := 0; i < len(p.Tasks); {
		date := p.Tasks[i].Date
		_, week := date.Week()
		fmt.Fprintln(t)
		t.say(v, "plan.day", "weekday", words.Message("plan.weekday."+date.Weekday().String()), "date", date.String(), "n", week)
		var rows [][]string
		for ; i < len(p.Tasks) && p.Tasks[i].Date == date; i++ {
			task := p.Tasks[i]
			row := []string{x.role(task), x.takes(task), v.Say(x.title(task))}
			if note := x.note(task); note.ID != "" {
				row = append(row, v.Say(note))
			}
			rows = append(rows, row)
		}
		t.columns(rows)
	}
}

func (x telling) role(task calendar.Task) string {
	return x.farm.voice.Say(words.Message("role." + string(task.Role)))
}

// handsOn is the time of a task to whole minutes, 1 at least: nobody plans finer.
func handsOn(task calendar.Task) unit.Amount {
	return unit.Amount{Kind: unit.TimeOf, Value: max(1, math.Round(float64(task.Takes)/unit.Minute)) * unit.Minute, Step: unit.Minute}
}

// takes is the time of a task, where it is known.
func (x telling) takes(task calendar.Task) string {
	if task.Takes == 0 {
		return ""
	}
	return handsOn(task).Show(x.farm.voice.Units())
}

// write puts the plan into a file for a calendar program. It is written beside the
// old one and put in its place, so that one of the two is there whole.
func (x telling) write(asked planned) error {
	v, pr, f := x.farm.voice, x.batch.Process.Input.Protocol, x.farm.folder.Farm
	of := words.Message("plan.event.of", "protocol", pr.Name, "fingerprint", x.farm.folder.ShortFingerprint(pr.Name),
		"batch", asked.code, "n", x.batch.Vessels, "vessels", vesselsOf(x.batch.Process, x.batch.Vessels))
	event := func(title protocol.Message, lines ...string) calendar.Words {
		return calendar.Words{Summary: plain(v.Say(words.Message("plan.event", "title", title, "batch", asked.code))),
			Description: plain(strings.Join(append(lines, v.Say(of)), "\n"))}
	}
	events := x.plan.Events(
		calendar.Identity{Farm: f.Name, Protocol: pr.Name, Batch: asked.code, Revision: asked.revision, Alarm: asked.alarm},
		func(task calendar.Task) calendar.Words {
			lines := []string{x.role(task)}
			if task.Takes > 0 {
				lines[0] = v.Say(words.Message("plan.work", "role", words.Message("role."+string(task.Role)), "time", handsOn(task)))
			}
			if note := x.note(task); note.ID != "" {
				lines = append(lines, v.Say(note))
			}
			w := event(x.title(task), lines...)
			w.Category = x.role(task)
			return w
		},
		func(s calendar.Stretch) calendar.Words { return event(words.Message("book.stage." + s.Stage)) })
	stamp := x.plan.Start // a day that the plan itself has, where none is said
	if x.today != nil {
		stamp = *x.today
	}
	text, err := calendar.Feed{Product: "-//bottlecrop//bottlecrop " + version + "//EN", Stamp: stamp, Events: events,
		Name: plain(v.Say(words.Message("plan.calendar", "farm", f.Name, "protocol", pr.Name, "batch", asked.code)))}.Text()
	if err != nil {
		return fail(atFault, words.Message("command.failed", "error", err.Error()))
	}
	beside, err := os.CreateTemp(filepath.Dir(asked.ical), "."+filepath.Base(asked.ical)+".*")
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
		err = os.Rename(beside.Name(), asked.ical)
	}
	if err != nil {
		_ = os.Remove(beside.Name())
	}
	return err
}
