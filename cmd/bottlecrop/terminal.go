package main

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"unicode"
	"unicode/utf8"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/filing"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// The rules of the terminal, kept here alone:
//
//   - Results go to standard output: a sheet, a summary, JSON. Findings and
//     failures go to standard error, so that a sheet can be piped.
//   - A finding starts with file:line:column, so that an editor can jump there;
//     then the line with a caret under the fault, then why and what to do.
//   - A failure is one line that starts with "bottlecrop:", and a hint.
//   - No color, no prompt: every run prints the same. How far a long run is stands on
//     standard error where that is a terminal, in one line that is gone at the end.

// The exit codes, as every help text lists them.
const (
	done        = 0   // done
	atFault     = 1   // the documents are at fault
	misused     = 2   // the command was not understood
	environment = 3   // something outside could not be read or written
	interrupted = 130 // stopped by the user; by another signal it is 128 and its number
)

// failure ends a command with a message and an exit code.
type failure struct {
	code int
	what protocol.Message
	hint protocol.Message
}

func (f *failure) Error() string { return words.English(unit.Metric).Say(f.what) }

// fail is a failure without a hint; usage one that points at the help.
func fail(code int, what protocol.Message) error { return &failure{code: code, what: what} }

func usage(what protocol.Message) error {
	return &failure{code: misused, what: what, hint: words.Message("command.hint.help")}
}

// errFaulty ends a command whose findings were printed already.
var errFaulty = errors.New("the farm folder has errors")

type terminal struct {
	out, err io.Writer
	farm     string       // the farm folder as it was named, put before the files of findings
	settings *settings    // that the command was given
	broken   error        // first failed write to out: a full disk must not pass for success
	progress *progress    // nil where none is shown
	stopped  atomic.Int32 // the exit code of the signal that stopped the run; 0 for none
}

// Write implements io.Writer on standard output.
func (t *terminal) Write(p []byte) (int, error) {
	t.progress.makeWay()
	n, err := t.out.Write(p)
	if err != nil && t.broken == nil {
		t.broken = err
	}
	return n, err
}

// say prints one message on standard output.
func (t *terminal) say(v *words.Voice, id string, pairs ...any) {
	fmt.Fprintln(t, plain(v.Say(words.Message(id, pairs...))))
}

// plain writes the no-break spaces of a page as spaces: a terminal does not
// wrap by them, and a search for "1 error" should find it.
func plain(s string) string { return strings.ReplaceAll(s, unit.Space, " ") }

// json prints one value on standard output, indented, with a stable order.
func (t *terminal) json(value any) error {
	e := json.NewEncoder(t)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(value)
}

// status turns what a command returned into an exit code, and prints why.
func (t *terminal) status(err error) int {
	if err == nil {
		err = t.broken
	}
	if err == nil {
		return done
	}
	v := t.speaks()
	var f *failure
	var refused *book.Refused
	var left *filing.Refused
	var twice *book.Twice
	switch {
	case errors.Is(err, errFaulty):
		return atFault
	case errors.Is(err, context.Canceled):
		t.complain(v, words.Message("command.interrupted"), protocol.Message{})
		return cmp.Or(int(t.stopped.Load()), interrupted)
	case errors.As(err, &f):
		t.complain(v, f.what, f.hint)
		return f.code
	case errors.As(err, &refused):
		what, hint := outRefused(refused)
		t.complain(v, what, hint)
		return environment
	case errors.As(err, &left):
		id := fileRefusals[left.Why]
		t.complain(v, words.Message(id, "file", left.File), words.Message(id+".hint"))
		return environment
	case errors.As(err, &twice):
		t.complain(v, words.Message("command.twice", "page", twice.Path), words.Message("command.twice.hint"))
		return atFault
	case isEnvironment(err):
		t.complain(v, words.Message("command.failed", "error", err.Error()), protocol.Message{})
		return environment
	}
	// What is left comes from the reader of the command line.
	t.complain(v, words.Message("command.failed", "error", err.Error()), words.Message("command.hint.help"))
	return misused
}

func isEnvironment(err error) bool {
	var path *fs.PathError
	var link *os.LinkError
	var call *os.SyscallError
	return errors.As(err, &path) || errors.As(err, &link) || errors.As(err, &call)
}

