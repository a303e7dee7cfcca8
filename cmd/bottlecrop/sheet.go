package main

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/rescale"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

func sheetCommand(t *terminal, s *settings) *cobra.Command {
	var sized sizeFlags
	var moistures []string
	var asHTML, asJSON, fromStock bool
	var language spokenFlag
	c := &cobra.Command{
		Use:   "sheet PROTOCOL {--bottles N | --good N}",
		Short: "Print the sheet of one protocol for one batch",
		Long: `sheet prints the procedure of one protocol for N vessels to grow: as text, as one
HTML page that stands on its own, or as JSON. With --good it is for so many vessels
that N of them are good: harvest.lost of the protocol and [good] of farm.toml say how
many more that takes. What would fill the last crate and the loads is said beside it.

The moisture of an ingredient changes from delivery to delivery. Give what you measured
today with --moisture, once for each ingredient:

  bottlecrop sheet enoki-850 --bottles 48 --moisture soy-hull=14%

Or give what a sample weighed wet and dry: --moisture soy-hull=100g/86g

--from-stock makes the batch from the lots in protocols/stock.toml, the oldest first and
with the moisture that they have. The sheet then says what to take of which lot.

--at prints the sheet of an earlier state of the farm folder, which git has kept: a
branch, a tag, a commit's id or its beginning, or HEAD~3. Farm, library, stock and
protocols are those of then. Standard error says which commit it is.

--language prints it in another language of the farm, with its JSON in that language too.`,
		Args: oneArgument("command.sheet_needs_protocol"),
		RunE: func(c *cobra.Command, args []string) error {
			if asHTML && asJSON {
				return usage(words.Message("command.one_format"))
			}
			n, err := sized.read()
			if err != nil {
				return err
			}
			f, err := t.opened(c, s)
			if err != nil {
				return err
			}
			told, err := t.spoken(f, language, func(f *farm) (*batch.Batch, error) { return f.worked(args[0], n, moistures, fromStock) })
			if err != nil {
				return err
			}
			return t.sheet(told[0].farm, told[0].batch, asHTML, asJSON)
		},
	}
	c.ValidArgsFunction = protocolNames(s, 1)
	sized.of(c)
	atFlag(c)
	c.Flags().StringArrayVar(&moistures, "moisture", nil, "measured moisture as received, wet basis (`ingredient=share`)")
	language.of(c, 1, "print it in this `language` of farm.toml; messages are in the first")
	c.Flags().BoolVar(&fromStock, "from-stock", false, "make it from the lots in protocols/stock.toml")
	c.Flags().BoolVar(&asHTML, "html", false, "print one HTML page")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// sheet computes one batch. The findings of the farm are narrowed to those of
// the protocol; with an error among them it returns errFaulty.
func (f *farm) sheet(name string, n int, moistures []string) (*batch.Batch, error) {
	return f.worked(name, size{vessels: n}, moistures, false)
}

// worked opens a farm, works out one batch of it, and prints what was found.
func (t *terminal) worked(s *settings, name string, n size, moistures []string, fromStock bool) (*farm, *batch.Batch, error) {
	f, err := openFarm(s)
	if err != nil {
		return nil, nil, err
	}
	b, err := t.batch(f, name, n, moistures, fromStock)
	return f, b, err
}

// batch works out one batch of a farm, and prints what was found.
func (t *terminal) batch(f *farm, name string, n size, moistures []string, fromStock bool) (*batch.Batch, error) {
	b, err := f.worked(name, n, moistures, fromStock)
	if err == nil || errors.Is(err, errFaulty) {
		t.findings(f.voice, f.findings, false)
	}
	return b, err
}

// worked is sheet, of amounts for any day or of those from stock.
func (f *farm) worked(name string, n size, moistures []string, fromStock bool) (*batch.Batch, error) {
	i := slices.IndexFunc(f.folder.Protocols, func(p protocol.Protocol) bool { return p.Name == name })
	f.findings = f.of(name)
	if i < 0 {
		if protocol.Worst(f.findings) == protocol.Error {
			return nil, errFaulty // it is there, and could not be read
		}
		return nil, f.noProtocol(name)
	}
	if !f.folder.Usable {
		return nil, errFaulty // no plan without a farm and a library to plan with
	}
	p := f.folder.Protocols[i]
	measured, err := f.measured(p, moistures)
	if err != nil {
		return nil, err
	}
	in := process.Input{
		Farm: f.folder.Farm, Library: f.folder.Library, Protocol: p, Units: f.voice.Units(), Measured: measured, Evidence: f.evidenceFor(p),
	}
	if fromStock {
		if in, err = f.fromStock(in, n); err != nil {
			return nil, err
		}
	}
	pr, err := process.Plan(in)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	// What was found for the sizes that the protocol names does not concern
	// this one; what the reader found does.
	f.findings = slices.DeleteFunc(f.findings, func(x protocol.Finding) bool { return x.Origin.Document != "" || x.Subject == name })
	written := f.authored(pr)
	f.add(pr.Findings)
	f.add(written)
	var b *batch.Batch
	if max(protocol.Worst(pr.Findings), protocol.Worst(written)) != protocol.Error {
		if b, err = n.compute(pr); err != nil {
			return nil, err
		}
		f.add(b.Own)
		f.add(short(b))
		f.add(offers(b))
	}
	protocol.Sort(f.findings)
	return b, f.verdict()
}

// noProtocol says that there is none of a name, and which there are.
func (f *farm) noProtocol(name string) error {
	var names []string
	for _, p := range f.folder.Protocols {
		names = append(names, p.Name)
	}
	return usage(words.Message("command.no_protocol", "found", name, "known", strings.Join(names, ", ")))
}

// measured reads the moistures of the day.
func (f *farm) measured(p protocol.Protocol, flags []string) (map[string]unit.WetShare, error) {
	out := map[string]unit.WetShare{}
	var known []string
	for _, part := range p.Substrate.Ingredients {
		known = append(known, part.Ingredient)
	}
	for _, flag := range flags {
		id, text, ok := strings.Cut(flag, "=")
		if !ok {
			return nil, usage(words.Message("command.moisture_form", "found", flag))
		}
		if !slices.Contains(known, id) {
			return nil, usage(words.Message("command.moisture_ingredient", "found", id, "protocol", p.Name, "known", strings.Join(known, ", ")))
		}
		if _, twice := out[id]; twice {
			return nil, usage(words.Message("command.moisture_twice", "found", id))
		}
		m, err := moistureOfDay(id, text)
		if err != nil {
			return nil, err
		}
		out[id] = m
	}
	return out, nil
}

// moistureOfDay reads a share, or what a sample weighed wet and dry.
func moistureOfDay(id, text string) (unit.WetShare, error) {
	m, wrong := rescale.MoistureOfDay(id, text)
	if wrong.ID != "" {
		return 0, usage(wrong)
	}
	return m, nil
}

// sheet prints one batch in the form that was asked for.
func (t *terminal) sheet(f *farm, b *batch.Batch, asHTML, asJSON bool) error {
	method := f.method(b.Process.Input.Protocol.Name)
	p := procedure.Build(b)
	switch {
	case asJSON:
		return t.json(sheetReport(f, b, p, method))
	case asHTML:
		page, err := leaf.LoneSheet(f.edition(), p, method)
		if err == nil {
			_, err = t.Write(page)
		}
		return err
	}
	text, err := leaf.SheetText(f.edition(), p, method)
	if err == nil {
		_, err = t.Write([]byte(text))
	}
	return err
}

var wholeNumber = regexp.MustCompile(`^[0-9]{1,7}$`)

// batchSize reads a number of vessels: a whole number from 1 to
// protocol.MostVessels.
func batchSize(text string) (int, error) {
	n, ok := wholeUpTo(text, protocol.MostVessels)
	if !ok {
		return 0, usage(words.Message("command.bottles", "found", text, "most", protocol.MostVessels))
	}
	return n, nil
}

func batchSizes(texts []string) ([]int, error) {
	var out []int
	for _, text := range texts {
		n, err := batchSize(text)
		if err != nil {
			return nil, err
		}
		out = append(out, n)
	}
	return out, nil
}

// oneArgument asks for exactly one argument, in our own words.
func oneArgument(id string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return usage(words.Message(id, "n", len(args)))
		}
		return nil
	}
}
