package words

// searchEnglish is what the search page and the printed index say. In the
// sentences for the script, {n:text} is the sign # that it puts a number for.
var searchEnglish = map[string]string{
	"book.place.search":  "Search",
	"book.search":        "Search",
	"book.search.kind":   "Search",
	"book.search.title":  "Search the book",
	"book.search.id":     "Search",
	"book.search.field":  "Look for",
	"book.search.go":     "Search",
	"book.search.how":    "Protocols, steps, library, limits and guides. The beginning of a word is enough.",
	"book.search.index":  "All words by letter",
	"book.search.found":  "Found",
	"book.search.ready":  "{n:count|entry|entries} to search.",
	"book.search.script": "This browser runs no script, so the field above finds nothing. Look the word up in the index.",
	"book.search.none":   "Nothing found. Try fewer letters or one word less.",
	"book.search.one":    "1\u00a0entry found.",
	"book.search.some":   "{n:text}\u00a0entries found.",
	"book.search.many":   "{n:text}\u00a0entries found; the first {shown:count} are shown. One more word narrows them.",

	"book.search.kind.protocol":   "Protocol",
	"book.search.kind.step":       "Step",
	"book.search.kind.species":    "Species",
	"book.search.kind.ingredient": "Ingredient",
	"book.search.kind.vessel":     "Vessel",
	"book.search.kind.sterilizer": "Sterilizer",
	"book.search.kind.limit":      "Limit",
	"book.search.kind.guide":      "Guide",
	"book.search.kind.section":    "Part of a guide",
	"book.search.station":         "{station:text}, {role:text}",

	"book.index":        "Index",
	"book.index.id":     "Index",
	"book.index.kind":   "Index of words",
	"book.index.lead":   "Every word that a title of this book has: protocols, steps, library, limits and guides. A link names its page.",
	"book.index.search": "Search instead.",
	"book.index.letter": "Letters",
	"book.index.words":  "{n:count|word|words}",
	"book.index.signs":  "0–9",
	"book.index.more":   "and {n:count} more",
	// Words that nobody looks anything up by.
	"book.index.small": "a about above after again all an and any are as at back be before below between both but by can do does down each else every few first for from go has have here high highest how if in into is it its itself know last least less like long low lowest made make many more most much must next no not of off old on one only or other out over own per put same see side so take than that the their them then there these they thing this those through to too two under until up use used using very was way what when where which while who why with without you your",
}
