package work

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Every step has its place, and no other has; a station is one stretch of the
// cycle, so that nobody walks back and forth.
func TestEveryStepHasItsPlace(t *testing.T) {
	assert.Len(t, places, len(Steps()))
	var passed []Station
	for _, id := range Steps() {
		assert.Contains(t, Roles(), RoleOf(id), id)
		if s := StationOf(id); len(passed) == 0 || passed[len(passed)-1] != s {
			passed = append(passed, s)
		}
	}
	assert.Equal(t, Stations(), passed)
}

// What each setting brings in, by the trade: a bag is not tapped, bored,
// capped, collared or washed; the rest is the author's choice.
func TestPresent(t *testing.T) {
	all := Setting{Reusable: true, Bored: true, Ripened: true, Scraped: true, Wetted: true, Covered: true, Collared: true}
	absent := func(change func(*Setting)) []StepID {
		s := all
		change(&s)
		out := []StepID{}
		for _, id := range Steps() {
			if !Present(id, s) {
				out = append(out, id)
			}
		}
		return out
	}
	assert.Empty(t, absent(func(*Setting) {}))
	assert.Equal(t, []StepID{"tap-down", "bore", "cap", "inspect-bore", "collar", "wash", "inspect-vessel", "retire"}, absent(func(s *Setting) { s.Reusable = false }))
	assert.Equal(t, []StepID{"bore", "inspect-bore"}, absent(func(s *Setting) { s.Bored = false }))
	assert.Equal(t, []StepID{"ripen"}, absent(func(s *Setting) { s.Ripened = false }))
	assert.Equal(t, []StepID{"scrape"}, absent(func(s *Setting) { s.Scraped = false }))
	assert.Equal(t, []StepID{"wet"}, absent(func(s *Setting) { s.Wetted = false }))
	assert.Equal(t, []StepID{"cover"}, absent(func(s *Setting) { s.Covered = false }))
	assert.Equal(t, []StepID{"collar"}, absent(func(s *Setting) { s.Collared = false }))
}

// A control is filled, capped, sterilized, looked at and washed, but never
// inoculated, opened or picked.
func TestControlsMissWhatIsGrown(t *testing.T) {
	for _, id := range []StepID{Inoculate, Open, EarlyFruit, Scrape, Wet, Cover, Pin, FitCollar, Fruit, HarvestCrop, Trim, Chill, Release} {
		assert.True(t, OnlyGrown(id), id)
	}
	for _, id := range []StepID{FillVessels, Cap, LoadVessels, Cool, Label, Incubate, Inspect, Empty, Wash, InspectVessel} {
		assert.False(t, OnlyGrown(id), id)
	}
}
