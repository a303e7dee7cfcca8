package leaf

import "bottlecrop/cmd/internal/procedure"

// Gist is what the farm's pages need of how a protocol is told, without holding all of
// that until the end of a book: what it can be looked up by, and how a shift starts.
type Gist struct {
	terms []term
	start procedure.Step
}

// A term is one thing that a reader may look for, on one page of the book. The
// search page and the printed index are made of the same terms.
type term struct {
	Kind  string // one of kinds
	Title string
	Text  string // one line about it; may be empty
	Page  string // title of the page that it stands on
	Href  string // from the book's root
	Words string // what else it is found by
	About string // what its page is about, where the page's title may not say it
}
