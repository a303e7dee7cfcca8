package leaf

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"mime"
	"path"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
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
	Documents                     []boundPage
}

// boundPage is a page as a part of a binder.
type boundPage struct {
	ID            string // of its element, "d1"
	Title         string // of the page
	Heading       string // its first heading
	What          string // what kind of document it says it is
	Kind          string // of page, a class of the stylesheet
	DocumentID    string
	Page          string // "" where it is not known yet
	Language      string
	Body          template.HTML
	size, margins string   // of its own @page rule: the paper, and what stands at its foot
	laid          string   // where its labels lie on paper
	control       []string // what is kept of its protocol as a document
	standing, why string   // that nobody may work from it, and why
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
		x := binding{page: p.Path, prefix: BoundID(i) + "-", at: at, pictures: pictures}
		d, err := x.bind(p.HTML)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p.Path, err)
		}
		d.ID, d.Front, d.Blank = BoundID(i), p.Front, p.Blank
		if p.Page > 0 {
			d.Page = fmt.Sprint(p.Page)
		}
		b.Documents = append(b.Documents, d)
		if b.Control == nil && d.Language == e.Voice.Tag() {
			b.Control = d.control
		}
	}
	b.standing(covers)
	if len(covers) > 1 {
		if err := b.second(covers[1]); err != nil {
			return nil, err
		}
	}
	for i, d := range b.Documents {
		if b.StandingWhy != "" && d.why == "" { // a guide is not the protocol's
			b.Documents[i].margins += "@top-center{content:none}"
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
		if d := b.firstIn(c.Edition.Voice.Tag(), func(d boundPage) bool { return d.why != "" }); d != nil {
			said = append(said, d.standing)
		}
	}
	if len(said) == 0 {
		return
	}
	d := b.firstIn(covers[0].Edition.Voice.Tag(), func(d boundPage) bool { return d.why != "" })
	if d == nil {
		return
	}
	b.Standing, b.StandingWhy = d.standing, d.why
	head := atHead.FindString(d.margins)
	if len(said) > 1 && head != "" {
		head = strings.Replace(head, cssString(d.standing), cssString(strings.Join(said, " / ")), 1)
	}
	b.PageRule = template.CSS(strings.Replace(string(b.PageRule), ";", ";"+head, 1))
}

// second is what the cover has in its second language besides names: that nobody may
// work from it, and the foot.
func (b *binderPage) second(c Cover) error {
	tag := c.Edition.Voice.Tag()
	own := c.Edition.frame(HomePath, b.Kind, c.Title, b.ID, b.Fingerprint)
	if d := b.firstIn(tag, func(d boundPage) bool { return d.control != nil }); d != nil {
		own.Control = d.control
	}
	foot, err := c.Edition.html("foot-told", own)
	if err != nil {
		return err
	}
	b.FootToo = &half{tag, template.HTML(foot)}
	if d := b.firstIn(tag, func(d boundPage) bool { return d.why != "" }); d != nil {
		own.Standing, own.StandingWhy = d.standing, d.why
		text, err := c.Edition.html("standing", own)
		if err != nil {
			return err
		}
		b.StandingToo = &half{tag, template.HTML(text)}
	}
	return nil
}

// firstIn is the first document in a language that is wanted, nil for none.
func (b *binderPage) firstIn(language string, wanted func(boundPage) bool) *boundPage {
	i := slices.IndexFunc(b.Documents, func(d boundPage) bool { return d.Language == language && wanted(d) })
	if i < 0 {
		return nil
	}
	return &b.Documents[i]
}

var (
	namedPage = regexp.MustCompile(`@page ([a-z-]+) \{([^{}]*)\}`)
	onPage    = regexp.MustCompile(`([^{};]+)\{[^{}]*\bpage: ([a-z-]+);[^{}]*\}`)
)

