package draw

import (
	"math"
	"slices"
)

// Season is a field of vessels in their rooms: a row of places for each room, a
// column for each day, and a mark in it for so many vessels that stand there. A
// mark keeps its place from the day on which it comes to the day on which it leaves,
// as a vessel does on its shelf.
type Season struct {
	Days       int // columns
	Rooms      []Room
	Weeks      []Week // ascending
	Closed     []int  // days on which nobody works
	Deliveries []Drop
}

// Room is one room of a season: its places, as marks, and what stands there. Of a
// room with many more places than are ever taken, those are drawn that may be wanted.
type Room struct {
	Name   string
	Holds  func(from, to int) string // said of the days of a panel
	Places int                       // marks; 0 where nobody knows
	Plots  []Plot
}

// Plot is what comes into a room and leaves it together.
type Plot struct {
	Marks    int
	From, To int // To is the first day on which it is gone
	Look     int // from 0: how its marks are filled
	Jar      bool
	Label    string // written once in each room of a panel, where it fits
}

// Week is the Monday of a week with what stands below it.
type Week struct {
	Day              int
	Name, Date, Sold string
}

// Drop is a day of delivery.
type Drop struct {
	Day  int
	Late bool
}

// Looks is how many ways there are to fill a mark.
const Looks = 6

// Measures of a season.
const (
	seasonDay  = 10.5 // of a mark
	seasonRow  = 12
	seasonHead = 22 // above a room, with its name
	seasonFoot = 66 // below the last one
)

// spareRows is how many rows are drawn above the most that is ever taken.
const spareRows = 1

// SeasonRows is how many rows a room takes that has so many places, of which so many
// are taken at most; 0 places where nobody knows.
func SeasonRows(places, taken int) int {
	if places == 0 {
		return taken + spareRows
	}
	return max(min(taken+spareRows, places), taken)
}

// placed is a plot with the rows that it takes, from the floor up.
type placed struct {
	Plot
	rows []int
}

// shelved is a room with all that stands in it at its place.
type shelved struct {
	Room
	rows  int // drawn
	plots []placed
}

// shelve gives each mark a place of its own for as long as it stands: next to its
// like where there is room for all of them, else wherever one is free.
func shelve(r Room) shelved {
	out := shelved{Room: r}
	order := make([]int, len(r.Plots))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return r.Plots[a].From - r.Plots[b].From })
	var until []int // by row, the day from which on it is free
	free := func(row, day int) bool { return row >= len(until) || until[row] <= day }
	out.plots = make([]placed, len(r.Plots))
	for _, i := range order {
		p := placed{Plot: r.Plots[i]}
		for row := 0; len(p.rows) == 0 && row+p.Marks <= max(r.Places, len(until)); row++ {
			together := true
			for k := range p.Marks {
				together = together && free(row+k, p.From)
			}
			for k := 0; together && k < p.Marks; k++ {
				p.rows = append(p.rows, row+k)
			}
		}
		for row := 0; len(p.rows) < p.Marks; row++ {
			if free(row, p.From) {
				p.rows = append(p.rows, row)
			}
		}
		for _, row := range p.rows {
			for row >= len(until) {
				until = append(until, 0)
			}
			until[row] = p.To
		}
		out.plots[i] = p
	}
	out.rows = SeasonRows(r.Places, len(until))
	return out
}

// seasonWidth is how wide a panel of so many days is, in units of the picture.
func seasonWidth(days int) float64 { return seasonDay * float64(days) }

// Panels draws the season as pictures of so many days each, with each mark in the same
// row in all. A room that is empty for all days of one has no more than a row there.
// The title and the description of each are the
// caller's, by its first day and the first day after it.
func (s Season) Panels(days int, title, description func(from, to int) string) []string {
	var rooms []shelved
	for _, r := range s.Rooms {
		rooms = append(rooms, shelve(r))
	}
	var out []string
	for from := 0; from < s.Days; from += days {
		to := min(from+days, s.Days)
		out = append(out, s.panel(rooms, from, to, days, title(from, to), description(from, to)))
	}
	return out
}

