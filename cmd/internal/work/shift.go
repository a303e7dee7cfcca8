package work

import (
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// How long a wet mix may wait: from the first water to the heat of its load,
// before it sours. Common practice, no source.
const (
	MixWaits     = 4 * unit.Hour
	MixWaitsWarm = 2 * unit.Hour // in air above WarmAir
	WarmAir      = 298.15        // K, 25 °C
)

// What a load takes after its hold beside the hands-on time.
const (
	// PressureFall is how long the gauge of a chamber takes to fall to zero by
	// itself: common practice, no source. A large, full one takes longer.
	PressureFall = 30 * unit.Minute
	// LidCracked is how long the lid stays cracked before it is opened (Iowa
	// State biosafety manual).
	LidCracked = 10 * unit.Minute
)

const (
	timetable = "definition"
	inFives   = "the definition, raised to whole steps of 5 min: no plan by hand is finer (design choice)"
)

// MixWait is how long a wet mix may wait in air of T kelvins.
var MixWait = working.NewLaw("mix_wait(T)", "4 h, and 2 h in air above 25 °C: common practice, no source",
	map[string]working.Function{"mix_wait": func(a ...float64) (float64, error) {
		// A hair for the last bits of a temperature that was written in °F.
		if a[0] > WarmAir+1e-6 {
			return MixWaitsWarm, nil
		}
		return MixWaits, nil
	}})

// The laws of a timetable at the mixer and the sterilizer. All loads of a batch
// are planned with the time that the largest takes; they differ by one vessel
// at most. One crew mixes and fills, and cares for one load after the other; one
// sterilizer takes one load after the other, with somebody beside it. The crew
// begins each load as late as it can: then a mix is wet no longer than it must
// be, and its vessels are ready when the sterilizer is.
var (
	// Each is v vessels shared out to h people who work side by side.
	Each = working.NewLaw("v / h", timetable, nil)

	// MixesOfLoad is how many of the k equal mixes one of n loads gets.
	MixesOfLoad = working.NewLaw("k / n", timetable, nil)

	// FirstWater is when water goes into the first mix of a day, after t seconds
	// of weighing.
	FirstWater = working.NewLaw("300 * ceil(t / 300)", inFives, nil)

	// MixEvery is the time from one mix of a load to the next: its k mixes are
	// made and their vessels filled in t seconds.
	MixEvery = working.NewLaw("t / k", timetable, nil)

	// OnTheLine is how long one load keeps the mixer and the filling bench: from
	// the scale to water in w seconds, and t until its last vessel is closed.
	OnTheLine = working.NewLaw("w + t", timetable, nil)

	// MixToSteam is how long a mix is wet before the heat is on: its vessels are
	// filled after t seconds and stand in the sterilizer after t_load more.
	MixToSteam = working.NewLaw("t + t_load", timetable, nil)

	// LoadCycle is how long one load keeps the sterilizer: t_load to load it, t_run
	// for the run, t_fall until the gauge is at zero, t_open of work at the lid,
	// t_lid with the lid cracked, and t_out until all stand in clean air.
	LoadCycle = working.NewLaw("t_load + t_run + t_fall + t_open + t_lid + t_out", timetable, nil)

	// LoadEvery is the time from one load of a day to the next: what takes
	// longer, the sterilizer with c or the mixer and the bench with a, sets the
	// pace.
	LoadEvery = working.NewLaw("300 * ceil(max(c, a) / 300)", inFives, nil)

	// ShiftNeeded is how long a day with one load is, with a on the line and c in the
	// sterilizer: from the first scale to the last vessel in clean air. All of it is
	// attended. A run is not left alone; and a load that is left to cool in the closed
	// chamber draws in unfiltered air.
	ShiftNeeded = working.NewLaw("a + c", timetable, nil)

	// LoadsADay is how many of n loads are done in a shift of s seconds, of which
	// one load takes a on the line and c in the sterilizer, the next one e later.
	// It is 1 where not even one fits: a limit refuses that.
	LoadsADay = working.NewLaw("min(n, max(1, 1 + floor((s - a - c) / e)))", timetable, nil)

	// AllInOne is how many of n loads are done in a day without an end: all.
	AllInOne = working.NewLaw("n", "no shift is given, so that all loads follow each other", nil)

	// Days is how many days n loads take at m a day.
	Days = working.NewLaw("ceil(n / m)", timetable, nil)

	// DayLength is how long a day of m loads is: a, c and e as in LoadsADay.
	DayLength = working.NewLaw("a + (m - 1) * e + c", timetable, nil)

	// Start is the time t of the first thing of a day.
	Start = working.NewLaw("t", timetable, nil)

	// After is a time t of the day and dt seconds.
	After = working.NewLaw("t + dt", timetable, nil)
)
