package people

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/working"
)

// LiftingManual is where the lifting equation and its constants are from.
const LiftingManual = "NIOSH 94-110, Applications Manual for the Revised NIOSH Lifting Equation (rev. 2021)"

const manual = LiftingManual

// Constants of the lifting equation. The manual prints a metric and a U.S. set,
// of which neither is the other converted: with one of them all is reckoned.
type Constants struct {
	Load        float64 // kg, load constant LC: what may be lifted when all else is ideal
	Near, Far   float64 // m, H: nearer counts as Near, farther is out of reach
	Knuckle     float64 // m, V at which the hands are best
	HeightSlope float64 // 1/m, what each meter away from it takes off
	Highest     float64 // m, V above which there is no lifting
	Travel      float64 // m, what is divided by the way D
	Short, Long float64 // m, D: shorter counts as Short, longer is no lift
}

const (
	inch  = 0.0254     // m
	pound = 0.45359237 // kg
)

// Metric is the set that the program reckons with; USCustomary is there for who
// measured in inches, and to meet the manual's examples.
var (
	Metric      = Constants{23, 0.25, 0.63, 0.75, 0.3, 1.75, 0.045, 0.25, 1.75}
	USCustomary = Constants{51 * pound, 10 * inch, 25 * inch, 30 * inch, 0.0075 / inch, 70 * inch, 1.8 * inch, 10 * inch, 70 * inch}
)

// reachable is 1 up to the most that a person can do, and 0 beyond.
func reachable(quantity, unit string) working.Function {
	return working.Exactly(2, func(a ...float64) (float64, error) {
		if err := working.Within(quantity, unit, a[0], 0, 1000, ""); err != nil {
			return 0, err
		}
		if a[0] > a[1]+1e-9 { // a bound that was converted from inches counts as met
			return 0, nil
		}
		return 1, nil
	})
}

// The multipliers, each 1 where a lift is ideal. up_to is 1 up to the most that
// a body can do, and 0 beyond, where nothing should be lifted.
var (
	// Horizontal falls with the reach H (m) of the hands from between the
	// ankles, to 0 above H_far; nearer than H_near counts as H_near.
	Horizontal = working.NewLaw("up_to(H, H_far) * H_near / max(H_near, H)", manual+", section 1.3.1",
		map[string]working.Function{"up_to": reachable("reach of the hands", "m")})
	// Vertical falls with the distance of the hands' height V (m) from the
	// knuckles' V_0, by k (1/m), to 0 above V_most.
	Vertical = working.NewLaw("up_to(V, V_most) * (1 - k * abs(V - V_0))", manual+", section 1.3.2",
		map[string]working.Function{"up_to": reachable("height of the hands", "m")})
	// Distance falls with the way D (m) up or down between origin and
	// destination, by the length d (m), to 0 above D_long; shorter than D_short
	// counts as D_short.
	Distance = working.NewLaw("up_to(D, D_long) * (0.82 + d / max(D_short, D))", manual+", section 1.3.3",
		map[string]working.Function{"up_to": reachable("way of the load", "m")})
	// Asymmetry falls with the twist A (degrees) of the body, to 0 above 135.
	Asymmetry = working.NewLaw("up_to(A, 135) * (1 - 0.0032 * A)", manual+", section 1.3.4",
		map[string]working.Function{"up_to": reachable("twist", "degrees")})
	// Frequency falls with the lifts F (1/s) over the time t (s, to 8 h) of
	// lifting, by a table; V (m) and V_0 (m) are of the origin.
	Frequency = working.NewLaw("frequency_multiplier(F, t, V, V_0)", manual+", table 5",
		map[string]working.Function{"frequency_multiplier": working.Exactly(4, func(a ...float64) (float64, error) {
			return frequencyMultiplier(a[0], a[1], a[2] >= a[3]-1e-9)
		})})
)

