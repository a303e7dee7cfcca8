package words

// viewEnglish is what view says, at the terminal and on the pages that it serves.
var viewEnglish = map[string]string{
	"view.begun":             "the book is at {address:text}, on this machine only; it follows your files until you press Ctrl-C",
	"view.port":              "--port must be a whole number from 1 to 65535, or 0 for any that is free, not {found:text}",
	"view.port_taken":        "port {port:text} is in use on this machine, perhaps by another view",
	"view.port_taken.hint":   "open that one, or leave --port out: any free port will do",
	"view.port_refused":      "port {port:text} can't be opened: {error:text}",
	"view.port_refused.hint": "leave --port out: any free port will do",
	"view.good":              "the book is as your files are: {pages:count|protocol|protocols}",
	"view.faulty":            "{n:count|error stands|errors stand} in the way; the pages are as they were before",
	"view.ended":             "the view has ended",

	"view.panel":          "What stands in the way of the book",
	"view.panel.heading":  "{n:count|error stands|errors stand} in the way of the book",
	"view.panel.below":    "The pages below are as they were before. Mend your files and save them: the pages follow.",
	"view.panel.no_pages": "There are no pages yet. Mend your files and save them: the book comes by itself.",
	"view.panel.more":     "and {n:count|more finding|more findings}; bottlecrop check --all prints them all",
	"view.panel.page":     "This page can't be set",

	"view.title":   "Nothing here",
	"view.no_page": "The book has no page here. It may have had one before your last change.",
	"view.no_book": "There is no book yet.",
	"view.home":    "The first page of the book",
	"view.refused": "refused: a view answers this machine alone, by its own address, to GET and HEAD",
}
