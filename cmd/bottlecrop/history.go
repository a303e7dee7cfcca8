package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/history"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/versions"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
)

func historyCommand(t *terminal, s *settings) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "history PROTOCOL",
		Short: "Print which versions of a protocol git knows, and what was made by each",
		Long: `history lists the versions of one protocol, the newest first: from which day and commit,
its fingerprint, the version that its author states, whether somebody approved it, and
which batches of protocols/results.toml were made by it. Commits that changed no step, no
amount and no critical limit are in the version before them. A file that was renamed is
the same protocol.

A batch is of the version whose fingerprint stands in its results. Where none does, it is
of the one that was in force on the day that it was mixed. Lines of a version that begin
with "perhaps" are of a day on which one version followed another.

The versions are those of the commit that is checked out, along its first parents: what
the farm had, one state after another. A version of a branch that was merged, and that
the farm never had, is listed at the end.

git is run to read, and in no other way; nothing is fetched. What was read is kept in the
user's cache, so that it takes far less time again.`,
		Args: oneArgument("history.needs_protocol"),
		RunE: func(c *cobra.Command, args []string) error {
			f, err := readFarm(s)
			if err != nil {
				return err
			}
			defer f.close()
			p, err := f.past(c.Context(), s, args[0])
			if err != nil {
				return err
			}
			if len(p.lines[0].Versions) == 0 {
				return f.noProtocol(args[0])
			}
			if asJSON {
				return t.json(historyReport(f, p))
			}
			t.history(f.voice, p.told(p.lines[0], f.folder.Results.Batches))
			return nil
		},
	}
	c.ValidArgsFunction = protocolNames(s, 1)
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// pastOf is what git knows of some protocols.
type pastOf struct {
	head    history.Commit // up to which
	branch  string         // "" for none
	shallow bool           // older commits are not known
	lines   []versions.Line
}

// past reads the versions of protocols up to the commit that is checked out, with the
// folder as it is before them where that is another.
func (f *farm) past(ctx context.Context, s *settings, names ...string) (*pastOf, error) {
	r, err := openHistory(ctx, s)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	out := &pastOf{branch: r.Branch, shallow: r.Shallow}
	if out.head, err = r.Resolve(ctx, headRevision); err != nil {
		return nil, noHistory(err, s.farm)
	}
	if out.lines, err = reader(r).Of(ctx, out.head, names...); err != nil {
		return nil, noHistory(err, s.farm)
	}
	for i := range out.lines {
		if m, ok := f.written.Method(out.lines[i].Name); ok {
			out.lines[i].Now(m)
		}
	}
	return out, nil
}

// reader reads the versions that a repository has, and keeps what it read.
func reader(r *history.Repository) *versions.Reader {
	out := &versions.Reader{Repository: r, Base: protocols.Library}
	if kept := openStore("versions", builtAs()); kept != nil {
		out.Store = kept
	}
	return out
}

// told is what is known of a protocol's versions in words, for the terminal and for the
// book.
func (p *pastOf) told(l versions.Line, batches []protocol.Result) leaf.Past {
	id := "of_branch"
	if p.branch == "" {
		id = "of_none"
	}
	out := leaf.Past{Until: words.Message("history."+id, "protocol", l.Name, "n", len(l.Versions), "commit", p.head.Short(), "date", p.head.Date, "branch", printable(p.branch))}
	made, other := l.Made(batches)
	for i, v := range l.Versions {
		row := leaf.PastRow{Made: batchesOf(made[i])}
		if v.From.ID != "" {
			row.From, row.Commit, row.Subject = v.From.Date, v.From.Short(), clip(protocol.Place{Text: v.From.Subject})
		}
		row.What, row.About = aboutVersion(l, v)
		out.Rows = append(out.Rows, row)
	}
	out.Notes = batchesOf(other)
	if p.shallow {
		out.Notes = append(out.Notes, words.Message("history.is_shallow"))
	}
	return out
}

