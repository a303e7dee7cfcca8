package leaf

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/unit"
)

// Columns is the width of a sheet in a terminal.
const Columns = 80

// SheetText sets the worker's sheet as plain text of at most Columns columns.
func SheetText(e Edition, p procedure.Procedure, method Method) (string, error) {
	e, err := e.Ready()
	if err != nil {
		return "", err
	}
	s := e.sheet(p, method)
	var b strings.Builder
	if err := e.set.text.ExecuteTemplate(&b, "sheet.txt.tmpl", textSheet{s, amountWidths(s)}); err != nil {
		return "", fmt.Errorf("leaf: %w", err)
	}
	// A terminal breaks no lines at no-break spaces, and grep finds none.
	return strings.ReplaceAll(b.String(), unit.Space, " "), nil
}

// textSheet is a sheet with the widths of the columns of its amounts.
type textSheet struct {
	sheet
	Widths widths
}

type widths struct{ Name, Each, Times, All int }

// amountWidths leaves the name what the figures and the scale do not need.
func amountWidths(s sheet) widths {
	var w widths
	scale := 0
	for _, r := range append(append([]amountRow(nil), s.Rows...), s.Totals...) {
		w.Name = max(w.Name, width(r.Name))
		w.Each = max(w.Each, width(r.Each.String()))
		w.Times = max(w.Times, width(r.Times))
		w.All = max(w.All, width(r.All.String()))
		scale = max(scale, width(r.Scale))
	}
	w.Name = min(w.Name, Columns-w.Each-w.Times-w.All-scale-8)
	return w
}

func width(s string) int { return utf8.RuneCountInString(s) }

// pad fills a text with blanks on its right up to a width. A text that is too
// long is cut, with a point at its end.
func pad(n int, s any) string {
	text := fmt.Sprint(s)
	if width(text) > n {
		return string([]rune(text)[:n-1]) + "."
	}
	return text + blanks(n, text)
}

// right sets a text flush with the right edge of its column.
func right(n int, s any) string {
	text := fmt.Sprint(s)
	return blanks(n, text) + text
}

func blanks(n int, text string) string { return strings.Repeat(" ", max(0, n-width(text))) }

// wrap breaks a text into lines that are indented by hang, the first by
// lead instead.
func wrap(lead, hang string, parts ...any) string {
	var texts []string
	for _, p := range parts {
		if s := fmt.Sprint(p); s != "" {
			texts = append(texts, s)
		}
	}
	var lines []string
	line := lead
	empty := true
	for _, word := range strings.Fields(strings.ReplaceAll(strings.Join(texts, " "), unit.Space, "\x00")) {
		switch {
		case empty:
			line += word
		case width(line)+1+width(word) > Columns:
			lines = append(lines, line)
			line = hang + word
		default:
			line += " " + word
		}
		empty = false
	}
	return strings.ReplaceAll(strings.Join(append(lines, line), "\n"), "\x00", unit.Space)
}

// rule is a heading with a line under it.
func rule(text any) string {
	s := fmt.Sprint(text)
	return s + "\n" + strings.Repeat("-", min(width(s), Columns))
}
