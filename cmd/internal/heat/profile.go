package heat

import (
	"fmt"
	"sort"
)

// Point is a temperature at a time.
type Point struct {
	Time        float64 // s
	Temperature float64 // K
}

// Profile is a temperature that runs straight from point to point and stays at
// the last one. The first point is at time 0. A jump is written as a steep ramp.
type Profile []Point

// check returns the first fault of a profile.
func (p Profile) check() error {
	if err := within("number of points of the profile", "", float64(len(p)), 2, mostPoints,
		"one reading is no course of temperature, and a longer log can be thinned"); err != nil {
		return err
	}
	if p[0].Time != 0 {
		return fmt.Errorf("heat: the profile begins at %v s; its first point must be at 0 s", p[0].Time)
	}
	for i, at := range p {
		if err := within(fmt.Sprintf("temperature of point %d of the profile", i+1), "K",
			at.Temperature, leastTemperature, mostTemperature, ""); err != nil {
			return err
		}
		// Written so that NaN fails.
		if i > 0 && !(at.Time > p[i-1].Time && at.Time <= mostTime) {
			return fmt.Errorf("heat: point %d of the profile is at %v s after one at %v s; each must be later than the one before, and none after %v s",
				i+1, at.Time, p[i-1].Time, mostTime)
		}
	}
	return nil
}

// span is the coldest and the hottest point.
func (p Profile) span() (least, most float64) {
	least, most = p[0].Temperature, p[0].Temperature
	for _, at := range p {
		least, most = min(least, at.Temperature), max(most, at.Temperature)
	}
	return least, most
}

// At is the temperature at a time, s.
func (p Profile) At(time float64) float64 {
	i := sort.Search(len(p), func(i int) bool { return p[i].Time > time })
	switch i {
	case 0:
		return p[0].Temperature
	case len(p):
		return p[i-1].Temperature
	}
	a, b := p[i-1], p[i]
	return a.Temperature + (b.Temperature-a.Temperature)*(time-a.Time)/(b.Time-a.Time)
}

// heldFrom is the profile up to a time, and the temperature of that time after it.
func (p Profile) heldFrom(time float64) Profile {
	i := sort.Search(len(p), func(i int) bool { return p[i].Time >= time })
	out := append(Profile{}, p[:i]...)
	out = append(out, Point{time, p.At(time)})
	return append(out, Point{time + 1, p.At(time)})
}

// reader takes means of a profile over intervals that follow each other.
type reader struct {
	profile Profile
	next    int // first point after the time read last
}

// mean is the mean temperature from a to b, a < b. It never goes back: a must
// be no less than the b before it.
func (r *reader) mean(a, b float64) float64 {
	for r.next < len(r.profile) && r.profile[r.next].Time <= a {
		r.next++
	}
	sum, from, at := 0.0, a, r.value(a)
	for r.next < len(r.profile) && r.profile[r.next].Time < b {
		p := r.profile[r.next]
		sum += (at + p.Temperature) / 2 * (p.Time - from)
		from, at = p.Time, p.Temperature
		r.next++
	}
	sum += (at + r.value(b)) / 2 * (b - from)
	return sum / (b - a)
}

// value is the temperature at a time between the points before and at next.
func (r *reader) value(time float64) float64 {
	if r.next == len(r.profile) {
		return r.profile[r.next-1].Temperature
	}
	a, b := r.profile[r.next-1], r.profile[r.next]
	return a.Temperature + (b.Temperature-a.Temperature)*(time-a.Time)/(b.Time-a.Time)
}
