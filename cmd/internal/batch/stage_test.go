package batch_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// onShift is the demo's enoki with a shift of so many hours at so many °C.
func onShift(t testing.TB, hours, air float64) process.Input {
	in := input(t, "enoki-850")
	in.Farm.Shift = &protocol.Shift{Length: unit.Duration(hours * unit.Hour), Air: unit.FromCelsius(air)}
	return in
}

// holding is an input with a sterilizer that takes so many, in a chamber that is
// large enough for them.
func holding(in process.Input, vessels int) process.Input {
	in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
	in.Farm.Sterilizers[0].Holds = []protocol.Holds{{Vessel: in.Protocol.Vessel, Count: vessels}}
	in.Farm.Grain = nil // its jars would have no place
	kind := in.Library.Sterilizers[in.Farm.Sterilizers[0].Model]
	// Heater, water and metal go with it, or it would never come up.
	by := max(1, float64(vessels)/100)
	kind.Chamber, kind.Usable = unit.Volume(by), 10
	kind.Power, kind.Water, kind.Metal = unit.Power(18e3*by), unit.Volume(0.03*by+0.03), unit.Mass(250*by)
	in.Library.Sterilizers = map[string]protocol.Sterilizer{kind.ID: kind}
	return in
}

func rules(b *batch.Batch) map[string]protocol.Severity {
	out := map[string]protocol.Severity{}
	for _, f := range b.Own {
		out[f.Rule] = f.Severity
	}
	return out
}

// The demo's 400 enoki bottles on a shift of 8 h, worked by hand with a
// calculator, in minutes.
//
//	loads    120 places, 2 of them for controls: 400 / 118 is 4 loads; 408 filled, 102 in each
//	mixes    408 x 0.5372 x 1.03 = 225.8 kg, 56.4 kg a load, in a mixer for 60 kg: 1 a load, 4 in all
//	weigh    5 + 10 = 15: water goes in at 0 h 15 min
//	make     mix 10 + 35 = 45, moisture 10, fill 5 + 0.6 x 102 = 66.2, tap 0.15 x 102 = 15.3,
//	         holes 2 + 0.2 x 102 = 22.4, lids 0.2 x 102 = 20.4: 179.3
//	load     10 + 0.05 x 102 = 15.1; wet before the heat is on 179.3 + 15.1 = 194.4 (3 h 14 min)
//	run      40 up with a full load (computed, 39.75) + 10 vent + 120 hold = 170
//	cycle    15.1 + 170 + 30 until zero + 10 at the lid + 10 cracked + 5 + 0.05 x 102 out = 245.2
//	one load 15 + 179.3 + 245.2 = 439.5 (7 h 20 min); the next one 250 later: 689.5
//	8 h      480 holds one load and not two: 4 days
//	24 h     1440 holds all four: 439.5 + 3 x 250 = 1189.5; mixes at 15, 265, 515 and 765
func TestStagingByHand(t *testing.T) {
	b := compute(t, onShift(t, 8, 20), 400)
	minutes := func(name string) float64 { return b.Value(name) / unit.Minute }
	assert.Equal(t, 4, b.Mixes)
	assert.InDelta(t, 179.3, minutes("load_making"), 1e-9)
	assert.InDelta(t, 194.4, minutes("mix_to_steam"), 1e-9)
	assert.InDelta(t, 245.2, minutes("load_cycle"), 1e-9)
	assert.InDelta(t, 250, minutes("load_every"), 1e-9)
	assert.InDelta(t, 439.5, minutes("shift_needed"), 1e-9)
	assert.InDelta(t, 439.5, minutes("day_length"), 1e-9)
	assert.InDelta(t, 4, b.Value("days_needed"), 0)
	require.Len(t, b.Runs, 4)
	for i, r := range b.Runs {
		assert.Equal(t, i+1, r.Load)
		assert.Equal(t, i+1, r.Day)
		assert.Equal(t, i+1, r.First)
		require.Len(t, r.Water, 1)
		assert.InDelta(t, 15, float64(r.Water[0])/unit.Minute, 1e-9)
		assert.InDelta(t, 15+240, float64(r.SteamBy)/unit.Minute, 1e-9)
		assert.InDelta(t, 15+194.4, float64(r.Steam)/unit.Minute, 1e-9)
		assert.InDelta(t, 439.5, float64(r.Free)/unit.Minute, 1e-9)
	}
	assert.Empty(t, rules(b))

	b = compute(t, onShift(t, 24, 20), 400)
	assert.InDelta(t, 1, b.Value("days_needed"), 0)
	assert.InDelta(t, 1189.5, b.Value("day_length")/unit.Minute, 1e-9)
	for i, at := range []float64{15, 265, 515, 765} {
		assert.Equal(t, 1, b.Runs[i].Day)
		assert.InDelta(t, at, float64(b.Runs[i].Water[0])/unit.Minute, 1e-9)
		assert.InDelta(t, at+240, float64(b.Runs[i].SteamBy)/unit.Minute, 1e-9)
	}
	assert.Equal(t, map[string]protocol.Severity{"day.long": protocol.Warning}, rules(b))
}

