package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/lethality"
	"bottlecrop/cmd/internal/probe"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	thermal "bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// probeFlags are what probe is asked for.
type probeFlags struct {
	protocol, channel, chamber string
	fromAxis, aboveBase        string
	within, bore               string
	unit, dates                string
	fit, asJSON                bool
}

func probeCommand(t *terminal, s *settings) *cobra.Command {
	var p probeFlags
	c := &cobra.Command{
		Use:   "probe LOG.csv --protocol NAME",
		Short: "Read the log of a temperature probe and hold it against a protocol",
		Long: `probe reads the table that a temperature logger wrote during a run of the sterilizer.
It prints what each channel went through, and says where the log has gaps or jumps. With
--chamber it compares the run with the protocol: the vent, the hold, the lowest
temperature in it.

With --fit it works out how well the substrate conducts heat, from one channel in a
vessel, and how sure that is. It needs the place of the probe and what the bore was full
of. A log that does not tell is refused with the reason.

  bottlecrop probe log.csv --protocol enoki-850 --channel Bottle --chamber Chamber \
    --from-axis "23 mm" --above-base "60 mm" --bore air --fit

What it prints is a planning figure, not a validation.`,
		Args: oneArgument("command.probe.needs_log"),
		RunE: func(_ *cobra.Command, args []string) error {
			if p.protocol == "" {
				return usage(words.Message("command.probe.needs_protocol"))
			}
			f, err := readFarm(s)
			if err != nil {
				return err
			}
			defer f.close()
			pr, err := f.process(p.protocol)
			if err != nil {
				if errors.Is(err, errFaulty) {
					t.findings(f.voice, f.findings, false)
				}
				return err
			}
			return t.probe(f, pr, args[0], p)
		},
	}
	c.Flags().StringVar(&p.protocol, "protocol", "", "the `name` of the protocol by which the run was made")
	completeFlag(c, "protocol", protocolNames(s, math.MaxInt))
	c.Flags().StringVar(&p.channel, "channel", "", "the channel in the vessel: its `name` in the log, or the number of its column")
	c.Flags().StringVar(&p.chamber, "chamber", "", "the channel in the chamber, beside the vessels (`name` or number)")
	c.Flags().StringVar(&p.fromAxis, "from-axis", "", "how far the probe's tip was from the middle line (`length`)")
	c.Flags().StringVar(&p.aboveBase, "above-base", "", "how far it was above the inside of the base (`length`)")
	c.Flags().StringVar(&p.within, "place-within", "", "how far off its place the tip may have been (`length`; default 2 mm, 5 mm at most)")
	c.Flags().StringVar(&p.bore, "bore", "", "what the bore held: `steam`, air, collapsed or none")
	c.Flags().StringVar(&p.unit, "temperature-unit", "", "`C`, F or K, where the log does not say it")
	c.Flags().StringVar(&p.dates, "dates", "", "`mdy` or dmy, where the log does not tell")
	c.Flags().BoolVar(&p.fit, "fit", false, "work out the conductivity of the substrate")
	c.Flags().BoolVar(&p.asJSON, "json", false, "print JSON")
	return c
}

// process plans one protocol without its batches. With a fault in what it needs
// it returns errFaulty, and the findings are those of the protocol.
func (f *farm) process(name string) (*process.Process, error) {
	i := slices.IndexFunc(f.folder.Protocols, func(p protocol.Protocol) bool { return p.Name == name })
	if i < 0 || !f.folder.Usable {
		if _, err := f.sheet(name, 1, nil); err != nil { // it says why
			return nil, err
		}
		return nil, errFaulty
	}
	pr, err := process.Plan(process.Input{Farm: f.folder.Farm, Library: f.folder.Library, Protocol: f.folder.Protocols[i], Units: f.voice.Units()})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if pr.Ledger.Err() != nil {
		f.findings = nil
		f.add(pr.Findings)
		return nil, errFaulty
	}
	return pr, nil
}

// readLog reads a logger's file, at most what package probe takes.
func readLog(file string, o probe.Options) (*probe.Log, []protocol.Finding, error) {
	in, err := os.Open(file)
	if err != nil {
		return nil, nil, err
	}
	defer in.Close()
	data, err := io.ReadAll(io.LimitReader(in, probe.MostBytes+1))
	if err != nil {
		return nil, nil, err
	}
	log, found := probe.Read(filepath.ToSlash(file), data, o)
	return log, found, nil
}

