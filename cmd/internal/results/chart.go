package results

import (
	"bottlecrop/cmd/internal/chance"
)

// Enough is how many batches a chart needs before its limits are more than
// provisional: 20 to 25 (common practice, no source).
const Enough = 20

// Runs that are a signal (Western Electric, Statistical Quality Control Handbook,
// 1956, and Nelson 1984, Journal of Quality Technology 16:237, both from memory).
const (
	onOneSide = 8
	rising    = 6
)

// Signal says that a batch is more than chance.
type Signal string

// The signals. A batch has the first that fits.
const (
	Quiet   Signal = ""
	TooMany Signal = "many"   // above its limit
	TooFew  Signal = "few"    // below it: better than usual, or miscounted
	OneSide Signal = "side"   // the last of 8 on one side of the mean
	Rising  Signal = "rising" // the last of 6 of which each lost more than the one before
)

// Chart has the batches of a group in the order of mixing, each with the limits for
// its size.
type Chart struct {
	Mean        float64 // share lost, of the batches whose cause was not found
	Points      []Point // as Group.Done
	LeftOut     int     // batches whose cause was found and mended
	Provisional bool
	Small       int // batches too small for limits by standard deviations
}

// Point is one batch.
type Point struct {
	Low, High  float64         // limits of the share
	Small      bool            // they are exact ones, for three standard deviations say nothing
	Stands     chance.Interval // shares that it may stand for (Wilson)
	Signal     Signal
	CauseFound bool
}

// chartOf makes the chart. Batches whose cause was found stand in it, and have no
// part in its mean nor in runs. Runs are looked for among batches that are large
// enough: of small ones most lose none, and are below any mean.
func chartOf(done []Batch) (Chart, error) {
	var c Chart
	filled, lost := 0, 0
	for _, b := range done {
		if b.Cause != "" {
			c.LeftOut++
			continue
		}
		filled, lost = filled+b.Filled, lost+b.Bad
	}
	if filled > 0 {
		c.Mean = float64(lost) / float64(filled)
	}
	c.Provisional = len(done)-c.LeftOut < Enough
	side, sideRun, riseRun, before := 0, 0, 0, -1.0
	for _, b := range done {
		p := Point{CauseFound: b.Cause != ""}
		limits, usable, err := chance.Chart(c.Mean, b.Filled)
		if err != nil {
			return c, err
		}
		if p.Stands, err = chance.Wilson(b.Bad, b.Filled, Confidence); err != nil {
			return c, err
		}
		p.Low, p.High = limits.Low, limits.High
		if !usable {
			least, most, err := chance.ChartExact(c.Mean, b.Filled)
			if err != nil {
				return c, err
			}
			p.Small = true
			c.Small++
			p.Low, p.High = float64(least)/float64(b.Filled), float64(most)/float64(b.Filled)
		}
		share := b.Share()
		if usable && !p.CauseFound {
			now := 0
			switch {
			case share > c.Mean:
				now = 1
			case share < c.Mean:
				now = -1
			}
			if now != side || now == 0 {
				sideRun = 0
			}
			side = now
			if now != 0 {
				sideRun++
			}
			if share > before {
				riseRun++
			} else {
				riseRun = 1
			}
			before = share
		}
		switch {
		case filled == 0:
			// Every cause was found: there is no mean to be off.
		case share > p.High:
			p.Signal = TooMany
		case share < p.Low:
			p.Signal = TooFew
		case usable && !p.CauseFound && sideRun >= onOneSide:
			p.Signal = OneSide
		case usable && !p.CauseFound && riseRun >= rising:
			p.Signal = Rising
		}
		c.Points = append(c.Points, p)
	}
	return c, nil
}
