package words

// What is said of the languages of a farm.
var languageEnglish = map[string]string{
	"language.name": "English", // of this language, in this language

	"unit.times": "times", // behind a factor, "2.5 times": the one unit that is a word

	"farmfile.language_tag":      "{key:text} has {found:text}, which is no tag of a language",
	"farmfile.hint.language_tag": `write "en", "es", or with the country "es-MX" (BCP 47)`,

	"language.none":      "{found:text} is a language that no page can be printed in",
	"language.none.hint": "take one of {list:text}, with or without a country",
	"language.one":       "{found:text} and {other:text} differ in the country alone",
	"language.one.hint":  "keep one of them",

	"language.missing":      "no text in {language:text} for {text:text}; the original is printed, marked [{original:text}]",
	"language.missing.hint": "put it under [texts] in {file:text}, the original as the key",
	"language.idle":         "stands for a text that no file of the farm has",
	"language.idle.hint":    "compare it with the original, which may have changed, and mend the key or take the line out",
	"language.many":         "there are more than {most:count} texts in this file",
	"language.many.hint":    "take out those of which the original is gone: bottlecrop check names them",
	"language.long":         "this text has {found:count|character|characters}; at most {most:count} are possible",
	"language.long.hint":    "make it about as long as the original",
	"language.facts":        "names {found:text}, where the original names {wanted:text}",
	"language.facts.hint":   "name the same facts in braces, in whatever order",
	"language.nothing":      "none",
	"language.file":         "texts in {found:text}, which farm.toml does not list",
	"language.file.hint":    `add it to languages in protocols/farm.toml, or take the file away`,
	"language.guide":        "no {file:text}: the book in {language:text} has this page as it stands",
	"language.guide.hint":   "write it, with the same structure",
}
