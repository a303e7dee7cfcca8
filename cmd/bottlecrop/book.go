package main

import (
	"cmp"
	"errors"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// bookFlags are the flags of the command.
type bookFlags struct {
	out, today, since                      string
	bottles                                []string
	all, ownTemplates, spread, withHistory bool
	rescale                                rescaleFlag
}

func bookCommand(t *terminal, s *settings) *cobra.Command {
	var x bookFlags
	c := &cobra.Command{
		Use:   "book",
		Short: "Make the book of the farm folder",
		Long: `book makes a static site of the farm folder: a page for every protocol, a sheet for
every batch size, the library with its sources, all limits and where each protocol
stands in them, and the guides. It is written whole or not at all: with an error in any
file the old book stays as it is. A folder that bottlecrop did not make is never written
to.

With --own-templates, the templates and the stylesheet in the farm's folder templates
take the place of the program's, file by file. Use it for a farm that you trust.

With --spread, the author's page of a protocol also says how far runs and vessels lie
apart, from samples. That takes a second for each protocol, the first time.

A protocol that has changed since it was approved has a page that says what is new, where
git has it as it was approved. With --since, each protocol has one, about what is new
since that revision.

With --history, each protocol has a page with its versions, from git: when each began, by
whom it was approved, and which batches were made by it.

A sheet of the book can be worked out in its page for any number of vessels, and what else
is different on the day, by a part of the program that the book carries. Run from its source,
the program builds that part once, with the Go that is there; --rescale=off leaves it out.

With --as-of, the season of protocols/orders.toml begins nothing new before that day.

The book needs no server and no network: open out/index.html in any browser.`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return x.make(c, t, s) },
	}
	c.Flags().StringVar(&x.out, "out", "", "the `folder` to write the book into (default: out in the farm folder)")
	c.Flags().BoolVar(&x.withHistory, "history", false, "a page for each protocol with the versions that git knows of it")
	c.Flags().StringVar(&x.since, "since", "", "tell in each protocol what is new since a `revision`, such as HEAD~1")
	x.rescale.of(c)
	c.Flags().StringVar(&x.today, "as-of", "", "the `day` that counts as today for the plan of the season")
	c.Flags().StringArrayVar(&x.bottles, "bottles", nil, "a further batch `size` for every protocol; may be given more than once")
	c.Flags().BoolVar(&x.ownTemplates, "own-templates", false, "use the farm's own templates and stylesheet, from its folder templates")
	c.Flags().BoolVar(&x.spread, "spread", false, "work out how far runs and vessels lie apart, for the author's pages")
	c.Flags().BoolVar(&x.all, "all", false, "print all findings, however many a file has")
	return c
}

// make makes the book.
func (x *bookFlags) make(c *cobra.Command, t *terminal, s *settings) error {
	sizes, err := batchSizes(x.bottles)
	if err != nil {
		return err
	}
	anySize, err := x.rescale.read()
	if err != nil {
		return err
	}
	day, err := asOf(x.today)
	if err != nil {
		return err
	}
	f, err := readFarm(s)
	if err != nil {
		return err
	}
	defer f.close()
	how := t.beginProgress()
	defer t.endProgress()
	how.says(func() string { return plain(f.voice.Say(words.Message("progress.working"))) })
	f.open(sizes)
	if x.ownTemplates {
		f.use()
	}
	if err := t.refusal(f, x.all); err != nil {
		return err
	}
	news, err := f.news(c.Context(), s, x.since)
	if err != nil {
		return err
	}
	var past *pastOf
	if x.withHistory {
		if past, err = t.pastForBook(c.Context(), f, s); err != nil {
			return err
		}
	}
	in, err := f.input(bookAsked{since: x.since, news: news, past: past, day: day, spread: x.spread, sizes: sizes})
	if err != nil {
		return err
	}
	if anySize {
		t.carryModule(f, &in)
	}
	f.names(&in, c.Flags(), s)
	pages, err := book.Pages(in)
	if err != nil && f.broken(err) {
		return t.refusal(f, x.all)
	}
	if err != nil {
		return err
	}
	f.letGo() // the pages have what they need, and let go of it one by one
	folder := x.out
	if folder == "" {
		folder = filepath.Join(s.farm, "out")
	}
	err = book.Publish(c.Context(), folder, pages, keptBooks(), how.counted(f.voice, len(pages)))
	if err != nil && f.broken(err) {
		return t.refusal(f, x.all)
	}
	if err != nil {
		return unwritten(err)
	}
	x.tell(t, f, pages, folder)
	return nil
}

