package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/stock"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

func stockCommand(t *terminal, s *settings) *cobra.Command {
	var bottles string
	var asJSON bool
	c := &cobra.Command{
		Use:   "stock [PROTOCOL[=N]...]",
		Short: "Say how many vessels the stock makes, and what is missing for more",
		Long: `stock works out what can be made of the lots in protocols/stock.toml, the oldest first
and with the moisture that they have: how many vessels, which ingredient runs out first,
what is then left, and what is missing to fill the next load of the sterilizer. For a
number of vessels it says what is missing for it, and what that costs.

Without a protocol it takes each by itself, as if that had the whole stock. Several that
are named share the stock in their order: a number is set aside, and without one a
protocol takes all that it can use.

  bottlecrop stock
  bottlecrop stock enoki-850 --bottles 236
  bottlecrop stock oyster-1100=82 enoki-850

"bottlecrop sheet PROTOCOL --bottles N --from-stock" then prints the sheet.`,
		RunE: func(_ *cobra.Command, args []string) error {
			asked, err := stockAsked(args, bottles)
			if err != nil {
				return err
			}
			f, err := openFarm(s)
			if err != nil {
				return err
			}
			return t.stock(f, asked, bottles, asJSON)
		},
	}
	c.ValidArgsFunction = protocolNames(s, math.MaxInt)
	c.Flags().StringVar(&bottles, "bottles", "", fmt.Sprintf("how many vessels to grow of each that has no number of its own, 1 to %d (`number`)", protocol.MostVessels))
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// wanted is a protocol that is to be made from stock, and how many vessels; 0 for
// as many as there may be.
type wanted struct {
	name    string
	vessels int
}

// stockAsked reads what stock was called with.
func stockAsked(args []string, bottles string) ([]wanted, error) {
	usual := 0
	if bottles != "" {
		n, err := batchSize(bottles)
		if err != nil {
			return nil, err
		}
		usual = n
	}
	var out []wanted
	for _, arg := range args {
		name, number, given := strings.Cut(arg, "=")
		w := wanted{name, usual}
		if given {
			n, err := batchSize(number)
			if err != nil || name == "" {
				return nil, usage(words.Message("stock.form", "found", arg, "protocol", "enoki-850"))
			}
			w.vessels = n
		}
		if slices.ContainsFunc(out, func(x wanted) bool { return x.name == name }) {
			return nil, usage(words.Message("stock.twice", "found", name))
		}
		out = append(out, w)
	}
	return out, nil
}

// made is what comes of the stock by one protocol.
type made struct {
	wanted
	title    string
	in       process.Input
	before   stock.Shelf
	batch    *batch.Batch       // for the number asked for, else the most; nil for none
	first    []batch.Weighing   // what runs out first; empty where a number was asked for
	next     *batch.Batch       // that has the missing rows: the batch asked for, or with full loads
	findings []protocol.Finding // that bear upon it
}

// stock is the whole command.
func (t *terminal) stock(f *farm, asked []wanted, bottles string, asJSON bool) error {
	if f.verdict() != nil {
		t.findings(f.voice, slices.DeleteFunc(f.findings, func(x protocol.Finding) bool { return x.Severity != protocol.Error }), false)
		return errFaulty
	}
	if err := f.inStore(); err != nil {
		return err
	}
	share := len(asked) > 0
	if !share {
		n := 0
		if bottles != "" {
			n, _ = batchSize(bottles) // it was read before
		}
		for _, p := range f.folder.Protocols {
			asked = append(asked, wanted{p.Name, n})
		}
	}
	var all []made
	shelf := stock.Of(f.folder.Stock)
	for _, w := range asked {
		m, err := f.make(w, shelf)
		if err != nil {
			return err
		}
		if share && m.batch != nil {
			shelf = shelf.Less(m.batch)
		}
		all = append(all, m)
	}
	if asJSON {
		if err := t.json(stockReport(f, all, share)); err != nil {
			return err
		}
	} else if len(all) > 1 {
		t.say(f.voice, map[bool]string{true: "stock.shared", false: "stock.alone"}[share])
		fmt.Fprintln(t)
	}
	var found []protocol.Finding
	for i, m := range all {
		if !asJSON {
			if i > 0 {
				fmt.Fprintln(t)
			}
			t.made(f, m)
		}
		found = append(found, m.findings...)
	}
	protocol.Sort(found)
	t.findings(f.voice, f.distinct(found), false)
	if protocol.Worst(found) == protocol.Error {
		return errFaulty
	}
	return nil
}

// inStore refuses a farm that has nothing in store.
func (f *farm) inStore() error {
	if len(f.folder.Stock.Lots) > 0 {
		return nil
	}
	return &failure{atFault, words.Message("stock.none", "file", protocol.StockDocument), words.Message("stock.none.hint")}
}

// make works out what a shelf makes by one protocol.
func (f *farm) make(w wanted, shelf stock.Shelf) (made, error) {
	m := made{wanted: w, before: shelf}
	i := slices.IndexFunc(f.folder.Protocols, func(p protocol.Protocol) bool { return p.Name == w.name })
	if i < 0 {
		_, err := f.sheet(w.name, 1, nil) // it says which there are
		return m, err
	}
	p := f.folder.Protocols[i]
	m.title = p.Title
	m.in = process.Input{Farm: f.folder.Farm, Library: f.folder.Library, Protocol: p, Units: f.voice.Units(), Evidence: f.evidenceFor(p)}
	maker, err := stock.New(m.in, shelf)
	if err != nil {
		return m, err
	}
	if w.vessels > 0 {
		m.batch, err = f.makeOne(&m, maker, w.vessels)
		m.next = m.batch
		return m, err
	}
	most, err := maker.Most()
	if err != nil {
		return m, err
	}
	if most > 0 {
		if m.batch, err = f.makeOne(&m, maker, most); err != nil {
			return m, err
		}
	}
	if most == protocol.MostVessels {
		return m, nil
	}
	above, err := f.makeOne(nil, maker, most+1)
	if err == nil && above != nil {
		m.first = stock.Short(above)
	}
	full, err := stock.NextFull(maker.Process(), most)
	if err == nil && full <= protocol.MostVessels {
		judged := &m
		if m.batch != nil {
			judged = nil // its lots were judged by then
		}
		m.next, err = f.makeOne(judged, maker, full)
	}
	if len(m.first) == 0 && m.next != nil {
		m.first = stock.Short(m.next) // one vessel more is too few to weigh
	}
	return m, err
}

// makeOne makes one batch, and notes what the limits say of its lots and its
// number of vessels.
func (f *farm) makeOne(m *made, maker *stock.Maker, vessels int) (*batch.Batch, error) {
	p, b, err := maker.Make(vessels)
	if err != nil || m == nil {
		return b, err
	}
	note := func(list []protocol.Finding) {
		for _, x := range list {
			x.Place = f.place(x)
			if x.Place.File == protocol.StockDocument || x.Severity == protocol.Error {
				m.findings = append(m.findings, x)
			}
		}
	}
	note(p.Findings)
	if b != nil {
		note(b.Own)
	}
	return b, nil
}

// fromStock puts the lots that a batch is made from into what it is planned from.
// A stock with faults is no stock.
func (f *farm) fromStock(in process.Input, n size) (process.Input, error) {
	if slices.ContainsFunc(f.findings, func(x protocol.Finding) bool {
		return x.Severity == protocol.Error && x.Place.File == protocol.StockDocument
	}) {
		return in, errFaulty
	}
	if err := f.inStore(); err != nil {
		return in, err
	}
	maker, err := stock.New(in, stock.Of(f.folder.Stock))
	if err != nil || protocol.Worst(maker.Process().Findings) == protocol.Error {
		return in, err // the plan will say what is wrong
	}
	if n.good > 0 {
		// How many are to grow does not depend on the lots.
		b, err := n.compute(maker.Process())
		if err != nil {
			return in, err
		}
		n = size{vessels: b.Vessels}
	}
	return maker.Input(n.vessels)
}

// short lists what the stock lacks for a batch, as errors: a sheet that can't be
// followed is not printed.
func short(b *batch.Batch) []protocol.Finding {
	var out []protocol.Finding
	name := b.Process.Input.Protocol.Name
	for _, r := range stock.Short(b) {
		out = append(out, protocol.Finding{
			Severity: protocol.Error, Rule: "stock.short", Origin: working.Origin{Document: protocol.StockDocument}, Subject: name,
			What: words.Message("stock.short", "mass", r.Scale.Amount(r.Short()), "ingredient", r.Name,
				"n", b.Vessels, "vessels", b.Process.Vessel.Called(b.Vessels), "protocol", name),
			Hint: words.Message("stock.short.hint", "protocol", name, "n", b.Vessels),
		})
	}
	return out
}

// missing is a row of which the stock has not enough, and what that costs at the
// farm's price.
type missing struct {
	row  batch.Weighing
	cost *float64
}

// missing lists what a batch lacks.
func (m made) missing() (list []missing, total float64, priced bool) {
	priced = true
	if m.next == nil {
		return nil, 0, false
	}
	for _, r := range stock.Short(m.next) {
		x := missing{row: r}
		if price, ok := m.in.Farm.Prices[r.ID]; ok {
			c := unit.Nearest(price.Amount*r.Short()*100) / 100 // what is printed adds up
			x.cost = &c
			total += c
		} else {
			priced = false
		}
		list = append(list, x)
	}
	return list, total, priced
}

// amountIn is a mass in stock, as exactly as its file may have it.
func amountIn(mass float64) unit.Amount {
	return unit.Amount{Kind: unit.MassOf, Value: mass, Digits: 5}
}
