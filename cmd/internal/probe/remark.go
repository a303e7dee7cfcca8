package probe

import (
	"math"
	"slices"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// interval is the median time between rows, s. It holds for two rows and more.
func (t *table) interval() float64 {
	steps := make([]float64, len(t.times)-1)
	for i := range steps {
		steps[i] = t.times[i+1] - t.times[i]
	}
	slices.Sort(steps)
	return steps[len(steps)/2]
}

func (t *table) spot(row, cell int) spot {
	return spot{int(t.numbers[row]), lineAt(t.text, t.offsets[row]), cell, t.delim}
}

// remark tells of gaps between rows and of jumps in channels.
func (t *table) remark() {
	if len(t.times) < 2 {
		if t.r.failed {
			return // and it has been said why
		}
		rule := "one_row"
		if len(t.times) == 0 {
			rule = "no_row"
		}
		t.r.add(protocol.Error, rule, t.first, nil, "table", nil)
		return
	}
	interval := t.interval()
	for i := 1; i < len(t.times); i++ {
		if gap := t.times[i] - t.times[i-1]; gap > GapTimes*interval {
			t.r.add(protocol.Warning, "gap", t.spot(i, t.time), args{
				"gap": clock(gap), "interval": clock(interval), "line": int(t.numbers[i-1])}, "gap", nil)
		}
	}
	for i, ch := range t.channels {
		t.jumps(i, ch, interval)
		if len(t.points[i]) == 0 && !t.tooHot[i] {
			t.r.add(protocol.Warning, "channel_empty", t.first.in(ch.column), args{"column": ch.column + 1}, "channel_empty", nil)
		}
	}
	if t.readings == 0 && !t.r.failed {
		t.r.add(protocol.Error, "channel_none", t.first, nil, "channel_none", nil)
	}
}

// jumps tells of changes that no probe in a vessel makes.
func (t *table) jumps(i int, ch channel, interval float64) {
	points := t.points[i]
	row := 0
	for j := 1; j < len(points); j++ {
		change := math.Abs(points[j].Kelvin - points[j-1].Kelvin)
		if change <= JumpFrom {
			continue
		}
		span := points[j].Seconds - points[j-1].Seconds
		if span > GapTimes*interval || change <= JumpAlways && change <= JumpRate*span {
			continue
		}
		for t.times[row] < points[j].Seconds {
			row++
		}
		t.r.add(protocol.Warning, "jump", t.spot(row, ch.column), args{
			"before": degrees(points[j-1].Kelvin, ch.unit),
			"after":  degrees(points[j].Kelvin, ch.unit),
			"within": clock(span),
		}, "jump", nil)
	}
}

// log is what was read, channels without a reading left out.
func (t *table) log() *Log {
	if len(t.times) < 2 {
		return nil
	}
	l := &Log{Start: t.start, Interval: t.interval(), Rows: len(t.times)}
	for i, ch := range t.channels {
		if len(t.points[i]) > 0 {
			l.Channels = append(l.Channels, Channel{ch.name, ch.column + 1, ch.unit, t.points[i]})
		}
	}
	return l
}

// clock is a duration as findings print it.
func clock(seconds float64) unit.Amount {
	return unit.Amount{Kind: unit.TimeOf, Value: seconds, Digits: 3}
}

// degrees is a temperature as findings print it: in the file's own unit, so
// that a reader finds it there.
func degrees(kelvin float64, u Unit) unit.Amount {
	return unit.Amount{Kind: unit.TemperatureOf, Value: kelvin, Digits: 5, Unit: u.String()}
}
