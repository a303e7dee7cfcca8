package leaf

import (
	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
)

// part is a part of a guide under one heading; the first has none. A word is a
// term of a definition list with what it means.
type part struct {
	title, id, text string
	word            bool
}

// parts cuts a guide at its headings, and lists the words that it defines.
func (t Text) parts() (title string, parts []part) {
	doc, _ := parseText(t)
	parts, under := []part{{}}, 0
	for n := doc.FirstChild(); n != nil; n = n.NextSibling() {
		h, ok := n.(*ast.Heading)
		switch {
		case ok && n == ast.Node(firstTitle(doc)):
		case ok:
			id, _ := h.AttributeString("id")
			anchor, _ := id.([]byte)
			parts = append(parts, part{title: plainText(h, t.Markdown), id: string(anchor)})
			under = len(parts) - 1
		case n.Kind() == east.KindDefinitionList:
			parts = append(parts, t.defined(n)...)
		default:
			parts[under].text += " " + plainText(n, t.Markdown)
		}
	}
	return t.titleIn(doc), parts
}

// defined lists the words of a definition list.
func (t Text) defined(list ast.Node) []part {
	var out []part
	for n := list.FirstChild(); n != nil; n = n.NextSibling() {
		said := plainText(n, t.Markdown)
		if n.Kind() == east.KindDefinitionTerm {
			id, _ := n.AttributeString("id")
			anchor, _ := id.([]byte)
			out = append(out, part{title: said, id: string(anchor), word: true})
		} else if len(out) > 0 {
			out[len(out)-1].text += " " + said
		}
	}
	return out
}
