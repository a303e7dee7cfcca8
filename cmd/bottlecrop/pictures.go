package main

import (
	"bytes"
	"image"
	_ "image/jpeg" // registers its decoder
	_ "image/png"  // registers its decoder
	"io/fs"
	"path"
	"regexp"
	"strings"

	_ "golang.org/x/image/webp" // registers its decoder

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// What pictures may measure. A page is read on phones, and a book of them is
// held in memory while it is made. Design choices.
const (
	mostOfAPicture = 4 << 20  // bytes
	mostPictures   = 64 << 20 // bytes of all
	mostPixels     = 8000     // wide or high
)

// pictureKinds are the endings of pictures, with what the decoders call them.
// No SVG: it is a document that can run scripts and load others.
var pictureKinds = map[string]string{".png": "png", ".jpg": "jpeg", ".jpeg": "jpeg", ".webp": "webp"}

var pictureName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]*(/[A-Za-z0-9][A-Za-z0-9._-]*)*$`)

// pictures reads the pictures that the guides of the farm's folder show. The
// program's own pages have none.
func (f *farm) pictures() {
	read := map[string]prose.Picture{}
	size := 0
	for i := range f.guides {
		g := &f.guides[i]
		for _, shown := range (prose.Text{Name: g.Name, Document: g.Document, Markdown: g.Markdown}).Shows() {
			fail := func(wrong string) { f.pictureFault(*g, shown, wrong) }
			if shown.Words == "" {
				fail("words")
			}
			p, known := read[shown.Path]
			if !known {
				var wrong string
				if p, wrong = f.picture(shown.Path); wrong != "" {
					fail(wrong)
					continue
				}
				if size += len(p.Data); size > mostPictures {
					fail("total")
					return
				}
				read[shown.Path] = p
			}
			if g.Pictures == nil {
				g.Pictures = map[string]prose.Picture{}
			}
			g.Pictures[shown.Path] = p
		}
	}
}

// picture reads one picture, or says what is wrong with it: the end of the
// message's id.
func (f *farm) picture(file string) (p prose.Picture, wrong string) {
	kind, ok := pictureKinds[strings.ToLower(path.Ext(file))]
	switch {
	case file == "":
		return p, "outside"
	case !ok:
		return p, "kind"
	case !pictureName.MatchString(file):
		return p, "name"
	}
	file = path.Join("site", file)
	info, err := fs.Stat(f.fsys, file)
	switch {
	case err != nil || !info.Mode().IsRegular():
		return p, "missing"
	case info.Size() > mostOfAPicture:
		return p, "large"
	}
	data, err := fs.ReadFile(f.fsys, file)
	if err != nil {
		return p, "missing"
	}
	// The head alone is read: what a decoder would make of the rest could be far
	// larger than the file.
	head, found, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case err != nil || found != kind || head.Width < 1 || head.Height < 1:
		return p, "damaged"
	case head.Width > mostPixels || head.Height > mostPixels:
		return p, "large"
	}
	return prose.Picture{Width: head.Width, Height: head.Height, Data: data}, ""
}

func (f *farm) pictureFault(g book.Guide, shown prose.Shown, wrong string) {
	name := shown.Path
	if name == "" {
		name = shown.Written
	}
	f.findings = append(f.findings, protocol.Finding{
		Severity: protocol.Error, Rule: "picture." + wrong,
		Place: spot(g.Document, string(g.Markdown), "](", shown.Written),
		What:  words.Message("picture."+wrong, "file", name), Hint: words.Message("picture." + wrong + ".hint"),
	})
}
