package main

import (
	"io/fs"
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/lethality"
	"bottlecrop/cmd/internal/probe"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// Letters of a file or of the command line for what package probe has names for.
var (
	probeUnits = map[string]probe.Unit{"": probe.NoUnit, "C": probe.Celsius, "F": probe.Fahrenheit, "K": probe.Kelvin}
	probeDates = map[string]probe.DateOrder{"": probe.AnyOrder, "mdy": probe.MonthFirst, "dmy": probe.DayFirst}
)

// readEvidence reads the logs of the farm's probe runs. What is wrong with one is
// a finding in the log itself, or at the key that asks for what it does not hold.
func (f *farm) readEvidence() {
	if !f.folder.Usable {
		return // what the farm says of its logs is at fault, or the logs are not there
	}
	for i, e := range f.folder.Farm.Evidence {
		data, err := fs.ReadFile(f.fsys, farmfile.LogPath(e))
		if err != nil {
			f.evidenceFault(i, "log", words.Message("evidence.unreadable", "log", e.Log), words.Message("evidence.unreadable.hint"))
			continue
		}
		counted := []string{e.Channel}
		if e.Chamber != "" {
			counted = append(counted, e.Chamber)
		}
		log, found := probe.Read(farmfile.LogPath(e), data, probe.Options{
			Unit: probeUnits[e.Unit], Dates: probeDates[e.Dates], Hottest: lethality.MostTemperature, Counted: counted})
		f.findings = append(f.findings, found...)
		if log == nil {
			continue
		}
		read := process.Evidence{Evidence: e, Index: i}
		ok := true
		for _, c := range []struct {
			key, name string
			into      *[]heat.Point
		}{{"channel", e.Channel, &read.Vessel}, {"chamber_channel", e.Chamber, &read.Chamber}} {
			if c.name == "" {
				continue
			}
			ch := log.Channel(c.name)
			if ch == nil {
				f.evidenceFault(i, c.key, words.Message("evidence.channel", "found", c.name, "log", e.Log), words.Message("evidence.channel.hint", "known", channelNames(log)))
				ok = false
				continue
			}
			*c.into = series(ch)
		}
		if ok {
			f.evidence = append(f.evidence, read)
		}
	}
}

// evidenceFault is an error at a key of the i-th probe run.
func (f *farm) evidenceFault(i int, key string, what, hint protocol.Message) {
	o := protocol.InFarm(protocol.Item("evidence", i) + "." + key)
	f.findings = append(f.findings, protocol.Finding{Severity: protocol.Error, Rule: what.ID, Origin: o, Place: f.folder.Place(o), What: what, Hint: hint})
}

// evidenceFor lists the probe runs that speak for a protocol: those made by one
// whose vessels heat like its own.
func (f *farm) evidenceFor(p protocol.Protocol) []process.Evidence {
	var out []process.Evidence
	all := f.folder.Protocols
	if f.all != nil {
		all = f.all
	}
	for _, e := range f.evidence {
		i, ok := slices.BinarySearchFunc(all, e.Protocol, func(q protocol.Protocol, name string) int { return strings.Compare(q.Name, name) })
		if ok && p.HeatsLike(all[i]) {
			out = append(out, e)
		}
	}
	return out
}

// channelName is what a channel is called: its name, or its column's number.
func channelName(c probe.Channel) string {
	if c.Name == "" {
		return strconv.Itoa(c.Column)
	}
	return c.Name
}

func channelNames(l *probe.Log) string {
	var out []string
	for _, c := range l.Channels {
		out = append(out, channelName(c))
	}
	return strings.Join(out, ", ")
}

// series is a channel as the solver takes it.
func series(c *probe.Channel) []heat.Point {
	out := make([]heat.Point, len(c.Points))
	for i, p := range c.Points {
		out[i] = heat.Point{Time: p.Seconds, Temperature: p.Kelvin}
	}
	return out
}
