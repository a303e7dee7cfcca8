package leaf

import (
	"strings"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// RoomsPath is the author's page on all rooms.
const RoomsPath = "rooms/index.html"

// Climate is what a book shows of the farm's rooms.
type Climate struct {
	Site      *climate.Site
	Rooms     []*climate.Room // those that have cards, in the order of the farm's file
	Processes []*process.Process
	// Busiest has rooms by id as they are on the day of the season on which they give
	// off most; nil without a season.
	Busiest map[string]Busiest
}

// Busiest is a room on the day of the season on which it gives off most.
type Busiest struct {
	Day  calendar.Date
	Room *climate.Room
}

// RoomWorkingPath is the page that tells how the air of a room was worked out.
func RoomWorkingPath(id string) string { return "rooms/" + id + "-working.html" }

// roomsPage tells what the air of each room asks for.
type roomsPage struct {
	frame
	Lead  string
	Cards []link
	Rooms []roomPart
	Plain string // rooms without a card; "" for none
	Tests []roomTest
	Guide string
}

// roomPart is one room on that page.
type roomPart struct {
	ID, Name, When, Card, Working string
	Findings                      []finding
	Notes                         []string
	Busiest                       string // which day of the season the second figures are of; "" for none
	Air                           []airRow
	Climate                       []climateRow
}

// airRow is one figure, with where it is worked out, and what it is on the busiest day.
type airRow struct{ Name, Value, Href, Then string }

// climateRow is what a room asks for on the two days, and what it has for that.
type climateRow struct{ Name, Summer, SummerHref, Winter, WinterHref, Has, Reserve string }

// roomTest is one of the farm's tests in a closed box.
type roomTest struct {
	Name, When string
	Working    group
}

// roomWorking tells how the air of one room was worked out.
type roomWorking struct {
	frame
	Name, When, Back string
	Groups           []group
	Figures          int
}

func roomAnchor(id string) string { return "room-" + id }

func boxAnchor(t *climate.Test) string { return "box-" + t.On + "-" + t.Species + "-" + t.Stage }

// Rooms sets the author's page on all rooms.
func Rooms(e Edition, c Climate) ([]byte, error) {
	page := roomsPage{
		frame: e.frame(RoomsPath, "rooms", e.say("book.rooms"), e.say("book.rooms.id"), ""),
		Lead:  e.say("book.rooms.lead"),
		Guide: "../" + GuidePath("closed-box"),
	}
	b := bench{Edition: e, at: map[*working.Quantity]string{}}
	for _, q := range c.Site.Ledger.All() {
		if len(c.Rooms) > 0 { // each room's page has what all share
			b.at[q] = local(RoomWorkingPath(c.Rooms[0].ID)) + "#shared." + quantityID(q)
		}
	}
	for _, t := range c.Site.Tests {
		w, err := b.part(boxAnchor(t), e.say("book.roomcard.how"), t.Ledger.Own())
		if err != nil {
			return nil, err
		}
		page.Tests = append(page.Tests, roomTest{
			Name: e.say("book.rooms.tested", "species", e.common(c, t.Species), "stage", words.Message("book.stage."+t.Stage),
				"rate", unit.Amount{Kind: unit.RespirationOf, Value: t.Measured(), Digits: 3}),
			When: e.say("book.rooms.tested.when", "on", t.On, "by", t.By), Working: w,
		})
	}
	carded := map[string]bool{}
	for _, r := range c.Rooms {
		carded[r.ID] = true
		page.Rooms = append(page.Rooms, e.roomPart(r, c.Busiest[r.ID]))
		page.Cards = append(page.Cards, link{local(RoomPath(r.ID)), r.Name})
	}
	var plain []string
	for _, r := range c.Site.Farm.Rooms {
		if !carded[r.ID] {
			plain = append(plain, r.Name)
		}
	}
	if len(plain) > 0 {
		page.Plain = e.say("book.rooms.plain", "names", e.Voice.List(plain))
	}
	return e.html("rooms", page)
}

// held are the rooms, for the page of all limits.
func (c *Climate) held() []held {
	if c == nil {
		return nil
	}
	var out []held
	for _, r := range c.Rooms {
		h := held{page: RoomWorkingPath(r.ID), title: r.Name, ledger: r.Ledger, subjects: r.Names,
			quantities: map[string][]*working.Quantity{}, ofBatch: map[string]bool{}}
		for _, q := range r.Ledger.Own() {
			h.quantities[q.Name] = append(h.quantities[q.Name], q)
		}
		out = append(out, h)
	}
	return out
}

// RoomsFarmPage is how the home page and the search list it.
func RoomsFarmPage(e Edition, c Climate) FarmPage {
	known := []string{e.say("book.rooms.known")}
	for _, r := range c.Rooms {
		known = append(known, r.Name)
	}
	return FarmPage{Path: RoomsPath, Title: e.say("book.rooms"), For: words.Message("book.rooms.holds", "n", len(c.Rooms)), Known: strings.Join(known, " ")}
}

// roomBegins names the quantity with which each group of a room's working begins.
var roomBegins = map[string]string{
	"room_air": "setpoint", "room_volume": "place", "growing_factor": "breath", "fresh_needed": "carbon", "person_skin": "people",
	"brought_above_dew": "heat", "wall_area": "heat", "room_people": "people",
	"coil": "heat", "summer_fresh_water": "summer", "winter_fresh_water": "winter", "surfaces_above_dew": "equipment",
	"sealed_with_people": "checks", "humidity_off": "checks",
}

// RoomWorking sets the page that tells how the air of a room was worked out.
func RoomWorking(e Edition, c Climate, r *climate.Room) ([]byte, error) {
	b := bench{Edition: e, at: map[*working.Quantity]string{}}
	page := roomWorking{
		frame: e.frame(RoomWorkingPath(r.ID), "rooms", e.say("book.rooms.working", "room", r.Name), e.say("book.rooms.working.id", "room", r.ID), ""),
		Name:  r.Name, When: e.full(r), Back: local(RoomsPath) + "#" + roomAnchor(r.ID),
	}
	for _, t := range c.Site.Tests {
		for _, q := range t.Ledger.Own() {
			b.at[q] = local(RoomsPath) + "#" + boxAnchor(t) + "." + quantityID(q)
		}
	}
	shared, err := b.part("shared", e.say("book.rooms.shared"), c.Site.Ledger.All())
	if err != nil {
		return nil, err
	}
	var published []group
	for _, s := range r.Standing {
		pr := s.Process.Input.Protocol
		for _, q := range s.Process.Ledger.All() {
			b.at[q] = "../" + ProtocolPath(pr.Name) + "#" + quantityID(q)
		}
		w, err := b.part("breath-"+pr.Name, e.say("book.rooms.published", "title", pr.Title), c.Site.Habits(s.Process).All())
		if err != nil {
			return nil, err
		}
		published = append(published, w)
	}
	b.names = r.Names
	own := r.Ledger.Own()
	all, err := b.part("", "", own)
	if err != nil {
		return nil, err
	}
	at := map[string]int{}
	for i, q := range own {
		if id := roomBegins[q.Name]; id != "" || len(page.Groups) == 0 {
			if _, seen := at[id]; !seen {
				at[id] = len(page.Groups)
				page.Groups = append(page.Groups, group{ID: "working-" + id, Name: e.say("book.rooms.working." + id)})
			}
		}
		last := &page.Groups[len(page.Groups)-1]
		last.Worked = append(last.Worked, all.Worked[i])
	}
	page.Groups = append(append(page.Groups, published...), shared)
	page.Figures = figures(page.Groups)
	return e.html("room-working", page)
}

// StandingName says what grows of a protocol in a stage, for climate.Site.
func StandingName(v *words.Voice) func(title, stage string) string {
	return func(title, stage string) string {
		return v.Say(words.Message("book.rooms.standing."+stage, "title", title))
	}
}

// full is what a room is full of.
func (e Edition) full(r *climate.Room) string {
	for _, s := range r.Standing {
		return e.say("book.rooms.full_of", "n", s.Vessels, "what", r.Names[s.Subject()])
	}
	return e.say("book.rooms.empty")
}

// stands is what stands in a room, in one line.
func (e Edition) stands(r *climate.Room) string {
	var parts []string
	for _, s := range r.Standing {
		parts = append(parts, e.say("book.rooms.full_of", "n", s.Vessels, "what", r.Names[s.Subject()]))
	}
	return e.Voice.Phrases(parts)
}

// common is what a species is called.
func (e Edition) common(c Climate, species string) string {
	for _, p := range c.Processes {
		if s, ok := p.Input.Library.Species[species]; ok {
			return e.Voice.Capital(s.Common)
		}
	}
	return species
}

// part explains a ledger of the page, and remembers where its quantities stand; an id
// goes before their anchors.
func (b bench) part(id, name string, list []*working.Quantity) (group, error) {
	if id != "" {
		b.prefix = id + "."
	}
	b.own = map[*working.Quantity]bool{}
	for _, q := range list {
		b.own[q] = true
		b.at[q] = "#" + b.prefix + quantityID(q)
	}
	out := group{ID: "working-" + id, Name: name}
	for _, q := range list {
		w, err := b.worked(q)
		if err != nil {
			return out, err
		}
		out.Worked = append(out.Worked, w)
	}
	return out, nil
}

// ofAir are the figures of the first table, in their order; what a room does not have
// is left out.
var ofAir = []string{
	"room_free", "room_filled", "co2_given", "crop_heat", "room_co2", "fresh_needed", "fresh_by_fan", "fan", "fan_margin", "co2_with_fan",
	"leak", "co2_ceiling", "co2_wanted", "sealed_rise", "sealed_time", "sealed_time_loud",
	"purge_needed", "co2_at_entry", "stay", "shift_mean", "stay_most", "room_dew_point", "room_above_dew", "surfaces_above_dew",
}

// roomDigits is what is told of a design figure: nobody knows it better.
const roomDigits = 3

func (e Edition) roomPart(r *climate.Room, busiest Busiest) roomPart {
	out := roomPart{ID: roomAnchor(r.ID), Name: r.Name, When: e.full(r), Card: local(RoomPath(r.ID)), Working: local(RoomWorkingPath(r.ID))}
	for _, f := range r.Findings {
		out.Findings = append(out.Findings, e.finding(f))
	}
	show := func(q *working.Quantity) string {
		if q.Kind == unit.CountOf {
			return e.Voice.Units().Number(q.Value, 1)
		}
		digits := roomDigits
		if q.Kind == unit.TemperatureOf {
			digits = 4
		}
		return e.show(unit.Amount{Kind: q.Kind, Value: q.Value, Digits: digits, Unit: q.Unit})
	}
	then := func(name string) string {
		if busiest.Room == nil {
			return ""
		}
		if q := busiest.Room.Ledger.Get(name); q != nil {
			return show(q)
		}
		return e.say("book.rooms.none")
	}
	if busiest.Room != nil {
		out.Busiest = e.say("book.rooms.busiest", "day", busiest.Day.String(), "what", e.stands(busiest.Room))
	}
	href := func(q *working.Quantity) string { return out.Working + "#" + quantityID(q) }
	for _, name := range ofAir {
		if q := r.Ledger.Get(name); q != nil {
			out.Air = append(out.Air, airRow{e.Voice.Capital(e.Voice.Say(limit.Name(q, r.Names))), show(q), href(q), then(name)})
		}
	}
	if least, wants := r.Value("co2_wanted"); wants {
		if top, leaks := r.Value("co2_ceiling"); leaks && top < least {
			out.Notes = append(out.Notes, e.say("book.rooms.unreached"))
		} else if leaks {
			out.Notes = append(out.Notes, e.say("book.rooms.holds_itself"))
		}
	}
	if r.Ledger.Get(climate.Summer+"_sensible") == nil {
		out.Notes = append(out.Notes, e.say("book.rooms.bare"))
		return out
	}
	for _, x := range []struct{ name, of, has, reserve string }{
		{"outdoor", "_air", "", ""}, {"cooling", "_cooling", "cooling", "cooling_margin"}, {"latent", "_latent", "", ""},
		{"heating", "_heating", "heating", "heating_margin"}, {"duty", "_duty", "humidifier_brings", "humidifier_margin"},
		{"coil_water", "_coil_water", "", ""},
	} {
		s, w := r.Ledger.Get(climate.Summer+x.of), r.Ledger.Get(climate.Winter+x.of)
		row := climateRow{Name: e.say("book.rooms." + x.name), Summer: show(s), Winter: show(w), SummerHref: href(s), WinterHref: href(w)}
		if x.of == "_air" {
			row.SummerHref, row.WinterHref = out.Working+"#shared."+quantityID(s), out.Working+"#shared."+quantityID(w)
		}
		if q := r.Ledger.Get(x.has); q != nil {
			row.Has = show(q)
		}
		if q := r.Ledger.Get(x.reserve); q != nil {
			row.Reserve = show(q)
		}
		out.Climate = append(out.Climate, row)
	}
	return out
}
