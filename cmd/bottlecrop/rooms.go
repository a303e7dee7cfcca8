package main

import (
	"slices"

	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/season"
)

// judgeRooms judges the farm's rooms, full of what the protocols without errors would
// put there.
func (f *farm) judgeRooms() {
	if !f.folder.Usable {
		return
	}
	f.add(climate.Findings(f.site(), f.processes()))
}

// site is what all rooms of the farm share.
func (f *farm) site() *climate.Site {
	if f.shared == nil {
		f.shared = climate.NewSite(f.folder.Farm, f.folder.Library)
		f.shared.Call = leaf.StandingName(f.voice)
	}
	return f.shared
}

// climate is what the book shows of the rooms, nil where none has setpoints.
func (f *farm) climate(planned *leaf.Season) *leaf.Climate {
	rooms := climate.Rooms(f.site(), f.processes())
	if len(rooms) == 0 {
		return nil
	}
	out := &leaf.Climate{Site: f.site(), Rooms: rooms, Processes: f.processes()}
	if planned != nil {
		out.Busiest = map[string]leaf.Busiest{}
		for i, r := range f.folder.Farm.Rooms {
			if b, ok := busiest(f.site(), i, planned.Season, r.ID); ok {
				out.Busiest[r.ID] = b
			}
		}
	}
	return out
}

// busiest is a room on the day of a season on which what stands there gives off most
// CO2. Something comes in on few days, and of these one is worked out whole.
func busiest(site *climate.Site, i int, planned *season.Season, id string) (out leaf.Busiest, ok bool) {
	most := 0.0
	var then []climate.Standing
	for _, day := range planned.Changes(id) {
		var standing []climate.Standing
		for _, stay := range planned.In(id, day) {
			p := planned.Batches[stay.Batch].Batch.Process
			// Batches of one protocol breathe alike: they count together.
			k := slices.IndexFunc(standing, func(s climate.Standing) bool { return s.Process == p && s.Stage == stay.Stage })
			if k < 0 {
				k, standing = len(standing), append(standing, climate.Standing{Process: p, Stage: stay.Stage})
			}
			standing[k].Vessels += stay.Vessels
		}
		if g, ok := climate.GivesOff(site, i, standing); ok && g > most {
			most, then, out.Day = g, standing, day
		}
	}
	if then == nil {
		return out, false
	}
	out.Room = climate.Work(site, i, then)
	return out, true
}
