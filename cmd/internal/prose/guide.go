// Package prose turns what authors write in Markdown into parts of pages: the guides of
// a farm, and what stands beside the sentences of a step. It is the one that knows
// Markdown, so that package leaf, which sets pages, can run without it.
package prose

import (
	"bytes"
	"fmt"
	"html/template"
	"path"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"bottlecrop/cmd/internal/leaf"
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

// Links lists the links of a page to other pages of the book, in their order. Of its
// title, the words alone are shown.
func (t Text) Links() []Link {
	doc, _ := parseText(t)
	takeTitle(doc)
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
	takeTitle(doc)
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

// takeTitle takes the title out of a page, which stands above it.
func takeTitle(doc ast.Node) {
	if h := firstTitle(doc); h != nil {
		doc.RemoveChild(doc, h)
	}
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
