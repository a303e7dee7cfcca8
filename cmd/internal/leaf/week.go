package leaf

import (
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// weekPage is what a worker sees on Monday morning: each day of the week with what
// is done of which batch.
type weekPage struct {
	frame
	Lead          string
	Past          string // which days were over when the plan was made
	Before, After *link
	Season        link
	Days          []weekDay // from Monday on
	Sheets        []weekSheet
	Hours         []weekHours
}

// weekSheet is what somebody has to have at hand for a batch that is mixed in the
// week: its sheet or, where the book has none of that size, how to get it.
type weekSheet struct{ Batch, For, Href, Command string }

// weekDay is one day. A day without rows says why.
type weekDay struct {
	Name    string
	Time    string // of all hands
	Rows    []weekRow
	Nothing string
}

// weekRow is what one role does of one batch on one day, or a delivery.
type weekRow struct {
	Role       string
	Again      bool // the row above has the same role
	What, Href string
	Batches    []string // codes
	Vessels    string
	Steps      string
	Place      string // where it is done
	Time       string
	Notes      []string
	Delivered  bool
}

// weekHours is how long a role is at work in the week.
type weekHours struct{ Role, Time string }

// stint is what one role does of one cohort on one day.
type stint struct {
	batch, cohort int
	role          work.Role
	tasks         []calendar.Task
	takes         unit.Duration
}

// stints puts the tasks of a day together by role, batch and cohort: nobody reads
// fourteen lines for one morning at the mixer.
func (s Season) stints(d calendar.Date) []stint {
	var out []stint
	for _, t := range s.On(d) {
		i := slices.IndexFunc(out, func(x stint) bool { return x.batch == t.Batch && x.cohort == t.Cohort && x.role == t.Role })
		if i < 0 {
			i = len(out)
			out = append(out, stint{batch: t.Batch, cohort: t.Cohort, role: t.Role})
		}
		out[i].tasks = append(out[i].tasks, t.Task)
		out[i].takes += t.Takes
	}
	return out
}

// tellers tells each batch of a season once.
type tellers struct {
	Season
	of map[int]Telling
}

func (t tellers) tell(batch int) Telling {
	told, ok := t.of[batch]
	if !ok {
		b := t.Batches[batch]
		told = Tell(b.Batch, b.Plan, t.Today)
		t.of[batch] = told
	}
	return told
}

// Weeks sets the page of each week of a season, by its path.
func Weeks(e Edition, s Season, recipes []Recipe) (map[string][]byte, error) {
	told := tellers{s, map[int]Telling{}}
	out := map[string][]byte{}
	mondays := s.Mondays()
	for i, monday := range mondays {
		id := monday.WeekName()
		page := weekPage{
			frame:  e.frame(WeekPath(monday), "week", e.say("book.week.title", "week", id), e.say("book.week.id", "week", id), ""),
			Lead:   e.say("book.week.lead", "from", monday.String(), "to", (monday + 6).String()),
			Season: link{"../" + SeasonPath, e.say("book.season")},
		}
		if s.Today != nil && monday < *s.Today {
			page.Past = e.say("book.week.past", "today", s.Today.String())
		}
		if i > 0 {
			page.Before = e.weekLink(mondays[i-1])
		}
		if i+1 < len(mondays) {
			page.After = e.weekLink(mondays[i+1])
		}
		hours := map[work.Role]unit.Duration{}
		for d := monday; d < monday+7; d++ {
			page.Days = append(page.Days, e.weekDay(told, recipes, d, hours))
		}
		page.Sheets = e.weekSheets(s, recipes, monday)
		for _, r := range work.Roles() {
			if hours[r] > 0 {
				page.Hours = append(page.Hours, weekHours{e.say("role." + string(r)), e.worked(hours[r])})
			}
		}
		data, err := e.html("week", page)
		if err != nil {
			return nil, err
		}
		out[WeekPath(monday)] = data
	}
	return out, nil
}

// weekLink leads from one week to another.
func (e Edition) weekLink(monday calendar.Date) *link {
	return &link{strings.TrimPrefix(WeekPath(monday), "weeks/"),
		e.say("book.week.of", "week", monday.WeekName(), "from", monday.String(), "to", (monday + 6).String())}
}

// worked is a time of work: to the minute up to an hour, above it to five.
func (e Edition) worked(d unit.Duration) string {
	if d < unit.Hour {
		return e.show(HandsOn(d))
	}
	return e.Voice.Say(clock(d))
}

// weekSheets lists the sheets of the batches that are mixed in a week.
func (e Edition) weekSheets(s Season, recipes []Recipe, monday calendar.Date) []weekSheet {
	var out []weekSheet
	for _, b := range s.Batches {
		if !slices.ContainsFunc(b.Plan.Cohorts, func(c calendar.Cohort) bool { return season.Monday(c.Mixing) == monday }) {
			continue
		}
		pr := b.Batch.Process.Input.Protocol
		x := weekSheet{Batch: b.Code, For: e.say("book.week.sheet.for", "title", pr.Title, "n", b.Batch.Vessels, "vessels", b.Batch.Process.Vessel.Called(b.Batch.Vessels))}
		if hasSheet(recipes, b) {
			x.Href = "../" + SheetPath(pr.Name, b.Batch.Vessels)
		} else {
			x.Command = e.say("book.week.sheet.command", "protocol", pr.Name, "n", b.Batch.Vessels)
		}
		out = append(out, x)
	}
	return out
}

// hasSheet reports whether the book has a sheet of a batch's own size.
func hasSheet(recipes []Recipe, b season.Batch) bool {
	return slices.ContainsFunc(recipes, func(r Recipe) bool {
		return r.Method.Protocol == b.Batch.Process.Input.Protocol.Name &&
			slices.ContainsFunc(r.Batches, func(have *batch.Batch) bool { return have.Vessels == b.Batch.Vessels })
	})
}

// taskHref leads to a step: on the sheet of the batch's own size where the book has
// it, else on the page of its protocol, which lists the sheets.
func (e Edition) taskHref(recipes []Recipe, b season.Batch, step int) string {
	pr := b.Batch.Process.Input.Protocol
	for _, r := range recipes {
		if r.Method.Protocol != pr.Name {
			continue
		}
		if step == 0 && r.Process.Grain != nil {
			return "../" + GrainPath(pr.Name)
		}
		if step > 0 && hasSheet(recipes, b) {
			return "../" + SheetPath(pr.Name, b.Batch.Vessels) + "#step-" + strconv.Itoa(step)
		}
		return "../" + ProtocolPath(pr.Name)
	}
	return ""
}

// FarmPage is the season as the home page and the search list it. It is found by its
// weeks too.
func (s Season) FarmPage(e Edition) FarmPage {
	first, last := s.bounds()
	known := []string{e.say("book.season.known")}
	for _, d := range s.Mondays() {
		known = append(known, d.WeekName())
	}
	return FarmPage{Path: SeasonPath, Title: e.say("book.season"), Today: "book.season.today",
		For:   words.Message("book.season.holds", "from", first.String(), "to", last.String()),
		Known: strings.Join(known, " ")}
}
