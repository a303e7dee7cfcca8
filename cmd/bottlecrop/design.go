package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/design"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// designFlags are what design was asked for, as written.
type designFlags struct {
	use                             []string
	nitrogen, cn, ash, air          string
	cheapest, closest, leastSquares bool
	write, asJSON                   bool
}

func designCommand(t *terminal, s *settings) *cobra.Command {
	flags := &designFlags{}
	c := &cobra.Command{
		Use:   "design PROTOCOL",
		Short: "Find a better formula for a protocol from the ingredients at hand",
		Long: `design looks for the shares of dry matter that keep a protocol within its targets: the
formula closest to the one it has, or the cheapest. It prints them as the protocol
writes them, with an account of what they were held to, which bound holds the formula
back, and what loosening that would gain. Where nothing keeps within all targets, it
says which of them contradict one another, and what can be reached.

What you do not give is as it is known: the ingredients are those of the protocol up to
their usual caps, with minerals kept as they are; nitrogen is what the species likes, and
C:N and air what the limits say. Prices and moistures are those of farm.toml. A range is
LOW..HIGH, and either end may be left out; one value alone is to be met. Of ash one value
is the most, and of air the least.

  bottlecrop design enoki-850 --use corn-cob --cheapest
  bottlecrop design enoki-850 --use wheat-bran=10%..20% --nitrogen 1.3%..1.5%

--write changes the protocol's file, and nothing in it but its ingredients.`,
		Args: oneArgument("design.needs_protocol"),
		RunE: func(c *cobra.Command, args []string) error { return t.designFormula(c.Context(), s, args[0], flags) },
	}
	f := c.Flags()
	f.StringArrayVar(&flags.use, "use", nil, "an ingredient at hand, with the bounds of its share of dry matter where the usual ones won't do (`ingredient[=range]`)")
	f.StringVar(&flags.nitrogen, "nitrogen", "", "nitrogen in the dry matter (`range`, such as 1.3%..1.5%)")
	f.StringVar(&flags.cn, "cn", "", "carbon to nitrogen ratio (`range`, such as 30..40)")
	f.StringVar(&flags.ash, "ash", "", "most ash in the dry matter (`share`, such as 8%)")
	f.StringVar(&flags.air, "air", "", "least air in the packed substrate, so that it does not weep (`share`, such as 25%)")
	f.BoolVar(&flags.closest, "closest", false, "least change of shares from the formula that the protocol has; what it does unless told otherwise")
	f.BoolVar(&flags.cheapest, "cheapest", false, "least cost of the dry matter")
	f.BoolVar(&flags.leastSquares, "least-squares", false, "least sum of squared changes: many small ones rather than a few large")
	f.BoolVar(&flags.write, "write", false, "write the formula into the protocol's file")
	f.BoolVar(&flags.asJSON, "json", false, "print JSON")
	c.ValidArgsFunction = protocolNames(s, 1)
	return c
}

// designFormula is the whole command.
func (t *terminal) designFormula(ctx context.Context, s *settings, name string, flags *designFlags) error {
	request, err := flags.request()
	if err != nil {
		return err
	}
	var w *writing
	if flags.write {
		w = s.hold(protocol.Document(name))
	}
	f, err := openFarm(s)
	if err != nil {
		return err
	}
	in, err := f.designInput(name)
	if err != nil {
		if errors.Is(err, errFaulty) {
			t.findings(f.voice, f.findings, false)
		}
		return err
	}
	d, err := design.For(in, request)
	var refused *design.Refusal
	if errors.As(err, &refused) {
		return t.designRefused(f, name, refused, flags.asJSON)
	}
	if err != nil {
		return err
	}
	if w != nil {
		if err := t.prepare(w, f, d); err != nil {
			return err
		}
	}
	if flags.asJSON {
		if w != nil {
			err = t.commit(ctx, s, f, d, w, true)
		} else {
			t.findings(f.voice, designFindings(d), false)
		}
		if err != nil && !errors.Is(err, errFaulty) {
			return err
		}
		return errors.Join(t.json(designReport(f, d, w != nil && !w.same())), err)
	}
	t.account(f, d, !flags.write)
	if w != nil {
		return t.commit(ctx, s, f, d, w, false)
	}
	t.entries(d)
	t.findings(f.voice, designFindings(d), false)
	return nil
}

