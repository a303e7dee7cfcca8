package words

// ownEnglish is about what a farm brings of its own: templates, a stylesheet,
// and pictures for its pages.
var ownEnglish = map[string]string{
	"book.foot.own": "Set with this farm's own templates: {files:text}.",

	"command.own_unused": "the farm's own templates were not used: {files:text}; book --own-templates uses them",
	"command.own_used":   "set with the farm's own templates: {files:text}",

	"template.unknown":         "no template of the program is called {found:text}, so nothing would use it",
	"template.unknown.near":    "did you mean {near:text}? A template takes the place of the program's by its file name",
	"template.unknown.hint":    "a template takes the place of the program's by its file name; there are: {known:text}",
	"template.unreadable":      "this template can't be read, or it leads out of the farm folder",
	"template.unreadable.hint": "put the file itself into the folder templates, not a link to another place",
	"template.too_large":       "this template is larger than 1 MiB",
	"template.too_large.hint":  "begin with a copy of the program's template and change what you need",
	"template.not_utf8":        "this template is not UTF-8 text",
	"template.not_utf8.hint":   "save it as UTF-8 in your editor",
	"template.parse":           "this template can't be read: {error:text}",
	"template.parse.hint":      "the syntax is that of Go's package html/template; the README lists the functions and the data",
	"template.run":             "this template fails on the page {page:text}: {error:text}",
	"template.run.hint":        "the README lists the data that each template gets, under Your own templates",
	"template.block":           "the block \"{block:text}\" is missing, and other templates or the program ask for it",
	"template.block.hint":      "write {define:text} … {end:text} into this file",
	"template.block.near":      "write {define:text} … {end:text} into this file; is \"{near:text}\" the same block under a new name?",
	"template.taken":           "the block \"{block:text}\" is one of {file:text}, and would be in this file too",
	"template.taken.hint":      "give the block a name of its own, or put it into templates/{file:text}",

	"picture.missing":      "there is no picture {file:text}",
	"picture.missing.hint": "put it into the folder site and write its name relative to this page",
	"picture.outside":      "the picture {file:text} does not lie in the folder site",
	"picture.outside.hint": "a book takes pictures from the farm's folder site alone: copy it there",
	"picture.name":         "the name of the picture {file:text} can't be an address in every folder",
	"picture.name.hint":    "use letters, digits, hyphens, underscores and points, such as mixer-guard.jpg",
	"picture.kind":         "the picture {file:text} is none that a book shows",
	"picture.kind.hint":    "save it as PNG, JPEG or WebP, with the ending .png, .jpg, .jpeg or .webp",
	"picture.damaged":      "the file {file:text} is not the picture that its ending says",
	"picture.damaged.hint": "open it in an image program and save it anew as PNG, JPEG or WebP",
	"picture.large":        "the picture {file:text} is larger than 4 MiB, or wider or higher than 8,000 pixels",
	"picture.large.hint":   "make it smaller: a book is read on phones, and 1,600 pixels are enough for a page",
	"picture.words":        "the picture {file:text} has no words for those who can't see it",
	"picture.words.hint":   "say between the brackets what it shows: ![The guard on the mixer, closed](mixer-guard.jpg)",
}
