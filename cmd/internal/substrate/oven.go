package substrate

import (
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// What a sample of a mix, or of a lot of goods, is dried for.
const (
	// MoistureGive is how far (share of the wet mass) a mix may be from its
	// moisture: common practice, no source.
	MoistureGive = 0.015

	// SampleOfSteps is how many steps of the scale a sample weighs at least, so
	// that a point of moisture is a step or more: design choice.
	SampleOfSteps = 100

	// SpreadOfMeasured is how far, share of the wet mass, a lot may be from the
	// moisture that a dried sample of it showed: design choice.
	SpreadOfMeasured = 0.005

	// SpreadUnstated is that of a lot whose usual spread nobody has stated: as
	// much as makes a figure count as far off. Design choice.
	SpreadUnstated = 0.05

	// OnePoint is one point of moisture as a share of the wet mass.
	OnePoint = 0.01
)

// The usual sample, kg: a round number on the scale of either kind of page.
const (
	UsualSample   = 0.100
	UsualSampleUS = 4 * 0.028349523125 // 4 oz; NIST SP 811 App. B.8
)

// LeastSample is the mass in kg of the usual sample in a system of units.
func LeastSample(sys unit.System) float64 {
	if sys.IsUS() {
		return UsualSampleUS
	}
	return UsualSample
}

// Sample is the wet mass in kg of a sample for the oven: the usual one, or s
// steps r (kg) of the finest scale where that is more.
var Sample = working.NewLaw("max(usual, s * r)", "design choice, no source", nil)

// DriedAtMost is what a sample of wet mass T (kg) weighs dry, kg, when its
// moisture is the share p below m.
var DriedAtMost = working.NewLaw("T * (1 - m + p)", massBalance, nil)

// DriedAtLeast is what a sample of wet mass T (kg) weighs dry, kg, when its
// moisture is the share p above m.
var DriedAtLeast = working.NewLaw("T * (1 - m - p)", massBalance, nil)

// WaterForPoint is the water in kg that lifts a mix with dry matter D (kg) from
// the moisture m - p to m, both shares of the wet mass, m below 1.
var WaterForPoint = working.NewLaw("D / (1 - m) - D / (1 - m + p)", massBalance, nil)
