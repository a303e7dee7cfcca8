package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/history"
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
			t.history(f, p)
			return nil
		},
	}
	c.ValidArgsFunction = protocolNames(s)
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
	if out.head, err = r.Resolve(ctx, "HEAD"); err != nil {
		return nil, noHistory(err, s.farm)
	}
	reader := versions.Reader{Repository: r, Base: protocols.Library}
	if kept := openStore("versions"); kept != nil {
		reader.Store = kept
	}
	if out.lines, err = reader.Of(ctx, out.head, names...); err != nil {
		return nil, noHistory(err, s.farm)
	}
	for i := range out.lines {
		if m, ok := f.written.Method(out.lines[i].Name); ok {
			out.lines[i].Now(m)
		}
	}
	return out, nil
}

// history prints the versions of one protocol.
func (t *terminal) history(f *farm, p *pastOf) {
	l := p.lines[0]
	say := func(id string, pairs ...any) { t.say(f.voice, "history."+id, pairs...) }
	under := func(id string, pairs ...any) {
		fmt.Fprintln(t, "  "+plain(f.voice.Say(words.Message("history."+id, pairs...))))
	}
	id := "of_branch"
	if p.branch == "" {
		id = "of_none"
	}
	say(id, "protocol", l.Name, "n", len(l.Versions), "commit", p.head.Short(), "date", p.head.Date, "branch", printable(p.branch))
	if p.shallow {
		say("is_shallow")
	}
	made, other := l.Made(f.folder.Results.Batches)
	for i, v := range l.Versions {
		fmt.Fprintln(t)
		if v.From.ID == "" {
			say("now")
		} else {
			say("from", "date", v.From.Date, "commit", v.From.Short(), "subject", clip(protocol.Place{Text: v.From.Subject}))
		}
		for _, m := range f.aboutVersion(l, v) {
			fmt.Fprintln(t, "  "+plain(f.voice.Say(m)))
		}
		for _, how := range []versions.How{versions.ByMethod, versions.ByDay, versions.Perhaps} {
			if codes := codesOf(made[i], how); len(codes) > 0 {
				under("made."+madeBy[how], "n", len(codes), "codes", strings.Join(codes, ", "))
			}
		}
	}
	for _, how := range []versions.How{versions.NotKnown, versions.NoneThen} {
		if codes := codesOf(other, how); len(codes) > 0 {
			fmt.Fprintln(t)
			say("made."+madeBy[how], "n", len(codes), "codes", strings.Join(codes, ", "))
		}
	}
}

// aboutVersion says what a version was.
func (f *farm) aboutVersion(l versions.Line, v versions.Version) []protocol.Message {
	var out []protocol.Message
	add := func(id string, pairs ...any) { out = append(out, words.Message("history."+id, pairs...)) }
	switch {
	case v.Kind == versions.Gone && v.Became != "":
		add("renamed", "name", v.Became)
		return out
	case v.Kind == versions.Gone:
		add("gone")
		return out
	case v.Kind == versions.Faulty:
		add("faulty", "n", v.Method.Faults)
	case v.Method.Version == "":
		add("method", "fingerprint", farmfile.Short(v.Method.Fingerprint))
	default:
		add("method_version", "fingerprint", farmfile.Short(v.Method.Fingerprint), "version", v.Method.Version)
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
	return out
}

// madeBy are the ways in which it is known what made a batch, as they are named.
var madeBy = map[versions.How]string{
	versions.ByMethod: "method", versions.ByDay: "day", versions.Perhaps: "perhaps", versions.NotKnown: "not_known", versions.NoneThen: "none_then",
}

// codesOf are the codes of the batches of which it is known in one way what made them.
func codesOf(list []versions.Made, how versions.How) []string {
	var out []string
	for _, m := range list {
		if m.How == how {
			out = append(out, m.Code)
		}
	}
	slices.Sort(out)
	return out
}