// designInput is a protocol of the folder with what it is worked out from.
func (f *farm) designInput(name string) (process.Input, error) {
	i := slices.IndexFunc(f.folder.Protocols, func(p protocol.Protocol) bool { return p.Name == name })
	if i < 0 || !f.folder.Usable {
		_, err := f.sheet(name, 1, nil) // it says why
		if err == nil {
			err = errFaulty
		}
		return process.Input{}, err
	}
	return process.Input{
		Farm: f.folder.Farm, Library: f.folder.Library, Protocol: f.folder.Protocols[i], Units: f.voice.Units(),
	}, nil
}

// designFindings are what the limits say of a protocol with its new formula. It
// is in no file yet, so they are of the protocol's file as a whole.
func designFindings(d *design.Design) []protocol.Finding {
	var out []protocol.Finding
	for _, x := range d.Process.Findings {
		if strings.HasPrefix(x.Origin.Key, "substrate.ingredient") {
			x.Place = protocol.Place{File: d.Input.Document()}
			out = append(out, x)
		}
	}
	return out
}

// request reads the flags.
func (flags *designFlags) request() (design.Request, error) {
	r := design.Request{Goal: design.Closest}
	goals := 0
	for _, g := range []struct {
		on   bool
		goal design.Goal
	}{{flags.closest, design.Closest}, {flags.cheapest, design.Cheapest}, {flags.leastSquares, design.LeastSquares}} {
		if g.on {
			r.Goal = g.goal
			goals++
		}
	}
	if goals > 1 {
		return r, usage(words.Message("design.one_goal"))
	}
	var err error
	if r.Nitrogen, err = span("--nitrogen", flags.nitrogen, unit.ShareOf); err != nil {
		return r, err
	}
	if r.CN, err = span("--cn", flags.cn, unit.None); err != nil {
		return r, err
	}
	if r.Ash, err = span("--ash", flags.ash, unit.ShareOf); err != nil {
		return r, err
	}
	if r.Ash != nil && r.Ash.Low == r.Ash.High {
		r.Ash.Low = math.Inf(-1)
	}
	air, err := span("--air", flags.air, unit.ShareOf)
	if err != nil {
		return r, err
	}
	if air != nil {
		r.Air = &air.Low
	}
	for _, text := range flags.use {
		id, bounds, bounded := strings.Cut(text, "=")
		use := design.Use{Ingredient: strings.TrimSpace(id)}
		if use.Ingredient == "" || bounded && strings.TrimSpace(bounds) == "" {
			return r, usage(words.Message("design.use_form", "found", text))
		}
		if bounded {
			if use.Bounds, err = span("--use "+use.Ingredient, bounds, unit.ShareOf); err != nil {
				return r, err
			}
			use.Bounds.Low = math.Max(0, use.Bounds.Low)
		}
		r.Use = append(r.Use, use)
	}
	return r, nil
}

// span reads LOW..HIGH of one kind; nothing is nil, and an end that is left out
// infinite. No target of a design can be below 0.
func span(flag, text string, kind unit.Kind) (*design.Range, error) {
	if text == "" {
		return nil, nil
	}
	id := "design.range_share"
	if kind == unit.None {
		id = "design.range_number"
	}
	bad := usage(words.Message(id, "flag", flag, "found", text))
	read := func(part string, open float64) (float64, bool) {
		part = strings.TrimSpace(part)
		if part == "" {
			return open, true
		}
		if kind == unit.None {
			v, err := strconv.ParseFloat(part, 64)
			return v, err == nil && v >= 0 && !math.IsInf(v, 0)
		}
		v, err := unit.Parse(kind, part)
		return v, err == nil && v >= 0
	}
	low, high, two := strings.Cut(text, "..")
	if !two {
		high = low
	}
	if strings.TrimSpace(low) == "" && strings.TrimSpace(high) == "" {
		return nil, bad
	}
	var r design.Range
	var okLow, okHigh bool
	r.Low, okLow = read(low, math.Inf(-1))
	r.High, okHigh = read(high, math.Inf(1))
	if !okLow || !okHigh {
		return nil, bad
	}
	return &r, nil
}

