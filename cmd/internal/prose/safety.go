package prose

import (
	"fmt"
	"html/template"
	"strings"
	"sync"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

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
