package draw

// marks gathers the marks by their parts. A row of them is one dashed line for all
// its bodies and one for all its necks: there are thousands, and a page has to stay
// small.
type marks struct{ body, neck, jar, lid, open, below, above, left, stripe Line }

// row draws so many marks side by side, their top left corner at x, y.
func (m *marks) row(p Plot, x, y float64, n int) {
	if n <= 0 {
		return
	}
	dashes := func(l *Line, from, wide, at float64) {
		l.Move(x+from, y+at).Across(x + from + seasonDay*float64(n-1) + wide)
	}
	if p.Jar {
		dashes(&m.jar, 1.7, 7.1, 7.4)
		dashes(&m.lid, 2.6, 5.3, 2)
	} else {
		dashes(&m.body, 1.7, 7.1, 8.1)
		dashes(&m.neck, 3.85, 2.8, 3.1)
	}
	// What is left open in it, in the color of the paper.
	switch p.Look % Looks {
	case 1:
		dashes(&m.open, 2.8, 4.9, 8.1)
	case 2:
		dashes(&m.below, 2.8, 4.9, 7)
	case 3:
		dashes(&m.left, 2.8, 2.3, 8.1)
	case 4:
		dashes(&m.stripe, 1.7, 7.1, 8.1)
	case 5:
		dashes(&m.above, 2.8, 4.9, 9.2)
	}
}

func (m *marks) draw(p *Picture) {
	for _, part := range []struct {
		class string
		line  *Line
	}{{"mark body", &m.body}, {"mark neck", &m.neck}, {"mark jar", &m.jar}, {"mark lid", &m.lid},
		{"gap open", &m.open}, {"gap below", &m.below}, {"gap left", &m.left}, {"gap stripe", &m.stripe}, {"gap above", &m.above}} {
		p.Path(part.class, part.line)
	}
}

// Key draws the marks with what each is of, side by side.
type Key struct {
	Title, Description string
	Marks              []KeyMark
}

// KeyMark is one mark of a key.
type KeyMark struct {
	Look int
	Jar  bool
	Name string
}

// String is the key as SVG, as wide as a panel of so many days.
func (k Key) String(days int) string {
	wide := seasonWidth(days)
	const line = 22
	type spot struct{ x, y float64 }
	var at []spot
	x, y := 0.0, 0.0
	for _, m := range k.Marks {
		w := seasonDay + 5 + length(m.Name) + 14
		if x > 0 && x+w-14 > wide {
			x, y = 0, y+line
		}
		at = append(at, spot{x, y})
		x += w
	}
	p := New("season key", wide, y+line, k.Title, k.Description)
	var all marks
	for i, m := range k.Marks {
		all.row(Plot{Look: m.Look, Jar: m.Jar}, at[i].x, at[i].y+3, 1)
	}
	all.draw(p)
	for i, m := range k.Marks {
		p.Text("said", at[i].x+seasonDay+5, at[i].y+14, Start, m.Name)
	}
	return p.String()
}
