package run

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/lethality"
	"bottlecrop/cmd/internal/unit"
)

// Bores are what the bore of a vessel may have been full of, as who made a probe
// run states it, with the conductance of its wall.
var bores = map[string]float64{"steam": SteamInBore, "air": AirInBore, "collapsed": 0}

// Recorded is what a temperature logger wrote during one run of a sterilizer:
// one probe in a vessel's substrate, and one in the chamber beside it.
type Recorded struct {
	Vessel  []heat.Point // times from any moment, ascending
	Chamber []heat.Point // of the same clock; nil for a chamber that followed the case
	Place   heat.Place   // of the probe in the substrate, taken as a cylinder
	Within  float64      // how far from there it may have been, across or along, m
	Bore    string       // "steam", "air" or "collapsed"; it does not matter without a bore
}

// Fit is what a record says of a vessel's substrate. It rests on conduction
// alone: what vapor in the pores adds is in the conductivity, which is
// therefore called effective, and holds for such a vessel, substrate and
// sterilizer only.
type Fit struct {
	Conductivity float64 // effective, W/(m·K)
	Low, High    float64 // of its interval of Confidence
	Offset       float64 // by which the probe in the vessel read too high, against the chamber's, K
	Start        float64 // temperature of the mix when the record begins, K
	RMS          float64 // of what the model leaves of the readings, K
	Readings     int     // that the fit rests on
	Independent  float64 // as how many of them they count, for neighbors err alike
	Bore         float64 // conductance of the bore's wall that was taken, W/(m²·K)

	HoldFrom, HoldTo float64 // of the record's chamber, s from its first reading
	Moments          []Moment
	DoseRead         float64 // at the probe, from its readings to the end of the hold, s
	DoseComputed     float64 // at the probe, from the model, its offset left out, s
}

// Moment is a reading beside what the model has for it.
type Moment struct {
	Time                    float64 // s from the first reading
	Chamber, Read, Computed float64 // K; Computed has the offset in it, as Read has
}

// Assumption is what takes the place of the assumptions that nobody measured:
// the low end of the interval, and the bore as it was.
func (f *Fit) Assumption() Assumption {
	return Assumption{Name: MeasuredName, Conductivity: f.Low, Bore: f.Bore}
}

// MeasuredName is the name of an assumption that rests on a probe run.
const MeasuredName = "measured"

// Confidence is the share of such intervals that have the true value in them.
const Confidence = 0.90

// Reason is why a record says nothing of a vessel.
type Reason string

// Refusal is a record that does not tell the conductivity.
type Refusal struct {
	Reason         Reason
	Kind           unit.Kind // of the two figures
	Found, Allowed float64   // in SI units
}

// The reasons. Each has figures: what was found, and what would have done.
const (
	Few     Reason = "few"     // readings up to the end of the hold
	Warm    Reason = "warm"    // the vessel hardly rises in the record
	Gap     Reason = "gap"     // readings are too far apart
	Jump    Reason = "jump"    // the vessel's probe jumps
	Cold    Reason = "cold"    // the chamber does not reach the hold
	Brief   Reason = "brief"   // the record has too little of a hold
	Long    Reason = "long"    // it is too long until the hold
	Same    Reason = "same"    // the vessel hardly lags behind the chamber
	Edge    Reason = "edge"    // no conductivity that substrate may have fits
	Off     Reason = "off"     // the probe's offset is larger than any probe's
	Unlike  Reason = "unlike"  // the model leaves too much of the readings
	Flat    Reason = "flat"    // the readings hardly depend on the conductivity
	Outside Reason = "outside" // the probe was not in the substrate
	Unheard Reason = "bore"    // a bore that is none of the three
	NoCase  Reason = "case"    // the vessel or the run itself is out of the range of the laws
)

func (r *Refusal) Error() string {
	return fmt.Sprintf("run: the record does not tell the conductivity: %s: %v, where %v would do", r.Reason, r.Found, r.Allowed)
}

func refuse(r Reason, k unit.Kind, found, allowed float64) error {
	return &Refusal{r, k, rounded(found, digits), allowed}
}

// What a record must be like (design choices). Conductivities outside the range
// searched belong to no substrate that vessels are filled with: the range in
// which the sterilization reference takes one at all.
const (
	fewestReadings = 30
	leastRise      = 30.0             // K
	longestGap     = 10 * unit.Minute // without readings
	steepestJump   = 10.0             // K from one reading to the next, and
	steepestRate   = 10.0 / unit.Minute
	shortOfHold    = 3.0 // K below the temperature that the gauge should give
	nearTop        = 3.0 // K below its hottest reading the chamber is still in the hold
	leastHold      = 20 * unit.Minute
	edgeOfHold     = 4 * unit.Minute // at either end, where the chamber may still rise or fall
	longestLead    = 6 * unit.Hour
	leastLag       = 10.0 // K behind the chamber, once at least
	mostOffset     = 5.0  // K
	mostRMS        = 1.5  // K
	leastFitted    = 0.05 // W/(m·K)
	mostFitted     = 0.80
	widestFit      = 0.15               // W/(m·K): the sterilization reference's band, 0.25 to 0.40, which it is to replace
	binning        = 30.0               // s: readings closer than this are averaged
	solverError    = 0.005              // of the conductivity: what the default grid may be off (TestFitOfTheGrid)
	edgeShare      = 0.02               // of the logarithm's range, next to either end
	placeSpread    = 1.7320508075688772 // a place anywhere within ±w has a standard deviation of w/√3
)

