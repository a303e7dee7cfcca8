package main

import (
	"bytes"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/sync/errgroup"
	"golang.org/x/text/language"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
	"bottlecrop/site"
)

// languages are those of the farm's book by their tags, the one that its files are
// written in first.
func (f *farm) languages() []string {
	if len(f.written.Farm.Languages) == 0 {
		return []string{words.Original}
	}
	return f.written.Farm.Languages
}

// base is a language without its country: that of a catalog, of a file of texts, of a
// folder of guides.
func base(tag string) string {
	b, _ := language.Make(tag).Base()
	return b.String()
}

// speak finds the farm's voice. A language that there is no catalog of is a finding, and
// the voice is English.
func (f *farm) speak(units unit.System) {
	v, err := words.In(f.languages()[0], units)
	if err != nil {
		v = words.English(units)
	}
	f.voice = v
	for i, tag := range f.languages() {
		at := protocol.InFarm(protocol.Item("languages", i))
		switch _, err := words.In(tag, units); {
		case errors.Is(err, words.ErrNoLanguage):
			f.ofLanguages(protocol.Error, "language.none", at, words.Message("language.none", "found", tag),
				words.Message("language.none.hint", "list", strings.Join(words.Languages(), ", ")))
		case err != nil:
			continue // no tag, which the reader has refused
		}
		for _, other := range f.languages()[:i] {
			if base(other) == base(tag) {
				f.ofLanguages(protocol.Error, "language.one", at, words.Message("language.one", "found", tag, "other", other), words.Message("language.one.hint"))
			}
		}
	}
}

func (f *farm) ofLanguages(severity protocol.Severity, rule string, at working.Origin, what, hint protocol.Message) {
	f.add([]protocol.Finding{{Severity: severity, Rule: rule, Origin: at, What: what, Hint: hint}})
}

// told are the farm's texts in a language: what authors wrote, and what comes with the
// program. What there is no text of is the original, with its language behind it.
func (f *farm) told(tag string) (own, library func(text string, name bool) string) {
	texts, ours := f.written.Texts[base(tag)], f.written.OurTexts[base(tag)]
	v, err := words.In(tag, unit.Metric)
	if err != nil {
		v = words.English(unit.Metric) // it is no language of ours, which is a finding
	}
	from := func(original string) func(string, bool) string {
		return func(text string, name bool) string {
			if original == base(tag) {
				return text
			}
			if t, ok := texts[text]; ok {
				// Our own are written with points, for es and es-MX alike.
				if ours[text] == t {
					return v.Decimals(t)
				}
				return t
			}
			if name {
				return text
			}
			return text + unit.Space + "[" + original + "]"
		}
	}
	return from(base(f.languages()[0])), from(words.Original)
}

// printed are guides as the book has them: our own with the decimal sign of its language.
func (f *farm) printed(guides []book.Guide) []book.Guide {
	out, ours := slices.Clone(guides), ourGuides(f.voice.Base())
	for i, g := range out {
		if bytes.Equal(g.Markdown, ours[g.Name]) {
			out[i].Markdown = []byte(f.voice.Decimals(string(g.Markdown)))
		}
	}
	return out
}

// in is the farm in another of its languages, worked out from the same files.
func (f *farm) in(tag string, sizes ...int) (*farm, error) {
	out, err := f.retold(tag)
	if err == nil {
		out.workOut(sizes)
		out.judgeRooms()
		out.judgeHygiene()
		out.handOut()
	}
	return out, err
}

// voiceIn is the voice in another of the farm's languages.
func (f *farm) voiceIn(tag string) (*words.Voice, error) {
	return words.In(tag, f.voice.Units().WithPoint())
}

// retold is the farm in another of its languages, with nothing worked out.
func (f *farm) retold(tag string) (*farm, error) {
	v, err := f.voiceIn(tag)
	if err != nil {
		return nil, err
	}
	own, ours := f.told(tag)
	out := &farm{fsys: f.fsys, written: f.written, folder: f.written.Retold(own, ours), voice: v, guides: f.elsewhere[base(tag)], sources: f.sources, prints: f.prints, own: f.own, inForce: f.inForce, memory: f.memory, all: f.all}
	if f.all == nil { // a part of a farm has not all that is looked over
		out.review = f.reviewOf(tag)
	}
	for _, e := range f.evidence {
		e.Evidence = protocol.Retold(e.Evidence, own)
		out.evidence = append(out.evidence, e)
	}
	return out, nil
}

