package words

import (
	"fmt"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// authored is the id of a message whose sentence an author wrote. It is in no
// catalog: the sentence comes with the message, under template.
const (
	authored = "authored"
	template = "\x00template" // no fact has such a name
)

// Authored is a sentence of an author's as a message. It names facts in braces,
// {hold}, and {{ and }} are braces as such; blanks and line ends in a row are one
// blank. A fact is a string, an int or a unit.Amount: it is said in the units of
// the page, like those of our own sentences.
func Authored(sentence string, facts map[string]any) protocol.Message {
	return AuthoredProse(strings.Join(strings.Fields(sentence), " "), facts)
}

// AuthoredProse is Authored for a text of several lines, which are kept.
func AuthoredProse(text string, facts map[string]any) protocol.Message {
	m := protocol.Message{ID: authored, Args: map[string]any{template: text}}
	pieces, _ := braces(text) // what is wrong with it is said where the farm's files are judged
	for _, p := range pieces {
		if fact, ok := facts[p.name]; ok && p.name != "" {
			m.Args[p.name] = fact
		}
	}
	return m
}

// Written is the sentence of a message that an author wrote, as it was written;
// "" for a message of the catalog.
func Written(m protocol.Message) string {
	if m.ID != authored {
		return ""
	}
	return m.Args[template].(string)
}

// Names lists the facts that an author's sentence names, in their order. The
// error shows a brace that is not closed, or not opened.
func Names(sentence string) ([]string, error) {
	pieces, err := braces(sentence)
	var out []string
	for _, p := range pieces {
		if p.name != "" {
			out = append(out, p.name)
		}
	}
	return out, err
}

// Unmatched is a brace of an author's sentence that has no other.
type Unmatched struct{ Near string }

func (e *Unmatched) Error() string { return fmt.Sprintf("words: a brace stands alone at %q", e.Near) }

// braces takes an author's sentence apart.
func braces(sentence string) ([]piece, error) {
	var out []piece
	literal := func(s string) {
		if s != "" {
			out = append(out, piece{text: s})
		}
	}
	for rest := sentence; rest != ""; {
		at := strings.IndexAny(rest, "{}")
		if at < 0 {
			literal(rest)
			break
		}
		literal(rest[:at])
		rest = rest[at:]
		if strings.HasPrefix(rest, "{{") || strings.HasPrefix(rest, "}}") {
			literal(rest[:1])
			rest = rest[2:]
			continue
		}
		end := strings.IndexAny(rest[1:], "{}\n") + 1
		if rest[0] == '}' || end == 0 || rest[end] != '}' || strings.TrimSpace(rest[1:end]) == "" {
			near, _, _ := strings.Cut(rest, "\n")
			if runes := []rune(near); len(runes) > 20 {
				near = string(runes[:20]) + "…"
			}
			return out, &Unmatched{near}
		}
		out = append(out, piece{name: strings.TrimSpace(rest[1:end])})
		rest = rest[end+1:]
	}
	return out, nil
}

// sayAuthored says an author's sentence. A fact that it names and does not have
// is a programmer's error and panics, like a hole in one of our own: a farm's
// files are judged before.
func (v *Voice) sayAuthored(m protocol.Message) string {
	pieces, err := braces(Written(m))
	if err != nil {
		panic(err.Error())
	}
	var b strings.Builder
	for _, p := range pieces {
		if p.name == "" {
			b.WriteString(p.text)
			continue
		}
		switch fact := m.Args[p.name].(type) {
		case string:
			b.WriteString(fact)
		case int:
			b.WriteString(v.count(piece{}, fact))
		case unit.Amount:
			b.WriteString(fact.Show(v.units))
		default:
			panic(fmt.Sprintf("words: an author's sentence names {%s}, which is a %T", p.name, fact))
		}
	}
	return b.String()
}
