package batch

import (
	"maps"
	"math"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// ChangedBy is by what share of itself an input is changed, to see what that does
// (design choice). What lots of another moisture do to a mix is in the ledger, as
// moisture_moved.
const ChangedBy = 0.10

// Input is something that a change is made of.
type Input string

// The inputs, in an order that breaks ties.
const (
	PriceOf     Input = "price"    // of an ingredient, as received
	ShareOf     Input = "share"    // of an ingredient, the others giving way in their proportions
	NitrogenOf  Input = "nitrogen" // in the dry matter of an ingredient
	Yield       Input = "yield"    // biological efficiency
	Lost        Input = "lost"     // share of vessels
	SpawnRate   Input = "spawn-rate"
	SpawnPrice  Input = "spawn-price"
	Wages       Input = "wages"
	Electricity Input = "electricity"
	VesselPrice Input = "vessel-price" // and that of its lid
)

// Change is what less and more of one input would do. A side that a limit
// refuses has no value, and is NaN.
type Change struct {
	Input      Input
	Of         string // an ingredient; "" where there is one of it
	Less, More Outcome
}

// Outcome is what a batch comes to.
type Outcome struct {
	Cost     float64 // of what is sold, usual yield, currency/kg; NaN where nothing is priced, and for NitrogenOf
	Nitrogen float64 // share of the dry matter
}

// Changes works out, for each input, what the batch would come to with less and
// with more of it. Each value is that of the whole calculation made again; there
// is no second formula that could drift from the first. So an effect of less than
// a scale can weigh shows as none.
func (b *Batch) Changes() []Change {
	trials := b.trials()
	out := make([]Change, len(trials))
	// Each is a calculation of its own that shares nothing but what is remembered.
	var several errgroup.Group
	several.SetLimit(runtime.GOMAXPROCS(0))
	for i, t := range trials {
		out[i].Input, out[i].Of = t.input, t.of
		paid := b.Costed() && t.input != NitrogenOf
		several.Go(func() error { out[i].Less = b.outcome(t.less, paid); return nil })
		several.Go(func() error { out[i].More = b.outcome(t.more, paid); return nil })
	}
	_ = several.Wait() // none fails
	return out
}

// trial is one input with less and with more of it.
type trial struct {
	input      Input
	of         string
	less, more process.Input
}

func (b *Batch) trials() []trial {
	in := b.Process.Input
	var out []trial
	of := func(x Input, id string, f func(process.Input, string, float64) process.Input) {
		out = append(out, trial{x, id, f(in, id, 1-ChangedBy), f(in, id, 1+ChangedBy)})
	}
	for _, part := range b.Process.Parts {
		if len(b.Process.Parts) > 1 {
			of(ShareOf, part.ID, shared)
		}
		if part.Nitrogen > 0 {
			of(NitrogenOf, part.ID, nitrogenous)
		}
		if !b.Costed() {
			continue
		}
		of(PriceOf, part.ID, priced)
	}
	if !b.Costed() {
		return out
	}
	for _, x := range []struct {
		input Input
		with  func(process.Input, float64) process.Input
	}{{Yield, yielding}, {Lost, losing}, {SpawnRate, spawned}, {SpawnPrice, spawnPriced}, {Wages, paid}, {Electricity, powered}, {VesselPrice, vesselPriced}} {
		out = append(out, trial{x.input, "", x.with(in, 1-ChangedBy), x.with(in, 1+ChangedBy)})
	}
	return out
}

// Outcome is what the batch comes to as it is.
func (b *Batch) Outcome() Outcome {
	out := Outcome{Cost: math.NaN(), Nitrogen: b.Value("nitrogen")}
	if b.Costed() {
		out.Cost = b.Value("cost_of_sold_usual")
	}
	return out
}

// outcome makes the batch again with another input; where nothing is to be paid
// the process alone, which shows the rest.
func (b *Batch) outcome(in process.Input, paid bool) Outcome {
	none := Outcome{math.NaN(), math.NaN()}
	p, err := process.Plan(in)
	if err != nil || protocol.Worst(p.Findings) == protocol.Error {
		return none
	}
	if !paid {
		return Outcome{math.NaN(), p.Value("nitrogen")}
	}
	again, err := Compute(p, b.Vessels)
	if err != nil || protocol.Worst(again.Findings) == protocol.Error {
		return none
	}
	return again.Outcome()
}

// The changes. Each copies what it changes: an input is shared.

func shared(in process.Input, id string, by float64) process.Input {
	parts := slices.Clone(in.Protocol.Substrate.Ingredients)
	own, all := 0.0, 0.0
	for _, x := range parts {
		all += float64(x.Share)
		if x.Ingredient == id {
			own += float64(x.Share)
		}
	}
	if all <= own {
		return in
	}
	for i, x := range parts {
		if x.Ingredient == id {
			parts[i].Share = x.Share * unit.DryShare(by)
		} else {
			parts[i].Share = x.Share * unit.DryShare((all-own*by)/(all-own))
		}
	}
	in.Protocol.Substrate.Ingredients = parts
	return in
}

func nitrogenous(in process.Input, id string, by float64) process.Input {
	x := in.Library.Ingredients[id]
	x.Nitrogen *= unit.DryShare(by)
	in.Library.Ingredients = with(in.Library.Ingredients, id, x)
	return in
}

func priced(in process.Input, id string, by float64) process.Input {
	x := in.Farm.Prices[id]
	x.Amount *= by
	in.Farm.Prices = with(in.Farm.Prices, id, x)
	return in
}

func yielding(in process.Input, by float64) process.Input {
	x := in.Library.Species[in.Protocol.Species]
	x.EfficiencyLow *= unit.DryShare(by)
	x.EfficiencyUsual *= unit.DryShare(by)
	x.EfficiencyHigh *= unit.DryShare(by)
	in.Library.Species = with(in.Library.Species, in.Protocol.Species, x)
	return in
}

func losing(in process.Input, by float64) process.Input {
	in.Protocol.Harvest.Lost *= unit.Share(by)
	return in
}

func spawned(in process.Input, by float64) process.Input {
	in.Protocol.Spawn.ShareOfWet *= unit.WetShare(by)
	return in
}

func spawnPriced(in process.Input, by float64) process.Input {
	c := *in.Farm.Costs
	c.Spawn.Amount *= by
	in.Farm.Costs = &c
	return in
}

func paid(in process.Input, by float64) process.Input {
	wages := maps.Clone(in.Farm.Wages)
	for role, w := range wages {
		w.Amount *= by
		wages[role] = w
	}
	in.Farm.Wages = wages
	return in
}

func powered(in process.Input, by float64) process.Input {
	c := *in.Farm.Costs
	c.Electricity.Amount *= by
	in.Farm.Costs = &c
	return in
}

func vesselPriced(in process.Input, by float64) process.Input {
	id := in.Protocol.Vessel
	v := in.Library.Vessels[id]
	v.Price.Amount *= by
	v.LidPrice.Amount *= by
	in.Library.Vessels = with(in.Library.Vessels, id, v)
	for _, own := range []*map[string]unit.Money{&in.Farm.VesselPrices, &in.Farm.LidPrices} {
		if x, ok := (*own)[id]; ok {
			x.Amount *= by
			*own = with(*own, id, x)
		}
	}
	return in
}

// with is a map with one entry changed; the other stays as it was.
func with[T any](m map[string]T, id string, x T) map[string]T {
	m = maps.Clone(m)
	m[id] = x
	return m
}
