package main

import (
	"slices"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// planSeason puts all that is ordered of the farm on days. It is nil for a farm that
// has written down no orders.
func (f *farm) planSeason(today *calendar.Date, basis calendar.Basis) (*leaf.Season, error) {
	orders := f.folder.Orders
	if len(orders.Orders) == 0 {
		return nil, nil
	}
	w, err := f.workdays()
	if err != nil {
		return nil, err
	}
	today = f.today(today)
	s, err := season.Plan(season.Input{Farm: f.folder.Farm, Processes: f.byName(), Orders: orders, Results: f.folder.Results,
		Workdays: w, Today: today, Basis: basis})
	if err != nil {
		return nil, err
	}
	return &leaf.Season{Season: s, Orders: orders.Orders, Workdays: w, Today: today, Vessels: f.folder.Library.Vessels}, nil
}

// judgeSeason plans the season as the book shows it and finds the orders that can't
// be met in time. With an error in the folder it waits: what is at fault there may be
// all that is in the way.
func (f *farm) judgeSeason(today *calendar.Date) (*leaf.Season, error) {
	if f.verdict() != nil {
		return nil, nil
	}
	s, err := f.planSeason(today, calendar.Usually)
	if err != nil || s == nil {
		return nil, err
	}
	f.add(f.lateOrders(s))
	names := map[string]string{}
	for _, r := range s.Resources {
		names[r.ID] = f.voice.Say(s.ResourceName(f.folder.Farm, r))
	}
	_, tight := s.Judge(f.folder.Farm, s.Workdays, names)
	f.add(tight)
	protocol.Sort(f.findings)
	return s, nil
}

// seasonOf is the season of the book, which was planned in the farm's first language, in
// the farm's words. Its findings are told already.
func (f *farm) seasonOf(first *leaf.Season) (*leaf.Season, error) {
	if first == nil || f.verdict() != nil {
		return nil, nil
	}
	told, ok := first.Retold(f.byName())
	if !ok { // in another language something else counts: then that is planned
		return f.planSeason(first.Today, calendar.Usually)
	}
	return &leaf.Season{Season: told, Orders: f.folder.Orders.Orders, Workdays: first.Workdays, Today: first.Today, Vessels: f.folder.Library.Vessels}, nil
}

// byName are the processes of the protocols without errors.
func (f *farm) byName() map[string]*process.Process {
	out := map[string]*process.Process{}
	for _, e := range f.entries {
		out[e.Method.Protocol] = e.Process
	}
	return out
}

// lateOrders has one finding for each order with deliveries that are late or not to
// be had, with the worst of them.
func (f *farm) lateOrders(s *leaf.Season) []protocol.Finding {
	var out []protocol.Finding
	for i, o := range s.Orders {
		all, late := 0, 0
		var worst season.Delivery
		for _, d := range s.Deliveries {
			if d.Order != i {
				continue
			}
			all++
			if !leaf.IsLate(d) {
				continue
			}
			if late++; late == 1 || d.Batch < 0 && worst.Batch >= 0 || worst.Batch >= 0 && d.Late > worst.Late {
				worst = d
			}
		}
		if late == 0 {
			continue
		}
		x := protocol.Finding{Severity: protocol.Warning, Rule: "order.late",
			Origin: working.Origin{Document: protocol.OrdersDocument, Key: protocol.OrderKey(i, "first")},
			What:   words.Message("season.order_late", "order", o.ID, "late", late, "n", all, "date", worst.Day.String(), "verdict", s.Outcome(worst)),
			Why:    s.Reason(f.folder.Farm, worst)}
		switch mends := s.Mends(f.folder.Farm, worst); {
		case len(mends) > 0 && len(worst.WouldFix) == 0 && len(worst.Together) > 1:
			x.Hint = words.Message("season.fix_several")
		case len(mends) > 0:
			x.Hint = mends[0]
		}
		out = append(out, x)
	}
	return out
}

// farmPlan is the plan of a whole farm with the words for it.
type farmPlan struct {
	*leaf.Season
	farm    *farm
	narrow  *stretch
	batches []onDays // as in Season.Batches
}

func newFarmPlan(f *farm, s *leaf.Season, narrow *stretch) farmPlan {
	x := farmPlan{Season: s, farm: f, narrow: narrow}
	for i, b := range s.Batches {
		x.batches = append(x.batches, onDays{farm: f, code: b.Code, identity: x.identity(i), batch: b.Batch, plan: b.Plan,
			Telling: leaf.Tell(b.Batch, b.Plan, s.Today),
			room:    func(k calendar.Task) protocol.Message { return leaf.Where(f.folder.Farm, b, k) }})
	}
	return x
}

// identity is what a calendar knows a batch by. The code of one that is not under way
// has its first day in it and changes when the plan does; what it is for stays, also
// when it begins. Each delivery is of one batch, so no two are known by the same.
func (x farmPlan) identity(i int) string {
	b := x.Season.Batches[i]
	if len(b.Deliveries) == 0 {
		return b.Code
	}
	d := x.Deliveries[slices.Min(b.Deliveries)]
	return x.Orders[d.Order].ID + " " + d.Day.String()
}

// tasks are all that fall on the days that were asked for, by day, and on a day by
// role.
func (x farmPlan) tasks() []entry {
	var out []entry
	for _, monday := range x.Mondays() {
		for d := monday; d < monday+7; d++ {
			if !x.narrow.has(d) {
				continue
			}
			for _, task := range x.On(d) {
				out = append(out, entry{x.batches[task.Batch], task.Task})
			}
		}
	}
	return out
}

// deliveries are those of the days that were asked for.
func (x farmPlan) deliveries() []season.Delivery {
	return slices.DeleteFunc(slices.Clone(x.Deliveries), func(d season.Delivery) bool { return !x.narrow.has(d.Day) })
}

// events are the entries of all batches, and of the deliveries, in a calendar.
func (x farmPlan) events(asked planned) []calendar.Event {
	v, name := x.farm.voice, x.farm.folder.Farm.Name
	var out []calendar.Event
	for _, b := range x.batches {
		out = append(out, b.events(asked)...)
	}
	for _, d := range x.Deliveries {
		o := x.Orders[d.Order]
		id := calendar.Identity{Farm: name, Protocol: o.Protocol, Batch: o.ID + " " + d.Day.String(), Revision: asked.revision, Alarm: asked.alarm}
		w := calendar.Words{Summary: plain(v.Say(words.Message("plan.event.delivery", "mass", leaf.Sold(d.Mass), "for", x.For(d)))),
			Category: plain(v.Say(words.Message("book.week.deliver")))}
		for i, m := range x.Verdict(x.farm.folder.Farm, d) {
			if i > 0 {
				w.Description += "\n"
			}
			w.Description += plain(v.Say(m))
		}
		out = append(out, id.Once("delivery", d.Day, w))
	}
	return slices.DeleteFunc(out, func(e calendar.Event) bool {
		return x.narrow != nil && (e.To < x.narrow.from || e.From > x.narrow.to)
	})
}
