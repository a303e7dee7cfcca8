package protocol

import "bottlecrop/cmd/internal/unit"

// What a room of the farm may be for: the stages of a vessel, and where sterilized
// vessels cool and are inoculated.
const (
	RoomIncubation = "incubation"
	RoomRipening   = "ripening"
	RoomPinning    = "pinning"
	RoomFruiting   = "fruiting"
	RoomCooling    = "cooling"
	RoomBench      = "bench"
)

// Room is one room of the farm: what stands in it, and how its air is held.
type Room struct {
	ID       string              `toml:"id" validate:"required,id" method:"-"`
	Name     string              `toml:"name" validate:"required,max=60" method:"-"`
	For      []string            `toml:"for" validate:"required,min=1,unique,dive,oneof=incubation ripening pinning fruiting cooling bench" method:"-"`
	Volume   unit.Volume         `toml:"volume" validate:"required" method:"-"`          // walls to walls, nothing taken off
	Places   int                 `toml:"places" validate:"min=0,max=1000000" method:"-"` // vessels that its shelves take, with air between
	Air      *unit.Temperature   `toml:"air" method:"-"`                                 // setpoint
	Humidity *unit.Share         `toml:"humidity" method:"-"`                            // setpoint
	CO2Most  *unit.Concentration `toml:"co2_most" method:"-"`                            // setpoint, what the fan holds
}

// RoomKey is the path of a key of the i-th room in the farm's file, from 0.
func RoomKey(i int, key string) string { return item("room", i) + "." + key }