// pagesOf are the rules that give each document of a binder the foot that it has as a
// page of its own, on the kinds of paper that the stylesheet names too.
func pagesOf(style string, documents []boundPage) string {
	var out strings.Builder
	for _, d := range documents {
		fmt.Fprintf(&out, "@page %s{%s%s}#%s{page:%s}", d.ID, d.size, d.margins, d.ID, d.ID)
		for _, p := range namedPage.FindAllStringSubmatch(style, -1) {
			fmt.Fprintf(&out, "@page %s-%s{%s%s;%s}", d.ID, p[1], d.size, strings.TrimRight(strings.TrimSpace(p[2]), ";"), d.margins)
		}
		for _, r := range onPage.FindAllStringSubmatch(style, -1) {
			selector := strings.Join(strings.Fields(r[1]), " ")
			fmt.Fprintf(&out, "#%[1]s:is(%[2]s),#%[1]s :is(%[2]s){page:%[1]s-%[3]s}", d.ID, selector, r[2])
		}
	}
	laid := map[string]bool{}
	for _, d := range documents { // all sheets of one kind of label lie alike
		if !laid[d.laid] {
			laid[d.laid] = true
			out.WriteString(d.laid)
		}
	}
	return out.String()
}

// binding takes a page apart for a binder, or brings a part of it to another page.
type binding struct {
	page, prefix string
	at           map[string]string // pages of the binder by path: the ids of their elements
	pictures     map[string][]byte
	// from is the folder of the page, seen from the one that a part of it is brought
	// to: links to other pages lead there, and those within it are that page's own. It
	// is empty for a binder, in which links to pages that it has not are text.
	from string
	flat bool // the headings of what is brought are said beside it: they are paragraphs
}

var (
	pageRuleOf = regexp.MustCompile(`^@page\{(size:[^;]+;(?:font-size:[^;]+;)?)((?:@[a-z-]+\{[^{}]*\})*)\}(@media print\{.*\})?$`)
	atHead     = regexp.MustCompile(`@top-center\{[^{}]*\}`)
)

// bind takes out of a page its title, its page rule and what is in its main element.
func (x binding) bind(page []byte) (boundPage, error) {
	var d boundPage
	var body bytes.Buffer
	depth := 0 // of main elements that are open
	var text, said *string
	var rule, identity string
	z := html.NewTokenizer(bytes.NewReader(page))
	for {
		kind := z.Next()
		if kind == html.ErrorToken {
			break // the end, for what is read is in memory
		}
		raw := string(z.Raw())
		t := z.Token()
		before := said
		if depth > 0 {
			said = d.note(kind, t, said)
		}
		switch {
		case depth > 0 && kind == html.EndTagToken && t.DataAtom == atom.Main:
			depth--
		case depth > 0 && said == &d.What, depth > 0 && before == &d.What:
			// what kind of document it is becomes a part of its heading, and so of its bookmark
		case depth > 0 && kind == html.StartTagToken && t.DataAtom == atom.H1 && said == &d.Heading && d.What != "":
			fmt.Fprintf(&body, `%s<span class="bound-kind">%s </span>`, x.tag(t), html.EscapeString(d.What))
		case depth > 0 && (kind == html.StartTagToken || kind == html.SelfClosingTagToken):
			body.WriteString(x.tag(t))
		case depth > 0:
			body.WriteString(raw)
		case kind == html.StartTagToken && t.DataAtom == atom.Main:
			depth++
		case kind == html.StartTagToken && t.DataAtom == atom.Html:
			d.Language = attribute(t, "lang")
		case kind == html.StartTagToken && t.DataAtom == atom.Body:
			d.Kind = attribute(t, "class")
		case kind == html.StartTagToken && t.DataAtom == atom.Title:
			text = &d.Title
		case kind == html.StartTagToken && t.DataAtom == atom.Style:
			rule, text = "", &rule
		case kind == html.StartTagToken && t.DataAtom == atom.P && attribute(t, "class") == "document-id" && identity == "":
			text = &identity
		case kind == html.StartTagToken && t.DataAtom == atom.P && attribute(t, "class") == "control":
			d.control = append(d.control, "")
			text = &d.control[len(d.control)-1]
		case kind == html.EndTagToken && (t.DataAtom == atom.Title || t.DataAtom == atom.Style || t.DataAtom == atom.P):
			text = nil
		case kind == html.TextToken && text != nil:
			*text += t.Data
		}
	}
	m := pageRuleOf.FindStringSubmatch(rule)
	if body.Len() == 0 || d.Title == "" || m == nil {
		return d, fmt.Errorf("a page without a title, a main part and a page rule can't be bound")
	}
	d.size, d.margins, d.laid = m[1], m[2], m[3]
	d.Title, _, _ = strings.Cut(d.Title, " · ") // the book's name follows
	d.DocumentID = strings.TrimSpace(identity)
	d.standing, d.why = strings.TrimSpace(d.standing), strings.TrimSpace(d.why)
	if d.Heading = strings.Join(strings.Fields(d.Heading), " "); d.Heading == "" {
		d.Heading = d.Title
	}
	d.Body = template.HTML(body.String())
	return d, nil
}

