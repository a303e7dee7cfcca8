// Package process works out what does not depend on the number of vessels:
// the formula, the fill of one vessel, the chamber's temperature at this
// altitude, the spawn and the yield of one vessel, and the stages with their
// days. Package batch scales it.
//
// Plan is a pure function of its Input. It reads no file and no clock.
//
// Quantities are in SI units: masses in kg, times in s, temperatures in K, pressures in
// Pa; shares are from 0 to 1.
package process

import (
	"cmp"
	"fmt"
	"slices"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Input is everything that may change a number of a batch, but for the number
// of vessels. A batch knows it by its process.
type Input struct {
	Farm     protocol.Farm
	Library  protocol.Library
	Protocol protocol.Protocol
	Measured map[string]unit.WetShare // moisture of the day by ingredient, over the farm's and the library's
	Evidence []Evidence               // probe runs of the farm that speak for this protocol
	Stock    []Drawn                  // lots that the batch is made from, the oldest first; none for a sheet of any day
	Units    unit.System              // a scale's step in pounds is not its step in grams
}

// Document is the path of the protocol's file in the farm folder.
func (in Input) Document() string { return protocol.Document(in.Protocol.Name) }

// MeasuredFlag is the origin of moistures given for the day.
const MeasuredFlag = "--moisture"

// Part is one ingredient of the formula with what the library knows of it.
type Part struct {
	protocol.Ingredient
	Share unit.DryShare
}

// Process is the plan of one vessel. It is not changed once made.
type Process struct {
	Input      Input
	Species    protocol.Species
	Vessel     protocol.Vessel
	Sterilizer protocol.FarmSterilizer
	Model      protocol.Sterilizer
	Holds      int // vessels that one load takes
	Parts      []Part
	Grain      *GrainSpawn       // nil where the farm does not make its own
	Names      map[string]string // words for the subjects of quantities
	Ledger     *working.Ledger
	TooDry     []int  // percents of water that a sample of a mix may read and that call for water
	TooWet     []int  // those that call for dry goods
	Spreading  string // the ingredient whose lots move the moisture most
	Stages     []Stage
	Case       run.Case   // the thermal side of it
	Evidence   []Judged   // what the probe runs say
	Unpriced   []Unpriced // what keeps costs from being worked out
	Findings   []protocol.Finding

	steps   []Step             // in their order
	unfit   []protocol.Finding // accepted probe runs that say nothing
	heated  []working.Input    // what a run is worked out from
	foreign []protocol.Finding // prices in a currency that is not the farm's
}

// Plan works out the process of a protocol on a farm. Findings carry what is
// outside a limit; the error is for input that names things which are not
// there, which a reader of files has refused before.
func Plan(in Input) (*Process, error) {
	p := &Process{Input: in, Names: map[string]string{}, Ledger: working.NewLedger(nil)}
	if err := p.resolve(); err != nil {
		return nil, err
	}
	p.place()
	p.scales()
	p.fill()
	p.formula()
	p.run()
	p.shift()
	p.thermal()
	p.energy()
	p.spawn()
	p.grain()
	p.crop()
	p.balance()
	p.stages()
	p.choices()
	p.reuse()
	p.crate()
	p.lifting()
	p.alcohol()
	p.noise()
	p.hot()
	p.prices()
	p.bags()
	p.order()
	p.Findings = p.Judge(p.Ledger, append(p.foreign, p.stepFindings()...))
	p.Findings = append(p.unexplained(p.Findings), p.Findings...)
	p.Findings = append(p.Findings, limit.Unacknowledgeable(in.Protocol.Acknowledged, p.Findings, in.Document(), in.Protocol.Name)...)
	return p, nil
}

// Judge runs a ledger's own quantities over the limits, after what was found
// before, and says which warnings the author stands by. The process is judged
// once, and each batch of it for what its number of vessels adds.
func (p *Process) Judge(l *working.Ledger, before []protocol.Finding) []protocol.Finding {
	pr := p.Input.Protocol
	found := append(before, limit.Check(l.Own(), l, p.Names, pr.Name)...)
	found = append(found, outOfRange(l, found, pr.Name)...)
	return limit.Acknowledge(found, pr.Acknowledged)
}

// outOfRange turns a law that could not be evaluated into a finding, unless a
// limit has already said which value is to blame.
func outOfRange(l *working.Ledger, found []protocol.Finding, subject string) []protocol.Finding {
	if l.Err() == nil || protocol.Worst(found) == protocol.Error {
		return nil
	}
	return []protocol.Finding{{
		Severity: protocol.Error,
		Rule:     "law.range",
		What:     protocol.Message{ID: "law.range", Args: map[string]any{"error": l.Err().Error()}},
		Subject:  subject,
	}}
}

// sterilizer finds one of the farm's sterilizers, its kind, and how many of a
// vessel one load takes, 0 where the farm has not said.
func (in Input) sterilizer(id, vessel string) (own protocol.FarmSterilizer, model protocol.Sterilizer, holds int, err error) {
	i := slices.IndexFunc(in.Farm.Sterilizers, func(s protocol.FarmSterilizer) bool { return s.ID == id })
	if i < 0 {
		return own, model, 0, fmt.Errorf("process: no sterilizer %q", id)
	}
	own = in.Farm.Sterilizers[i]
	model, ok := in.Library.Sterilizers[own.Model]
	if !ok {
		return own, model, 0, fmt.Errorf("process: no kind of sterilizer %q", own.Model)
	}
	for _, h := range own.Holds {
		if h.Vessel == vessel {
			holds = h.Count
		}
	}
	return own, model, holds, nil
}

func (p *Process) resolve() error {
	pr, lib := p.Input.Protocol, p.Input.Library
	var ok bool
	if p.Species, ok = lib.Species[pr.Species]; !ok {
		return fmt.Errorf("process: no species %q", pr.Species)
	}
	if p.Vessel, ok = lib.Vessels[pr.Vessel]; !ok {
		return fmt.Errorf("process: no vessel %q", pr.Vessel)
	}
	var err error
	if p.Sterilizer, p.Model, p.Holds, err = p.Input.sterilizer(pr.Sterilizer, pr.Vessel); err != nil {
		return err
	}
	p.Names[p.Sterilizer.ID] = p.Sterilizer.Name
	for _, part := range pr.Substrate.Ingredients {
		ing, ok := lib.Ingredients[part.Ingredient]
		if !ok {
			return fmt.Errorf("process: no ingredient %q", part.Ingredient)
		}
		p.Names[ing.ID] = ing.Name
		p.Parts = append(p.Parts, Part{ing, part.Share})
	}
	if err := p.resolveGrain(); err != nil {
		return err
	}
	// The order in a file carries no meaning, so it must not reach a sheet:
	// bases first, minerals last, larger shares first, then by id.
	slices.SortFunc(p.Parts, func(a, b Part) int {
		return cmp.Or(
			cmp.Compare(roleOrder[a.Role], roleOrder[b.Role]),
			cmp.Compare(b.Share, a.Share),
			cmp.Compare(a.ID, b.ID),
		)
	})
	return nil
}

var roleOrder = map[string]int{
	protocol.RoleReference:  0,
	protocol.RoleBase:       1,
	protocol.RoleSupplement: 2,
	protocol.RoleGrain:      3,
	protocol.RoleMineral:    4,
}

// The givens: a value with the place where it was written.

func (p *Process) given(name string, k unit.Kind, v float64, key string) *working.Quantity {
	return p.Ledger.Given(name, k, v, working.Origin{Document: p.Input.Document(), Key: key})
}

func (p *Process) farm(name string, k unit.Kind, v float64, key string) *working.Quantity {
	return p.Ledger.Given(name, k, v, protocol.InFarm(key))
}

func (p *Process) species(name string, k unit.Kind, v float64, key string) *working.Quantity {
	s := p.Species
	return p.Ledger.GivenOf(name, "", k, v, p.Input.Library.Origin("species", s.ID, key), s.Source)
}

func (p *Process) vessel(name string, k unit.Kind, v float64, key string) *working.Quantity {
	s := p.Vessel
	return p.Ledger.GivenOf(name, "", k, v, p.Input.Library.Origin("vessel", s.ID, key), s.Source)
}

// kind enters what the library says of this kind of sterilizer.
func (p *Process) kind(name string, k unit.Kind, v float64, key string) *working.Quantity {
	s := p.Model
	return p.Ledger.GivenOf(name, "", k, v, p.Input.Library.Origin("sterilizer", s.ID, key), s.Source)
}

// Value is a quantity's value in SI units.
func (p *Process) Value(name string) float64 { return p.Ledger.Value(name) }

// flag enters a choice that is not a number as 0 or 1, so that limits can run
// over it like over any other quantity.
func (p *Process) flag(name string, on bool, key string) {
	v := 0.0
	if on {
		v = 1
	}
	p.given(name, unit.None, v, key)
}

// SizeOrigin is where a number of vessels stands: among the protocol's batch
// sizes, or else in the flag that gave it.
func (p *Process) SizeOrigin(vessels int, flag string) working.Origin {
	if i := slices.Index(p.Input.Protocol.BatchSizes, vessels); i >= 0 {
		return working.Origin{Document: p.Input.Document(), Key: protocol.Item("batch_sizes", i)}
	}
	return working.Origin{Document: flag}
}

// farmOrigin is the place of a key in the i-th entry of one of the farm's lists.
func (p *Process) farmOrigin(list string, i int, key string) working.Origin {
	return protocol.InFarm(protocol.Item(list, i) + "." + key)
}
