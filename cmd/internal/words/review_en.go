package words

// What is said of translations that a native reader looks over.
var reviewEnglish = map[string]string{
	"book.review":          "Safety texts to look over",
	"book.review.id":       "Safety texts {fingerprint:text}",
	"book.review.kind":     "For a native reader",
	"book.review.known":    "translation review native reader safety caution language",
	"book.review.holds":    "{n:count|safety text|safety texts} beside the original, and {guides:count|guide|guides}",
	"book.review.lead":     "Each text that keeps people from harm, as it was first written and in this language. A word in braces stands for what a page puts there.",
	"book.review.how":      "How to look it over",
	"book.review.how.1":    "Have somebody read it whose first language this is, and who has worked with steam, chemicals or machines.",
	"book.review.how.2":    "Read both sides. Ask of each: the same danger, the same harm, the same thing to do, as strong as the original? Would a new hire take it in another way?",
	"book.review.how.3":    "What is wrong in the program's own texts: tell those who made it, and do not sign. What is wrong in the farm's own: mend it in its file of texts. When all is right, write this into protocols/farm.toml, with name and day:",
	"book.review.again":    "Until then, pages in this language say that nobody has. So they do again when one of the texts has changed, here or in a new version of the program.",
	"book.review.never":    "Nobody has looked it over yet.",
	"book.review.before":   "{by:text} looked it over on {on:text}. Since then a text has changed.",
	"book.review.current":  "{by:text} looked it over on {on:text}, and no text has changed since.",
	"book.review.count":    "{n:count|text|texts}",
	"book.review.original": "Original",
	"book.review.told":     "Translation",
	"book.review.right":    "Right",
	"book.review.same":     "Not translated: a page has the original.",
	"book.review.guides":   "Read whole, beside the original.",

	"book.review.group.book":    "Pages and signal words",
	"book.review.group.fault":   "When a run goes wrong",
	"book.review.group.hazard":  "Hazards, in short",
	"book.review.group.limit":   "Limits about people's safety",
	"book.review.group.safety":  "Cautions before a step",
	"book.review.group.step":    "The door of the sterilizer",
	"book.review.group.library": "Library",
	"book.review.group.farm":    "The farm's own",

	// At the head of a page, and of each sheet of paper.
	"book.review.unreviewed": "No native reader has looked over this translation of the safety texts. Where it differs from the original, the original holds.",
	"book.review.margin":     "TRANSLATION NOT LOOKED OVER",

	"language.unreviewed":         "no native reader has looked over the safety texts in {name:text}, and pages say so",
	"language.reviewed_before":    "a safety text in {name:text} has changed since {by:text} looked them over on {on:text}, and pages say that nobody has",
	"language.unreviewed.hint":    `have a native reader look over {page:text} of the book; then write [[reviewed]] with language = "{language:text}", by, on and texts = "{texts:text}" into protocols/farm.toml`,
	"language.reviewed_idle":      "{found:text} is none of the farm's languages, or is the one that all safety texts are written in",
	"language.reviewed_idle.hint": "take this [[reviewed]] out",
}
