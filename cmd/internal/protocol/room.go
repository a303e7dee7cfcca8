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

// Room is one room of the farm: what stands in it, and how its air is held. What
// is left out of its equipment is not judged.
type Room struct {
	ID           string              `toml:"id" validate:"required,id" method:"-"`
	Name         string              `toml:"name" validate:"required,max=60" method:"-" prose:"true"`
	For          []string            `toml:"for" validate:"required,min=1,unique,dive,oneof=incubation ripening pinning fruiting cooling bench" method:"-"`
	Volume       unit.Volume         `toml:"volume" validate:"required" method:"-"`          // walls to walls, nothing taken off
	Places       int                 `toml:"places" validate:"min=0,max=1000000" method:"-"` // vessels that its shelves take, with air between
	Air          *unit.Temperature   `toml:"air" method:"-"`                                 // setpoint
	Humidity     *unit.Share         `toml:"humidity" method:"-"`                            // setpoint
	CO2Most      *unit.Concentration `toml:"co2_most" method:"-"`                            // setpoint, what the fan holds
	Shelving     unit.Volume         `toml:"shelving" method:"-"`                            // what the shelves themselves take
	ShelfLowest  unit.Length         `toml:"shelf_lowest" method:"-"`                        // boards above the floor; 0 where nobody said
	ShelfHighest unit.Length         `toml:"shelf_highest" method:"-"`
	Leakage      *unit.AirChanges    `toml:"leakage" method:"-"`                               // with the fan off
	Fan          *unit.AirFlow       `toml:"fan" method:"-"`                                   // fresh air at full speed
	Coil         *unit.Temperature   `toml:"coil" validate:"required_with=Cooling" method:"-"` // surface of the cooling coil: its apparatus dew point
	Cooling      *unit.Power         `toml:"cooling" method:"-"`                               // sensible, at the setpoint
	Heating      *unit.Power         `toml:"heating" method:"-"`
	Humidifier   string              `toml:"humidifier" validate:"required_with=Brings,oneof=fog steam" method:"-"`
	Brings       *unit.WaterFlow     `toml:"humidifier_brings" method:"-"`                       // of its plate
	Machines     unit.Power          `toml:"machines" method:"-"`                                // lights, fans and pumps, as a mean of the day
	People       int                 `toml:"people" validate:"min=0,max=100" method:"-"`         // who work in it at once; 0 is one
	Stay         unit.Duration       `toml:"stay" method:"-"`                                    // of each in a shift; 0 is not said
	PurgeFan     *unit.AirFlow       `toml:"purge_fan" method:"-"`                               // fresh air before somebody enters; left out, that of fan
	Purge        unit.Duration       `toml:"purge" method:"-"`                                   // how long it runs before somebody enters
	Slippery     bool                `toml:"slippery" method:"-"`                                // a floor that is wet or smooth
	Walls        []Wall              `toml:"wall" validate:"max=24,unique=Name,dive" method:"-"` // of the whole shell
}

// What the inside of a part of a room's shell faces.
const (
	FacesWall    = "wall"
	FacesCeiling = "ceiling"
	FacesFloor   = "floor"
)

// Wall is a part of a room's shell.
type Wall struct {
	Name        string            `toml:"name" validate:"required,max=60" method:"-" prose:"true"`
	Area        unit.Area         `toml:"area" validate:"required" method:"-"`
	Conductance unit.Conductance  `toml:"conductance" validate:"required" method:"-"`
	Faces       string            `toml:"faces" validate:"required,oneof=wall ceiling floor" method:"-"`
	Beyond      *unit.Temperature `toml:"beyond" method:"-"` // left out, the outdoor air of the day
}

// Outdoor is the air outside on the days that rooms are designed for.
type Outdoor struct {
	CO2    *unit.Concentration `toml:"co2" method:"-"` // left out, air.Outdoor
	Summer Weather             `toml:"summer" validate:"required" method:"-"`
	Winter Weather             `toml:"winter" validate:"required" method:"-"`
}

// Weather is outdoor air that a room has to cope with.
type Weather struct {
	Air      unit.Temperature `toml:"air" validate:"required" method:"-"`
	Humidity unit.Share       `toml:"humidity" validate:"required" method:"-"`
}

// ClosedBox is a test of how much carbon dioxide a species gives off: vessels in
// a closed box with a meter. It takes the place of what is published.
type ClosedBox struct {
	Species string             `toml:"species" validate:"required" method:"-"`
	Stage   string             `toml:"stage" validate:"required,oneof=incubation ripening pinning fruiting" method:"-"`
	Vessel  string             `toml:"vessel" validate:"required" method:"-"`
	Vessels int                `toml:"vessels" validate:"required,min=1,max=10000" method:"-"`
	Box     unit.Volume        `toml:"box" validate:"required" method:"-"`  // inside, empty
	Mass    unit.Mass          `toml:"mass" validate:"required" method:"-"` // of all substrate, spawn and mushrooms, without the vessels
	From    unit.Concentration `toml:"from" validate:"required" method:"-"`
	To      unit.Concentration `toml:"to" validate:"required" method:"-"`
	Took    unit.Duration      `toml:"took" validate:"required" method:"-"`
	Air     unit.Temperature   `toml:"air" validate:"required" method:"-"` // in the box
	On      string             `toml:"on" validate:"required,datetime=2006-01-02" method:"-"`
	By      string             `toml:"by" validate:"required,max=60" method:"-" prose:"name"`
}

// RoomKey is the path of a key of the i-th room in the farm's file, from 0.
func RoomKey(i int, key string) string { return Item("room", i) + "." + key }

// WallKey is the path of a key of the j-th wall of the i-th room.
func WallKey(i, j int, key string) string { return RoomKey(i, Item("wall", j)+"."+key) }

// ClosedBoxKey is the path of a key of the i-th test in a closed box.
func ClosedBoxKey(i int, key string) string { return Item("closed_box", i) + "." + key }
