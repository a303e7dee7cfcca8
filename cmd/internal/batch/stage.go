package batch

import (
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/sterilizer"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// Run is one load on its way from the mixer through the sterilizer. Its times
// count from the start of its day, when weighing begins.
type Run struct {
	Load    int             // its number
	Day     int             // of the batch, from 1
	First   int             // number of its first mix in the batch; its others follow
	Water   []unit.Duration // when water goes into each of its mixes
	Filled  unit.Duration   // when its last vessel is closed, and loading begins
	Steam   unit.Duration   // when the heat goes on
	SteamBy unit.Duration   // when it must be on, or the first of its mixes has waited too long
	Free    unit.Duration   // when all of it stands in clean air, and the sterilizer is free
}

// mostTimed is how many mixes and loads of one day are entered as quantities
// with their working. A day of a shift never has so many; a batch of a million
// vessels without a shift has, and nobody reads on.
const mostTimed = 100

// stage brings mixes, loads and days together.
func (b *Batch) stage() {
	b.cover()
	b.line()
	b.days()
	if b.Ledger.Err() == nil {
		b.timetable()
	}
}

// cover works out whether the mixes of a load, all equal, fill the largest.
func (b *Batch) cover() {
	l := b.Ledger
	l.Derive("load_cover", unit.None, sterilizer.Cover, working.Bind("T", l.Get("wet_total")),
		working.Bind("loads", l.Get("loads")), working.Bind("v", l.Get("largest_load")), working.Bind("M", l.Get("fill_mass")))
	l.Derive("load_mixes", unit.CountOf, work.MixesOfLoad, working.Bind("k", l.Get("mixes")), working.Bind("n", l.Get("loads")))
	l.Derive("vessels_each", unit.None, work.Each, working.Bind("v", l.Get("largest_load")), working.Bind("h", l.Get("shift_people")))
}

// loadTime is the hands-on time of a step for the largest load.
func (b *Batch) loadTime(s process.Step) *working.Quantity {
	l := b.Ledger
	if s.Own {
		law, in := b.Process.OwnTime(s)
		if slices.Contains(law.Symbols(), "n") {
			in = append(in, working.Bind("n", l.Get("vessels_each")))
		}
		return l.DeriveOf("load_own", s.Subject(), unit.TimeOf, law, in...)
	}
	law := work.HandsOn(s.ID)
	of := map[string]string{"n": "vessels_each", "mixes": "load_mixes", "loads": "one_load"}
	var in []working.Input
	for _, symbol := range law.Symbols() {
		in = append(in, working.Bind(symbol, l.Get(of[symbol])))
	}
	return l.Derive("load_"+strings.ReplaceAll(string(s.ID), "-", "_"), unit.TimeOf, law, in...)
}

// together is the time of one step or, under a name, of several.
func (b *Batch) together(name string, steps []*working.Quantity) *working.Quantity {
	if len(steps) == 1 {
		return steps[0]
	}
	return b.Ledger.Sum(name, unit.TimeOf, steps...)
}

// line works out how long one load keeps the mixer and the filling bench, and
// the sterilizer before the heat and after the pressure is off. A farm's own
// step counts where it stands: before the mixer nothing is wet yet, and while
// the run is on nothing waits for it.
func (b *Batch) line() {
	l := b.Ledger
	var dry, wet, loading, clearing []*working.Quantity
	mixed, hot, off := false, false, false
	for _, s := range b.Process.Steps() {
		mixed = mixed || s.ID == work.MixSubstrate
		hot = hot || s.ID == work.Vent
		switch {
		case s.Station == work.Sterilizing && (s.Own || s.ID == work.LoadVessels) && !hot:
			loading = append(loading, b.loadTime(s))
		case s.Station == work.Sterilizing && (s.Own || s.ID == work.Unload) && off:
			clearing = append(clearing, b.loadTime(s))
		case s.Station != work.Mixing && s.Station != work.Filling:
		case mixed:
			wet = append(wet, b.loadTime(s))
		default:
			dry = append(dry, b.loadTime(s))
		}
		if s.ID == work.PressureOff {
			off = true
			b.loadTime(s)
		}
	}
	water := l.Derive("first_water", unit.TimeOf, work.FirstWater, working.Bind("t", b.together("load_dry", dry)))
	making := l.Sum("load_making", unit.TimeOf, wet...)
	l.Derive("mix_every", unit.TimeOf, work.MixEvery, working.Bind("t", making), working.Bind("k", l.Get("load_mixes")))
	l.Derive("line_time", unit.TimeOf, work.OnTheLine, working.Bind("w", water), working.Bind("t", making))
	load := b.together("load_loading", loading)
	l.Derive("mix_to_steam", unit.TimeOf, work.MixToSteam, working.Bind("t", making), working.Bind("t_load", load))
	b.chamber(load, b.together("load_clearing", clearing))
}

// chamber works out how long one load keeps the sterilizer.
func (b *Batch) chamber(load, clear *working.Quantity) {
	l := b.Ledger
	l.Derive("load_cycle", unit.TimeOf, work.LoadCycle,
		working.Bind("t_load", load), working.Bind("t_run", l.Get("run_time")),
		working.Bind("t_fall", l.Get("pressure_fall")), working.Bind("t_open", l.Get("load_pressure_off")),
		working.Bind("t_lid", l.Get("lid_cracked")), working.Bind("t_out", clear))
}

// days works out how many loads a day takes, and so how many days there are.
func (b *Batch) days() {
	l := b.Ledger
	n, a, c := l.Get("loads"), l.Get("line_time"), l.Get("load_cycle")
	every := l.Derive("load_every", unit.TimeOf, work.LoadEvery, working.Bind("c", c), working.Bind("a", a))
	l.Derive("shift_needed", unit.TimeOf, work.ShiftNeeded, working.Bind("a", a), working.Bind("c", c))
	var m *working.Quantity
	if s := l.Get("shift_length"); s != nil {
		m = l.Derive("loads_a_day", unit.CountOf, work.LoadsADay, working.Bind("n", n), working.Bind("s", s),
			working.Bind("a", a), working.Bind("c", c), working.Bind("e", every))
	} else {
		m = l.Derive("loads_a_day", unit.CountOf, work.AllInOne, working.Bind("n", n))
	}
	l.Derive("days_needed", unit.CountOf, work.Days, working.Bind("n", n), working.Bind("m", m))
	l.Derive("day_length", unit.TimeOf, work.DayLength, working.Bind("a", a), working.Bind("m", m),
		working.Bind("e", every), working.Bind("c", c))
}

// timetable gives each load its day, and its mixes their times. Every day is
// like the first: the last one may have fewer loads.
func (b *Batch) timetable() {
	l := b.Ledger
	mixes, aDay := int(b.Value("load_mixes")), int(b.Value("loads_a_day"))
	day := make([]Run, 0, aDay)
	var first *working.Quantity
	for slot := range aDay {
		run := Run{Water: make([]unit.Duration, mixes)}
		var at, by *working.Quantity
		for j := range mixes {
			switch {
			case j > 0:
				at = b.timed("mix_at", slot*mixes+j, at, "mix_every")
			case slot > 0:
				first = b.timed("mix_at", slot*mixes, first, "load_every")
				at = first
			default:
				first = b.timed("mix_at", 0, l.Get("first_water"), "")
				at = first
			}
			run.Water[j] = unit.Duration(at.Value)
		}
		by = b.timed("steam_by", slot, first, "mix_wait_most")
		run.SteamBy = unit.Duration(by.Value)
		run.Filled = run.Water[0] + unit.Duration(b.Value("load_making"))
		run.Steam = run.Water[0] + unit.Duration(b.Value("mix_to_steam"))
		run.Free = run.Filled + unit.Duration(b.Value("load_cycle"))
		day = append(day, run)
	}
	b.Runs = make([]Run, len(b.Loads))
	for i, load := range b.Loads {
		run := day[i%aDay]
		run.Load, run.Day, run.First = load.Number, i/aDay+1, i*mixes+1
		b.Runs[i] = run
	}
}

// timed is a time of the day, for the i-th of a day's mixes or loads: so much
// after another. Of the first mostTimed it is entered in the ledger.
func (b *Batch) timed(name string, i int, after *working.Quantity, by string) *working.Quantity {
	if i >= mostTimed {
		return &working.Quantity{Kind: unit.TimeOf, Value: after.Value + b.Value(by)}
	}
	of := strconv.Itoa(i + 1)
	if by == "" {
		return b.Ledger.DeriveOf(name, of, unit.TimeOf, work.Start, working.Bind("t", after))
	}
	return b.Ledger.DeriveOf(name, of, unit.TimeOf, work.After, working.Bind("t", after), working.Bind("dt", b.Ledger.Get(by)))
}
