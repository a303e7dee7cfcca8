package season

import (
	"cmp"
	"math"
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
)

// planning is a season while it is made.
type planning struct {
	*planner
	deliveries []Delivery
	wanted     []*wanted
	running    []*running
	jobs       []*job
	of         []*wanted // what each job is for
	schedule   *schedule
}

// Plan makes a season. The error is for orders whose days are none, which a reader of
// files has refused before; what can't be delivered is no error.
func Plan(in Input) (*Season, error) {
	list, err := deliveries(in.Orders)
	if err != nil {
		return nil, err
	}
	p := &planning{planner: &planner{in: in, plans: map[start]*taking{}}, deliveries: list}
	p.wanted = want(in, list)
	var unplanned []string
	p.running, unplanned = underWay(in)
	serve(in, p.running, p.wanted)
	p.means = newMeans(in.Farm, in.Workdays, p.batches())
	acc := newAccount(p.means.supplies)
	for _, r := range p.running {
		r.take(p.means, acc, p.since())
	}
	for _, w := range p.wanted {
		if w.batch == nil || w.underWay >= 0 {
			continue
		}
		if p.offer(w); w.job != nil {
			p.jobs, p.of = append(p.jobs, w.job), append(p.of, w)
		}
	}
	p.schedule = newSchedule(p.jobs, acc)
	p.schedule.solve(effort(len(p.jobs)))
	s := p.season()
	s.Unplanned = unplanned
	p.explain(s)
	return s, nil
}

// batches are all that are wanted or under way, each once.
func (p *planning) batches() []*batch.Batch {
	var out []*batch.Batch
	add := func(b *batch.Batch) {
		if b != nil && !slices.Contains(out, b) {
			out = append(out, b)
		}
	}
	for _, r := range p.running {
		add(r.batch)
	}
	for _, w := range p.wanted {
		add(w.batch)
	}
	return out
}

// season tells what is planned.
func (p *planning) season() *Season {
	s := &Season{Deliveries: p.deliveries, Resources: p.means.resources}
	type made struct {
		Batch
		taking *taking
		got    []slot
	}
	var all []made
	add := func(b Batch, t *taking, got []slot) {
		b.Plan, b.Batch, b.Ready, b.Stays = t.planned(), t.batch, ready(t.plan, p.in.Basis), slices.Clone(t.stays)
		for i, at := range t.of {
			if at >= 0 {
				b.Stays[i].Room = p.means.resources[got[at].of].Of
			}
		}
		all = append(all, made{b, t, got})
	}
	for _, r := range p.running {
		add(Batch{Code: r.code, Deliveries: r.filling, UnderWay: true}, r.taking, r.got)
	}
	for i, w := range p.of {
		if k := p.schedule.chosen[i]; k != nowhere {
			t := w.takings[k]
			add(Batch{Code: p.code(t, 1), Deliveries: w.deliveries, BuysSpawn: begunBefore(t.plan, p.since())},
				t, p.schedule.got[i])
		}
	}
	slices.SortStableFunc(all, func(a, b made) int {
		return cmp.Or(cmp.Compare(a.Plan.Start, b.Plan.Start), cmp.Compare(a.Code, b.Code))
	})
	var takings []*taking
	var got [][]slot
	for _, m := range all {
		s.Batches, takings, got = append(s.Batches, m.Batch), append(takings, m.taking), append(got, m.got)
	}
	p.apart(s.Batches, takings)
	p.tell(s)
	p.count(s, takings)
	p.runs(s, takings, got)
	return s
}

// begunBefore reports whether spawn of a batch had to be begun before a day.
func begunBefore(p *calendar.Plan, day calendar.Date) bool {
	return slices.ContainsFunc(p.Tasks, func(t calendar.Task) bool { return t.Date < day && t.OfSpawn() })
}

// code is that of the nth batch that is mixed of a protocol on a day.
func (p *planning) code(t *taking, nth int) string {
	return p.in.Farm.CodeRule().Code(t.batch.Process.Input.Protocol, t.plan.Start.Mixing(), nth)
}

// apart numbers batches that would have the same code, or one that the farm has given
// to a batch already.
func (p *planning) apart(batches []Batch, takings []*taking) {
	seen := map[string]bool{}
	for _, r := range p.in.Results.Batches {
		seen[protocol.CodeKey(r.Code)] = true
	}
	for i, b := range batches {
		if b.UnderWay {
			continue
		}
		code := b.Code
		for n := 2; seen[protocol.CodeKey(code)]; n++ {
			code = p.code(takings[i], n)
		}
		seen[protocol.CodeKey(code)], batches[i].Code = true, code
	}
}

// tell says of each delivery which batch it is from, and when.
func (p *planning) tell(s *Season) {
	for at, b := range s.Batches {
		for _, i := range b.Deliveries {
			d := &s.Deliveries[i]
			d.Batch, d.Unmet = at, Met
			d.Late, d.Early = max(0, int(b.Ready-d.Day)), max(0, int(d.Day-b.Ready))
		}
	}
	for _, w := range p.wanted {
		for _, i := range w.deliveries {
			d := &s.Deliveries[i]
			if w.soonest != 0 {
				d.Soonest = w.soonest
			}
			if d.Batch < 0 {
				d.Unmet = cmp.Or(w.unmet, NoPlace)
			}
		}
	}
}

// count fills in what is taken of each resource.
func (p *planning) count(s *Season, takings []*taking) {
	acc := p.schedule.acc
	first, last := math.MaxInt, math.MinInt
	for i := range s.Resources {
		t := acc.taken[i]
		for at, n := range t.values {
			if n != 0 {
				first, last = min(first, t.first+at), max(last, t.first+at)
			}
		}
	}
	for _, d := range s.Deliveries {
		first, last = min(first, int(d.Day)), max(last, int(d.Day))
	}
	if first > last {
		first, last = int(p.since()), int(p.since()) // nothing at all
	}
	s.First, s.Last = calendar.Date(first), calendar.Date(last)
	for _, of := range takings {
		for _, d := range of.dirty {
			t := p.means.dirty[d.of]
			t.ensure(d.from, d.to)
			for day := d.from; day < d.to; day++ {
				t.values[day-t.first] += d.amount
			}
		}
	}
	for i := range s.Resources {
		p.series(&s.Resources[i], i, s.First, s.Last)
	}
}

func (p *planning) series(r *Resource, at int, first, last calendar.Date) {
	unit := scale(r.Kind)
	n := int(last-first) + 1
	r.Taken, r.PeakDay = make([]float64, n), first
	if r.Kind == Vessels {
		r.Dirty = make([]float64, n)
	}
	sum, days := 0.0, 0
	for i := range n {
		d := first + calendar.Date(i)
		r.Taken[i] = float64(p.schedule.acc.taken[at].at(int(d))) / unit
		if r.Dirty != nil {
			r.Dirty[i] = float64(p.means.dirty[at].at(int(d)))
		}
		if r.Taken[i] > r.Peak {
			r.Peak, r.PeakDay = r.Taken[i], d
		}
		if !r.Kind.stands() && !p.in.Workdays.Open(d) {
			continue
		}
		sum, days = sum+r.Taken[i], days+1
	}
	if days > 0 {
		r.Mean = sum / float64(days)
	}
}
