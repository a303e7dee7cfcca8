package main

import (
	"fmt"
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// planFarm is the command plan for the whole farm.
func (t *terminal) planFarm(s *settings, flags planFlags) error {
	asked, err := flags.readFarm()
	if err != nil {
		return err
	}
	f, err := openFarm(s)
	if err != nil {
		return err
	}
	if err := f.verdict(); err != nil {
		t.findings(f.voice, protocol.Errors(f.findings), false)
		return err
	}
	basis := calendar.Usually
	if asked.safely {
		basis = calendar.Safely
	}
	planned, err := f.planSeason(asked.today, basis)
	switch {
	case err != nil:
		return notPlanned(err)
	case planned == nil:
		return &failure{atFault, words.Message("plan.no_orders", "file", protocol.OrdersDocument), words.Message("plan.no_orders.hint")}
	}
	x := newFarmPlan(f, planned, asked.narrow)
	if asked.ical != "" {
		stamp := planned.First // a day that the plan itself has, where none is said
		if asked.today != nil {
			stamp = *asked.today
		}
		events := x.events(asked)
		if len(events) == 0 {
			return fail(atFault, words.Message("plan.nothing"))
		}
		name := words.Message("plan.calendar.farm", "farm", f.folder.Farm.Name)
		if err := f.writeICal(asked.ical, name, stamp, events); err != nil {
			return err
		}
	}
	return t.planned(asked, x.report, x.tasks(), func() { t.season(x) })
}

// wideNames is the widest that a name of a batch or a room makes its column.
const wideNames = 44

// season prints the plan of a farm: week by week, or day by day where days were asked
// for.
func (t *terminal) season(x farmPlan) {
	v := x.farm.voice
	t.say(v, "plan.farm", "farm", x.farm.folder.Farm.Name, "what", x.Summary())
	t.everyDay(x.farm)
	if x.narrow != nil {
		t.seasonDays(x)
		t.seasonDeliveries(x)
		return
	}
	for _, s := range x.Shortages {
		fmt.Fprintln(t, plain(v.Say(x.Shortage(x.farm.folder.Farm, s))))
	}
	for _, m := range x.Beside() {
		fmt.Fprintln(t, plain(v.Say(m)))
	}
	t.seasonWeeks(x)
	t.seasonDeliveries(x)
	t.seasonResources(x)
}

// seasonDays prints who does what on each day that has anything.
func (t *terminal) seasonDays(x farmPlan) {
	v, tasks, deliveries := x.farm.voice, x.tasks(), x.deliveries()
	first, last := calendar.Last, calendar.First
	for _, k := range tasks {
		first, last = min(first, k.Date), max(last, k.Date)
	}
	for _, d := range deliveries {
		first, last = min(first, d.Day), max(last, d.Day)
	}
	for d := first; d <= last; d++ {
		var rows [][]string
		for _, o := range deliveries {
			if o.Day == d {
				rows = append(rows, []string{v.Say(words.Message("book.week.deliver")), "", x.madeOf(o.Batch, o.Order), v.Say(words.Message("book.week.deliver.what", "mass", leaf.Sold(o.Mass), "for", x.For(o)))})
			}
		}
		for ; len(tasks) > 0 && tasks[0].Date == d; tasks = tasks[1:] {
			k := tasks[0]
			row := []string{k.role(k.Task), k.takes(k.Task), k.code, v.Say(k.Title(k.Task))}
			if note := k.Note(k.Task); note.ID != "" {
				row = append(row, v.Say(note))
			}
			rows = append(rows, row)
		}
		if len(rows) > 0 {
			fmt.Fprintln(t)
			fmt.Fprintln(t, plain(v.Say(leaf.DayMessage(d))))
			t.table(rows, wideNames)
		}
	}
}

// madeOf is the batch that a delivery is from or, without one, its protocol.
func (x farmPlan) madeOf(batch, order int) string {
	if batch < 0 {
		return x.Orders[order].Protocol
	}
	return x.Season.Batches[batch].Code
}

// seasonWeeks prints what each week comes to, with the hours of each role.
func (t *terminal) seasonWeeks(x farmPlan) {
	v := x.farm.voice
	head := []string{v.Say(words.Message("book.season.week")), v.Say(words.Message("book.season.day")), v.Say(words.Message("book.season.mixed")), v.Say(words.Message("book.season.sold"))}
	for _, r := range work.Roles() {
		head = append(head, v.Say(words.Message("role."+string(r))))
	}
	rows, none := [][]string{head}, v.Say(words.Message("book.none"))
	for _, monday := range x.Mondays() {
		w := x.Week(monday)
		filled, sold := none, none
		if w.Filled > 0 {
			filled = strconv.Itoa(w.Filled)
		}
		if w.Sold > 0 {
			sold = leaf.Sold(w.Sold).Show(v.Units())
		}
		row := []string{monday.WeekName(), monday.String(), filled, sold}
		for _, r := range work.Roles() {
			takes := none
			if w.Takes[r] > 0 {
				takes = leaf.WorkAmount(w.Takes[r]).Show(v.Units())
			}
			row = append(row, takes)
		}
		rows = append(rows, row)
	}
	fmt.Fprintln(t)
	t.table(rows, wideNames)
}

// seasonDeliveries prints the deliveries, and of those that are late why and what
// would mend it.
func (t *terminal) seasonDeliveries(x farmPlan) {
	v := x.farm.voice
	list := x.deliveries()
	if len(list) == 0 {
		return
	}
	fmt.Fprintln(t)
	t.say(v, "book.season.deliveries")
	var rows [][]string
	for _, d := range list {
		said := x.Verdict(x.farm.folder.Farm, d)
		rows = append(rows, []string{d.Day.String(), leaf.Sold(d.Mass).Show(v.Units()), x.For(d), x.madeOf(d.Batch, d.Order), v.Say(said[0])})
		for _, m := range said[1:] {
			rows = append(rows, []string{"", "", "", "", v.Say(m)})
		}
	}
	t.table(rows, wideNames)
}

// seasonResources prints what is taken of what the farm has, and Little's law beside
// the count.
func (t *terminal) seasonResources(x farmPlan) {
	v, f := x.farm.voice, x.farm.folder.Farm
	say := func(id string) string { return v.Say(words.Message(id)) }
	fmt.Fprintln(t)
	t.say(v, "book.season.resources")
	rows := [][]string{{say("book.season.resource"), say("book.season.most"), say("book.season.on"), say("book.season.mean"), say("book.season.capacity")}}
	for _, r := range x.Resources {
		has, on := say("book.season.unbounded"), r.PeakDay.String()
		if r.Bounded {
			has = leaf.ResourceAmount(r.Kind, r.Capacity).Show(v.Units())
		}
		if r.Peak == 0 {
			on = say("book.none")
		}
		rows = append(rows, []string{v.Say(x.ResourceName(f, r)), leaf.ResourceAmount(r.Kind, r.Peak).Show(v.Units()), on,
			leaf.MeanAmount(r.Kind, r.Mean).Show(v.Units()), has})
	}
	t.table(rows, wideNames)
	rows = [][]string{{say("book.season.resource"), say("book.season.rate"), say("book.season.stay"), say("book.season.law"), say("book.season.counted")}}
	for _, r := range x.Resources {
		if l, ok := x.Little(r); ok {
			row := []string{v.Say(x.ResourceName(f, r))}
			for _, n := range []float64{l.Rate, l.Stay, l.Rate * l.Stay, l.Counted} {
				row = append(row, leaf.MeanAmount(r.Kind, n).Show(v.Units()))
			}
			rows = append(rows, row)
		}
	}
	if len(rows) > 1 {
		fmt.Fprintln(t)
		t.say(v, "book.season.little.how")
		t.table(rows, wideNames)
	}
}

// within lists the batches that have a task or a stay on the days that were asked for.
func (x farmPlan) within() []int {
	var out []int
	for i, b := range x.Season.Batches {
		on := func(k calendar.Task) bool { return x.narrow.has(k.Date) }
		if x.narrow == nil || slices.ContainsFunc(b.Plan.Tasks, on) {
			out = append(out, i)
		}
	}
	return out
}
