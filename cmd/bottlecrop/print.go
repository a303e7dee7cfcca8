package main

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/filing"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/press"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// printFlags are the flags of print as they were written.
type printFlags struct {
	size        sizeFlags
	to, browser string
	only        []string
	language    spokenFlag
	large       bool
	of          batchFlags
}

func printCommand(t *terminal, s *settings) *cobra.Command {
	var flags printFlags
	c := &cobra.Command{
		Use:   "print PROTOCOL --bottles N --to FILE",
		Short: "Print a binder, or some of its documents, to PDF",
		Long: `print binds the documents of one protocol for one number of vessels, with a cover, the
contents with their pages, and bookmarks, and prints them to PDF through a Chromium that
is installed:

  bottlecrop print enoki-850 --bottles 48 --to binder.pdf
  bottlecrop print enoki-850 --bottles 48 --only sheet,record --to today.pdf

Without --only it is the binder of a new hire: how to use it, the work, what to write on
and what is looked up. The author's and the trainer's pages can be asked for.

A file that ends with .html needs no browser here: open it in any, and print it. The
paper is that of farm.toml. The same farm folder and browser give the same bytes.

--language prints it in another language of the farm. With two, --language en,es, the
sheet has both side by side; a wall card has the other on its back where the paper is
printed on both sides; all else comes first in the one and then in the other.

--mixed makes the code of the batch by the farm's rule, for the first one of that day, and
prints it on the sheet, the record, the cards and the labels. --batch gives another code,
as bottlecrop plan has it.

--large prints in large type, as large_type in farm.toml does: the same documents on
more pages. A wall card stays one page: it leaves more steps to the sheet, and has usual
letters where that is not enough. Labels keep theirs: they are as large as they are.`,
		Args: oneArgument("print.needs_one"),
		RunE: func(c *cobra.Command, args []string) error {
			n, err := flags.size.read()
			if err != nil {
				return err
			}
			if flags.to == "" {
				return usage(words.Message("print.needs_to"))
			}
			if err := flags.of.read(); err != nil {
				return err
			}
			pdf, err := printsTo(flags.to)
			if err != nil {
				return err
			}
			f, err := openFarm(s)
			if err != nil {
				return err
			}
			told, err := t.spoken(f, flags.language, func(f *farm) (*batch.Batch, error) { return f.worked(args[0], n, nil, false) })
			if err != nil {
				return err
			}
			return t.print(c.Context(), f, told, flags, pdf)
		},
	}
	c.ValidArgsFunction = protocolNames(s, 1)
	flags.size.of(c)
	c.Flags().StringVar(&flags.to, "to", "", "the `file` to write, .pdf or .html")
	c.Flags().StringSliceVar(&flags.only, "only", nil, "these `documents` alone, in this order, with commas between")
	flags.language.of(c, 2, "print in this `language` of farm.toml, or in two with a comma between")
	flags.of.of(c)
	c.Flags().BoolVar(&flags.large, "large", false, "in large type")
	c.Flags().StringVar(&flags.browser, "browser", "", "the `program` to print with, in place of "+strings.Join(press.Programs, ", "))
	return c
}

// printsTo says whether a file is to be a PDF. Printing takes a while: a folder that is
// not there, or what the file must not be written over, is told before.
func printsTo(file string) (pdf bool, err error) {
	ending := strings.ToLower(filepath.Ext(file))
	if ending != ".pdf" && ending != ".html" {
		return false, usage(words.Message("print.to", "found", file))
	}
	if _, err := filing.Look(file, likePrinted(file)); err != nil {
		return false, err
	}
	return ending == ".pdf", nil
}

// foundBrowser is a browser to print with.
func foundBrowser(program string) (string, error) {
	browser, err := press.Find(program)
	if err != nil {
		looked := program
		if looked == "" {
			looked = strings.Join(press.Programs, ", ")
		}
		return "", &failure{environment, words.Message("print.no_browser", "looked", looked), words.Message("print.no_browser.hint")}
	}
	return browser, nil
}

// noStart is a browser that would not print. One that was ended by the user can't: no
// fault of its own.
func noStart(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return &failure{environment, words.Message("print.browser.no_start", "error", err.Error()), words.Message("print.browser.hint")}
}

