package farmfile

import (
	"io/fs"
	"strconv"
	"time"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// readOrders reads what the farm is to deliver.
func (f *Folder) readOrders(farm fs.FS) {
	b := readBeside(f, farm, protocol.OrdersDocument, &f.Orders)
	if b == nil {
		return
	}
	var earliest, latest string
	for i, o := range f.Orders.Orders {
		f.reference(b, protocol.OrderKey(i, "protocol"), false, "protocol", o.Protocol, true)
		first, last := b.orderDays(i, o)
		if first == "" {
			continue
		}
		if earliest == "" || first < earliest {
			earliest = first
		}
		if last > latest {
			latest = last
		}
	}
	b.deliveries(f.Orders.Orders)
	if !inSeason(earliest, latest) {
		// All of it is too long, though no order is: the last one to begin is told.
		for i, o := range f.Orders.Orders {
			if at := protocol.OrderKey(i, "first"); o.First > earliest && !inSeason(earliest, o.First) && !b.refused[at] {
				b.refuse(at, "orders.season", seasonArgs(earliest, o.First), "orders_season", nil)
				return
			}
		}
		for i, o := range f.Orders.Orders {
			if at := protocol.OrderKey(i, "last"); o.Last == latest && !b.refused[at] {
				b.refuse(at, "orders.season", seasonArgs(earliest, latest), "orders_season", nil)
				return
			}
		}
	}
}

// deliveries refuses more of them than can be planned, at the order that is one too
// many: the others have their place.
func (b *binder) deliveries(orders []protocol.Order) {
	n := 0
	for i, o := range orders {
		at := protocol.OrderKey(i, "first")
		if b.refused[at] || o.First == "" {
			continue
		}
		n++
		if last := protocol.OrderKey(i, "last"); o.Last > o.First && !b.refused[last] && inSeason(o.First, o.Last) {
			n += daysFrom(o.First, o.Last)/(7*max(1, o.Weeks)) - len(o.But)
		}
		if n > protocol.DeliveriesMost {
			b.refuse(at, "orders.many", args{"order": quoted(o.ID), "n": n, "most": protocol.DeliveriesMost}, "orders_many", nil)
			return
		}
	}
}

func seasonArgs(first, last string) args {
	return args{"found": quoted(last), "first": first, "last": last, "most": strconv.Itoa(protocol.SeasonMost)}
}

// orderDays checks the days of an order, and gives its first and its last; both are
// empty where they can't be told.
func (b *binder) orderDays(i int, o protocol.Order) (first, last string) {
	from, to := dated{protocol.OrderKey(i, "first"), o.First}, dated{protocol.OrderKey(i, "last"), o.Last}
	usable := b.within(from)
	if o.Last == "" {
		if at := protocol.OrderKey(i, "every_weeks"); o.Weeks > 0 && !b.refused[to.at] && !b.refused[at] {
			b.refuse(at, "orders.no_last", args{"found": strconv.Itoa(o.Weeks)}, "orders_no_last", nil)
		}
		to.day = o.First
	} else if !b.within(to) {
		usable = false
	}
	if !usable || b.refused[to.at] || b.refused[from.at] {
		return "", ""
	}
	switch { // days are written so that they sort as texts
	case to.day < from.day:
		b.refuse(to.at, "orders.order", args{"found": quoted(to.day), "first": from.day}, "orders_order", nil)
		return "", ""
	case !inSeason(from.day, to.day):
		b.refuse(to.at, "orders.long", seasonArgs(from.day, to.day), "orders_long", nil)
		return "", ""
	}
	every := 7 * max(1, o.Weeks)
	for j, day := range o.But {
		at := protocol.Item(protocol.OrderKey(i, "but_not"), j)
		if !b.within(dated{at, day}) {
			continue
		}
		after := daysFrom(from.day, day)
		if after < 0 || day > to.day || after%every != 0 {
			near := min(max(0, after), daysFrom(from.day, to.day)) / every * every
			b.refuse(at, "orders.but", args{"found": quoted(day)}, "orders_but", args{"near": dayAfter(from.day, near)})
		}
	}
	return from.day, to.day
}

// inSeason reports whether two days are no further apart than a season may be.
func inSeason(first, last string) bool {
	return first == "" || daysFrom(first, last) <= protocol.SeasonMost
}

// daysFrom is how many days one day is after another, both of which have been read.
// Days in UTC all have 24 hours.
func daysFrom(first, day string) int {
	a, _ := time.Parse(time.DateOnly, first)
	b, _ := time.Parse(time.DateOnly, day)
	return int(b.Sub(a).Hours() / 24)
}

func dayAfter(first string, days int) string {
	a, _ := time.Parse(time.DateOnly, first)
	return a.AddDate(0, 0, days).Format(time.DateOnly)
}

// capacityReferences checks the names in what the farm gets done in a day.
func (f *Folder) capacityReferences(b *binder) {
	c := f.Farm.Capacity
	if c == nil {
		return
	}
	roles := &shelfState{ids: map[string]bool{}, readable: true}
	for _, r := range work.Roles() {
		roles.ids[string(r)] = true
	}
	for _, role := range sortedMap(c.Hours) {
		f.named(b, under("capacity.hours_a_day", role), true, "role", roles, role, true)
	}
	for i, h := range c.Owns {
		f.reference(b, under(protocol.Item("capacity.owns", i), "vessel"), false, "vessel", h.Vessel, true)
	}
}
