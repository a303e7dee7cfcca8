package batch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
)

// By hand, with the balance of the substrate reference, A4: the golden mix of 100
// vessels of 1,100 mL has 25.127 kg of dry matter, which weighs 71.79 kg at 65 % and
// 59.83 kg at 58 %: 12.0 kg of water are missing, read to 0.2 kg on a scale of 1 g.
// Its dry goods are 13.374 + 13.759 + 0.251 kg as received with 2.257 kg of water. At 67 % the mix weighs 76.14 kg and is 1.523 kg of water too wet; a kilogram
// of goods takes up 0.65 - 0.0824 = 0.5676 kg, so it wants 2.683 kg of them, 9.80 %.
func TestCorrectionsOfTheGoldenMixByHand(t *testing.T) {
	in := golden(t, 1.1e-3, 75e-6)
	in.Farm.Mixer.Capacity = 100
	b := compute(t, in, 100)
	require.Equal(t, 1, b.Mixes)
	dry := 0.0
	for _, row := range b.Mix.Rows {
		if row.ID != batch.Water {
			dry += row.Mass * (1 - b.Ledger.ValueOf("moisture_received", row.ID))
		}
	}
	byReading := map[int]batch.Correction{}
	for _, c := range b.Corrections {
		byReading[c.Reads] = c
	}
	assert.InDelta(t, dry/0.35-dry/0.42, b.Ledger.ValueOf("water_for_reading", "reads-58"), 1e-9)
	assert.InDelta(t, 12.0, byReading[58].Water.Value, 0.11)
	assert.InDelta(t, 0.0980, b.Ledger.ValueOf("goods_for_reading", "reads-67"), 2e-4)
	assert.InDelta(t, 1.31, byReading[67].Goods[0].Amount.Value, 0.025)
}

// What the table says, rounded as it is printed, brings a mix that reads so back to
// its moisture: within 0.2 points, by the definition of moisture. A reading that is
// right has no row.
func TestCorrectedMixIsRight(t *testing.T) {
	in := golden(t, 1.1e-3, 75e-6)
	checks.Cases(t, 12)
	rapid.Check(t, func(rt *rapid.T) {
		in := in
		in.Protocol.Substrate.Moisture = unit.WetShare(rapid.Float64Range(0.6, 0.68).Draw(rt, "moisture"))
		in.Measured = map[string]unit.WetShare{"soy-hull": unit.WetShare(rapid.Float64Range(0.02, 0.3).Draw(rt, "soy hull"))}
		b := compute(t, in, rapid.IntRange(60, 1500).Draw(rt, "vessels"))
		m, dry, brought := b.Value("moisture_mixed"), b.Value("dry_in_mix"), b.Value("water_in_mix_received")
		require.NotEmpty(rt, b.Corrections)
		for i, c := range b.Corrections {
			if i > 0 {
				require.Greater(rt, c.Reads, b.Corrections[i-1].Reads)
			}
			r := float64(c.Reads) / 100
			require.Greater(rt, max(m-r, r-m), substrate.MoistureGive-1e-9)
			water, solids := dry*r/(1-r)+c.Water.Value, dry
			more := 0.0
			for _, g := range c.Goods {
				moisture := b.Ledger.ValueOf("moisture_received", g.ID)
				water += g.Amount.Value * moisture
				solids += g.Amount.Value * (1 - moisture)
				more += g.Amount.Value
			}
			require.Equal(rt, r > m, len(c.Goods) > 0)
			require.Equal(rt, r < m, c.Water.Value > 0)
			assert.InDelta(rt, m, water/(water+solids), 0.002, "%d %%", c.Reads)
			require.LessOrEqual(rt, more, substrate.MostGoods*1.03*(dry+brought))
			if whole := water + solids; whole > 1.01*b.Value("mixer_capacity") {
				require.True(rt, c.Over, "%g kg", whole)
			}
		}
	})
}

// Goods that are nearly as wet as the mix correct nothing: the table has no row for
// a mix that is too wet.
func TestWetGoodsAreNoHelp(t *testing.T) {
	in := golden(t, 1.1e-3, 75e-6)
	in.Measured = map[string]unit.WetShare{"soy-hull": 0.7, "hardwood-pellet": 0.4}
	b := compute(t, in, 100)
	for _, c := range b.Corrections {
		assert.Empty(t, c.Goods)
	}
	assert.NotEmpty(t, b.Corrections)
}
