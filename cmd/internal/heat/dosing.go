package heat

import "math"

// counter gives the rate of a dose, 10^((T−Reference)/z), from a table: exp in
// every cell and step would take most of the time. The exponent is rounded to a
// 32nd of a decade and the rest comes from a cubic, within 1e-7 of the value.
// Rates count from a 1e-16th on, so cold cells need no case of their own and
// the doses of places far too cold still tell which is coldest.
type counter struct {
	reference float64
	scale     float64 // 32nds of a decade per K
	z         float64
}

const (
	perDecade    = 32
	coldDecades  = 16
	hotDecades   = 8
	coldestEntry = -coldDecades * perDecade
	hottestEntry = hotDecades * perDecade
)

var powers = func() (t [hottestEntry - coldestEntry + 1]float64) {
	for i := range t {
		t[i] = math.Pow(10, float64(i+coldestEntry)/perDecade)
	}
	return t
}()

func newCounter(d Dose) counter { return counter{d.Reference, perDecade / d.Z, d.Z} }

// rate is the dose per time at a temperature (K).
func (c *counter) rate(kelvin float64) float64 {
	x := (kelvin - c.reference) * c.scale
	// Written so that NaN ends here.
	if !(x > coldestEntry) {
		return 0
	}
	if x > hottestEntry {
		return math.Pow(10, (kelvin-c.reference)/c.z)
	}
	near := int(x + (0.5 - coldestEntry)) // of a number that is not negative: the nearest entry
	u := (x + (-coldestEntry) - float64(near)) * (math.Ln10 / perDecade)
	return powers[near] * (1 + u*(1+u*(0.5+u*(1.0/6))))
}
