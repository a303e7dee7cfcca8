package leaf

import (
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/review"
	"bottlecrop/cmd/internal/words"
)

// ReviewPath is the list of the safety texts of a language, for a native reader.
const ReviewPath = "review.html"

// Review is what a native reader looks over in the language of a book, and who did.
type Review struct {
	Set     review.Set
	By, On  string // "" where nobody has
	Current bool   // nothing has changed since
}

// reviewPage has each safety text beside its original.
type reviewPage struct {
	frame
	Standing    protocol.Message // who has looked it over, if anybody
	Language    string           // BCP 47
	Fingerprint string           // of the texts; farm.toml gets it
	Groups      []reviewGroup
	Guides      []reviewGuide
}

type reviewGroup struct {
	ID, Name string
	Texts    []reviewText
}

type reviewText struct {
	ID, Written, Original, Told string
	Same                        bool // nobody translated it
}

// reviewGuide is a guide that is looked over where it stands.
type reviewGuide struct{ Here, Original, Name string }

// ReviewFarmPage is how the home page lists it.
func ReviewFarmPage(e Edition, r *Review) FarmPage {
	return FarmPage{Path: ReviewPath, Title: e.say("book.review"), For: words.Message("book.review.holds", "n", len(r.Set.Texts), "guides", len(r.Set.Pages)), Known: e.say("book.review.known")}
}

// Reviewing sets the list.
func Reviewing(e Edition, r *Review) ([]byte, error) {
	page := reviewPage{
		frame:       e.frame(ReviewPath, "review", e.say("book.review"), e.say("book.review.id", "fingerprint", r.Set.Fingerprint()), ""),
		Language:    e.Voice.Tag(),
		Fingerprint: r.Set.Fingerprint(),
	}
	page.Tongues = nil // there is none of the original
	switch {
	case r.Current:
		page.Standing = words.Message("book.review.current", "by", r.By, "on", r.On)
	case r.By != "":
		page.Standing = words.Message("book.review.before", "by", r.By, "on", r.On)
	default:
		page.Standing = words.Message("book.review.never")
	}
	at := map[string]int{}
	for _, t := range r.Set.Texts {
		of := groupOf(t.ID)
		i, ok := at[of]
		if !ok {
			i = len(page.Groups)
			at[of] = i
			page.Groups = append(page.Groups, reviewGroup{ID: of, Name: e.say("book.review.group." + of)})
		}
		g := &page.Groups[i]
		g.Texts = append(g.Texts, reviewText{t.ID, t.Written, t.Original, t.Told, t.Original == t.Told})
	}
	up := ""
	if e.Folder != "" {
		up = "../"
	}
	for _, p := range r.Set.Pages {
		x := reviewGuide{Here: GuidePath(p.Name), Name: p.Name}
		if len(e.Tongues) > 0 && e.Folder != "" {
			x.Original = up + GuidePath(p.Name)
		}
		page.Guides = append(page.Guides, x)
	}
	return e.html("review", page)
}

// groupOf is the part of the list that a text stands in: its kind of message, the
// library, or the farm's own.
func groupOf(id string) string {
	switch of, _, _ := strings.Cut(id, "."); {
	case strings.HasPrefix(id, protocol.BuiltIn):
		return "library"
	case strings.Contains(id, ": "):
		return "farm"
	default:
		return of
	}
}
