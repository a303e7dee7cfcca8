package process_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/sterilizer"
	"bottlecrop/cmd/internal/unit"
)

// kind is an input whose sterilizer's entry is changed.
func kind(in process.Input, change func(*protocol.Sterilizer)) process.Input {
	k := in.Library.Sterilizers[in.Farm.Sterilizers[0].Model]
	change(&k)
	in.Library.Sterilizers = map[string]protocol.Sterilizer{k.ID: k}
	return in
}

// The demo's 120 bottles in 250 kg of steel with 30 L of water at 18 kW, by hand:
// 250 x 0.5 x 98.2 K = 12.3 MJ, 29.9 x 4.19 x 98.2 = 12.3 MJ, and 120 x (0.537 x
// 3.22 + 0.087 x 1.9) x 98.2 = 22.3 MJ. The vent blows off (18 - 1.2) kW x 600 s /
// 2.26 MJ/kg = 4.5 kg, the hold 1 kW x 7200 s / 2.21 = 3.3 kg.
func TestDemoRunByHand(t *testing.T) {
	p, err := process.Plan(input(t, "enoki-850"))
	require.NoError(t, err)
	mj := func(name string) float64 { return p.Value(name) / 1e6 }
	rise := p.Value("chamber_temperature") - 293.15
	assert.InDelta(t, 250*0.5e-3*rise, mj("heat_of_metal"), 0.01)
	assert.InDelta(t, 29.94*4.19e-3*rise, mj("heat_of_water"), 0.01)
	assert.InDelta(t, 120*(0.5372*3.224e-3+0.087*1.9e-3)*rise, mj("heat_of_load"), 0.05)
	assert.InDelta(t, 4.5, p.Value("steam_vented"), 0.05)
	assert.InDelta(t, 3.3, p.Value("steam_leaked"), 0.05)
	assert.InDelta(t, 8.8e-3, p.Value("water_boiled_off"), 0.05e-3)
	assert.Less(t, p.Value("come_up_least"), p.Value("come_up_computed"))
	assert.Less(t, p.Value("come_up_computed"), p.Value("come_up_most"))
	assert.LessOrEqual(t, p.Value("heat_of_substrate"), p.Value("heat_of_load"))
	assert.Greater(t, p.Value("water_charge"), p.Value("charge_least"), "the demo has water to spare")
}

// A hold that boils the charge away is refused, whatever else is right.
func TestHoldThatBoilsTheChargeAwayIsRefused(t *testing.T) {
	in := kind(input(t, "enoki-850"), func(k *protocol.Sterilizer) { k.SteamLoss = 4000 })
	in.Protocol.Sterilization.Hold = 3 * unit.Hour
	assert.Equal(t, protocol.Error, found(t, in)["water.charge"].Severity)
	assert.True(t, found(t, in)["water.charge"].Safety)
	// With a boiler of its own nothing in the chamber can run dry.
	in = kind(in, func(k *protocol.Sterilizer) { k.OwnBoiler = true })
	assert.NotContains(t, found(t, in), "water.charge")
	p, err := process.Plan(in)
	require.NoError(t, err)
	assert.Nil(t, p.Ledger.Get("charge_least"))
	assert.Greater(t, p.Value("boiler_makes_up"), p.Value("condensate")/998)
}

func TestWeakHeaterIsRefusedInWords(t *testing.T) {
	in := kind(input(t, "enoki-850"), func(k *protocol.Sterilizer) { k.Power = 2000 })
	assert.Equal(t, protocol.Error, found(t, in)["heater.weak"].Severity)
	assert.NotContains(t, found(t, in), "law.range", "the limit says it better")
}

// The metered energy goes before the computed one, and is told where they are
// far apart.
func TestMeterWins(t *testing.T) {
	in := input(t, "enoki-850")
	in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
	in.Farm.Sterilizers[0].Energy = 60 * 3.6e6
	p, err := process.Plan(in)
	require.NoError(t, err)
	assert.InDelta(t, 60*3.6e6, p.Value("energy_a_run"), 1)
	assert.Equal(t, protocol.Note, found(t, in)["energy.differs"].Severity)
}

// Without trays the map is a sketch that holds what the farm counts; with trays
// it is theirs, and one that counts more than they take is warned.
func TestLoadingOfTheDemo(t *testing.T) {
	in := input(t, "enoki-850")
	in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
	s := &in.Farm.Sterilizers[0]
	s.Trays, s.Wide, s.Deep = 0, 0, 0
	count := func(l process.Loading) (n int, of map[sterilizer.Use]int) {
		of = map[sterilizer.Use]int{}
		for _, layer := range l.Layers {
			for _, u := range layer.Uses {
				n++
				of[u]++
			}
		}
		return n, of
	}
	p, err := process.Plan(in)
	require.NoError(t, err)
	l := p.Loading(102, 2)
	n, of := count(l)
	assert.True(t, l.Sketch)
	assert.Equal(t, 120, n)
	assert.Equal(t, map[sterilizer.Use]int{sterilizer.Crop: 97, sterilizer.Control: 2, sterilizer.Probe: 1, sterilizer.Indicator: 2, sterilizer.Water: 18}, of)
	assert.InDelta(t, 0.095, l.Across, 1e-9)

	s.Trays, s.Wide, s.Deep = 3, 0.75, 0.65
	p, err = process.Plan(in)
	require.NoError(t, err)
	l = p.Loading(120, 2)
	assert.False(t, l.Sketch)
	assert.Len(t, l.Layers, 3)
	// 7 in 0.745 by 6 in 0.64: 42 on a tray, 126 on three.
	assert.InDelta(t, 42, p.Value("tray_places"), 0)
	s.Trays = 2
	assert.Equal(t, protocol.Warning, found(t, in)["load.trays"].Severity)
	p, err = process.Plan(in)
	require.NoError(t, err)
	assert.True(t, p.Loading(120, 2).Sketch)
	assert.Empty(t, p.Loading(121, 2).Layers, "more than go in")
}

// The kinds of the library take their own usual loads: none runs dry, is too weak
// or too slow, and none is even short of water, with the demo's vent and hold.
func TestKindsOfTheLibraryTakeTheirLoads(t *testing.T) {
	in := input(t, "enoki-850")
	in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
	s := &in.Farm.Sterilizers[0]
	s.Trays, s.Energy = 0, 0
	kinds := 0
	for id, k := range in.Library.Sterilizers {
		for _, h := range k.Holds {
			if h.Vessel != in.Protocol.Vessel {
				continue
			}
			kinds++
			s.Model, s.Holds = id, []protocol.Holds{h}
			f := found(t, in)
			for _, rule := range []string{"water.charge", "water.scarce", "heater.weak", "come_up.slow", "come_up.slow_never", "law.range"} {
				assert.NotContains(t, f, rule, id)
			}
		}
	}
	assert.Equal(t, 4, kinds)
}