// history prints the versions of one protocol.
func (t *terminal) history(v *words.Voice, past leaf.Past) {
	line := func(m protocol.Message, indent string) { fmt.Fprintln(t, indent+plain(v.Say(m))) }
	line(past.Until, "")
	for _, r := range past.Rows {
		fmt.Fprintln(t)
		if r.From == "" {
			t.say(v, "history.now")
		} else {
			t.say(v, "history.from", "date", r.From, "commit", r.Commit, "subject", r.Subject)
		}
		for _, m := range slices.Concat([]protocol.Message{r.What}, r.About, r.Made) {
			line(m, "  ")
		}
	}
	for _, m := range past.Notes {
		fmt.Fprintln(t)
		line(m, "")
	}
}

// aboutVersion says what a version was, and what else there is to it.
func aboutVersion(l versions.Line, v versions.Version) (what protocol.Message, about []protocol.Message) {
	add := func(id string, pairs ...any) { about = append(about, words.Message("history."+id, pairs...)) }
	switch {
	case v.Kind == versions.Gone && v.Became != "":
		return words.Message("history.renamed", "name", v.Became), nil
	case v.Kind == versions.Gone:
		return words.Message("history.gone"), nil
	case v.Kind == versions.Faulty:
		what = words.Message("history.faulty", "n", v.Method.Faults)
	case v.Method.Version == "":
		what = words.Message("history.method", "fingerprint", farmfile.Short(v.Method.Fingerprint))
	default:
		what = words.Message("history.method_version", "fingerprint", farmfile.Short(v.Method.Fingerprint), "version", v.Method.Version)
	}
	if v.Name != l.Name {
		add("name", "name", v.Name)
	}
	if v.Side {
		add("side")
	}
	if a := v.Method.Approval; a != nil {
		id := "approved"
		if v.Standing() == protocol.ChangedSince {
			id = "changed"
		}
		add(id, "by", a.By, "date", a.On, "version", a.Version)
	} else if v.Kind == versions.Readable {
		add("not_approved")
	}
	return what, about
}

// madeBy are the ways in which it is known what made a batch, as they are named.
var madeBy = map[versions.How]string{
	versions.ByMethod: "method", versions.ByDay: "day", versions.Perhaps: "perhaps", versions.NotKnown: "not_known", versions.NoneThen: "none_then",
}

// batchesOf tells batches, those of which the same is known together.
func batchesOf(list []versions.Made) []protocol.Message {
	var out []protocol.Message
	for _, how := range []versions.How{versions.ByMethod, versions.ByDay, versions.Perhaps, versions.NotKnown, versions.NoneThen} {
		var codes []string
		for _, m := range list {
			if m.How == how {
				codes = append(codes, m.Code)
			}
		}
		if len(codes) > 0 {
			slices.Sort(codes)
			out = append(out, words.Message("history.made."+madeBy[how], "n", len(codes), "codes", strings.Join(codes, ", ")))
		}
	}
	return out
}

// names are the protocols of which it is told; none where nothing is.
func (p *pastOf) names() []string {
	var out []string
	if p != nil {
		for _, l := range p.lines {
			out = append(out, l.Name)
		}
	}
	return out
}

// withPast puts the pages of their versions into the entries of a farm, which may be one
// in another language.
func (f *farm) withPast(p *pastOf) {
	if p == nil {
		return
	}
	for i, e := range f.entries {
		for _, l := range p.lines {
			if l.Name == e.Method.Protocol {
				past := p.told(l, f.written.Results.Batches)
				f.entries[i].Past = &past
			}
		}
	}
}

// pastForBook reads the versions of all protocols. Where git can give none, it says why,
// and the book is made without them.
func (t *terminal) pastForBook(ctx context.Context, f *farm, s *settings) (*pastOf, error) {
	var names []string
	for _, e := range f.entries {
		names = append(names, e.Method.Protocol)
	}
	out, err := f.past(ctx, s, names...)
	var none *failure
	if errors.As(err, &none) {
		t.complain(f.voice, none.what, none.hint)
		t.complain(f.voice, words.Message("history.no_pages"), protocol.Message{})
		return nil, nil
	}
	return out, err
}
