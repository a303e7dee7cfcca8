package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
)

// document is one thing that a protocol has to print for one number of vessels:
// where it stands, what a link to it says, which batches have it, how it is set.
type document struct {
	path func(name string, vessels int) string
	name string
	when func(Edition, *batch.Batch) bool
	set  func(Edition, procedure.Procedure, Method) ([]byte, error)
}

// documents are all of them, in the order in which a batch needs them.
func documents() []document {
	return []document{
		{SheetPath, "book.sheet.kind", everyBatch, Sheet},
		{WallCardsPath, "book.wall.all", everyBatch, WallCards},
		{RecordPath, "book.record.kind", everyBatch, Record},
		{LoadMapPath, "book.load_map.kind", mapped, ofBatch(LoadMap)},
		{CardsPath, "book.cards.kind", everyBatch, ofBatch(Cards)},
		{BottleLabelsPath, "book.bottle_labels.kind", labelsBottles, ofBatch(BottleLabels)},
		{TrainingPath, "book.training.kind", everyBatch, Training},
		{TrainingKeyPath, "book.training_key.kind", everyBatch, TrainingKey},
	}
}

// ofSize is where a document of a protocol for a number of vessels stands.
func ofSize(name, document string, vessels int) string {
	return name + "/" + document + "-" + strconv.Itoa(vessels) + ".html"
}

func everyBatch(Edition, *batch.Batch) bool { return true }

// ofBatch sets a document that needs no procedure.
func ofBatch(set func(Edition, *batch.Batch, Method) ([]byte, error)) func(Edition, procedure.Procedure, Method) ([]byte, error) {
	return func(e Edition, p procedure.Procedure, m Method) ([]byte, error) { return set(e, p.Batch, m) }
}

// documents links the documents of a batch to each other, but for the one that the
// links stand on. The key of a training is linked from the author's page alone, and
// not from what a trainee reads.
func (e Edition) documents(b *batch.Batch, own string) []link {
	name := b.Process.Input.Protocol.Name
	key := TrainingKeyPath(name, b.Vessels)
	var out []link
	for _, d := range documents() {
		to := d.path(name, b.Vessels)
		if to != own && d.when(e, b) && (to != key || own == ProtocolPath(name)) {
			out = append(out, link{local(to), e.say(d.name)})
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
	return append(out, wallCardPaths(b)...)
}

// Documents sets them, by their addresses.
func Documents(e Edition, p procedure.Procedure, method Method) (map[string][]byte, error) {
	out := map[string][]byte{}
	for _, d := range documents() {
		if !d.when(e, p.Batch) {
			continue
		}
		page, err := d.set(e, p, method)
		if err != nil {
			return nil, err
		}
		out[d.path(p.Batch.Process.Input.Protocol.Name, p.Batch.Vessels)] = page
	}
	for _, at := range stationsOf(p) {
		page, err := WallCard(e, p, at, method)
		if err != nil {
			return nil, err
		}
		out[WallCardPath(p.Batch.Process.Input.Protocol.Name, at, p.Batch.Vessels)] = page
	}
	return out, nil
}