// 48 bottles are one load and one mix; people who fill side by side share the
// vessels and not the mixer: 45 + 10 + 7 + 1.15 x 50 = 119.5 min for one, and
// 45 + 10 + 7 + 1.15 x 25 = 90.75 for two (by hand).
func TestPeopleShareTheVessels(t *testing.T) {
	in := onShift(t, 8, 20)
	assert.InDelta(t, 119.5, compute(t, in, 48).Value("load_making")/unit.Minute, 1e-9)
	in.Farm.Shift.People = 2
	assert.InDelta(t, 90.75, compute(t, in, 48).Value("load_making")/unit.Minute, 1e-9)
	in.Farm.Shift = nil
	assert.InDelta(t, 119.5, compute(t, in, 48).Value("load_making")/unit.Minute, 1e-9, "without a shift, one")
}

// A step that the protocol does not have takes no time. With no hole to let the
// steam in, the slowest place needs a hold of 4 h; that still ends within 9 h.
func TestStagingLeavesOutWhatIsNotDone(t *testing.T) {
	in := onShift(t, 9, 20)
	in.Protocol.Bore = protocol.Bore{Made: protocol.BoreNone}
	in.Protocol.Sterilization.Hold = 4 * unit.Hour
	b := compute(t, in, 48)
	assert.Nil(t, b.Ledger.Get("load_bore"))
	assert.InDelta(t, 119.5-2-10, b.Value("load_making")/unit.Minute, 1e-9)
}

// Decision 7: a wet mix waits 4 h at most, and 2 h above 25 °C. 400 bottles wait
// 194.4 min a load: too long in a warm room. 12 wait 45 + 10 + 7 + 1.15 x 14 +
// 10.7 = 88.8 min, which is well below 108.
func TestWetMixDoesNotWait(t *testing.T) {
	for _, c := range []struct {
		air  float64
		n    int
		want map[string]protocol.Severity
	}{
		{20, 400, map[string]protocol.Severity{}},
		{25, 400, map[string]protocol.Severity{}},
		{25.1, 400, map[string]protocol.Severity{"wait.mix_to_steam": protocol.Error}},
		{30, 12, map[string]protocol.Severity{}},
	} {
		b, err := batch.Compute(plan(t, onShift(t, 8, c.air)), c.n)
		require.NoError(t, err)
		assert.Equal(t, c.want, rules(b), "%v °C, %d vessels", c.air, c.n)
		wait := 4 * unit.Hour
		if c.air > 25 {
			wait = 2 * unit.Hour
		}
		assert.InDelta(t, wait, b.Value("mix_wait_most"), 0)
	}
	// Nine tenths of 4 h are 216 min. 120 in one load and one mix wait 45 + 10 + 7 +
	// 1.15 x 120 + 16 = 216, and 121 wait 217.2.
	in := onShift(t, 8, 20)
	in.Farm.Mixer.Capacity = 100
	in = holding(in, 121)
	assert.Empty(t, rules(compute(t, in, 118)))
	assert.Equal(t, map[string]protocol.Severity{"wait.near": protocol.Warning}, rules(compute(t, in, 119)))
}

// One load of 102 bottles takes 439.5 min, which is 7.325 h: a shift of 7.3 h is
// too short for it, one of 7.4 h is not. Every load then has a day of its own.
func TestShiftTooShort(t *testing.T) {
	for hours, want := range map[float64]bool{7.3: true, 7.4: false} {
		b, err := batch.Compute(plan(t, onShift(t, hours, 20)), 400)
		require.NoError(t, err)
		assert.Equal(t, want, rules(b)["shift.short"] == protocol.Error, "%v h", hours)
		assert.InDelta(t, 4, b.Value("days_needed"), 0)
	}
}