// fit is Fit without its memory.
func (c Case) fit(m Recorded) (*Fit, error) {
	bore, known := bores[m.Bore]
	if !known && c.BoreRadius > 0 {
		return nil, refuse(Unheard, unit.None, 0, 0)
	}
	r, err := c.record(m)
	if err != nil {
		return nil, err
	}
	e := &estimator{c: c, bore: bore, m: m, r: r}
	less, best, more, err := e.search()
	if err != nil {
		return nil, err
	}
	return toDigits(e.fit(less, best, more))
}

// record is the part of a recorded run that the fit rests on: from its first
// reading to the end of the hold, readings close together averaged.
type record struct {
	begin            float64      // time of the first reading in the record's own clock, s
	vessel           []heat.Point // times from there
	chamber          heat.Profile
	holdFrom, holdTo float64
}

func (c Case) record(m Recorded) (*record, error) {
	if len(m.Vessel) < fewestReadings {
		return nil, refuse(Few, unit.CountOf, float64(len(m.Vessel)), fewestReadings)
	}
	r := &record{begin: m.Vessel[0].Time}
	vessel := binned(shifted(m.Vessel, r.begin))
	if m.Chamber == nil {
		r.chamber = c.profile()
		r.holdFrom, r.holdTo = c.ComeUp+c.Vent, min(c.ComeUp+c.Vent+c.Hold, vessel[len(vessel)-1].Time)
	} else if err := r.heated(c, m.Chamber); err != nil {
		return nil, err
	}
	switch {
	case r.holdTo-r.holdFrom < leastHold:
		return nil, refuse(Brief, unit.TimeOf, max(0, r.holdTo-r.holdFrom), leastHold)
	case r.holdFrom > longestLead:
		return nil, refuse(Long, unit.TimeOf, r.holdFrom, longestLead)
	}
	for _, p := range vessel {
		if p.Time <= r.holdTo {
			r.vessel = append(r.vessel, p)
		}
	}
	return r, r.check()
}

// heated takes in the chamber's course, and finds its hold: from the first to
// the last reading that is near the hottest one.
func (r *record) heated(c Case, chamber []heat.Point) error {
	series := binned(shifted(chamber, r.begin))
	top, last := math.Inf(-1), 0.0
	for i, p := range series {
		top = max(top, p.Temperature)
		if i > 0 && p.Time > 0 && p.Time-series[i-1].Time > longestGap {
			last = max(last, p.Time-series[i-1].Time)
		}
	}
	if top < c.Chamber-shortOfHold {
		return refuse(Cold, unit.TemperatureOf, top, c.Chamber-shortOfHold)
	}
	found := false
	for _, p := range series {
		if p.Temperature < top-nearTop || p.Time < 0 {
			continue
		}
		if !found {
			r.holdFrom, found = p.Time, true
		}
		r.holdTo = p.Time
	}
	if last > 0 {
		return refuse(Gap, unit.TimeOf, last, longestGap)
	}
	full := heat.Profile(series)
	r.chamber = heat.Profile{{Time: 0, Temperature: full.At(0)}}
	for _, p := range series {
		if p.Time > 0 {
			r.chamber = append(r.chamber, p)
		}
	}
	return nil
}

// check refuses what no fit can be made of.
func (r *record) check() error {
	v := r.vessel
	if len(v) < fewestReadings {
		return refuse(Few, unit.CountOf, float64(len(v)), fewestReadings)
	}
	least, most, lag := math.Inf(1), math.Inf(-1), 0.0
	for i, p := range v {
		least, most = min(least, p.Temperature), max(most, p.Temperature)
		lag = max(lag, r.chamber.At(p.Time)-p.Temperature)
		if i == 0 {
			continue
		}
		span, change := p.Time-v[i-1].Time, math.Abs(p.Temperature-v[i-1].Temperature)
		if span > longestGap {
			return refuse(Gap, unit.TimeOf, span, longestGap)
		}
		if change > steepestJump && change > steepestRate*span {
			return refuse(Jump, unit.TemperatureDifference, change, steepestJump)
		}
	}
	if end := v[len(v)-1].Time; r.holdTo-end > longestGap {
		return refuse(Gap, unit.TimeOf, r.holdTo-end, longestGap)
	}
	if lag < leastLag {
		return refuse(Same, unit.TemperatureDifference, lag, leastLag)
	}
	if most-least < leastRise {
		return refuse(Warm, unit.TemperatureDifference, most-least, leastRise)
	}
	return nil
}

// shifted is a series with its times from another moment.
func shifted(s []heat.Point, begin float64) []heat.Point {
	out := make([]heat.Point, len(s))
	for i, p := range s {
		out[i] = heat.Point{Time: p.Time - begin, Temperature: p.Temperature}
	}
	return out
}

// binned averages readings that lie closer together than binning.
func binned(s []heat.Point) []heat.Point {
	var out []heat.Point
	for i := 0; i < len(s); {
		from, n, sum := s[i].Time, 0, heat.Point{}
		for ; i < len(s) && (n == 0 || s[i].Time < from+binning); i++ {
			sum.Time += s[i].Time - from
			sum.Temperature += s[i].Temperature
			n++
		}
		out = append(out, heat.Point{Time: from + sum.Time/float64(n), Temperature: sum.Temperature / float64(n)})
	}
	return out
}

// dose is what a series gets up to a time, s at the reference of F0.
func dose(s []heat.Point, until float64) (float64, error) {
	points := make([]lethality.Point, len(s))
	for i, p := range s {
		points[i] = lethality.Point{Seconds: p.Time, Kelvin: p.Temperature}
	}
	return lethality.F(points, lethality.F0, until)
}
