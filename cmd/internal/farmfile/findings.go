package farmfile

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Every finding of this package is an error: a file that cannot be read as it
// was meant is not read at all. The rule names what is wrong, "unit.missing";
// its sentence is message "farmfile.unit_missing" of the catalog, and the
// advice is message "farmfile.hint.…". The English text of each is in package
// words, in farmfile_en.go; a test there and one here keep the two in step.
//
// The arguments that many sentences share: key (dotted, without the numbers of
// list items, since the finding has a line), found (as written, clipped),
// example (what to write instead).

type args = map[string]any

// message is the sentence of a rule.
func message(rule string, a args) protocol.Message {
	return protocol.Message{ID: "farmfile." + strings.ReplaceAll(rule, ".", "_"), Args: a}
}

// hintMessage is the advice of that name; without a name there is none.
func hintMessage(name string, a args) protocol.Message {
	if name == "" {
		return protocol.Message{}
	}
	return protocol.Message{ID: "farmfile.hint." + name, Args: a}
}

// kindWord names what a quantity measures, with its article.
func kindWord(k unit.Kind) protocol.Message {
	return protocol.Message{ID: "farmfile.kind." + strings.ReplaceAll(k.String(), " ", "_")}
}

// typeWord names a type of TOML value, with its article: "text", "list".
func typeWord(name string) protocol.Message { return protocol.Message{ID: "farmfile.type." + name} }

// entryWord names a kind of entry: "species", "ingredient".
func entryWord(name string) protocol.Message { return protocol.Message{ID: "farmfile.entry." + name} }

// findings collects what is wrong with a folder.
type findings struct{ list []protocol.Finding }

func (f *findings) add(rule string, o working.Origin, at protocol.Place, subject string, a args, hint string, with args) {
	f.list = append(f.list, protocol.Finding{
		Severity: protocol.Error,
		Rule:     rule,
		Origin:   o,
		Place:    at,
		What:     message(rule, a),
		Hint:     hintMessage(hint, with),
		Subject:  subject,
	})
}

// file reports a fault of a file as a whole.
func (f *findings) file(rule, name, subject string, a args, hint string, with args) {
	f.add(rule, working.Origin{Document: name}, protocol.Place{File: name}, subject, a, hint, with)
}

// mostFound is how many characters of what was found a message repeats.
const mostFound = 60

// clip shortens what was found to what a message can carry, on one line, and
// hides characters that would move the cursor of a terminal.
func clip(s string) string {
	line, _, more := strings.Cut(s, "\n")
	line = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\t' {
			return utf8.RuneError
		}
		return r
	}, strings.TrimRight(line, "\r"))
	if utf8.RuneCountInString(line) > mostFound {
		line, more = string([]rune(line)[:mostFound-1]), true
	}
	if more {
		line += "…"
	}
	return line
}

// keyName writes a key as TOML wants it.
func keyName(name string) string {
	if isBareName(name) {
		return name
	}
	return basicString(name)
}
