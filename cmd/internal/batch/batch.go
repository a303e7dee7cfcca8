// Package batch scales a process to a number of vessels: how many are filled,
// in how many mixes and loads, what is weighed on which scale, the spawn and
// the expected yield. A Batch is computed once and not changed; everything that
// a reader sees is a view of it.
//
// Quantities are in SI units: masses in kg, times in s; money is in the farm's
// currency.
package batch

import (
	"fmt"
	"math"
	"slices"

	"bottlecrop/cmd/internal/crop"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/spawn"
	"bottlecrop/cmd/internal/sterilizer"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// BottlesFlag is the origin of a number of vessels given on the command line.
const BottlesFlag = "--bottles"

// Batch is a protocol on a farm at a number of vessels.
type Batch struct {
	Process  *process.Process
	Good     int // wanted, of those to grow; 0 where the number to grow was given
	Vessels  int // to grow
	Controls int // filled and sterilized, not inoculated
	Filled   int // Vessels + Controls
	Loads    []Load
	Runs     []Run    // the loads in the same order, with their mixes, days and times
	Mixes    int      // equal ones
	Mix      Mix      // what goes into each
	Demands  []Demand // grain spawn, from the last generation back to the first; nil where the farm makes none
	Plates   Plates   // before the first of them
	Ledger   *working.Ledger
	Own      []protocol.Finding // of this number of vessels
	Findings []protocol.Finding // of the process, and Own

	// Corrections are for one mix in hand, by what its sample reads, ascending.
	Corrections []Correction
}

// Load is one run of the sterilizer.
type Load struct {
	Number   int
	Vessels  int // all that stand in it
	Controls int // of them
}

// Compute scales a process. The number of vessels is 1 to
// protocol.MostVessels; the error is for a process that has errors of its own or
// a number outside that.
func Compute(p *process.Process, vessels int) (*Batch, error) {
	if vessels < 1 || vessels > protocol.MostVessels {
		return nil, fmt.Errorf("batch: %d vessels; 1 to %d are possible", vessels, protocol.MostVessels)
	}
	b, err := begin(p)
	if err != nil {
		return nil, err
	}
	b.Vessels = vessels
	b.Ledger.Given("vessels", unit.CountOf, float64(vessels), p.SizeOrigin(vessels, BottlesFlag))
	return b.work(), nil
}

// begin is a batch of which the number of vessels is not known yet.
func begin(p *process.Process) (*Batch, error) {
	if protocol.Worst(p.Findings) == protocol.Error {
		return nil, fmt.Errorf("batch: protocol %s has errors", p.Input.Protocol.Name)
	}
	return &Batch{Process: p, Ledger: working.NewLedger(p.Ledger)}, nil
}

// work works out all that follows from the number of vessels.
func (b *Batch) work() *Batch {
	p := b.Process
	b.loads()
	b.room()
	b.amounts()
	if b.Ledger.Err() == nil {
		b.stage()
		b.spawn()
		b.grain()
		b.crop()
		b.labor()
		if b.weigh() {
			b.cost()
		}
	}
	b.Own = p.Judge(b.Ledger, b.Own)
	for i, f := range b.Own {
		b.Own[i].What = protocol.Message{ID: "finding.at_size", Args: map[string]any{"n": b.Vessels, "what": f.What}}
	}
	b.Findings = slices.Concat(p.Findings, b.Own)
	return b
}

// Value is a quantity's value in SI units, of the batch or of its process.
func (b *Batch) Value(name string) float64 { return b.Ledger.Value(name) }

// loads works out the runs of the sterilizer and, with them, the control
// vessels: every load has its own.
func (b *Batch) loads() {
	l := b.Ledger
	n := l.Get("vessels")
	c := l.Get("controls_per_load")
	loads := l.Derive("loads", unit.CountOf, sterilizer.Loads,
		working.Bind("n", n), working.Bind("cap", l.Get("load_capacity")), working.Bind("c", c))
	controls := l.Derive("controls", unit.CountOf, sterilizer.Controls,
		working.Bind("loads", loads), working.Bind("c", c))
	filled := l.Sum("filled", unit.CountOf, n, controls)
	if l.Err() != nil {
		return
	}
	b.Controls, b.Filled = int(controls.Value), int(filled.Value)
	for i, size := range sterilizer.Split(b.Filled, int(loads.Value)) {
		b.Loads = append(b.Loads, Load{Number: i + 1, Vessels: size, Controls: int(c.Value)})
	}
	largest := l.Derive("largest_load", unit.CountOf, sterilizer.LargestLoad,
		working.Bind("n", filled), working.Bind("loads", loads))
	l.Derive("load_filled", unit.ShareOf, sterilizer.LoadFilled,
		working.Bind("n", largest), working.Bind("cap", l.Get("load_capacity")))
}

// amounts works out the exact totals, before any scale has a say.
func (b *Batch) amounts() {
	l, f := b.Ledger, b.Process.Input.Farm
	small := l.Given("waste_small", unit.ShareOf, float64(f.Waste.Small), protocol.InFarm("waste.small_batch"))
	usual := l.Given("waste_usual", unit.ShareOf, float64(f.Waste.Usual), protocol.InFarm("waste.usual"))
	waste := l.Derive("waste", unit.ShareOf, substrate.Waste, working.Bind("n", l.Get("vessels")),
		working.Bind("w_small", small), working.Bind("w_usual", usual))
	wet := l.Derive("wet_total", unit.MassOf, substrate.WetTotal, working.Bind("n", l.Get("filled")),
		working.Bind("M", l.Get("fill_mass")), working.Bind("w", waste))
	dry := l.Derive("dry_total", unit.MassOf, substrate.DryTotal,
		working.Bind("T", wet), working.Bind("m", l.Get("moisture_target")))
	var received, moistures []*working.Quantity
	for _, part := range b.Process.Parts {
		m := l.Of("moisture_received", part.ID)
		d := l.DeriveOf("dry_of", part.ID, unit.MassOf, substrate.DryOf,
			working.Bind("x", l.Of("share_used", part.ID)), working.Bind("D", dry))
		received = append(received, l.DeriveOf("received", part.ID, unit.MassOf, substrate.AsReceived,
			working.Bind("d", d), working.Bind("m_in", m)))
		moistures = append(moistures, m)
	}
	in := l.Dot("water_received", unit.MassOf, received, moistures)
	need := l.Derive("water_needed", unit.MassOf, substrate.WaterNeeded,
		working.Bind("D", dry), working.Bind("m_b", l.Get("moisture_mixed")))
	add := l.Derive("water_to_add", unit.MassOf, substrate.WaterToAdd, working.Bind("W", need), working.Bind("W_in", in))
	mixed := l.Sum("mix_total", unit.MassOf, append(received[:len(received):len(received)], add)...)
	mixes := l.Derive("mixes", unit.CountOf, substrate.Mixes,
		working.Bind("loads", l.Get("loads")), working.Bind("T", mixed), working.Bind("cap", l.Get("mixer_capacity")))
	if !math.IsNaN(mixes.Value) {
		b.Mixes = int(mixes.Value)
	}
}

// spawn works out the grain spawn for the vessels that are grown.
func (b *Batch) spawn() {
	l := b.Ledger
	total := l.Derive("spawn_total", unit.MassOf, spawn.Total,
		working.Bind("n", l.Get("vessels")), working.Bind("s", l.Get("spawn_in_vessel")))
	spare := l.Derive("spawn_with_spare", unit.MassOf, spawn.WithSpare,
		working.Bind("S", total), working.Bind("spare", l.Get("spawn_spare")))
	usable := l.Get("jar_usable")
	needed := l.Derive("spawn_jars_needed", unit.CountOf, spawn.Jars, working.Bind("S", total), working.Bind("usable", usable))
	share := l.Derive("spawn_jars_spare_share", unit.CountOf, spawn.Jars, working.Bind("S", spare), working.Bind("usable", usable))
	l.Derive("spawn_jars", unit.CountOf, spawn.JarsReady, working.Bind("J", needed), working.Bind("J_spare", share))
}

// crop works out what the batch is expected to yield and what of it is sold.
func (b *Batch) crop() {
	l := b.Ledger
	for _, level := range []string{"low", "usual", "high"} {
		y := l.Derive("yield_"+level, unit.MassOf, crop.BatchYield, working.Bind("n", l.Get("vessels")),
			working.Bind("c", l.Get("lost_share")), working.Bind("Y", l.Get("yield_in_vessel_"+level)))
		l.Derive("sold_"+level, unit.MassOf, crop.Sold, working.Bind("Y", y), working.Bind("trim", l.Get("trim_share")))
	}
}
