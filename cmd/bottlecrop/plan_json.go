package main

import (
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/unit"
)

// rules are the names that JSON has for the rules and for what days are counted
// from.
var (
	ruleNames   = map[calendar.Rule]string{calendar.Waits: "waits", calendar.Ahead: "ahead", calendar.Stays: "stays"}
	anchorNames = map[calendar.Anchor]string{
		calendar.FromStart: "start", calendar.FromMixing: "mixing", calendar.FromSpawning: "spawning", calendar.FromOpening: "opening",
		calendar.FromHarvest: "harvest", calendar.FromEmptying: "emptying", calendar.FromCohort: "cohort-before", calendar.FromFirstSpawning: "first-spawning",
		calendar.FromNextJars: "next-jars", calendar.FromJars: "jars",
	}
)

// taskJSON is a task as JSON. Batch and room stand in the plan of a whole farm.
type taskJSON struct {
	Batch   string   `json:"batch,omitempty"`
	Room    string   `json:"room,omitempty"`
	Step    string   `json:"step"`
	Title   string   `json:"title"`
	Role    string   `json:"role"`
	Cohort  int      `json:"cohort"` // 0 for what is done once for the whole batch
	Number  int      `json:"number"`
	Date    string   `json:"date"`
	Due     string   `json:"due"`
	From    string   `json:"from"`
	Days    int      `json:"days_after"`
	Rule    string   `json:"rule"`
	Over    int      `json:"days_over"`
	Closed  bool     `json:"closed_day"`
	First   string   `json:"first_day"`
	Last    string   `json:"last_day"`
	Minutes *float64 `json:"hands_on_min"` // null where it is not known
}

func (x entry) report() taskJSON {
	k := x.Task
	j := taskJSON{Step: string(k.Step), Title: plain(x.farm.voice.Say(x.Title(k))), Role: string(k.Role), Cohort: k.Cohort, Number: k.Number,
		Date: k.Date.String(), Due: k.Due.String(), From: anchorNames[k.From], Days: k.Days, Rule: ruleNames[k.Rule],
		Over: k.Over, Closed: k.Closed, First: k.FirstDay.String(), Last: k.FinalDay.String()}
	if k.Takes > 0 {
		minutes := unit.Nearest(float64(k.Takes)/60*100) / 100
		j.Minutes = &minutes
	}
	return j
}

// cohortJSON is a cohort as JSON.
type cohortJSON struct {
	Number   int    `json:"number"`
	Loads    []int  `json:"loads"`
	Vessels  int    `json:"vessels"`
	Grown    int    `json:"to_grow"`
	Mixing   string `json:"mixing"`
	Spawning string `json:"spawning"`
	Opening  string `json:"opening"`
	Harvest  string `json:"harvest"`
}

func reportCohorts(p *calendar.Plan) []cohortJSON {
	var out []cohortJSON
	for _, c := range p.Cohorts {
		out = append(out, cohortJSON{c.Number, c.Loads, c.Vessels, c.Grown,
			c.Mixing.String(), c.Spawning.String(), c.Opening.String(), c.Harvest.String()})
	}
	return out
}

// report is the plan of one batch as JSON.
func (x onDays) report() any {
	p := x.plan
	out := struct {
		Schema      string       `json:"schema"`
		Protocol    string       `json:"protocol"`
		Fingerprint string       `json:"fingerprint"`
		Vessels     int          `json:"vessels"`
		Controls    int          `json:"controls"`
		Good        *goodJSON    `json:"good,omitempty"`
		Start       string       `json:"start"`
		Earliest    string       `json:"picked_earliest"`
		Expected    string       `json:"picked_as_a_rule"`
		Safe        string       `json:"picked_in_nine_of_ten"`
		Latest      string       `json:"picked_latest"`
		Cohorts     []cohortJSON `json:"cohorts"`
		Tasks       []taskJSON   `json:"tasks"`
	}{
		Schema: "bottlecrop plan 1", Protocol: x.protocol().Name, Vessels: x.batch.Vessels, Controls: x.batch.Controls, Good: goodReport(x.batch),
		Fingerprint: x.farm.folder.Fingerprint(x.protocol().Name),
		Start:       p.Start.String(), Earliest: p.Earliest.String(), Expected: p.Expected.String(), Safe: p.Safe.String(), Latest: p.Latest.String(),
		Cohorts: reportCohorts(p),
	}
	for _, k := range x.entries() {
		out.Tasks = append(out.Tasks, k.report())
	}
	return out
}
