package leaf

import (
	"slices"
	"strconv"
	"sync"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// document is one thing that a protocol has to print for one number of vessels:
// where it stands, what a link to it says, which batches have it, how it is set.
type document struct {
	path func(name string, vessels int) string
	name protocol.Message
	when func(Edition, *batch.Batch) bool
	set  func(Told) ([]byte, error)
}

// Told is a batch as one language of the book tells it.
type Told struct {
	Edition   Edition
	Procedure procedure.Procedure
	Method    Method
	cards     *sync.Map // wall cards that several documents show, by station; nil to make them anew
}

// Once tells a batch when that is asked for, and once: its documents show the same.
func Once(e Edition, b *batch.Batch, m Method) func() Told {
	return sync.OnceValue(func() Told {
		return Told{Edition: e, Procedure: procedure.Build(b), Method: m, cards: &sync.Map{}}
	})
}

// card is the wall card of a station.
func (t Told) card(at work.Station) wallCard {
	set := func() wallCard { return t.Edition.wallCard(t.Procedure, at, t.Method) }
	if t.cards == nil {
		return set()
	}
	once, _ := t.cards.LoadOrStore(at, sync.OnceValue(set))
	return once.(func() wallCard)()
}

// documents are all of them, in the order in which a batch needs them.
func documents() []document {
	return []document{
		{SheetPath, words.Message("book.sheet.kind"), everyBatch, ofProcedure(Sheet)},
		{wallCardsPath, words.Message("book.wall.all"), everyBatch, ofProcedure(WallCards)},
		{recordPath, words.Message("book.record.kind"), everyBatch, ofProcedure(Record)},
		{loadMapPath, words.Message("book.load_map.kind"), mapped, ofBatch(LoadMap)},
		{cardsPath, words.Message("book.cards.kind"), everyBatch, ofBatch(Cards)},
		{bottleLabelsPath, words.Message("book.bottle_labels.kind"), labelsBottles, ofBatch(BottleLabels)},
		{trainingPath, words.Message("book.training.kind"), everyBatch, ofProcedure(Training)},
		{trainingKeyPath, words.Message("book.training_key.kind"), everyBatch, ofProcedure(TrainingKey)},
	}
}

// inTwo are the documents in the book's first language and another, which stand in
// the first book. Without the batch in the others they can be named, and not set.
func (e Edition) inTwo(others []func() Told) []document {
	var out []document
	for _, t := range e.Tongues {
		if t.Folder == "" || e.Folder != "" && e.Folder != t.Folder {
			continue
		}
		names := []any{"first", e.Tongues[0].Name, "second", t.Name}
		of := func(path func(name, tag string, vessels int) string) func(string, int) string {
			return func(name string, vessels int) string { return path(name, t.Tag, vessels) }
		}
		with := func(set func(first, second Told) ([]byte, error)) func(Told) ([]byte, error) {
			return func(first Told) ([]byte, error) {
				i := slices.IndexFunc(others, func(o func() Told) bool { return o().Edition.Folder == t.Folder })
				return set(first, others[i]())
			}
		}
		out = append(out,
			document{of(FacingPath), words.Message("book.facing.kind", names...), everyBatch, with(Facing)},
			document{of(FacingCardsPath), words.Message("book.facing_cards.kind", names...), everyBatch, with(FacingCards)})
	}
	return out
}

// ofSize is where a document of a protocol for a number of vessels stands.
func ofSize(name, document string, vessels int) string {
	return name + "/" + document + "-" + strconv.Itoa(vessels) + ".html"
}

func everyBatch(Edition, *batch.Batch) bool { return true }

// ofProcedure sets a document from how its batch is told.
func ofProcedure(set func(Edition, procedure.Procedure, Method) ([]byte, error)) func(Told) ([]byte, error) {
	return func(t Told) ([]byte, error) { return set(t.Edition, t.Procedure, t.Method) }
}

// ofBatch sets a document that needs no procedure.
func ofBatch(set func(Edition, *batch.Batch, Method) ([]byte, error)) func(Told) ([]byte, error) {
	return func(t Told) ([]byte, error) { return set(t.Edition, t.Procedure.Batch, t.Method) }
}

// documents links the documents of a batch to each other, but for the one that the
// links stand on. The key of a training is linked from the author's page alone, and
// not from what a trainee reads.
func (e Edition) documents(b *batch.Batch, own string) []link {
	name := b.Process.Input.Protocol.Name
	key := trainingKeyPath(name, b.Vessels)
	var out []link
	for _, d := range documents() {
		to := d.path(name, b.Vessels)
		if to != own && d.when(e, b) && (to != key || own == ProtocolPath(name)) {
			out = append(out, link{local(to), e.Voice.Say(d.name)})
		}
	}
	for _, d := range e.inTwo(nil) {
		to, href := d.path(name, b.Vessels), local(d.path(name, b.Vessels))
		if e.Folder != "" {
			href = "../../" + to
		}
		if to != own {
			out = append(out, link{href, e.Voice.Say(d.name)})
		}
	}
	return out
}

// DocumentPaths are the addresses of all documents of a batch.
func (e Edition) DocumentPaths(b *batch.Batch) []string {
	var out []string
	for _, d := range documents() {
		if d.when(e, b) {
			out = append(out, d.path(b.Process.Input.Protocol.Name, b.Vessels))
		}
	}
	if e.Folder == "" {
		for _, d := range e.inTwo(nil) {
			out = append(out, d.path(b.Process.Input.Protocol.Name, b.Vessels))
		}
	}
	return append(out, wallCardPaths(b)...)
}

// Unset is a document that is not set yet.
type Unset struct {
	Path string
	Set  func() ([]byte, error)
}

// Documents are all of a batch, with none of them set. The first book has the same batch
// in its other languages too.
func Documents(e Edition, b *batch.Batch, told func() Told, others ...func() Told) []Unset {
	name := b.Process.Input.Protocol.Name
	all := documents()
	if e.Folder == "" {
		all = append(all, e.inTwo(others)...)
	}
	var out []Unset
	for _, d := range all {
		if d.when(e, b) {
			out = append(out, Unset{d.path(name, b.Vessels), func() ([]byte, error) { return d.set(told()) }})
		}
	}
	for _, at := range passed(b) {
		out = append(out, Unset{wallCardPath(name, at, b.Vessels), func() ([]byte, error) { return e.html("wall-card", told().card(at)) }})
	}
	return out
}
