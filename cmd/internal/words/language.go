package words

import (
	"embed"
	"errors"
	"fmt"
	"path"
	"strings"
)

// Original is the language that our own texts are written in: those of the catalogs
// in Go, of the library and of the program's guides.
const Original = "en"

// catalogs are the other languages, one file each: "id = template" a line, in the order
// of the ids; lines that begin with # are remarks. \n is a line end.
//
//go:embed catalog/*.txt
var catalogs embed.FS

// Languages lists the languages that there is a catalog of, the original first.
func Languages() []string {
	out := []string{Original}
	files, err := catalogs.ReadDir("catalog")
	if err != nil {
		panic(err) // it is compiled in
	}
	for _, f := range files {
		out = append(out, strings.TrimSuffix(f.Name(), path.Ext(f.Name())))
	}
	return out
}

// ErrNoLanguage says that no catalog speaks a language.
var ErrNoLanguage = errors.New("words: no catalog of that language")

// entries reads the lines of a catalog.
func entries(text string) (map[string]string, error) {
	out := map[string]string{}
	for i, line := range strings.Split(text, "\n") {
		if line = strings.TrimSuffix(line, "\r"); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		id, template, ok := strings.Cut(line, " = ")
		if !ok {
			if id, ok = strings.CutSuffix(line, " ="); !ok {
				return nil, fmt.Errorf("line %d: %q is not id = template", i+1, line)
			}
		}
		if _, twice := out[id]; twice {
			return nil, fmt.Errorf("line %d: message %s stands twice", i+1, id)
		}
		out[id] = strings.ReplaceAll(template, `\n`, "\n")
	}
	return out, nil
}

// Tag is the voice's language as a page states it (BCP 47).
func (v *Voice) Tag() string { return v.tongue.tag }

// Base is the voice's language without its country: that of its catalog.
func (v *Voice) Base() string {
	base, _, _ := strings.Cut(v.tongue.tag, "-")
	return base
}

// Template is a message as it stands in the voice's catalog, with its arguments in
// braces by their names: for those who look a translation over.
func (v *Voice) Template(id string) string {
	var b strings.Builder
	pieces, _ := v.pieces(id)
	for _, p := range pieces {
		switch {
		case p.name == "":
			b.WriteString(p.text)
		case p.words == nil:
			b.WriteString("{" + p.name + "}")
		default:
			b.WriteString("{" + p.name)
			for _, form := range v.tongue.forms() {
				b.WriteString("|" + p.words[form])
			}
			b.WriteString("}")
		}
	}
	return b.String()
}
