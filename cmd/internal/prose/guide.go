// Package prose turns what authors write in Markdown into parts of pages: the guides of
// a farm, and what stands beside the sentences of a step. It is the one that knows
// Markdown, so that package leaf, which sets pages, can run without it.
package prose

import (
	"bytes"
	"fmt"
	"html/template"
	"net/url"
	"path"
	"strings"
	"sync"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Text is a page written in Markdown.
type Text struct {
	Name     string // of the page, "pressure-vessels"
	Document string // the file, for messages
	Markdown []byte
	Pictures map[string]Picture // that it shows, by their path in the folder site
}

// Title is what the page calls itself: its first heading, if that is the
// page's first line and of the first level, else its name.
func (t Text) Title() string {
	doc, _ := parseText(t)
	return t.titleIn(doc)
}

func (t Text) titleIn(doc ast.Node) string {
	if h := firstTitle(doc); h != nil {
		if title := plainText(h, t.Markdown); title != "" {
			return title
		}
	}
	return t.Name
}

// Link is a link of a guide that stays in the book, or that tries to.
type Link struct {
	Written string // as it stands in the Markdown
	Path    string // of the page, relative to the book's root; "" for a link that can lead nowhere
}

// Links lists the links of a page to other pages of the book, in their order.
func (t Text) Links() []Link {
	doc, _ := parseText(t)
	g := guide{folder: path.Dir(leaf.GuidePath(t.Name))}
	var out []Link
	// The walk stops at errors only, and there are none.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		l, ok := n.(*ast.Link)
		if !ok || !entering {
			return ast.WalkContinue, nil
		}
		written, before := string(l.Destination), len(g.links)
		if err := g.link(l); err != nil {
			out = append(out, Link{Written: written})
		} else if len(g.links) > before {
			out = append(out, Link{written, g.links[before]})
		}
		return ast.WalkContinue, nil
	})
	return out
}

// Guide sets a page written in Markdown: tables, the pictures that are given
// with it, no raw HTML, no address that would run something. The links to other pages of the book are
// returned, relative to its root, for the book to hold them to its pages.
func Guide(e leaf.Edition, t Text) (page []byte, links []string, err error) {
	if x, over := TooMuch(t.Markdown); over {
		return nil, nil, fmt.Errorf("%s:%d: %d %s; at most %d are possible", t.Document, x.Line, x.Found, x.Of, x.Most)
	}
	doc, md := parseText(t)
	title := t.titleIn(doc)
	if h := firstTitle(doc); h != nil {
		h.Parent().RemoveChild(h.Parent(), h)
	}
	g := guide{source: t.Markdown, folder: path.Dir(leaf.GuidePath(t.Name)), pictures: t.Pictures}
	if err := g.prepare(doc); err != nil {
		return nil, nil, fmt.Errorf("%s: %w", t.Document, err)
	}
	if t.Name == glossary && e.Voice.Base() != words.Original {
		markOriginals(doc, t.Markdown)
	}
	var b bytes.Buffer
	r := md.Renderer()
	r.AddOptions(renderer.WithNodeRenderers(util.Prioritized(&guideNodes{e.Voice, t.Markdown, "table."}, 100)))
	if err := r.Render(&b, t.Markdown, doc); err != nil {
		return nil, nil, fmt.Errorf("%s: %w", t.Document, err)
	}
	page, err = leaf.Guide(e, t.Name, title, template.HTML(b.String())) // made by goldmark from Markdown, raw HTML left out
	return page, g.links, err
}

func parseText(t Text) (ast.Node, goldmark.Markdown) {
	md := goldmark.New(
		goldmark.WithExtensions(extension.NewTable(extension.WithTableCellAlignMethod(extension.TableCellAlignAttribute)), extension.DefinitionList),
		goldmark.WithParserOptions(parser.WithAutoHeadingID()),
	)
	ctx := parser.NewContext()
	for _, id := range reserved {
		ctx.IDs().Put([]byte(id))
	}
	doc := md.Parser().Parse(text.NewReader(t.Markdown), parser.WithContext(ctx))
	nameTerms(doc, t.Markdown, ctx.IDs())
	return doc, md
}

// nameTerms gives each term of a definition list an id, so that a page can link
// to one word of a glossary. Headings come first: they keep the ids that they had.
func nameTerms(doc ast.Node, source []byte, ids parser.IDs) {
	// The walk stops at errors only, and there are none.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if term, ok := n.(*east.DefinitionTerm); ok && entering {
			term.SetAttributeString("id", ids.Generate([]byte(plainText(term, source)), ast.KindHeading))
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
}

// reserved are the ids of what stands around every page: no heading gets one.
// A table's id has a point, which no heading's has.
var reserved = []string{"main", "sign-danger", "sign-warning", "sign-caution", "sign-notice"}

func firstTitle(doc ast.Node) *ast.Heading {
	if h, ok := doc.FirstChild().(*ast.Heading); ok && h.Level == 1 {
		return h
	}
	return nil
}

