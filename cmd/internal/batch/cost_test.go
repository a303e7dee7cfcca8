package batch_test

import (
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// The demo's 48 enoki bottles, worked by hand with a calculator; amounts as in
// TestDemoBatchByHand: 50 bottles filled, one mix, one load.
//
//	ingredients    4.04 kg x 0.29 + 4.53 x 0.42 + 1.93 x 0.55 + 0.0968 x 0.60 = 4.1938
//	  of it waste  4.1938 x 0.03 / 1.03                             = 0.1221
//	spawn          0.85092 kg x 6.50                                = 5.5310
//	energy         1 run x 18 kWh x 0.16                            = 2.8800
//	labor, in minutes
//	  substrate    10 receive + 15 weigh + 45 mix + 10 check + 35 fill + 7.5 tap
//	               + 12 bore + 10 cap = 144.5;      x 19 / 60       = 45.7583
//	  operator     10 start + 12.5 load + 5 vent + 10 hold + 10 off + 7.5 out
//	               + 5 cool = 60;                   x 23 / 60       = 23.0000
//	  inoculator   7 bores + 17.5 wipe + 10 cards + 26.8 inoculate
//	               = 61.3;                          x 22 / 60       = 22.4767
//	  grower       7.5 incubate + 17.5 inspect + 10 reject + 12.2 open + 7.4
//	               early fruit + 29.2 scrape
//	               + 12.2 wet + 12.4 cover + 17.4 pin + 19.4 collar
//	               + 32.4 fruit = 177.6;            x 19 / 60       = 56.2400
//	  picker       24.4 pick + 14.6 trim + 7.4 chill + 10 release
//	               = 56.4;                          x 19 / 60       = 17.8600
//	  washer       22.5 empty + 30 wash + 10 inspect + 6 shelve
//	               = 68.5;                          x 19 / 60       = 21.6917
//	bottles        (1 - 0.99^60) / 0.01 = 45.284 uses; 50 x 0.95 / 45.284 = 1.0489
//	lids           (1 - 0.98^30) / 0.02 = 22.726 uses; 50 x 0.30 / 22.726 = 0.6600
//	water          (17.07 L + 50 x 0.4 L) x 0.004                   = 0.1483
//	consumables    48 x 0.06                                        = 2.8800
//	total                                                             204.3687
//	a bottle       204.3687 / 48                                    = 4.2577
//	sold, low      48 x 0.95 x 0.50 x 188.02 g x 0.93 = 3.98678 kg: 51.262 a kg
//	sold, usual    48 x 0.95 x 0.85 x 188.02 g x 0.93 = 6.77752 kg: 30.154 a kg
func TestDemoCostByHand(t *testing.T) {
	b := compute(t, input(t, "enoki-850"), 48)
	require.True(t, b.Costed(), "%v", b.Process.Unpriced)
	want := map[string]float64{
		"ingredient": 4.1938, "spawn": 5.5310, "energy": 2.8800,
		"labor_substrate-maker": 45.7583, "labor_sterilizer-operator": 23.0000, "labor_inoculator": 22.4767,
		"labor_grower": 56.2400, "labor_picker": 17.8600, "labor_washer": 21.6917,
		"vessel": 1.0489, "lid": 0.6600, "water": 0.1483, "consumables": 2.8800,
	}
	assert.Len(t, batch.CostLines(), len(want))
	for _, line := range batch.CostLines() {
		require.Contains(t, want, line)
		assert.InDelta(t, want[line], b.Value(line+"_cost"), 0.00006, line)
		assert.InDelta(t, want[line]/48, b.Value(line+"_cost_each"), 0.000002, line)
	}
	assert.InDelta(t, 0.1221, b.Value("waste_cost"), 0.00006)
	assert.InDelta(t, 204.3687, b.Value("total_cost"), 0.0005)
	assert.InDelta(t, 4.2577, b.Value("total_cost_each"), 0.00006)
	assert.InDelta(t, 51.262, b.Value("cost_of_sold_low"), 0.001)
	assert.InDelta(t, 30.154, b.Value("cost_of_sold_usual"), 0.001)
	assert.InDelta(t, (144.5+60+61.3+177.6+56.4+68.5)*unit.Minute, b.Value("time_of_all"), 1e-6)
}

// The same bottle against bags, with a calculator: 35 g x 537.2 / 2,500 = 7.52
// g of bag; 7.52 - 75 / 45.28 - 12 / 22.73 = 5.34 g avoided; 75 / 7.52 = 9.97,
// so 10 uses; 75 / (7.52 - 0.53) = 10.7, so 11 with lids; (0.55 + 0.02) x 537.2
// / 2,500 = 0.1225 of money for bags.
func TestDemoAgainstBagsByHand(t *testing.T) {
	p := plan(t, input(t, "enoki-850"))
	assert.InDelta(t, 7.52e-3, p.Value("bag_share"), 5e-6)
	assert.InDelta(t, 5.34e-3, p.Value("waste_avoided"), 5e-6)
	assert.Equal(t, 10.0, p.Value("break_even_uses"))
	assert.Equal(t, 11.0, p.Value("break_even_with_lid"))
	assert.InDelta(t, 0.1225, p.Value("bag_cost"), 5e-5)
}

// changed is the demo's enoki with its library copied, so that a test may
// change its bottle.
func changed(t testing.TB, change func(v *protocol.Vessel)) process.Input {
	in := input(t, "enoki-850")
	v := in.Library.Vessels[in.Protocol.Vessel]
	change(&v)
	in.Library.Vessels[in.Protocol.Vessel] = v // each input reads its own library
	return in
}

// A bottle that is retired after two uses is more waste than bags, and the
// figure says so; lids that last one use never break even.
func TestNegativeWasteIsNegative(t *testing.T) {
	p := plan(t, changed(t, func(v *protocol.Vessel) { v.UsesMost, v.LidUsesMost = 2, 1 }))
	// Uses 1.99 and 1: 7.52 - 37.69 - 12 = -42.17 g.
	assert.InDelta(t, -42.17e-3, p.Value("waste_avoided"), 5e-6)
	assert.Equal(t, 10.0, p.Value("break_even_uses"))
	assert.Nil(t, p.Ledger.Get("break_even_with_lid"))
}

// With no breakage a bottle lives to its cap, and its wear is its price by that.
func TestWearWithoutBreakage(t *testing.T) {
	p := plan(t, changed(t, func(v *protocol.Vessel) { v.LostPerUse = 0 }))
	assert.Equal(t, 60.0, p.Value("vessel_uses"))
	assert.InDelta(t, 0.95/60, p.Value("vessel_wear"), 1e-12)
}

func TestNoComparisonWithoutABag(t *testing.T) {
	in := input(t, "enoki-850")
	for id, v := range in.Library.Vessels {
		if v.Form == "bag" {
			delete(in.Library.Vessels, id)
		}
	}
	b := compute(t, in, 48)
	assert.Nil(t, b.Ledger.Get("bag_share"))
	assert.Nil(t, b.Ledger.Get("waste_avoided"))
	assert.True(t, b.Costed())
}

// Each price that is left out is named with its key, and then there is no cost:
// not one of zero, and not one of the rest.
func TestMissingPrices(t *testing.T) {
	for key, change := range map[string]func(*protocol.Farm){
		"price.soy-hull":             func(f *protocol.Farm) { delete(f.Prices, "soy-hull") },
		"wage.picker":                func(f *protocol.Farm) { delete(f.Wages, protocol.OtherRoles) },
		"cost.spawn":                 func(f *protocol.Farm) { f.Costs = nil },
		"sterilizer[0].energy_a_run": func(f *protocol.Farm) { f.Sterilizers[0].Energy = 0 },
	} {
		in := input(t, "enoki-850")
		change(&in.Farm)
		b := compute(t, in, 48)
		assert.False(t, b.Costed(), key)
		var keys []string
		for _, x := range b.Process.Unpriced {
			keys = append(keys, x.Key)
		}
		assert.Contains(t, keys, key)
		for _, q := range b.Ledger.Own() {
			assert.NotEqual(t, unit.MoneyOf, q.Kind, "%s without %s", q.ID(), key)
		}
		assert.Positive(t, b.Value("time_of_all"), "hands are at work whatever they are paid")
	}
}

// A wage of a role's own goes before the one for the rest.
func TestOwnWage(t *testing.T) {
	in := input(t, "enoki-850")
	in.Farm.Wages = map[string]unit.TimePrice{"picker": {Amount: 30.0 / unit.Hour}, protocol.OtherRoles: {Amount: 20.0 / unit.Hour}}
	b := compute(t, in, 48)
	assert.InDelta(t, 56.4/60*30, b.Value("labor_picker_cost"), 1e-9)
	assert.InDelta(t, 68.5/60*20, b.Value("labor_washer_cost"), 1e-9)
}

// The library's prices are in US dollars. A farm that reckons in another
// currency is told so once for the vessel and once for the lid, and gets its
// costs when it has written its own.
func TestOtherCurrency(t *testing.T) {
	in := input(t, "enoki-850")
	in.Farm.Currency, in.Farm.VesselPrices = "EUR", nil
	b := compute(t, in, 48)
	assert.False(t, b.Costed())
	notes := 0
	for _, f := range b.Process.Findings {
		if f.Rule == "cost.currency" {
			notes++
			assert.Equal(t, protocol.Note, f.Severity)
			assert.Equal(t, "USD", f.What.Args["found"])
			assert.Equal(t, "EUR", f.What.Args["allowed"])
		}
	}
	assert.Equal(t, 2, notes)

	in.Farm.VesselPrices = map[string]unit.Money{"bottle-850": {Amount: 1, Currency: "EUR"}}
	in.Farm.LidPrices = map[string]unit.Money{"bottle-850": {Amount: 0.25, Currency: "EUR"}}
	b = compute(t, in, 48)
	assert.True(t, b.Costed())
	assert.Nil(t, b.Ledger.Get("bag_cost"), "the bag's price is still in another currency")
	assert.NotNil(t, b.Ledger.Get("waste_avoided"), "and its mass has none")

	in.Farm.Costs, in.Farm.VesselPrices = nil, nil
	for _, f := range plan(t, in).Findings {
		assert.NotEqual(t, "cost.currency", f.Rule, "a farm that asks for no costs is not told")
	}
}

// A bag is used once: its wear is its price, and nothing is washed.
func TestBagsCost(t *testing.T) {
	in := input(t, "oyster-1100")
	mass := unit.Mass(2.3)
	in.Protocol.Vessel = "bag-gusseted"
	in.Protocol.Fill = protocol.Fill{Mass: &mass, Headspace: 5e-3, LineBelowRim: 0.2, Tolerance: 0.03}
	in.Protocol.Bore = protocol.Bore{Made: protocol.BoreNone}
	in.Farm.Sterilizers[0].Holds = []protocol.Holds{{Vessel: "bag-gusseted", Count: 24}}
	p, err := process.Plan(in)
	require.NoError(t, err)
	assert.Equal(t, 0.55, p.Value("vessel_wear"))
	assert.Equal(t, 0.02, p.Value("lid_wear"))
	assert.Zero(t, p.Value("vessel_wash_water"))
	assert.Nil(t, p.Ledger.Get("bag_share"), "a bag is not compared with itself")
	assert.False(t, work.Present(work.Wash, p.Setting()))
}

// Lines add up to the total, a vessel's to a vessel's; without controls, and at
// a fixed waste allowance, k times the vessels wear, wash and use k times as
// much, and k times the spawn. Energy goes with the loads, and labor is a
// straight line in vessels, mixes and loads.
func TestCostsAreProportional(t *testing.T) {
	base := input(t, "enoki-850")
	rapid.Check(t, func(rt *rapid.T) {
		in := base
		in.Farm.Controls.UninoculatedPerLoad = 0
		in.Farm.Waste = protocol.Waste{Small: 0.03, Usual: 0.03}
		n, k := rapid.IntRange(20, 300).Draw(rt, "vessels"), rapid.IntRange(2, 8).Draw(rt, "times")
		p, err := process.Plan(in)
		require.NoError(rt, err)
		one, err := batch.Compute(p, n)
		require.NoError(rt, err)
		many, err := batch.Compute(p, n*k)
		require.NoError(rt, err)
		require.True(rt, one.Costed() && many.Costed())
		for _, b := range []*batch.Batch{one, many} {
			sum, each := 0.0, 0.0
			for _, line := range batch.CostLines() {
				sum += b.Value(line + "_cost")
				each += b.Value(line + "_cost_each")
			}
			assert.InEpsilon(rt, sum, b.Value("total_cost"), 1e-12)
			assert.InEpsilon(rt, each, b.Value("total_cost_each"), 1e-12)
			assert.InEpsilon(rt, b.Value("total_cost"), b.Value("cost_of_sold_low")*b.Value("sold_low"), 1e-12)
			assert.Greater(rt, b.Value("cost_of_sold_low"), b.Value("cost_of_sold_usual"))
		}
		for _, line := range []string{"spawn", "vessel", "lid", "consumables"} {
			assert.InEpsilon(rt, float64(k)*one.Value(line+"_cost"), many.Value(line+"_cost"), 1e-9, line)
		}
		// Weighing rounds each row by half a step of its scale at most, 5 g, and
		// no ingredient costs over 0.60 a kg.
		for _, b := range []*batch.Batch{one, many} {
			exact := 0.0
			for _, part := range p.Parts {
				exact += b.Ledger.ValueOf("received", part.ID) * b.Ledger.ValueOf("price", part.ID)
			}
			assert.InDelta(rt, exact, b.Value("ingredient_cost"), 4*0.005*0.60*float64(b.Mixes))
		}
		perLoad := func(b *batch.Batch) float64 { return b.Value("energy_cost") / float64(len(b.Loads)) }
		assert.InEpsilon(rt, perLoad(one), perLoad(many), 1e-12)
		// Picking, trimming, cooling and the release are 30 min and 0.55 min a bottle.
		assert.InEpsilon(rt, 19.0/60*(30+0.55*float64(n*k)), many.Value("labor_picker_cost"), 1e-9)
	})
}

// Decision 23: a price moves no step, amount or limit, so it does not change
// the method's fingerprint; it changes the cost. A hold
// changes the fingerprint.
func TestPricesAreNotOfTheMethod(t *testing.T) {
	read := func(changes ...string) (*farmfile.Folder, process.Input) {
		farm := fstest.MapFS{}
		require.NoError(t, fs.WalkDir(os.DirFS("../../.."), "protocols", func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			data, err := os.ReadFile("../../../" + path)
			farm[path] = &fstest.MapFile{Data: data}
			return err
		}))
		for i := 0; i < len(changes); i += 3 {
			file := farm["protocols/"+changes[i]]
			text := string(file.Data)
			require.Equal(t, 1, strings.Count(text, changes[i+1]), changes[i+1])
			file.Data = []byte(strings.Replace(text, changes[i+1], changes[i+2], 1))
		}
		folder, findings := farmfile.Read(farm, nil)
		require.NotEqual(t, protocol.Error, protocol.Worst(findings), "%v", findings)
		for _, p := range folder.Protocols {
			if p.Name == "enoki-850" {
				return folder, process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p}
			}
		}
		t.Fatal("no enoki-850")
		return nil, process.Input{}
	}
	folder, in := read()
	print, total := folder.Fingerprint("enoki-850"), compute(t, in, 48).Value("total_cost")
	require.NotEmpty(t, print)
	for _, change := range [][]string{
		{"farm.toml", `soy-hull = "0.42 USD/kg"`, `soy-hull = "0.43 USD/kg"`},
		{"farm.toml", `inoculator = "22 USD/h"`, `inoculator = "25 USD/h"`},
		{"farm.toml", `electricity = "0.16 USD/kWh"`, `electricity = "0.31 USD/kWh"`},
		{"farm.toml", `energy_a_run = "18 kWh"`, `energy_a_run = "21 kWh"`},
		{"farm.toml", `bottle-850 = "0.95 USD"`, `bottle-850 = "1.30 USD"`},
		{"farm.toml", `spawn = "6.50 USD/kg"`, `spawn = "2 USD/lb"`},
	} {
		folder, in := read(change...)
		assert.Equal(t, print, folder.Fingerprint("enoki-850"), change[2])
		assert.NotEqual(t, total, compute(t, in, 48).Value("total_cost"), change[2])
	}
	folder, _ = read("enoki-850.toml", `hold = "120 min"`, `hold = "125 min"`)
	assert.NotEqual(t, print, folder.Fingerprint("enoki-850"))
}
