package work

import (
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/working"
)

// effort is the hands-on time of a step in minutes: so much once, and so much
// for each mix, load and vessel. Waiting is not in it: soaking, heating up,
// holding, cooling and growing take their time from the protocol.
type effort struct {
	once, mix, load, vessel float64
}

// efforts are common practice for one person and manual work, without a
// source. A farm with a filling machine is faster; plans rest on these
// figures, and a plan by which a wet mix would wait too long is refused. How
// long it may wait, and every other critical limit, does not rest on them.
var efforts = map[StepID]effort{
	Receive:       {once: 5, mix: 5},
	StartShift:    {load: 10},
	Weigh:         {once: 5, mix: 10},
	MixSubstrate:  {once: 10, mix: 35},
	CheckMoisture: {mix: 10},
	FillVessels:   {once: 5, vessel: 0.6},
	TapDown:       {vessel: 0.15},
	BoreHoles:     {once: 2, vessel: 0.2},
	Cap:           {vessel: 0.2},
	LoadVessels:   {load: 10, vessel: 0.05},
	Vent:          {load: 5},
	Sterilize:     {load: 10},
	PressureOff:   {load: 10},
	Unload:        {load: 5, vessel: 0.05},
	Cool:          {load: 5},
	InspectBore:   {once: 2, vessel: 0.1},
	WipeDown:      {once: 15, vessel: 0.05},
	Label:         {once: 5, load: 5},
	Inoculate:     {once: 10, vessel: 0.35},
	Incubate:      {once: 5, vessel: 0.05},
	Inspect:       {once: 10, vessel: 0.15},
	Reject:        {once: 5, load: 5},
	Ripen:         {once: 10},
	Open:          {once: 5, vessel: 0.15},
	EarlyFruit:    {once: 5, vessel: 0.05},
	Scrape:        {once: 10, vessel: 0.4},
	Wet:           {once: 5, vessel: 0.15},
	Cover:         {once: 10, vessel: 0.05},
	Pin:           {once: 15, vessel: 0.05},
	FitCollar:     {once: 5, vessel: 0.3},
	Fruit:         {once: 30, vessel: 0.05},
	HarvestCrop:   {once: 10, vessel: 0.3},
	Trim:          {once: 5, vessel: 0.2},
	Chill:         {once: 5, vessel: 0.05},
	Release:       {once: 10},
	Empty:         {once: 10, vessel: 0.25},
	Wash:          {once: 15, vessel: 0.3},
	InspectVessel: {once: 5, vessel: 0.1},
	Retire:        {once: 5, vessel: 0.02},
}

// handsOn has the law of every step's hands-on time in s, written out of its
// effort in minutes.
var handsOn = func() map[StepID]*working.Law {
	laws := map[StepID]*working.Law{}
	for id, e := range efforts {
		var terms []string
		for _, t := range []struct {
			minutes float64
			times   string
		}{{e.once, ""}, {e.mix, " * mixes"}, {e.load, " * loads"}, {e.vessel, " * n"}} {
			if t.minutes > 0 {
				terms = append(terms, strconv.FormatFloat(t.minutes, 'f', -1, 64)+t.times)
			}
		}
		sum := strings.Join(terms, " + ")
		if len(terms) > 1 {
			sum = "(" + sum + ")"
		}
		laws[id] = working.NewLaw("60 * "+sum, "common practice for one person and manual work, no source", nil)
	}
	return laws
}()

// HandsOn is the hands-on time in s that a step takes for a batch, with those
// of the symbols n (vessels), mixes and loads on which it depends. It is nil for
// a step that is not known.
func HandsOn(id StepID) *working.Law { return handsOn[id] }