func (s Season) panel(all []shelved, from, to, days int, title, description string) string {
	var rooms []shelved
	for _, r := range all {
		if !slices.ContainsFunc(r.plots, func(p placed) bool { return p.From < to && p.To > from }) {
			r.rows, r.Places = 1, 0
		}
		rooms = append(rooms, r)
	}
	height := float64(seasonFoot)
	for _, r := range rooms {
		height += seasonHead + seasonRow*float64(r.rows)
	}
	wide := seasonWidth(days)
	p := New("season", wide, height, title, description)
	x := func(day int) float64 { return seasonDay * float64(day-from) }
	var hair, base, most Line
	var marks marks
	type lettering struct {
		class, text string
		x, y        float64
		at          Anchor
	}
	var said []lettering
	y := 0.0
	for _, r := range rooms {
		said = append(said, lettering{"figure-word", r.Name, 0, y + 16, Start})
		if holds := r.Holds(from, to); length(r.Name)+length(holds)+4*breath < wide {
			said = append(said, lettering{"said", holds, wide, y + 16, End})
		}
		top := y + seasonHead
		foot := top + seasonRow*float64(r.rows)
		if r.Places > 0 && r.Places <= r.rows {
			most.Move(0, foot-seasonRow*float64(r.Places)).Across(wide)
		}
		base.Move(0, foot).Across(wide)
		labels := r.labels(from, to)
		for _, w := range s.Weeks {
			if w.Day > from && w.Day < to {
				hair.upright(x(w.Day), top, foot, labels, from, foot)
			}
		}
		for i, plot := range r.plots {
			first, last := max(plot.From, from), min(plot.To, to)
			if first >= last {
				continue
			}
			for _, row := range plot.rows {
				at := foot - seasonRow*float64(row+1)
				day := first
				for _, l := range labels {
					if row >= l.row && row < l.row+labelRows && l.day < last && l.day+l.days > day {
						marks.row(plot.Plot, x(day), at, l.day-day)
						day = l.day + l.days
					}
				}
				marks.row(plot.Plot, x(day), at, last-day)
			}
			for _, l := range labels {
				if l.plot == i {
					said = append(said, lettering{"said", plot.Label, x(l.day) + 1, foot - seasonRow*float64(l.row) - 8, Start})
				}
			}
		}
		y = foot
	}
	var closed, drops, late Line
	for _, d := range s.Closed {
		if d >= from && d < to {
			closed.Move(x(d)+1, y+4).Across(x(d+1) - 1)
		}
	}
	for _, d := range s.Deliveries {
		if d.Day >= from && d.Day < to {
			to := &drops
			if d.Late {
				to = &late
			}
			mid := x(d.Day) + seasonDay/2
			to.Move(mid-4, y+41).Across(mid+4).Draw(mid, y+48).Close()
		}
	}
	for _, w := range s.Weeks {
		if w.Day < from || w.Day >= to {
			continue
		}
		base.Move(x(w.Day), y).Down(y + 7)
		for k, text := range []string{w.Name, w.Date, w.Sold} {
			if x(w.Day)+2+length(text) <= math.Min(wide, x(w.Day+7)) {
				said = append(said, lettering{[]string{"figure-word", "said", "said"}[k], text, x(w.Day) + 2, y + []float64{20, 34, 62}[k], Start})
			}
		}
	}
	p.Path("hair", &hair)
	p.Path("most", &most)
	p.Path("base", &base)
	marks.draw(p)
	p.Path("closed", &closed)
	p.Path("drop", &drops)
	p.Path("late", &late)
	for _, l := range said {
		p.Text(l.class, l.x, l.y, l.at, l.text)
	}
	return p.String()
}

// upright draws a line down, but not through labels.
func (l *Line) upright(x, top, foot float64, labels []seasonLabel, from int, floor float64) {
	cuts := []Box{}
	for _, label := range labels {
		at := seasonDay * float64(label.day-from)
		b := Box{at - 1, floor - seasonRow*float64(label.row+labelRows), at + seasonDay*float64(label.days), floor - seasonRow*float64(label.row)}
		if x > b.X0 && x < b.X1 {
			cuts = append(cuts, b)
		}
	}
	slices.SortFunc(cuts, func(a, b Box) int { return int(10 * (a.Y0 - b.Y0)) })
	for _, c := range cuts {
		if c.Y0 > top {
			l.Move(x, top).Down(c.Y0)
		}
		top = math.Max(top, c.Y1)
	}
	if foot > top {
		l.Move(x, top).Down(foot)
	}
}

// seasonLabel is where the label of a plot stands, in days and rows: no mark is
// drawn there.
type seasonLabel struct{ plot, day, days, row int }

// labelRows is how many rows a lettering takes.
const labelRows = 2

// labels finds a place for each name: inside the largest plot that has it, or over
// one row and a free one.
func (r shelved) labels(from, to int) []seasonLabel {
	best := map[string]seasonLabel{}
	size := map[string]int{}
	var order []string
	for i, p := range r.plots {
		first, last := max(p.From, from), min(p.To, to)
		days := int(math.Ceil((length(p.Label)+2)/seasonDay - 1e-9))
		if p.Label == "" || last-first < days+1 {
			continue
		}
		for _, row := range p.rows {
			if row+labelRows > r.rows || row < r.Places && row+labelRows > r.Places || !r.free(i, row, first, first+days) || !r.free(i, row+1, first, first+days) {
				continue
			}
			area := (last - first) * len(p.rows)
			if _, ok := best[p.Label]; !ok {
				order = append(order, p.Label)
			} else if area <= size[p.Label] {
				break
			}
			// In the middle of the rows that lie together, where there are many.
			at := row
			for k := (len(p.rows) - labelRows) / 2; k > 0; k-- {
				if at = row + k; slices.Contains(p.rows, at) && slices.Contains(p.rows, at+1) && (at >= r.Places || at+labelRows <= r.Places) {
					break
				}
				at = row
			}
			best[p.Label], size[p.Label] = seasonLabel{i, first, days, at}, area
			break
		}
	}
	var out []seasonLabel
	for _, name := range order {
		l := best[name]
		if !slices.ContainsFunc(out, func(o seasonLabel) bool {
			return l.day < o.day+o.days && o.day < l.day+l.days && l.row < o.row+labelRows && o.row < l.row+labelRows
		}) {
			out = append(out, l)
		}
	}
	// Rows are drawn from left to right.
	slices.SortStableFunc(out, func(a, b seasonLabel) int { return a.day - b.day })
	return out
}

// free reports whether a row has nothing but a plot's own marks on some days.
func (r shelved) free(plot, row, from, to int) bool {
	for i, p := range r.plots {
		if i != plot && p.From < to && p.To > from && slices.Contains(p.rows, row) {
			return false
		}
	}
	return true
}
