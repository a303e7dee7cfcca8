package climate

import (
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// judge runs the room's quantities over the limits.
func (r *Room) judge() {
	l := r.Ledger
	if r.Leakage != nil {
		sealed := 0.0
		if *r.Leakage == 0 && (r.Fan == nil || *r.Fan == 0) && !r.purges() {
			sealed = 1
		}
		r.given("sealed_with_people", unit.None, sealed, "leakage")
	}
	for _, s := range r.Standing {
		st := s.stage()
		wants := s.Process.Ledger.Get("stage_" + climateOf(st.ID) + "_humidity")
		if wants != nil {
			l.DeriveOf("humidity_off", s.Subject(), unit.ShareOf, apart, working.Bind("RH_room", l.Get("room_humidity")), working.Bind("RH_stage", wants))
		}
	}
	for _, f := range judged(l, r.Names, protocol.InFarm(protocol.RoomKey(r.Index, "id"))) {
		f.What = protocol.Message{ID: "finding.in_room", Args: map[string]any{"room": r.Name, "what": f.What}}
		r.Findings = append(r.Findings, f)
	}
}

// judged runs a ledger's own quantities over the limits. A law that could not be
// evaluated is a finding, at a place of its own, unless a limit has said already
// which value is to blame.
func judged(l *working.Ledger, names map[string]string, at working.Origin) []protocol.Finding {
	found := limit.Check(l.Own(), l, names, "")
	if l.Err() != nil && protocol.Worst(found) < protocol.Error {
		found = append(found, protocol.Finding{
			Severity: protocol.Error, Rule: "law.range", Origin: at,
			What: protocol.Message{ID: "law.range", Args: map[string]any{"error": l.Err().Error()}},
		})
	}
	return found
}

// apart is how far the relative humidity RH_room of a room is from RH_stage, which a stage
// wants: both and the result are shares from 0 to 1.
var apart = working.NewLaw("abs(RH_room - RH_stage)", "definition", nil)

// climateOf is the stage whose air a stage has: vessels ripen in the air that they
// were incubated in.
func climateOf(stage string) string {
	if stage == protocol.RoomRipening {
		return protocol.RoomIncubation
	}
	return stage
}

// full is what the i-th room of the farm is full of where it breathes most of all that
// may stand there; nothing where it grows nothing or the farm has not said how much it
// takes.
func full(s *Site, i int, processes []*process.Process) []Standing {
	r := s.Farm.Rooms[i]
	if r.Places == 0 || !Settled(r) {
		return nil
	}
	var most []Standing
	given := -1.0
	for _, may := range MayStand(r, processes) {
		one := []Standing{{may.Process, may.Stage, r.Places}}
		if g, ok := GivesOff(s, i, one); ok && g > given {
			most, given = one, g
		}
	}
	return most
}

// Shown lists the rooms of a farm that can be worked out, by their places in its file:
// those that are Settled and where something may grow.
func Shown(farm protocol.Farm) []int {
	var out []int
	for i, r := range farm.Rooms {
		if Settled(r) && grows(r) {
			out = append(out, i)
		}
	}
	return out
}

// Rooms works out each room that is Shown, full of what breathes most.
func Rooms(s *Site, processes []*process.Process) []*Room {
	var out []*Room
	for _, i := range Shown(s.Farm) {
		out = append(out, Work(s, i, full(s, i, processes)))
	}
	return out
}

// Findings judges the farm's tests in a closed box and its rooms, each of them full.
func Findings(s *Site, processes []*process.Process) []protocol.Finding {
	var out []protocol.Finding
	for _, t := range s.Tests {
		out = append(out, judged(t.Ledger, nil, protocol.InFarm(protocol.ClosedBoxKey(t.Index, "species")))...)
	}
	if protocol.Worst(out) == protocol.Error {
		return out // the rooms rest on what was refused
	}
	for i, r := range s.Farm.Rooms {
		switch {
		case !grows(r):
		case !Settled(r):
			out = append(out, protocol.Finding{
				Severity: protocol.Note, Rule: "room.unsettled", Origin: protocol.InFarm(protocol.RoomKey(i, "id")),
				What: protocol.Message{ID: "room.unsettled", Args: map[string]any{"room": r.Name}},
				Hint: protocol.Message{ID: "room.unsettled.hint"},
			})
		default:
			out = append(out, Work(s, i, full(s, i, processes)).Findings...)
		}
	}
	return out
}

// OfProtocol judges what is published of how a protocol's species breathes and, on a
// farm that has written down its rooms, whether each of its stages has one.
func OfProtocol(s *Site, p *process.Process) []protocol.Finding {
	return p.Judge(s.Places(p), p.Judge(s.Habits(p), nil))
}

// Places counts the rooms that suit each stage of a protocol; it counts nothing on a
// farm that has not written down its rooms.
func (s *Site) Places(p *process.Process) *working.Ledger {
	l := working.NewLedger(nil)
	if len(s.Farm.Rooms) == 0 {
		return l
	}
	for _, st := range p.Stages {
		at := p.Ledger.Get("stage_" + climateOf(st.ID) + "_air")
		l.GivenOf("rooms_for_stage", st.ID, unit.CountOf, float64(len(p.Rooms(st))), at.Origin, "")
	}
	return l
}
