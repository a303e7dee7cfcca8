package main

import (
	"bottlecrop/cmd/internal/season"
)

// seasonJSON is the plan of a farm as JSON: days as 2026-03-14, masses in kg.
type seasonJSON struct {
	Schema     string         `json:"schema"`
	Farm       string         `json:"farm"`
	Today      *string        `json:"today"` // null where nobody said
	First      string         `json:"first"`
	Last       string         `json:"last"`
	Deliveries []demandJSON   `json:"deliveries"`
	Batches    []batchJSON    `json:"batches"`
	Resources  []resourceJSON `json:"resources"`
	Shortages  []shortageJSON `json:"shortages"`
	Unplanned  []string       `json:"unplanned"`
	Tasks      []taskJSON     `json:"tasks"`
}

// demandJSON is a delivery: one day of an order, and the batch for it.
type demandJSON struct {
	Order    string    `json:"order"`
	For      string    `json:"for"`
	Day      string    `json:"day"`
	Mass     float64   `json:"mass_kg"`
	Protocol string    `json:"protocol"`
	Good     int       `json:"good_vessels"`
	Batch    string    `json:"batch"` // "" where none can be had
	Unmet    string    `json:"unmet"` // why none can be had
	Late     int       `json:"days_late"`
	Early    int       `json:"days_early"`
	Blocked  string    `json:"blocked_by"`
	Soonest  string    `json:"soonest"`
	Fixes    []fixJSON `json:"would_fix"`
	Together []fixJSON `json:"would_fix_together"` // all of them at once
}

// fixJSON is so much more of a resource.
type fixJSON struct {
	Resource string  `json:"resource"`
	More     float64 `json:"more"`
}

// batchJSON is a batch with its days and where its vessels stand.
type batchJSON struct {
	Code        string       `json:"code"`
	Protocol    string       `json:"protocol"`
	Fingerprint string       `json:"fingerprint"`
	Vessels     int          `json:"vessels"`
	Controls    int          `json:"controls"`
	UnderWay    bool         `json:"under_way"`
	BuysSpawn   bool         `json:"buys_spawn"`
	Start       string       `json:"start"`
	Ready       string       `json:"ready"`
	Cohorts     []cohortJSON `json:"cohorts"`
	Stays       []stayJSON   `json:"stays"`
}

// stayJSON is a stage of a cohort in a room.
type stayJSON struct {
	Cohort  int    `json:"cohort"`
	Stage   string `json:"stage"`
	Room    string `json:"room"` // "" where the farm has none for the stage
	Vessels int    `json:"vessels"`
	From    string `json:"from"`
	To      string `json:"to"` // the day on which they leave
}

// resourceJSON is what the farm has of something, and what is taken of it.
type resourceJSON struct {
	ID       string     `json:"id"`
	Kind     string     `json:"kind"`
	Of       string     `json:"of"`
	Capacity *float64   `json:"capacity"` // null where the farm did not say
	Peak     float64    `json:"peak"`
	PeakDay  string     `json:"peak_day"`
	Mean     float64    `json:"mean"`
	Taken    []float64  `json:"taken"` // by day from first
	Dirty    []float64  `json:"dirty,omitempty"`
	Little   *levelJSON `json:"little,omitempty"`
}

// levelJSON is what Little's law says of a room beside what was counted in it.
type levelJSON struct {
	Rate    float64 `json:"in_a_day"`
	Stay    float64 `json:"days_each"`
	Counted float64 `json:"counted"`
}

// shortageJSON is what is short most on its worst day, and how many deliveries it holds up.
type shortageJSON struct {
	Resource string  `json:"resource"`
	Short    float64 `json:"short"`
	Day      string  `json:"day"`
	Holds    int     `json:"deliveries"`
}

// report is the plan of a farm as JSON.
func (x farmPlan) report() any {
	out := seasonJSON{Schema: "bottlecrop season 1", Farm: x.farm.folder.Farm.Name, First: x.First.String(), Last: x.Last.String(),
		Deliveries: []demandJSON{}, Batches: []batchJSON{}, Resources: []resourceJSON{}, Shortages: []shortageJSON{}, Unplanned: append([]string{}, x.Unplanned...), Tasks: []taskJSON{}}
	if x.Today != nil {
		today := x.Today.String()
		out.Today = &today
	}
	for _, d := range x.deliveries() {
		out.Deliveries = append(out.Deliveries, x.reportDelivery(d))
	}
	for _, i := range x.within() {
		out.Batches = append(out.Batches, x.reportBatch(i))
	}
	for _, r := range x.Resources {
		out.Resources = append(out.Resources, x.reportResource(r))
	}
	for _, s := range x.Shortages {
		out.Shortages = append(out.Shortages, shortageJSON{s.Resource, s.Short, s.Day.String(), len(s.Deliveries)})
	}
	for _, k := range x.tasks() {
		j := k.report()
		j.Batch, j.Room = k.code, plain(x.farm.voice.Say(k.room(k.Task)))
		out.Tasks = append(out.Tasks, j)
	}
	return out
}

func (x farmPlan) reportDelivery(d season.Delivery) demandJSON {
	o := x.Orders[d.Order]
	j := demandJSON{Order: o.ID, For: o.For, Day: d.Day.String(), Mass: float64(d.Mass), Protocol: o.Protocol, Good: d.Good, Unmet: string(d.Unmet),
		Late: d.Late, Early: d.Early, Blocked: d.Blocked, Soonest: d.Soonest.String(), Fixes: []fixJSON{}, Together: []fixJSON{}}
	if d.Batch >= 0 {
		j.Batch = x.Season.Batches[d.Batch].Code
	}
	for _, f := range d.WouldFix {
		j.Fixes = append(j.Fixes, fixJSON{f.Resource, f.More})
	}
	for _, f := range d.Together {
		j.Together = append(j.Together, fixJSON{f.Resource, f.More})
	}
	return j
}

// reportBatch reports the i-th batch of the season.
func (x farmPlan) reportBatch(i int) batchJSON {
	b := x.Season.Batches[i]
	name := x.batches[i].protocol().Name
	j := batchJSON{Code: b.Code, Protocol: name, Fingerprint: x.farm.folder.Fingerprint(name), Vessels: b.Batch.Vessels, Controls: b.Batch.Controls,
		UnderWay: b.UnderWay, BuysSpawn: b.BuysSpawn, Start: b.Plan.Start.String(), Ready: b.Ready.String(), Cohorts: reportCohorts(b.Plan), Stays: []stayJSON{}}
	for _, s := range b.Stays {
		j.Stays = append(j.Stays, stayJSON{s.Cohort, s.Stage, s.Room, s.Vessels, s.From.String(), s.To.String()})
	}
	return j
}

func (x farmPlan) reportResource(r season.Resource) resourceJSON {
	j := resourceJSON{ID: r.ID, Kind: string(r.Kind), Of: r.Of, Capacity: bound(r), Peak: r.Peak,
		PeakDay: r.PeakDay.String(), Mean: r.Mean, Taken: r.Taken, Dirty: r.Dirty}
	if l, ok := x.Little(r); ok {
		j.Little = &levelJSON{l.Rate, l.Stay, l.Counted}
	}
	return j
}

// bound is how much there is of a resource; nil where the farm did not say.
func bound(r season.Resource) *float64 {
	if !r.Bounded {
		return nil
	}
	return &r.Capacity
}
