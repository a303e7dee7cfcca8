package leaf

import (
	"math"
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/words"
)

const (
	panelDays = 35 // of one drawing: two stand side by side, and one fills a phone
	mostRows  = 40 // of marks, over all rooms
)

// marksOf are the steps of how many vessels one mark is.
var marksOf = []int{1, 2, 5, 10, 20, 25, 30, 40, 50, 60, 80, 100, 200, 250, 500, 1000, 2000, 5000, 10000, 20000, 50000, 100000, 200000, 500000, 1000000}

// bay is one place where vessels stand, with the stays in it.
type bay struct {
	name   string
	places int // 0 where nobody said
	most   int // that stand there on one day
	stays  []stood
}

// stood is a cohort that stands in a place, without a break.
type stood struct {
	season.Stay
	batch int
}

// standings puts the stays by their rooms, in the order in which the farm lists
// them. A cohort that goes on to its next stage in the same room stays where it is.
func (e Edition) standings(s Season) []bay {
	var out []bay
	at := map[string]int{}
	place := func(name string, places int) int {
		i, ok := at[name]
		if !ok {
			i = len(out)
			at[name] = i
			out = append(out, bay{name: name, places: places})
		}
		return i
	}
	for _, r := range e.Farm.Rooms {
		place(r.Name, r.Places)
	}
	for i, b := range s.Batches {
		for _, stay := range b.Stays {
			if s.Today != nil { // what is past is not drawn
				if stay.From = max(stay.From, season.Monday(*s.Today)); stay.From >= stay.To {
					continue
				}
			}
			r := &out[place(e.Voice.Say(roomName(e.Farm, stay)), 0)]
			if n := len(r.stays) - 1; n >= 0 && r.stays[n].batch == i && r.stays[n].Cohort == stay.Cohort && r.stays[n].To == stay.From && r.stays[n].Vessels == stay.Vessels {
				r.stays[n].To = stay.To
				continue
			}
			r.stays = append(r.stays, stood{stay, i})
		}
	}
	out = slices.DeleteFunc(out, func(r bay) bool { return len(r.stays) == 0 })
	for i := range out {
		out[i].most, _ = out[i].fullest(s.First, s.Last+1)
	}
	return out
}

// on is how many vessels stand in a place on a day.
func (r bay) on(d calendar.Date) int {
	n := 0
	for _, x := range r.stays {
		if x.From <= d && d < x.To {
			n += x.Vessels
		}
	}
	return n
}

// fullest is how many stand in a place at most, and on which day, from a day on and
// before another.
func (r bay) fullest(from, to calendar.Date) (most int, on calendar.Date) {
	on = from
	for d := from; d < to; d++ {
		if n := r.on(d); n > most {
			most, on = n, d
		}
	}
	return most, on
}

// looks are the protocols of a season with how their marks look and what they are
// called: by the species, and by the vessel too where two have it.
func (e Edition) looks(s Season) (names []string, label map[string]string) {
	label = map[string]string{}
	of := map[string]int{}
	for _, b := range s.Batches {
		p := b.Batch.Process
		if name := p.Input.Protocol.Name; label[name] == "" {
			names = append(names, name)
			label[name] = e.Voice.Capital(p.Species.Common)
			of[label[name]]++
		}
	}
	slices.Sort(names)
	twice := func() bool { return slices.ContainsFunc(names, func(n string) bool { return of[label[n]] > 1 }) }
	if twice() {
		count := map[string]int{}
		for _, b := range s.Batches {
			p := b.Batch.Process
			name := p.Input.Protocol.Name
			if l := e.Voice.Capital(p.Species.Common); label[name] == l && of[l] > 1 {
				label[name] = e.say("shape.titled", "title", l, "what", p.Vessel.One)
				count[label[name]]++
			}
		}
		of = count
		for _, n := range names {
			if of[label[n]] > 1 {
				label[n] = n
			}
		}
	}
	return names, label
}

// stood is the first Monday and the last Sunday with something in a room or with a
// delivery: the spawn of the farm's own is begun weeks before, and stands in none.
func (s Season) stood() (first, last calendar.Date) {
	first, last = calendar.Last, calendar.First
	for _, b := range s.Batches {
		for _, stay := range b.Stays {
			first, last = min(first, stay.From), max(last, stay.To)
		}
	}
	for _, d := range s.Deliveries {
		first, last = min(first, d.Day), max(last, d.Day)
	}
	if first > last {
		return s.bounds()
	}
	if s.Today != nil {
		first = min(max(first, *s.Today), last)
	}
	return season.Monday(first), season.Monday(last) + 6
}

