package stock_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/stock"
	"bottlecrop/cmd/internal/unit"
)

// What is taken of a lot is gone for the next batch, to the last gram: it takes the next
// lot, and a lot that has nothing left is not named. Lots of what a protocol has no use
// for stay as they are.
func TestUsedUpAndForeignLotsAreLeft(t *testing.T) {
	in := demo(t)["enoki-850"]
	b := compute(t, in, 48)
	s := shelf(b, weighed)
	s.Lots = append(s.Lots, protocol.Lot{ID: "stray", Ingredient: "rye-grain", Mass: 5, ReceivedOn: "2025-01-01"})
	for _, l := range shelf(b, weighed).Lots {
		l.ID, l.ReceivedOn = l.ID+" 2", "2026-04-01"
		s.Lots = append(s.Lots, l)
	}
	first, err := stock.New(in, stock.Of(s))
	require.NoError(t, err)
	_, made, err := first.Make(48)
	require.NoError(t, err)
	left := stock.Of(s).Less(made)
	second, err := stock.New(in, left)
	require.NoError(t, err)
	planned, err := second.Input(48)
	require.NoError(t, err)
	for _, x := range planned.Stock {
		assert.Positive(t, float64(x.Left), x.Lot.ID)
		assert.NotEqual(t, "stray", x.Lot.ID)
	}
	_, again, err := second.Make(48)
	require.NoError(t, err)
	assert.False(t, again.Short())
	for _, r := range again.Mix.Rows {
		for _, p := range r.Portions {
			assert.Equal(t, r.ID+" 2", p.Lot)
		}
	}
	empty := left.Less(again)
	for _, l := range empty.Lots() {
		if l.ID == "stray" {
			assert.Equal(t, unit.Mass(5), l.Left)
			continue
		}
		assert.InDelta(t, 0, float64(l.Left), 1e-9, l.ID)
	}
}

// Of ingredients that are short the one comes first of which the largest part is missing:
// by hand, a half of one and a tenth of the other.
func TestShortestFirst(t *testing.T) {
	in := demo(t)["enoki-850"]
	b := compute(t, in, 200)
	for _, by := range []map[string]float64{{"soy-hull": 0.5, "wheat-bran": 0.9}, {"soy-hull": 0.9, "wheat-bran": 0.5}} {
		m, err := stock.New(in, stock.Of(shelf(b, func(r batch.Weighing) float64 {
			if part, short := by[r.ID]; short {
				return r.All * part
			}
			return r.All
		})))
		require.NoError(t, err)
		_, made, err := m.Make(200)
		require.NoError(t, err)
		got := stock.Short(made)
		require.Len(t, got, 2)
		assert.InDelta(t, 0.5, got[0].Short()/got[0].All, 0.01, got[0].ID)
		assert.InDelta(t, 0.1, got[1].Short()/got[1].All, 0.01, got[1].ID)
	}
}

// Lots that are wetter than the substrate is to be make nothing, however much there is:
// water can't be taken out of a mix (mass balance), so the plan has an error and no batch.
func TestLotsThatAreTooWet(t *testing.T) {
	in := demo(t)["enoki-850"]
	target := float64(in.Protocol.Substrate.Moisture)
	for above, makes := range map[float64]bool{0.05: false, -0.05: true} {
		s := shelf(compute(t, in, 48), func(r batch.Weighing) float64 { return 20 * r.All })
		for i := range s.Lots {
			s.Lots[i].Moisture = wet(target + above)
		}
		m, err := stock.New(in, stock.Of(s))
		require.NoError(t, err)
		p, b, err := m.Make(48)
		require.NoError(t, err)
		assert.Equal(t, makes, b != nil, "%v", above)
		assert.Equal(t, !makes, protocol.Worst(p.Findings) == protocol.Error)
		assert.Equal(t, makes, most(t, in, s) > 0)
	}
}

// A protocol with errors makes nothing, and says so; one that names what is not known has
// no plan.
func TestProtocolWithErrorsMakesNothing(t *testing.T) {
	in := demo(t)["enoki-850"]
	in.Protocol.Substrate.Moisture = 0.99
	m, err := stock.New(in, stock.Of(protocol.Stock{}))
	require.NoError(t, err)
	require.Equal(t, protocol.Error, protocol.Worst(m.Process().Findings))
	_, b, err := m.Make(48)
	assert.Nil(t, b)
	assert.ErrorContains(t, err, "has errors")
	_, err = m.Most()
	assert.ErrorContains(t, err, "has errors")
	_, err = stock.NextFull(m.Process(), 48)
	assert.ErrorContains(t, err, "has errors")

	in.Protocol.Species = "unheard-of"
	_, err = stock.New(in, stock.Of(protocol.Stock{}))
	assert.ErrorContains(t, err, "unheard-of")
}
