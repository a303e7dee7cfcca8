package main

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
)

// taskColumns are the columns of the tasks as CSV.
var taskColumns = []string{"date", "weekday", "week", "batch", "protocol", "vessels", "cohort", "role", "step", "number",
	"task", "hands_on_min", "room", "due", "closed_day", "note"}

// writeCSV writes tasks as a table (RFC 4180): lines end with CR LF, and the first has
// the names of the columns.
func writeCSV(to io.Writer, tasks []entry) error {
	w := csv.NewWriter(to)
	w.UseCRLF = true
	if err := w.Write(taskColumns); err != nil {
		return err
	}
	for _, x := range tasks {
		v := x.farm.voice
		minutes, room, closed := "", "", "no"
		if x.Takes > 0 {
			minutes = strconv.FormatFloat(leaf.HandsOn(x.Takes).Value/unit.Minute, 'f', 0, 64)
		}
		if x.room != nil {
			room = v.Say(x.room(x.Task))
		}
		if x.Closed {
			closed = "yes"
		}
		row := []string{x.Date.String(), x.Date.Weekday().String(), x.Date.WeekName(), x.code, x.protocol().Name, strconv.Itoa(x.batch.Vessels),
			strconv.Itoa(x.Cohort), string(x.Role), string(x.Step), strconv.Itoa(x.Number), v.Say(x.Title(x.Task)), minutes, room,
			x.Due.String(), closed, v.Say(x.Note(x.Task))}
		for i := range row {
			row[i] = harmless(plain(row[i]))
		}
		if err := w.Write(row); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

// harmless keeps a spreadsheet from taking a cell for a formula, as OWASP's page on
// CSV injection has it: an apostrophe goes before what one may begin with.
func harmless(cell string) string {
	if strings.HasPrefix(cell, "'") || cell != "" && strings.ContainsRune("=+-@\t\r\n", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}
