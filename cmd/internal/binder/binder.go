// Package binder takes apart pages that package leaf has set: a page becomes a part of a
// binder, or a part of a page comes to stand on another. It is the one that reads HTML, so
// that leaf, which writes it, can run without a reader. It puts itself at leaf's disposal;
// who imports it can bind.
package binder

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

	"bottlecrop/cmd/internal/leaf"
)

func init() { leaf.UseTaker(taker{}) }

// taker implements leaf.Taker.
type taker struct{}

// binding is what a page is taken apart for.
type binding struct{ leaf.Binding }

// bound is a page that is being taken apart.
type bound struct{ leaf.BoundPage }

var pageRuleOf = regexp.MustCompile(`^@page\{(size:[^;]+;(?:font-size:[^;]+;)?)((?:@[a-z-]+\{[^{}]*\})*)\}(@media print\{.*\})?$`)

// Bind takes out of a page its title, its page rule and what is in its main element.
func (taker) Bind(of leaf.Binding, page []byte) (leaf.BoundPage, error) {
	x := binding{of}
	var d bound
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
			d.Control = append(d.Control, "")
			text = &d.Control[len(d.Control)-1]
		case kind == html.EndTagToken && (t.DataAtom == atom.Title || t.DataAtom == atom.Style || t.DataAtom == atom.P):
			text = nil
		case kind == html.TextToken && text != nil:
			*text += t.Data
		}
	}
	m := pageRuleOf.FindStringSubmatch(rule)
	if body.Len() == 0 || d.Title == "" || m == nil {
		return d.BoundPage, fmt.Errorf("a page without a title, a main part and a page rule can't be bound")
	}
	d.Size, d.Margins, d.Laid = m[1], m[2], m[3]
	d.Title, _, _ = strings.Cut(d.Title, " · ") // the book's name follows
	d.DocumentID = strings.TrimSpace(identity)
	d.Standing, d.Why = strings.TrimSpace(d.Standing), strings.TrimSpace(d.Why)
	if d.Heading = strings.Join(strings.Fields(d.Heading), " "); d.Heading == "" {
		d.Heading = d.Title
	}
	d.Body = template.HTML(body.String())
	return d.BoundPage, nil
}

// note takes down what the contents and the cover say of a page: its first heading,
// what kind of document it is, and whether nobody may work from it. said is where
// text goes that comes next, nil for nowhere, before the token and after it.
func (d *bound) note(kind html.TokenType, t html.Token, said *string) *string {
	class := attribute(t, "class")
	switch {
	case kind == html.TextToken && said != nil:
		*said += t.Data
	case kind == html.StartTagToken && t.DataAtom == atom.H1 && d.Heading == "":
		return &d.Heading
	case kind == html.StartTagToken && class == "document-kind" && d.What == "":
		return &d.What
	case kind == html.StartTagToken && class == "not-in-force" && d.Why == "":
		return &d.Standing
	case kind == html.EndTagToken && t.DataAtom == atom.Strong && said == &d.Standing:
		return &d.Why
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
				names[i] = x.Prefix + n
			}
			a.Val = strings.Join(names, " ")
		case a.Key == "href":
			a.Val, keep = x.link(a.Val)
		case a.Key == "src":
			a.Val, keep = x.picture(a.Val)
		case a.Key == "autofocus", a.Key == "tabindex", a.Key == "name":
			keep = x.From != "" // for a screen
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
	case to == "" && (x.From != "" || strings.HasPrefix(fragment, shared)):
		return href, true
	case to == "":
		return "#" + x.Prefix + fragment, true
	case strings.Contains(to, ":"):
		return href, x.From != ""
	case x.From != "":
		return path.Join(x.From, to) + strings.TrimPrefix(href, to), true
	}
	to, _, _ = strings.Cut(to, "?")
	id, ok := x.At[path.Join(path.Dir(x.Page), to)]
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
	name := path.Join(path.Dir(x.Page), src)
	data, ok := x.Pictures[name]
	if !ok {
		return "", false
	}
	return "data:" + mime.TypeByExtension(path.Ext(name)) + ";base64," + base64.StdEncoding.EncodeToString(data), true
}

// Part is a part of a page as it stands in another: with ids of its own, its links
// leading to where they led, and without headings where those are said beside it.
func (taker) Part(of leaf.Binding, source []byte) template.HTML {
	x := binding{of}
	var out strings.Builder
	z := html.NewTokenizer(bytes.NewReader(source))
	for {
		kind := z.Next()
		if kind == html.ErrorToken {
			return template.HTML(out.String()) // the end, for what is read is in memory
		}
		raw := string(z.Raw())
		t := z.Token()
		flat := x.Flat && headings[t.DataAtom]
		switch {
		case flat && kind == html.EndTagToken:
			out.WriteString("</p>")
		case flat && kind == html.StartTagToken:
			class := strings.TrimSpace("half-head " + attribute(t, "class"))
			t.Data, t.DataAtom = "p", atom.P
			t.Attr = slices.DeleteFunc(t.Attr, func(a html.Attribute) bool { return a.Key == "class" })
			t.Attr = append(t.Attr, html.Attribute{Key: "class", Val: class})
			out.WriteString(x.tag(t))
		case kind == html.StartTagToken || kind == html.SelfClosingTagToken:
			out.WriteString(x.tag(t))
		default:
			out.WriteString(raw)
		}
	}
}

var headings = map[atom.Atom]bool{atom.H1: true, atom.H2: true, atom.H3: true, atom.H4: true, atom.H5: true, atom.H6: true}
