package season

import (
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// running is a batch under way.
type running struct {
	code    string
	batch   *batch.Batch
	plan    *calendar.Plan
	share   float64 // of its vessels that are not lost
	left    float64 // kg that it can still give to deliveries
	taking  *taking
	got     []slot
	filling []int // deliveries that it meets
}

// underWay are the batches of the results that are not emptied, on their days; and
// the codes of those that can't be put on days.
func underWay(in Input) (out []*running, unplanned []string) {
	for _, r := range in.Results.Batches {
		if r.Emptied != "" {
			continue
		}
		b, plan := under(in, r)
		if b == nil {
			unplanned = append(unplanned, r.Code)
			continue
		}
		lost := 0
		for _, l := range r.Lost {
			lost += l.Count
		}
		run := &running{code: r.Code, batch: b, plan: plan, share: max(0, 1-float64(lost)/float64(b.Filled))}
		// What is lost already is no guess; what is picked already is gone.
		lostAsAssumed := b.Value("lost_share")
		run.left = b.Value("sold_usual") / (1 - lostAsAssumed) * min(1-lostAsAssumed, run.share)
		for _, p := range r.Picked {
			run.left -= float64(p.Mass)
		}
		out = append(out, run)
	}
	return out, unplanned
}

// under puts one batch on its days: from the day on which it was mixed, with the day
// of its opening where that is written down.
func under(in Input, r protocol.Result) (*batch.Batch, *calendar.Plan) {
	p := in.Processes[r.Protocol]
	mixed, err := calendar.Parse(r.Mixed)
	if p == nil || err != nil {
		return nil, nil
	}
	b, err := batch.Compute(p, r.Filled)
	if err != nil || len(b.Runs) == 0 {
		return nil, nil
	}
	w := in.Workdays
	if !w.Open(mixed) {
		w = calendar.EveryDay() // somebody was there
	}
	plan, err := calendar.Forwards(b, w, mixed)
	if err != nil {
		return nil, nil
	}
	if opened, err := calendar.Parse(r.Opened); err == nil {
		plan = moved(plan, in.Workdays, opened-plan.Cohorts[0].Opening, fromOpening)
	}
	if in.Today != nil {
		// It is not emptied, whatever its days said.
		for _, t := range plan.Tasks {
			if t.Step == work.Empty && t.Date < *in.Today {
				plan = moved(plan, in.Workdays, *in.Today-t.Date, fromEmptying)
				break
			}
		}
	}
	return b, plan
}

var (
	fromEmptying = []work.StepID{work.Empty, work.Wash, work.InspectVessel, work.Retire}
	fromOpening  = slices.Concat([]work.StepID{work.Open, work.EarlyFruit, work.Scrape, work.Wet, work.Cover, work.Pin, work.FitCollar,
		work.Fruit, work.HarvestCrop, work.Trim, work.Chill, work.Release}, fromEmptying)
)

// moved is a plan of which some steps come later, or sooner, and with them the stages
// from the opening on where it is among them.
func moved(p *calendar.Plan, w calendar.Workdays, by calendar.Date, steps []work.StepID) *calendar.Plan {
	if by == 0 {
		return p
	}
	out := *p
	out.Tasks, out.Stages, out.Cohorts = slices.Clone(p.Tasks), slices.Clone(p.Stages), slices.Clone(p.Cohorts)
	for i := range out.Tasks {
		t := &out.Tasks[i]
		if !slices.Contains(steps, t.Step) {
			continue
		}
		t.Due += by
		t.Date += by
		if t.Rule == calendar.Waits {
			t.Date = w.Next(t.Date)
		}
		t.FirstDay, t.FinalDay, t.Closed = t.FirstDay+by, t.FinalDay+by, !w.Open(t.Date)
	}
	slices.SortStableFunc(out.Tasks, func(a, b calendar.Task) int { return int(a.Date - b.Date) })
	if !slices.Contains(steps, work.Open) {
		return &out
	}
	for i := range out.Cohorts {
		c := &out.Cohorts[i]
		opened := c.Opening + by
		c.Opening, c.Pins, c.Harvest = opened, c.Pins+by, c.Harvest+by
		c.White = min(c.White, opened)
	}
	for i := range out.Stages {
		s := &out.Stages[i]
		c := out.Cohorts[s.Cohort-1]
		switch s.Stage {
		case "incubation":
			if s.To > c.Opening || s.To == p.Cohorts[s.Cohort-1].Opening {
				s.To = c.Opening
			}
		case "ripening":
			s.From, s.To = min(s.From, c.Opening), c.Opening
		default:
			s.From, s.To = s.From+by, s.To+by
		}
	}
	out.Earliest, out.Expected, out.Safe, out.Latest = p.Earliest+by, p.Expected+by, p.Safe+by, p.Latest+by
	return &out
}

// serve meets what is wanted from batches under way that will be ready in time and
// not too soon, where they have enough.
func serve(in Input, running []*running, list []*wanted) {
	for _, w := range list {
		for i, r := range running {
			day := ready(r.plan, in.Basis)
			if r.batch.Process.Input.Protocol.Name != w.protocol || day > w.day || day < w.day-Keeps {
				continue
			}
			if r.left*(1+1e-9) >= float64(w.mass) {
				r.left -= float64(w.mass)
				r.filling = append(r.filling, w.deliveries...)
				w.underWay, w.unmet = i, Met
				break
			}
		}
	}
}

// take takes what the batch takes, whether it is there or not.
func (r *running) take(m *means, acc *account, since calendar.Date) {
	r.taking = m.takes(r.batch, r.plan, since, r.share)
	r.got = acc.force(r.taking.needs)
}