// Mixes are equal, so that a load of one vessel more than the others needs its
// share of the waste allowance. Of 15 bottles in loads of 5 that grow, with 2
// controls, none is short; of 16, four loads of 6 are even; of 17, 25 filled are
// 7, 6, 6 and 6: 25/4 x 1.05 = 6.56 vessels' worth for 7.
func TestUnevenLoads(t *testing.T) {
	in := onShift(t, 24, 20)
	in = holding(in, 7)
	for n, want := range map[int]float64{15: 1.05, 16: 1.05, 17: 25.0 / 4 * 1.05 / 7} {
		b, err := batch.Compute(plan(t, in), n)
		require.NoError(t, err)
		assert.InDelta(t, want, b.Value("load_cover"), 1e-9, "%d", n)
		assert.Equal(t, want < 1, rules(b)["load.uneven"] == protocol.Warning, "%d", n)
	}
}

// Whatever the capacity of the sterilizer and of the mixer: 400 vessels give
// whole loads and equal mixes, each of one load, and as few as will do.
func TestWholeLoadsAndEqualMixesAtEveryCapacity(t *testing.T) {
	in := onShift(t, 8, 20)
	var capacities []int
	for capacity := 3; capacity <= 450; capacity++ {
		capacities = append(capacities, capacity)
	}
	for _, capacity := range checks.Every(7, capacities) {
		in := holding(in, capacity)
		for _, mixer := range []unit.Mass{7, 25, 60, 300} {
			in.Farm.Mixer.Capacity = mixer
			p, err := process.Plan(in)
			require.NoError(t, err)
			b, err := batch.Compute(p, 400)
			require.NoError(t, err)
			whole(t, b)
		}
	}
}

// whole holds a batch to what is true of all of them: every vessel is in one
// load and every mix belongs to one, all mixes are equal, and none is more than
// the mixer takes.
func whole(t require.TestingT, b *batch.Batch) {
	filled, grown := 0, 0
	for i, l := range b.Loads {
		assert.Equal(t, i+1, l.Number)
		filled += l.Vessels
		grown += l.Vessels - l.Controls
		assert.LessOrEqual(t, l.Vessels, b.Process.Holds)
	}
	assert.Equal(t, b.Filled, filled)
	assert.Equal(t, b.Vessels, grown)
	require.Len(t, b.Runs, len(b.Loads))
	next := 1
	for i, r := range b.Runs {
		assert.Equal(t, i+1, r.Load)
		assert.Equal(t, next, r.First)
		assert.Len(t, r.Water, len(b.Runs[0].Water), "load %d has its own number of mixes", r.Load)
		next += len(r.Water)
	}
	assert.Equal(t, b.Mixes, next-1)
	each, capacity := b.Value("mix_total")/float64(b.Mixes), b.Value("mixer_capacity")
	assert.LessOrEqual(t, each, capacity*(1+1e-9))
	if k := len(b.Runs[0].Water); k > 1 {
		assert.Greater(t, each*float64(k)/float64(k-1), capacity, "one mix less a load would have done")
	}
}

// What no timetable may break, for farms of all kinds.
func TestTimetable(t *testing.T) {
	base := input(t, "enoki-850")
	checks.Cases(t, 20)
	rapid.Check(t, func(rt *rapid.T) {
		in := holding(base, rapid.IntRange(5, 300).Draw(rt, "capacity"))
		in.Farm.Sterilizers[0].ComeUp = unit.Duration(rapid.IntRange(15, 90).Draw(rt, "come-up") * unit.Minute)
		in.Farm.Mixer.Capacity = unit.Mass(rapid.Float64Range(5, 200).Draw(rt, "mixer"))
		in.Farm.Controls.UninoculatedPerLoad = rapid.IntRange(0, 4).Draw(rt, "controls")
		in.Farm.Shift = nil
		if rapid.Bool().Draw(rt, "shift") {
			in.Farm.Shift = &protocol.Shift{
				Length: unit.Duration(rapid.Float64Range(1, 24).Draw(rt, "hours") * unit.Hour),
				Air:    unit.FromCelsius(rapid.Float64Range(10, 35).Draw(rt, "air")),
				People: rapid.IntRange(0, 6).Draw(rt, "people"),
			}
		}
		p, err := process.Plan(in)
		require.NoError(rt, err)
		b, err := batch.Compute(p, rapid.IntRange(1, 5000).Draw(rt, "vessels"))
		require.NoError(rt, err)
		whole(rt, b)
		assert.Equal(rt, b.Runs[len(b.Runs)-1].Day, int(b.Value("days_needed")))
		timely(rt, b)
		staged(rt, b, in.Farm.Shift)
	})
}

