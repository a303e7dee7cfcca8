package leaf

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"mime"
	"path"
	"regexp"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// Bound is one page of a book that goes into a binder.
type Bound struct {
	Path string // in the book
	HTML []byte // the whole page
	Page int    // of the binder on which it begins, from 1; 0 where that is not known yet
}

// binderPage is several pages of a book as one document.
type binderPage struct {
	frame
	Documents []boundPage
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
}

// BoundID is the id of the element that the i-th document of a binder is, from 0: by
// it its page is found.
func BoundID(i int) string { return fmt.Sprintf("d%d", i+1) }

// Binder sets pages of a book as one document that stands on its own: a cover with
// the contents, and the pages in their order, each with its own foot. Ids are told
// apart, links among the pages lead to where they are in the binder, and other links
// are text. The pictures that guides show are given by their paths in the book.
func Binder(e Edition, title, id, fingerprint string, pages []Bound, pictures map[string][]byte) ([]byte, error) {
	style, err := e.loneStyle()
	if err != nil {
		return nil, err
	}
	b := binderPage{frame: e.frame(HomePath, "binder", title, id, fingerprint)}
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
		d.ID = BoundID(i)
		if p.Page > 0 {
			d.Page = fmt.Sprint(p.Page)
		}
		b.Documents = append(b.Documents, d)
		if b.Control == nil {
			b.Control = d.control
		}
		if b.StandingWhy == "" && d.why != "" { // each sheet of the cover says it too
			b.Standing, b.StandingWhy = d.standing, d.why
			b.PageRule = template.CSS(strings.Replace(string(b.PageRule), ";", ";"+atHead.FindString(d.margins), 1))
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

// binding takes a page apart for a binder.
type binding struct {
	page, prefix string
	at           map[string]string // pages of the binder by path: the ids of their elements
	pictures     map[string][]byte
}

var (
	pageRuleOf = regexp.MustCompile(`^@page\{(size:[^;]+;)((?:@[a-z-]+\{[^{}]*\})*)\}(@media print\{.*\})?$`)
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
			keep = false // for a screen
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
	case to == "" && strings.HasPrefix(fragment, shared):
		return href, true
	case to == "":
		return "#" + x.prefix + fragment, true
	case strings.Contains(to, ":"):
		return "", false
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
