package leaf

import (
	"crypto/sha256"
	"encoding/base64"
	"html/template"
	"io/fs"
	"regexp"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/templates"
)

// LoneSheet sets the worker's sheet as one page that stands on its own: it
// carries the stylesheet, the font and its record, and has no links to other pages. No
// code leads from it to the book, whose sheet may have other amounts or be of no such
// size.
func LoneSheet(e Edition, p procedure.Procedure, method Method) ([]byte, error) {
	style, err := e.loneStyle()
	if err != nil {
		return nil, err
	}
	e.Address = ""
	e.AnySize = false // it has no script
	s := e.sheet(p, method)
	s.Lone, s.Style = true, style
	// It may be of a size that no book has a record for, so it brings its own.
	record := e.record(p)
	s.Record = &record
	for _, st := range s.Stations {
		for i, x := range st.Steps {
			st.Steps[i].Cards = nil // the pages that they lead to
			st.Steps[i].Prose = e.prose(x.Step.Prose, x.Number, true)
		}
	}
	s.Policy = "default-src 'none'; style-src " + hashOf(style) + " " + hashOf(s.PageRule) +
		"; font-src data:; base-uri 'none'; form-action 'none'"
	return e.html("sheet", s)
}

var fontURL = regexp.MustCompile(`url\("(fonts/[^"]+)"\)`)

// loneStyle is the book's stylesheet with its fonts inside.
func (e Edition) loneStyle() (template.CSS, error) {
	css, err := e.Stylesheet()
	if err != nil {
		return "", err
	}
	var missing error
	css = fontURL.ReplaceAllFunc(css, func(url []byte) []byte {
		font, err := fs.ReadFile(templates.Files, string(fontURL.FindSubmatch(url)[1]))
		if err != nil {
			missing = err
		}
		return []byte(`url("data:font/woff2;base64,` + base64.StdEncoding.EncodeToString(font) + `")`)
	})
	return template.CSS(css), missing
}

// hashOf is what a policy calls a style element with that text.
func hashOf(style template.CSS) string {
	sum := sha256.Sum256([]byte(style))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
