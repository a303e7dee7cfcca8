package process

import (
	"bottlecrop/cmd/internal/crop"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// What nobody measures in every batch: usual values, to see whether the inputs
// can all be true. No step and no amount rests on them.
const (
	respiredShare   = 0.20  // of the dry substrate, to the harvest
	evaporatedShare = 0.075 // of the wet substrate, to the harvest
	spawnMoisture   = 0.475 // of grain spawn, wet basis
)

// The ends of what is usual, of which the values above are taken: for a balance that is
// held against what was weighed.
const (
	RespiredLeast, RespiredMost     = 0.10, 0.35 // of the dry substrate, from memory
	EvaporatedLeast, EvaporatedMost = 0.05, 0.10 // of the wet substrate, common practice, no source
)

// balance works out where the dry matter and the water of one vessel go, at the
// usual yield.
func (p *Process) balance() {
	l := p.Ledger
	usual := func(name string, k unit.Kind, v float64, source string) *working.Quantity {
		return l.GivenOf(name, "", k, v, working.Origin{}, source)
	}
	respired := usual("respired_share", unit.ShareOf, respiredShare, "10 to 35 %, from memory")
	evaporated := usual("evaporated_share", unit.ShareOf, evaporatedShare, "5 to 10 %, common practice, no source")
	grain := l.Get("grain_moisture") // of the farm's own spawn
	if grain == nil {
		grain = usual("spawn_moisture", unit.ShareOf, spawnMoisture, "45 to 50 %, from memory")
	}
	const burning = "C6H10O5 + 6 O2 gives 6 CO2 + 5 H2O, standard atomic weights (IUPAC)"
	waterPer := usual("water_per_respired", unit.None, substrate.WaterPerPolysaccharide, burning)
	gasPer := usual("carbon_dioxide_per_respired", unit.None, substrate.CarbonDioxidePerPolysaccharide, burning)

	wet, dry, spawned := l.Get("fill_mass"), l.Get("dry_in_vessel"), l.Get("spawn_in_vessel")
	yield := l.Get("yield_in_vessel_usual")
	mass := func(name string, law *working.Law, in ...working.Input) *working.Quantity {
		return l.Derive(name, unit.MassOf, law, in...)
	}
	mass("water_in_vessel", crop.WaterIn, working.Bind("wet", wet), working.Bind("dry", dry))
	spawnDry := mass("spawn_dry", crop.DryIn, working.Bind("s", spawned), working.Bind("m_s", grain))
	mass("spawn_water", crop.WaterIn, working.Bind("wet", spawned), working.Bind("dry", spawnDry))
	dryCrop := mass("dry_in_crop", crop.DryInCrop, working.Bind("Y", yield), working.Bind("d_f", l.Get("mushroom_dry")))
	mass("water_in_crop", crop.WaterIn, working.Bind("wet", yield), working.Bind("dry", dryCrop))
	burnt := mass("respired", crop.Respired, working.Bind("r", respired), working.Bind("D", dry))
	water := mass("water_made", crop.Made, working.Bind("k", waterPer), working.Bind("D_resp", burnt))
	mass("carbon_dioxide_made", crop.Made, working.Bind("k", gasPer), working.Bind("D_resp", burnt))
	gone := mass("evaporated", crop.Evaporated, working.Bind("e", evaporated), working.Bind("M", wet))
	left := mass("dry_spent", crop.DrySpent, working.Bind("D", dry), working.Bind("D_crop", dryCrop), working.Bind("D_resp", burnt))
	spent := mass("spent_wet", crop.SpentWet, working.Bind("M", wet), working.Bind("s", spawned), working.Bind("D_resp", burnt),
		working.Bind("W_resp", water), working.Bind("Y", yield), working.Bind("E", gone))
	all := l.Sum("spent_dry", unit.MassOf, left, spawnDry)
	mass("spent_water", crop.WaterIn, working.Bind("wet", spent), working.Bind("dry", all))
	l.Derive("spent_moisture", unit.ShareOf, crop.SpentMoisture, working.Bind("D_all", all), working.Bind("M_spent", spent))
}
