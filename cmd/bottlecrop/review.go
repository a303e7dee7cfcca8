package main

import (
	"bytes"
	"path"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/review"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// reviewOf is what a native reader looks over of the farm in one of its languages, and
// whether one has; nil where nothing is translated into that language. It takes all
// messages of both languages, so it is worked out once.
func (f *farm) reviewOf(tag string) *leaf.Review {
	if known, asked := f.reviews[tag]; asked {
		return known
	}
	if f.reviews == nil {
		f.reviews = map[string]*leaf.Review{}
	}
	f.reviews[tag] = f.reviewIn(tag)
	return f.reviews[tag]
}

func (f *farm) reviewIn(tag string) *leaf.Review {
	set := review.New(f.safetyTexts(tag), f.safetyPages(tag))
	if set.Empty() {
		return nil
	}
	out := &leaf.Review{Set: set}
	for _, r := range f.written.Farm.Reviewed {
		if base(r.Language) == base(tag) {
			out.By, out.On, out.Current = r.By, r.On, r.Texts == set.Fingerprint()
		}
	}
	return out
}

// safetyTexts are those of the program that are not written in the language, and those
// of the farm's authors where the farm's files are not.
func (f *farm) safetyTexts(tag string) []review.Text {
	language, first := base(tag), base(f.languages()[0])
	var out []review.Text
	if told, err := words.In(tag, unit.Metric); err == nil && language != words.Original {
		out = review.Messages(words.English(unit.Metric), told)
	}
	say := func(text string) string {
		if t, ok := f.written.Texts[language][text]; ok {
			return t
		}
		return text
	}
	add := func(document, prefix, written string, v any) {
		if written != language {
			out = append(out, review.Authored(document, prefix, written, v, say)...)
		}
	}
	add(protocol.FarmDocument, "", first, f.written.Farm)
	for _, p := range f.written.Protocols {
		add(protocol.Document(p.Name), "", first, p)
	}
	f.eachEntry(func(kind, id string, entry any) {
		if f.written.Library.ComesWithProgram(kind, id) {
			add(protocol.BuiltIn, kind+"."+id, words.Original, entry)
			return
		}
		document, prefix := f.folder.Entry(kind, id)
		add(document, prefix, first, entry)
	})
	return out
}

// safetyPages are the guides with safety messages that are translated: those of the farm
// beside the book's first language, the program's own beside English.
func (f *farm) safetyPages(tag string) []review.Page {
	language, first := base(tag), base(f.languages()[0])
	var out []review.Page
	originals, ours := ourGuides(words.Original), ourGuides(language)
	for i, g := range f.guides {
		original, told := g, g
		switch {
		case language != first && i < len(f.elsewhere[language]):
			told = f.elsewhere[language][i]
		case language == first && language != words.Original && bytes.Equal(g.Markdown, ours[g.Name]):
			original.Markdown = originals[g.Name]
		}
		if told.Written == "" && !bytes.Equal(original.Markdown, told.Markdown) && review.IsSafety(original.Markdown) {
			out = append(out, review.Page{Name: g.Name, Original: original.Markdown, Told: told.Markdown})
		}
	}
	return out
}

// judgeReview warns where pages say that their safety texts were not looked over.
func (f *farm) judgeReview() {
	for i, tag := range f.languages() {
		r := f.reviewOf(tag)
		if r == nil || r.Current {
			continue
		}
		page := leaf.ReviewPath
		if i > 0 {
			page = path.Join(tag, page)
		}
		v, err := words.In(tag, unit.Metric)
		if err != nil {
			continue // no page is printed in it, which is a finding
		}
		name := v.Say(words.Message("language.name"))
		what := words.Message("language.unreviewed", "name", name)
		if r.By != "" {
			what = words.Message("language.reviewed_before", "name", name, "by", r.By, "on", r.On)
		}
		f.ofLanguages(protocol.Warning, "language.unreviewed", protocol.InFarm(protocol.Item("languages", i)), what,
			words.Message("language.unreviewed.hint", "page", page, "language", tag, "texts", r.Set.Fingerprint()))
	}
	for i, r := range f.written.Farm.Reviewed {
		listed := false
		for _, tag := range f.languages() {
			listed = listed || base(tag) == base(r.Language) && f.reviewOf(tag) != nil
		}
		if !listed {
			f.ofLanguages(protocol.Warning, "language.reviewed_idle", protocol.InFarm(protocol.ReviewedKey(i, "language")),
				words.Message("language.reviewed_idle", "found", r.Language), words.Message("language.reviewed_idle.hint"))
		}
	}
}
