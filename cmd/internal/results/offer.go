package results

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/chance"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// Offer is a value of the record that a grower may assume from now on. Nothing takes
// it but a grower who writes it down.
type Offer struct {
	ID       string  // "lost", "days" or "efficiency"
	Document string  // the file to change
	Lines    string  // what to write there, as TOML
	Species  string  // what the protocol is to name as its species, for "efficiency"; "" where it may stay
	Was, Now float64 // shares for "lost" and "efficiency", else days
	Low      float64 // between which the record has it; NaN where it can't say
	High     float64
	Batches  int
	Vessels  int
	Differs  bool // the assumed value is not between them
}

// offers makes the offers of a protocol with enough batches.
func (g *Group) offers() {
	if k := g.Quantity("batches_counted"); k != nil && k.Value >= Fewest {
		g.offerLost(int(k.Value))
	}
	g.offerDays()
	g.offerEfficiency()
}

// percent is a share as a farm's file has it, to a tenth of a percent, or whole.
func percent(v float64, decimals int) string { return fmt.Sprintf(`"%.*f %%"`, decimals, 100*v) }

// offerLost offers the loss. None lost is not a loss of nothing: it is then what
// chance.FromRecord has.
func (g *Group) offerLost(batches int) {
	p := g.Process
	o := Offer{ID: "lost", Document: p.Input.Document(), Was: p.Value("lost_share"), Now: g.Quantity("lost_achieved").Value,
		Low: g.Quantity("lost_at_least").Value, High: g.Quantity("lost_at_most").Value, Batches: batches, Vessels: int(g.Quantity("filled_in_all").Value)}
	bad, n := g.counted()
	if bad == 0 {
		l, err := chance.FromRecord(bad, n)
		if err != nil {
			return
		}
		o.Now = l.Share
	}
	const step = 0.001
	o.Now = math.Max(step, unit.Nearest(o.Now/step)*step)
	o.Differs = o.Was < o.Low || o.Was > o.High
	o.Lines = "[harvest]\nlost = " + percent(o.Now, 1)
	g.Offers = append(g.Offers, o)
}

// offerDays offers the usual days of incubation, where those to opening are others by
// a day or more. What ripening takes stays as it is.
func (g *Group) offerDays() {
	for _, d := range g.Days {
		if d.ID != "opening" || d.Batches < Fewest || !d.Known {
			continue
		}
		off := int(unit.Nearest(d.Mean)) - d.Usual
		now := func(id string) int {
			for _, s := range g.Process.Stages {
				if s.ID == "incubation" {
					return map[string]int{"shortest": process.WholeDays(s.Shortest), "usual": process.WholeDays(s.Usual), "longest": process.WholeDays(s.Longest)}[id]
				}
			}
			return 0
		}
		usual := max(1, now("usual")+off)
		o := Offer{ID: "days", Document: g.Process.Input.Document(), Was: float64(d.Usual), Now: unit.Nearest(d.Mean),
			Low: float64(d.Least), High: float64(d.Most), Batches: d.Batches, Vessels: g.Filled, Differs: off != 0 && (d.Usual < d.Least || d.Usual > d.Most)}
		if off == 0 {
			continue
		}
		o.Lines = "[incubation.days]\n"
		if usual < now("shortest") {
			o.Lines += fmt.Sprintf("shortest = \"%d d\"\n", usual)
		}
		o.Lines += fmt.Sprintf("usual = \"%d d\"", usual)
		if usual > now("longest") {
			o.Lines += fmt.Sprintf("\nlongest = \"%d d\"", usual)
		}
		g.Offers = append(g.Offers, o)
	}
}

// offerEfficiency offers the yield, as a strain of the farm's own: the library's
// figure is of the species wherever it is grown.
func (g *Group) offerEfficiency() {
	l, p := g.Ledger, g.Process
	low, high, now := g.Quantity("efficiency_at_least"), g.Quantity("efficiency_at_most"), g.Quantity("efficiency_achieved")
	if low == nil {
		return
	}
	each := func(v float64) float64 { return v / (1 - l.Value("trim_share")) / l.Value("dry_in_vessel") }
	o := Offer{ID: "efficiency", Document: protocol.LibraryFolder + "/species.toml", Was: l.Value("efficiency_usual"), Now: now.Value,
		Low: low.Value, High: high.Value, Batches: int(g.Quantity("batches_weighed").Value)}
	least, most := math.Inf(1), 0.0
	for _, b := range g.Done {
		if q := l.Of("result_sold_each", b.Subject()); q != nil {
			least, most = math.Min(least, each(q.Value)), math.Max(most, each(q.Value))
			o.Vessels += b.Filled - b.Bad
		}
	}
	o.Differs = o.Was < o.Low || o.Was > o.High
	of := p.Species.ID
	if p.Species.StrainOf != "" {
		of = p.Species.StrainOf
	}
	o.Species = of + "-here"
	o.Lines = fmt.Sprintf("[[species]]\nid = %q\nstrain_of = %q\ncommon = %q\nefficiency_low = %s\nefficiency_usual = %s\nefficiency_high = %s\nsource = %q\nstatus = %q",
		o.Species, of, p.Species.Common, percent(least, 0), percent(o.Now, 0), percent(most, 0),
		fmt.Sprintf("our own results, %d batches", o.Batches), "measured here")
	g.Offers = append(g.Offers, o)
}

// SpeciesLine is what the protocol's file is to have as its species.
func (o Offer) SpeciesLine() string { return fmt.Sprintf("species = %q", o.Species) }

// Fill is how many vessels to fill for so many good ones.
type Fill struct {
	Good     int
	Assumed  int // by the loss that the protocol assumes; 0 where no number is enough
	Recorded int // by what the record shows, its uncertainty included
}

// fills works out how many to fill for each of the protocol's batch sizes, were they
// all to be good.
func (g *Group) fills(farm protocol.Farm) error {
	if g.Quantity("batches_counted") == nil {
		return nil
	}
	assumed := chance.Loss{Share: g.Process.Value("lost_share")}
	confidence := batch.UsualConfidence
	if farm.Good != nil {
		confidence, assumed.Clustering = float64(farm.Good.Confidence), float64(farm.Good.Clustering)
	}
	g.FillConfidence = confidence
	bad, n := g.counted()
	recorded, err := chance.FromRecord(bad, n)
	if err != nil {
		return err
	}
	for _, size := range g.Process.Input.Protocol.BatchSizes {
		f := Fill{Good: size}
		// An error is a loss with which no number is enough.
		f.Assumed, _ = chance.Fill(size, confidence, assumed)
		f.Recorded, _ = chance.Fill(size, confidence, recorded)
		g.Fills = append(g.Fills, f)
	}
	return nil
}
