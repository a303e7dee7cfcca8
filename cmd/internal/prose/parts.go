package prose

import (
	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"bottlecrop/cmd/internal/leaf"
)

// Parts cuts a guide at its headings, and lists the words that it defines.
func (t Text) Parts() leaf.GuideParts {
	doc, _ := parseText(t)
	parts, under := []leaf.GuidePart{{}}, 0
	for n := doc.FirstChild(); n != nil; n = n.NextSibling() {
		h, ok := n.(*ast.Heading)
		switch {
		case ok && n == ast.Node(firstTitle(doc)):
		case ok:
			parts = append(parts, leaf.GuidePart{Title: plainText(h, t.Markdown), ID: idOf(h)})
			under = len(parts) - 1
		case n.Kind() == east.KindDefinitionList:
			parts = append(parts, t.defined(n)...)
		default:
			parts[under].Text += " " + plainText(n, t.Markdown)
		}
	}
	return leaf.GuideParts{Name: t.Name, Title: t.titleIn(doc), Parts: parts}
}

// defined lists the words of a definition list.
func (t Text) defined(list ast.Node) []leaf.GuidePart {
	var out []leaf.GuidePart
	for n := list.FirstChild(); n != nil; n = n.NextSibling() {
		said := plainText(n, t.Markdown)
		if n.Kind() == east.KindDefinitionTerm {
			out = append(out, leaf.GuidePart{Title: said, ID: idOf(n), Word: true})
		} else if len(out) > 0 {
			out[len(out)-1].Text += " " + said
		}
	}
	return out
}

func idOf(n ast.Node) string {
	id, _ := n.AttributeString("id")
	anchor, _ := id.([]byte)
	return string(anchor)
}
