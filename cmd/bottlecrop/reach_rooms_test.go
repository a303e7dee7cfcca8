package main

import (
	"fmt"
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The demo farm's rooms, as they stand in its file.
const (
	incubating = 1
	pinning    = 3
	cold       = 4
	still      = 5 // stands empty where enoki alone is grown
	fresh      = 6 // likewise
)

// inRoom writes one key of a room.
func inRoom(room int, key string, value any) alteration {
	return onFarm(fmt.Sprintf("room[%d].%s", room, key), value)
}

// inBox writes one key of the test in a closed box.
func inBox(key string, value any) alteration { return onFarm("closed_box[0]."+key, value) }

// breathes writes a published rate into the species' entry.
func breathes(rate, q10 string) alteration {
	return alteration{"protocols/library/species.toml", func(t *testing.T, src []byte) []byte {
		const entry = "id = \"enoki\"\n"
		require.Equal(t, 1, strings.Count(string(src), entry))
		own := fmt.Sprintf("respiration = [{of = \"spawn-run\", rate = %q, at = \"21 °C\", q10 = %q, source = \"made up\"}]\n", rate, q10)
		return []byte(strings.Replace(string(src), entry, entry+own, 1))
	}}
}

// roomReaches are those of the limits of rooms.
var roomReaches = map[string]reach{
	"outdoor.co2":       by(onFarm("outdoor.co2", "520 ppm")),
	"outdoor.co2_never": by(onFarm("outdoor.co2", "290 ppm")),

	"rooms.none":         by(inRoom(cold, "air", "11 °C")),
	"rooms.humidity":     by(inRoom(cold, "humidity", "75 %")),
	"rooms.filled":       by(inRoom(cold, "volume", "1.6 m³")),
	"rooms.filled_never": by(inRoom(cold, "volume", "1.1 m³")),
	"rooms.air_left":     by(inRoom(fresh, "shelving", "50 m³")),
	"rooms.volume":       by(inRoom(fresh, "volume", "0.9 m³")),
	"rooms.air":          by(inRoom(fresh, "air", "41 °C")),
	"rooms.coil":         by(inRoom(fresh, "coil", "18 °C")),
	"rooms.wall":         by(inRoom(fresh, "wall[0].conductance", "0.02 W/(m²·K)")),

	"breath.unusual":         by(inBox("to", "1200 ppm")),
	"breath.never":           by(inBox("mass", "600 g")),
	"breath.published":       by(breathes("10 mg/(kg·h)", "2.5 times")),
	"breath.published_never": by(breathes("1600 mg/(kg·h)", "2.5 times")),
	"q10.unusual":            by(breathes("128 mg/(kg·h)", "3.5 times")),
	"q10.never":              by(breathes("128 mg/(kg·h)", "6 times")),
	"box.full":               by(inBox("box", "10 L")).crossing("breath.never"),
	"box.strong":             by(inBox("to", "2.5 %")),
	"box.rise":               by(inBox("to", "500 ppm")).crossing("breath.never"),
	"box.took":               by(inBox("took", "5 h")),

	"rooms.co2_outdoor":   by(inRoom(fresh, "co2_most", "420 ppm")),
	"rooms.co2_deadly":    by(inRoom(fresh, "co2_most", "4 %")).crossing("rooms.staffed_never"),
	"rooms.staffed":       by(inRoom(fresh, "co2_most", "3000 ppm")),
	"rooms.staffed_never": by(inRoom(fresh, "co2_most", "6000 ppm")),
	"rooms.shift":         by(inRoom(still, "fan", "0 m³/h"), inRoom(still, "stay", "6 h")),
	"rooms.shift_never":   by(inRoom(still, "fan", "0 m³/h"), inRoom(still, "stay", "10 h")),
	"rooms.purge":         by(inRoom(cold, "fan", "0.2 m³/h"), inRoom(cold, "purge_fan", "0.2 m³/h")).crossing("rooms.fan_never", "rooms.staffed"),
	"rooms.purge_short":   by(inRoom(fresh, "co2_most", "4000 ppm"), inRoom(fresh, "purge", "1 min")),
	"rooms.sealed":        by(inRoom(still, "leakage", "0 /h"), inRoom(still, "fan", "0 m³/h")).crossing("rooms.leak"),
	"rooms.leak":          by(inRoom(still, "leakage", "1.2 /h")),
	"rooms.unreachable":   by(inRoom(cold, "leakage", "0.5 /h")),
	"rooms.fan":           by(inRoom(incubating, "fan", "29 m³/h")),
	"rooms.fan_never":     by(inRoom(incubating, "fan", "20 m³/h")).crossing("rooms.staffed"),

	"rooms.chiller":       by(inRoom(incubating, "cooling", "520 W")),
	"rooms.chiller_never": by(inRoom(incubating, "cooling", "400 W")),
	"rooms.heater":        by(inRoom(incubating, "heating", "700 W")),
	"rooms.humidifier":    by(inRoom(incubating, "humidifier_brings", "0.4 L/h")).after(inRoom(pinning, "humidifier_brings", "1 L/h")),
	"rooms.drips":         by(inRoom(pinning, "wall[1].conductance", "0.3 W/(m²·K)")),
	"rooms.brought_cold":  by(on("sterilization.cool_to", "12 °C")),
}

// Where a protocol's own air is far off, the farm's rooms are not made for it, or what
// is brought in from the stage before drips.
var alsoInRooms = map[string][]string{
	"rooms.none": {"incubation.air", "incubation.core", "incubation.rise", "pinning.air_never",
		"incubation.outdoor", "pinning.outdoor", "fruiting.outdoor"},
	"rooms.brought_cold": {"cool.cold", "fruiting.air"},
}

func init() {
	maps.Copy(reaches, roomReaches)
	for rule, ids := range alsoInRooms {
		for _, id := range ids {
			reaches[id] = reaches[id].crossing(append(reaches[id].also, rule)...)
		}
	}
}
