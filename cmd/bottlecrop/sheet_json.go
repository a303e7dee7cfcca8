package main

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// The sheet as JSON: SI units in the key names, keys in the order of a sheet.
type (
	sheetJSON struct {
		Schema     string         `json:"schema"`
		Language   string         `json:"language"` // of its texts (BCP 47)
		Protocol   string         `json:"protocol"`
		Title      string         `json:"title"`
		Method     string         `json:"method_fingerprint"`
		Calculated int            `json:"calculation"` // version: see process.Calculation
		Vessels    int            `json:"vessels"`
		Good       *goodJSON      `json:"good,omitempty"` // where so many were to grow that so many are good
		Controls   int            `json:"controls"`
		Filled     int            `json:"filled"`
		Mixes      int            `json:"mixes"`
		Mix        []rowJSON      `json:"mix"`
		Totals     []totalJSON    `json:"mix_totals"`
		Correct    []correctJSON  `json:"mix_corrections"`
		Loads      []loadJSON     `json:"loads"`
		Days       int            `json:"days"` // at the mixer and the sterilizer
		Runs       []runJSON      `json:"runs"`
		Stages     []stageJSON    `json:"stages"`
		Steps      []stepJSON     `json:"steps"`
		Quantities []quantityJSON `json:"quantities"`

		Findings []findingReport `json:"findings"`
	}
	rowJSON struct {
		ID         string    `json:"id"`
		Scale      string    `json:"scale"`
		Exact      float64   `json:"exact_kg"`
		Mass       float64   `json:"mass_kg"`
		Weighings  []float64 `json:"weighings_kg"`
		InAllMixes float64   `json:"in_all_mixes_kg"`
		Printed    string    `json:"printed"`

		Lots []portionJSON `json:"lots,omitempty"` // that it is taken from, the oldest first
	}
	totalJSON struct {
		Scale      string  `json:"scale"`
		Mass       float64 `json:"mass_kg"`
		InAllMixes float64 `json:"in_all_mixes_kg"`
		Printed    string  `json:"printed"`
	}
	// correctJSON is what one mix is given when its sample reads that moisture.
	correctJSON struct {
		Reads float64    `json:"reads_wb"`
		Water float64    `json:"water_kg"`
		Goods []moreJSON `json:"goods"`
		Over  bool       `json:"over_the_mixer"`
	}
	moreJSON struct {
		ID   string  `json:"id"`
		Mass float64 `json:"mass_kg"`
	}
	loadJSON struct {
		Number   int `json:"number"`
		Vessels  int `json:"vessels"`
		Controls int `json:"controls"`
	}
	// Times count from the start of the day.
	runJSON struct {
		Load    int          `json:"load"`
		Day     int          `json:"day"`
		Mixes   []mixRunJSON `json:"mixes"`
		Filled  float64      `json:"filled_min"`
		Steam   float64      `json:"steam_on_min"`
		SteamBy float64      `json:"steam_on_by_min"`
		Free    float64      `json:"free_min"`
	}
	mixRunJSON struct {
		Number int     `json:"number"`
		At     float64 `json:"mix_at_min"`
	}
	stageJSON struct {
		ID       string  `json:"id"`
		Shortest float64 `json:"shortest_d"`
		Usual    float64 `json:"usual_d"`
		Longest  float64 `json:"longest_d"`
		Air      float64 `json:"air_c"`
		Humidity float64 `json:"humidity"`
		CO2Most  float64 `json:"co2_most_ppm"`
	}
	stepJSON struct {
		Number  int          `json:"number"`
		ID      string       `json:"id"`
		Station string       `json:"station"`
		Role    string       `json:"role"`
		Minutes float64      `json:"time_min"`
		Title   string       `json:"title"`
		When    string       `json:"when"`
		Safety  []safetyJSON `json:"safety"`
		Do      []string     `json:"do"`
		Own     bool         `json:"own,omitempty"`   // a step of the farm's own
		Prose   string       `json:"prose,omitempty"` // of the author's, in Markdown
		LooksOf string       `json:"looks_of"`
		Looks   []lookJSON   `json:"looks"`
		Limit   string       `json:"limit"`
		Check   string       `json:"check"`
		IfOff   string       `json:"if_off"`
		Why     string       `json:"why"`
		Wrong   string       `json:"wrong"`
		Ask     string       `json:"ask"`
		Answer  string       `json:"answer"`
	}
	lookJSON struct {
		Of   string `json:"of"`
		Text string `json:"text"`
	}
	safetyJSON struct {
		Signal string `json:"signal"`
		Text   string `json:"text"`
	}
	quantityJSON struct {
		ID      string      `json:"id"`
		Name    string      `json:"name"`
		Measure string      `json:"measure"` // what kind of quantity it is
		Value   float64     `json:"value_si"`
		Formula string      `json:"formula,omitempty"`
		Inputs  []inputJSON `json:"inputs,omitempty"`
		Source  string      `json:"source,omitempty"`
		Given   string      `json:"given_at,omitempty"`
	}
	inputJSON struct {
		Symbol   string `json:"symbol"`
		Quantity string `json:"quantity"`
	}
)

