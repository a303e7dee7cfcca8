package unit

import (
	"maps"
	"slices"
)

// symbol is one unit: an SI value is factor·x + offset. The first symbol of a
// kind that matches is used; spelling is case-sensitive because m and M, or
// g and G, are different things to a physicist.
type symbol struct {
	factor float64
	offset float64
	names  []string
}

// Exact bases of the US customary units (NIST SP 811, B.8).
const (
	pound      = 0.45359237 // kg
	inch       = 0.0254     // m
	foot       = 12 * inch  // m
	yard       = 3 * foot   // m
	gallon     = 231 * inch * inch * inch
	gravity    = 9.80665 // m/s², standard acceleration of free fall
	psi        = pound * gravity / (inch * inch)
	fahrenheit = 5.0 / 9
	// The British thermal unit of the International Table (SP 811, B.8), exact.
	btu   = 1055.05585262 // J
	grain = pound / 7000
)

var symbols = map[Kind][]symbol{
	MassOf: {
		{1e-3, 0, []string{"g"}}, {1, 0, []string{"kg"}}, {1e-6, 0, []string{"mg"}},
		{1000, 0, []string{"t"}},
		{pound, 0, []string{"lb", "lbs"}}, {pound / 16, 0, []string{"oz"}},
		{2000 * pound, 0, []string{"short ton"}},
	},
	VolumeOf: {
		{1e-6, 0, []string{"mL", "ml", "cm3", "cm³"}}, {1e-3, 0, []string{"L", "l"}},
		{1, 0, []string{"m3", "m³"}},
		{gallon / 128, 0, []string{"fl oz"}}, {gallon / 16, 0, []string{"cup", "cups"}},
		{gallon / 8, 0, []string{"pt"}}, {gallon / 4, 0, []string{"qt"}},
		{gallon, 0, []string{"gal"}}, {foot * foot * foot, 0, []string{"ft3", "ft³"}},
		{yard * yard * yard, 0, []string{"yd3", "yd³"}},
	},
	LengthOf: {
		{1e-3, 0, []string{"mm"}}, {1e-2, 0, []string{"cm"}}, {1, 0, []string{"m"}},
		{1000, 0, []string{"km"}}, {inch, 0, []string{"in"}}, {foot, 0, []string{"ft"}},
		{yard, 0, []string{"yd"}},
	},
	AreaOf: {{1, 0, []string{"m2", "m²"}}, {foot * foot, 0, []string{"ft2", "ft²"}}},
	TemperatureOf: {
		{1, zeroCelsius, []string{"°C", "C"}},
		{fahrenheit, 459.67 * fahrenheit, []string{"°F", "F"}}, {1, 0, []string{"K"}},
	},
	TemperatureDifference: {
		{1, 0, []string{"K", "°C", "C"}}, {fahrenheit, 0, []string{"°F", "F"}},
	},
	GaugePressureOf: {
		{psi, 0, []string{"psi", "psig"}}, {1000, 0, []string{"kPa"}}, {1e5, 0, []string{"bar"}},
		{1e6, 0, []string{"MPa"}}, {100, 0, []string{"mbar"}}, {1, 0, []string{"Pa"}},
	},
	AbsolutePressureOf: {
		{1000, 0, []string{"kPa"}}, {100, 0, []string{"hPa", "mbar"}}, {1e5, 0, []string{"bar"}},
		{1, 0, []string{"Pa"}}, {psi, 0, []string{"psia"}},
		// The conventional inch and millimeter of mercury of SP 811, B.8
		// (0 °C, standard gravity); not exact by definition.
		{3386.389, 0, []string{"inHg"}}, {133.3224, 0, []string{"mmHg"}},
		{101325, 0, []string{"atm"}},
	},
	TimeOf: {
		{Minute, 0, []string{"min"}}, {Hour, 0, []string{"h"}}, {Day, 0, []string{"d", "day", "days"}},
		{1, 0, []string{"s"}}, {Week, 0, []string{"week", "weeks"}},
	},
	ShareOf: {{1e-2, 0, []string{"%"}}},
	DensityOf: {
		{1000, 0, []string{"kg/L", "g/mL", "g/cm3", "g/cm³"}}, {1, 0, []string{"kg/m3", "kg/m³", "g/L"}},
		{pound / (foot * foot * foot), 0, []string{"lb/ft3", "lb/ft³"}},
		{pound / (yard * yard * yard), 0, []string{"lb/yd3", "lb/yd³"}},
		{pound / gallon, 0, []string{"lb/gal"}},
	},
	PowerOf: {{1, 0, []string{"W"}}, {1000, 0, []string{"kW"}}, {btu / Hour, 0, []string{"Btu/h", "BTU/h"}}},
	LightOf: {
		{1, 0, []string{"lx"}}, {1000, 0, []string{"klx"}},
		{1 / (foot * foot), 0, []string{"fc"}}, // one lumen a square foot
	},
	PartsPerMillion: {{1e-6, 0, []string{"ppm"}}, {1e-2, 0, []string{"%"}}},
	SpecificHeatOf:  {{1e3, 0, []string{"kJ/(kg·K)"}}, {1, 0, []string{"J/(kg·K)"}}},
	HeatCapacityOf:  {{1e6, 0, []string{"MJ/(m³·K)"}}},
	ConductivityOf:  {{1, 0, []string{"W/(m·K)"}}},
	ConductanceOf: {
		{1, 0, []string{"W/(m²·K)", "W/(m2·K)", "W/(m2 K)", "W/m2K"}},
		{btu / Hour / (foot * foot * fahrenheit), 0, []string{"Btu/(h·ft²·°F)", "Btu/(h ft2 °F)", "Btu/(h ft2 F)"}},
	},
	EnergyOf: {{3.6e6, 0, []string{"kWh"}}, {1e6, 0, []string{"MJ"}}, {1e3, 0, []string{"kJ"}}, {1, 0, []string{"J"}}},
	AirFlowOf: {
		{1 / Hour, 0, []string{"m³/h", "m3/h"}}, {1, 0, []string{"m³/s", "m3/s"}},
		{1e-3, 0, []string{"L/s", "l/s"}},
		{foot * foot * foot / Minute, 0, []string{"cfm", "CFM", "ft³/min", "ft3/min"}},
	},
	AirChangesOf: {{1 / Hour, 0, []string{"/h", "1/h", "ACH", "ach"}}},
	// A liter of cold water is a kilogram within 0.2 %; a humidifier's plate is no
	// better. The gallon and the pint are those many liters.
	WaterFlowOf: {
		{1 / Hour, 0, []string{"L/h", "l/h", "kg/h"}}, {1e-3 / Hour, 0, []string{"mL/h", "ml/h", "g/h"}},
		{1 / Day, 0, []string{"L/d", "l/d"}}, {1, 0, []string{"kg/s"}},
		{pound / Hour, 0, []string{"lb/h"}}, {1000 * gallon / Hour, 0, []string{"gal/h"}},
		{1000 * gallon / Day, 0, []string{"gal/d"}}, {1000 * gallon / 8 / Day, 0, []string{"pt/d"}},
	},
	MassFlowOf: {
		{1e-3 / Hour, 0, []string{"g/h"}}, {1 / Hour, 0, []string{"kg/h"}}, {1e-6 / Hour, 0, []string{"mg/h"}},
		{1, 0, []string{"kg/s"}}, {pound / 16 / Hour, 0, []string{"oz/h"}}, {pound / Hour, 0, []string{"lb/h"}},
	},
	RespirationOf: {
		{1e-6 / Hour, 0, []string{"mg/(kg·h)", "mg/(kg h)", "mg/kg/h"}},
		{1e-9, 0, []string{"µg/(kg·s)", "ug/(kg s)"}},
		{1e-6 / pound / Hour, 0, []string{"mg/(lb·h)", "mg/(lb h)"}},
	},
	HumidityRatioOf:       {{1e-3, 0, []string{"g/kg"}}, {grain / pound, 0, []string{"gr/lb"}}},
	SpecificVolumeOf:      {{1, 0, []string{"m³/kg", "m3/kg"}}, {foot * foot * foot / pound, 0, []string{"ft³/lb", "ft3/lb"}}},
	SpecificEnergyOf:      {{1000, 0, []string{"kJ/kg"}}, {1, 0, []string{"J/kg"}}, {btu / pound, 0, []string{"Btu/lb"}}},
	MolarVolumeOf:         {{1e-3, 0, []string{"L/mol"}}},
	MolarMassOf:           {{1e-3, 0, []string{"g/mol"}}},
	MolarEnergyOf:         {{1000, 0, []string{"kJ/mol"}}},
	WaterOfHeatOf:         {{1 / 3.6e6, 0, []string{"kg/kWh"}}},
	PartsPerMillionAnHour: {{1e-6 / Hour, 0, []string{"ppm/h"}}},
	WaterLossOf:           {{1e-3 / Hour, 0, []string{"g/(kg·h)"}}},
	FactorOf:              {{1, 0, []string{"times"}}},
	SurfaceResistanceOf:   {{1, 0, []string{"m²·K/W", "m2·K/W"}}},
	RateOf:                {{1 / Minute, 0, []string{"/min", "1/min"}}, {1 / Hour, 0, []string{"/h", "1/h"}}, {1, 0, []string{"/s", "1/s"}}},
	SoundLevelOf:          {{1, 0, []string{"dB(A)", "dBA"}}},
	SpeedOf:               {{1, 0, []string{"m/s"}}, {foot / Minute, 0, []string{"ft/min", "fpm"}}},
}

