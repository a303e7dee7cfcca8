package calendar

import (
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/work"
)

// phase is what is done of a cohort on one day.
type phase int

const (
	receiving phase = iota
	mixing
	spawning
	looking
	ripening
	opening
	growing // pins have come: collars go on, and the climate changes
	picking
	emptying
	washing
)

// phases has each step of the book.
var phases = map[work.StepID]phase{
	work.Receive: receiving,

	work.StartShift: mixing, work.Weigh: mixing, work.MixSubstrate: mixing, work.CheckMoisture: mixing,
	work.FillVessels: mixing, work.TapDown: mixing, work.BoreHoles: mixing, work.Cap: mixing,
	work.LoadVessels: mixing, work.Vent: mixing, work.Sterilize: mixing, work.PressureOff: mixing,
	work.Unload: mixing, work.Cool: mixing,

	work.InspectBore: spawning, work.WipeDown: spawning, work.Label: spawning, work.Inoculate: spawning, work.Incubate: spawning,

	work.Inspect: looking, work.Reject: looking,
	work.Ripen: ripening,

	work.Open: opening, work.EarlyFruit: opening, work.Scrape: opening, work.Wet: opening, work.Cover: opening, work.Pin: opening,

	work.FitCollar: growing, work.Fruit: growing,

	work.HarvestCrop: picking, work.Trim: picking, work.Chill: picking, work.Release: picking,

	work.Empty: emptying,
	work.Wash:  washing, work.InspectVessel: washing, work.Retire: washing,
}

type phasedStep struct {
	process.Step
	phase phase
}

// phased gives each step its phase. One of the farm's own has that of the step of
// the book before it at its station, or after it where it is the first there.
func phased(steps []process.Step) []phasedStep {
	out := make([]phasedStep, len(steps))
	for i, s := range steps {
		out[i] = phasedStep{s, phases[s.ID]}
		if s.Own {
			out[i].phase = phaseBeside(steps, i)
		}
	}
	return out
}

func phaseBeside(steps []process.Step, i int) phase {
	for j := i - 1; j >= 0 && steps[j].Station == steps[i].Station; j-- {
		if !steps[j].Own {
			return phases[steps[j].ID]
		}
	}
	for _, s := range steps[i+1:] {
		if !s.Own {
			return phases[s.ID]
		}
	}
	return washing // nothing comes after it
}
