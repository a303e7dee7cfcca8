package process

import (
	"slices"

	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/vessel"
	"bottlecrop/cmd/internal/working"
)

// lifting judges a full crate by the revised NIOSH lifting equation: from the
// lowest place where it is picked up to the highest shelf of the rooms that the
// protocol's stages go to, and to the lowest, with the crate set down with care.
// It is worked out where the farm says how crates are lifted and how high its
// shelves are.
func (p *Process) lifting() {
	c := p.Input.Farm.Crate
	if c == nil || c.Lifted == nil {
		return
	}
	top, topKey, low, lowKey := p.shelves()
	if top == 0 {
		return
	}
	l := p.Ledger
	lift := p.lifted(*c.Lifted)
	from := lift.end("from", p.farm("lift_place_from", unit.LengthOf, float64(*c.Lifted.From), "crate.lifted.from"))
	to := lift.end("top", p.farm("lift_place_top", unit.LengthOf, top, topKey))
	var least *working.Quantity
	if low == 0 {
		least = lift.between("lift_limit", from, to)
	} else {
		up := lift.between("lift_limit_top", from, to)
		down := lift.between("lift_limit_low", from, lift.end("low", p.farm("lift_place_low", unit.LengthOf, low, lowKey)))
		least = lift.lower("lift_limit", up, down)
	}
	spawned := l.Derive("crate_spawned", unit.MassOf, vessel.CrateSpawned,
		working.Bind("n", l.Get("crate_vessels")), working.Bind("m_v", l.Get("vessel_empty")), working.Bind("m_l", l.Get("vessel_lid")),
		working.Bind("M", l.Get("fill_mass")), working.Bind("lam", l.Get("mass_change")), working.Bind("S", l.Get("spawn_in_vessel")),
		working.Bind("m_c", l.Get("crate_empty")))
	heaviest := l.Derive("crate_heaviest", unit.MassOf, vessel.Heavier, working.Bind("m_1", l.Get("crate_mass")), working.Bind("m_2", spawned))
	if least.Value == 0 { // a limit says so: nothing is to be lifted there
		return
	}
	l.Derive("lift_index", unit.None, people.Index, working.Bind("L", heaviest), working.Bind("RWL", least))
	outside := 0.0
	if len(p.liftScope()) > 0 {
		outside = 1
	}
	p.practiceOf("lift_outside_scope", unit.None, outside, people.LiftingManual+", limitations of the equation: 19 to 26 °C, 35 to 50 % humidity, no slippery floor")
}

// shelves are the highest and the lowest shelf in m of all rooms that a stage of
// the protocol goes to, with their places; 0 where the farm does not say.
func (p *Process) shelves() (top float64, topKey string, low float64, lowKey string) {
	for i, r := range p.Input.Farm.Rooms {
		if !p.goesTo(r) {
			continue
		}
		if v := float64(r.ShelfHighest); v > top {
			top, topKey = v, protocol.RoomKey(i, "shelf_highest")
		}
		if v := float64(r.ShelfLowest); v > 0 && (low == 0 || v < low) {
			low, lowKey = v, protocol.RoomKey(i, "shelf_lowest")
		}
	}
	return top, topKey, low, lowKey
}

func (p *Process) goesTo(r protocol.Room) bool {
	return slices.ContainsFunc(p.Stages, func(s Stage) bool {
		return slices.ContainsFunc(p.Rooms(s), func(x protocol.Room) bool { return x.ID == r.ID })
	})
}

// liftScope lists why the lifting index is an indication and no more: the shelves
// stand in rooms that the equation was not made for.
func (p *Process) liftScope() []people.Outside {
	var out []people.Outside
	for _, s := range p.Stages {
		for _, r := range p.Rooms(s) {
			if r.ShelfHighest > 0 {
				out = append(out, people.Scope(float64(s.Air), float64(s.Humidity), r.Slippery)...)
			}
		}
	}
	return out
}

// lift derives the quantities of one way of lifting a crate.
type lift struct {
	*Process
	constants                            map[string]*working.Quantity
	depth, hands, rate, stretch, twisted *working.Quantity
	grip                                 people.Coupling
}

// liftEnd is one end of it.
type liftEnd struct {
	name                       string
	height, reach, high, twist *working.Quantity // m, m, and two multipliers
	grip                       *working.Quantity
}

