package air_test

import (
	"math"
	"testing"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/unit"
)

type values = map[string]float64

func kelvin(celsius float64) float64 { return float64(unit.FromCelsius(celsius)) }
func celsius(kelvin float64) float64 { return unit.Temperature(kelvin).Celsius() }

const sea = 101325.0 // Pa

// must turns a refusal into NaN, which meets nothing.
func must(v float64, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return v
}

func TestSaturationMeetsPublishedTables(t *testing.T) {
	for _, r := range checks.Open(t, "climate-schedule").Run(t, "C001..C006") {
		r.Meet(t, checks.Eval(t, air.Saturation, values{"T": kelvin(r.Input(t, "T"))}))
	}
}

// saturated is the humidity ratio of saturated air.
func saturated(t *testing.T, kelvin, p float64) float64 {
	return checks.Eval(t, air.HumidityRatio, values{"p_v": checks.Eval(t, air.Saturation, values{"T": kelvin}), "p": p})
}

func TestMoistAirMeetsPublishedTables(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	for _, r := range table.Run(t, "C007..C010") {
		r.Meet(t, saturated(t, kelvin(r.Input(t, "T")), r.Input(t, "p")))
	}
	for _, r := range table.Run(t, "C011..C013") {
		k := kelvin(r.Input(t, "T"))
		r.Meet(t, checks.Eval(t, air.Enthalpy, values{"T": k, "W": saturated(t, k, r.Input(t, "p"))}))
	}
	r := table.Row(t, "C014")
	r.Meet(t, checks.Eval(t, air.Enthalpy, values{"T": kelvin(r.Input(t, "T")), "W": 0}))
	r = table.Row(t, "C015")
	r.Meet(t, checks.Eval(t, air.SpecificVolume, values{"T": kelvin(r.Input(t, "T")), "W": 0, "p": r.Input(t, "p")}))
	r = table.Row(t, "C016")
	r.Meet(t, checks.Eval(t, air.HumidityRatio, values{"p_v": r.Input(t, "pv"), "p": r.Input(t, "p")}))
	for _, id := range []string{"C017", "C020"} {
		r = table.Row(t, id)
		r.Meet(t, checks.Eval(t, air.RatioFromWetBulb,
			values{"T": kelvin(r.Input(t, "Tdb")), "T_wb": kelvin(r.Input(t, "Twb")), "p": r.Input(t, "p")}))
	}
	r = table.Row(t, "C018")
	r.Meet(t, checks.Eval(t, air.Enthalpy, values{"T": kelvin(r.Input(t, "T")), "W": r.Input(t, "W")}))
	r = table.Row(t, "C019")
	w := r.Input(t, "W")
	r.Meet(t, checks.Eval(t, air.Density, values{"W": w, "v": checks.Eval(t, air.SpecificVolume,
		values{"T": kelvin(r.Input(t, "T")), "W": w, "p": r.Input(t, "p")})}))
	r = table.Row(t, "C021")
	dry, p := kelvin(r.Input(t, "Tdb")), r.Input(t, "p")
	w = checks.Eval(t, air.RatioFromWetBulb, values{"T": dry, "T_wb": kelvin(r.Input(t, "Twb")), "p": p})
	r.Meet(t, 100*checks.Eval(t, air.RelativeHumidity,
		values{"T": dry, "p_v": checks.Eval(t, air.VaporOfRatio, values{"W": w, "p": p})}))
}

// The rows of the shorter fit are met within their 0.05 % by the one function
// for the atmosphere that the program has.
func TestAtmosphereMeetsHandbook(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	for _, r := range table.Run(t, "C022..C025") {
		r.Meet(t, must(steam.StandardPressure(r.Input(t, "z"))))
	}
	for _, r := range table.Run(t, "C026..C027") {
		r.Meet(t, celsius(must(steam.StandardTemperature(r.Input(t, "z")))))
	}
}

func TestStatesMeetIndependentRun(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	for first, rows := range map[string]string{"C028": "C028..C031", "C032": "C032..C035", "C036": "C036..C039", "C040": "C040..C043"} {
		r := table.Row(t, first)
		s, err := air.At(kelvin(r.Input(t, "T")), r.Input(t, "RH")/100, r.Input(t, "p"))
		if err != nil {
			t.Fatal(err)
		}
		for i, got := range []float64{s.HumidityRatio, celsius(s.DewPoint), s.Enthalpy, s.Density} {
			table.Run(t, rows)[i].Meet(t, got)
		}
	}
	r := table.Row(t, "C044")
	s, err := air.At(kelvin(r.Input(t, "T")), r.Input(t, "RH")/100, r.Input(t, "p"))
	if err != nil {
		t.Fatal(err)
	}
	r.Meet(t, celsius(s.WetBulb))
}

func TestBalanceMeetsChecks(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	r := table.Row(t, "C047")
	volume := checks.Eval(t, air.MolarVolume, values{"T": kelvin(r.Input(t, "T")), "p": r.Input(t, "p")})
	r.Meet(t, volume*1000)
	// 5000 ppm at 25 °C and one atmosphere, which stand in the row's inputs as words.
	table.Row(t, "C048").Meet(t, 1e6*checks.Eval(t, air.MassInVolume,
		values{"C": 5000e-6, "M": air.MolarMassCO2, "V_m": checks.Eval(t, air.MolarVolume, values{"T": kelvin(25), "p": sea})}))
	const liter, hour = 1e-3, 3600.0
	r = table.Row(t, "C049")
	r.Meet(t, 1e6*checks.Eval(t, air.Steady,
		values{"C_out": air.Outdoor, "G": r.Input(t, "G") * liter / hour, "Q": r.Input(t, "Q") / hour}))
	r = table.Row(t, "C050")
	r.Meet(t, 1e6*hour*checks.Eval(t, air.SealedRise, values{"G": r.Input(t, "G") * liter / hour, "V": r.Input(t, "V")}))
}
