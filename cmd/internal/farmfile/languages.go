package farmfile

import (
	"io/fs"
	"maps"
	"path"
	"reflect"
	"strings"

	"bottlecrop/cmd/internal/protocol"
)

// readTexts reads what authors wrote in other languages, the farm's own over that of
// the base.
func (f *Folder) readTexts(farm, base fs.FS) {
	f.Texts = map[string]map[string]string{}
	if base != nil {
		f.readTextsIn(base, "library/"+protocol.LanguagesFolder, protocol.BuiltIn+"/"+protocol.LanguagesFolder)
	}
	f.OurTexts = map[string]map[string]string{}
	for language, texts := range f.Texts {
		f.OurTexts[language] = maps.Clone(texts)
	}
	own := protocol.Folder + "/" + protocol.LanguagesFolder
	f.readTextsIn(farm, own, own)
}

func (f *Folder) readTextsIn(fsys fs.FS, dir, name string) {
	files, err := fs.Glob(fsys, dir+"/*.toml")
	if err != nil {
		panic(err) // the pattern is ours
	}
	if len(files) > mostLanguages {
		f.out.file("languages.many", name, "", args{"found": len(files), "most": mostLanguages}, "languages_many", nil)
		return
	}
	for _, file := range files {
		if strings.HasPrefix(path.Base(file), ".") {
			continue
		}
		shown := name + "/" + path.Base(file)
		d := read(fsys, file, shown, "", &f.out)
		if d == nil {
			continue
		}
		f.documents[d.name] = layers{d}
		if d.tree == nil {
			continue
		}
		var texts protocol.Texts
		newBinder(layers{d}, reflect.TypeFor[protocol.Texts](), "", &f.out).run(d.tree, reflect.ValueOf(&texts).Elem())
		language, _ := cutTOML(path.Base(file))
		if f.Texts[language] == nil {
			f.Texts[language] = map[string]string{}
		}
		maps.Copy(f.Texts[language], texts.Texts)
	}
}

// TextKey is the path of a text in the file of a language.
func TextKey(original string) string { return under("texts", original) }

// Retold is the folder with other words in place of what authors wrote: own says what
// the farm's files have, ours what the program's own library has. Fingerprints and
// places stay those of the files.
func (f *Folder) Retold(own, ours func(text string, name bool) string) *Folder {
	out := *f
	out.written = f
	out.Farm, out.Orders, out.Results, out.Stock = protocol.Retold(f.Farm, own), protocol.Retold(f.Orders, own), protocol.Retold(f.Results, own), protocol.Retold(f.Stock, own)
	out.Protocols = protocol.Retold(f.Protocols, own)
	say := func(kind, id string) func(string, bool) string {
		if f.Library.ComesWithProgram(kind, id) {
			return ours
		}
		return own
	}
	out.Library.Species = retold(f.Library.Species, "species", say)
	out.Library.Ingredients = retold(f.Library.Ingredients, "ingredient", say)
	out.Library.Vessels = retold(f.Library.Vessels, "vessel", say)
	out.Library.Sterilizers = retold(f.Library.Sterilizers, "sterilizer", say)
	out.Library.Troubles = retold(f.Library.Troubles, "trouble", say)
	return &out
}

func retold[T any](entries map[string]T, kind string, say func(kind, id string) func(string, bool) string) map[string]T {
	out := make(map[string]T, len(entries))
	for id, x := range entries {
		out[id] = protocol.Retold(x, say(kind, id))
	}
	return out
}
