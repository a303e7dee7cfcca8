package words

// progressEnglish is the line on a terminal that says how far a book is.
var progressEnglish = map[string]string{
	"progress.pages":   "Setting pages: {set:count} of {all:count}",
	"progress.working": "Working out the farm folder",
}