// print is the whole command, for a batch that keeps within the limits, in one language
// or two.
func (t *terminal) print(ctx context.Context, f *farm, told []spoken, flags printFlags, pdf bool) error {
	var browser string
	if pdf {
		var err error
		if browser, err = foundBrowser(flags.browser); err != nil {
			return err
		}
	}
	if flags.large {
		for _, s := range told {
			s.farm.folder.Farm.LargeType = true
		}
	}
	first := told[0]
	name, vessels := first.batch.Process.Input.Protocol.Name, first.batch.Vessels
	in := first.bookOf("")
	covers := []leaf.Cover{first.cover()}
	for _, other := range told[1:] {
		in.Others = append(in.Others, other.bookOf(other.farm.voice.Tag()))
		covers = append(covers, other.cover())
	}
	of := flags.of.batch(f, first.batch.Process.Input.Protocol)
	in.Edition.Batch = of
	for i := range in.Others {
		in.Others[i].Edition.Batch = of
	}
	files, err := book.Render(in)
	if err != nil {
		return err
	}
	documents, err := chosen(book.Documents(files, name, vessels), flags.only, name)
	if err != nil {
		return err
	}
	for _, other := range in.Others {
		documents = book.InTwo(files, documents, other.Folder, name, vessels)
	}
	bind := func(documents []book.Document, pages []int) ([]byte, error) {
		return book.Bind(covers, name, in.Entries[0].Method.Short, files, documents, pages)
	}
	if !pdf {
		page, err := bind(documents, nil)
		if err != nil {
			return err
		}
		if err := filing.Put(flags.to, page, likePrinted(flags.to)); err != nil {
			return err
		}
		t.say(f.voice, "print.done.html", "documents", len(documents), "file", flags.to)
		return nil
	}
	out, pages, err := toPDF(ctx, browser, documents, bind)
	if err != nil {
		return err
	}
	if err := filing.Put(flags.to, out, likePrinted(flags.to)); err != nil {
		return err
	}
	t.say(f.voice, "print.done", "documents", len(documents), "pages", pages, "file", flags.to)
	return nil
}

// bookOf is a book of one batch, in a folder of that name beside others.
func (s spoken) bookOf(folder string) book.Input {
	f, p := s.farm, s.batch.Process
	entry := book.Entry{Process: p, Batches: []*batch.Batch{s.batch}, Method: f.method(p.Input.Protocol.Name), Findings: f.findings}
	in := book.Input{Edition: f.edition(), Entries: []book.Entry{entry}, Guides: f.printed(f.guides), Library: f.folder.Library}
	in.Edition.Folder, in.Edition.Address = folder, s.address(folder)
	return in
}

// cover is what a binder of the batch says of itself in that language.
func (s spoken) cover() leaf.Cover {
	p, n := s.batch.Process, s.batch.Vessels
	return leaf.Cover{Edition: s.farm.edition(), Title: s.farm.voice.Say(words.Message("book.binder.title", "title", p.Input.Protocol.Title, "n", n, "vessels", p.Vessel.Called(n)))}
}

// chosen are the documents that were asked for, in that order, or those of a new
// hire's binder.
func chosen(all []book.Document, only []string, name string) ([]book.Document, error) {
	var out []book.Document
	if len(only) == 0 {
		for _, d := range all {
			if d.First {
				out = append(out, d)
			}
		}
		return out, nil
	}
	var kinds []string
	for _, d := range all {
		kinds = append(kinds, d.Kind)
	}
	for _, kind := range only {
		i := slices.Index(kinds, kind)
		if i < 0 {
			hint := words.Message("print.unknown.list", "list", strings.Join(kinds, ", "))
			if near := protocol.Nearest(kind, kinds); near != "" {
				hint = words.Message("print.unknown.near", "near", near)
			}
			return nil, &failure{misused, words.Message("print.unknown", "found", kind, "protocol", name), hint}
		}
		out = append(out, all[i])
	}
	return out, nil
}

// mostRounds is how often a binder is printed until the numbers in its contents are
// those of its pages. The first has none, and the second is right where the contents
// keep their length.
const mostRounds = 4

// pressing starts a browser and has work print pages through it. What the browser would
// not print is said as noStart says it.
func pressing(ctx context.Context, browser string, work func(print func(page []byte) ([]byte, error)) error) error {
	dir, done, err := filing.Scratch("print", nil)
	if err != nil {
		return err
	}
	defer done()
	p, err := press.Open(ctx, browser)
	if err != nil {
		return noStart(ctx, err)
	}
	defer p.Close()
	file := filepath.Join(dir, "page.html")
	return work(func(page []byte) ([]byte, error) {
		if err := os.WriteFile(file, page, 0o600); err != nil {
			return nil, err
		}
		out, err := p.Print(file)
		if err != nil {
			return nil, noStart(ctx, err)
		}
		return out, nil
	})
}

// toPDF prints a binder with the pages of its documents in the contents, which are
// known only once it is printed. Only then can be known, too, what of it needs an empty
// page before it to begin a leaf of paper.
func toPDF(ctx context.Context, browser string, documents []book.Document, bind func(documents []book.Document, pages []int) ([]byte, error)) (out []byte, count int, err error) {
	err = pressing(ctx, browser, func(print func(page []byte) ([]byte, error)) error {
		var pages []int
		for range mostRounds {
			page, err := bind(documents, pages)
			if err != nil {
				return err
			}
			if out, err = print(page); err != nil {
				return err
			}
			var places map[string]int
			if count, places, err = press.Places(out); err != nil {
				return noStart(ctx, err)
			}
			now := make([]int, len(documents))
			for i := range now {
				now[i] = places[leaf.BoundID(i)]
			}
			if slices.Equal(now, pages) {
				return nil
			}
			documents, pages = book.OnLeaves(documents, now)
		}
		return fail(atFault, words.Message("print.unsettled"))
	})
	return out, count, err
}
