// Package unit turns a written quantity such as "15 psi" or "850 mL" into a
// number in SI units and back into what a worker reads.
//
// Inside the program every number is SI (kg, m³, m, K, Pa, s, W, lx, and plain
// fractions for shares). Units exist at the two edges only: where TOML is read
// (Parse) and where a page is printed (Show). Conversion factors are the exact
// ones of NIST Special Publication 811, Appendix B.8.
package unit

// Kind says what a number measures. Two kinds may share a dimension and still
// not be exchangeable: a gauge pressure is not an absolute one, a temperature
// difference is not a temperature.
type Kind uint8

// The kinds. The comment gives the SI unit in which the program holds them.
const (
	None                  Kind = iota // no unit: a bare number such as C:N
	CountOf                           // things counted: vessels, mixes, loads
	MassOf                            // kg
	VolumeOf                          // m³
	LengthOf                          // m
	AreaOf                            // m²
	TemperatureOf                     // K
	TemperatureDifference             // K
	GaugePressureOf                   // Pa above the surrounding air
	AbsolutePressureOf                // Pa
	TimeOf                            // s
	ShareOf                           // fraction of a whole, 0 to 1 (may be negative for a change)
	DensityOf                         // kg/m³
	PowerOf                           // W
	LightOf                           // lx
	PartsPerMillion                   // mole fraction, 1e-6 = 1 ppm
	MoneyOf                           // units of the farm's currency
	PriceOfMass                       // currency per kg
	PriceOfTime                       // currency per s
	PriceOfEnergy                     // currency per J
	PriceOfVolume                     // currency per m³
	EnergyOf                          // J
	SpecificHeatOf                    // J/(kg·K)
	HeatCapacityOf                    // by volume, J/(m³·K)
	ConductivityOf                    // of heat, W/(m·K)
	ConductanceOf                     // of heat through a surface, W/(m²·K)
	AirFlowOf                         // of air or a gas, m³/s at the state of the place
	AirChangesOf                      // of the air of a room, 1/s
	WaterFlowOf                       // kg/s; a liter counts as a kilogram
	MassFlowOf                        // of a gas, kg/s
	RespirationOf                     // carbon dioxide that a mass gives off, kg/s for each kg
	HumidityRatioOf                   // water in dry air, kg/kg
	SpecificVolumeOf                  // of dry air with its water, m³/kg
	SpecificEnergyOf                  // J/kg
	MolarVolumeOf                     // m³/mol
	MolarMassOf                       // kg/mol
	MolarEnergyOf                     // J/mol
	SurfaceResistanceOf               // of air at a surface against heat, m²·K/W
	WaterOfHeatOf                     // water that a coil takes out with heat, kg/J
	PartsPerMillionAnHour             // how fast a share of the air grows, 1/s
	WaterLossOf                       // water that a mass gives off, kg/s for each kg
	FactorOf                          // by how much something is multiplied
	RateOf                            // how often something is done, 1/s
	SoundLevelOf                      // A-weighted, dB(A)
	SpeedOf                           // of air, m/s
)

// Kinded is a number that knows what it measures, so that a reader of files
// can parse any of the types below without a list of them.
type Kinded interface{ Kind() Kind }

// The named types keep quantities apart at compile time where a mix-up would
// hurt. Each holds SI units, as its Kind says.
type (
	// Mass in kg.
	Mass float64
	// Volume in m³.
	Volume float64
	// Length in m.
	Length float64
	// Temperature in K.
	Temperature float64
	// Gauge pressure in Pa above the surrounding air.
	Gauge float64
	// Absolute pressure in Pa.
	Absolute float64
	// Duration in s.
	Duration float64
	// Share is a fraction of a whole, without a basis that could be mixed up.
	Share float64
	// WetShare is a fraction of the wet mass ("wet basis", wb).
	WetShare float64
	// DryShare is a fraction of the dry matter ("dry basis", dm).
	DryShare float64
	// Density in kg/m³.
	Density float64
	// Power in W.
	Power float64
	// Light is an illuminance in lx.
	Light float64
	// Concentration is a mole fraction; 400 ppm is 4e-4.
	Concentration float64
	// Energy in J.
	Energy float64
	// AirFlow in m³/s.
	AirFlow float64
	// AirChanges of a room in 1/s.
	AirChanges float64
	// WaterFlow in kg/s.
	WaterFlow float64
	// Respiration in kg of carbon dioxide a second for each kg.
	Respiration float64
	// Area in m².
	Area float64
	// Conductance of a wall in W/(m²·K).
	Conductance float64
	// Factor is by how much something is multiplied.
	Factor float64
	// Rate is how often something is done, 1/s.
	Rate float64
	// SoundLevel is A-weighted, in dB(A).
	SoundLevel float64
	// Speed is of air, in m/s.
	Speed float64
)

// Kind implements Kinded.
func (Mass) Kind() Kind { return MassOf }

// Kind implements Kinded.
func (Volume) Kind() Kind { return VolumeOf }

// Kind implements Kinded.
func (Length) Kind() Kind { return LengthOf }

// Kind implements Kinded.
func (Temperature) Kind() Kind { return TemperatureOf }

// Kind implements Kinded.
func (Gauge) Kind() Kind { return GaugePressureOf }

// Kind implements Kinded.
func (Absolute) Kind() Kind { return AbsolutePressureOf }

// Kind implements Kinded.
func (Duration) Kind() Kind { return TimeOf }

// Kind implements Kinded.
func (Share) Kind() Kind { return ShareOf }

