package leaf

import (
	"html/template"
	"net/url"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// Prose is what an author wrote beside the sentences of a step, made ready once for all
// pages that have it (package prose): where it names a fact, a mark stands for what the
// fact is on a page.
type Prose struct {
	Facts []string `json:"facts,omitempty"` // their names, by the number of their marks
	HTML  string   `json:"html"`            // below the title of its step
	Alone string   `json:"alone,omitempty"` // on a page without links to others; "" where that is the same
	Lines []string `json:"lines,omitempty"` // as plain text: one for each paragraph, item and row
}

// StepMark stands for the number of the step. Like the marks of facts it is no letter
// that anybody writes (a character of Unicode's private use).
const StepMark = "\ue002"

// FactMark stands for the i-th fact that prose names, from 0.
func FactMark(i int) string { return "\ue000" + strconv.Itoa(i) + "\ue001" }

// inMarkup is what a fact is in HTML, in an element or in an attribute.
var inMarkup = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// proseOf is the prose of a message; nil where there is none.
func (e Edition) proseOf(m protocol.Message) *Prose {
	if m.ID == "" {
		return nil
	}
	if e.Prose == nil {
		panic("leaf: an edition without Prose has a step with some") // a hole in a sheet must not be printed
	}
	p := e.Prose(words.Written(m))
	return &p
}

// said are the facts of a message in place of their marks.
func (p *Prose) said(e Edition, m protocol.Message, markup bool) *strings.Replacer {
	var pairs []string
	for i, name := range p.Facts {
		text := e.Voice.Say(words.Authored("{"+name+"}", m.Args))
		mark := FactMark(i)
		if !markup {
			pairs = append(pairs, mark, text)
			continue
		}
		pairs = append(pairs, mark, inMarkup.Replace(text))
		pairs = append(pairs, url.PathEscape(mark), url.PathEscape(text)) // in an address
	}
	return strings.NewReplacer(pairs...)
}

// prose sets the prose of step n. On a page that stands alone, links to guides are words.
func (e Edition) prose(m protocol.Message, n int, alone bool) template.HTML {
	p := e.proseOf(m)
	if p == nil {
		return ""
	}
	text := p.HTML
	if alone && p.Alone != "" {
		text = p.Alone
	}
	text = p.said(e, m, true).Replace(text)
	return template.HTML(strings.ReplaceAll(text, StepMark, strconv.Itoa(n))) // made by goldmark from Markdown, raw HTML left out, facts escaped
}

// proseLines is prose as plain text, one line for each paragraph, item and row.
func (e Edition) proseLines(m protocol.Message) []string {
	p := e.proseOf(m)
	if p == nil {
		return nil
	}
	said := p.said(e, m, false)
	var out []string
	for _, line := range p.Lines {
		out = append(out, said.Replace(line))
	}
	return out
}
