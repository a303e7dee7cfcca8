package run

import (
	"math"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/unit"
)

// Channel is what a channel of a logger went through.
type Channel struct {
	Lowest, Highest float64   // K
	Dose            float64   // s at the reference of F0, up to the time that was asked for
	Above           []float64 // s above each of the temperatures that were asked for
	LeftOut         float64   // between readings too far apart, which neither counts, s
}

// ChannelOf sums up a channel: its dose up to a time, and how long it was above
// each of some temperatures (K), its readings joined by straight lines. Readings
// further apart than gap (s) are not joined: nobody knows how hot it was between
// them, so nothing of that time counts. The error is a reading at which no dose
// is counted.
func ChannelOf(s []heat.Point, until, gap float64, levels []float64) (Channel, error) {
	c := Channel{Lowest: math.Inf(1), Highest: math.Inf(-1), Above: make([]float64, len(levels))}
	from := 0 // first of the readings since the last gap
	for i, p := range s {
		c.Lowest, c.Highest = min(c.Lowest, p.Temperature), max(c.Highest, p.Temperature)
		if i == 0 {
			continue
		}
		if apart := p.Time - s[i-1].Time; apart > gap {
			c.LeftOut += apart
			d, err := dose(s[from:i], until)
			if err != nil {
				return c, err
			}
			c.Dose += d
			from = i
			continue
		}
		for k, level := range levels {
			c.Above[k] += hotter(s[i-1], p, level)
		}
	}
	d, err := dose(s[from:], until)
	c.Dose += d
	return c, err
}

// hotter is how long the line between two readings is at a temperature or over it.
func hotter(a, b heat.Point, level float64) float64 {
	span := b.Time - a.Time
	switch {
	case a.Temperature >= level && b.Temperature >= level:
		return span
	case a.Temperature < level && b.Temperature < level:
		return 0
	}
	share := (max(a.Temperature, b.Temperature) - level) / math.Abs(a.Temperature-b.Temperature)
	return span * share
}

// What a chamber's probe may be off before a run is called too cold, and what
// counts as the vent's plateau (design choices).
const (
	ProbeError  = 0.5 // K
	nearBoiling = 1.5 // K
)

// Comparison is a chamber's course beside what the case asks for.
type Comparison struct {
	From, To float64 // the hold found, s in the record's own clock
	Lowest   float64 // chamber in the hold, K
	Vented   float64 // time near the boiling point before the hold, s
	Held     bool    // a hold was found at all
}

// Hold is the length of the hold found, s.
func (c Comparison) Hold() float64 { return c.To - c.From }

// Compare finds the longest time without a break for which the chamber was as
// hot as the case wants it, but for what a probe may be off, and the time before
// it that was spent at the boiling point.
func (c Case) Compare(chamber []heat.Point) Comparison {
	var out Comparison
	least := c.Chamber - ProbeError
	for i := 0; i < len(chamber); i++ {
		if chamber[i].Temperature < least {
			continue
		}
		j, lowest := i, chamber[i].Temperature
		for j+1 < len(chamber) && chamber[j+1].Temperature >= least && chamber[j+1].Time-chamber[j].Time <= longestGap {
			j++
			lowest = min(lowest, chamber[j].Temperature)
		}
		if span := chamber[j].Time - chamber[i].Time; span > out.Hold() || !out.Held {
			out.From, out.To, out.Lowest, out.Held = chamber[i].Time, chamber[j].Time, lowest, true
		}
		i = j
	}
	for i := 1; i < len(chamber); i++ {
		a, b := chamber[i-1], chamber[i]
		if out.Held && b.Time > out.From || b.Time-a.Time > 15*unit.Minute {
			continue
		}
		if math.Abs(a.Temperature-c.Boiling) <= nearBoiling && math.Abs(b.Temperature-c.Boiling) <= nearBoiling {
			out.Vented += b.Time - a.Time
		}
	}
	return out
}
