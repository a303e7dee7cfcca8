package run

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/heat"
)

// By hand: ten minutes at 121.1 °C are an F0 of ten minutes, by its definition;
// a straight rise from 100 to 120 °C in 20 min is above 115 °C for five of them.
func TestChannels(t *testing.T) {
	at := func(minutes, celsius float64) heat.Point {
		return heat.Point{Time: 60 * minutes, Temperature: celsius + 273.15}
	}
	c, err := ChannelOf([]heat.Point{at(0, 121.1), at(5, 121.1), at(10, 121.1), at(20, 121.1)}, 600, math.Inf(1), []float64{373.15, 395.15})
	require.NoError(t, err)
	assert.InDelta(t, 600, c.Dose, 1e-6)
	assert.InDeltaSlice(t, []float64{1200, 0}, c.Above, 1e-9)
	c, err = ChannelOf([]heat.Point{at(0, 100), at(20, 120), at(40, 100)}, math.Inf(1), math.Inf(1), []float64{388.15})
	require.NoError(t, err)
	assert.InDelta(t, 600, c.Above[0], 1e-6)
	assert.InDelta(t, 393.15, c.Highest, 1e-9)
	assert.InDelta(t, 373.15, c.Lowest, 1e-9)
	_, err = ChannelOf([]heat.Point{at(0, 100), at(1, 200)}, math.Inf(1), math.Inf(1), nil)
	assert.Error(t, err, "no dose is counted at 200 °C")
}

// By hand: of two stretches of five minutes at 121.1 °C with half an hour without
// a reading between them, ten minutes count; and a gap that is as long as may be
// is none.
func TestGapsDoNotCount(t *testing.T) {
	at := func(minutes float64) heat.Point { return heat.Point{Time: 60 * minutes, Temperature: 121.1 + 273.15} }
	s := []heat.Point{at(0), at(2), at(5), at(35), at(37), at(40)}
	for _, c := range []struct{ until, gap, dose, left float64 }{
		{math.Inf(1), 180, 600, 1800}, {math.Inf(1), 1800, 2400, 0}, {36 * 60, 180, 360, 1800}, {20 * 60, 180, 300, 1800}, {20 * 60, 1800, 1200, 0},
	} {
		got, err := ChannelOf(s, c.until, c.gap, []float64{373.15})
		require.NoError(t, err)
		assert.InDelta(t, c.dose, got.Dose, 1e-6, "%+v", c)
		assert.InDelta(t, c.left, got.LeftOut, 1e-6, "%+v", c)
		assert.InDelta(t, 2400-c.left, got.Above[0], 1e-6, "%+v", c)
	}
	_, err := ChannelOf([]heat.Point{at(0), {Time: 60, Temperature: 473.15}, at(40)}, math.Inf(1), 180, nil)
	assert.Error(t, err, "a reading before a gap is looked at too")
}

// A chamber that follows the case has its hold and its vent; one that dips has
// the longer part only, and one that stays cold has none.
func TestCompare(t *testing.T) {
	c := bottle()
	var s []heat.Point
	p := append(c.profile(), heat.Point{Time: c.ComeUp + c.Vent + c.Hold, Temperature: c.Chamber})
	for at := 0.0; at <= c.ComeUp+c.Vent+c.Hold; at += 30 {
		s = append(s, heat.Point{Time: at, Temperature: p.At(at)})
	}
	got := c.Compare(s)
	assert.True(t, got.Held)
	assert.InDelta(t, c.Hold, got.Hold(), 60)
	assert.InDelta(t, c.Vent, got.Vented, 120)
	assert.InDelta(t, c.Chamber, got.Lowest, ProbeError)
	dip := len(s) - 100 // 50 min before the end
	s[dip].Temperature -= 2
	got = c.Compare(s)
	assert.InDelta(t, c.Hold-50*60, got.Hold(), 90)
	for i := range s {
		s[i].Temperature -= 5
	}
	assert.False(t, c.Compare(s).Held)
	assert.Zero(t, c.Compare(nil).Hold())
}
