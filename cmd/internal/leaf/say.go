package leaf

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	texttemplate "text/template"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// set is the templates, bound to one voice.
type set struct {
	html *template.Template
	text *texttemplate.Template
}

// Ready makes the templates ready once for many documents. An edition that is
// not ready makes them anew for each.
func (e Edition) Ready() (Edition, error) {
	if e.set != nil {
		return e, nil
	}
	html := template.New("book").Funcs(htmlFuncs(e.Voice))
	text := texttemplate.New("book").Funcs(textFuncs(e.Voice))
	for _, name := range Replaceable() {
		if e.Only != nil && !slices.Contains(e.Only, name) {
			continue
		}
		source, err := e.source(name)
		switch {
		case err != nil:
		case strings.HasSuffix(name, ".html.tmpl"):
			_, err = html.New(name).Parse(source)
		case strings.HasSuffix(name, ".txt.tmpl"):
			_, err = text.New(name).Parse(source)
		}
		if err != nil {
			if fault := e.fault(err, "template.parse", ""); fault != nil {
				return e, fault
			}
			return e, err
		}
	}
	e.set = &set{html, text}
	return e, nil
}

// ReadyAs is Ready with the templates that another edition made ready, where it has the
// same voice and the same files: to make them ready takes longer than to set a page.
func (e Edition) ReadyAs(other Edition) (Edition, error) {
	same := other.set != nil && e.Voice.Tag() == other.Voice.Tag() && e.Voice.Units() == other.Voice.Units() &&
		slices.Equal(e.Only, other.Only) && maps.EqualFunc(e.Own, other.Own, bytes.Equal)
	if same && e.set == nil {
		e.set = other.set
	}
	return e.Ready()
}

// html fills one of the templates. A template that fails half way gives no
// page.
func (e Edition) html(name string, data any) ([]byte, error) {
	e, err := e.Ready()
	if err != nil {
		return nil, err
	}
	b := buffers.Get().(*bounded)
	defer buffers.Put(b)
	b.Reset()
	b.most = 0
	if len(e.Own) > 0 {
		b.most = mostOfAPage
	}
	if err := e.set.html.ExecuteTemplate(b, name, data); err != nil {
		page := name
		if f, ok := data.(interface{ named() string }); ok {
			page = f.named()
		}
		if errors.Is(err, errTooLong) {
			return nil, e.tooLong(name, page)
		}
		if fault := e.fault(err, "template.run", page); fault != nil {
			return nil, fault
		}
		return nil, fmt.Errorf("leaf: %w", err)
	}
	return slices.Clone(b.Bytes()), nil
}

// buffers are those of pages that were set: a new one would grow as often as a page is long.
var buffers = sync.Pool{New: func() any { return new(bounded) }}

// htmlFuncs are the functions that the templates of pages have. None of them
// reads a file, asks a clock or runs a program.
func htmlFuncs(v *words.Voice) template.FuncMap {
	var said sync.Map // by id, what has no arguments: most of a page's own words
	return template.FuncMap{
		"say": func(id string, pairs ...any) template.HTML {
			if len(pairs) > 0 {
				return plain(v.Say(words.Message(id, pairs...)))
			}
			if text, ok := said.Load(id); ok {
				return text.(template.HTML)
			}
			text := plain(v.Say(words.Message(id)))
			said.Store(id, text)
			return text
		},
		"said":     func(m protocol.Message) template.HTML { return plain(v.Say(m)) },
		"language": v.Tag,
		"original": func() template.HTMLAttr { return original(v) },
		"plain":    plain,
		"marked":   func(m protocol.Message) template.HTML { return marked(v, m) },
		"sized":    func(n int, many string) template.HTML { return sized(v, n, many) },
		"headed":   func(title string, n int, many string) template.HTML { return headed(v, title, n, many) },
		"label":    func(id string) template.HTML { return plain(v.Say(labeled(words.Message(id)))) },
		"labeled":  func(m protocol.Message) template.HTML { return plain(v.Say(labeled(m))) },
		"pair": func(name, value string) template.HTML {
			return plain(v.Say(words.Message("shape.pair", "name", name, "value", value)))
		},
		"remarked": func(what, remark protocol.Message) template.HTML { return plain(v.Say(remarked(what, remark))) },
		"cited":    func(source string) template.HTML { return cited(v, source, strings.Clone) },
		"Cited":    func(source string) template.HTML { return cited(v, source, v.Capital) },
		"amount":   func(a unit.Amount) string { return a.Show(v.Units()) },
		"signal":   func(s any) string { return SignalWord(v, s) },
	}
}

// textFuncs are the functions that the templates of a terminal have.
func textFuncs(v *words.Voice) texttemplate.FuncMap {
	return texttemplate.FuncMap{
		"say":    func(id string, pairs ...any) string { return v.Say(words.Message(id, pairs...)) },
		"said":   v.Say,
		"amount": func(a unit.Amount) string { return a.Show(v.Units()) },
		"signal": func(s any) string { return SignalWord(v, s) },
		"wrap":   wrap,
		"pad":    pad,
		"row":    row,
		"md":     markdown,
		"rule":   rule,
	}
}

// subscripts sets what the font has no signs for.
var subscripts = strings.NewReplacer("CO2", "CO<sub>2</sub>", "CO₂", "CO<sub>2</sub>")

// dated finds a day, and the code of a batch that ends on one.
var dated = regexp.MustCompile(`(?:[a-z][a-z0-9]*-(?:[a-z0-9]+-)*)?\b\d{4}-\d{2}-\d{2}\b`)