// field is the picture of a season: the vessels in their rooms, day by day.
func (e Edition) field(s Season) picture {
	rooms := e.standings(s)
	first, last := s.stood()
	names, label := e.looks(s)
	k := marksOf[len(marksOf)-1]
	for _, n := range marksOf {
		rows := 0
		for _, r := range rooms {
			rows += draw.SeasonRows((r.places+n-1)/n, (r.most+n-1)/n)
		}
		if rows <= mostRows {
			k = n
			break
		}
	}
	d := draw.Season{Days: int(last-first) + 1}
	for _, r := range rooms {
		x := draw.Room{Name: r.name, Places: (r.places + k - 1) / k, Holds: func(from, to int) string {
			most, _ := r.fullest(first+calendar.Date(from), first+calendar.Date(to))
			if most == 0 {
				return e.say("book.figure.season.empty")
			}
			if r.places == 0 {
				return e.say("book.figure.season.most", "n", most)
			}
			return e.say("book.figure.season.places", "n", most, "places", r.places)
		}}
		for _, stay := range r.stays {
			p := s.Batches[stay.batch].Batch.Process
			name := p.Input.Protocol.Name
			x.Plots = append(x.Plots, draw.Plot{
				Marks: max(1, int(math.Round(float64(stay.Vessels)/float64(k)))), From: int(stay.From - first), To: int(stay.To - first),
				Look: slices.Index(names, name), Jar: p.Vessel.Form == protocol.FormJar, Label: label[name],
			})
		}
		d.Rooms = append(d.Rooms, x)
	}
	for day := first; day <= last; day++ {
		if !s.Workdays.Open(day) {
			d.Closed = append(d.Closed, int(day-first))
		}
	}
	for monday := first; monday <= last; monday += 7 {
		d.Weeks = append(d.Weeks, e.pictureWeek(monday, first))
		if sold := s.Week(monday).Sold; sold > 0 {
			d.Weeks[len(d.Weeks)-1].Sold = e.show(Sold(sold))
		}
	}
	for _, x := range s.Deliveries {
		d.Deliveries = append(d.Deliveries, draw.Drop{Day: int(x.Day - first), Late: IsLate(x)})
	}

	out := picture{Notice: e.Voice.Say(s.notice(e)), How: e.say("book.figure.season.how", "k", k)}
	key := draw.Key{Title: e.say("book.figure.season.key"), Description: e.say("book.figure.season.key.desc")}
	for _, name := range names {
		i := slices.IndexFunc(s.Batches, func(b season.Batch) bool { return b.Batch.Process.Input.Protocol.Name == name })
		key.Marks = append(key.Marks, draw.KeyMark{Look: slices.Index(names, name),
			Jar: s.Batches[i].Batch.Process.Vessel.Form == protocol.FormJar, Name: label[name]})
	}
	out.add(key.String(panelDays))
	span := func(from, to int) (calendar.Date, calendar.Date) {
		return first + calendar.Date(from), first + calendar.Date(to-1)
	}
	for _, svg := range d.Panels(panelDays, func(from, to int) string {
		a, b := span(from, to)
		return e.say("book.figure.season.title", "from", a.String(), "to", b.String())
	}, func(from, to int) string {
		a, b := span(from, to)
		var said []protocol.Message
		for _, r := range rooms {
			most, on := r.fullest(a, b+1)
			said = append(said, words.Message("book.figure.season.room", "room", r.name, "n", most, "date", on.String()))
		}
		return e.told(said)
	}) {
		out.add(svg)
	}
	t := table{ID: "cap-field", Caption: e.say("book.figure.season.table"), Head: []string{e.say("book.season.week")}}
	for _, r := range rooms {
		t.Head = append(t.Head, r.name)
	}
	for monday := first; monday <= last; monday += 7 {
		row := []string{e.say("book.season.from", "week", monday.WeekName(), "date", monday.String())}
		for _, r := range rooms {
			most, _ := r.fullest(monday, monday+7)
			row = append(row, strconv.Itoa(most))
		}
		t.Rows = append(t.Rows, row)
	}
	out.Tables = []table{t}
	return out
}

