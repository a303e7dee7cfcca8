package leaf

import (
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// wallCardPath is the card of a station for a number of vessels: one page that
// hangs where the work is done.
func wallCardPath(name string, station work.Station, vessels int) string {
	return ofSize(name, "card-"+string(station), vessels)
}

// wallCardsPath lists the cards of a protocol for a number of vessels.
func wallCardsPath(name string, vessels int) string {
	return ofSize(name, "wall-cards", vessels)
}

// wallCard is a station's steps with their figures, in letters that are read at
// arm's length. What each step asks for in full stands on the sheet.
type wallCard struct {
	batchFrame
	Station     string
	When        protocol.Message
	Roles       string
	Beside      []link
	Hazards     []hazardGroup
	Steps       []wallStep
	Short       bool // some steps are only named
	Large       int  // how large its letters are: 1, or more where there is room
	Pictures    []picture
	Stops       []wallStop
	TroubleCard link // that hangs beside it; no Href for none
	ToBook      *toBook
	UsualType   bool   // in large type: this card alone has no room for it
	Calls       []call // whom to call; none where the farm says none
	Emergency   bool   // its emergency number is among them
}

// wallStep is a step in its order, or several in a row that are left to the sheet.
type wallStep struct {
	Number   int
	Title    protocol.Message
	Time     string
	Later    protocol.Message
	Critical bool
	Amounts  []procedure.Amount
	Limit    protocol.Message
	Rest     protocol.Message // says which steps are left to the sheet; else empty
	bare     bool             // its figures are left to the sheet
}

// wallStop is what to do when the critical limit of a step is not met.
type wallStop struct {
	Number int
	Text   protocol.Message
}

// WallCard sets the card of a station. A station that the procedure does not pass
// has none, and it panics.
func WallCard(e Edition, p procedure.Procedure, at work.Station, method Method) ([]byte, error) {
	return e.html("wall-card", e.wallCard(p, at, method))
}

func (e Edition) wallCard(p procedure.Procedure, at work.Station, method Method) wallCard {
	b := p.Batch
	pr := b.Process.Input.Protocol
	name := e.say("station." + string(at))
	card := wallCard{
		batchFrame: e.frameOfBatch(b, wallCardPath(pr.Name, at, b.Vessels), "wall-card", "wall", method, "station", name),
		Station:    name,
		Beside: []link{
			{local(SheetPath(pr.Name, b.Vessels)), e.say("book.sheet.kind")},
			{local(wallCardsPath(pr.Name, b.Vessels)), e.say("book.wall.all")},
			{"../" + GuidePath(whenToStop), e.say("book.wall.when_to_stop")},
		},
	}
	only := stepsAt(p, at)
	var roles []string
	for _, st := range e.stations(only) {
		if card.When.ID == "" {
			card.When = st.When
		}
		for _, s := range st.Steps {
			if !slices.Contains(roles, s.Role) {
				roles = append(roles, s.Role)
			}
			card.Steps = append(card.Steps, wallStep{
				Number: s.Number, Title: s.Title, Time: s.Time, Later: s.Later, Critical: s.Critical, Amounts: e.besideLimit(s.Step), Limit: s.Limit,
			})
			if s.Critical && s.IfOff.ID != "" {
				card.Stops = append(card.Stops, wallStop{s.Number, s.IfOff})
			}
		}
	}
	if len(card.Steps) == 0 {
		panic("leaf: no step of the procedure is at the station " + string(at))
	}
	card.Roles = e.Voice.List(roles)
	card.Hazards = hazards(only)
	for _, i := range e.illustrations(only) {
		card.Pictures = append(card.Pictures, i.Picture)
	}
	if at == work.Sterilizing {
		card.TroubleCard = link{local(SterilizerCardPath(pr.Name)), e.say("book.fault.kind")}
	}
	card.ToBook = e.toBook(SheetPath(pr.Name, b.Vessels), stationID(p, at), wallModule)
	card.Calls, card.Emergency = e.calls()
	e.fit(&card)
	return card
}

// besideLimit are the amounts of a step that its limit does not name: on a card
// nothing stands twice.
func (e Edition) besideLimit(s procedure.Step) []procedure.Amount {
	said := amountsOf(e.Voice, s.Limit)
	var out []procedure.Amount
	for _, a := range s.Amounts {
		if !slices.Contains(said, e.show(a.Amount)) {
			out = append(out, a)
		}
	}
	return out
}

// stepsAt is what of a procedure is done at a station: its steps, and the lines
// up front that belong to one of them.
func stepsAt(p procedure.Procedure, at work.Station) procedure.Procedure {
	out := procedure.Procedure{Batch: p.Batch}
	for _, s := range p.Steps {
		if s.Station == at {
			out.Steps = append(out.Steps, s)
		}
	}
	for _, h := range p.Hazards {
		if stepOf(out, h) > 0 {
			out.Hazards = append(out.Hazards, h)
		}
	}
	return out
}

// stationID is the id of a station on the sheet: where it is passed first.
func stationID(p procedure.Procedure, at work.Station) string {
	n := 0
	for i, s := range p.Steps {
		if i == 0 || s.Station != p.Steps[i-1].Station {
			n++
		}
		if s.Station == at {
			break
		}
	}
	return "station-" + strconv.Itoa(n)
}

// stationsOf are the stations that a batch passes, in their order.
func stationsOf(p procedure.Procedure) []work.Station {
	var out []work.Station
	for _, s := range p.Steps {
		if !slices.Contains(out, s.Station) {
			out = append(out, s.Station)
		}
	}
	return out
}

// passed are the stations that a batch passes, before it is told.
func passed(b *batch.Batch) []work.Station {
	var out []work.Station
	for _, s := range b.Process.Steps() {
		if !slices.Contains(out, s.Station) {
			out = append(out, s.Station)
		}
	}
	return out
}

// wallCardPaths are the addresses of the cards of a batch.
func wallCardPaths(b *batch.Batch) []string {
	var out []string
	for _, at := range passed(b) {
		out = append(out, wallCardPath(b.Process.Input.Protocol.Name, at, b.Vessels))
	}
	return out
}

// wallCards is the page that lists the cards of a batch.
type wallCards struct {
	batchFrame
	Beside      []link
	Rows        []wallRow
	TroubleCard link
}

type wallRow struct {
	Card  link
	Roles string
	Holds []hold // its critical limits
}

// WallCards sets the page that lists the cards of a batch.
func WallCards(e Edition, p procedure.Procedure, method Method) ([]byte, error) {
	b := p.Batch
	pr := b.Process.Input.Protocol
	page := wallCards{
		batchFrame:  e.frameOfBatch(b, wallCardsPath(pr.Name, b.Vessels), "wall-cards", "wall.all", method),
		Beside:      []link{{local(SheetPath(pr.Name, b.Vessels)), e.say("book.sheet.kind")}, {local(ProtocolPath(pr.Name)), e.say("book.protocol.kind")}},
		TroubleCard: link{local(SterilizerCardPath(pr.Name)), e.say("book.fault.kind")},
	}
	for _, at := range stationsOf(p) {
		row := wallRow{Card: link{local(wallCardPath(pr.Name, at, b.Vessels)), e.say("station." + string(at))}}
		var roles []string
		for _, s := range stepsAt(p, at).Steps {
			if r := e.say("role." + string(s.Role)); !slices.Contains(roles, r) {
				roles = append(roles, r)
			}
			if s.Critical && s.Limit.ID != "" {
				row.Holds = append(row.Holds, hold{s.Title, s.Limit, s.Number})
			}
		}
		row.Roles = e.Voice.List(roles)
		page.Rows = append(page.Rows, row)
	}
	return e.html("wall-cards", page)
}
