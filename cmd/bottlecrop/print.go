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
paper is that of farm.toml. The same farm folder and browser give the same bytes.`,
		Args: oneArgument("print.needs_one"),
		RunE: func(c *cobra.Command, args []string) error {
			n, err := flags.size.read()
			if err != nil {
				return err
			}
			if flags.to == "" {
				return usage(words.Message("print.needs_to"))
			}
			ending := strings.ToLower(filepath.Ext(flags.to))
			if ending != ".pdf" && ending != ".html" {
				return usage(words.Message("print.to", "found", flags.to))
			}
			// Printing takes a while: a folder that is not there is told before.
			if _, err := os.Stat(filepath.Dir(flags.to)); err != nil {
				return of(flags.to, err)
			}
			f, b, err := t.worked(s, args[0], n, nil, false)
			if err != nil {
				return err
			}
			return t.print(c.Context(), f, b, flags, ending == ".pdf")
		},
	}
	c.ValidArgsFunction = protocolNames(s)
	flags.size.of(c)
	c.Flags().StringVar(&flags.to, "to", "", "the `file` to write, .pdf or .html")
	c.Flags().StringSliceVar(&flags.only, "only", nil, "these `documents` alone, in this order, with commas between")
	c.Flags().StringVar(&flags.browser, "browser", "", "the `program` to print with, in place of "+strings.Join(press.Programs, ", "))
	return c
}

// print is the whole command, for a batch that keeps within the limits.
func (t *terminal) print(ctx context.Context, f *farm, b *batch.Batch, flags printFlags, pdf bool) error {
	var browser string
	if pdf {
		var err error
		if browser, err = press.Find(flags.browser); err != nil {
			looked := flags.browser
			if looked == "" {
				looked = strings.Join(press.Programs, ", ")
			}
			return &failure{environment, words.Message("print.no_browser", "looked", looked), words.Message("print.no_browser.hint")}
		}
	}
	pr := b.Process.Input.Protocol
	entry := book.Entry{Process: b.Process, Batches: []*batch.Batch{b}, Method: f.method(pr.Name), Findings: f.findings}
	edition := f.edition()
	files, err := book.Render(book.Input{Edition: edition, Entries: []book.Entry{entry}, Guides: f.guides, Library: f.folder.Library})
	if err != nil {
		return err
	}
	documents, err := chosen(book.Documents(files, pr.Name, b.Vessels), flags.only, pr.Name)
	if err != nil {
		return err
	}
	bind := func(pages []int) ([]byte, error) {
		title := f.voice.Say(words.Message("book.binder.title", "title", pr.Title, "n", b.Vessels, "vessels", vesselsOf(b.Process, b.Vessels)))
		return book.Bind(edition, title, pr.Name, entry.Method.Short, files, documents, pages)
	}
	if !pdf {
		page, err := bind(nil)
		if err != nil {
			return err
		}
		if err := replaceFile(flags.to, string(page)); err != nil {
			return err
		}
		t.say(f.voice, "print.done.html", "documents", len(documents), "file", flags.to)
		return nil
	}
	out, pages, err := toPDF(ctx, browser, len(documents), bind)
	if err != nil {
		return err
	}
	if err := replaceFile(flags.to, string(out)); err != nil {
		return err
	}
	t.say(f.voice, "print.done", "documents", len(documents), "pages", pages, "file", flags.to)
	return nil
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

// toPDF prints a binder with the pages of its documents in the contents, which are
// known only once it is printed.
func toPDF(ctx context.Context, browser string, documents int, bind func(pages []int) ([]byte, error)) (out []byte, count int, err error) {
	defer func() {
		if ctx.Err() != nil {
			err = ctx.Err() // a browser that was ended can't print: no fault of its own
		}
	}()
	dir, err := os.MkdirTemp("", "bottlecrop-print-")
	if err != nil {
		return nil, 0, err
	}
	defer os.RemoveAll(dir)
	p, err := press.Open(ctx, browser)
	if err != nil {
		return nil, 0, &failure{environment, words.Message("print.browser.no_start", "error", err.Error()), words.Message("print.browser.hint")}
	}
	defer p.Close()
	var pages []int
	file := filepath.Join(dir, "binder.html")
	for range mostRounds {
		page, err := bind(pages)
		if err != nil {
			return nil, 0, err
		}
		if err := os.WriteFile(file, page, 0o600); err != nil {
			return nil, 0, err
		}
		out, err := p.Print(file)
		if err != nil {
			return nil, 0, &failure{environment, words.Message("print.browser.no_start", "error", err.Error()), words.Message("print.browser.hint")}
		}
		count, places, err := press.Places(out)
		if err != nil {
			return nil, 0, &failure{environment, words.Message("print.browser.no_start", "error", err.Error()), words.Message("print.browser.hint")}
		}
		now := make([]int, documents)
		for i := range now {
			now[i] = places[leaf.BoundID(i)]
		}
		if slices.Equal(now, pages) {
			return out, count, nil
		}
		pages = now
	}
	return nil, 0, fail(atFault, words.Message("print.unsettled"))
}
