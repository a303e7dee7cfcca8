package leaf

import (
	"bytes"
	"fmt"
	"html/template"
	"maps"
	"net/url"
	"path"
	"regexp"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"bottlecrop/cmd/internal/protocol"
)

// Prose is what an author writes beside the sentences of a step, in Markdown:
// tables, no raw HTML, no pictures. Its links lead to guides of the book, by their
// files, or to the web.
type Prose struct{ Markdown string }

// ProseFault is what is wrong with prose.
type ProseFault struct {
	Rule string // "prose.link" or "prose.caution"
	Of   string // the link, or the signal word
}

// proseLink is where a link of prose leads: to a guide of that name, to the web, or
// nowhere.
func proseLink(l *ast.Link) (guide string, web bool) {
	u, err := url.Parse(string(l.Destination))
	switch {
	case err != nil:
		return "", false
	case u.Scheme == "https" || u.Scheme == "http" || u.Scheme == "mailto":
		return "", true
	case u.Scheme != "" || u.Host != "" || path.Base(u.Path) != u.Path:
		return "", false
	}
	guide, _ = strings.CutSuffix(u.Path, ".md")
	if guide == u.Path {
		return "", false
	}
	return guide, false
}

// Faults lists the links that lead to no guide, and the safety messages: prose
// stands below the action, and a caution has to stand above it.
func (p Prose) Faults(isGuide func(name string) bool) []ProseFault {
	source := []byte(p.Markdown)
	doc := proseMarkdown().Parser().Parse(text.NewReader(source))
	var out []ProseFault
	// The walk stops at errors only, and there are none.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Link:
			if guide, web := proseLink(n); !web && (guide == "" || !isGuide(guide)) {
				out = append(out, ProseFault{"prose.link", string(n.Destination)})
			}
		case *ast.Emphasis:
			if word := strings.TrimRight(plainText(n, source), ".:!"); n.Level == 2 && signals()[word] != "" {
				out = append(out, ProseFault{"prose.caution", word})
			}
		}
		return ast.WalkContinue, nil
	})
	return out
}

func proseMarkdown() goldmark.Markdown {
	return goldmark.New(goldmark.WithExtensions(
		extension.NewTable(extension.WithTableCellAlignMethod(extension.TableCellAlignAttribute)), extension.DefinitionList))
}

// mark is what Markdown would take for a mark.
var mark = regexp.MustCompile("[\\\\`*_\\[\\]<>#|~&]")

// saidProse is prose with its facts said. A name with a star in it is no emphasis.
func (e Edition) saidProse(m protocol.Message) []byte {
	m.Args = maps.Clone(m.Args)
	for name, fact := range m.Args {
		// The text itself has marks that are meant.
		if s, ok := fact.(string); ok && !strings.HasPrefix(name, "\x00") {
			m.Args[name] = mark.ReplaceAllString(s, `\$0`)
		}
	}
	return []byte(e.Voice.Say(m))
}

// prose sets prose below the title of step n, whose headings begin one level
// below it. On a page that stands alone, links to guides are words.
func (e Edition) prose(m protocol.Message, n int, alone bool) template.HTML {
	if m.ID == "" {
		return ""
	}
	source := e.saidProse(m)
	md := proseMarkdown()
	doc := md.Parser().Parse(text.NewReader(source))
	deepest := 3
	var bare []ast.Node // of which the words stay
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Heading:
			n.Level = min(n.Level+3, deepest+1, 6)
			deepest = n.Level
		case *ast.Image:
			bare = append(bare, n)
		case *ast.Link:
			guide, web := proseLink(n)
			switch {
			case web:
			case guide == "" || alone:
				bare = append(bare, n)
			default:
				u, _ := url.Parse(string(n.Destination)) // proseLink has parsed it
				u.Path = "../" + GuidePath(guide)
				n.Destination = []byte(u.String())
			}
		}
		return ast.WalkContinue, nil
	})
	for _, x := range bare {
		if x.Parent() != nil {
			x.Parent().ReplaceChild(x.Parent(), x, ast.NewString([]byte(plainText(x, source))))
		}
	}
	var b bytes.Buffer
	nodes := &guideNodes{edition: e, source: source, tables: fmt.Sprintf("step-%d.table.", n)}
	md.Renderer().AddOptions(renderer.WithNodeRenderers(util.Prioritized(nodes, 100)))
	if err := md.Renderer().Render(&b, source, doc); err != nil {
		panic(err) // it comes from the writer alone, and a buffer has none
	}
	return template.HTML(b.String()) // made by goldmark from Markdown, raw HTML left out
}

// proseLines is prose as plain text, one line for each paragraph, item and row.
func (e Edition) proseLines(m protocol.Message) []string {
	if m.ID == "" {
		return nil
	}
	source := e.saidProse(m)
	doc := proseMarkdown().Parser().Parse(text.NewReader(source))
	var out []string
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Paragraph, *ast.Heading, *ast.TextBlock, *east.DefinitionTerm:
			line := plainText(n, source)
			if item, ok := n.Parent().(*ast.ListItem); ok && item.FirstChild() == n {
				line = "- " + line
			}
			out = append(out, line)
			return ast.WalkSkipChildren, nil
		case *ast.CodeBlock, *ast.FencedCodeBlock:
			for i := range n.Lines().Len() {
				at := n.Lines().At(i)
				out = append(out, strings.TrimRight(string(at.Value(source)), "\n"))
			}
			return ast.WalkSkipChildren, nil
		case *east.TableRow, *east.TableHeader:
			var cells []string
			for c := n.FirstChild(); c != nil; c = c.NextSibling() {
				cells = append(cells, plainText(c, source))
			}
			out = append(out, strings.Join(cells, " | "))
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
	return out
}
