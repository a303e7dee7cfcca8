package prose

import (
	"fmt"
	"html/template"
	"io/fs"
	"net/url"
	"path"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"
)

// Picture is a picture of the farm's own, its size in pixels.
type Picture struct {
	Width, Height int
	Data          []byte
}

// Shown is a picture that a guide shows from the folder that it lies in.
type Shown struct {
	Written string // the address as it stands in the Markdown
	Path    string // in the folder site; "" where it leads out of it
	Words   string // for those who do not see it
}

// Shows lists the pictures of a page, in their order. Those from elsewhere are
// not among them: a book shows none.
func (t Text) Shows() []Shown {
	doc, _ := parseText(t)
	var out []Shown
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if p, ok := n.(*ast.Image); ok && entering {
			if file, local := pictureFile(p); local {
				out = append(out, Shown{string(p.Destination), file, plainText(p, t.Markdown)})
			}
		}
		return ast.WalkContinue, nil
	})
	return out
}

// pictureFile is the file in the folder site that a picture is, "" for one that
// leads out of it. A picture with a scheme or a host is not local.
func pictureFile(p *ast.Image) (file string, local bool) {
	u, err := address(p.Destination)
	if err != nil || u.Scheme != "" || u.Host != "" || u.Path == "" {
		return "", false
	}
	if file = path.Clean(u.Path); !fs.ValidPath(file) {
		return "", true
	}
	return file, true
}

// picture is a picture with its size, so that nothing moves when it comes; of
// one that the book does not have, the words stay.
func (g *guide) picture(p *ast.Image) ast.Node {
	said := plainText(p, g.source)
	file, _ := pictureFile(p)
	if known, ok := g.pictures[file]; ok {
		return &shownPicture{src: (&url.URL{Path: file}).String(), words: said, width: known.Width, height: known.Height}
	}
	return ast.NewString([]byte(said))
}

// shownPicture is a picture of the farm's own.
type shownPicture struct {
	ast.BaseInline
	src, words    string
	width, height int
}

var kindPicture = ast.NewNodeKind("ShownPicture")

func (*shownPicture) Kind() ast.NodeKind              { return kindPicture }
func (s *shownPicture) Dump(source []byte, level int) { ast.DumpHelper(s, source, level, nil, nil) }

func (g *guideNodes) shown(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if p := n.(*shownPicture); entering {
		fmt.Fprintf(w, `<img src="%s" alt="%s" width="%d" height="%d">`,
			template.HTMLEscapeString(p.src), template.HTMLEscapeString(p.words), p.width, p.height)
	}
	return ast.WalkContinue, nil
}
