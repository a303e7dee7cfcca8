package unit_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/unit"
)

// The rows S022 to S033 of testdata/substrate-checks.csv (NIST SP 811 as printed) are met in
// checks_test.go; here stand the exact definitions behind them.
func TestExactFactors(t *testing.T) {
	for _, c := range []struct {
		kind unit.Kind
		text string
		want float64
	}{
		{unit.MassOf, "1 lb", 0.45359237},           // SP 811 B.8, exact
		{unit.MassOf, "16 oz", 0.45359237},          // SP 811 B.8, exact
		{unit.MassOf, "1 short ton", 907.18474},     // SP 811 B.8, exact
		{unit.LengthOf, "1 in", 0.0254},             // SP 811 B.8, exact
		{unit.LengthOf, "1 ft", 0.3048},             // SP 811 B.8, exact
		{unit.VolumeOf, "1 gal", 3.785411784e-3},    // 231 in3, exact
		{unit.VolumeOf, "32 fl oz", 0.946352946e-3}, // a quart, exact
		{unit.GaugePressureOf, "1 psi", 6894.757293168361},
		{unit.TemperatureOf, "212 °F", 373.15},
		{unit.TemperatureOf, "0 C", 273.15},
		{unit.TemperatureDifference, "9 °F", 5},
		{unit.TimeOf, "90 min", 5400},
		{unit.TimeOf, "2 weeks", 1209600},
		{unit.ShareOf, "65 %", 0.65},
		{unit.ShareOf, "−2 %", -0.02},
		{unit.PartsPerMillion, "1 %", 0.01},
		{unit.DensityOf, "0.65 kg/L", 650},
		{unit.AbsolutePressureOf, "1 atm", 101325},
		{unit.AirFlowOf, "3600 m3/h", 1},
		{unit.AirFlowOf, "1 cfm", 4.719474432e-4}, // ft³/min, SP 811 B.8 prints 4.719 474 E-04
		{unit.AirFlowOf, "1000 L/s", 1},
		{unit.AirChangesOf, "3600 /h", 1},
		{unit.AirChangesOf, "3600 1/h", 1},
		{unit.WaterFlowOf, "3600 L/h", 1},
		{unit.WaterFlowOf, "86400 L/d", 1},
		{unit.WaterFlowOf, "1 gal/h", 3.785411784 / 3600}, // a liter as a kilogram
		{unit.WaterFlowOf, "192 pt/d", 3.785411784 / 3600},
		{unit.WaterFlowOf, "1 lb/h", 0.45359237 / 3600},
		{unit.MassFlowOf, "3600 g/h", 1e-3},
		{unit.MassFlowOf, "16 oz/h", 0.45359237 / 3600},
		{unit.RespirationOf, "3.6 mg/(kg h)", 1e-9},
		{unit.RespirationOf, "1 µg/(kg·s)", 1e-9},
		{unit.RespirationOf, "0.45359237 mg/(lb h)", 1e-6 / 3600},
		{unit.HumidityRatioOf, "7000 gr/lb", 1}, // a pound has 7000 grains, exact
		{unit.SpecificVolumeOf, "1 ft3/lb", 0.028316846592 / 0.45359237},
		{unit.SpecificEnergyOf, "1 Btu/lb", 2326},                   // International Table, SP 811 B.8, exact
		{unit.PowerOf, "12000 Btu/h", 3516.8528420666667},           // a ton of refrigeration, SP 811 B.8 prints 3.516 853 E+03
		{unit.ConductanceOf, "1 Btu/(h·ft²·°F)", 5.678263341113488}, // SP 811 B.8 prints 5.678 263 E+00
		{unit.ConductanceOf, "0.3 W/(m2 K)", 0.3},
		{unit.FactorOf, "2.5 times", 2.5},
		{unit.RateOf, "3 /min", 0.05},
		{unit.RateOf, "36 1/h", 0.01},
		{unit.SoundLevelOf, "84 dB(A)", 84},
		{unit.SoundLevelOf, "84.5 dBA", 84.5},
		{unit.SpeedOf, "0.45 m/s", 0.45},
		{unit.SpeedOf, "100 ft/min", 0.508}, // 1 ft is 0.3048 m, exact
		{unit.SpeedOf, "100 fpm", 0.508},
	} {
		got, err := unit.Parse(c.kind, c.text)
		require.NoError(t, err, c.text)
		assert.InEpsilon(t, c.want, got, 1e-15, c.text)
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		kind  unit.Kind
		text  string
		fault unit.Fault
		other unit.Kind
	}{
		{unit.MassOf, "540", unit.NoUnit, 0},
		{unit.MassOf, "540 stone", unit.UnknownUnit, 0},
		{unit.TimeOf, "15 kg", unit.OtherKind, unit.MassOf},
		{unit.GaugePressureOf, "15 psia", unit.OtherKind, unit.AbsolutePressureOf},
		{unit.AbsolutePressureOf, "15 psig", unit.OtherKind, unit.GaugePressureOf},
		{unit.ShareOf, "0,65 %", unit.NotANumber, 0},
		{unit.ShareOf, "1.5.2 %", unit.NotANumber, 0},
		{unit.MassOf, "about 3 kg", unit.NotANumber, 0},
		{unit.MassOf, "1e3 kg", unit.UnknownUnit, 0},
		{unit.MassOf, "NaN kg", unit.NotFinite, 0},
		{unit.MassOf, "-inf kg", unit.NotFinite, 0},
		{unit.MassOf, "", unit.NotANumber, 0},
		{unit.MassOf, "3 KG", unit.UnknownUnit, 0},
	} {
		_, err := unit.Parse(c.kind, c.text)
		var refused *unit.Error
		require.True(t, errors.As(err, &refused), c.text)
		assert.Equal(t, c.fault, refused.Fault, c.text)
		assert.Equal(t, c.other, refused.Other, c.text)
	}
}