// perUnits are the denominators of the kinds of price.
var perUnits = map[Kind]map[string]float64{
	PriceOfMass:   {"kg": 1, "g": 1e-3, "t": 1000, "lb": pound, "oz": pound / 16, "short ton": 2000 * pound},
	PriceOfTime:   {"h": Hour, "min": Minute, "d": Day},
	PriceOfEnergy: {"kWh": 3.6e6, "MJ": 1e6},
	PriceOfVolume: {"L": 1e-3, "m3": 1, "m³": 1, "gal": gallon},
}

// find returns the symbol of a kind with that name.
func find(k Kind, name string) (symbol, bool) {
	for _, s := range symbols[k] {
		for _, n := range s.names {
			if n == name {
				return s, true
			}
		}
	}
	return symbol{}, false
}

// Names lists the units accepted for a kind, the usual one first.
func Names(k Kind) []string {
	var out []string
	for _, s := range symbols[k] {
		out = append(out, s.names[0])
	}
	return out
}

// Spellings lists all that Parse, ParseMoney and ParsePrice take as the unit of a kind:
// of money nothing, since its unit is a currency; of a price what follows the slash.
func Spellings(k Kind) []string {
	var out []string
	for _, s := range symbols[k] {
		out = append(out, s.names...)
	}
	return append(out, slices.Sorted(maps.Keys(perUnits[k]))...)
}
