package trace_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

const enoki = "enoki-850-2026-08-31"

// The demo's enoki batch of 31 August, added up by hand from its record. In: goods
// 6.62 + 6.62 + 7.43 + 7.43 + 6.34 + 0.318, water 55.9, spawn 1.55 + 1.03. Out:
// 14.5 + 7.3 + 2.5 as picked, of which 13.5 + 6.8 + 2.3 are sold. Waste:
// 2.1 + 1.6 + 55.9.
func TestBalanceByHand(t *testing.T) {
	r := trace.New(demo(t)).Recall(trace.Node{Kind: trace.Batch, Code: enoki})
	require.Len(t, r.Batches, 1)
	b := r.Batches[0].Balance
	assert.InDelta(t, 34.758, b.Goods, 1e-9)
	assert.InDelta(t, 2.58, b.Spawn, 1e-9)
	assert.InDelta(t, 93.238, b.In, 1e-9)
	assert.InDelta(t, 22.6, b.Sold, 1e-9)
	assert.InDelta(t, 1.7, b.Trimmings, 1e-9)
	assert.InDelta(t, 59.6, b.Waste, 1e-9)
	assert.InDelta(t, 93.238-24.3-59.6, b.Gap, 1e-9)
	assert.Empty(t, b.Missing)

	// To the air, by hand: 537.2 g of substrate at 65 % with 16.116 g of spawn. 7.5 % of
	// it evaporates, 40.29 g; 20 % of its 188.02 g of dry matter burns, 37.604 g, which
	// makes 5 mol of water for each of C6H10O5, 90.08 of 162.14 g (standard atomic
	// weights, IUPAC), so 16.71 g are gone. 57.00 of 553.32 g is 10.30 %. 157 of 164
	// bottles bore crop: 93.238 kg × 157 / 164 × 10.30 % is 9.19 kg.
	assert.InDelta(t, 0.1030, b.Share, 0.00005)
	assert.InDelta(t, 9.19, b.Air, 0.01)
	assert.Greater(t, b.Gap, b.AirLow)
	assert.Less(t, b.Gap, b.AirHigh)
	assert.Zero(t, b.Unexplained)
}

// What the law says goes into the air is what the balance of one vessel, worked out from
// its spent substrate, has go: wet substrate and spawn, less crop and spent substrate.
func TestAirIsWhatAVesselLoses(t *testing.T) {
	in := demo(t)
	w := trace.New(in)
	seen := 0
	for _, b := range in.Results.Batches {
		p := in.Processes[b.Protocol]
		require.NotNil(t, p)
		if p.Input.Protocol.Substrate.ChangeInSterilizer != 0 {
			continue // its condensate comes on top
		}
		seen++
		wet := p.Value("fill_mass") + p.Value("spawn_in_vessel")
		gone := wet - p.Value("yield_in_vessel_usual") - p.Value("spent_wet")
		got := w.Recall(trace.Node{Kind: trace.Batch, Code: b.Code}).Batches[0].Balance
		assert.InDelta(t, gone/wet, got.Share, 1e-12, b.Code)
	}
	assert.Greater(t, seen, 10)
}

// A loss in the sterilizer comes on top: of 1 kg that went in, 2 % less came out, which
// is 20 g of 1 kg, before anything evaporates or burns.
func TestAirWithALossInTheSterilizer(t *testing.T) {
	v, err := trace.ToAir.At(map[string]float64{"e": 0, "r": 0, "M": 0.98, "D": 0.3, "k": 0.5556, "s": 0, "c": -0.02})
	require.NoError(t, err)
	assert.InDelta(t, 0.02, v, 1e-12)
}

// Kilograms beyond the ends of what is usual are told as not explained, each with its
// sign; a record with a blank is told as such and says nothing.
func TestWhatAGapMeans(t *testing.T) {
	in := demo(t)
	at := 0
	for i, b := range in.Results.Batches {
		if b.Code == enoki {
			at = i
		}
	}
	v := words.English(unit.Metric)
	spent := func(kg float64) trace.Balance {
		batches := in.Results.Batches
		in := in
		in.Results.Batches = append(batches[:0:0], batches...)
		waste := append(batches[at].Waste[:0:0], batches[at].Waste...)
		for i := range waste {
			if waste[i].What == "spent" {
				waste[i].Mass = unit.Mass(kg)
			}
		}
		in.Results.Batches[at].Waste = waste
		return trace.New(in).Recall(trace.Node{Kind: trace.Batch, Code: enoki}).Batches[0].Balance
	}
	asIs := spent(55.9)
	assert.Contains(t, v.Say(asIs.Said()[1]), "that explains it")
	more := spent(55.9 - 10)
	assert.InDelta(t, asIs.Gap+10-asIs.AirHigh, more.Unexplained, 1e-9)
	assert.Contains(t, v.Say(more.Said()[1]), "is not explained: look for waste")
	less := spent(55.9 + 8)
	assert.InDelta(t, asIs.Gap-8-asIs.AirLow, less.Unexplained, 1e-9)
	assert.Negative(t, less.Unexplained)
	assert.Contains(t, v.Say(less.Said()[1]), "look for goods that are on no record")

	open := trace.New(in).Recall(trace.Node{Kind: trace.Batch, Code: "enoki-850-2026-10-26"}).Batches[0].Balance
	assert.Equal(t, []trace.Missing{trace.NoEnd, trace.NoSpent}, open.Missing)
	assert.Zero(t, open.Unexplained)
	assert.Contains(t, v.Say(open.Said()[len(open.Said())-1]), "nothing can be said")
}