// guide walks a parsed page once before it is rendered.
type guide struct {
	source  []byte
	folder  string
	links   []string
	deepest int // level of the last heading

	pictures map[string]Picture
}

// prepare turns signal-word quotes into safety messages, links to Markdown
// files into links to their pages, tables into regions that scroll alone, and
// closes gaps in the levels of headings.
func (g *guide) prepare(doc ast.Node) error {
	var quotes []*ast.Blockquote
	var pictures []*ast.Image
	var bare []*ast.AutoLink // of which the words stay
	g.deepest = 1
	err := ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Heading:
			// The page has one title; headings go down one level at a time.
			n.Level = min(max(n.Level, 2), g.deepest+1, 4)
			g.deepest = n.Level
		case *ast.Blockquote:
			quotes = append(quotes, n)
		case *ast.Image:
			pictures = append(pictures, n)
		case *ast.AutoLink:
			if !autoOpens(n, g.source) {
				bare = append(bare, n)
			}
		case *ast.Link:
			return ast.WalkContinue, g.link(n)
		}
		return ast.WalkContinue, nil
	})
	if err != nil {
		return err
	}
	for _, a := range bare {
		a.Parent().ReplaceChild(a.Parent(), a, ast.NewString(a.Label(g.source)))
	}
	for _, p := range pictures {
		p.Parent().ReplaceChild(p.Parent(), p, g.picture(p))
	}
	for _, q := range quotes {
		if s := safetyOf(q, g.source); s != nil {
			q.Parent().ReplaceChild(q.Parent(), q, s)
		}
	}
	return nil
}

// opens is false for addresses that a page must not lead to: of another scheme than those
// of the web, of mail and of telephones, since any of them may start some program of the
// reader's machine, and of another machine without a scheme, which on a page from the disk
// is a file of that machine's.
func opens(u *url.URL) bool {
	switch u.Scheme {
	case "":
		return u.Host == "" && u.User == nil // "//x@" is still another machine
	case "https", "http":
		return u.Host != ""
	}
	return u.Scheme == "mailto" || u.Scheme == "tel"
}

// address is where a link or a picture leads: what stands in the Markdown with its escapes
// and references resolved, as the renderer does it when it is too late to look.
func address(written []byte) (*url.URL, error) {
	return url.Parse(string(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(written)))))
}

