package main

import (
	"fmt"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// days prints the plan of one batch day by day.
func (t *terminal) days(x onDays) {
	v, p := x.farm.voice, x.plan
	pr := x.protocol()
	id, args := "plan.title", []any{"protocol", pr.Name, "title", pr.Title, "n", x.batch.Vessels, "vessels", x.batch.Process.Vessel.Called(x.batch.Vessels)}
	if x.batch.Good > 0 {
		id, args = "plan.title.good", append(args, "good", x.batch.Good, "controls", x.batch.Controls)
	}
	t.say(v, id, args...)
	t.say(v, "plan.first", "start", p.Start.String())
	t.say(v, "plan.picked", "expected", p.Expected.String(), "earliest", p.Earliest.String(), "latest", p.Latest.String(), "safe", p.Safe.String())
	t.everyDay(x.farm)
	for i := 0; i < len(p.Tasks); {
		date := p.Tasks[i].Date
		fmt.Fprintln(t)
		fmt.Fprintln(t, plain(v.Say(leaf.DayMessage(date))))
		var rows [][]string
		for ; i < len(p.Tasks) && p.Tasks[i].Date == date; i++ {
			task := p.Tasks[i]
			row := []string{x.role(task), x.takes(task), v.Say(x.Title(task))}
			if note := x.Note(task); note.ID != "" {
				row = append(row, v.Say(note))
			}
			rows = append(rows, row)
		}
		t.columns(rows)
	}
}

// everyDay says so where the farm has written down no working days.
func (t *terminal) everyDay(f *farm) {
	if f.folder.Farm.Week == nil {
		t.say(f.voice, "plan.every_day", "file", protocol.FarmDocument)
	}
}

func (x onDays) role(task calendar.Task) string {
	return x.farm.voice.Say(words.Message("role." + string(task.Role)))
}

// takes is the time of a task, where it is known.
func (x onDays) takes(task calendar.Task) string {
	if task.Takes == 0 {
		return ""
	}
	return leaf.HandsOn(task.Takes).Show(x.farm.voice.Units())
}
