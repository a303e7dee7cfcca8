package leaf

import (
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strings"
	"sync/atomic"
)

// Bound is one page of a book that goes into a binder.
type Bound struct {
	Path  string // in the book
	HTML  []byte // the whole page
	Page  int    // of the binder on which it begins, from 1; 0 where that is not known yet
	Front bool   // begins a leaf of paper: what comes next may be on its back
	Blank bool   // an empty page comes before it
}

// Cover is what a binder says of itself in one of its languages.
type Cover struct {
	Edition Edition
	Title   string
}

// binderPage is several pages of a book as one document. What its cover says is there
// once for each of its languages.
type binderPage struct {
	frame
	BinderKind, Heading, Contents []half
	PrintedOn, By, Copy           []half
	StandingToo                   *half // that nobody may work from it, in the second language
	Documents                     []BoundPage
}

// BoundPage is a page as a part of a binder.
type BoundPage struct {
	ID            string // of its element, "d1"
	Title         string // of the page
	Heading       string // its first heading
	What          string // what kind of document it says it is
	Kind          string // of page, a class of the stylesheet
	DocumentID    string
	Page          string // "" where it is not known yet
	Language      string
	Body          template.HTML
	Size, Margins string   // of its own @page rule: the paper, and what stands at its foot
	Laid          string   // where its labels lie on paper
	Control       []string // what is kept of its protocol as a document
	Standing, Why string   // that nobody may work from it, and why
	Front, Blank  bool     // begins a leaf of paper; comes behind an empty page
}

// BoundID is the id of the element that the i-th document of a binder is, from 0: by
// it its page is found.
func BoundID(i int) string { return fmt.Sprintf("d%d", i+1) }

// Binder sets pages of a book as one document that stands on its own: a cover with
// the contents, and the pages in their order, each with its own foot. Ids are told
// apart, links among the pages lead to where they are in the binder, and other links
// are text. The pictures that guides show are given by their paths in the book. The
// first cover is in the language of the document; a binder for a crew of two
// languages has another.
func Binder(covers []Cover, id, fingerprint string, pages []Bound, pictures map[string][]byte) ([]byte, error) {
	e := covers[0].Edition
	style, err := e.loneStyle()
	if err != nil {
		return nil, err
	}
	b := coverOf(covers, id, fingerprint)
	b.Lone, b.Style = true, style
	at := map[string]string{}
	for i, p := range pages {
		at[p.Path] = BoundID(i)
	}
	for i, p := range pages {
		d, err := taken().Bind(Binding{Page: p.Path, Prefix: BoundID(i) + "-", At: at, Pictures: pictures}, p.HTML)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p.Path, err)
		}
		d.ID, d.Front, d.Blank = BoundID(i), p.Front, p.Blank
		if p.Page > 0 {
			d.Page = fmt.Sprint(p.Page)
		}
		b.Documents = append(b.Documents, d)
		if b.Control == nil && d.Language == e.Voice.Tag() {
			b.Control = d.Control
		}
	}
	b.standing(covers)
	if len(covers) > 1 {
		if err := b.second(covers[1]); err != nil {
			return nil, err
		}
	}
	for i, d := range b.Documents {
		if b.StandingWhy != "" && d.Why == "" { // a guide is not the protocol's
			b.Documents[i].Margins += "@top-center{content:none}"
		}
	}
	b.PageRule += template.CSS(pagesOf(string(style), b.Documents))
	b.Policy = "default-src 'none'; style-src " + hashOf(style) + " " + hashOf(b.PageRule) +
		"; font-src data:; img-src data:; base-uri 'none'; form-action 'none'"
	return e.html("binder", b)
}

// coverOf is the cover of a binder.
func coverOf(covers []Cover, id, fingerprint string) binderPage {
	in := func(say func(Cover) string) []half {
		var out []half
		for _, c := range covers {
			out = append(out, half{c.Edition.Voice.Tag(), plain(say(c))})
		}
		return out
	}
	says := func(id string) []half { return in(func(c Cover) string { return c.Edition.say(id) }) }
	b := binderPage{
		frame:      covers[0].Edition.frame(HomePath, "binder", covers[0].Title, id, fingerprint),
		BinderKind: says("book.binder.kind"), Heading: in(func(c Cover) string { return c.Title }), Contents: says("book.binder.contents"),
		PrintedOn: says("book.which.printed_on"), By: says("book.which.by"), Copy: says("book.which.copy"),
	}
	b.Tongues = nil // it stands alone
	return b
}

// standing has each sheet of the cover say what one of the documents says, that nobody
// may work from it: in each language of the binder.
func (b *binderPage) standing(covers []Cover) {
	var said []string
	for _, c := range covers {
		if d := b.firstIn(c.Edition.Voice.Tag(), func(d BoundPage) bool { return d.Why != "" }); d != nil {
			said = append(said, d.Standing)
		}
	}
	if len(said) == 0 {
		return
	}
	d := b.firstIn(covers[0].Edition.Voice.Tag(), func(d BoundPage) bool { return d.Why != "" })
	if d == nil {
		return
	}
	b.Standing, b.StandingWhy = d.Standing, d.Why
	head := atHead.FindString(d.Margins)
	if len(said) > 1 && head != "" {
		head = strings.Replace(head, cssString(d.Standing), cssString(strings.Join(said, " / ")), 1)
	}
	b.PageRule = template.CSS(strings.Replace(string(b.PageRule), ";", ";"+head, 1))
}

