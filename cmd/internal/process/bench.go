package process

import (
	"slices"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/hygiene"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// benchAir is the air of a bench room that says none, K: 20 °C, design choice.
const benchAir = 293.15

// alcohol works out the vapor of what is wiped and sprayed where spawn goes in: at
// one time with nothing ventilated, which may burn, and as the mean of a shift with
// what fresh air the room has, which people breathe.
func (p *Process) alcohol() {
	b := p.Input.Farm.Bench
	if b == nil {
		return
	}
	i := slices.IndexFunc(p.Input.Farm.Rooms, func(r protocol.Room) bool { return r.ID == b.Room })
	if i < 0 {
		return // a reader of files has refused it
	}
	l := p.Ledger
	free, fresh, volume := p.benchRoom(i)
	kind := people.Ethanol
	if b.Alcohol == protocol.Isopropanol {
		kind = people.Isopropanol
	}
	of := func(name string, k unit.Kind, v float64) *working.Quantity {
		return l.GivenOf(name, "", k, v, protocol.InFarm("bench.alcohol"), kind.Source)
	}
	rho, mole := of("alcohol_density", unit.DensityOf, kind.Density), of("alcohol_molar_mass", unit.MolarMassOf, kind.MolarMass)
	explosive, permissible := of("alcohol_explosive", unit.ShareOf, kind.Explosive), of("alcohol_permissible", unit.PartsPerMillion, kind.Permissible)
	var strength *working.Quantity
	if h := p.Input.Farm.Hygiene; h != nil && h.Alcohol != nil {
		strength = p.farm("alcohol_strength", unit.ShareOf, float64(h.Alcohol.Wanted), "hygiene.alcohol.wanted")
	} else {
		strength = p.practiceOf("alcohol_strength", unit.ShareOf, hygiene.AlcoholLow, "70 % where the farm says no other: "+hygiene.AlcoholWet.Source)
	}

	once := p.benchLiquid(*b)
	solution := []working.Input{working.Bind("x", strength), working.Bind("rho", rho), working.Bind("M", mole), working.Bind("V_m", volume)}
	with := func(in ...working.Input) []working.Input { return slices.Concat(in, solution) }
	sealed := l.Derive("vapor_sealed", unit.PartsPerMillion, people.VaporSealed, with(working.Bind("V_l", once), working.Bind("V", free))...)

	times := p.farm("bench_times", unit.CountOf, float64(max(1, b.Times)), "bench.times_a_shift")
	shift := l.Derive("alcohol_in_shift", unit.VolumeOf, people.InShift, working.Bind("n", times), working.Bind("V_l", once))
	length := p.practiceOf("work_day", unit.TimeOf, people.Shift, "29 CFR 1910.1000(a): a shift of 8 h")
	given := l.Derive("vapor_given_off", unit.AirFlowOf, people.Evaporating, with(working.Bind("V_l", shift), working.Bind("t", length))...)
	none := p.practiceOf("vapor_outdoors", unit.PartsPerMillion, 0, "there is none in fresh air, and none at the start of a shift")
	over := []working.Input{working.Bind("C_0", none), working.Bind("Q", fresh), working.Bind("t", length), working.Bind("V", free), working.Bind("C_out", none), working.Bind("G", given)}
	l.Derive("vapor_mean", unit.PartsPerMillion, air.Mean, over...)
	end := l.Derive("vapor_at_end", unit.PartsPerMillion, air.After, over...)
	highest := l.Derive("vapor_highest", unit.PartsPerMillion, people.Highest, working.Bind("C_1", sealed), working.Bind("C_2", end))
	l.Derive("vapor_of_explosive", unit.ShareOf, people.OfExplosive, working.Bind("C", highest), working.Bind("L", explosive))
	l.Derive("alcohol_most", unit.VolumeOf, people.LiquidFor, with(working.Bind("C", permissible), working.Bind("V", free))...)

	flame := 0.0
	if b.Flame && once.Value > 0 {
		flame = 1
	}
	p.farm("flame_by_alcohol", unit.None, flame, "bench.flame")
}

// benchRoom is the free air in m³ of the i-th room, its fresh air in m³/s, and the
// room that a mole of vapor takes in it, m³.
func (p *Process) benchRoom(i int) (free, fresh, volume *working.Quantity) {
	l, r := p.Ledger, p.Input.Farm.Rooms[i]
	of := func(name string, k unit.Kind, v float64, key string) *working.Quantity {
		if v == 0 {
			return p.practiceOf(name, k, 0, "the room says none")
		}
		return p.farm(name, k, v, protocol.RoomKey(i, key))
	}
	whole := of("bench_room", unit.VolumeOf, float64(r.Volume), "volume")
	places := of("bench_places", unit.CountOf, float64(r.Places), "places")
	stand := l.Dot("bench_vessels", unit.VolumeOf, []*working.Quantity{places}, []*working.Quantity{l.Get("vessel_brimful")})
	free = l.Derive("bench_free", unit.VolumeOf, room.Free, working.Bind("V", whole), working.Bind("V_v", stand),
		working.Bind("V_s", of("bench_shelving", unit.VolumeOf, float64(r.Shelving), "shelving")))
	leaks, fan := 0.0, 0.0
	if r.Leakage != nil {
		leaks = float64(*r.Leakage)
	}
	if r.Fan != nil {
		fan = float64(*r.Fan)
	}
	in := l.Derive("bench_leaks", unit.AirFlowOf, air.Leakage, working.Bind("n", of("bench_leakage", unit.AirChangesOf, leaks, "leakage")), working.Bind("V", free))
	fresh = l.Sum("bench_fresh_air", unit.AirFlowOf, in, of("bench_fan", unit.AirFlowOf, fan, "fan"))
	var temperature *working.Quantity
	if r.Air != nil {
		temperature = of("bench_air", unit.TemperatureOf, float64(*r.Air), "air")
	} else {
		temperature = p.practiceOf("bench_air", unit.TemperatureOf, benchAir, "20 °C where the room says no other; design choice, no source")
	}
	volume = l.Derive("vapor_molar_volume", unit.MolarVolumeOf, air.MolarVolume, working.Bind("T", temperature), working.Bind("p", l.Get("air_pressure")))
	return free, fresh, volume
}

// benchLiquid is what is wiped and sprayed at one time, m³.
func (p *Process) benchLiquid(b protocol.Bench) *working.Quantity {
	l := p.Ledger
	wiped := l.Derive("alcohol_wiped", unit.VolumeOf, people.Wiped,
		working.Bind("area", p.farm("bench_wiped", unit.AreaOf, float64(b.Wiped), "bench.wiped")),
		working.Bind("d", p.practiceOf("wet_film", unit.LengthOf, people.WetFilm, "40 mL a m²; common practice, no source")))
	sprayed := l.Derive("alcohol_sprayed", unit.VolumeOf, people.Sprayed,
		working.Bind("n", p.farm("bench_strokes", unit.CountOf, float64(b.Strokes), "bench.strokes")),
		working.Bind("V_s", p.farm("bench_stroke", unit.VolumeOf, float64(b.Stroke), "bench.stroke")))
	return l.Derive("alcohol_at_once", unit.VolumeOf, people.Together, working.Bind("V_w", wiped), working.Bind("V_s", sprayed))
}
