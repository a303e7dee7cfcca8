package farmfile

import (
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"time"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// The years in which a calendar of this program has days.
const (
	FirstYear = 1900
	LastYear  = 2199
)

// readResults reads what became of the batches. A name that no protocol has is an
// error, since a slip of the pen is more likely than a farm that has given a
// protocol up: such a farm lists it once under no_more, and its batches stay. One
// that is still under way has to be planned, so its protocol has to be there.
func (f *Folder) readResults(farm fs.FS) {
	b := readBeside(f, farm, protocol.ResultsDocument, &f.Results)
	if b == nil {
		return
	}
	for i, name := range f.Results.Gone {
		if at := protocol.Item("no_more", i); !b.refused[at] && f.known["protocol"].ids[name] {
			b.refuse(at, "results.is_there", args{"found": quoted(name)}, "results_is_there", nil)
		}
	}
	roles := &shelfState{ids: map[string]bool{}, readable: true}
	for _, r := range work.Roles() {
		roles.ids[string(r)] = true
	}
	b.underWay(f.Results.Batches)
	for i, r := range f.Results.Batches {
		f.protocolOfResult(b, i, r)
		b.days(i, r)
		b.lost(i, r)
		for j, l := range r.Labor {
			f.named(b, under(protocol.Item(protocol.ResultKey(i, "labor"), j), "role"), false, "role", roles, l.Role, true)
		}
	}
	f.lots(b)
}

// underWay refuses more batches, or vessels in them, than can be planned, at the batch
// that is one too many: most likely some that are over were never said to be.
func (b *binder) underWay(batches []protocol.Result) {
	n, vessels := 0, 0
	for i, r := range batches {
		if r.Done() || b.refused[protocol.ResultKey(i, "emptied")] || b.refused[protocol.ResultKey(i, "filled")] {
			continue
		}
		n, vessels = n+1, vessels+r.Filled
		if n > protocol.UnderWayMost || vessels > protocol.VesselsUnderWayMost {
			b.refuse(protocol.ResultKey(i, "filled"), "results.many", args{"code": quoted(r.Code), "n": n, "vessels": vessels,
				"most": protocol.UnderWayMost, "most_vessels": protocol.VesselsUnderWayMost}, "results_many", nil)
			return
		}
	}
}

// protocolOfResult checks that a batch is of a protocol that there is or was.
func (f *Folder) protocolOfResult(b *binder, i int, r protocol.Result) {
	at := protocol.ResultKey(i, "protocol")
	ids := f.known["protocol"].ids
	switch {
	case r.Protocol == "" || b.refused[at] || ids[r.Protocol]:
	case !slices.Contains(f.Results.Gone, r.Protocol):
		a, found := args{"found": quoted(r.Protocol)}, quoted(r.Protocol)
		if near := protocol.Nearest(r.Protocol, sortedIDs(ids)); near != "" {
			b.refuse(at, "results.protocol", a, "results_protocol_near", args{"near": near, "found": found})
			return
		}
		b.refuse(at, "results.protocol", a, "results_protocol", args{"list": knownList(ids), "found": found})
	case !r.Done():
		b.refuse(at, "results.under_way", args{"found": quoted(r.Protocol)}, "results_under_way", nil)
	}
}

// dated is a day of a result with where it stands.
type dated struct{ at, day string }

// within refuses a day outside the calendar's years. It is true for a day that can
// be compared with others.
func (b *binder) within(d dated) bool {
	if d.day == "" || b.refused[d.at] {
		return false
	}
	t, err := time.Parse(time.DateOnly, d.day)
	if err != nil {
		return false // its shape was refused before
	}
	if y := t.Year(); y < FirstYear || y > LastYear {
		b.beyond(d.at, d.day)
		return false
	}
	return true
}

// beyond refuses a day that no calendar here has.
func (b *binder) beyond(at, day string) {
	b.refuse(at, "date.years", args{"found": quoted(day), "first": strconv.Itoa(FirstYear), "last": strconv.Itoa(LastYear)}, "date_years", nil)
}

// days checks the days of a batch: none is before what it follows.
func (b *binder) days(i int, r protocol.Result) {
	mixed := dated{protocol.ResultKey(i, "mixed"), r.Mixed}
	opened := dated{protocol.ResultKey(i, "opened"), r.Opened}
	emptied := dated{protocol.ResultKey(i, "emptied"), r.Emptied}
	usable := map[string]bool{}
	all := []dated{mixed, opened}
	for j, p := range r.Picked {
		all = append(all, dated{under(protocol.Item(protocol.ResultKey(i, "picked"), j), "on"), p.On})
	}
	picks := all[2:]
	all = append(all, emptied)
	for j, l := range r.Lost {
		all = append(all, dated{under(protocol.Item(protocol.ResultKey(i, "lost"), j), "on"), l.On})
	}
	lost := all[len(all)-len(r.Lost):]
	for _, d := range all {
		usable[d.at] = b.within(d)
	}
	// Days are written so that they sort as texts.
	after := func(later, earlier dated) {
		if !usable[later.at] || !usable[earlier.at] || b.refused[later.at] || later.day >= earlier.day {
			return
		}
		b.refuse(later.at, "results.order", args{"found": quoted(later.day), "earlier": lastKey(earlier.at), "day": earlier.day}, "results_order", nil)
	}
	after(opened, mixed)
	for _, p := range picks {
		after(p, mixed)
		after(p, opened)
		after(emptied, p)
	}
	after(emptied, opened)
	after(emptied, mixed)
	for _, l := range lost {
		after(l, mixed)
	}
}

// lastKey names a key of a batch without the batch: "picked.on".
func lastKey(at string) string {
	_, key, _ := strings.Cut(plain(at), ".")
	return key
}

// lost checks that no more vessels of a batch are lost, in all and of each lot of
// spawn, than there are.
func (b *binder) lost(i int, r protocol.Result) {
	filled := protocol.ResultKey(i, "filled")
	left := r.Filled
	lots := map[string]int{}
	given := 0
	for j, s := range r.Spawned {
		given += s.Vessels
		lots[s.Lot] += s.Vessels
		at := under(protocol.Item(protocol.ResultKey(i, "spawned"), j), "vessels")
		if given > r.Filled && !b.refused[filled] && !b.refused[at] {
			b.refuse(at, "results.spawned", args{"spawned": given, "filled": r.Filled}, "results_spawned", nil)
			given = r.Filled
		}
	}
	told := false
	for j, l := range r.Lost {
		at := protocol.Item(protocol.ResultKey(i, "lost"), j)
		left -= l.Count
		if left < 0 && !told && !b.refused[filled] && !b.refused[under(at, "count")] {
			told = true // the same for all that follow
			b.refuse(under(at, "count"), "results.more_lost", args{"lost": r.Filled - left, "filled": r.Filled}, "results_more_lost", nil)
		}
		if l.Lot == "" {
			continue
		}
		if _, known := lots[l.Lot]; !known {
			b.refuse(under(at, "lot"), "results.lot", args{"found": quoted(l.Lot)}, "results_lot", nil)
			continue
		}
		lots[l.Lot] -= l.Count
		if lots[l.Lot] < 0 && !b.refused[under(at, "count")] {
			b.refuse(under(at, "count"), "results.more_of_lot", args{"lot": quoted(l.Lot)}, "results_more_of_lot", nil)
		}
	}
}