// others begins to open the farm in each of its other languages, one after the other beside
// what its caller does, and gives what waits for them.
func (f *farm) others(sizes []int) func() ([]*farm, error) {
	var out []*farm
	var beside errgroup.Group
	beside.Go(func() error {
		for _, tag := range f.languages()[1:] {
			t, err := f.in(tag, sizes...)
			if err != nil {
				return err
			}
			out = append(out, t)
		}
		return nil
	})
	return func() ([]*farm, error) {
		err := beside.Wait()
		return out, err
	}
}

// foreignPages reads the guides in the farm's other languages: the program's own, unless
// the farm has put a page of its own in their place, and those of site/LANGUAGE.
func (f *farm) foreignPages() {
	f.elsewhere = map[string][]book.Guide{}
	for _, tag := range f.languages()[1:] {
		first, ours := ourGuides(base(f.languages()[0])), ourGuides(base(tag))
		for _, g := range f.guides {
			told := ours[g.Name]
			if !bytes.Equal(first[g.Name], g.Markdown) {
				told = nil // the farm has a page of its own in its place
			}
			f.elsewhere[base(tag)] = append(f.elsewhere[base(tag)], f.foreign(g, base(tag), told))
		}
	}
}

// ourGuides are the program's own guides in a language by name; those that it has not
// in that language are not among them.
func ourGuides(language string) map[string][]byte {
	pattern := "*.md"
	if language != words.Original {
		pattern = language + "/*.md"
	}
	files, err := fs.Glob(site.Pages, pattern)
	if err != nil {
		panic(err) // a tag has no sign that means anything in a pattern
	}
	out := map[string][]byte{}
	for _, file := range files {
		text, err := fs.ReadFile(site.Pages, file)
		if err != nil {
			panic(err) // it is compiled in
		}
		out[guideName(file)] = text
	}
	return out
}

// foreign is a guide in another language: the farm's own, or else ours; the guide itself
// where there is neither.
func (f *farm) foreign(g book.Guide, language string, ours []byte) book.Guide {
	file := "site/" + language + "/" + g.Name + ".md"
	if _, err := fs.Stat(f.fsys, file); err == nil {
		text, fault := f.page(file)
		if fault == nil {
			return book.Guide{Name: g.Name, Markdown: text, Document: file}
		}
		f.findings = append(f.findings, *fault)
		return g
	}
	if ours != nil {
		return book.Guide{Name: g.Name, Markdown: ours, Document: file}
	}
	x := protocol.Finding{Severity: protocol.Warning, Rule: "language.guide", Place: protocol.Place{File: g.Document},
		What: words.Message("language.guide", "file", file, "language", language), Hint: words.Message("language.guide.hint")}
	f.findings = append(f.findings, x)
	g.Written = f.languages()[0]
	return g
}

// What a farm may have of texts in one other language (design choices). The longest that a
// protocol may have is prose of a step, with 4,000 characters; other languages need more room.
const (
	mostTexts   = 10_000
	longestText = 8_000 // characters
)