func sheetReport(f *farm, b *batch.Batch, p procedure.Procedure, m leaf.Method) sheetJSON {
	v := f.voice
	out := sheetJSON{
		Schema: "bottlecrop sheet 1", Language: f.voice.Tag(), Protocol: m.Protocol, Title: b.Process.Input.Protocol.Title, Method: m.Full, Calculated: process.Calculation,
		Vessels: b.Vessels, Good: goodReport(b), Controls: b.Controls, Filled: b.Filled, Mixes: b.Mixes,
		Findings: reportFindings(v, f.findings),
	}
	for _, r := range b.Mix.Rows {
		out.Mix = append(out.Mix, rowJSON{r.ID, r.Scale.ID, r.Exact, r.Mass, r.Parts, r.All, r.Scale.Amount(r.Mass).Show(v.Units()), portionsReport(r)})
	}
	for _, t := range b.Mix.Totals {
		out.Totals = append(out.Totals, totalJSON{t.Scale.ID, t.Mass, t.All, t.Scale.Amount(t.Mass).Show(v.Units())})
	}
	for _, c := range b.Corrections {
		x := correctJSON{float64(c.Reads) / 100, c.Water.Value, []moreJSON{}, c.Over}
		for _, g := range c.Goods {
			x.Goods = append(x.Goods, moreJSON{g.ID, g.Amount.Value})
		}
		out.Correct = append(out.Correct, x)
	}
	for _, l := range b.Loads {
		out.Loads = append(out.Loads, loadJSON(l))
	}
	out.Days = int(b.Value("days_needed"))
	for _, r := range b.Runs {
		out.Runs = append(out.Runs, runReport(r))
	}
	for _, s := range b.Process.Stages {
		out.Stages = append(out.Stages, stageJSON{s.ID,
			float64(s.Shortest) / unit.Day, float64(s.Usual) / unit.Day, float64(s.Longest) / unit.Day,
			s.Air.Celsius(), float64(s.Humidity), float64(s.CO2Most) * 1e6})
	}
	for _, s := range p.Steps {
		out.Steps = append(out.Steps, stepReport(v, s))
	}
	for _, q := range b.Ledger.All() {
		out.Quantities = append(out.Quantities, quantityReport(f, q, b.Process.Names))
	}
	return out
}

func runReport(r batch.Run) runJSON {
	minutes := func(d unit.Duration) float64 { return float64(d) / unit.Minute }
	out := runJSON{Load: r.Load, Day: r.Day, Filled: minutes(r.Filled), Steam: minutes(r.Steam), SteamBy: minutes(r.SteamBy), Free: minutes(r.Free)}
	for j, at := range r.Water {
		out.Mixes = append(out.Mixes, mixRunJSON{r.First + j, minutes(at)})
	}
	return out
}

func stepReport(v *words.Voice, s procedure.Step) stepJSON {
	out := stepJSON{
		Number: s.Number, ID: string(s.ID), Station: string(s.Station), Role: string(s.Role), Minutes: s.Time.Value / unit.Minute,
		Title: v.Say(s.Title), When: v.Say(s.When), Safety: []safetyJSON{}, Do: sentences(v, s.Do), Own: s.Own, Prose: v.Say(s.Prose),
		LooksOf: v.Say(s.LooksOf), Looks: []lookJSON{}, Limit: v.Say(s.Limit), Check: v.Say(s.Check), IfOff: v.Say(s.IfOff), Why: v.Say(s.Why),
		Wrong: v.Say(s.Wrong), Ask: v.Say(s.Ask), Answer: v.Say(s.Answer),
	}
	for _, x := range s.Looks {
		out.Looks = append(out.Looks, lookJSON{v.Say(x.Of), v.Say(x.Text)})
	}
	for _, x := range s.Safety {
		out.Safety = append(out.Safety, safetyJSON{string(x.Signal), v.Say(x.Text)})
	}
	return out
}

func sentences(v *words.Voice, list []protocol.Message) []string {
	out := []string{}
	for _, m := range list {
		out = append(out, v.Say(m))
	}
	return out
}

func quantityReport(f *farm, q *working.Quantity, names map[string]string) quantityJSON {
	out := quantityJSON{ID: q.ID(), Name: f.voice.Say(limit.Name(q, names)), Measure: q.Kind.String(), Value: q.Value, Source: q.Source}
	if q.Law == nil {
		if q.Origin.Document != "" {
			out.Given = where(f.place(protocol.Finding{Origin: q.Origin}))
		}
		return out
	}
	out.Formula, out.Source = q.Law.Formula, q.Law.Source
	for _, in := range q.Inputs {
		out.Inputs = append(out.Inputs, inputJSON{in.Symbol, in.Quantity.ID()})
	}
	return out
}
