package prose

import (
	"fmt"
	"net/url"
	"path"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"
)

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
	return parsed(string(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(written)))))
}

// parsed parses an address that is one as the renderer escapes it too: the name of a
// machine with a quotation mark is not.
func parsed(text string) (*url.URL, error) {
	u, err := url.Parse(text)
	if err == nil {
		_, err = url.Parse(string(util.URLEscape([]byte(u.String()), false)))
	}
	return u, err
}

// destination is an address as Markdown has it: what the renderer resolves of it is the
// address again.
func destination(u *url.URL) []byte {
	return []byte(strings.NewReplacer(`\`, `\\`, "&", "&amp;").Replace(u.String()))
}

// autoOpens is opens for an address that stands in the text as it is, <https://example.org>
// or <ada@example.org>. What Markdown takes for the name of a mailbox may hold more than one.
func autoOpens(n *ast.AutoLink, source []byte) bool {
	if n.AutoLinkType == ast.AutoLinkEmail {
		u, err := parsed("mailto:" + string(n.URL(source)))
		return err == nil && u.Opaque != "" && u.RawQuery == "" && u.Fragment == ""
	}
	u, err := parsed(string(n.URL(source)))
	return err == nil && u.Scheme != "" && opens(u)
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