// plain is a sentence as HTML. Days are kept in one line: browsers break them at
// their hyphens.
func plain(s string) template.HTML {
	s = template.HTMLEscapeString(s)
	// Most texts have neither, and looking for them well takes long.
	if strings.Contains(s, "CO") {
		s = subscripts.Replace(s)
	}
	if mayBeDated(s) {
		s = dated.ReplaceAllString(s, `<span class="whole">$0</span>`)
	}
	return template.HTML(s)
}

// mayBeDated reports whether a text has a digit, a hyphen and a digit in a row, as every
// day has.
func mayBeDated(s string) bool {
	digit := func(i int) bool { return i >= 0 && i < len(s) && s[i] >= '0' && s[i] <= '9' }
	for i := 0; ; i++ {
		next := strings.IndexByte(s[i:], '-')
		if next < 0 {
			return false
		}
		if i += next; digit(i-1) && digit(i+1) {
			return true
		}
	}
}

// marked is a message with its amounts set larger than the sentence around
// them: what a worker looks for.
func marked(v *words.Voice, m protocol.Message) template.HTML {
	return emphasized(v.Say(m), "amount", amountsOf(v, m))
}

// sized is "for 48 bottles" with the figure marked, so that a script may put a
// field in its place.
func sized(v *words.Voice, n int, many string) template.HTML {
	text := v.Say(words.Message("book.sheet.size", "n", n, "vessels", many))
	return emphasized(text, "figure-of-size", []string{strconv.Itoa(n)})
}

// amountsOf lists the printed amounts of a message and of the messages in it:
// quantities with their unit, and counts, to which a counted word is joined by
// a no-break space.
func amountsOf(v *words.Voice, m protocol.Message) []string {
	var out []string
	for _, arg := range m.Args {
		switch a := arg.(type) {
		case unit.Amount:
			out = append(out, a.Show(v.Units()))
		case int:
			out = append(out, strconv.Itoa(a)+unit.Space)
		case protocol.Message:
			out = append(out, amountsOf(v, a)...)
		}
	}
	// Map order must not reach the page; a longer text wins over its beginning.
	slices.SortFunc(out, func(a, b string) int {
		if len(a) != len(b) {
			return len(b) - len(a)
		}
		return strings.Compare(a, b)
	})
	return slices.Compact(out)
}

var countedWord = regexp.MustCompile(`^\pL+`)

// headed is a title with the size behind it, "Enoki in the quart jar, for 48 jars".
func headed(v *words.Voice, title string, n int, many string) template.HTML {
	size := v.Say(words.Message("book.sheet.size", "n", n, "vessels", many))
	text := v.Say(words.Message("shape.sized", "title", title, "size", size))
	at := strings.LastIndex(text, size)
	return plain(text[:at]) + `<span class="for-size">` + sized(v, n, many) + `</span>` + plain(text[at+len(size):])
}

// original marks what stands on a page in the language of our own texts, the sources of
// laws and limits, for whoever hears the page (WCAG 2.2, 3.1.2).
func original(v *words.Voice) template.HTMLAttr {
	if v.Tag() == words.Original {
		return ""
	}
	return ` lang="` + words.Original + `"`
}

// cited is a source in the language of the page or, as citations are, in the one that it
// was written in, which is marked.
func cited(v *words.Voice, source string, begin func(string) string) template.HTML {
	said, language := v.Source(source)
	if language == "" {
		return plain(begin(said))
	}
	return `<span lang="` + template.HTML(language) + `">` + plain(begin(said)) + `</span>`
}

// labeled is a name before what it is the name of.
func labeled(name protocol.Message) protocol.Message {
	return words.Message("shape.label", "name", name)
}

// remarked is what an amount is of, with a remark on it where there is one.
func remarked(what, remark protocol.Message) protocol.Message {
	if remark.ID == "" {
		return what
	}
	return words.Message("shape.remarked", "what", what, "remark", remark)
}

// emphasized wraps each of the given texts where it stands by itself.
func emphasized(text, class string, find []string) template.HTML {
	var b strings.Builder
	from := 0
	for at := 0; at < len(text); {
		end := 0
		if at == 0 || !strings.ContainsRune("0123456789.", rune(text[at-1])) {
			end = starts(text[at:], find)
		}
		if end == 0 {
			at++
			continue
		}
		b.WriteString(string(plain(text[from:at])))
		b.WriteString(`<strong class="` + class + `">` + string(plain(text[at:at+end])) + `</strong>`)
		at += end
		from = at
	}
	b.WriteString(string(plain(text[from:])))
	return template.HTML(b.String())
}

// starts is the length of the first of the texts that the sentence starts
// with, 0 for none.
func starts(sentence string, find []string) int {
	for _, f := range find {
		rest, ok := strings.CutPrefix(sentence, f)
		if !ok || rest != "" && rest[0] >= '0' && rest[0] <= '9' {
			continue
		}
		if strings.HasSuffix(f, unit.Space) {
			word := countedWord.FindString(rest)
			if word == "" {
				continue
			}
			return len(f) + len(word)
		}
		return len(f)
	}
	return 0
}

// figure is a printed amount, its number and its unit apart, so that the
// numbers of a column stand under each other.
type figure struct{ Number, Unit string }

func (e Edition) figure(a unit.Amount) figure {
	number, name, _ := strings.Cut(e.show(a), unit.Space)
	return figure{number, name}
}

// String is the amount in one piece.
func (f figure) String() string {
	if f.Unit == "" {
		return f.Number
	}
	return f.Number + unit.Space + f.Unit
}

// Sentences splits a text behind its first sentence: a hazard is set heavier
// than what it does and how to avoid it.
func Sentences(text string) (first string, rest []string) {
	i := strings.Index(text, ". ")
	if i < 0 {
		return text, nil
	}
	return text[:i+1], []string{text[i+2:]}
}