// WeightLimit is the recommended weight limit RWL in kg: what nearly all healthy
// people could lift over a shift of 8 h without a raised risk to the back. It is the
// load constant LC (kg) times the multipliers above: HM Horizontal, VM Vertical, DM
// Distance, AM Asymmetry, FM Frequency, and CM that of a Coupling.
var WeightLimit = working.NewLaw("LC * HM * VM * DM * AM * FM * CM", manual+", section 1.2", nil)

// Index is the lifting index: the load L (kg) over its recommended weight limit
// RWL (kg). Above 1 some are at a raised risk, above 3 most.
var Index = working.NewLaw("L / RWL", manual+", section 1.2", nil)

// PatternFrequency is the frequency in lifts a second that stands for F during
// t_lift (s) of each pattern of the length t (s), where the rest is light work: for
// patterns of at most 15 min.
var PatternFrequency = working.NewLaw("F * t_lift / pattern(t)", manual+", section 1.3.5.5",
	map[string]working.Function{"pattern": working.Between("length of the pattern", "s", 1, 15*60, "longer spells of lifting are not averaged")})

// Reach is an estimate in m of H for a load of the depth W (m, from the body
// on) that is held in its middle, at the height V (m): the body is farther off
// where one bends to the floor. Measure it where the index matters.
var Reach = working.NewLaw("body(V) + W / 2", manual+", section 1.3.1.2", map[string]working.Function{
	"body": working.Exactly(1, func(a ...float64) (float64, error) {
		if err := working.Within("height of the hands", "m", a[0], 0, 3, ""); err != nil {
			return 0, err
		}
		if a[0] < 0.25 {
			return 0.25, nil
		}
		return 0.20, nil
	})})

// HandHeight is the height V in m of hands that hold a crate by its grips, g (m)
// above its base, where the base is h (m) above the floor.
var HandHeight = working.NewLaw("h + g", definition, nil)

// Travel is the way D in m that hands go up or down between V_1 and V_2 (m).
var Travel = working.NewLaw("abs(V_2 - V_1)", manual+", section 1.3.3", nil)

// LowerLimit is the weight limit in kg of a lift whose two ends have RWL_1 and
// RWL_2 (kg), and of two lifts that the same person does.
var LowerLimit = working.NewLaw("min(RWL_1, RWL_2)", manual+", section 1.2", nil)

// Coupling is how well hands hold a load.
type Coupling string

const (
	Good Coupling = "good" // handles or hand-holds of the best form
	Fair Coupling = "fair" // handles of a worse form, or fingers bent by 90 degrees under a crate
	Poor Coupling = "poor" // bulky, slippery, sagging, sharp: wet glass, bags
)

// Multiplier is the coupling multiplier CM for the hands below and from the
// height of the knuckles on: table 7 of the manual.
func (c Coupling) Multiplier(high bool) (float64, error) {
	switch {
	case c == Good, c == Fair && high:
		return 1, nil
	case c == Fair:
		return 0.95, nil
	case c == Poor:
		return 0.90, nil
	}
	return 0, fmt.Errorf("coupling is %q; good, fair or poor is taken", string(c))
}

// Grip is where the hands are at one end of a lift.
type Grip struct {
	Reach  float64 // m, H
	Height float64 // m, V, from the floor
	Twist  float64 // degrees, A
}

// Lift is one way of lifting a load, over and over.
type Lift struct {
	Mass        float64 // kg
	From, To    Grip
	Frequency   float64 // lifts a second, mean of 15 min
	Duration    float64 // s of lifting at a stretch; see Judge
	Coupling    Coupling
	Destination bool // the load is set down with care, so the way down counts too
}

// Multipliers of one end of a lift, with its recommended weight limit in kg.
type Multipliers struct {
	Horizontal, Vertical, Distance, Asymmetry, Frequency, Coupling float64
	Limit                                                          float64
}

