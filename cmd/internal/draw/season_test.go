package draw

import (
	"fmt"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
)

// plots are up to n plots of a room, over so many days.
func plots(rt *rapid.T, n, days int, labels []string) []Plot {
	var out []Plot
	for i := range rapid.IntRange(0, n).Draw(rt, "plots") {
		from := rapid.IntRange(0, days-1).Draw(rt, "from")
		look := rapid.IntRange(0, 2*Looks).Draw(rt, "look")
		out = append(out, Plot{Marks: rapid.IntRange(1, 6).Draw(rt, "marks"), From: from, To: rapid.IntRange(from+1, days+3).Draw(rt, "to"),
			Look: look, Jar: i%3 == 0, Label: labels[look%len(labels)]})
	}
	return out
}

// peak is the most marks on one day, counted day by day.
func peak(list []Plot, days int) int {
	most := 0
	for d := range days {
		n := 0
		for _, p := range list {
			if p.From <= d && d < p.To {
				n += p.Marks
			}
		}
		most = max(most, n)
	}
	return most
}

// Each mark has a place of its own on each of its days, the same from first to last,
// and no room is drawn with more places than it has, unless more stand there.
func TestShelving(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		list := plots(rt, 24, 60, []string{""})
		r := Room{Places: rapid.IntRange(0, 30).Draw(rt, "places"), Plots: list}
		got := shelve(r)
		require.Len(rt, got.plots, len(list))
		taken := map[[2]int]bool{}
		used := 0
		for i, p := range got.plots {
			assert.Equal(rt, list[i], p.Plot)
			assert.Len(rt, p.rows, p.Marks)
			for _, row := range p.rows {
				used = max(used, row+1)
				for d := p.From; d < p.To; d++ {
					require.False(rt, taken[[2]int{row, d}], "row %d is taken twice on day %d", row, d)
					taken[[2]int{row, d}] = true
				}
			}
		}
		most := peak(list, 70)
		assert.LessOrEqual(rt, used, max(r.Places, most))
		assert.LessOrEqual(rt, got.rows, max(r.Places, most+spareRows))
		assert.GreaterOrEqual(rt, got.rows, used)
	})
}

var bodies = regexp.MustCompile(`<path class="mark (?:body|jar)" d="([^"]*)"/>`)
var dashed = regexp.MustCompile(`M([0-9.-]+) [0-9.-]+H([0-9.-]+)`)

// drawn counts the marks of a picture: those of a row are one dashed line.
func drawn(t require.TestingT, svg string) int {
	n := 0
	for _, path := range bodies.FindAllStringSubmatch(svg, -1) {
		for _, l := range dashed.FindAllStringSubmatch(path[1], -1) {
			from, err := strconv.ParseFloat(l[1], 64)
			require.NoError(t, err)
			to, err := strconv.ParseFloat(l[2], 64)
			require.NoError(t, err)
			n += int((to-from-7.1)/seasonDay+0.5) + 1
		}
	}
	return n
}

// Every mark of every day is drawn once, in the panel of its day; nothing of a picture
// lies over its lettering, or outside.
func TestSeasonPanels(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		days := rapid.IntRange(1, 80).Draw(rt, "days")
		named := rapid.Bool().Draw(rt, "named")
		labels := []string{""}
		if named {
			labels = []string{"Enoki", "Lion's mane", "King oyster, bottle"}
		}
		s := Season{Days: days}
		want := 0
		for i := range rapid.IntRange(1, 4).Draw(rt, "rooms") {
			r := Room{Name: fmt.Sprint("Room ", i), Holds: func(from, to int) string { return fmt.Sprint(to-from, " days") },
				Places: rapid.IntRange(0, 12).Draw(rt, "places"), Plots: plots(rt, 8, days, labels)}
			s.Rooms = append(s.Rooms, r)
			for _, p := range r.Plots {
				want += p.Marks * (min(p.To, days) - p.From)
			}
		}
		for d := 0; d < days; d += 7 {
			s.Weeks = append(s.Weeks, Week{d, "W50", "12-07", "1234.5 kg"})
			s.Closed = append(s.Closed, d)
			s.Deliveries = append(s.Deliveries, Drop{d, d%2 == 0})
		}
		got := s.Panels(35, func(from, to int) string { return fmt.Sprint("from ", from) }, func(from, to int) string { return fmt.Sprint("to ", to) })
		require.Len(rt, got, (days+34)/35)
		n := 0
		for _, svg := range got {
			require.Empty(rt, checks.Drawing(svg, size), svg)
			n += drawn(rt, svg)
		}
		if named {
			assert.LessOrEqual(rt, n, want)
		} else {
			assert.Equal(rt, want, n)
		}
	})
}

// A name stands once in a room of a panel, at marks of its own.
func TestSeasonLabels(t *testing.T) {
	r := shelve(Room{Places: 8, Plots: []Plot{
		{Marks: 4, From: 0, To: 20, Label: "Enoki"}, {Marks: 2, From: 3, To: 30, Label: "Oyster"}, {Marks: 2, From: 21, To: 24, Label: "Enoki"},
	}})
	got := r.labels(0, 35)
	require.Len(t, got, 2)
	assert.Equal(t, seasonLabel{0, 0, 4, 1}, got[0], "in the middle of its four rows")
	assert.Equal(t, seasonLabel{1, 3, 5, 4}, got[1])
	assert.Empty(t, r.labels(21, 24), "three days are too few for a name")
}

func TestKeyAndCirculationHaveNoFaults(t *testing.T) {
	var k Key
	k.Title, k.Description = "The marks", "One for each protocol."
	for i := range 2 * Looks {
		k.Marks = append(k.Marks, KeyMark{i, i >= Looks, fmt.Sprint("King oyster ", i)})
	}
	assert.Empty(t, checks.Drawing(k.String(35), size))

	for _, owned := range []float64{0, 500, 900} {
		c := Circulation{Title: "Bottles", Description: "in use", Name: "850 mL bottle", Holds: "900 on the farm", Owned: owned,
			AtPeak: Label{"700 out", "600 filled, 100 dirty"}, Peak: 69}
		for d := range 70 {
			c.InUse, c.Dirty = append(c.InUse, float64(10*(d%70))), append(c.Dirty, float64(d%13))
		}
		for d := 4; d < 70; d += 7 {
			c.Weeks = append(c.Weeks, Week{Day: d, Name: "W50", Date: "12-07"})
		}
		assert.Empty(t, checks.Drawing(c.String(), size), owned)
		c.Peak = 0
		assert.Empty(t, checks.Drawing(c.String(), size), owned)
	}
	assert.Panics(t, func() { _ = Circulation{}.String() })
}
