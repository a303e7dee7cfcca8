package calendar

// Rule is what becomes of a task that is due on a day on which nobody works.
type Rule int

// The rules.
const (
	// Waits is of what bears to wait: it goes to the next working day.
	Waits Rule = iota

	// Ahead is of what does not wait but may be done sooner: it goes to the last
	// working day before. Where that is too soon, somebody comes on the closed day.
	Ahead

	// Stays is of a ripe crop. It is picked on its day, closed or not.
	Stays
)

// Anchor is what the days of a task are counted from.
type Anchor int

// The anchors.
const (
	FromStart         Anchor = iota // the first mix of the batch
	FromMixing                      // the mixes of its cohort
	FromSpawning                    // the spawn goes into its cohort
	FromOpening                     // its cohort is opened
	FromHarvest                     // its cohort is picked
	FromEmptying                    // its vessels are emptied
	FromCohort                      // the mixes of the cohort before
	FromFirstSpawning               // the spawn goes into the first cohort
	FromNextJars                    // the jars of the next generation of spawn are inoculated
	FromJars                        // its own jars are
)

// Placed is a day with where it comes from.
type Placed struct {
	From     Anchor
	Days     int // after that, or before it where negative
	Due      Date
	Date     Date // Due, or where the rule has moved it
	Rule     Rule
	Bears    int  // days that it bears to be moved, Any for as many as it takes
	Over     int  // days that it waits beyond that
	Closed   bool // nobody works on its Date: somebody has to come
	FirstDay Date // the first and the last day that it may fall on by nature: of
	FinalDay Date // a harvest; elsewhere both are Date
}

// Any is a wait without an end.
const Any = 1 << 30

// place puts a task that is due so many days after another on its day.
func (w Workdays) place(from Anchor, at Date, days int, rule Rule, bears int) Placed {
	due := at + Date(days)
	p := Placed{From: from, Days: days, Due: due, Date: due, Rule: rule, Bears: bears}
	switch rule {
	case Waits:
		p.Date = w.Next(due)
		p.Over = max(0, int(p.Date-due)-bears)
	case Ahead:
		if d := w.Previous(due); int(due-d) <= bears {
			p.Date = d
		}
	case Stays:
	}
	p.Closed = !w.Open(p.Date)
	p.FirstDay, p.FinalDay = p.Date, p.Date
	return p
}

// How long a task bears to wait, in days: common practice, no source.
const (
	openingBears  = 3 // white vessels that stand closed
	lookBears     = 3 // a round of looking for bad ones
	ripeningBears = 3 // the day on which white ones are written down
	washingBears  = 7 // emptied vessels, before what is left in them sets
)
