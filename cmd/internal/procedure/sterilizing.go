package procedure

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/work"
)

var sterilizing = []draft{
	{
		id:      work.LoadVessels,
		when:    []line{{"when.staged", staged}},
		amounts: loads,
		safety:  []line{{"vessel", nil}, {"sealed", nil}, {"lift", not(heavyCrate)}, {"crate", heavyCrate}, {"noise", loud(work.Sterilizing)}, {"glass", glass}, {"manual", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", controls}, {"do.4", reusable}, {"do.4.bag", bag}, {"do.5", nil}, {"do.6", nil},
			{"do.7", both(partLoad, reusable)}, {"do.7.water", both(partLoad, reusable)}, {"do.8", partLoad}, {"do.9", both(severalLoads, not(staged))}, {"do.9.staged", staged},
			{"do.10", nil}, {"do.11", severalMixes},
		},
		why: []line{{"why.controls", controls}},
	},
	{
		id: work.Vent, critical: true,
		safety: []line{{"steam", nil}, {"dry-run", nil}, {"unattended", nil}, {"noise", loud(work.Sterilizing)}, {"heat", hot}, {"air", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil}, {"do.7", nil},
		},
	},
	{
		id: work.Sterilize, critical: true,
		time:   running,
		safety: []line{{"pressure", nil}, {"unattended", nil}, {"altitude", not(barometer)}, {"barometer", barometer}, {"run", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil}, {"do.7", nil},
			{"do.8", both(severalLoads, not(staged))}, {"do.8.staged", staged},
		},
		limit: []line{{"limit.barometer", barometer}},
		off:   []line{{"off.tight", tight}},
	},
	{
		id:     work.PressureOff,
		safety: []line{{"steam", nil}, {"hot-load", nil}},
		do:     []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}},
		wrong:  []line{{"wrong.bag", bag}},
	},
	{
		id:     work.Unload,
		safety: []line{{"opening", nil}, {"hot-load", nil}, {"lift", not(heavyCrate)}, {"crate", heavyCrate}, {"heat", hot}, {"glass", glass}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil}, {"do.7", nil}, {"do.8", nil},
			{"do.9", reusable}, {"do.9.bag", bag}, {"do.10", nil},
		},
		off: []line{{"off.bag", bag}},
	},
}

// running is the time that the sterilizer is busy, s: coming up, venting and
// the hold, for all loads one after the other.
func running(t *teller) float64 {
	b := t.batch
	return float64(len(b.Loads)) * b.Value("run_time")
}

// loads are the loads with the number of vessels in each, and of the vessels of
// water that fill its free places. Loads differ by one vessel at most, so that
// all of one size stand in one row.
func loads(t *teller) []Amount {
	var out []Amount
	list := t.batch.Loads
	for first := 0; first < len(list); {
		last := first
		for last+1 < len(list) && list[last+1].Vessels == list[first].Vessels {
			last++
		}
		out = append(out, t.loadsAlike(list[first], list[last]))
		if free := t.process.Holds - list[first].Vessels; free > 0 && reusable(t) {
			out = append(out, t.waterAlike(list[first], list[last], free))
		}
		first = last + 1
	}
	return out
}

func (t *teller) loadsAlike(first, last batch.Load) Amount {
	what := t.say("step.load.one", "load", first.Number)
	if last.Number > first.Number {
		what = t.say("step.load.several", "first", first.Number, "last", last.Number)
	}
	remark := "step.load.no-controls"
	if first.Controls > 0 {
		remark = "step.load.controls"
	}
	return Amount{what, number(first.Vessels), t.say(remark)}
}

// waterAlike is what somebody has to have filled with water before the load goes
// in: a load is reckoned, and its sterilizer runs, as if it were full.
func (t *teller) waterAlike(first, last batch.Load, free int) Amount {
	what := t.say("step.load.water.one", "load", first.Number)
	if last.Number > first.Number {
		what = t.say("step.load.water.each", "first", first.Number, "last", last.Number)
	}
	return Amount{what, number(free), t.say("step.load.free")}
}