// destination is an address as Markdown has it: what the renderer resolves of it is the
// address again.
func destination(u *url.URL) []byte {
	return []byte(strings.NewReplacer(`\`, `\\`, "&", "&amp;").Replace(u.String()))
}

// autoOpens is opens for an address that stands in the text as it is, <https://example.org>.
func autoOpens(n *ast.AutoLink, source []byte) bool {
	u, err := url.Parse(string(n.URL(source)))
	return n.AutoLinkType == ast.AutoLinkEmail || err == nil && u.Scheme != "" && opens(u)
}

// link makes a link to NAME.md one to NAME.html, and notes links that stay in
// the book.
func (g *guide) link(n *ast.Link) error {
	u, err := address(n.Destination)
	if err != nil {
		return fmt.Errorf("the link %q is no address: %w", n.Destination, err)
	}
	written := n.Destination
	n.Destination = destination(u)
	switch {
	case !opens(u):
		return fmt.Errorf("the link %q leads neither to a page nor to the web: write https, http, mailto or tel before its colon", written)
	case u.Scheme != "" || u.Path == "":
		return nil
	}
	if strings.HasPrefix(u.Path, "/") {
		return fmt.Errorf("the link %q starts with a slash: a book can lie in any folder, so write it relative to this page", written)
	}
	if name, ok := strings.CutSuffix(u.Path, ".md"); ok {
		u.Path = name + ".html"
		n.Destination = destination(u)
	}
	g.links = append(g.links, path.Join(g.folder, u.Path))
	return nil
}

// safetyMessage is a quote that begins with a signal word in bold.
type safetyMessage struct {
	ast.BaseBlock
	signal procedure.Signal
}

var kindSafety = ast.NewNodeKind("SafetyMessage")

func (*safetyMessage) Kind() ast.NodeKind              { return kindSafety }
func (s *safetyMessage) Dump(source []byte, level int) { ast.DumpHelper(s, source, level, nil, nil) }

// signals are the signal words of all languages: a page may be read in a book of another.
var signals = sync.OnceValue(func() map[string]procedure.Signal {
	out := map[string]procedure.Signal{}
	for _, language := range words.Languages() {
		v, err := words.In(language, unit.Metric)
		if err != nil {
			panic(err) // it is compiled in
		}
		for _, s := range []procedure.Signal{procedure.Danger, procedure.Warning, procedure.Caution, procedure.Notice} {
			out[leaf.SignalWord(v, s)] = s
		}
	}
	return out
})

// safetyOf returns the safety message that a quote stands for, its signal word
// taken off, or nil for a plain quote.
func safetyOf(q *ast.Blockquote, source []byte) *safetyMessage {
	p, ok := q.FirstChild().(*ast.Paragraph)
	if !ok {
		return nil
	}
	word, ok := p.FirstChild().(*ast.Emphasis)
	if !ok || word.Level != 2 {
		return nil
	}
	signal, ok := signals()[strings.TrimRight(plainText(word, source), ".:")]
	if !ok {
		return nil
	}
	p.RemoveChild(p, word)
	for t, ok := p.FirstChild().(*ast.Text); ok; t, ok = p.FirstChild().(*ast.Text) {
		t.Segment = t.Segment.TrimLeftSpace(source)
		if !t.Segment.IsEmpty() {
			strengthen(p, t, source)
			break
		}
		p.RemoveChild(p, t) // the signal word stood on a line of its own
	}
	s := &safetyMessage{signal: signal}
	for c := q.FirstChild(); c != nil; c = q.FirstChild() {
		s.AppendChild(s, c)
	}
	return s
}

// strengthen sets the first sentence of a safety message, the hazard, heavier
// than what it does and how to avoid it.
func strengthen(p *ast.Paragraph, t *ast.Text, source []byte) {
	first, rest := leaf.Sentences(string(t.Segment.Value(source)))
	if len(rest) == 0 {
		return
	}
	cut := t.Segment.Start + len(first)
	hazard := ast.NewEmphasis(2)
	hazard.AppendChild(hazard, ast.NewTextSegment(text.NewSegment(t.Segment.Start, cut)))
	p.InsertBefore(p, t, hazard)
	t.Segment = t.Segment.WithStart(cut)
}

// plainText is the words of a node without their marks.
func plainText(n ast.Node, source []byte) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			switch n := n.(type) {
			case *ast.Text:
				// Code that goes over a line has its end in it.
				b.Write(bytes.ReplaceAll(n.Segment.Value(source), []byte("\n"), []byte(" ")))
				if n.SoftLineBreak() {
					b.WriteByte(' ')
				}
			case *ast.String:
				b.Write(n.Value)
			}
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(b.String())
}

// guideNodes renders what a guide has of its own: safety messages, pictures, and
// tables that scroll alone.
type guideNodes struct {
	voice  *words.Voice
	source []byte
	tables string // what the ids of tables begin with
}

// RegisterFuncs implements renderer.NodeRenderer.
func (g *guideNodes) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(kindSafety, g.safety)
	r.Register(kindPicture, g.shown)
	r.Register(kindOriginal, g.original)
	r.Register(east.KindTable, g.table)
	r.Register(east.KindTableCell, g.cell)
}

func (g *guideNodes) safety(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	signal := n.(*safetyMessage).signal
	if entering {
		word := template.HTMLEscapeString(leaf.SignalWord(g.voice, signal))
		fmt.Fprintf(w, `<div class="safety %s"><p class="signal"><svg class="sign" aria-hidden="true" focusable="false"><use href="#sign-%s"/></svg><span class="signal-word">%s</span></p>`+"\n"+`<div class="safety-text">`, signal, signal, word)
	} else {
		_, _ = w.WriteString("</div></div>\n")
	}
	return ast.WalkContinue, nil
}

// table gives each table a caption: the heading that it stands under, and which
// of several there it is.
func (g *guideNodes) table(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		_, _ = w.WriteString("</table></div>\n")
		return ast.WalkContinue, nil
	}
	number, here := 1, 1
	var heading ast.Node
	for s := n.PreviousSibling(); s != nil; s = s.PreviousSibling() {
		if s.Kind() == ast.KindHeading && heading == nil {
			heading = s
		}
		if s.Kind() == east.KindTable {
			number++
			if heading == nil {
				here++
			}
		}
	}
	caption := g.voice.Say(words.Message("book.guide.table", "n", number))
	if heading != nil {
		caption = plainText(heading, g.source)
		if here > 1 {
			caption = g.voice.Say(words.Message("book.guide.table.next", "heading", caption, "n", here))
		}
	}
	fmt.Fprintf(w, `<div class="wide" tabindex="0" role="region" aria-labelledby="%s%d"><table><caption class="unseen" id="%s%d">%s</caption>`+"\n",
		g.tables, number, g.tables, number, template.HTMLEscapeString(caption))
	return ast.WalkContinue, nil
}

// cell makes the first cell of each row its heading.
func (g *guideNodes) cell(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	tag, attributes := "td", ""
	switch {
	case n.Parent().Kind() == east.KindTableHeader:
		tag, attributes = "th", ` scope="col"`
	case n.PreviousSibling() == nil:
		tag, attributes = "th", ` scope="row"`
	}
	if !entering {
		_, _ = w.WriteString("</" + tag + ">")
		return ast.WalkContinue, nil
	}
	if n.(*east.TableCell).Alignment == east.AlignRight {
		attributes += ` class="number"`
	}
	_, _ = w.WriteString("<" + tag + attributes + ">")
	return ast.WalkContinue, nil
}
