package book

import (
	"path"
	"slices"
	"strconv"
	"strings"

	_ "bottlecrop/cmd/internal/binder" // takes pages apart
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/work"
)

// Document is a page of a book that can be printed for one protocol and one number
// of vessels.
type Document struct {
	Kind  string // by which it is asked for: "sheet", "record", "pressure-vessels"
	Path  string
	First bool // in the binder of a new hire
	Front bool // begins a leaf of paper
	Blank bool // an empty page comes before it, so that it does
}

// binderOrder is what a new hire's binder holds, in the order in which it is read: how
// to use it and when to stop, the day, the work, what to write on, what to learn, and
// then what is looked up. "card-" is the wall card of each station. A book that lacks
// one of them has a thinner binder.
var binderOrder = []string{
	"how-to-use-this-book", "when-to-stop-and-ask", "start-of-shift", "sheet", "card-", "sterilizer-card", "load-map", "troubles", "spawn",
	"record", "labels", "release", "training", "hygiene",
	"pressure-vessels", "alcohol-and-hot-surfaces", "chemicals", "dust-and-spores", "electricity-and-machines", "lifting", "stale-air-and-co2", "hygiene-zones",
	"glossary",
}

// inBinder is that order with the wall cards as a batch passes their stations.
func inBinder() []string {
	var out []string
	for _, kind := range binderOrder {
		if kind != "card-" {
			out = append(out, kind)
			continue
		}
		for _, s := range work.Stations() {
			out = append(out, kind+string(s))
		}
	}
	return out
}

// Documents lists what of a book's files can be printed for a protocol and a number
// of vessels: first what a new hire's binder holds, in its order, then the rest by
// kind.
func Documents(files []File, protocol string, vessels int) []Document {
	var out []Document
	for _, f := range files {
		if kind := documentKind(f.Path, protocol, vessels); kind != "" {
			out = append(out, Document{Kind: kind, Path: f.Path})
		}
	}
	order := inBinder()
	rank := func(kind string) int { return slices.Index(order, kind) }
	for i := range out {
		out[i].First = rank(out[i].Kind) >= 0
	}
	slices.SortStableFunc(out, func(a, b Document) int {
		ra, rb := rank(a.Kind), rank(b.Kind)
		switch {
		case ra >= 0 && rb < 0:
			return -1
		case ra < 0 && rb >= 0:
			return 1
		}
		return ra - rb
	})
	return out
}

// documentKind is what a page is called as a document; "" for one of another protocol
// or size, and for those that are for a screen.
func documentKind(name, protocol string, vessels int) string {
	dir, file := path.Split(name)
	stem, page := strings.CutSuffix(file, ".html")
	if !page {
		return ""
	}
	switch dir {
	case "":
		if name == leaf.HomePath || name == leaf.SearchPath {
			return ""
		}
		return stem
	case "guides/":
		return stem
	case protocol + "/":
		if name == leaf.ProtocolPath(protocol) {
			return "protocol"
		}
		i := strings.LastIndexByte(stem, '-')
		if n, err := strconv.Atoi(stem[i+1:]); err == nil && i > 0 {
			if n != vessels {
				return ""
			}
			return stem[:i]
		}
		return stem
	}
	return ""
}

// InTwo are documents of a book's first language in this and in another, by its folder:
// the sheet with both side by side, all else first in the one and then in the other. A
// wall card begins a leaf of paper, so that the other language is on its back.
func InTwo(files []File, documents []Document, folder, protocol string, vessels int) []Document {
	has := map[string]bool{}
	for _, f := range files {
		has[f.Path] = true
	}
	facing := leaf.FacingPath(protocol, folder, vessels)
	cards := leaf.FacingCardsPath(protocol, folder, vessels)
	var out []Document
	for _, d := range documents {
		other := Document{Kind: d.Kind, Path: path.Join(folder, d.Path), First: d.First}
		switch {
		case d.Path == leaf.SheetPath(protocol, vessels):
			d.Kind, d.Path = documentKind(facing, protocol, vessels), facing
			out = append(out, d)
		case d.Path == facing, d.Path == cards, !has[other.Path]:
			out = append(out, d)
		default:
			d.Front = strings.HasPrefix(d.Kind, "card-")
			out = append(out, d, other)
		}
	}
	return out
}

// OnLeaves puts an empty page before each document that is to begin a leaf of paper and
// would not, and takes away those that are not needed any more: pages are those on which
// the documents begin as they are. It returns the documents, and where they will begin.
// A browser that prints could do it by itself (CSS, break-before: recto), and none does.
func OnLeaves(documents []Document, pages []int) ([]Document, []int) {
	documents, pages = slices.Clone(documents), slices.Clone(pages)
	were, are := 0, 0 // empty pages up to a document
	for i, d := range documents {
		if d.Blank {
			were++
		}
		blank := d.Front && (pages[i]-were+are)%2 == 0
		if blank {
			are++
		}
		documents[i].Blank = blank
		pages[i] += are - were
	}
	return documents, pages
}

// Bind sets documents of a book as one page that stands on its own, each with the
// page of the paper on which it begins where that is known. There is a cover for each
// language.
func Bind(covers []leaf.Cover, id, fingerprint string, files []File, documents []Document, pages []int) ([]byte, error) {
	data := map[string][]byte{}
	for _, f := range files {
		data[f.Path] = f.Data
	}
	bound := make([]leaf.Bound, len(documents))
	for i, d := range documents {
		bound[i] = leaf.Bound{Path: d.Path, HTML: data[d.Path], Front: d.Front, Blank: d.Blank}
		if pages != nil {
			bound[i].Page = pages[i]
		}
	}
	return leaf.Binder(covers, id, fingerprint, bound, data)
}
