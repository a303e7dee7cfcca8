package leaf

import (
	"slices"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/words"
)

// A wall card is one page, and its letters never get smaller. What is too much is
// left to the sheet. Of the cards that can be made of a station, the first that
// fits is taken, in this order:
//
//  1. All steps with their figures; then the same with steps named only that are
//     not critical and have no figures. Either first with all its pictures, then
//     with fewer, the last going first.
//  2. The same without a picture, where the station has no critical step: there
//     the figures are worth more.
//  3. More and more of the steps that are not critical named only, those with the
//     fewest figures first.
//  4. The critical steps alone with a picture, and one line for each run of others:
//     "Steps 3 to 5: on the sheet".
//  5. Without a picture: all steps, those that are not critical named only; at last
//     with one line for each run of them.
//  6. What does not fit even so is tried anew without the code that leads to the book.
//  7. In large type, all of it anew in usual letters, which are read at arm's length too:
//     better than to leave a caution to the sheet.
//  8. In a language of long words, without the hazards that are a notice, then without
//     those that are a caution: the card says that all of them are on the sheet.
//
// Whether it fits, on the farm's paper, is reckoned in wallcard_fit.go. A browser
// test holds every card of the demo farm to its page.

// fit shortens a card as far as it has to be, or prints it larger where there is
// room. What is too long for the last of the rules stays so.
func (e Edition) fit(c *wallCard) {
	steps, pictures, code := c.Steps, c.Pictures, c.ToBook
	e.shorten(c)
	if c.ToBook != nil && !e.fits(*c, 1) {
		c.ToBook, c.Steps, c.Pictures = nil, steps, pictures
		e.shorten(c)
	}
	if e.Farm.LargeType && !e.fits(*c, 1) {
		c.UsualType, c.ToBook, c.Steps, c.Pictures = true, code, steps, pictures
		e.Farm.LargeType = false
		e.fit(c)
		return
	}
	for _, least := range []procedure.Signal{procedure.Notice, procedure.Caution} {
		if e.fits(*c, 1) {
			break
		}
		c.Hazards = slices.DeleteFunc(slices.Clone(c.Hazards), func(g hazardGroup) bool { return g.Signal == least })
		c.Steps, c.Pictures = steps, pictures
		e.shorten(c)
	}
	for i, large := range wallLarge {
		if i == 0 || e.fits(*c, large) {
			c.Large = i + 1
		}
	}
}

func (e Edition) shorten(c *wallCard) {
	critical := slices.ContainsFunc(c.Steps, func(s wallStep) bool { return s.Critical })
	all, pictures := c.Steps, c.Pictures
	try := func(steps []wallStep, most, fewest int) bool {
		for n := most; n >= fewest; n-- {
			c.Steps, c.Pictures = steps, pictures[:n]
			c.Short = slices.ContainsFunc(steps, func(s wallStep) bool { return s.bare && s.Rest.ID == "" })
			if e.fits(*c, 1) {
				return true
			}
		}
		return false
	}
	least := min(1, len(pictures))
	order := e.byFigures(all)
	figureless := 0
	for figureless < len(order) && e.figuresOf(all[order[figureless]]) == 0 {
		figureless++
	}
	if try(all, len(pictures), least) || try(named(all, order[:figureless]), len(pictures), least) {
		return
	}
	if !critical {
		if try(all, 0, 0) || try(named(all, order[:figureless]), 0, 0) {
			return
		}
		pictures, least = nil, 0
	}
	for n := figureless + 1; n <= len(order); n++ {
		if try(named(all, order[:n]), len(pictures), least) {
			return
		}
	}
	if try(leftToSheet(all), len(pictures), 1) || try(named(all, order), 0, 0) {
		return
	}
	_ = try(leftToSheet(all), 0, 0)
}

// byFigures are the places of the steps that are not critical, those with the
// fewest figures first.
func (e Edition) byFigures(steps []wallStep) []int {
	var out []int
	for i, s := range steps {
		if !s.Critical {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return e.figuresOf(steps[a]) - e.figuresOf(steps[b]) })
	return out
}

// figuresOf is how many figures a step has on a card.
func (e Edition) figuresOf(s wallStep) int { return len(s.Amounts) + len(amountsOf(e.Voice, s.Limit)) }

// named are the steps, of some no more than their names.
func named(steps []wallStep, only []int) []wallStep {
	out := slices.Clone(steps)
	for _, i := range only {
		out[i] = wallStep{Number: steps[i].Number, Title: steps[i].Title, bare: true}
	}
	return out
}

// leftToSheet are the critical steps, with one line for each run of others.
func leftToSheet(steps []wallStep) []wallStep {
	var out []wallStep
	for i := 0; i < len(steps); i++ {
		if steps[i].Critical {
			out = append(out, steps[i])
			continue
		}
		from := steps[i].Number
		for i+1 < len(steps) && !steps[i+1].Critical {
			i++
		}
		rest := words.Message("book.wall.rest", "from", from, "to", steps[i].Number)
		if steps[i].Number == from {
			rest = words.Message("book.wall.rest.one", "n", from)
		}
		out = append(out, wallStep{Number: from, Rest: rest, bare: true})
	}
	return out
}
