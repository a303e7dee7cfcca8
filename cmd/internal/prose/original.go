package prose

import (
	"bytes"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"bottlecrop/cmd/internal/words"
)

// glossary is the guide whose words have the original behind them in other languages,
// "día 0 (day 0)": a crew of two languages finds either.
const glossary = "glossary"

// originalWord is such an original, in a language of its own.
type originalWord struct {
	ast.BaseInline
	text string
}

var kindOriginal = ast.NewNodeKind("OriginalWord")

func (*originalWord) Kind() ast.NodeKind              { return kindOriginal }
func (o *originalWord) Dump(source []byte, level int) { ast.DumpHelper(o, source, level, nil, nil) }

// markOriginals sets the originals behind the words of a glossary apart.
func markOriginals(doc ast.Node, source []byte) {
	// The walk stops at errors only, and there are none.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		term, ok := n.(*east.DefinitionTerm)
		if !ok || !entering {
			return ast.WalkContinue, nil
		}
		if last, ok := term.LastChild().(*ast.Text); ok {
			said := last.Segment.Value(source)
			if open := bytes.LastIndex(said, []byte(" (")); open >= 0 && bytes.HasSuffix(said, []byte(")")) {
				last.Segment = text.NewSegment(last.Segment.Start, last.Segment.Start+open+2)
				term.AppendChild(term, &originalWord{text: string(said[open+2 : len(said)-1])})
				term.AppendChild(term, ast.NewString([]byte(")")))
			}
		}
		return ast.WalkSkipChildren, nil
	})
}

func (g *guideNodes) original(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		_, _ = w.WriteString(`<span lang="` + words.Original + `">` + string(util.EscapeHTML([]byte(n.(*originalWord).text))) + `</span>`)
	}
	return ast.WalkContinue, nil
}