// judgeTexts finds what authors wrote that has no text in another of the farm's
// languages, texts of something that is not there any more, and texts that name other
// facts than their original.
func (f *farm) judgeTexts() {
	original := base(f.languages()[0])
	type written struct {
		at   working.Origin
		text string
	}
	var originals []written
	ours := sync.OnceValue(f.ourTexts)
	used := map[string]bool{}
	f.eachText(func(o working.Origin, text string, name bool) {
		used[text] = true
		if !name {
			originals = append(originals, written{o, text})
		}
	})
	for _, tag := range f.languages() {
		language := base(tag)
		texts := f.written.Texts[language]
		document := protocol.TextsDocument(language)
		for _, x := range originals {
			if _, ok := texts[x.text]; !ok && language != original {
				f.ofLanguages(protocol.Warning, "language.missing", x.at,
					words.Message("language.missing", "language", language, "text", beginning(x.text), "original", original),
					words.Message("language.missing.hint", "file", document))
			}
		}
		written := 0
		for _, text := range sorted(texts) {
			at := working.Origin{Document: document, Key: farmfile.TextKey(text)}
			if f.folder.Place(at).Line == 0 {
				continue // of the program's own
			}
			if written++; written > mostTexts {
				f.ofLanguages(protocol.Error, "language.many", working.Origin{Document: document}, words.Message("language.many", "most", mostTexts), words.Message("language.many.hint"))
				break
			}
			if n := utf8.RuneCountInString(texts[text]); n > longestText {
				f.ofLanguages(protocol.Error, "language.long", at, words.Message("language.long", "found", n, "most", longestText), words.Message("language.long.hint"))
				continue
			}
			if x, over := prose.TooMuch([]byte(texts[text])); over {
				f.ofLanguages(protocol.Error, "language."+x.Of, at, words.Message("page."+x.Of, "found", x.Found, "most", x.Most), words.Message("page."+x.Of+".hint"))
				continue
			}
			if !used[text] && !ours()[text] {
				f.ofLanguages(protocol.Warning, "language.idle", at, words.Message("language.idle"), words.Message("language.idle.hint"))
			}
			wanted, _ := words.Names(text)
			found, err := words.Names(texts[text])
			slices.Sort(wanted)
			slices.Sort(found)
			if err != nil || !slices.Equal(slices.Compact(wanted), slices.Compact(found)) {
				f.ofLanguages(protocol.Error, "language.facts", at, words.Message("language.facts", "found", named(found), "wanted", named(wanted)), words.Message("language.facts.hint"))
			}
		}
	}
	for _, language := range sorted(f.written.Texts) {
		listed := slices.ContainsFunc(f.languages(), func(tag string) bool { return base(tag) == language })
		if _, err := fs.Stat(f.fsys, protocol.TextsDocument(language)); err == nil && !listed {
			f.findings = append(f.findings, protocol.Finding{Severity: protocol.Warning, Rule: "language.file", Place: protocol.Place{File: protocol.TextsDocument(language)},
				What: words.Message("language.file", "found", language), Hint: words.Message("language.file.hint")})
		}
	}
}

// named is a list of facts in braces.
func named(facts []string) any {
	if len(facts) == 0 {
		return words.Message("language.nothing")
	}
	return "{" + strings.Join(facts, "}, {") + "}"
}

// beginning is the beginning of a text, in quotes.
func beginning(text string) string {
	const most = 60
	line, _, _ := strings.Cut(text, "\n")
	if r := []rune(line); len(r) > most {
		line = string(r[:most]) + "…"
	}
	return `"` + line + `"`
}

// eachText visits what the farm's authors wrote for people, with its place.
func (f *farm) eachText(visit func(o working.Origin, text string, name bool)) {
	in := func(document, prefix string) func(key, text string, name bool) {
		return func(key, text string, name bool) {
			if prefix != "" {
				key = prefix + "." + key
			}
			visit(working.Origin{Document: document, Key: key}, text, name)
		}
	}
	protocol.Prose(f.written.Farm, in(protocol.FarmDocument, ""))
	protocol.Prose(f.written.Orders, in(protocol.OrdersDocument, ""))
	protocol.Prose(f.written.Results, in(protocol.ResultsDocument, ""))
	protocol.Prose(f.written.Stock, in(protocol.StockDocument, ""))
	for _, p := range f.written.Protocols {
		protocol.Prose(p, in(protocol.Document(p.Name), ""))
	}
	f.eachEntry(func(kind, id string, entry any) {
		if !f.written.Library.ComesWithProgram(kind, id) {
			document, prefix := f.folder.Entry(kind, id)
			protocol.Prose(entry, in(document, prefix))
		}
	})
}

// ourTexts are those of the program's own library: a farm may say them in other words.
func (f *farm) ourTexts() map[string]bool {
	out := map[string]bool{}
	f.eachEntry(func(kind, id string, entry any) {
		if f.written.Library.ComesWithProgram(kind, id) {
			protocol.Prose(entry, func(_, x string, _ bool) { out[x] = true })
		}
	})
	return out
}

func (f *farm) eachEntry(visit func(kind, id string, entry any)) {
	l := f.written.Library
	for id, x := range l.Species {
		visit("species", id, x)
	}
	for id, x := range l.Ingredients {
		visit("ingredient", id, x)
	}
	for id, x := range l.Vessels {
		visit("vessel", id, x)
	}
	for id, x := range l.Sterilizers {
		visit("sterilizer", id, x)
	}
	for id, x := range l.Troubles {
		visit("trouble", id, x)
	}
}
