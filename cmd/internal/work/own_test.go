package work

import (
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The order of the entries in a file says nothing: whatever it is, each own step
// stands next to the one that it names, but for own steps that name it in turn.
func TestOrderIsThatOfThePlaces(t *testing.T) {
	own := []Placed{
		{ID: "a", At: Inspect}, {ID: "b", At: Reject, Before: true}, {ID: "c", At: "a"}, {ID: "d", At: "a", Before: true},
		{ID: "first", At: Receive, Before: true}, {ID: "last", At: Retire}, {ID: "e", At: "c"},
	}
	want := []StepID{Inspect, "d", "a", "c", "e", "b", Reject}
	for range 200 {
		rand.Shuffle(len(own), func(i, j int) { own[i], own[j] = own[j], own[i] })
		got := Order(own)
		require.Len(t, got, len(Steps())+len(own))
		i := slices.Index(got, Inspect)
		require.Equal(t, want, got[i:i+len(want)])
		require.Equal(t, StepID("first"), got[0])
		require.Equal(t, StepID("last"), got[len(got)-1])
		require.Equal(t, Steps(), slices.DeleteFunc(got, func(id StepID) bool {
			return slices.ContainsFunc(own, func(p Placed) bool { return p.ID == id })
		}))
	}
	assert.Equal(t, Steps(), Order([]Placed{{ID: "x", At: "y"}, {ID: "y", At: "x"}, {ID: "z", At: "nothing"}}))
}

// Which steps are kept: those that people's safety, a sterile load or the eater's
// hangs on by the cautions that the sterilization reference and its sources give.
func TestStepsOfSafetyAreKept(t *testing.T) {
	for _, id := range []StepID{StartShift, LoadVessels, Vent, Sterilize, PressureOff, Unload, Cool, WipeDown, Inoculate, Inspect, Reject, Chill, Release} {
		assert.NotEmpty(t, Kept(id), id)
		assert.True(t, Fixed(id), id)
	}
	used := map[Reason]bool{}
	for _, id := range Steps() {
		if r := Kept(id); r != "" {
			assert.Contains(t, Reasons(), r, id)
			used[r] = true
		}
		if warn, onSheet := Missed(id); warn || onSheet {
			assert.True(t, warn)
			assert.Empty(t, Kept(id), id)
		}
	}
	assert.Len(t, used, len(Reasons()))
}

func TestOwnHandsOn(t *testing.T) {
	in := map[string]float64{"t": 600, "t_each": 5, "n": 48}
	for _, c := range []struct {
		once, each bool
		want       float64
	}{{true, false, 600}, {false, true, 240}, {true, true, 840}} {
		got, err := OwnHandsOn(c.once, c.each).At(in)
		require.NoError(t, err)
		assert.InDelta(t, c.want, got, 1e-9)
	}
	assert.Nil(t, OwnHandsOn(false, false))
}
