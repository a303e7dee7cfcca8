package season

import (
	"errors"
	"fmt"
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// Days are the days of an order: from its first to its last, once in so many weeks,
// but for those that it leaves out. The error is for a day that there is not, and
// for a last day before the first.
func Days(o protocol.Order) ([]calendar.Date, error) {
	first, err := calendar.Parse(o.First)
	if err != nil {
		return nil, err
	}
	last := first
	if o.Last != "" {
		if last, err = calendar.Parse(o.Last); err != nil {
			return nil, err
		}
	}
	if last < first {
		return nil, fmt.Errorf("season: order %s ends on %v, before its first day %v", o.ID, last, first)
	}
	if last-first > protocol.SeasonMost {
		return nil, fmt.Errorf("season: order %s runs for %d days; %d are possible", o.ID, last-first, protocol.SeasonMost)
	}
	var but []calendar.Date
	for _, text := range o.But {
		d, err := calendar.Parse(text)
		if err != nil {
			return nil, err
		}
		but = append(but, d)
	}
	var out []calendar.Date
	for d := first; d <= last; d += calendar.Date(7 * max(1, o.Weeks)) {
		if !slices.Contains(but, d) {
			out = append(out, d)
		}
	}
	return out, nil
}

// wanted is what is to be delivered of one protocol on one day: one batch.
type wanted struct {
	protocol   string
	day        calendar.Date
	mass       unit.Mass
	deliveries []int
	batch      *batch.Batch
	unmet      Unmet
	soonest    calendar.Date
	job        *job
	takings    []*taking // of the candidates of the job
	underWay   int       // place among those under way that it is met from, -1 for none
}

// ready is the day on which all of a batch is picked.
func ready(p *calendar.Plan, basis calendar.Basis) calendar.Date {
	if basis == calendar.Safely {
		return p.Safe
	}
	return p.Expected
}

// deliveries lists all days of all orders, by day and then by order.
func deliveries(orders protocol.Orders) ([]Delivery, error) {
	var out []Delivery
	var faults []error
	for i, o := range orders.Orders {
		days, err := Days(o)
		if err != nil {
			faults = append(faults, err)
		}
		for _, d := range days {
			out = append(out, Delivery{Order: i, Day: d, Mass: o.Mass, Batch: -1, Soonest: d})
		}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	slices.SortStableFunc(out, func(a, b Delivery) int { return int(a.Day - b.Day) })
	if n := len(out); n > 0 && out[n-1].Day-out[0].Day > protocol.SeasonMost {
		return nil, fmt.Errorf("season: from the first delivery, %v, to the last, %v, are %d days; %d are possible",
			out[0].Day, out[n-1].Day, out[n-1].Day-out[0].Day, protocol.SeasonMost)
	}
	return out, nil
}

// want puts the deliveries of one protocol on one day together, and sizes a batch for
// each.
func want(in Input, list []Delivery) []*wanted {
	type key struct {
		protocol string
		day      calendar.Date
	}
	of := map[key]*wanted{}
	var out []*wanted
	for i, d := range list {
		k := key{in.Orders.Orders[d.Order].Protocol, d.Day}
		w := of[k]
		if w == nil {
			w = &wanted{protocol: k.protocol, day: k.day, underWay: -1}
			of[k] = w
			out = append(out, w)
		}
		w.mass += d.Mass
		w.deliveries = append(w.deliveries, i)
	}
	type size struct {
		protocol string
		mass     unit.Mass
	}
	made := map[size]*batch.Batch{}
	for _, w := range out {
		p := in.Processes[w.protocol]
		if p == nil {
			w.unmet = NoProtocol
			continue
		}
		k := size{w.protocol, w.mass}
		b, ok := made[k]
		if !ok {
			b = sized(p, w.mass)
			made[k] = b
		}
		if b == nil {
			w.unmet = NoBatch
			continue
		}
		w.batch = b
		for _, i := range w.deliveries {
			list[i].Good = int(unit.Up(float64(list[i].Mass) / b.Value("sold_in_vessel")))
		}
	}
	return out
}

// sized is the batch for a mass, nil where there is none without errors, or it alone has
// more vessels than can be under way: its thousands of cohorts are no plan of anybody's.
func sized(p *process.Process, mass unit.Mass) *batch.Batch {
	b, err := batch.ForMass(p, mass)
	if err != nil || protocol.Worst(b.Findings) == protocol.Error || b.Filled > protocol.VesselsUnderWayMost {
		return nil
	}
	return b
}