// second is what the cover has in its second language besides names: that nobody may
// work from it, and the foot.
func (b *binderPage) second(c Cover) error {
	tag := c.Edition.Voice.Tag()
	own := c.Edition.frame(HomePath, b.Kind, c.Title, b.ID, b.Fingerprint)
	if d := b.firstIn(tag, func(d BoundPage) bool { return d.Control != nil }); d != nil {
		own.Control = d.Control
	}
	foot, err := c.Edition.html("foot-told", own)
	if err != nil {
		return err
	}
	b.FootToo = &half{tag, template.HTML(foot)}
	if d := b.firstIn(tag, func(d BoundPage) bool { return d.Why != "" }); d != nil {
		own.Standing, own.StandingWhy = d.Standing, d.Why
		text, err := c.Edition.html("standing", own)
		if err != nil {
			return err
		}
		b.StandingToo = &half{tag, template.HTML(text)}
	}
	return nil
}

// firstIn is the first document in a language that is wanted, nil for none.
func (b *binderPage) firstIn(language string, wanted func(BoundPage) bool) *BoundPage {
	i := slices.IndexFunc(b.Documents, func(d BoundPage) bool { return d.Language == language && wanted(d) })
	if i < 0 {
		return nil
	}
	return &b.Documents[i]
}

var (
	namedPage = regexp.MustCompile(`@page ([a-z-]+) \{([^{}]*)\}`)
	onPage    = regexp.MustCompile(`([^{};]+)\{[^{}]*\bpage: ([a-z-]+);[^{}]*\}`)
)

// papers are the kinds of paper that a stylesheet names.
type papers struct {
	pages [][2]string // name, what is said of it
	rules [][2]string // selector, name
}

// read are the kinds of paper of the stylesheet that was asked for last: all books of a
// run have the same, and reading it takes longer than setting a page.
var read atomic.Pointer[struct {
	style string
	papers
}]

func pagesIn(style string) papers {
	if last := read.Load(); last != nil && last.style == style {
		return last.papers
	}
	var out papers
	for _, p := range namedPage.FindAllStringSubmatch(style, -1) {
		out.pages = append(out.pages, [2]string{p[1], strings.TrimRight(strings.TrimSpace(p[2]), ";")})
	}
	for _, r := range onPage.FindAllStringSubmatch(style, -1) {
		out.rules = append(out.rules, [2]string{strings.Join(strings.Fields(r[1]), " "), r[2]})
	}
	read.Store(&struct {
		style string
		papers
	}{style, out})
	return out
}

// pagesOf are the rules that give each document of a binder the foot that it has as a
// page of its own, on the kinds of paper that the stylesheet names too.
func pagesOf(style string, documents []BoundPage) string {
	var out strings.Builder
	named := pagesIn(style)
	for _, d := range documents {
		fmt.Fprintf(&out, "@page %s{%s%s}#%s{page:%s}", d.ID, d.Size, d.Margins, d.ID, d.ID)
		for _, p := range named.pages {
			fmt.Fprintf(&out, "@page %s-%s{%s%s;%s}", d.ID, p[0], d.Size, p[1], d.Margins)
		}
		for _, r := range named.rules {
			fmt.Fprintf(&out, "#%[1]s:is(%[2]s),#%[1]s :is(%[2]s){page:%[1]s-%[3]s}", d.ID, r[0], r[1])
		}
	}
	laid := map[string]bool{}
	for _, d := range documents { // all sheets of one kind of label lie alike
		if !laid[d.Laid] {
			laid[d.Laid] = true
			out.WriteString(d.Laid)
		}
	}
	return out.String()
}

// Binding says what a page is taken apart for: for a binder, or to bring a part of it to
// another page.
type Binding struct {
	Page, Prefix string
	At           map[string]string // pages of the binder by path: the ids of their elements
	Pictures     map[string][]byte
	// From is the folder of the page, seen from the one that a part of it is brought
	// to: links to other pages lead there, and those within it are that page's own. It
	// is empty for a binder, in which links to pages that it has not are text.
	From string
	Flat bool // the headings of what is brought are said beside it: they are paragraphs
}

// Taker takes pages apart: package binder does, which knows HTML. This package writes it
// and reads none.
type Taker interface {
	// Bind takes out of a page its title, its page rule and what is in its main element.
	Bind(of Binding, page []byte) (BoundPage, error)
	// Part is a part of a page as it stands in another.
	Part(of Binding, source []byte) template.HTML
}

var takes Taker

// UseTaker has pages taken apart by a taker; package binder calls it.
func UseTaker(t Taker) { takes = t }

func taken() Taker {
	if takes == nil {
		panic("leaf: nobody is there to take a page apart: import package binder")
	}
	return takes
}

var atHead = regexp.MustCompile(`@top-center\{[^{}]*\}`)