// probe reads the log and prints what it says.
func (t *terminal) probe(f *farm, pr *process.Process, file string, p probeFlags) error {
	o, record, err := p.options(pr)
	if err != nil {
		return err
	}
	log, found, err := readLog(file, o)
	if err != nil {
		return err
	}
	t.farm = "" // the log was named from here, not from the farm folder
	t.findings(f.voice, found, false)
	if log == nil {
		return errFaulty
	}
	report := &probeReport{file: file, log: log, process: pr}
	if p.chamber != "" {
		if report.chamber = log.Channel(p.chamber); report.chamber == nil {
			return usage(words.Message("command.probe.no_channel", "found", p.chamber, "known", channelNames(log)))
		}
		c := pr.Case.Compare(series(report.chamber))
		report.compared = &c
	}
	if p.channel != "" {
		if report.channel = log.Channel(p.channel); report.channel == nil {
			return usage(words.Message("command.probe.no_channel", "found", p.channel, "known", channelNames(log)))
		}
	}
	if err := report.sum(); err != nil {
		return fail(atFault, words.Message("command.failed", "error", err.Error()))
	}
	if p.fit {
		record.Vessel = series(report.channel)
		if report.chamber != nil {
			record.Chamber = series(report.chamber)
		}
		j := pr.Tell(record)
		report.judged = &j
	}
	if p.asJSON {
		err = t.json(report.json(f.voice))
	} else {
		t.probeText(f.voice, report)
	}
	if err == nil && report.judged != nil && report.judged.Refusal != nil {
		return errFaulty
	}
	return err
}

// options reads the flags that say how to read the log, and where the probe was.
func (p probeFlags) options(pr *process.Process) (probe.Options, process.Evidence, error) {
	var e process.Evidence
	choice := func(flag, found string, allowed ...string) error {
		if found == "" || slices.Contains(allowed, found) {
			return nil
		}
		return usage(words.Message("command.probe.choice", "flag", flag, "found", found, "allowed", strings.Join(allowed, ", ")))
	}
	if err := errors.Join(choice("--temperature-unit", p.unit, "C", "F", "K"), choice("--dates", p.dates, "mdy", "dmy"),
		choice("--bore", p.bore, "steam", "air", "collapsed", "none")); err != nil {
		return probe.Options{}, e, err
	}
	o := probe.Options{Unit: probeUnits[p.unit], Dates: probeDates[p.dates], Hottest: lethality.MostTemperature}
	if !p.fit {
		return o, e, nil
	}
	e.Bore = p.bore
	if !pr.Setting().Bored {
		e.Bore = "none"
	}
	if slices.Contains([]string{p.channel, p.fromAxis, p.aboveBase, e.Bore}, "") {
		return o, e, usage(words.Message("command.probe.fit_needs"))
	}
	within := protocol.UsualWithin
	e.Within = &within
	for _, x := range []struct {
		flag, text string
		into       *unit.Length
		most       unit.Length
	}{{"--from-axis", p.fromAxis, &e.FromAxis, 1}, {"--above-base", p.aboveBase, &e.AboveBase, 1}, {"--place-within", p.within, &within, protocol.MostWithin}} {
		if x.text == "" {
			continue
		}
		v, err := unit.Parse(unit.LengthOf, x.text)
		if err != nil || v < 0 || v > float64(x.most) {
			return o, e, usage(words.Message("command.probe.length", "flag", x.flag, "found", x.text,
				"most", unit.Amount{Kind: unit.LengthOf, Value: float64(x.most), Digits: 3}))
		}
		*x.into = unit.Length(v)
	}
	return o, e, nil
}

// probeLevels are the temperatures above which time is counted, K.
var probeLevels = func() []float64 {
	var out []float64
	for _, c := range []float64{100, 115, 118, 121} {
		out = append(out, float64(unit.FromCelsius(c)))
	}
	return out
}()

// probeReport is what a log says of a protocol's run.
type probeReport struct {
	file     string
	log      *probe.Log
	process  *process.Process
	channel  *probe.Channel // in the vessel; nil where it was not named
	chamber  *probe.Channel // nil where it was not named
	compared *thermal.Comparison
	channels []thermal.Channel // of the log's channels, in their order
	judged   *process.Judged
}

// sum works out what each channel went through: to the end of the hold where
// one was found, else to the end of the log.
func (r *probeReport) sum() error {
	until := lethality.ToTheEnd
	if r.compared != nil && r.compared.Held {
		until = r.compared.To
	}
	for i := range r.log.Channels {
		c, err := thermal.ChannelOf(series(&r.log.Channels[i]), until, r.gap(), probeLevels)
		if err != nil {
			return err
		}
		r.channels = append(r.channels, c)
	}
	return nil
}

// gap is how far apart readings may lie for the time between them to count, s:
// farther than that they are told as a gap.
func (r *probeReport) gap() float64 { return probe.GapTimes * r.log.Interval }

// minutesOf and degreesOf are amounts as the report prints them.
func minutesOf(seconds float64) unit.Amount {
	return unit.Amount{Kind: unit.TimeOf, Value: seconds, Digits: 3, Unit: "min"}
}

func degreesOf(v *words.Voice, kelvin float64) unit.Amount {
	name := unit.UnitFor(unit.TemperatureOf, kelvin, v.Units())
	return unit.Amount{Kind: unit.TemperatureOf, Value: kelvin, Step: unit.SizeOf(unit.TemperatureOf, name) / 10}
}

// finite keeps a number that JSON has no word for out of it.
func finite(x float64) *float64 {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return nil
	}
	return &x
}
