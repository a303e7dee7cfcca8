package words

// searchEnglish is what the search page and the printed index say. In the
// sentences for the script, {n:text} is the sign # that it puts a number for.
var searchEnglish = map[string]string{
	"book.place.search":  "Search",
	"book.search.title":  "Search the book",
	"book.search.id":     "Search",
	"book.search.field":  "Look for",
	"book.search.go":     "Search",
	"book.search.how":    "Protocols, steps, troubles, library, limits and guides. The beginning of a word is enough.",
	"book.search.index":  "All words by letter",
	"book.search.found":  "Found",
	"book.search.ready":  "{n:count|entry|entries} to search.",
	"book.search.script": "This browser runs no script, so the field above finds nothing. Look the word up in the index.",
	"book.search.none":   "Nothing found. Try fewer letters or one word less.",
	"book.search.one":    "1\u00a0entry found.",
	"book.search.some":   "{n:text}\u00a0entries found.",
	"book.search.many":   "{n:text}\u00a0entries found; the first {shown:count} are shown. One more word narrows them.",

	"book.search.kind.protocol":   "Protocol",
	"book.search.kind.farm":       "Page of the farm",
	"book.search.kind.step":       "Step",
	"book.search.kind.species":    "Species",
	"book.search.kind.ingredient": "Ingredient",
	"book.search.kind.vessel":     "Vessel",
	"book.search.kind.sterilizer": "Sterilizer",
	"book.search.kind.limit":      "Limit",
	"book.search.kind.guide":      "Guide",
	"book.search.kind.word":       "Word of the trade",
	"book.search.kind.section":    "Part of a guide",
	"book.search.station":         "{station:text} · {role:text}",

	"book.index":        "Index of words",
	"book.index.id":     "Index",
	"book.index.lead":   "Every word that a title of this book has: protocols, steps, troubles, library, limits and guides. A link names its page.",
	"book.index.search": "Search instead.",
	"book.index.holds":  "every word of a title, by letter, to print",
	"book.index.letter": "Letters",
	"book.index.words":  "{n:count|word|words}",
	"book.index.signs":  "0–9",
	"book.index.more":   "and {n:count} more",
	// Words that nobody looks anything up by.
	"book.index.plurals": "ies=y es= s=", // how a plural ends, and what its singular ends in instead
	"book.index.small":   "a about above added after again all allowed alone an and any are as at back be bear before being below between body both but by can can't come comes counted difference distance do does down during each either else every excellent fastest fell few figures first for from gathers get go goes has have here high highest hottest how if in into is it its itself keeping know largest last learned least left less let letting lies like long longest look lost low lowest made make many may more most much multiple must never next no not of off ok old on one ones only or other out over own page per place put read ready same see shortest side six smallest so something stands stay take takes tell than that the their them then there these they thing this those through time to together too two under until up usable use used using usual very want wants was way we wettest what when where which while who why with without words work working you your",
}
