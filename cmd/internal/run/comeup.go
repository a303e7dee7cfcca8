package run

import (
	"fmt"
	"math"
	"sort"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Boiler is a sterilizer as one body: water and metal have the temperature of
// the steam.
type Boiler struct {
	Power float64 // heat into the water while the heater is on, W
	Metal float64 // heat capacity of the metal, J/K
	Water float64 // heat capacity of the charge, J/K
	Loss  float64 // through the wall, W/K above the room
	Room  float64 // K
	Leak  float64 // heat that leaves as steam in the hold, W
}

// Load is what stands in it. The walls of the vessels have the temperature of
// the steam, the substrate lags behind.
type Load struct {
	Vessels int
	Walls   float64 // heat capacity of one vessel and its lid, J/K
}

// Account is where the heat of a run went, all in J. Input is what the heater gave, by
// its power and the time that it was on; in the hold it gives what is needed.
type Account struct {
	Input                             float64
	Metal, Water, Walls, Substrate    float64 // kept
	Wall                              float64 // lost to the room
	Vent, Leak                        float64 // gone as steam
	ComeUpInput, VentInput, HoldInput float64 // parts of Input
}

// Error is the heat that the account has lost or made, as a share of its input.
func (a Account) Error() float64 {
	out := a.Metal + a.Water + a.Walls + a.Substrate + a.Wall + a.Vent + a.Leak
	return math.Abs(a.Input-out) / a.Input
}

// Rise is how a load comes up.
type Rise struct {
	ToBoiling float64 // from cold to a full jet of steam, s
	Vent      float64 // s
	ToHold    float64 // from the closed vent to the hold, s
	Account   Account // to the end of the hold
}

// ComeUp is the time from cold to the hold without the vent, s.
func (c Rise) ComeUp() float64 { return c.ToBoiling + c.ToHold }

// How a course is found.
const (
	// rounds of come-up, load's uptake at that come-up, come-up. A longer one
	// lets the load take more, and so a fourth round changes it by under 1 %.
	rounds    = 3
	trialStep = 60.0       // trials are whole minutes, so that they are found again
	longestUp = 12 * 3600. // s; a heater that needs longer is no heater for this
	pieces    = 240        // of each straight part of the come-up
)

// Heat works out how a load comes up: the heater's power less the loss to the
// room heats water, metal and the vessels' walls, and feeds the substrate, whose
// uptake is that of the solver when the chamber rises as fast. The case's own
// come-up does not matter. The error names the value that is out of range.
func Heat(c Case, a Assumption, b Boiler, l Load) (*Rise, error) {
	c.ComeUp = trialStep
	asked := ascent{c, a, b, l}
	memory.Lock()
	found := memory.rises[asked]
	memory.Unlock()
	if found != nil {
		return found, nil
	}
	found, err := c.heat(a, b, l)
	if err != nil {
		return nil, err
	}
	memory.Lock()
	defer memory.Unlock()
	if len(memory.rises) >= remembered {
		clear(memory.rises)
	}
	memory.rises[asked] = found
	return found, nil
}

// ascent is what a course is the answer to.
type ascent struct {
	Case       Case
	Assumption Assumption
	Boiler     Boiler
	Load       Load
}

func (c Case) heat(a Assumption, b Boiler, l Load) (*Rise, error) {
	if err := b.check(c, l); err != nil {
		return nil, err
	}
	lump := b.Metal + b.Water + float64(l.Vessels)*l.Walls
	substrate := float64(l.Vessels) * c.HeatCapacity * math.Pi * c.Radius * c.Radius * c.Height
	net := b.Power - b.Loss*(c.Chamber-b.Room)
	up := (lump + substrate) * (c.Chamber - c.Start) / net
	var course *Rise
	for range rounds {
		if up > longestUp {
			return nil, fmt.Errorf("run: %.4g W would need over %.0f h to heat this load; give it more power, or fewer vessels", b.Power, longestUp/3600)
		}
		c.ComeUp = max(trialStep, unit.Up(up/trialStep)*trialStep)
		e, err := uptakeOf(c, a)
		if err != nil {
			return nil, err
		}
		course = b.follow(c, l, lump, e)
		up = course.ComeUp()
	}
	return course, nil
}

// check refuses what no sterilizer is.
func (b Boiler) check(c Case, l Load) error {
	for _, v := range []struct {
		name  string
		value float64
		least float64
	}{
		{"number of vessels", float64(l.Vessels), 0},
		{"heat capacity of a vessel", l.Walls, 0},
		{"heat capacity of the metal", b.Metal, 0},
		{"heat capacity of the water", b.Water, math.SmallestNonzeroFloat64},
		{"loss through the wall", b.Loss, 0},
		{"heat that leaves as steam", b.Leak, 0},
		{"temperature of the room", b.Room, 200},
		{"heater's power", b.Power, math.SmallestNonzeroFloat64},
		{"temperature of the mix", c.Start, 200},
		{"rise to boiling", c.Boiling - c.Start, math.SmallestNonzeroFloat64},
		{"rise from boiling to the hold", c.Chamber - c.Boiling, math.SmallestNonzeroFloat64},
	} {
		if !(v.value >= v.least) || math.IsInf(v.value, 0) {
			return fmt.Errorf("run: %s is %v; it must be %v or more", v.name, v.value, v.least)
		}
	}
	if worst := b.Loss*(c.Chamber-b.Room) + b.Leak; b.Power <= worst {
		return fmt.Errorf("run: a heater of %.4g W can't reach %.2f K, where the chamber loses %.4g W; it needs more power or more insulation", b.Power, c.Chamber, worst)
	}
	return nil
}

// follow goes along a trial's come-up by the temperature of the chamber: the
// substrate takes as much on the way from one temperature to the next as it
// did in the trial, and the time is what the heater needs for that.
func (b Boiler) follow(c Case, l Load, lump float64, e *uptake) *Rise {
	n := float64(l.Vessels)
	out := &Rise{Vent: c.Vent}
	acc := &out.Account
	climb := func(from, to, begin, end float64) (took float64) {
		for i := range pieces {
			x0, x1 := float64(i)/pieces, float64(i+1)/pieces
			t0, t1 := from+x0*(to-from), from+x1*(to-from)
			q := n * (e.at(begin+x1*(end-begin)) - e.at(begin+x0*(end-begin)))
			loss := b.Loss * ((t0+t1)/2 - b.Room)
			dt := (lump*(t1-t0) + q) / (b.Power - loss)
			took += dt
			acc.Wall += loss * dt
			acc.Substrate += q
		}
		acc.ComeUpInput += b.Power * took
		return took
	}
	boils := c.ComeUp * shareToBoiling
	out.ToBoiling = climb(c.Start, c.Boiling, 0, boils)

	// At the boiling point all that the load and the wall leave over blows off.
	// Where they leave nothing there is no full jet, and the vent's clock waits.
	loss := b.Loss * (c.Boiling - b.Room)
	step, wait := c.Vent/pieces, 0.0
	for i := range pieces {
		q := n * (e.at(boils+float64(i+1)*step) - e.at(boils+float64(i)*step))
		acc.Substrate += q
		over := (b.Power-loss)*step - q
		if over >= 0 {
			acc.Vent += over
		} else {
			wait += -over / (b.Power - loss)
		}
	}
	out.ToBoiling += wait
	acc.ComeUpInput += b.Power * wait
	acc.VentInput = b.Power * c.Vent
	acc.Wall += loss * (c.Vent + wait)

	hold := c.ComeUp + c.Vent
	out.ToHold = climb(c.Boiling, c.Chamber, boils+c.Vent, hold)
	q := n * (e.at(hold+c.Hold) - e.at(hold))
	wall, leak := b.Loss*(c.Chamber-b.Room)*c.Hold, b.Leak*c.Hold
	acc.HoldInput = q + wall + leak
	acc.Substrate += q
	acc.Wall += wall
	acc.Leak = leak
	rise := c.Chamber - c.Start
	acc.Metal, acc.Water, acc.Walls = b.Metal*rise, b.Water*rise, n*l.Walls*rise
	acc.Input = acc.ComeUpInput + acc.VentInput + acc.HoldInput
	return out
}

// uptake is the heat that one vessel's substrate has taken by a time, J.
type uptake struct{ Times, Heat []float64 }

// coarse is a grid for heat alone, which the slowest place does not matter to:
// it is within 1 % of the usual grid (TestCoarseGridTakesAsMuch), in a fifth of
// the time.
var coarse = heat.Grid{Radial: 12, Axial: 16, Step: 60}

// uptakes are remembered, under the lock of memory.
var uptakes = map[question]*uptake{}

// uptakeOf is the uptake in a case.
func uptakeOf(c Case, a Assumption) (*uptake, error) {
	return recall(uptakes, "uptake", question{Case: c, Assumption: a}, coarse, func() (*uptake, error) {
		p := c.problem(a)
		p.Grid = coarse
		r, err := heat.Courses(p)
		if err != nil {
			return nil, fmt.Errorf("run: %w", err)
		}
		u := &uptake{r.Times, make([]float64, len(r.Times))}
		for i := 1; i < len(r.Times); i++ {
			u.Heat[i] = u.Heat[i-1] + r.Uptake[i]*(r.Times[i]-r.Times[i-1])
		}
		return u, nil
	})
}

// at reads it at a time, straight between steps.
func (u *uptake) at(t float64) float64 {
	i := sort.SearchFloat64s(u.Times, t)
	switch {
	case i == 0:
		return 0
	case i == len(u.Times):
		return u.Heat[i-1]
	}
	share := (t - u.Times[i-1]) / (u.Times[i] - u.Times[i-1])
	return u.Heat[i-1] + share*(u.Heat[i]-u.Heat[i-1])
}

// boilerArguments are the symbols of a boiler and its load in the order in which
// the laws of a course take them, after those of a case.
const boilerArguments = "n, m_v, c_v, m_metal, c_metal, m_water, c_water, P, h, A, T_room, S"

const boilerLength = 12

// CaseLength is the number of values of a case.
const CaseLength = 15

const courseSource = "balance of heat of chamber and load as one body each, the load's uptake from transient conduction. Modeled, not measured"

// courseLaw makes a law of something read from the course of a load under the
// quick assumption: heat that goes in fast slows the chamber most, and takes
// the most water.
func courseLaw(name string, read func(*Rise) float64) *working.Law {
	return working.NewLaw(name+"("+caseArguments+", "+boilerArguments+")", courseSource, map[string]working.Function{
		name: func(args ...float64) (float64, error) {
			const ofBoiler = boilerLength
			c, err := CaseOf(args[:max(0, len(args)-ofBoiler)])
			if err != nil {
				return 0, err
			}
			x := args[len(args)-ofBoiler:]
			b := Boiler{Power: x[7], Metal: x[3] * x[4], Water: x[5] * x[6], Loss: x[8] * x[9], Room: x[10], Leak: x[11]}
			course, err := Heat(c, Quick, b, Load{Vessels: int(x[0]), Walls: x[1] * x[2]})
			if err != nil {
				return 0, err
			}
			return read(course), nil
		}})
}

// What is read from the course of a load.
var (
	// ToBoiling is the time from cold to a full jet of steam, s.
	ToBoiling = courseLaw("up_to_boiling", func(c *Rise) float64 { return c.ToBoiling })
	// ToHold is the time from the closed vent to the hold, s.
	ToHold = courseLaw("up_to_hold", func(c *Rise) float64 { return c.ToHold })
	// HeatOfRun is the heat that goes into the water from cold to the end of the
	// hold, J.
	HeatOfRun = courseLaw("heat_of_run", func(c *Rise) float64 { return c.Account.Input })
	// HeatOfSubstrate is what of it gets into the substrate of the load, J.
	HeatOfSubstrate = courseLaw("heat_of_substrate", func(c *Rise) float64 { return c.Account.Substrate })
)
