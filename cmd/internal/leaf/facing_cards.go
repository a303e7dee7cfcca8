package leaf

import (
	"html/template"
	"regexp"
)

// FacingCardsPath is the wall cards in the book's first language and that of a tag, one
// behind the other.
func FacingCardsPath(name, tag string, vessels int) string {
	return ofSize(name, "wall-cards-"+tag, vessels)
}

// facingCards are the wall cards of a batch in two languages. Each is one page, and
// those of a station follow each other: printed on both sides of the paper, a card
// has one language on its face and the other on its back.
type facingCards struct {
	batchFrame
	Lead   string
	Beside []link
	Cards  []facingCard
}

type facingCard struct {
	ID         string
	Front      bool // begins a leaf
	DocumentID string
	Card       half
	Foot       template.HTML
}

// FacingCards sets the wall cards of a batch in two languages.
func FacingCards(first, second Told) ([]byte, error) {
	e, b := first.Edition, first.Procedure.Batch
	name := b.Process.Input.Protocol.Name
	x := &pairing{first: e, second: second.Edition, bring: bringing(second.Edition, name, "foot-")}
	here := FacingCardsPath(name, x.second.Voice.Tag(), b.Vessels)
	style, err := e.Stylesheet()
	if err != nil {
		return nil, err
	}
	page := facingCards{
		batchFrame: e.frameOfBatch(b, here, "wall-cards-facing", "facing_cards", first.Method, x.languages()...),
		Lead:       e.say("book.facing_cards.lead", x.languages()...),
		Beside:     e.documents(b, here),
	}
	page.joined(x, second.Edition.frameOfBatch(b, here, "", "facing_cards", second.Method, x.languages()...), wallCardsPath(name, b.Vessels))
	var papers []BoundPage
	for _, at := range stationsOf(first.Procedure) {
		for i, t := range []Told{first, second} {
			card := t.card(at)
			own := facingCard{ID: BoundID(len(papers)), Front: i == 0, DocumentID: card.ID}
			bring := bringing(t.Edition, name, own.ID+"-")
			standing, err := t.Edition.html("standing", card)
			x.failed(err)
			text, err := t.Edition.html("of-station", card)
			x.failed(err)
			foot, err := t.Edition.html("foot-told", card)
			x.failed(err)
			own.Card = half{t.Edition.Voice.Tag(), unnamed(taken().Part(bring, standing) + taken().Part(bring, text))}
			own.Foot = template.HTML(foot)
			page.Cards = append(page.Cards, own)
			papers = append(papers, BoundPage{ID: own.ID, Size: t.Edition.size(), Margins: card.margins(t.Edition)})
		}
	}
	if x.err != nil {
		return nil, x.err
	}
	// The page itself is of the paper of its first card: where it is of another, a browser
	// may begin with an empty sheet of that.
	page.PageRule += template.CSS(pagesOf(string(style), papers) + "body{page:" + BoundID(0) + "-wall}")
	page.Policy = policy(page.PageRule, page.Kind)
	return e.html("wall-cards-facing", page)
}

var namedSection = regexp.MustCompile(`(<section(?: class="[^"]*")?) aria-labelledby="[^"]*"`)

// unnamed is a part of a page whose sections are no landmarks: among many cards each
// would be there many times under one name, and lead nobody (axe-core, landmark-unique).
// Their headings stay.
func unnamed(part template.HTML) template.HTML {
	return template.HTML(namedSection.ReplaceAllString(string(part), "$1"))
}
