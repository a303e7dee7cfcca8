package prose

import (
	"bytes"
	"fmt"
	"path"
	"strings"
	"sync"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/words"
)

// What an author writes beside the sentences of a step has tables, no raw HTML, no
// pictures. Its links lead to guides of the book, by their files, or to the web.

// Fault is what is wrong with the prose of a step.
type Fault struct {
	Rule string // "prose.link" or "prose.caution"
	Of   string // the link, or the signal word
}

// linkOf is where a link of a step's prose leads: to a guide of that name, to the web,
// or nowhere.
func linkOf(l *ast.Link) (guide string, web bool) {
	u, err := address(l.Destination)
	switch {
	case err != nil:
		return "", false
	case u.Scheme != "" && opens(u):
		return "", true
	case u.Scheme != "" || !opens(u) || path.Base(u.Path) != u.Path:
		return "", false
	}
	guide, _ = strings.CutSuffix(u.Path, ".md")
	if guide == u.Path {
		return "", false
	}
	return guide, false
}

// Faults lists the links of a step's prose that lead to no guide, and the safety
// messages: prose stands below the action, and a caution has to stand above it.
func Faults(markdown string, isGuide func(name string) bool) []Fault {
	source := []byte(markdown)
	doc := stepMarkdown().Parser().Parse(text.NewReader(source))
	var out []Fault
	// The walk stops at errors only, and there are none.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Link:
			if guide, web := linkOf(n); !web && (guide == "" || !isGuide(guide)) {
				out = append(out, Fault{"prose.link", string(n.Destination)})
			}
		case *ast.Emphasis:
			if word := strings.TrimRight(plainText(n, source), ".:!"); n.Level == 2 && signals()[word] != "" {
				out = append(out, Fault{"prose.caution", word})
			}
		}
		return ast.WalkContinue, nil
	})
	return out
}

func stepMarkdown() goldmark.Markdown {
	return goldmark.New(goldmark.WithExtensions(
		extension.NewTable(extension.WithTableCellAlignMethod(extension.TableCellAlignAttribute)), extension.DefinitionList))
}

// In makes the prose of steps ready for pages in a voice, each distinct text once: its
// facts are said when a page is set. The function may be called by several at a time.
func In(v *words.Voice) func(markdown string) leaf.Prose {
	var ready sync.Map // by text
	return func(markdown string) leaf.Prose {
		if p, ok := ready.Load(markdown); ok {
			return p.(leaf.Prose)
		}
		p := read(v, markdown)
		ready.Store(markdown, p)
		return p
	}
}

// read makes prose ready.
func read(v *words.Voice, markdown string) leaf.Prose {
	names, _ := words.Names(markdown) // what is wrong with it is said where the farm's files are judged
	marks := map[string]any{}
	for i, name := range names {
		marks[name] = leaf.FactMark(i)
	}
	source := []byte(v.Say(words.AuthoredProse(markdown, marks)))
	p := leaf.Prose{Facts: names, HTML: setStep(v, source, false), Lines: stepLines(source)}
	if p.Alone = setStep(v, source, true); p.Alone == p.HTML {
		p.Alone = ""
	}
	return p
}

// setStep sets prose below the title of its step: its headings begin one level below
// it. On a page that stands alone, links to guides are words.
func setStep(v *words.Voice, source []byte, alone bool) string {
	md := stepMarkdown()
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
		case *ast.AutoLink:
			if !autoOpens(n, source) {
				bare = append(bare, n)
			}
		case *ast.Link:
			guide, web := linkOf(n)
			switch {
			case web:
				u, _ := address(n.Destination) // linkOf has parsed it
				n.Destination = destination(u)
			case guide == "" || alone:
				bare = append(bare, n)
			default:
				u, _ := address(n.Destination)
				u.Path = "../" + leaf.GuidePath(guide)
				n.Destination = destination(u)
			}
		}
		return ast.WalkContinue, nil
	})
	for _, x := range bare {
		if x.Parent() != nil {
			words := []byte(plainText(x, source))
			if a, ok := x.(*ast.AutoLink); ok {
				words = a.Label(source)
			}
			x.Parent().ReplaceChild(x.Parent(), x, ast.NewString(words))
		}
	}
	var b bytes.Buffer
	nodes := &guideNodes{voice: v, source: source, tables: fmt.Sprintf("step-%s.table.", leaf.StepMark)}
	md.Renderer().AddOptions(renderer.WithNodeRenderers(util.Prioritized(nodes, 100)))
	if err := md.Renderer().Render(&b, source, doc); err != nil {
		panic(err) // it comes from the writer alone, and a buffer has none
	}
	return b.String()
}

// stepLines is prose as plain text, one line for each paragraph, item and row.
func stepLines(source []byte) []string {
	doc := stepMarkdown().Parser().Parse(text.NewReader(source))
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