// Judged is what the equation says of a lift.
type Judged struct {
	From, To Multipliers
	Limit    float64 // kg, the lower of those that count
	Index    float64 // infinite where the limit is 0: nobody should lift so
}

// Judge works out a lift. Up to 1 h of lifting is short where a rest or light
// work of as long follows (the revision of 2021; the print of 1994 has 1.2 times as
// long), up to 2 h moderate where 0.3 times as long follows; else give the next
// longer duration. It says nothing of loads that are
// carried, pushed or lifted with one hand, on slippery floors, or outside the
// climate of Scope.
func Judge(l Lift, c Constants) (Judged, error) {
	if err := working.Within("load", "kg", l.Mass, 1e-3, 500, ""); err != nil {
		return Judged{}, fmt.Errorf("lift: %w", err)
	}
	var j Judged
	for _, end := range []struct {
		grip Grip
		to   *Multipliers
	}{{l.From, &j.From}, {l.To, &j.To}} {
		m, err := l.at(end.grip, c)
		if err != nil {
			return Judged{}, fmt.Errorf("lift: %w", err)
		}
		*end.to = m
	}
	j.Limit = j.From.Limit
	if l.Destination {
		j.Limit = math.Min(j.Limit, j.To.Limit)
	}
	if j.Limit == 0 {
		j.Index = math.Inf(1)
		return j, nil
	}
	var err error
	j.Index, err = Index.At(map[string]float64{"L": l.Mass, "RWL": j.Limit})
	return j, err
}

func (l Lift) at(g Grip, c Constants) (m Multipliers, err error) {
	high := g.Height >= c.Knuckle-1e-9
	if m.Coupling, err = l.Coupling.Multiplier(high); err != nil {
		return m, err
	}
	for _, x := range []struct {
		to  *float64
		law *working.Law
		in  map[string]float64
	}{
		{&m.Horizontal, Horizontal, map[string]float64{"H": g.Reach, "H_near": c.Near, "H_far": c.Far}},
		{&m.Vertical, Vertical, map[string]float64{"V": g.Height, "V_0": c.Knuckle, "k": c.HeightSlope, "V_most": c.Highest}},
		{&m.Distance, Distance, map[string]float64{"D": math.Abs(l.To.Height - l.From.Height), "d": c.Travel, "D_short": c.Short, "D_long": c.Long}},
		{&m.Asymmetry, Asymmetry, map[string]float64{"A": g.Twist}},
		{&m.Frequency, Frequency, map[string]float64{"F": l.Frequency, "t": l.Duration, "V": l.From.Height, "V_0": c.Knuckle}},
	} {
		if *x.to, err = x.law.At(x.in); err != nil {
			return m, err
		}
	}
	m.Limit, err = WeightLimit.At(map[string]float64{"LC": c.Load, "HM": m.Horizontal, "VM": m.Vertical,
		"DM": m.Distance, "AM": m.Asymmetry, "FM": m.Frequency, "CM": m.Coupling})
	return m, err
}

// Outside is a reason why a place is outside what the equation was made for.
type Outside string

const (
	TooCold  Outside = "cold"
	TooWarm  Outside = "warm"
	TooDry   Outside = "dry"
	TooDamp  Outside = "damp"
	Slippery Outside = "slippery"
)

// Scope lists why a lift in a room of t (K) and the relative humidity rh (0 to
// 1) is outside the equation's range, 19 to 26 °C, 35 to 50 % and a floor that is
// not slippery: then the index is an indication and no more. A fruiting room
// always is.
func Scope(t, rh float64, slippery bool) []Outside {
	var out []Outside
	for _, x := range []struct {
		is  bool
		why Outside
	}{
		{t < 273.15+19, TooCold}, {t > 273.15+26, TooWarm}, {rh < 0.35, TooDry}, {rh > 0.50, TooDamp}, {slippery, Slippery},
	} {
		if x.is {
			out = append(out, x.why)
		}
	}
	return out
}