// designRefused says why there is no formula: what contradicts, and what can be
// reached.
func (t *terminal) designRefused(f *farm, name string, r *design.Refusal, asJSON bool) error {
	if asJSON && len(r.Against) > 0 {
		if err := t.json(refusalReport(f, name, r)); err != nil {
			return err
		}
	}
	if len(r.Against) == 0 {
		code := atFault
		if r.Asked {
			code = misused
		}
		return &failure{code: code, what: r.What, hint: r.Hint}
	}
	v := f.voice
	fmt.Fprintf(t.err, "bottlecrop: %s\n", plain(v.Say(r.What)))
	for _, b := range r.Bounds() {
		fmt.Fprintf(t.err, "  %s\n", plain(v.Say(b)))
	}
	for _, x := range r.Reached() {
		fmt.Fprintf(t.err, "  reach: %s\n", plain(v.Say(x)))
	}
	fmt.Fprintf(t.err, "  hint: %s\n", plain(v.Say(r.Hint)))
	return errFaulty
}

// account tells what a design was held to, as remarks of a TOML file where its
// entries follow.
func (t *terminal) account(f *farm, d *design.Design, asRemarks bool) {
	var b bytes.Buffer
	own := &terminal{out: &b, err: t.err}
	v := f.voice
	fmt.Fprintln(own, plain(v.Say(d.Headline()))+".")
	if d.Cost != nil {
		now, house := f.edition().PriceOfMass(*d.Cost, 3), f.edition().PriceOfMass(*d.HouseCost, 3)
		if now == house {
			own.say(v, "design.cost.same", "now", now)
		} else {
			own.say(v, "design.cost", "now", now, "house", house)
		}
	}
	say := func(m protocol.Message) string { return v.Say(m) }
	head := func(id string) string { return v.Say(words.Message("design.head." + id)) }
	fmt.Fprintln(own)
	rows := [][]string{{head("share"), head("house"), head("now"), head("bounds"), head("from")}}
	for _, l := range d.Lines {
		rows = append(rows, []string{l.Ingredient.ID, farmfile.ShareText(unit.DryShare(l.House)), farmfile.ShareText(unit.DryShare(l.Now)),
			say(l.Span()), say(words.Message("design.from." + l.From))})
	}
	own.columns(rows)
	fmt.Fprintln(own)
	rows = [][]string{{head("figure"), head("house"), head("now"), head("target"), head("from")}}
	for _, x := range d.Figures {
		rows = append(rows, []string{say(design.Name(x.Quantity)), design.Amount(x.Quantity, x.House).Show(v.Units()), design.Amount(x.Quantity, x.Now).Show(v.Units()),
			say(x.Span()), say(words.Message("design.from." + x.From))})
	}
	own.columns(rows)
	fmt.Fprintln(own)
	held := d.HeldBack(f.saving)
	if len(held) == 0 {
		if d.Changed() || d.Goal == design.Cheapest {
			own.say(v, "design.held.none")
		}
	} else {
		own.say(v, "design.held")
	}
	for _, m := range held {
		fmt.Fprintln(own, "  "+plain(say(m)))
	}
	for line := range strings.Lines(strings.TrimRight(b.String(), "\n") + "\n") {
		if asRemarks {
			line = strings.TrimRight("# "+strings.TrimRight(line, "\n"), " ") + "\n"
		}
		fmt.Fprint(t, line)
	}
	if asRemarks {
		fmt.Fprintln(t)
	}
}

// entries prints the formula as a protocol writes it.
func (t *terminal) entries(d *design.Design) {
	first := true
	for _, l := range d.Lines {
		if l.Now == 0 {
			continue
		}
		if !first {
			fmt.Fprintln(t)
		}
		first = false
		fmt.Fprintf(t, "[[substrate.ingredient]]\ningredient = %q\nshare_dm = %q\n", l.Ingredient.ID, farmfile.ShareText(unit.DryShare(l.Now)))
	}
}

// saving prints what loosening a bound takes off the cost of a kg.
func (f *farm) saving(perKilogram float64) string { return f.edition().PriceOfMass(perKilogram, 2) }
