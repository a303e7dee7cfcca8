package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/filing"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/press"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/words"
)

// traceFlags are the flags of trace as they were written.
type traceFlags struct {
	to, browser string
	json        bool
}

func traceCommand(t *terminal, s *settings) *cobra.Command {
	var flags traceFlags
	c := &cobra.Command{
		Use:   "trace CODE",
		Short: "Say what went into a batch or lot, and who got it",
		Long: `trace follows what protocols/results.toml and protocols/stock.toml say of lots, spawn, runs
of the sterilizer, batches, harvest and deliveries. CODE is that of any of them, the
fingerprint of a method as on a record, or the name of a customer:

  bottlecrop trace enoki-850-2026-08-31
  bottlecrop trace S-41
  bottlecrop trace "run:K-12"            where several things have one code

It tells what went into it, which batches it touches and by how many vessels, which ones
it may touch because their record does not say, where the crop went, and whether the
kilograms add up: picked = sent + unsold, and goods, water and spawn = crop + waste + what
goes into the air.

  bottlecrop trace S-41 --to recall.pdf

prints a mock recall to fill in, with what to do in which order. It is a drill. Local food
law and the person in charge have the last word.`,
		Args: oneArgument("trace.needs_code"),
		RunE: func(c *cobra.Command, args []string) error {
			pdf, err := flags.read()
			if err != nil {
				return err
			}
			f, err := openFarm(s)
			if err != nil {
				return err
			}
			return t.trace(c.Context(), f, args[0], flags, pdf)
		},
	}
	c.Flags().StringVar(&flags.to, "to", "", "write a mock recall to this `file`, .html or .pdf")
	c.Flags().BoolVar(&flags.json, "json", false, "print JSON")
	c.Flags().StringVar(&flags.browser, "browser", "", "the `program` to print with, in place of "+strings.Join(press.Programs, ", "))
	return c
}

// read says whether a PDF is wanted.
func (flags traceFlags) read() (pdf bool, err error) {
	if flags.to == "" {
		return false, nil
	}
	return printsTo(flags.to)
}

// web is all that is written down of lots and batches; nil where nothing is.
func (f *farm) web() *trace.Web {
	r, st := f.folder.Results, f.folder.Stock
	if len(r.Batches)+len(r.Spawn)+len(r.Runs)+len(st.Lots) == 0 {
		return nil
	}
	in := trace.Input{Results: r, Stock: st, Orders: f.folder.Orders, Processes: map[string]*process.Process{}, Methods: map[string]trace.Fingerprint{}, Names: map[string]string{}}
	for id, i := range f.folder.Library.Ingredients {
		in.Names[id] = i.Name
	}
	for _, e := range f.entries {
		name := e.Method.Protocol
		in.Processes[name], in.Methods[name] = e.Process, trace.Fingerprint{Short: e.Method.Short, Full: e.Method.Full}
		in.Names[name] = e.Process.Input.Protocol.Title
	}
	return trace.New(in)
}

// traced is the web where the book has a page for it: something of a batch can be
// followed.
func (f *farm) traced() *trace.Web {
	w := f.web()
	if w == nil || !slices.ContainsFunc(w.Results.Batches, func(b protocol.Result) bool { return w.Traceable(b.Code) }) {
		return nil
	}
	return w
}

// found is what a code stands for.
func (f *farm) found(w *trace.Web, code string) (trace.Node, error) {
	a := w.Find(code)
	written := func(list []trace.Node) string {
		var out []string
		for _, n := range list {
			out = append(out, trace.Written(n))
		}
		return f.voice.List(out)
	}
	switch {
	case a.Found:
		return a.Node, nil
	case len(a.Among) > 0:
		return a.Node, &failure{misused, words.Message("trace.ambiguous", "found", code), words.Message("trace.ambiguous.hint", "list", written(a.Among))}
	case len(a.Near) > 0:
		var codes []string
		for _, n := range a.Near {
			codes = append(codes, f.voice.Say(w.Said(n)))
		}
		return a.Node, &failure{misused, words.Message("trace.unknown", "found", code), words.Message("trace.unknown.near", "near", f.voice.Phrases(codes))}
	}
	return a.Node, &failure{misused, words.Message("trace.unknown", "found", code), words.Message("trace.unknown.hint", "results", protocol.ResultsDocument, "stock", protocol.StockDocument)}
}

// trace is the whole command.
func (t *terminal) trace(ctx context.Context, f *farm, code string, flags traceFlags, pdf bool) error {
	// A trace rests on the files of records. What is wrong with them would lead it astray,
	// and what is wrong with a protocol would not: somebody may be ill.
	bad := slices.DeleteFunc(slices.Clone(f.findings), func(x protocol.Finding) bool {
		return x.Severity != protocol.Error || !slices.Contains([]string{protocol.ResultsDocument, protocol.StockDocument, protocol.OrdersDocument}, x.Place.File)
	})
	if len(bad) > 0 {
		t.findings(f.voice, bad, false)
		return errFaulty
	}
	w := f.web()
	if w == nil {
		return &failure{atFault, words.Message("trace.none"), words.Message("trace.none.hint", "file", protocol.ResultsDocument)}
	}
	n, err := f.found(w, code)
	if err != nil {
		return err
	}
	r := w.Recall(n)
	if flags.to != "" {
		if err := t.recall(ctx, f, w, r, flags, pdf); err != nil || !flags.json {
			return err
		}
	}
	if flags.json {
		return t.json(traceReport(f, w, r))
	}
	t.followed(f, w, r)
	return nil
}

