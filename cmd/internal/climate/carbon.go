package climate

import (
	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// next to nothing, m³/s: a cubic millimeter in eleven days.
const nothing = 1e-15

// breathes reports whether anything in the room gives off CO2.
func (r *Room) breathes() bool { return r.Ledger.Value("co2_flow") > nothing }

// carbon works out the carbon dioxide.
func (r *Room) carbon() {
	l := r.Ledger
	flow, out, set, free := l.Get("co2_flow"), l.Get("outdoor_co2"), l.Get("room_co2"), l.Get("room_free")
	need := l.Derive("fresh_needed", unit.AirFlowOf, air.FreshAir, working.Bind("G", flow), working.Bind("C_set", set), working.Bind("C_out", out))
	var leak, fan *working.Quantity
	if r.Leakage != nil {
		n := r.given("leak", unit.AirChangesOf, float64(*r.Leakage), "leakage")
		leak = l.Derive("leak_flow", unit.AirFlowOf, air.Leakage, working.Bind("n", n), working.Bind("V", free))
	} else {
		leak = r.constant("leak_flow", unit.AirFlowOf, 0, "the farm has not measured it: nothing is counted on")
	}
	byFan := l.Derive("fresh_by_fan", unit.AirFlowOf, room.ByFan, working.Bind("Q_need", need), working.Bind("Q_leak", leak))
	if r.Fan != nil {
		fan = r.given("fan", unit.AirFlowOf, float64(*r.Fan), "fan")
		all := l.Sum("fresh_most", unit.AirFlowOf, leak, fan)
		l.Derive("fresh_running", unit.AirFlowOf, room.Running, working.Bind("Q_leak", leak), working.Bind("Q_need", need), working.Bind("Q_all", all))
		if all.Value > nothing {
			l.Derive("co2_with_fan", unit.PartsPerMillion, air.Steady, working.Bind("C_out", out), working.Bind("G", flow), working.Bind("Q", all))
		}
		if byFan.Value > nothing {
			l.Derive("fan_margin", unit.FactorOf, room.Margin, working.Bind("P", fan), working.Bind("L", byFan))
		}
	} else {
		l.Derive("fresh_running", unit.AirFlowOf, room.RunningFree, working.Bind("Q_leak", leak), working.Bind("Q_need", need))
	}
	if !r.breathes() {
		return
	}
	r.wanted()
	if leak.Value > nothing {
		l.Derive("co2_ceiling", unit.PartsPerMillion, air.Steady, working.Bind("C_out", out), working.Bind("G", flow), working.Bind("Q", leak))
	}
	l.Derive("sealed_rise", unit.PartsPerMillionAnHour, air.SealedRise, working.Bind("G", flow), working.Bind("V", free))
	limit := r.constant("worker_limit", unit.PartsPerMillion, people.PermissibleCO2, permissible)
	alarm := r.constant("loud_alarm", unit.PartsPerMillion, people.AlarmCO2, "above it oxygen runs low as well: common practice, no source")
	for _, x := range []struct {
		name  string
		until *working.Quantity
	}{{"sealed_time", limit}, {"sealed_time_loud", alarm}} {
		l.Derive(x.name, unit.TimeOf, air.SealedTime, working.Bind("V", free), working.Bind("C_lim", x.until), working.Bind("C_0", set), working.Bind("G", flow))
	}
}

const permissible = "OSHA PEL as a mean of 8 hours, 29 CFR 1910.1000 Table Z-1; ACGIH TLV-TWA"

// wanted enters the least CO2 that anything in the room wants: the most demanding.
func (r *Room) wanted() {
	var most *working.Quantity
	for _, s := range r.Standing {
		name := map[string]string{protocol.RoomPinning: "wants_co2_pin_low", protocol.RoomFruiting: "wants_co2_fruit_low"}[s.Stage]
		if q := s.Process.Ledger.Get(name); q != nil && (most == nil || q.Value > most.Value) {
			most = q
		}
	}
	if most != nil {
		r.Ledger.Sum("co2_wanted", unit.PartsPerMillion, most)
	}
}

// atOnce is how many people work in the room.
func (r *Room) atOnce() *working.Quantity {
	if r.People > 0 {
		return r.given("room_people", unit.CountOf, float64(r.People), "people")
	}
	return r.constant("room_people", unit.CountOf, 1, "one at a time, where the farm does not say")
}

// purges reports whether the room is purged before somebody enters.
func (r *Room) purges() bool { return r.PurgeFan != nil || r.Purge > 0 }

// people works out purge and stay.
func (r *Room) people() {
	l := r.Ledger
	skin := r.constant("person_skin", unit.AreaOf, people.AdultSkin, "ASHRAE Handbook Fundamentals 2017, chapter 9, from memory")
	met := r.constant("person_activity", unit.None, people.StandingWork, "ASHRAE Handbook Fundamentals 2017, chapter 9, from memory: standing work with some carrying")
	one := l.Derive("person_co2", unit.AirFlowOf, people.Exhaled, working.Bind("A", skin), working.Bind("M", met))
	all := l.Derive("people_co2", unit.AirFlowOf, people.OfPeople, working.Bind("n", r.atOnce()), working.Bind("g", one))
	before := l.Get("room_co2")
	if fan := l.Get("co2_with_fan"); fan != nil {
		before = l.Derive("co2_before_entry", unit.PartsPerMillion, room.Higher, working.Bind("C_set", before), working.Bind("C_fan", fan))
	}
	inside := l.Sum("co2_of_all", unit.AirFlowOf, l.Get("co2_flow"), all)
	blown := r.while(inside)
	if r.purges() && before.Value > people.WarnCO2 {
		before, blown = r.purge(before, blown)
	}
	entry := l.Sum("co2_at_entry", unit.PartsPerMillion, before)
	if before.Value >= people.ShortTermCO2 || !(before.Value >= l.Value("outdoor_co2")) {
		return // nobody enters, or a limit says what is wrong
	}
	l.Derive("stay_most", unit.TimeOf, people.LongestStay, working.Bind("V", l.Get("room_free")), working.Bind("C_out", l.Get("outdoor_co2")),
		working.Bind("C_0", entry), working.Bind("G", inside), working.Bind("Q", blown), working.Bind("C_rest", l.Get("outdoor_co2")))
	var stay *working.Quantity
	if r.Stay > 0 {
		stay = r.given("stay", unit.TimeOf, float64(r.Stay), "stay")
	} else {
		stay = r.constant("stay", unit.TimeOf, people.Shift, "a whole shift, where the farm does not say")
	}
	mean := l.Derive("co2_stay_mean", unit.PartsPerMillion, air.Mean, working.Bind("C_0", entry), working.Bind("Q", blown), working.Bind("t", stay),
		working.Bind("V", l.Get("room_free")), working.Bind("C_out", l.Get("outdoor_co2")), working.Bind("G", inside))
	l.Derive("shift_mean", unit.PartsPerMillion, people.ShiftMean, working.Bind("C_in", mean), working.Bind("t", stay), working.Bind("C_rest", l.Get("outdoor_co2")))
}

// while is the fresh air while somebody is inside: the fan holds the setpoint against
// crop and people, as far as it can.
func (r *Room) while(inside *working.Quantity) *working.Quantity {
	l := r.Ledger
	need := l.Derive("fresh_needed_staffed", unit.AirFlowOf, air.FreshAir, working.Bind("G", inside),
		working.Bind("C_set", l.Get("room_co2")), working.Bind("C_out", l.Get("outdoor_co2")))
	if most := l.Get("fresh_most"); most != nil {
		return l.Derive("fresh_staffed", unit.AirFlowOf, room.Running, working.Bind("Q_leak", l.Get("leak_flow")),
			working.Bind("Q_need", need), working.Bind("Q_all", most))
	}
	return l.Derive("fresh_staffed", unit.AirFlowOf, room.RunningFree, working.Bind("Q_leak", l.Get("leak_flow")), working.Bind("Q_need", need))
}

// purge works out what a purge before entry comes to, and the fresh air that goes on
// while somebody is inside; usual is that of a room that is not purged.
func (r *Room) purge(before, usual *working.Quantity) (entry, blown *working.Quantity) {
	l := r.Ledger
	blown = l.Get("fresh_most")
	if r.PurgeFan != nil {
		blown = l.Sum("purge_flow", unit.AirFlowOf, l.Get("leak_flow"), r.given("purge_fan", unit.AirFlowOf, float64(*r.PurgeFan), "purge_fan"))
	}
	if blown == nil || blown.Value <= nothing {
		return before, usual
	}
	out, flow, free := l.Get("outdoor_co2"), l.Get("co2_flow"), l.Get("room_free")
	enter := r.constant("entry_limit", unit.PartsPerMillion, people.WarnCO2, "half of the limit for workers: design choice")
	end := l.Derive("purge_end", unit.PartsPerMillion, air.Steady, working.Bind("C_out", out), working.Bind("G", flow), working.Bind("Q", blown))
	if end.Value >= enter.Value {
		return before, blown
	}
	l.Derive("purge_needed", unit.TimeOf, people.PurgeTime, working.Bind("V", free), working.Bind("C_out", out), working.Bind("C_0", before),
		working.Bind("C_in", enter), working.Bind("G", flow), working.Bind("Q", blown))
	if r.Purge == 0 {
		return enter, blown
	}
	t := r.given("purge", unit.TimeOf, float64(r.Purge), "purge")
	return l.Derive("co2_purged", unit.PartsPerMillion, air.After, working.Bind("C_0", before), working.Bind("Q", blown), working.Bind("t", t),
		working.Bind("V", free), working.Bind("C_out", out), working.Bind("G", flow)), blown
}