// note takes down what the contents and the cover say of a page: its first heading,
// what kind of document it is, and whether nobody may work from it. said is where
// text goes that comes next, nil for nowhere, before the token and after it.
func (d *boundPage) note(kind html.TokenType, t html.Token, said *string) *string {
	class := attribute(t, "class")
	switch {
	case kind == html.TextToken && said != nil:
		*said += t.Data
	case kind == html.StartTagToken && t.DataAtom == atom.H1 && d.Heading == "":
		return &d.Heading
	case kind == html.StartTagToken && class == "document-kind" && d.What == "":
		return &d.What
	case kind == html.StartTagToken && class == "not-in-force" && d.why == "":
		return &d.standing
	case kind == html.EndTagToken && t.DataAtom == atom.Strong && said == &d.standing:
		return &d.why
	case kind == html.EndTagToken && (t.DataAtom == atom.H1 || t.DataAtom == atom.P):
		return nil
	}
	return said
}

func attribute(t html.Token, key string) string {
	for _, a := range t.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// references are the attributes that name elements of the page by their ids.
var references = map[string]bool{"id": true, "for": true, "headers": true, "aria-labelledby": true, "aria-describedby": true, "aria-controls": true, "aria-owns": true}

// shared begins the ids of the signs that every page of a binder uses from its head.
const shared = "sign-"

// tag is a start tag as it stands in a binder.
func (x binding) tag(t html.Token) string {
	attr := t.Attr[:0]
	for _, a := range t.Attr {
		keep := true
		switch {
		case references[a.Key]:
			names := strings.Fields(a.Val)
			for i, n := range names {
				names[i] = x.prefix + n
			}
			a.Val = strings.Join(names, " ")
		case a.Key == "href":
			a.Val, keep = x.link(a.Val)
		case a.Key == "src":
			a.Val, keep = x.picture(a.Val)
		case a.Key == "autofocus", a.Key == "tabindex", a.Key == "name":
			keep = x.from != "" // for a screen
		}
		if keep {
			attr = append(attr, a)
		}
	}
	t.Attr = attr
	return t.String()
}

// link is where a link leads in the binder. One to a page that is not in it is text.
func (x binding) link(href string) (string, bool) {
	to, fragment, _ := strings.Cut(href, "#")
	switch {
	case to == "" && (x.from != "" || strings.HasPrefix(fragment, shared)):
		return href, true
	case to == "":
		return "#" + x.prefix + fragment, true
	case strings.Contains(to, ":"):
		return href, x.from != ""
	case x.from != "":
		return path.Join(x.from, to) + strings.TrimPrefix(href, to), true
	}
	to, _, _ = strings.Cut(to, "?")
	id, ok := x.at[path.Join(path.Dir(x.page), to)]
	switch {
	case !ok:
		return "", false
	case fragment == "":
		return "#" + id, true
	}
	return "#" + id + "-" + fragment, true
}

// picture is a picture of the book as data.
func (x binding) picture(src string) (string, bool) {
	name := path.Join(path.Dir(x.page), src)
	data, ok := x.pictures[name]
	if !ok {
		return "", false
	}
	return "data:" + mime.TypeByExtension(path.Ext(name)) + ";base64," + base64.StdEncoding.EncodeToString(data), true
}