// Kind implements Kinded.
func (WetShare) Kind() Kind { return ShareOf }

// Kind implements Kinded.
func (DryShare) Kind() Kind { return ShareOf }

// Kind implements Kinded.
func (Density) Kind() Kind { return DensityOf }

// Kind implements Kinded.
func (Power) Kind() Kind { return PowerOf }

// Kind implements Kinded.
func (Light) Kind() Kind { return LightOf }

// Kind implements Kinded.
func (Concentration) Kind() Kind { return PartsPerMillion }

// Kind implements Kinded.
func (Energy) Kind() Kind { return EnergyOf }

// Kind implements Kinded.
func (AirFlow) Kind() Kind { return AirFlowOf }

// Kind implements Kinded.
func (AirChanges) Kind() Kind { return AirChangesOf }

// Kind implements Kinded.
func (WaterFlow) Kind() Kind { return WaterFlowOf }

// Kind implements Kinded.
func (Respiration) Kind() Kind { return RespirationOf }

// Kind implements Kinded.
func (Area) Kind() Kind { return AreaOf }

// Kind implements Kinded.
func (Conductance) Kind() Kind { return ConductanceOf }

// Kind implements Kinded.
func (Factor) Kind() Kind { return FactorOf }

// Kind implements Kinded.
func (Rate) Kind() Kind { return RateOf }

// Kind implements Kinded.
func (SoundLevel) Kind() Kind { return SoundLevelOf }

// Kind implements Kinded.
func (Speed) Kind() Kind { return SpeedOf }

// Celsius returns the temperature in °C.
func (t Temperature) Celsius() float64 { return float64(t) - zeroCelsius }

// FromCelsius returns the temperature for a reading in °C.
func FromCelsius(c float64) Temperature { return Temperature(c + zeroCelsius) }

// zeroCelsius is 0 °C in kelvin, exact (NIST SP 811, B.8).
const zeroCelsius = 273.15

// Days and the other clock units, in seconds.
const (
	Minute = 60.0
	Hour   = 3600.0
	Day    = 86400.0
	Week   = 7 * Day
)

// String names the kind in a grower's words.
func (k Kind) String() string { return kindWords[k].name }

// Example is a correct spelling of a quantity of this kind, for error texts.
func (k Kind) Example() string { return kindWords[k].example }

var kindWords = [...]struct{ name, example string }{
	None:                  {"number", "25"},
	CountOf:               {"count", "48"},
	MassOf:                {"mass", "540 g"},
	VolumeOf:              {"volume", "850 mL"},
	LengthOf:              {"length", "120 mm"},
	AreaOf:                {"area", "12 m2"},
	TemperatureOf:         {"temperature", "24 °C"},
	TemperatureDifference: {"temperature difference", "2 K"},
	GaugePressureOf:       {"gauge pressure", "15 psi"},
	AbsolutePressureOf:    {"absolute pressure", "96.4 kPa"},
	TimeOf:                {"time", "90 min"},
	ShareOf:               {"share", "65 %"},
	DensityOf:             {"density", "0.65 kg/L"},
	PowerOf:               {"power", "3 kW"},
	LightOf:               {"light", "200 lx"},
	PartsPerMillion:       {"concentration", "1000 ppm"},
	MoneyOf:               {"amount of money", "1.20 USD"},
	PriceOfMass:           {"price of a mass", "0.35 USD/kg"},
	PriceOfTime:           {"price of an hour", "21 USD/h"},
	PriceOfEnergy:         {"price of energy", "0.16 USD/kWh"},
	PriceOfVolume:         {"price of a volume", "0.004 USD/L"},
	EnergyOf:              {"energy", "9 kWh"},
	SpecificHeatOf:        {"specific heat", "3.1 kJ/(kg·K)"},
	HeatCapacityOf:        {"heat capacity by volume", "2.1 MJ/(m³·K)"},
	ConductivityOf:        {"thermal conductivity", "0.3 W/(m·K)"},
	ConductanceOf:         {"thermal conductance", "0.3 W/(m²·K)"},
	AirFlowOf:             {"flow of air", "120 m³/h"},
	AirChangesOf:          {"changes of air", "0.25 /h"},
	WaterFlowOf:           {"flow of water", "1.5 L/h"},
	MassFlowOf:            {"flow of a gas", "26 g/h"},
	RespirationOf:         {"respiration", "96 mg/(kg·h)"},
	HumidityRatioOf:       {"humidity ratio", "6 g/kg"},
	SpecificVolumeOf:      {"volume of a mass", "0.8 m³/kg"},
	SpecificEnergyOf:      {"energy of a mass", "10600 kJ/kg"},
	MolarVolumeOf:         {"molar volume", "23.1 L/mol"},
	MolarMassOf:           {"molar mass", "44.01 g/mol"},
	MolarEnergyOf:         {"molar energy", "2803 kJ/mol"},
	SurfaceResistanceOf:   {"resistance of a surface", "0.13 m²·K/W"},
	WaterOfHeatOf:         {"water with heat", "1.5 kg/kWh"},
	PartsPerMillionAnHour: {"rise of a concentration", "340 ppm/h"},
	WaterLossOf:           {"loss of water", "1.5 g/(kg·h)"},
	FactorOf:              {"factor", "2.5 times"},
	RateOf:                {"rate", "2 /min"},
	SoundLevelOf:          {"level of sound", "84 dB(A)"},
	SpeedOf:               {"speed of air", "0.45 m/s"},
}