// pictureWeek is a week on the axis of a picture.
func (e Edition) pictureWeek(monday, first calendar.Date) draw.Week {
	_, week := monday.Week()
	return draw.Week{Day: int(monday - first), Name: e.say("book.figure.season.week", "n", week), Date: monday.String()[len("2026-"):]}
}

// notice is what the picture of a season shows in one line.
func (s Season) notice(e Edition) protocol.Message {
	if len(s.Shortages) > 0 {
		return s.Shortage(e.Farm, s.Shortages[0])
	}
	if r := s.fullest(); r != nil {
		return words.Message("book.figure.season.fullest", "resource", s.ResourceName(e.Farm, *r),
			"n", int(r.Peak), "places", int(r.Capacity), "date", r.PeakDay.String())
	}
	return s.Summary()
}

// vesselPictures shows for each kind of vessel how it goes round; nil where none
// does.
func (e Edition) vesselPictures(s Season) *picture {
	kinds := s.circulating()
	if len(kinds) == 0 {
		return nil
	}
	out := &picture{How: e.say("book.figure.circulation.how")}
	worst := math.Inf(1)
	for i, r := range kinds {
		d := draw.Circulation{Name: s.vesselName(r.Of), Holds: e.say("book.figure.circulation.unknown")}
		if r.Bounded {
			d.Owned, d.Holds = r.Capacity, e.say("book.figure.circulation.owned", "n", int(r.Capacity))
		}
		for day, n := range r.Taken {
			d.InUse = append(d.InUse, n-r.Dirty[day])
		}
		d.Dirty, d.Peak = r.Dirty, int(r.PeakDay-s.First)
		all, used, dirty := int(r.Peak), int(d.InUse[d.Peak]), int(r.Dirty[d.Peak])
		on := r.PeakDay.String()
		d.AtPeak = draw.Label{Measure: e.say("book.figure.circulation.peak", "n", all), Words: e.say("book.figure.circulation.parts", "used", used, "dirty", dirty)}
		d.Title = e.say("book.figure.circulation.title", "vessels", d.Name)
		d.Description = e.say("book.figure.circulation.desc", "date", on, "used", used, "dirty", dirty)
		for monday := season.Monday(s.First + 6); monday <= s.Last; monday += 7 {
			d.Weeks = append(d.Weeks, e.pictureWeek(monday, s.First))
		}
		out.add(d.String())
		left := r.Capacity - r.Peak
		switch {
		case r.Bounded && left < worst:
			worst = left
			out.Notice = e.say("book.figure.circulation.left", "vessels", d.Name, "date", on, "n", int(math.Max(left, 0)), "owned", int(r.Capacity))
		case out.Notice == "":
			out.Notice = e.say("book.figure.circulation.most", "vessels", d.Name, "date", on, "n", all)
		}
		out.Tables = append(out.Tables, e.circulationTable(s, i, r))
	}
	return out
}

// circulationTable is the last day of each week of one kind of vessel.
func (e Edition) circulationTable(s Season, i int, r season.Resource) table {
	t := table{ID: "cap-vessels-" + strconv.Itoa(i+1), Caption: e.say("book.figure.circulation.table", "vessels", s.ResourceName(e.Farm, r)),
		Head: []string{e.say("book.season.week"), e.say("book.figure.circulation.used"), e.say("book.figure.circulation.dirty")}}
	if r.Bounded {
		t.Head = append(t.Head, e.say("book.figure.circulation.washed"))
	}
	for monday := season.Monday(s.First); monday <= s.Last; monday += 7 {
		at := max(monday, s.First) - s.First
		for d := at; d < monday+7-s.First && d <= s.Last-s.First; d++ {
			if r.Taken[d] > r.Taken[at] {
				at = d
			}
		}
		row := []string{e.say("book.season.from", "week", monday.WeekName(), "date", monday.String()), strconv.Itoa(int(r.Taken[at] - r.Dirty[at])), strconv.Itoa(int(r.Dirty[at]))}
		if r.Bounded {
			row = append(row, strconv.Itoa(int(r.Washed()[at])))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