func TestMoney(t *testing.T) {
	m, err := unit.ParseMoney("1.20 USD")
	require.NoError(t, err)
	assert.Equal(t, unit.Money{Amount: 1.2, Currency: "USD"}, m)
	p, err := unit.ParsePrice(unit.PriceOfMass, "0.45359237 USD/lb")
	require.NoError(t, err)
	assert.InEpsilon(t, 1.0, p.Amount, 1e-15)
	_, err = unit.ParsePrice(unit.PriceOfMass, "0.35 USD/h")
	require.Error(t, err)
	_, err = unit.ParsePrice(unit.PriceOfMass, "0.35")
	require.Error(t, err)
	_, err = unit.ParseMoney("12 bucks")
	require.Error(t, err)
}

func TestShow(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{unit.Amount{Kind: unit.MassOf, Value: 41.234, Step: 0.01}.Show(unit.Metric), "41.23\u00a0kg"},
		{unit.Amount{Kind: unit.MassOf, Value: 0.0232, Step: 0.0001}.Show(unit.Metric), "23.2\u00a0g"},
		{unit.Amount{Kind: unit.MassOf, Value: 0.4, Step: 0.01}.Show(unit.Metric), "400\u00a0g"},
		{unit.Show(unit.MassOf, 0.5372, unit.Metric, 6), "537.2\u00a0g"},
		{unit.Show(unit.MassOf, 0.99999999999, unit.Metric, 4), "1\u00a0kg"},
		{unit.Show(unit.TemperatureOf, 394.1, unit.Metric, 5), "120.95\u00a0°C"},
		{unit.Show(unit.TemperatureOf, 373.15, unit.US, 4), "212\u00a0°F"},
		{unit.Show(unit.ShareOf, -0.02, unit.Metric, 4), "−2\u00a0%"},
		{unit.Show(unit.TimeOf, 14*unit.Day, unit.Metric, 4), "14\u00a0d"},
		{unit.Show(unit.TimeOf, 5400, unit.Metric, 4), "90\u00a0min"},
		{unit.Show(unit.MassOf, 221326.4, unit.Metric, 4), "221300\u00a0kg"},
		{unit.Metric.Number(-0.0001, 0.01), "0.00"},
		{unit.Metric.Number(12, 0.25), "12.00"},
		{unit.Metric.Money(12.345, "USD"), "12.35\u00a0USD"},
		{unit.Metric.ShowIn(unit.GaugePressureOf, 103421.36, "psi", unit.SizeOf(unit.GaugePressureOf, "psi")/2), "15.0\u00a0psi"},
	} {
		assert.Equal(t, c.want, c.got)
	}
}

func TestNiceStep(t *testing.T) {
	lb := unit.SizeOf(unit.MassOf, "lb")
	assert.InEpsilon(t, 0.05*lb, unit.NiceStep(unit.MassOf, 0.010, "lb"), 1e-12)
	assert.InEpsilon(t, 0.01, unit.NiceStep(unit.MassOf, 0.010, "kg"), 1e-12)
	assert.InEpsilon(t, 0.0001, unit.NiceStep(unit.MassOf, 0.0001, "g"), 1e-12)
}

// What is shown to enough digits reads back as the same value.
func TestShowReadsBack(t *testing.T) {
	kinds := []unit.Kind{
		unit.MassOf, unit.VolumeOf, unit.LengthOf, unit.TemperatureOf, unit.TemperatureDifference,
		unit.GaugePressureOf, unit.AbsolutePressureOf, unit.TimeOf, unit.ShareOf, unit.DensityOf,
		unit.PowerOf, unit.LightOf, unit.PartsPerMillion, unit.AreaOf,
	}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		sys := rapid.SampledFrom([]unit.System{unit.Metric, unit.US}).Draw(t, "system")
		v := rapid.Float64Range(1e-3, 1e5).Draw(t, "value")
		got, err := unit.Parse(k, unit.Show(k, v, sys, 12))
		if err != nil {
			t.Fatal(err)
		}
		if diff := got - v; diff > 1e-8*v+1e-8 || diff < -1e-8*v-1e-8 {
			t.Fatalf("%s shows %v as %q, which reads %v", k, v, unit.Show(k, v, sys, 12), got)
		}
	})
}

// A time in minutes that is next to nothing is told as less than the least that
// is told of one; none at all is none, and an instrument's step wins.
func TestNextToNoMinutes(t *testing.T) {
	for _, c := range []struct {
		seconds, step float64
		unit, want    string
	}{
		{4.5e-6, 0, "min", "< 0.01 min"}, {0.5999, 0, "min", "< 0.01 min"}, {0.6, 0, "min", "0.01 min"},
		{0, 0, "min", "0 min"}, {-0.3, 0, "min", "−0.005 min"}, {900, 0, "min", "15 min"},
		{4.5e-6, 60, "min", "0 min"}, {0.3, 0, "", "0.3 s"},
	} {
		got := unit.Amount{Kind: unit.TimeOf, Value: c.seconds, Step: c.step, Unit: c.unit}.Show(unit.Metric)
		assert.Equal(t, c.want, strings.ReplaceAll(got, unit.Space, " "), "%v s", c.seconds)
	}
}
