// Package words holds every printed sentence as a message with an id and typed
// arguments, and says it in the units of a page. English is the first catalog;
// no sentence is glued from fragments, so that another language can order its
// words in its own way.
//
// A template names each argument with its type: {mass:amount}, {name:text},
// {n:count}, {why:message}. {n:count|mix|mixes} prints the number and the word
// that fits it; {n:count||jar|jars} prints the fitting word alone. There is a word for
// each plural form that whole numbers take in the language. {121.1:number} is a number
// that stands in the sentence itself: it gets the page's decimal sign.
package words

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// Voice says messages in one language and one system of units.
type Voice struct {
	units   unit.System
	tongue  tongue
	catalog map[string][]piece

	// Of a voice that was handed over: templates that are compiled when they are said.
	texts []map[string]string
	forms []form
}

// piece is literal text, or one argument of a template.
type piece struct {
	text  string // literal, when name is ""
	name  string
	kind  string // text, count, amount, message; number, which is no argument
	bare  bool   // the word without its number
	words map[form]string
}

var english = sync.OnceValue(func() map[string][]piece { return compile(inOriginal.forms(), original...) })

// original are the messages as they were first written.
var original = []map[string]string{
	illustrationEnglish, wallEnglish,
	farmfileEnglish, probeEnglish, evidenceEnglish, limitEnglish, limitGrowingEnglish, quantityEnglish, quantityBatchEnglish, stepEnglish, bookEnglish, readerEnglish, referenceEnglish, troubleEnglish, commandEnglish, upgradeEnglish,
	ownEnglish, designEnglish, searchEnglish, authoredEnglish, figureEnglish, loadingEnglish, faultEnglish, spreadEnglish, changeEnglish, stockEnglish, planEnglish, ordersEnglish, seasonPagesEnglish, spawnEnglish, grainEnglish, roomEnglish, roomLimitsEnglish, roomCardEnglish, resultsEnglish,
	languageEnglish, reviewEnglish, shapeEnglish, compareEnglish, printEnglish, controlEnglish, goodEnglish, peopleEnglish, hygieneEnglish, historyEnglish, traceEnglish, recordEnglish, labelEnglish, codesEnglish, trainingEnglish, facingEnglish, spokenEnglish, rescaleEnglish, viewEnglish, progressEnglish,
}

// IDs lists the ids of the English catalog, sorted.
func IDs() []string { return slices.Sorted(maps.Keys(english())) }

// Known reports whether there is a message with that id, in every catalog.
func Known(id string) bool {
	return slices.ContainsFunc(original, func(c map[string]string) bool { _, ok := c[id]; return ok })
}

// pieces are a message as it stands in the catalog.
func (v *Voice) pieces(id string) ([]piece, bool) {
	found, ok := v.catalog[id]
	if ok || v.texts == nil {
		return found, ok
	}
	for _, c := range v.texts {
		if template, ok := c[id]; ok {
			v.catalog[id] = compile(v.forms, map[string]string{id: template})[id]
			return v.catalog[id], true
		}
	}
	return nil, false
}

// Has reports whether the catalog has a message with that id.
func (v *Voice) Has(id string) bool {
	_, ok := v.pieces(id)
	return ok
}

// Units is the system of units that the voice speaks in.
func (v *Voice) Units() unit.System { return v.units }

// Say returns the sentence. A message that the catalog does not have, or
// arguments that do not fit it, are a programmer's error and panic: a book
// with a hole in a safety sentence must not be made.
func (v *Voice) Say(m protocol.Message) string {
	if m.ID == "" {
		return ""
	}
	if m.ID == authored {
		return v.sayAuthored(m)
	}
	pieces, ok := v.pieces(m.ID)
	if !ok {
		panic("words: no message " + m.ID)
	}
	if len(pieces) == 1 && pieces[0].name == "" {
		return v.literal(pieces[0])
	}
	var b strings.Builder
	for _, p := range pieces {
		if p.name == "" {
			b.WriteString(v.literal(p))
			continue
		}
		arg, ok := m.Args[p.name]
		if !ok {
			panic(fmt.Sprintf("words: message %s: no argument %s", m.ID, p.name))
		}
		s, err := v.argument(p, arg)
		if err != nil {
			panic(fmt.Sprintf("words: message %s: argument %s: %v", m.ID, p.name, err))
		}
		b.WriteString(s)
	}
	return b.String()
}

