package main

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/protocol"
)

// A book is made again and again, mostly with one file changed. Each protocol's pages
// have a name for all that they are made of, so that those of the book that stands in
// the folder are taken where the name is the same (book.Entry.Of):
//
//   - what was read in the farm folder, but for the files of other protocols and for
//     those that no protocol's pages are made of,
//   - what was asked on the command line, and what the book carries.
//
// The program itself is part of the name of what is kept (openStore, builtAs).

// ownPages are the files that only the farm's own pages are made of, and findings.
var ownPages = []string{protocol.OrdersDocument, protocol.ResultsDocument, protocol.StockDocument}

// keptBooks keep what the books are made of that stand in the user's folders.
func keptBooks() book.Kept {
	s := openStore("books", builtAs())
	if s == nil {
		return nil
	}
	return s
}

// names gives the pages of a book their names. What was asked for is part of all of them.
func (f *farm) names(in *book.Input, flags *pflag.FlagSet, s *settings) {
	w, ok := f.fsys.(*observed)
	if !ok {
		return
	}
	asked := []string{"units " + s.units, fmt.Sprintf("module %x", sha256.Sum256(in.Module)), "today " + in.Today}
	flags.Visit(func(x *pflag.Flag) {
		if x.Name != "out" && x.Name != "farm" {
			asked = append(asked, x.Name+" "+x.Value.String())
		}
	})
	protocols := map[string]protocol.Protocol{}
	for _, p := range f.written.Protocols {
		protocols[p.Name] = p
	}
	apart := func(name string) bool {
		_, isProtocol := protocol.NameOf(name)
		return isProtocol || name == protocol.Folder || slices.Contains(ownPages, name) || strings.HasSuffix(name, ".md")
	}
	ground := append(w.answers(apart), asked...)
	for _, g := range f.guides { // a step leads to a guide by its name
		ground = append(ground, "guide "+g.Name)
	}
	own := map[string][]string{} // of each protocol: its file and those that it is based on
	for name, p := range protocols {
		for at, is := p, true; is; at, is = protocols[at.BasedOn] {
			own[name] = append(own[name], w.about(protocol.Document(at.Name))...)
		}
	}
	all := book.Name(append(w.answers(func(string) bool { return false }), asked...)...)
	name := func(in *book.Input) {
		in.Of = book.Name(all, in.Voice.Tag(), in.Folder)
		base := book.Name(append(ground, in.Voice.Tag(), in.Folder, strings.Join(in.News, " "), strings.Join(in.Past, " "))...)
		for i, e := range in.Entries {
			if e.Changes != nil || e.Past != nil {
				in.Of = "" // what they tell comes from git
				continue
			}
			of := append([]string{base, e.Method.Protocol, e.Method.Full}, own[e.Method.Protocol]...)
			for _, b := range e.Batches {
				of = append(of, fmt.Sprint(b.Vessels))
			}
			in.Entries[i].Of = book.Name(of...)
		}
	}
	name(in)
	for i := range in.Others {
		name(&in.Others[i])
	}
}