func (p *Process) lifted(c protocol.Lifted) *lift {
	m := people.Metric
	l := &lift{Process: p, constants: map[string]*working.Quantity{}, grip: people.Coupling(c.Grip)}
	for _, x := range []struct {
		symbol, name string
		k            unit.Kind
		v            float64
	}{
		{"LC", "lift_load_constant", unit.MassOf, m.Load},
		{"H_near", "lift_near", unit.LengthOf, m.Near}, {"H_far", "lift_far", unit.LengthOf, m.Far},
		{"V_0", "lift_knuckle", unit.LengthOf, m.Knuckle}, {"k", "lift_height_slope", unit.None, m.HeightSlope}, {"V_most", "lift_highest", unit.LengthOf, m.Highest},
		{"d", "lift_travel", unit.LengthOf, m.Travel}, {"D_short", "lift_short", unit.LengthOf, m.Short}, {"D_long", "lift_long", unit.LengthOf, m.Long},
	} {
		l.constants[x.symbol] = p.practiceOf(x.name, x.k, x.v, people.LiftingManual)
	}
	l.depth = p.farm("lift_depth", unit.LengthOf, float64(c.Depth), "crate.lifted.depth")
	l.hands = p.farm("lift_hands", unit.LengthOf, float64(c.Hands), "crate.lifted.hands")
	l.rate = p.farm("lift_rate", unit.RateOf, float64(c.Lifts), "crate.lifted.lifts")
	l.stretch = p.farm("lift_stretch", unit.TimeOf, float64(c.Stretch), "crate.lifted.stretch")
	l.twisted = p.practiceOf("lift_twist", unit.None, 0, "none: who turns with the feet does not twist; a twist lowers the limit further")
	return l
}

// bind binds constants by the symbols that the laws have for them.
func (l *lift) bind(symbols ...string) []working.Input {
	var out []working.Input
	for _, s := range symbols {
		out = append(out, working.Bind(s, l.constants[s]))
	}
	return out
}

// end works out what one end of a lift takes off by itself: how far from the body
// the hands are, how high, twisted, and how they hold.
func (l *lift) end(name string, place *working.Quantity) liftEnd {
	g := l.Ledger
	e := liftEnd{name: name}
	e.height = g.Derive("lift_height_"+name, unit.LengthOf, people.HandHeight, working.Bind("h", place), working.Bind("g", l.hands))
	reach := g.Derive("lift_reach_"+name, unit.LengthOf, people.Reach, working.Bind("V", e.height), working.Bind("W", l.depth))
	e.reach = g.Derive("lift_horizontal_"+name, unit.None, people.Horizontal, append(l.bind("H_near", "H_far"), working.Bind("H", reach))...)
	e.high = g.Derive("lift_vertical_"+name, unit.None, people.Vertical, append(l.bind("V_0", "k", "V_most"), working.Bind("V", e.height))...)
	e.twist = g.Derive("lift_asymmetry_"+name, unit.None, people.Asymmetry, working.Bind("A", l.twisted))
	holds, err := l.grip.Multiplier(e.height.Value >= l.constants["V_0"].Value)
	if err != nil {
		holds = 0 // a reader of files takes no other word
	}
	e.grip = g.GivenOf("lift_coupling_"+name, "", unit.None, holds,
		protocol.InFarm("crate.lifted.grip"), people.LiftingManual+", table 7")
	return e
}

// between is the weight limit in kg of a lift from one end to another. The frequency
// multiplier is that of where it starts; back down it is the same up to 8 lifts a
// minute.
func (l *lift) between(name string, from, to liftEnd) *working.Quantity {
	g := l.Ledger
	way := g.Derive("lift_way_"+to.name, unit.LengthOf, people.Travel, working.Bind("V_1", from.height), working.Bind("V_2", to.height))
	distance := g.Derive("lift_distance_"+to.name, unit.None, people.Distance, append(l.bind("d", "D_short", "D_long"), working.Bind("D", way))...)
	often := g.Get("lift_frequency")
	if often == nil {
		often = g.Derive("lift_frequency", unit.None, people.Frequency,
			append(l.bind("V_0"), working.Bind("F", l.rate), working.Bind("t", l.stretch), working.Bind("V", from.height))...)
	}
	at := func(name string, e liftEnd) *working.Quantity {
		return g.Derive(name, unit.MassOf, people.WeightLimit, append(l.bind("LC"),
			working.Bind("HM", e.reach), working.Bind("VM", e.high), working.Bind("DM", distance),
			working.Bind("AM", e.twist), working.Bind("FM", often), working.Bind("CM", e.grip))...)
	}
	return l.lower(name, at("lift_start_"+to.name, from), at("lift_end_"+to.name, to))
}

func (l *lift) lower(name string, a, b *working.Quantity) *working.Quantity {
	return l.Ledger.Derive(name, unit.MassOf, people.LowerLimit, working.Bind("RWL_1", a), working.Bind("RWL_2", b))
}
