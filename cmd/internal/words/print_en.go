package words

// printEnglish is what the command print says, and what stands on a binder.
var printEnglish = map[string]string{
	"book.binder.kind":     "Binder",
	"book.binder.contents": "What is in here",
	"book.binder.title":    "{title:text}, for {n:count} {vessels:text}",

	"print.needs_one":        "print takes the name of one protocol, {n:count} were given",
	"print.needs_to":         "say where the PDF goes, --to binder.pdf, or the page, --to binder.html",
	"print.to":               "--to {found:text} ends with neither .pdf nor .html",
	"print.unknown":          "--only {found:text} is no document of {protocol:text}",
	"print.unknown.near":     "did you mean {near:text}?",
	"print.unknown.list":     "there are {list:text}",
	"print.no_browser":       "no browser is here that could print: {looked:text} is not installed",
	"print.no_browser.hint":  "install Chromium, name another with --browser, or write --to binder.html and print it from any browser",
	"print.browser.no_start": "the browser can't print: {error:text}",
	"print.browser.hint":     "write --to binder.html and print it from any browser",
	"print.done":             "{documents:count|document|documents} on {pages:count|page|pages}: {file:text}",
	"print.done.html":        "{documents:count|document|documents}: {file:text}",
	"print.unsettled":        "the pages do not settle: with the numbers in the contents they fall otherwise each time",
}
