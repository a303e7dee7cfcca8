package work

import "bottlecrop/cmd/internal/unit"

// effort is the hands-on time of a step in minutes: so much once, and so much
// for each mix, load and vessel. Waiting is not in it: soaking, heating up,
// holding, cooling and growing take their time from the protocol.
type effort struct {
	once, mix, load, vessel float64
}

// efforts are common practice for one person and manual work, without a
// source. A farm with a filling machine is faster; plans rest on these
// figures, critical limits never do.
var efforts = map[StepID]effort{
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
	Cool:          {load: 5, vessel: 0.05},
	InspectBore:   {once: 2, vessel: 0.1},
	WipeDown:      {once: 15, vessel: 0.05},
	Label:         {once: 5, load: 5},
	Inoculate:     {once: 10, vessel: 0.35},
	Incubate:      {once: 5, vessel: 0.05},
	Inspect:       {once: 10, vessel: 0.15},
	Ripen:         {once: 10},
	Open:          {once: 5, vessel: 0.15},
	Scrape:        {once: 10, vessel: 0.4},
	Wet:           {once: 5, vessel: 0.15},
	Cover:         {once: 10, vessel: 0.05},
	Pin:           {once: 15, vessel: 0.05},
	FitCollar:     {once: 5, vessel: 0.3},
	Fruit:         {once: 30, vessel: 0.05},
	HarvestCrop:   {once: 15, vessel: 0.5},
	Empty:         {once: 10, vessel: 0.25},
	Wash:          {once: 15, vessel: 0.3},
	InspectVessel: {once: 5, vessel: 0.1},
}

// Minutes is the hands-on time that a step takes for a batch, in seconds. It is
// 0 for a step that is not known.
func Minutes(id StepID, vessels, mixes, loads int) unit.Duration {
	e := efforts[id]
	m := e.once + e.mix*float64(mixes) + e.load*float64(loads) + e.vessel*float64(vessels)
	return unit.Duration(m * unit.Minute)
}