// tell says what was made, and what of the farm its keeper should know of.
func (x *bookFlags) tell(t *terminal, f *farm, pages []book.Page, folder string) {
	made := 0
	for _, p := range pages {
		if strings.HasSuffix(p.Path, ".html") {
			made++
		}
	}
	t.say(f.voice, "command.made_book", "pages", made, "protocols", len(f.entries), "index", filepath.Join(folder, "index.html"))
	if f.own.found != nil {
		id := map[bool]string{true: "command.own_used", false: "command.own_unused"}[x.ownTemplates]
		t.say(f.voice, id, "files", strings.Join(f.own.found, ", "))
	}
	if n := f.count(protocol.Warning); n > 0 {
		t.say(f.voice, "command.book_warnings", "n", n)
	}
	if n := f.acknowledged(); n > 0 {
		t.say(f.voice, "command.book_acknowledged", "n", n)
	}
}

// bookAsked is what a book is asked to have besides what the farm's files ask for.
type bookAsked struct {
	since  string
	news   map[string]sided
	past   *pastOf
	day    *calendar.Date
	spread bool
	sizes  []int
}

// input is all that a book is made of, in all the farm's languages. The others are opened
// while the first one's season is planned, which is theirs too.
func (f *farm) input(x bookAsked) (book.Input, error) {
	opened := f.others(x.sizes)
	in, err := f.bound(x, func() (*leaf.Season, error) { return f.judgeSeason(x.day) })
	others, fault := opened()
	if err = cmp.Or(err, fault); err != nil {
		return in, err
	}
	for i, t := range others {
		other, err := t.bound(x, func() (*leaf.Season, error) { return t.seasonOf(in.Season) })
		if err != nil {
			return in, err
		}
		other.Edition.Folder = f.languages()[i+1]
		in.Others = append(in.Others, other)
	}
	return in, nil
}

// bound is what a book is made of in one language.
func (f *farm) bound(x bookAsked, season func() (*leaf.Season, error)) (in book.Input, err error) {
	f.withPast(x.past)
	if err := f.tellNews(x.news, x.since); err != nil {
		return in, err
	}
	edition := f.edition()
	edition.Spread, edition.News, edition.Past = x.spread, f.withNews(), x.past.names()
	in = book.Input{Edition: edition, Entries: f.entries, Guides: f.printed(f.guides), Library: f.folder.Library}
	if in.Results, err = f.record(); err != nil {
		return in, err
	}
	in.Trace, in.Review = f.traced(), f.review
	if in.Season, err = season(); err != nil {
		return in, err
	}
	in.Climate = f.climate(in.Season)
	return in, nil
}

// refusal prints the errors that stand in the way of a book, if there are any: warnings
// stand in the book and are counted at the end.
func (t *terminal) refusal(f *farm, all bool) error {
	t.findings(f.voice, protocol.Errors(f.findings), all)
	err := f.verdict()
	if err != nil {
		t.complain(f.voice, words.Message("command.no_book", "n", f.count(protocol.Error)), words.Message("command.hint.old_book"))
	}
	return err
}

// unwritten says of a book that could not be written, as on a full disk, that the one
// before still stands.
func unwritten(err error) error {
	var refused *book.Refused
	if !isEnvironment(err) || errors.As(err, &refused) {
		return err
	}
	return &failure{environment, words.Message("command.no_book_written", "error", err.Error()), words.Message("command.no_book_written.hint")}
}
