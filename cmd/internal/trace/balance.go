package trace

import (
	"math"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// Gap is what is left of what went in when what came out, out, and the waste are taken
// away; all in kg. Of a batch it is what the air has to explain.
var Gap = working.NewLaw("in - out - waste", "mass balance", nil)

// ToAir is the share of what went into a vessel that leaves it as vapor and gas until
// the harvest: of M (kg) of wet substrate, with s (kg) of spawn, the share e evaporates, and
// of D (kg) of dry matter the share r is burnt. Burning a kg makes k kg of water, which
// stays; the oxygen for it comes in, and carbon dioxide leaves. Before that the mass has
// changed by the share c in the sterilizer; a loss is below 0.
var ToAir = working.NewLaw("(M / (1 + c) - M + e * M + r * D * (1 - k)) / (M / (1 + c) + s)", "mass balance; stoichiometry of burnt polysaccharide", nil)

// Close is what scales differ by: a gap of no more than this share of what was picked is
// one of weighing (design choice).
const Close = 0.01

// Missing is what a record would need for a balance, and has not.
type Missing string

// What may be missing.
const (
	NoEnd     Missing = "end"     // the batch is under way
	NoGoods   Missing = "goods"   // not every ingredient has a lot with its mass
	NoWater   Missing = "water"   //
	NoSpawn   Missing = "spawn"   // the mass of the spawn
	NoSpent   Missing = "spent"   // what came out of the vessels was not weighed
	NoProcess Missing = "process" // the protocol is gone or has errors, so the share to the air is not known
)

// Balance is a batch on the scale, in kg: what went in, what came out, and what neither
// tells.
type Balance struct {
	Goods, Water, Spawn   float64 // what went in
	Sold, Trimmings       float64 // what was picked
	Waste                 float64 // trimmings left out
	In, Out, Gap          float64 // Out is Sold and Trimmings; Gap is In less Out and Waste
	AirLow, Air, AirHigh  float64 // what the laws have the vessels give off, with its ends
	Unexplained           float64 // what of Gap lies beyond these ends; below 0 where less is missing than they say
	Missing               []Missing
	ShareLow, Share, High float64 // of what went in, ToAir
}

// Closed reports whether all that a balance needs is written down.
func (b Balance) Closed() bool { return len(b.Missing) == 0 }

// balance weighs a batch.
func (w *Web) balance(r protocol.Result) Balance {
	var b Balance
	for _, g := range r.Goods {
		b.Goods += float64(g.Mass)
	}
	b.Water = float64(r.Water)
	weighed := len(r.Spawned) > 0
	for _, s := range r.Spawned {
		b.Spawn += float64(s.Mass)
		weighed = weighed && s.Mass > 0
	}
	trimmings, spent := 0.0, false
	for _, x := range r.Waste {
		if x.What == "trimmings" {
			trimmings += float64(x.Mass)
			continue
		}
		b.Waste += float64(x.Mass)
		spent = spent || x.What == "spent"
	}
	cut, all := 0.0, len(r.Picked) > 0
	for _, p := range r.Picked {
		b.Sold += float64(p.Mass)
		if p.Fresh > 0 {
			cut += float64(p.Fresh - p.Mass)
		}
		all = all && p.Fresh > 0
	}
	// Weighed before and after says what was cut off; on the heap it has dried.
	if b.Trimmings = trimmings; all {
		b.Trimmings = cut
	}
	b.In, b.Out = b.Goods+b.Water+b.Spawn, b.Sold+b.Trimmings
	b.Gap = must(Gap.At(map[string]float64{"in": b.In, "out": b.Out, "waste": b.Waste}))
	p := w.Processes[r.Protocol]
	need := func(ok bool, m Missing) {
		if !ok {
			b.Missing = append(b.Missing, m)
		}
	}
	need(r.Done(), NoEnd)
	need(complete(r, p), NoGoods)
	need(r.Water > 0, NoWater)
	need(weighed && given(r) >= r.Filled, NoSpawn)
	need(spent, NoSpent)
	need(p != nil, NoProcess)
	if p == nil {
		return b
	}
	// A vessel that came to nothing, or got no spawn, is taken to have given off nothing:
	// what it did is not known.
	grown := b.In * float64(r.Filled-r.LostInAll()) / float64(r.Filled+r.Controls)
	share := func(evaporated, respired float64) float64 {
		return must(ToAir.At(map[string]float64{"e": evaporated, "r": respired, "M": p.Value("fill_mass"), "D": p.Value("dry_in_vessel"),
			"k": p.Value("water_per_respired"), "s": p.Value("spawn_in_vessel"), "c": float64(p.Input.Protocol.Substrate.ChangeInSterilizer)}))
	}
	b.ShareLow, b.High = share(process.EvaporatedLeast, process.RespiredLeast), share(process.EvaporatedMost, process.RespiredMost)
	b.Share = share(p.Value("evaporated_share"), p.Value("respired_share"))
	b.AirLow, b.Air, b.AirHigh = grown*b.ShareLow, grown*b.Share, grown*b.High
	if b.Closed() {
		b.Unexplained = b.Gap - math.Min(math.Max(b.Gap, b.AirLow), b.AirHigh)
	}
	return b
}

// must is for laws whose inputs have been read, and are finite.
func must(v float64, err error) float64 {
	if err != nil {
		panic(err)
	}
	return v
}

// complete reports whether each ingredient of a batch has a lot. Of a protocol that is
// gone nobody knows what it was made of.
func complete(r protocol.Result, p *process.Process) bool {
	if p == nil {
		return len(r.Goods) > 0
	}
	for _, i := range p.Input.Protocol.Substrate.Ingredients {
		if !has(r.Goods, i.Ingredient) {
			return false
		}
	}
	return true
}

func has(goods []protocol.GoodsUsed, ingredient string) bool {
	for _, g := range goods {
		if g.Ingredient == ingredient {
			return true
		}
	}
	return false
}

// given is how many vessels of a batch have a lot of spawn on the record.
func given(r protocol.Result) int {
	n := 0
	for _, s := range r.Spawned {
		n += s.Vessels
	}
	return n
}
