package main

import (
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/unit"
)

// resultsReport is the record as JSON.
type resultsReport struct {
	Confidence float64       `json:"confidence"` // of each interval
	All        groupReport   `json:"all"`
	Protocols  []groupReport `json:"protocols"`
	Plans      []lotReport   `json:"sampling_plans"`
}

type groupReport struct {
	Name     string           `json:"name"`
	Done     int              `json:"batches_emptied"`
	Open     int              `json:"batches_under_way"`
	Filled   int              `json:"filled"`
	Lost     int              `json:"lost"`
	Achieved []achievedReport `json:"achieved"`
	Days     []daysReport     `json:"days"`
	Hours    []hoursReport    `json:"hours"`
	Mean     *float64         `json:"chart_mean"` // null where there is no chart
	Batches  []batchReport    `json:"batches"`
	Causes   []causeReport    `json:"lost_by_cause"`
	Says     []string         `json:"says"`
	Hints    []string         `json:"patterns"`
	Offers   []offerReport    `json:"offers"`
	Fills    []fillReport     `json:"fills"`
}

type achievedReport struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"` // SI
}

type daysReport struct {
	To       string  `json:"mixing_to"`
	Batches  int     `json:"batches"`
	Least    int     `json:"least"`
	Mean     float64 `json:"mean"`
	Most     int     `json:"most"`
	Shortest *int    `json:"assumed_shortest"` // null where nothing is assumed
	Usual    *int    `json:"assumed_usual"`
	Longest  *int    `json:"assumed_longest"`
}

type hoursReport struct {
	Role    string  `json:"role"` // "" for all together
	Batches int     `json:"batches"`
	Book    float64 `json:"book_h"`
	Worked  float64 `json:"worked_h"`
}

type batchReport struct {
	Code      string   `json:"code"`
	Mixed     string   `json:"mixed"`
	Filled    int      `json:"filled"`
	Lost      int      `json:"lost"`
	AtMost    float64  `json:"at_most"`
	Low       float64  `json:"limit_low"`
	High      float64  `json:"limit_high"`
	Exact     bool     `json:"limits_exact"`
	Signal    string   `json:"signal"` // many, few, side, rising or ""
	LeftOut   bool     `json:"left_out"`
	Alone     *float64 `json:"chance_one_by_one"` // null where nothing is assumed
	Clustered *float64 `json:"chance_clustered"`
}

type causeReport struct {
	At    string `json:"at"`
	Why   string `json:"why"`
	Count int    `json:"count"`
}

type offerReport struct {
	ID      string  `json:"id"`
	File    string  `json:"file"`
	Lines   string  `json:"lines"`
	Species string  `json:"then_species"`
	Was     float64 `json:"was"`
	Now     float64 `json:"now"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	Batches int     `json:"batches"`
	Vessels int     `json:"vessels"`
	Needed  bool    `json:"assumed_is_outside"`
}

type fillReport struct {
	Good     int `json:"good"`
	Assumed  int `json:"as_assumed"` // 0 where no number is enough
	Recorded int `json:"by_the_record"`
}

type lotReport struct {
	Lot    int       `json:"lot"`
	Limit  float64   `json:"quality_limit_percent"`
	Letter string    `json:"letter"`
	Sample int       `json:"sample"`
	Accept int       `json:"accept"`
	Passes []passing `json:"passes"`
}

type passing struct {
	Bad    int     `json:"bad"`
	Chance float64 `json:"chance"`
}

// reportResults is the record of a farm as JSON.
func reportResults(f *farm, r *results.Record) *resultsReport {
	out := &resultsReport{Confidence: results.Confidence, All: f.groupReport(&r.All), Protocols: []groupReport{}, Plans: []lotReport{}}
	for i := range r.Groups {
		out.Protocols = append(out.Protocols, f.groupReport(&r.Groups[i]))
	}
	for _, lot := range r.Plans {
		for _, p := range lot.Plans {
			x := lotReport{lot.Size, p.Quality, p.Letter, p.Sample, p.Accept, nil}
			for _, passes := range p.Passes {
				x.Passes = append(x.Passes, passing{passes.Bad, passes.Chance})
			}
			out.Plans = append(out.Plans, x)
		}
	}
	return out
}

func (f *farm) groupReport(g *results.Group) groupReport {
	out := groupReport{
		Name: g.Name, Done: len(g.Done), Open: len(g.Open), Filled: g.Filled, Lost: g.Lost,
		Achieved: []achievedReport{}, Days: []daysReport{}, Hours: []hoursReport{}, Batches: []batchReport{}, Causes: []causeReport{},
		Says: []string{}, Hints: []string{}, Offers: []offerReport{}, Fills: []fillReport{},
	}
	for _, q := range g.Ledger.Own() {
		if q.Of == g.Name {
			out.Achieved = append(out.Achieved, achievedReport{q.Name, q.Value})
		}
	}
	for _, d := range g.Days {
		x := daysReport{To: d.ID, Batches: d.Batches, Least: d.Least, Mean: d.Mean, Most: d.Most}
		if d.Known {
			x.Shortest, x.Usual, x.Longest = &d.Shortest, &d.Usual, &d.Longest
		}
		out.Days = append(out.Days, x)
	}
	for _, h := range g.Hours {
		out.Hours = append(out.Hours, hoursReport{string(h.Role), h.Batches, float64(h.Assumed) / unit.Hour, float64(h.Worked) / unit.Hour})
	}
	for i, p := range g.Chart.Points {
		b := g.Done[i]
		out.Batches = append(out.Batches, batchReport{b.Code, b.Mixed, b.Filled, b.Bad, b.AtMost, p.Low, p.High, p.Small, string(p.Signal), p.CauseFound, finite(b.Alone), finite(b.Clustered)})
	}
	if len(g.Chart.Points) > 0 {
		out.Mean = &g.Chart.Mean
	}
	for _, s := range protocol.Stages {
		for _, r := range protocol.Reasons {
			if n := g.Causes.Of(s, r); n > 0 {
				out.Causes = append(out.Causes, causeReport{s, r, n})
			}
		}
	}
	say := func(m protocol.Message) string { return plain(f.voice.Say(m)) }
	for _, m := range g.Said() {
		out.Says = append(out.Says, say(m))
	}
	for _, h := range g.Causes.Hints {
		out.Hints = append(out.Hints, say(h.Said()))
	}
	for _, o := range g.Offers {
		out.Offers = append(out.Offers, offerReport{o.ID, o.Document, o.Lines, o.Species, o.Was, o.Now, o.Low, o.High, o.Batches, o.Vessels, o.Differs})
	}
	for _, x := range g.Fills {
		out.Fills = append(out.Fills, fillReport{x.Good, x.Assumed, x.Recorded})
	}
	return out
}
