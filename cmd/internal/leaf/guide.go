package leaf

import (
	"fmt"
	"html/template"
	"strings"

	"bottlecrop/cmd/internal/words"
)

// guidePage is a page of the farm's or of the program's own.
type guidePage struct {
	frame
	Content template.HTML
	Calls   []call // at the head of the page that says when to call
}

// whenToStop is the guide that sends people to somebody, and so names them.
const whenToStop = "when-to-stop-and-ask"

// Guide sets a page of the farm's or of the program's own; package prose makes its
// content.
func Guide(e Edition, name, title string, content template.HTML) ([]byte, error) {
	page := guidePage{frame: e.frame(GuidePath(name), "guide", title, name, ""), Content: content}
	if name == whenToStop {
		page.Calls, _ = e.calls()
	}
	if e.Unreviewed && strings.Contains(string(content), `<div class="safety`) {
		page.unreviewed(e)
		page.foot(e)
	}
	return e.html("guide", page)
}

// GuideParts are the parts of a guide, for those who look something up.
type GuideParts struct {
	Name, Title string
	Parts       []GuidePart // the first is what stands before any heading
}

// GuidePart is a part of a guide under one heading, which the first has not. A word is a
// term of a definition list with what it means.
type GuidePart struct {
	Title, ID, Text string
	Word            bool
}

// SignalWord is the word that a safety message begins with.
func SignalWord(v *words.Voice, s any) string {
	return v.Say(words.Message(fmt.Sprintf("book.signal.%s", s)))
}

// Addresses of the pages that find things. The pages themselves are not in the part of
// the program that a book carries.
const (
	SearchPath      = "search.html"
	SearchIndexPath = "search-index.js"
	searchScript    = "look/search.js"
	IndexPath       = "index-of-words.html" // what the book knows, on paper
)
