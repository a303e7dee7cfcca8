package leaf

import (
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Recipe is all that the page of a protocol tells.
type Recipe struct {
	Process  *process.Process
	Batches  []*batch.Batch // one for each size, ascending
	Method   Method
	Findings []protocol.Finding // with their places, sorted
}

// protocolPage is for the author: what is outside a limit, and how every figure
// was worked out.
type protocolPage struct {
	frame
	Summary      string
	Which        []fact
	Beside       []link // the other pages of the protocol
	Sheets       []sheetRow
	Yields       []yieldRow
	Costs        costs
	Bags         []fact
	BagNotes     []string
	Balance      balance
	Parts        []partRow
	Whole        partRow
	Moisture     string
	MoistureSpan string // from where to where lots move it
	Stages       []stageRow
	Days         string
	Run          []fact
	Verdict      verdict
	Heating      []picture
	Spread       spread
	Loading      loading
	Change       changes
	Vessel       picture
	Modeled      safety
	Findings     []finding
	FindingCount protocol.Message
	Acknowledged []acknowledged
	Authored     []authored
	Groups       []group
	Figures      int
	Full         string
}

type fact struct {
	Name, Value string
	Latin       bool   // a scientific name
	Cited       bool   // a source
	Key         bool   // as it stands in files
	Href        string // of an entry of the library
}

type sheetRow struct {
	Link, Working                  link
	Documents                      []link // of that size, the sheet and its working left out
	Controls, Filled, Mixes, Loads string
	Substrate                      figure
}

type yieldRow struct{ Name, Low, Usual, High, Sold string }

type partRow struct{ Name, Href, Share, Moisture, Nitrogen, Carbon, Ratio string }

type stageRow struct{ Name, Shortest, Usual, Longest, Air, Humidity, CO2, Light string }

type finding struct {
	Word, What, Why, Hint, Source string
	Limit                         string // its row on the page of all limits
	Place                         spot
}

// Protocol sets the page of a protocol.
func Protocol(e Edition, r Recipe) ([]byte, error) {
	groups, err := e.workingOfProcess(r.Process)
	if err != nil {
		return nil, err
	}
	p := r.Process
	pr := p.Input.Protocol
	page := protocolPage{
		frame:    e.frameOf(pr, ProtocolPath(pr.Name), "protocol", pr.Title, pr.Name, r.Method),
		Summary:  pr.Summary,
		Which:    e.which(p),
		Beside:   e.otherPages(pr.Name, ProtocolPath(pr.Name), local),
		Moisture: e.percent(p, "moisture_target"), MoistureSpan: e.moistureRange(p),
		Days:    e.days(p),
		Run:     e.run(p),
		Verdict: e.verdict(p),
		Vessel:  e.vesselPicture(p),
		Modeled: safety{procedure.Notice, []safetyText{{
			e.say("book.run.modeled"), []string{e.say("book.run.prove_it")}}}},
		FindingCount: findingCount(r.Findings),
		Acknowledged: acknowledgments(pr),
		Authored:     e.authored(pr),
		Groups:       groups,
		Figures:      figures(groups),
		Full:         r.Method.Full,
	}
	if page.Heating, err = e.heating(p); err != nil {
		return nil, err
	}
	if page.Spread, err = e.spread(p); err != nil {
		return nil, err
	}
	for _, b := range r.Batches {
		page.Sheets = append(page.Sheets, e.sheetRow(b))
	}
	page.Loading = e.loading(p, r.Batches)
	page.Yields = e.yields(p, r.Batches)
	page.Costs = e.costs(p, r.Batches)
	page.Bags, page.BagNotes = e.bags(p)
	page.Balance = e.balance(p)
	page.Change = e.changes(p, r.Batches)
	page.Parts, page.Whole = e.parts(p)
	page.Stages = e.stages(p)
	for _, f := range r.Findings {
		page.Findings = append(page.Findings, e.finding(f))
	}
	return e.html("protocol", page)
}

// besides are the pages of a protocol beside its sheets, and what a link to each
// of them says.
var besides = []struct {
	path func(string) string
	name string
	when func(e Edition, protocol string) bool
}{
	{ChangesPath, "book.changes.kind", hasNews}, {TroublesPath, "book.trouble.kind", always}, {SterilizerCardPath, "book.fault.kind", always}, {TrainerPath, "book.trainer.kind", always},
	{ReleasePath, "book.home.release", always}, {GrainPath, "book.grain.kind", growsGrain},
	{EvidencePath, "book.evidence.kind", always}, {VersionsPath, "book.versions.kind", hasPast}, {ProtocolPath, "book.protocol.kind", always},
}

func always(Edition, string) bool { return true }

// hasNews is true where the book tells what is new in a protocol.
func hasNews(e Edition, protocol string) bool { return slices.Contains(e.News, protocol) }

// growsGrain is true where the farm makes its own spawn.
func growsGrain(e Edition, _ string) bool { return e.Farm.Grain != nil }

// otherPages links the pages of a protocol to each other, but for the one that the
// links stand on.
func (e Edition) otherPages(name, own string, address func(string) string) []link {
	var out []link
	for _, b := range besides {
		if to := b.path(name); to != own && b.when(e, name) {
			out = append(out, link{address(to), e.say(b.name)})
		}
	}
	return out
}

func (e Edition) which(p *process.Process) []fact {
	return []fact{
		{Name: e.say("book.which.common"), Value: p.Species.Common, Href: entryLink(SpeciesPath, p.Species.ID)},
		{Name: e.say("book.which.species"), Value: p.Species.Scientific, Latin: true},
		{Name: e.say("book.which.vessel"), Value: p.Vessel.Name, Href: entryLink(VesselsPath, p.Vessel.ID)},
		{Name: e.say("book.which.sterilizer"), Value: e.say("book.which.sterilizer.of", "name", p.Sterilizer.Name, "model", p.Model.Name),
			Href: entryLink(SterilizersPath, p.Model.ID)},
	}
}

func (e Edition) sheetRow(b *batch.Batch) sheetRow {
	name := b.Process.Input.Protocol.Name
	size := e.sizeOf(b)
	total := 0.0
	for _, t := range b.Mix.Totals {
		total += t.All
	}
	return sheetRow{
		Link:      link{local(SheetPath(name, b.Vessels)), size},
		Working:   link{local(WorkingPath(name, b.Vessels)), e.say("book.protocol.working_of", "size", size)},
		Documents: e.documents(b, ProtocolPath(name))[1:],
		Controls:  strconv.Itoa(b.Controls),
		Filled:    strconv.Itoa(b.Filled),
		Mixes:     strconv.Itoa(b.Mixes),
		Loads:     e.loadsOn(b),
		Substrate: e.figure(unit.Amount{Kind: unit.MassOf, Value: total}),
	}
}

// yields are always a span: mushrooms do not give one number.
func (e Edition) yields(p *process.Process, batches []*batch.Batch) []yieldRow {
	mass := func(v float64) string { return e.show(unit.Amount{Kind: unit.MassOf, Value: v, Digits: 3}) }
	rows := []yieldRow{{
		Name: e.say("book.yield.one", "vessel", p.Vessel.One),
		Low:  mass(p.Value("yield_in_vessel_low")), Usual: mass(p.Value("yield_in_vessel_usual")), High: mass(p.Value("yield_in_vessel_high")),
	}}
	for _, b := range batches {
		rows = append(rows, yieldRow{
			Name: e.say("book.yield.batch", "vessels", e.counted(b, b.Vessels)),
			Low:  mass(b.Value("yield_low")), Usual: mass(b.Value("yield_usual")), High: mass(b.Value("yield_high")),
			Sold: mass(b.Value("sold_usual")),
		})
	}
	return rows
}

func (e Edition) percent(p *process.Process, id string) string {
	return e.show(unit.Amount{Kind: unit.ShareOf, Value: p.Value(id), Digits: 3})
}

func (e Edition) parts(p *process.Process) (rows []partRow, whole partRow) {
	share := func(id, of string) string {
		return e.show(unit.Amount{Kind: unit.ShareOf, Value: p.Ledger.ValueOf(id, of), Digits: 3})
	}
	ratio := func(c, n float64) string {
		if n == 0 {
			return e.say("book.none")
		}
		return e.show(unit.Amount{Kind: unit.None, Value: c / n, Digits: 2})
	}
	for _, part := range p.Parts {
		rows = append(rows, partRow{
			Name: part.Name, Href: entryLink(IngredientsPath, part.ID), Share: share("share", part.ID),
			Moisture: e.say("book.formula.spread", "moisture", share("moisture_received", part.ID),
				"points", points(p.Ledger.ValueOf("moisture_spread", part.ID))),
			Nitrogen: share("nitrogen_of", part.ID), Carbon: share("carbon_of", part.ID),
			Ratio: ratio(float64(part.Carbon), float64(part.Nitrogen)),
		})
	}
	return rows, partRow{
		Share: share("shares_total", ""), Nitrogen: share("nitrogen", ""), Carbon: share("carbon", ""),
		Ratio: e.show(unit.Amount{Kind: unit.None, Value: p.Value("carbon_to_nitrogen"), Digits: 3}),
	}
}

func (e Edition) stages(p *process.Process) []stageRow {
	days := func(d unit.Duration) string {
		return e.show(unit.Amount{Kind: unit.TimeOf, Value: float64(d), Unit: "d", Digits: 3})
	}
	var rows []stageRow
	for _, s := range p.Stages {
		row := stageRow{
			Name:     e.say("book.stage." + s.ID),
			Shortest: days(s.Shortest), Usual: days(s.Usual), Longest: days(s.Longest),
			Air:      e.show(unit.Amount{Kind: unit.TemperatureOf, Value: float64(s.Air), Digits: 3}),
			Humidity: e.show(unit.Amount{Kind: unit.ShareOf, Value: float64(s.Humidity), Digits: 3}),
			CO2:      e.show(unit.Amount{Kind: unit.PartsPerMillion, Value: float64(s.CO2Most)}),
			Light:    e.say("book.stage.dark"),
		}
		if s.Light > 0 {
			row.Light = e.say("book.stage.light",
				"light", unit.Amount{Kind: unit.LightOf, Value: float64(s.Light), Digits: 3},
				"hours", unit.Amount{Kind: unit.TimeOf, Value: float64(s.LightFor), Unit: "h", Digits: 3})
		}
		rows = append(rows, row)
	}
	return rows
}

func (e Edition) days(p *process.Process) string {
	days := func(id string) string {
		// Whole days: a mushroom keeps no calendar.
		return e.figure(unit.Amount{Kind: unit.TimeOf, Value: p.Value(id), Unit: "d", Step: unit.Day}).Number
	}
	return e.say("book.days", "shortest", days("days_shortest"), "usual", days("days_usual"), "longest", days("days_longest"))
}

// run tells the sterilizer's run at this altitude. Lethality at the core is not
// among it: this edition does not compute it, and says so.
func (e Edition) run(p *process.Process) []fact {
	g := p.Sterilizer.Gauge
	dial := func(id string) unit.Amount {
		return unit.Amount{Kind: unit.GaugePressureOf, Value: p.Value(id), Step: g.Size, Unit: g.Unit}
	}
	warm := func(id string) string { return e.tenth(p.Value(id)) }
	clock := func(id string) string { return e.show(unit.Amount{Kind: unit.TimeOf, Value: p.Value(id)}) }
	return []fact{
		{Name: e.say("book.run.boils"), Value: warm("boiling_point")},
		{Name: e.say("book.run.gauge"), Value: e.say("book.run.band", "low", dial("gauge_pressure"), "high", dial("gauge_highest"))},
		{Name: e.say("book.run.chamber"), Value: e.say("book.run.at_set", "temperature", warm("chamber_temperature"))},
		{Name: e.say("book.run.vent"), Value: clock("vent")},
		{Name: e.say("book.run.hold"), Value: clock("hold")},
	}
}

func (e Edition) finding(f protocol.Finding) finding {
	out := finding{
		Word:   e.say("book.finding." + f.Severity.String()),
		What:   e.Voice.Sentence(f.What),
		Why:    e.Voice.Say(f.Why),
		Hint:   e.Voice.Say(f.Hint),
		Source: f.Source,
		Place:  spotOf(f.Place),
	}
	if f.By != nil {
		out.Word = e.say("book.finding.acknowledged")
	}
	if f.Place.File == "" {
		out.Place = e.spot(f.Origin)
	}
	if slices.ContainsFunc(limit.All(), func(row limit.Limit) bool { return row.ID == f.Rule }) {
		out.Limit = "../" + LimitsPath + "#" + LimitAnchor(f.Rule)
	}
	return out
}

// findingCount counts the findings by severity in one sentence, and those that
// somebody stands by apart.
func findingCount(list []protocol.Finding) protocol.Message {
	n, stood := map[protocol.Severity]int{}, 0
	for _, f := range list {
		if f.By != nil {
			stood++
			continue
		}
		n[f.Severity]++
	}
	if stood > 0 {
		return words.Message("book.findings.count_acknowledged",
			"warnings", n[protocol.Warning], "acknowledged", stood, "notes", n[protocol.Note])
	}
	return words.Message("book.findings.count", "warnings", n[protocol.Warning], "notes", n[protocol.Note])
}
