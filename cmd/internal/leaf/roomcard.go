package leaf

import (
	"slices"

	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// RoomPath is the card for the door of a room.
func RoomPath(id string) string { return "rooms/" + id + ".html" }

// roomCard is one page to print and hang up beside a door.
type roomCard struct {
	frame
	Name     string
	Lead     string
	Working  string // page that tells how it was worked out
	Hazards  []hazardGroup
	Held     []procedure.RunFigure // setpoints, and what goes with the room
	Moments  []roomMoment
	Stands   []string // what may stand there
	StandsAt protocol.Message
	CallLine string // whom to call, in a line; empty where the farm does not say
}

// roomMoment is what to do at the door, or when one of the room's figures is off.
type roomMoment struct {
	ID, Name string
	Rows     []roomRow
}

// roomRow is one figure that was crossed: what is seen, what to do, and what then.
type roomRow struct{ Title, See, Do, Then protocol.Message }

// RoomCard sets the card for the door of a room.
func RoomCard(e Edition, r *climate.Room, processes []*process.Process) ([]byte, error) {
	c := r.Card()
	page := roomCard{
		frame: e.frame(RoomPath(r.ID), "room-card", e.say("book.roomcard.title", "room", r.Name), e.say("book.roomcard.id", "room", r.ID), ""),
		Name:  r.Name,
		Lead:  e.say("book.roomcard.lead"), CallLine: e.callLine(),
		Working: local(RoomWorkingPath(r.ID)),
		Hazards: roomHazards(r),
		Held:    e.held(r, c),
		Moments: e.roomMoments(r, c),
	}
	page.StandsAt = words.Message("book.roomcard.stands", "n", r.Places)
	for _, s := range climate.MayStand(r.Room, processes) {
		page.Stands = append(page.Stands, e.say("book.roomcard.may", "title", s.Process.Input.Protocol.Title, "stage", words.Message("book.stage."+s.Stage)))
	}
	return e.html("room-card", page)
}

func roomHazards(r *climate.Room) []hazardGroup {
	out := []hazardGroup{{procedure.Danger, []hazardLine{{Text: words.Message("book.roomcard.air")}}}}
	if r.Slippery {
		out = append(out, hazardGroup{procedure.Warning, []hazardLine{{Text: words.Message("book.roomcard.floor")}}})
	}
	return append(out, hazardGroup{procedure.Notice, []hazardLine{{Text: words.Message("book.roomcard.law")}}})
}

// The amounts of a card, as a meter at the door shows them.

// doorDegrees shows a temperature in halves of a degree, in whole ones on Fahrenheit.
func (e Edition) doorDegrees(v float64) unit.Amount {
	if e.Voice.Units().IsUS() {
		return unit.Amount{Kind: unit.TemperatureOf, Value: v, Step: unit.SizeOf(unit.TemperatureOf, "°F")}
	}
	return unit.Amount{Kind: unit.TemperatureOf, Value: v, Digits: 3}
}

func percent(v float64) unit.Amount { return unit.Amount{Kind: unit.ShareOf, Value: v, Step: 0.01} }
func meter(v float64) unit.Amount {
	return unit.Amount{Kind: unit.PartsPerMillion, Value: v, Digits: 6, Unit: "ppm"}
}

// rounded shows a time that was rounded already.
func rounded(v float64) unit.Amount {
	if v >= 3*unit.Hour {
		return unit.Amount{Kind: unit.TimeOf, Value: v, Unit: "h", Step: unit.Hour}
	}
	return unit.Amount{Kind: unit.TimeOf, Value: v, Unit: "min", Step: unit.Minute}
}

// water shows what a humidifier takes a day: whole liters, or gallons to a half.
func (e Edition) water(v float64) unit.Amount {
	if e.Voice.Units().IsUS() {
		half := unit.SizeOf(unit.VolumeOf, "gal") / 2
		return unit.Amount{Kind: unit.VolumeOf, Value: v, Step: half, Unit: "gal"}
	}
	return unit.Amount{Kind: unit.VolumeOf, Value: v, Step: 1e-3, Unit: "L"}
}

// held lists what the room is held at and what goes with it.
func (e Edition) held(r *climate.Room, c climate.Card) []procedure.RunFigure {
	var out []procedure.RunFigure
	add := func(name string, value protocol.Message) {
		out = append(out, procedure.RunFigure{Name: words.Message("book.roomcard." + name), Value: value})
	}
	span := func(at, low, high unit.Amount) protocol.Message {
		return words.Message("book.roomcard.band", "at", at, "low", low, "high", high)
	}
	add("held.air", span(e.doorDegrees(float64(*r.Air)), e.doorDegrees(c.Air.Low), e.doorDegrees(c.Air.High)))
	add("held.humidity", span(percent(float64(*r.Humidity)), percent(c.Humidity.Low), percent(c.Humidity.High)))
	add("held.co2", words.Message("book.roomcard.most", "most", meter(c.CO2)))
	if c.Stay > 0 {
		add("held.stay", words.Message("book.roomcard.most", "most", rounded(c.Stay)))
	}
	if c.Purge > 0 {
		add("held.purge", words.Message("book.roomcard.first", "first", rounded(c.Purge)))
	}
	if c.FanOff > 0 {
		add("held.fan_off", words.Message("book.roomcard.after", "after", rounded(c.FanOff)))
	}
	if c.Water > 0 {
		add("held.water", words.Message("book.roomcard.a_day", "water", e.water(c.Water)))
	}
	return out
}

// roomMoments lists what to do at the door, and when a figure is off.
func (e Edition) roomMoments(r *climate.Room, c climate.Card) []roomMoment {
	row := func(name string, pairs ...any) roomRow {
		part := func(of string) protocol.Message {
			id := "book.roomcard." + name + "." + of
			var args []any
			for i := 0; i < len(pairs); i += 2 {
				if slices.Contains(words.Arguments(id), pairs[i].(string)+":amount") {
					args = append(args, pairs[i], pairs[i+1])
				}
			}
			return words.Message(id, args...)
		}
		return roomRow{part("title"), part("see"), part("do"), part("then")}
	}
	door := roomMoment{ID: "door", Name: e.say("book.roomcard.door")}
	if c.Purge > 0 {
		door.Rows = append(door.Rows, row("purge", "enter", meter(c.Enter), "time", rounded(c.Purge), "stay", rounded(c.Stay)))
	} else if c.Stay > 0 {
		door.Rows = append(door.Rows, row("enter", "enter", meter(c.Enter), "stay", rounded(c.Stay)))
	}
	leave := "leave"
	if c.Stale() {
		leave = "leave_stale"
	}
	door.Rows = append(door.Rows,
		row(leave, "alarm", meter(c.Alarm), "enter", meter(c.Enter)),
		row("loud", "loud", meter(c.Loud), "enter", meter(c.Enter)),
		row("never", "never", meter(c.Never)))
	switch {
	case c.FanOff > 0:
		door.Rows = append(door.Rows, row("fan", "alarm", meter(c.Alarm), "time", rounded(c.FanOff)))
	case c.Stale():
		door.Rows = append(door.Rows, row("fan_stale", "enter", meter(c.Enter)))
	}
	off := roomMoment{ID: "off", Name: e.say("book.roomcard.off")}
	if c.CO2High > 0 {
		off.Rows = append(off.Rows, row("stale", "high", meter(c.CO2High)))
	}
	if c.CO2Low > 0 {
		off.Rows = append(off.Rows, row("fresh", "low", meter(c.CO2Low)))
	}
	off.Rows = append(off.Rows,
		row("warm", "high", e.doorDegrees(c.Air.High)), row("cold", "low", e.doorDegrees(c.Air.Low)),
		row("dry", "low", percent(c.Humidity.Low)), row("damp", "high", percent(c.Humidity.High)))
	return []roomMoment{door, off}
}
