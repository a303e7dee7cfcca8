package procedure

// hazard is something that hurts. Its full text, safety.<name>, stands at each
// step where it can happen; its one line, hazard.<name>, stands up front and at
// later steps of the same station.
type hazard struct {
	name   string
	signal Signal
}

// hazards lists them all, the worst first, in the order in which they stand up
// front. Which signal word belongs to which: ANSI Z535.6, by the worst credible
// outcome and how likely it is.
var hazards = []hazard{
	{"vessel", Danger},
	{"pressure", Danger},
	{"opening", Danger},
	{"machine", Danger},

	{"hot-load", Warning},
	{"steam", Warning},
	{"boil", Warning},
	{"seed", Warning},
	{"dry-run", Warning},
	{"unattended", Warning},
	{"sealed", Warning},
	{"wet-electrics", Warning},
	{"alcohol", Warning},
	{"lime", Warning},
	{"alkali", Warning},
	{"drill", Warning},
	{"co2", Warning},
	{"spores", Warning},
	{"mold", Warning},
	{"soy-wheat", Warning},
	{"soy-gluten", Warning},
	{"soy", Warning},
	{"wheat", Warning},
	{"gluten", Warning},
	{"airtight", Warning},

	{"dust", Caution},
	{"lift", Caution},
	{"crate", Caution},
	{"noise", Caution},
	{"heat", Caution},
	{"glass", Caution},
	{"scald", Caution},
	{"floor", Caution},
	{"knife", Caution},
	{"food", Caution},

	{"manual", Notice},
	{"altitude", Notice},
	{"barometer", Notice},
	{"air", Notice},
	{"run", Notice},
	{"hole", Notice},
	{"law", Notice},
}
