package protocol

import "bottlecrop/cmd/internal/unit"

// Evidence is a run of a sterilizer with a temperature probe in a vessel. What
// it says of the vessel's substrate takes the place of what is assumed, for
// protocols with the same vessel, substrate, bore and sterilizer, once somebody
// has accepted it.
type Evidence struct {
	ID         string       `toml:"id" validate:"required,id"`
	Protocol   string       `toml:"protocol" validate:"required"` // by which the vessel was filled and the run made
	Log        string       `toml:"log" validate:"required,max=120"`
	Channel    string       `toml:"channel" validate:"required,max=120"` // in the vessel: its name in the log, or the number of its column
	Chamber    string       `toml:"chamber_channel" validate:"max=120"`  // beside the vessels; left out, the chamber is taken to have followed the protocol
	FromAxis   unit.Length  `toml:"from_axis"`                           // of the probe's tip; 0 is on the axis
	AboveBase  unit.Length  `toml:"above_base" validate:"required"`      // above the inside of the base
	Within     *unit.Length `toml:"place_within"`                        // how far off the tip may have been; left out, it is UsualWithin
	Bore       string       `toml:"bore" validate:"required,oneof=steam air collapsed none"`
	Unit       string       `toml:"temperature_unit" validate:"oneof=C F K"` // of the log; left out, the log says it
	Dates      string       `toml:"dates" validate:"oneof=mdy dmy"`          // order in the log's dates; left out, the log tells
	MeasuredOn string       `toml:"measured_on" validate:"required,datetime=2006-01-02"`
	By         string       `toml:"by" validate:"required,max=60" prose:"name"`
	Accepted   bool         `toml:"accepted"`
	Why        string       `toml:"why" validate:"required,min=10,max=300" prose:"true"` // it was accepted, or not
}

// UsualWithin is how far a probe's tip may be from its place, across or along,
// where nobody says, m; and MostWithin how far at most (design choices).
const (
	UsualWithin unit.Length = 0.002
	MostWithin  unit.Length = 0.005
)

// HeatsLike reports whether heat gets into the vessels of two protocols alike,
// so that a probe run made by one speaks for the other.
func (p Protocol) HeatsLike(q Protocol) bool {
	return p.Vessel == q.Vessel && p.Sterilizer == q.Sterilizer && p.Substrate.like(q.Substrate) && p.Fill.like(q.Fill) && p.Bore == q.Bore
}

// like leaves out what does not change the substrate: the order of ingredients,
// and how long it is mixed.
func (s Substrate) like(t Substrate) bool {
	if s.Moisture != t.Moisture || s.ChangeInSterilizer != t.ChangeInSterilizer || len(s.Ingredients) != len(t.Ingredients) {
		return false
	}
	share := map[string]unit.DryShare{}
	for _, i := range s.Ingredients {
		share[i.Ingredient] = i.Share
	}
	for _, i := range t.Ingredients {
		if share[i.Ingredient] != i.Share {
			return false
		}
	}
	return true
}

func (f Fill) like(g Fill) bool {
	return same(f.Mass, g.Mass) && same(f.Density, g.Density) && f.Headspace == g.Headspace
}

// same compares two values that may be left out.
func same[T comparable](a, b *T) bool { return a == b || a != nil && b != nil && *a == *b }