func (t *terminal) complain(v *words.Voice, what, hint protocol.Message) {
	fmt.Fprintf(t.err, "bottlecrop: %s\n", plain(v.Say(what)))
	if hint.ID != "" {
		t.beside(v, "hint", plain(v.Say(hint)))
	}
}

// mostOfAFile is how many findings of one file are printed without --all.
const mostOfAFile = 50

// findings prints findings in their order, at most mostOfAFile of each file.
func (t *terminal) findings(v *words.Voice, list []protocol.Finding, all bool) {
	printed, left := map[string]int{}, 0
	for _, f := range list {
		if printed[f.Place.File]++; printed[f.Place.File] > mostOfAFile && !all {
			left++
			continue
		}
		t.finding(v, f)
	}
	if left > 0 {
		fmt.Fprintln(t.err, plain(v.Say(words.Message("command.more_findings", "n", left))))
	}
}

func (t *terminal) finding(v *words.Voice, f protocol.Finding) {
	fmt.Fprintf(t.err, "%s: %s: %s\n", where(t.fromHere(f.Place)), plain(v.Say(severity(f))), plain(v.Say(f.What)))
	if f.Place.Line > 0 && f.Place.Text != "" {
		number := fmt.Sprintf("%5d", f.Place.Line)
		fmt.Fprintf(t.err, "%s | %s\n%s | %s\n", number, clip(f.Place), strings.Repeat(" ", len(number)), caret(f.Place))
	}
	if f.Why.ID != "" {
		t.beside(v, "why", plain(v.Say(f.Why)))
	}
	if f.Hint.ID != "" {
		t.beside(v, "hint", plain(v.Say(f.Hint)))
	}
	if f.Source != "" {
		// The rule is what an author writes to acknowledge a warning.
		source, _ := v.Source(f.Source)
		t.beside(v, "from", source)
		t.beside(v, "rule", f.Rule)
	}
}

// beside prints what stands under a finding or a failure: all of it in one column.
func (t *terminal) beside(v *words.Voice, label, text string) {
	wide, own := 0, ""
	for _, l := range []string{"why", "hint", "from", "rule"} {
		said := v.Say(words.Message("command.beside." + l))
		wide = max(wide, utf8.RuneCountInString(said))
		if l == label {
			own = said
		}
	}
	fmt.Fprintf(t.err, "  %-*s %s\n", wide, own, text)
}

// severity is how bad a finding is and, where somebody stands by it, who does.
func severity(f protocol.Finding) protocol.Message {
	if f.By == nil {
		return words.Message("severity." + f.Severity.String())
	}
	return words.Message("severity.acknowledged", "who", f.By.Who, "on", f.By.On, "reason", strings.TrimSuffix(f.By.Reason, "."))
}

// fromHere turns a place in the farm folder into one that an editor finds from
// where the program was called. A flag stays a flag.
func (t *terminal) fromHere(p protocol.Place) protocol.Place {
	if t.farm != "" && p.File != "" && !strings.HasPrefix(p.File, "--") {
		p.File = filepath.ToSlash(filepath.Join(t.farm, p.File))
	}
	return p
}

// where is the place in the form that editors jump to.
func where(p protocol.Place) string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// widest is how much of an offending line is shown.
const widest = 100

// clip is the part of the offending line that is shown.
func clip(p protocol.Place) string {
	if runes := []rune(p.Text); len(runes) > widest {
		return printable(string(runes[:widest])) + " …"
	}
	return printable(p.Text)
}

// printable is a text of a file or a repository with tabs as four spaces and without
// what a terminal would obey.
func printable(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\t':
			b.WriteString("    ")
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r):
			b.WriteRune('�')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// caret is the run of carets under the fault, moved by the tabs before it.
func caret(p protocol.Place) string {
	runes := []rune(p.Text)
	start := min(max(p.Column-1, 0), len(runes))
	end := min(max(p.EndColumn-1, start+1), max(len(runes), start+1))
	if start >= widest {
		return strings.Repeat(" ", widest+1) + "^"
	}
	before := 0
	for _, r := range runes[:start] {
		before++
		if r == '\t' {
			before += 3
		}
	}
	return strings.Repeat(" ", before) + strings.Repeat("^", min(end-start, widest-start))
}