// literal is a piece that no caller fills in.
func (v *Voice) literal(p piece) string {
	if p.kind == "number" {
		return v.units.Decimal(p.text)
	}
	return p.text
}

func (v *Voice) argument(p piece, arg any) (string, error) {
	switch a := arg.(type) {
	case string:
		if p.kind == "text" {
			return a, nil
		}
	case int:
		if p.kind == "count" {
			return v.count(p, a), nil
		}
	case unit.Amount:
		if p.kind == "amount" {
			return a.Show(v.units), nil
		}
	case protocol.Message:
		if p.kind == "message" {
			return v.Say(a), nil
		}
	}
	return "", fmt.Errorf("a %T is not a %s", arg, p.kind)
}

func (v *Voice) count(p piece, n int) string {
	word := p.words[v.tongue.form(n)]
	switch {
	case p.bare:
		return word
	case word == "":
		return strconv.Itoa(n)
	}
	return strconv.Itoa(n) + unit.Space + word
}

// Message is a short way to write a message with arguments in pairs of name
// and value.
func Message(id string, pairs ...any) protocol.Message {
	m := protocol.Message{ID: id}
	if len(pairs) > 0 {
		m.Args = map[string]any{}
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		m.Args[pairs[i].(string)] = pairs[i+1]
	}
	return m
}

// compile parses the templates of several catalogs into one. An id that stands
// in two of them, or a template that does not parse, panics at start.
func compile(forms []form, catalogs ...map[string]string) map[string][]piece {
	out := map[string][]piece{}
	for _, c := range catalogs {
		for id, template := range c {
			if _, twice := out[id]; twice {
				panic("words: message " + id + " stands twice")
			}
			pieces, err := parse(template, forms)
			if err != nil {
				panic(fmt.Sprintf("words: message %s: %v", id, err))
			}
			out[id] = pieces
		}
	}
	return out
}

func parse(template string, forms []form) ([]piece, error) {
	var out []piece
	for rest := template; rest != ""; {
		literal, after, found := strings.Cut(rest, "{")
		if literal != "" {
			out = append(out, piece{text: literal})
		}
		if !found {
			break
		}
		inside, tail, closed := strings.Cut(after, "}")
		if !closed {
			return nil, fmt.Errorf("%q: a brace is not closed", template)
		}
		p, err := argument(inside, forms)
		if err != nil {
			return nil, fmt.Errorf("%q: %w", template, err)
		}
		out = append(out, p)
		rest = tail
	}
	return out, nil
}

func argument(inside string, forms []form) (piece, error) {
	parts := strings.Split(inside, "|")
	name, kind, ok := strings.Cut(parts[0], ":")
	if _, err := strconv.ParseFloat(name, 64); err == nil && kind == "number" && len(parts) == 1 {
		return piece{text: name, kind: kind}, nil
	}
	if !ok || name == "" || !slices.Contains([]string{"text", "count", "amount", "message"}, kind) {
		return piece{}, fmt.Errorf("{%s} is not {name:text}, {name:count}, {name:amount} or {name:message}", inside)
	}
	p := piece{name: name, kind: kind}
	counted := parts[1:]
	if kind == "count" && len(counted) == 1+len(forms) && counted[0] == "" {
		p.bare, counted = true, counted[1:]
	}
	switch {
	case len(counted) == 0:
		return p, nil
	case kind != "count" || len(counted) != len(forms):
		return piece{}, fmt.Errorf("{%s}: a count has %d words, one for each plural form of its language, and nothing else has any", inside, len(forms))
	}
	p.words = map[form]string{}
	for i, f := range forms {
		p.words[f] = counted[i]
	}
	return p, nil
}

// Arguments lists the names and types of a message's arguments, sorted, as
// "name:type": for callers that fill in what a sentence asks for, and for the
// tests that hold callers to them. The list is shared: nobody may change it.
func Arguments(id string) []string {
	if known, ok := arguments.Load(id); ok {
		return known.([]string)
	}
	out := argumentsOf(english()[id])
	arguments.Store(id, out)
	return out
}

var arguments sync.Map // by id: they are asked for again for each batch

func argumentsOf(pieces []piece) []string {
	seen := map[string]bool{}
	for _, p := range pieces {
		if p.name != "" {
			seen[p.name+":"+p.kind] = true
		}
	}
	return slices.Sorted(maps.Keys(seen))
}
