package leaf

import (
	"fmt"
	"slices"
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
	wide := 0
	for _, signal := range []procedure.Signal{procedure.Danger, procedure.Warning, procedure.Caution, procedure.Notice} {
		wide = max(wide, width(SignalWord(e.Voice, signal))+1)
	}
	var b strings.Builder
	if err := e.set.text.ExecuteTemplate(&b, "sheet.txt.tmpl", textSheet{s, amountWidths(s), wide, blanks(wide, "")}); err != nil {
		return "", fmt.Errorf("leaf: %w", err)
	}
	// A terminal breaks no lines at no-break spaces, and grep finds none.
	return strings.ReplaceAll(b.String(), unit.Space, " "), nil
}

// textSheet is a sheet with the widths of the columns of its amounts, and of the signal
// words before its hazards.
type textSheet struct {
	sheet
	Widths      widths
	SignalWidth int // of the longest signal word, and a blank
	SignalHang  string
}

type widths struct {
	Name, Each, Times, All int
	Several                bool // mixes
}

// amountWidths leaves the name what the figures and the scale do not need.
func amountWidths(s sheet) widths {
	w := widths{Several: s.SeveralMixes}
	scale := 0
	for _, r := range slices.Concat(s.Rows, s.Totals) {
		w.Name = max(w.Name, width(r.Name))
		w.Each = max(w.Each, width(r.Each.String()))
		w.Times = max(w.Times, width(r.Times))
		w.All = max(w.All, width(r.All.String()))
		scale = max(scale, width(r.Scale))
	}
	w.Name = min(w.Name, Columns-w.Each-w.Times-w.All-scale-9)
	return w
}

// row is one line of the amounts. A name that does not fit goes on below.
func row(w widths, r amountRow) string {
	name := fold("", "", w.Name, r.Name)
	each := ""
	if w.Several {
		each = fmt.Sprintf("%s %s  ", right(w.Each, r.Each), pad(w.Times, r.Times))
	}
	lines := []string{fmt.Sprintf("  %s  %s%s  %s", pad(w.Name, name[0]), each, right(w.All, r.All), r.Scale)}
	for _, more := range name[1:] {
		lines = append(lines, "    "+more)
	}
	return strings.Join(lines, "\n")
}

func width(s string) int { return utf8.RuneCountInString(s) }

// pad fills a text with blanks on its right up to a width.
func pad(n int, s any) string {
	text := fmt.Sprint(s)
	return text + blanks(n, text)
}

// right sets a text flush with the right edge of its column.
func right(n int, s any) string {
	text := fmt.Sprint(s)
	return blanks(n, text) + text
}

func blanks(n int, text string) string { return strings.Repeat(" ", max(0, n-width(text))) }

// wrap breaks a text into lines of at most Columns columns that begin with
// hang, the first of them with lead.
func wrap(lead, hang string, parts ...any) string {
	return strings.Join(fold(lead, hang, Columns, parts...), "\n")
}

// fold breaks a text into lines. A number stays with its unit: lines end at
// blanks only, never at a no-break space.
func fold(lead, hang string, columns int, parts ...any) []string {
	var lines []string
	line, empty := lead, true
	for _, p := range parts {
		for _, word := range strings.FieldsFunc(fmt.Sprint(p), func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
			switch {
			case empty:
				line += word
			case width(line)+1+width(word) > columns:
				lines = append(lines, line)
				line = hang + word
			default:
				line += " " + word
			}
			empty = false
		}
	}
	return append(lines, line)
}

// rule is a heading with a line under it.
func rule(parts ...any) string {
	lines := fold("", "", Columns, parts...)
	longest := 0
	for _, l := range lines {
		longest = max(longest, width(l))
	}
	return strings.Join(lines, "\n") + "\n" + strings.Repeat("-", longest)
}
