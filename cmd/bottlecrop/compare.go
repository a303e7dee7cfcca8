package main

import (
	"context"
	"errors"
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/history"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

func compareCommand(t *terminal, s *settings) *cobra.Command {
	var bottles string
	var all, asJSON, asMarkdown bool
	c := &cobra.Command{
		Use:   "compare PROTOCOL BEFORE AFTER",
		Short: "Say which figures, limits and steps of a protocol have changed, and by what",
		Long: `compare works one batch out twice, as it is BEFORE and AFTER, and says what workers and
authors would meet otherwise: steps that come, go, move or read otherwise, limits that
are crossed now or no more, and figures. Each difference names the changed keys that
caused it: they were applied one at a time, and together where no single one does it.
Remarks, the order of keys and the spelling of units are no difference.

BEFORE and AFTER are written in one of these ways:

  .                     the protocol in the folder as it is
  HEAD~1, v2.0, 4f2a91c the protocol as git has it at that revision
  king-oyster-1100      another protocol of the folder as it is
  enoki-850@HEAD~1      a protocol of that name at that revision
  ../other-farm         the protocol in another farm's folder: a path has a slash
  enoki-850@../other    a protocol of that name in another farm's folder

  bottlecrop compare enoki-850 HEAD . --bottles 240

What is safety, quality, quantity and wording, and which number of the version must
rise, is by a written rule: see the README. Rooms, orders and results are of no batch,
so that they are not compared.`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 3 {
				return usage(words.Message("compare.needs"))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if asJSON && asMarkdown {
				return usage(words.Message("compare.one_form"))
			}
			n := 0
			if c.Flags().Changed("bottles") {
				var err error
				if n, err = batchSize(bottles); err != nil {
					return err
				}
			}
			e, compared, err := t.compare(c.Context(), s, args, n)
			if err != nil {
				return err
			}
			if asJSON {
				return t.json(compareReport(e, compared))
			}
			set := leaf.CompareText
			if asMarkdown {
				set = leaf.CompareMarkdown
			}
			text, err := set(e, compared, all)
			if err == nil {
				_, err = t.Write([]byte(text))
			}
			return err
		},
	}
	c.ValidArgsFunction = protocolNames(s, 1)
	c.Flags().StringVar(&bottles, "bottles", "", "a `number` of vessels to grow; without it, the first of the protocol's batch sizes")
	c.Flags().BoolVar(&all, "all", false, "print all figures, however many a group has")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	c.Flags().BoolVar(&asMarkdown, "markdown", false, "print Markdown, for a comment on a pull request")
	return c
}

// compare compares what two arguments name. The words and units are those of the farm
// after.
func (t *terminal) compare(ctx context.Context, s *settings, args []string, n int) (leaf.Edition, leaf.Compared, error) {
	sides := &sides{terminal: t, settings: s, opened: map[string]*farm{}, commits: map[string]history.Commit{}}
	var named [2]sided
	for i, text := range args[1:] {
		var err error
		if named[i], err = sides.named(ctx, args[0], text); err != nil {
			return leaf.Edition{}, leaf.Compared{}, err
		}
	}
	before, after := named[0], named[1]
	if n == 0 {
		n = after.farm.protocol(after.protocol).BatchSizes[0]
	}
	out, err := after.farm.compared(after, before, n)
	var refused *change.Refused
	if errors.As(err, &refused) {
		which := before
		if refused.After {
			which = after
		}
		which.farm.add(refused.Findings)
		t.findings(which.farm.voice, which.farm.of(which.protocol), false)
		return leaf.Edition{}, out, fail(atFault, words.Message("compare.refused", "which", which.label(after.farm.voice)))
	}
	return after.farm.edition(), out, err
}

// sided is one side of a comparison: a protocol of a farm, and what that farm is called.
type sided struct {
	farm     *farm
	protocol string
	commit   *history.Commit // of a revision
	folder   string          // another farm's; "" for the farm itself
}

// label is what a side is called.
func (n sided) label(v *words.Voice) string {
	switch {
	case n.commit != nil:
		return v.Say(words.Message("compare.at", "protocol", n.protocol, "commit", n.commit.Short(), "date", n.commit.Date))
	case n.folder != "":
		return v.Say(words.Message("compare.in", "protocol", n.protocol, "folder", n.folder))
	}
	return v.Say(words.Message("compare.here", "protocol", n.protocol))
}

// sides opens what arguments name, each farm once.
type sides struct {
	*terminal
	*settings
	opened  map[string]*farm // by folder and revision
	commits map[string]history.Commit
}

// named finds what an argument names. What could be two things is refused, and never
// guessed.
func (x *sides) named(ctx context.Context, pr, text string) (sided, error) {
	if name, where, both := strings.Cut(text, "@"); both && where != "" && where[0] != '{' && protocolName.MatchString(name) {
		pr, text = name, where
	} else if protocolName.MatchString(text) {
		here, err := x.here()
		if err != nil {
			return sided{}, err
		}
		if here.has(text) {
			if _, _, err := x.at(ctx, text); err == nil {
				return sided{}, usage(words.Message("compare.several", "found", text, "protocol", text+"@.", "revision", pr+"@"+text))
			}
			pr, text = text, "."
		}
	}
	switch {
	case text == ".":
		f, err := x.here()
		return x.has(sided{farm: f, protocol: pr}, err)
	case text == ".." || strings.ContainsAny(text, `/\`) && isFolder(text):
		f, err := x.in(text)
		return x.has(sided{farm: f, protocol: pr, folder: text}, err)
	}
	f, commit, err := x.at(ctx, text)
	var none *failure
	if errors.As(err, &none) && none.what.ID == "history.no_revision" {
		return sided{}, &failure{misused, words.Message("compare.none", "found", printable(text)), words.Message("compare.none.hint")}
	}
	return x.has(sided{farm: f, protocol: pr, commit: &commit}, err)
}

// protocolName is what a file of a protocol may be called; names of revisions that look
// like one are told from it by what there is.
var protocolName = regexp.MustCompile(`^[a-z0-9]+(?:-[a-z0-9]+)*$`)

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// has refuses a side whose farm lacks the protocol, or has it with errors.
func (x *sides) has(n sided, err error) (sided, error) {
	if err != nil {
		return n, err
	}
	v := n.farm.voice
	if !n.farm.has(n.protocol) {
		// One that could not be read has errors of its own; elsewhere nobody made it.
		if found := n.farm.of(n.protocol); protocol.Worst(found) == protocol.Error {
			x.findings(v, protocol.Errors(found), false)
			return n, fail(atFault, words.Message("compare.refused", "which", n.label(v)))
		}
		var known []string
		for _, p := range n.farm.folder.Protocols {
			known = append(known, p.Name)
		}
		where := x.farm()
		switch {
		case n.commit != nil:
			where = n.commit.Short()
		case n.folder != "":
			where = n.folder
		}
		return n, usage(words.Message("compare.no_protocol", "found", n.protocol, "where", where, "known", strings.Join(known, ", ")))
	}
	return n, nil
}

func (x *sides) farm() string { return x.settings.farm }

func (x *sides) open(key string, open func() (*farm, error)) (*farm, error) {
	if f, done := x.opened[key]; done {
		return f, nil
	}
	f, err := open()
	if err == nil {
		x.opened[key] = f
	}
	return f, err
}

func (x *sides) here() (*farm, error) { return x.in(x.farm()) }

func (x *sides) in(folder string) (*farm, error) {
	return x.open(folder, func() (*farm, error) {
		s := *x.settings
		s.farm = folder
		return openFarm(&s)
	})
}

func (x *sides) at(ctx context.Context, rev string) (*farm, history.Commit, error) {
	f, err := x.open("@"+rev, func() (*farm, error) {
		f, commit, err := openFarmAt(ctx, x.settings, rev)
		x.commits[rev] = commit
		return f, err
	})
	return f, x.commits[rev], err
}

// has reports whether the farm has a protocol without errors of its reading.
func (f *farm) has(name string) bool {
	return f.folder.Usable && slices.ContainsFunc(f.folder.Protocols, func(p protocol.Protocol) bool { return p.Name == name })
}

// protocol is one of the farm's protocols, which must be there.
func (f *farm) protocol(name string) protocol.Protocol {
	return f.folder.Protocols[slices.IndexFunc(f.folder.Protocols, func(p protocol.Protocol) bool { return p.Name == name })]
}
