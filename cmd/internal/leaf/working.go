package leaf

import (
	"fmt"
	"regexp"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Digits that are printed: enough of an input that its formula gives the
// printed result, and a result to more than any scale or gauge reads.
const (
	inputDigits  = 8
	resultDigits = 6
)

// group is a stretch of the working under one heading.
type group struct {
	ID, Name string
	Worked   []worked
}

// worked is one quantity as it explains itself.
type worked struct {
	ID      string
	Name    string
	Value   string
	Formula string // "" for a value that was given
	Inputs  []input
	Given   spot // where it was written; empty for a derived one
	Source  string
}

// input is one symbol of a formula: what stands for it, and where that is
// worked out.
type input struct {
	Symbol, Name, Value string
	Href                string
}

// begins names the quantity with which each group begins, in the order in
// which the process and the batch work them out.
var begins = map[string]string{
	"altitude":           "place",
	"air_pressure":       "place",
	"scale_reads":        "scales",
	"vessel_brimful":     "fill",
	"share":              "formula",
	"gauge_pressure":     "run",
	"shift_length":       "staging",
	"substrate_radius":   "thermal",
	"heater_power":       "energy",
	"spawn_rate":         "spawn",
	"grain_in_jar":       "grain",
	"lost_share":         "crop",
	"outdoor_co2":        "stages",
	"stage_incubation":   "stages",
	"species_in_bottles": "choices",
	"vessel_uses_most":   "reuse",
	"respired_share":     "balance",
	"lift_load_constant": "lifting",
	"bench_room":         "alcohol",
	"noise_level":        "noise",
	"heat_reading":       "hot",
	"vessel_uses":        "prices",
	"price":              "prices",
	"bag_fill":           "bags",
	"own_takes":          "own",
	"own_takes_each":     "own",

	"sold_in_vessel": "vessels",
	"good_wanted":    "vessels",
	"vessels":        "vessels",
	"waste_small":    "amounts",
	"load_cover":     "staging",
	"in_mix":         "weighing",
	"spawn_total":    "spawn",
	"grain_runs":     "grain",
	"yield_low":      "crop",
	"time_receive":   "labor",

	"ingredient_cost": "cost",

	"jug_reads": "hygiene",
}

// bench is where quantities are shown: the ledger's owner, and where those
// that are not its own stand.
type bench struct {
	Edition
	names  map[string]string
	mix    *batch.Mix // nil for a process
	own    map[*working.Quantity]bool
	others string                       // page of the quantities that are not own
	prefix string                       // before the anchors of its own, where a page has several ledgers
	at     map[*working.Quantity]string // where single quantities that are not own stand
}

// workingOfProcess explains what does not depend on the number of vessels.
func (e Edition) workingOfProcess(p *process.Process) ([]group, error) {
	return e.working(bench{Edition: e, names: p.Names}, p.Ledger.Own())
}

// workingOfBatch explains what a number of vessels adds; the rest stands on the
// page of the protocol.
func (e Edition) workingOfBatch(b *batch.Batch) ([]group, error) {
	page := local(ProtocolPath(b.Process.Input.Protocol.Name))
	return e.working(bench{Edition: e, names: b.Process.Names, mix: &b.Mix, others: page}, b.Ledger.Own())
}

func (e Edition) working(w bench, list []*working.Quantity) ([]group, error) {
	w.own = map[*working.Quantity]bool{}
	for _, q := range list {
		w.own[q] = true
	}
	var out []group
	at := map[string]int{} // place of each group in out
	now := -1
	for _, q := range list {
		if id, ok := beginsAt(q.Name); ok {
			if _, seen := at[id]; !seen {
				at[id] = len(out)
				out = append(out, group{ID: "working-" + id, Name: e.say("book.working." + id)})
			}
			now = at[id]
		}
		if now < 0 {
			return nil, fmt.Errorf("leaf: quantity %s stands before the first group of the working", q.ID())
		}
		x, err := w.worked(q)
		if err != nil {
			return nil, err
		}
		out[now].Worked = append(out[now].Worked, x)
	}
	return out, nil
}

func beginsAt(name string) (string, bool) {
	if id, ok := begins[name]; ok {
		return id, true
	}
	if strings.HasPrefix(name, "stage_incubation") {
		return begins["stage_incubation"], true
	}
	return "", false
}

func (w bench) worked(q *working.Quantity) (worked, error) {
	x := worked{
		ID:     w.prefix + quantityID(q),
		Name:   w.Voice.Say(limit.Name(q, w.names)),
		Value:  w.value(q, resultDigits),
		Source: q.Source,
	}
	switch {
	case q.Law != nil:
		x.Formula = printed(q.Law.Formula)
		x.Source = q.Law.Source
		for _, in := range q.Inputs {
			x.Inputs = append(x.Inputs, w.input(in))
		}
	case q.Origin != (working.Origin{}):
		x.Given = w.spot(q.Origin)
	case q.Source == "":
		return x, fmt.Errorf("leaf: quantity %s has no law, no place and no source: nobody could say how it was worked out", q.ID())
	}
	return x, nil
}

func (w bench) input(in working.Input) input {
	q := in.Quantity
	href := w.at[q]
	switch {
	case w.own[q]:
		href = "#" + w.prefix + quantityID(q)
	case href == "":
		href = w.others + "#" + quantityID(q)
	}
	return input{
		Symbol: in.Symbol,
		Name:   w.Voice.Say(limit.Name(q, w.names)),
		Value:  w.value(q, inputDigits),
		Href:   href,
	}
}

// quantityID is the anchor of a quantity. Names hold no point, so a subject
// can't run into a name.
func quantityID(q *working.Quantity) string {
	id := "q-" + strings.ReplaceAll(q.Name, "_", "-")
	if q.Of != "" {
		id += "." + q.Of
	}
	return id
}

// value prints a quantity: as its instrument reads it where it was rounded to
// one, else to that many significant digits.
func (w bench) value(q *working.Quantity, digits int) string {
	switch q.Kind {
	case unit.CountOf:
		return w.Voice.Units().Number(q.Value, 1)
	case unit.MoneyOf:
		return w.money(q.Value, digits)
	case unit.PriceOfMass, unit.PriceOfTime, unit.PriceOfEnergy, unit.PriceOfVolume:
		return w.price(q.Kind, q.Value, digits)
	}
	if q.Step > 0 {
		if w.mix != nil {
			for _, r := range w.mix.Rows {
				if r.ID == q.Of {
					return w.show(r.Scale.Amount(q.Value))
				}
			}
		}
		return w.show(unit.Amount{Kind: q.Kind, Value: q.Value, Step: q.Step, Unit: q.Unit})
	}
	return w.show(unit.Amount{Kind: q.Kind, Value: q.Value, Digits: digits, Unit: q.Unit})
}

// money is an amount of money to that many significant digits: what one use of
// a lid costs is a part of a cent.
func (e Edition) money(value float64, digits int) string {
	return unit.Show(unit.None, value, e.Voice.Units(), digits) + unit.Space + e.Farm.Currency
}

// priced are the measures after the slash of a price: those that a farm is
// billed by.
var priced = map[unit.Kind]struct {
	of         unit.Kind
	metric, us string
}{
	unit.PriceOfMass:   {unit.MassOf, "kg", "lb"},
	unit.PriceOfTime:   {unit.TimeOf, "h", "h"},
	unit.PriceOfEnergy: {unit.EnergyOf, "kWh", "kWh"},
	unit.PriceOfVolume: {unit.VolumeOf, "L", "gal"},
}

// per is the measure after the slash of a kind of price on this page, and its
// size in SI.
func (e Edition) per(k unit.Kind) (name string, size float64) {
	p := priced[k]
	name = p.metric
	if e.Voice.Units().IsUS() {
		name = p.us
	}
	return name, unit.SizeOf(p.of, name)
}

// price is a price with its measure, per kg or per lb as the page has it.
func (e Edition) price(k unit.Kind, value float64, digits int) string {
	name, size := e.per(k)
	return unit.Show(unit.None, value*size, e.Voice.Units(), digits) + unit.Space + e.Farm.Currency + "/" + name
}

// PriceOfMass is a price of a mass as a page has it, from currency per kg, to so
// many digits.
func (e Edition) PriceOfMass(value float64, digits int) string {
	return e.price(unit.PriceOfMass, value, digits)
}

// printed sets a formula as it is read: proper signs for minus, times and pi.
func printed(formula string) string {
	r := strings.NewReplacer("*", "×", "-", "−")
	return wordPi.ReplaceAllString(r.Replace(formula), "π")
}

var wordPi = regexp.MustCompile(`\bpi\b`)

// figures counts the quantities of several groups.
func figures(groups []group) int {
	n := 0
	for _, g := range groups {
		n += len(g.Worked)
	}
	return n
}

// workingPage tells how one sheet was worked out.
type workingPage struct {
	frame
	ProtocolTitle string
	Size          int
	Many          string
	Sheet         string
	WorkedFor     string
	Groups        []group
	Figures       int
}

// Working sets the page that explains every figure of a batch.
func Working(e Edition, b *batch.Batch, method Method) ([]byte, error) {
	groups, err := e.workingOfBatch(b)
	if err != nil {
		return nil, err
	}
	pr := b.Process.Input.Protocol
	many := b.Process.Vessel.Called(b.Vessels)
	title := e.say("book.working.title", "title", pr.Title,
		"size", e.say("book.sheet.size", "n", b.Vessels, "vessels", many))
	return e.html("working", workingPage{
		frame: e.frameOf(pr, WorkingPath(pr.Name, b.Vessels), "protocol", title,
			e.say("book.sheet.id", "document", pr.Name, "n", b.Vessels), method),
		ProtocolTitle: pr.Title,
		Size:          b.Vessels,
		Many:          many,
		Sheet:         local(SheetPath(pr.Name, b.Vessels)),
		WorkedFor:     e.Voice.Say(e.workedFor()),
		Groups:        groups,
		Figures:       figures(groups),
	})
}