const (
	sliver = 1e-6                        // s, lost in sums of times
	step   = unit.Duration(300 + sliver) // s, to which a pace is raised
)

// timely: each load is made, heated and cleared in this order; neither the crew
// nor the sterilizer does two things at once; a mix is made as late as it can be,
// and none waits beyond what is printed unless a limit refuses the batch.
func timely(t require.TestingT, b *batch.Batch) {
	weighing := unit.Duration(b.Value("first_water"))
	found := rules(b)
	for i, r := range b.Runs {
		assert.GreaterOrEqual(t, r.Water[0]-weighing, unit.Duration(-sliver))
		last := r.Water[0]
		for _, at := range r.Water[1:] {
			assert.Greater(t, at, last)
			last = at
		}
		assert.Greater(t, r.Filled, last)
		assert.Greater(t, r.Steam, r.Filled)
		assert.Greater(t, r.Free, r.Steam+unit.Duration(b.Value("run_time")))
		assert.InDelta(t, float64(r.Water[0])+b.Value("mix_wait_most"), float64(r.SteamBy), sliver)
		late := r.Steam > r.SteamBy+sliver
		assert.Equal(t, late, found["wait.mix_to_steam"] == protocol.Error, "steam at %v, by %v", r.Steam, r.SteamBy)
		assert.Zero(t, math.Mod(float64(r.Water[0]), 300), "a time that nobody plans by")
		if i == 0 || b.Runs[i-1].Day != r.Day {
			assert.InDelta(t, float64(weighing), float64(r.Water[0]), sliver, "a day begins with weighing")
			continue
		}
		before := b.Runs[i-1]
		crew, chamber := r.Water[0]-weighing-before.Filled, r.Filled-before.Free
		assert.GreaterOrEqual(t, crew, unit.Duration(-sliver), "the crew does two loads at once")
		assert.GreaterOrEqual(t, chamber, unit.Duration(-sliver), "two loads in one chamber")
		assert.Less(t, min(crew, chamber), step, "neither is waited for")
	}
}

// staged: no day is longer than the shift unless a limit refuses it, and no day
// but the last could have held one load more.
func staged(t require.TestingT, b *batch.Batch, shift *protocol.Shift) {
	if shift == nil {
		assert.Equal(t, 1, b.Runs[len(b.Runs)-1].Day, "nobody ended the day")
		return
	}
	short := rules(b)["shift.short"] == protocol.Error
	assert.Equal(t, b.Value("shift_needed") > float64(shift.Length)*(1+1e-9), short)
	for i, r := range b.Runs {
		if !short {
			assert.LessOrEqual(t, float64(r.Free), float64(shift.Length)*(1+1e-8))
		}
		if i+1 == len(b.Runs) || b.Runs[i+1].Day == r.Day {
			continue
		}
		assert.Equal(t, r.Day+1, b.Runs[i+1].Day)
		assert.Greater(t, float64(r.Free)+b.Value("load_every"), float64(shift.Length), "one load more would have fitted on day %d", r.Day)
	}
}

// A batch that nobody stages has times for all, with a working for as many as
// anybody reads.
func TestManyLoadsInOneDay(t *testing.T) {
	in := input(t, "enoki-850")
	in.Farm.Shift = nil
	in.Farm.Mixer.Capacity = 70
	b := compute(t, in, 20_000)
	whole(t, b)
	timely(t, b)
	assert.Len(t, b.Runs, 170) // 20,000 / 118 is 169.5
	assert.NotNil(t, b.Ledger.Of("mix_at", "100"))
	assert.Nil(t, b.Ledger.Of("mix_at", "101"))
	assert.InDelta(t, 15*unit.Minute+169*b.Value("load_every"), float64(b.Runs[169].Water[0]), sliver)
	assert.Equal(t, protocol.Warning, rules(b)["day.long"])
}

// The laws of waiting at their edges, against substrate reference F, step 3.
func TestMixWait(t *testing.T) {
	for celsius, hours := range map[float64]float64{4: 4, 24.9: 4, 25: 4, 25.01: 2, 35: 2} {
		got, err := work.MixWait.At(map[string]float64{"T": float64(unit.FromCelsius(celsius))})
		require.NoError(t, err)
		assert.InDelta(t, hours*unit.Hour, got, 0, "%v °C", celsius)
	}
}
