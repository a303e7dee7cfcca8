package climate_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// What a card says errs on the safe side: a stay and the hours without a fan are
// rounded down, a purge and the water of a day up; and no alarm of the crop's is above
// that of the people.
func TestCardErrsOnTheSafeSide(t *testing.T) {
	folder, processes := demo(t)
	rapid.Check(t, func(t *rapid.T) {
		r := drawn(t, folder.Farm, folder.Library, processes)
		if free, _ := r.Value("room_free"); free <= 0 {
			return
		}
		c := r.Card()
		if v, ok := r.Value("stay_most"); ok {
			assert.LessOrEqual(t, c.Stay, v)
			assert.Greater(t, c.Stay, v-unit.Hour)
		}
		if v, ok := r.Value("sealed_time"); ok {
			assert.LessOrEqual(t, c.FanOff, v*(1+1e-9))
			assert.Greater(t, c.FanOff, v-unit.Hour)
		}
		if v, ok := r.Value("purge_needed"); ok {
			assert.GreaterOrEqual(t, c.Purge, v)
			assert.Less(t, c.Purge, v+unit.Minute)
			assert.Equal(t, people.WarnCO2, c.Enter)
		} else {
			assert.Equal(t, people.PermissibleCO2, c.Enter)
		}
		summer, _ := r.Value("summer_duty")
		winter, _ := r.Value("winter_duty")
		assert.GreaterOrEqual(t, c.Water*1000+1e-9, max(summer, winter)*unit.Day)
		assert.Less(t, c.CO2High, c.Alarm)
		assert.True(t, c.CO2High == 0 || c.CO2High > c.CO2)
		assert.True(t, c.CO2Low < c.CO2)
		assert.Equal(t, c.CO2 >= people.PermissibleCO2, c.Stale())
		assert.Less(t, c.Humidity.High, 1.0)
	})
}

// A stage has no place in a room that is staler than it bears, however well the room's
// air suits it otherwise: oysters at 16 °C, and a room of 15 °C held at 2,400 ppm.
func TestStaleRoomsSuitFew(t *testing.T) {
	folder, processes := demo(t)
	i := slices.IndexFunc(folder.Farm.Rooms, func(r protocol.Room) bool { return r.ID == "mild-still" })
	var stand []string
	for _, s := range climate.MayStand(folder.Farm.Rooms[i], processes) {
		stand = append(stand, s.Subject())
	}
	assert.ElementsMatch(t, []string{"beech-850.fruiting", "king-oyster-1100.fruiting"}, stand)
}