// recall writes the mock recall.
func (t *terminal) recall(ctx context.Context, f *farm, w *trace.Web, r *trace.Recall, flags traceFlags, pdf bool) error {
	page, err := leaf.Recall(f.edition(), w, r)
	if err != nil {
		return err
	}
	if pdf {
		if page, err = onePDF(ctx, flags.browser, page); err != nil {
			return err
		}
	}
	if err := filing.Put(flags.to, page, likePrinted(flags.to)); err != nil {
		return err
	}
	if !flags.json {
		t.say(f.voice, "trace.written", "file", flags.to)
	}
	return nil
}

// followed prints a trace.
func (t *terminal) followed(f *farm, w *trace.Web, r *trace.Recall) {
	said := func(m protocol.Message) string { return plain(f.voice.Say(m)) }
	point := func(m protocol.Message) { t.point(f, m) }
	part := func(id string) { fmt.Fprintf(t, "\n%s\n", said(words.Message(id))) }
	fmt.Fprintln(t, said(w.Said(r.Start)))
	for _, m := range w.About(r.Start) {
		point(m)
	}
	if r.Bought != nil {
		point(r.Bought.Said())
	}
	if len(r.Back) > 0 {
		part("trace.back")
		for _, n := range r.Back {
			point(w.Said(n))
		}
	}
	if len(r.Batches)+len(r.Maybe)+len(r.Spawn) == 0 {
		fmt.Fprintf(t, "\n%s\n", said(words.Message("trace.nothing")))
		return
	}
	fmt.Fprintf(t, "\n%s\n", said(r.Head()))
	if len(r.Spawn) > 0 {
		part("trace.spawn")
		for _, n := range r.Spawn {
			point(w.Said(n))
		}
	}
	if len(r.Batches) > 0 {
		part("trace.batches")
		for _, b := range r.Batches {
			point(words.Message("trace.batch", "code", b.Code, "day", b.Mixed, "how", w.Reached(b, r.Start)))
		}
	}
	if len(r.Maybe) > 0 {
		part("trace.maybe")
		for _, p := range r.Maybe {
			point(words.Message("trace.batch", "code", p.Code, "day", p.Mixed, "how", w.Open(p)))
		}
	}
	if len(r.Lots) > 0 {
		part("trace.lots")
		for _, l := range r.Lots {
			point(words.Message("trace.lot", "code", l.Code, "picked", trace.Mass(l.Picked), "sent", trace.Mass(l.Sent), "unsold", trace.Mass(l.Unsold), "gap", trace.Mass(l.Gap)))
			if len(l.Others) > 0 {
				point(l.Shares())
			}
		}
		if len(r.Lots) > 1 {
			point(words.Message("trace.lot", "code", said(words.Message("trace.total")), "picked", trace.Mass(r.Total.Picked), "sent", trace.Mass(r.Total.Sent), "unsold", trace.Mass(r.Total.Unsold), "gap", trace.Mass(r.Total.Gap)))
		}
		for _, m := range r.Means() {
			point(m)
		}
	}
	if len(r.Sent) > 0 {
		part("trace.sent")
		for _, d := range r.Sent {
			point(delivery(d))
		}
	}
	if len(r.Promised) > 0 {
		part("trace.promised")
		for _, o := range r.Promised {
			point(words.Message("trace.order", "order", o.ID, "for", o.For))
		}
	}
	part("trace.balances")
	for _, b := range r.Batches {
		for i, m := range b.Balance.Said() {
			if i == 0 {
				m = words.Message("trace.balance.of", "code", b.Code, "said", m)
			}
			point(m)
		}
	}
	part("trace.do")
	for i, m := range w.Do(r) {
		fmt.Fprintf(t, "  %s\n", said(words.Message("trace.step", "n", i+1, "do", m)))
	}
}

// delivery says who got what.
func delivery(d trace.Delivery) protocol.Message {
	args := []any{"day", d.On, "to", d.To, "mass", trace.Mass(float64(d.Mass)), "lot", d.Lot}
	if d.For == "" {
		return words.Message("trace.delivery", args...)
	}
	return words.Message("trace.delivery.other", append(args, "order", d.Order, "for", d.For)...)
}

// onePDF prints one page that stands on its own.
func onePDF(ctx context.Context, program string, page []byte) ([]byte, error) {
	browser, err := foundBrowser(program)
	if err != nil {
		return nil, err
	}
	var out []byte
	err = pressing(ctx, browser, func(print func(page []byte) ([]byte, error)) (err error) {
		out, err = print(page)
		return err
	})
	return out, err
}
