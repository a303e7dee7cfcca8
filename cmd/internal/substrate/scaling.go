package substrate

import (
	"errors"
	"fmt"

	"bottlecrop/cmd/internal/working"
)

// SmallBatch is the number of vessels below which the larger waste allowance
// holds: residue in the mixer and samples weigh more in a small mix (common
// practice, no source).
const SmallBatch = 48

// Waste is the allowance for residue, spillage and samples, a share of the wet
// mass: w_small for a batch of n below SmallBatch, else w_usual.
var Waste = working.NewLaw("waste(n, w_small, w_usual)",
	fmt.Sprintf("the larger allowance below %d vessels; common practice, no source", SmallBatch),
	map[string]working.Function{"waste": func(a ...float64) (float64, error) {
		if len(a) != 3 {
			return 0, errors.New("takes a number of vessels and two allowances")
		}
		if a[0] < SmallBatch {
			return a[1], nil
		}
		return a[2], nil
	}})

// Mixes is the number of equal mixes that a total of T kg takes in a mixer for
// cap kg. Each load gets as many as the others: a mix that is shared by two
// loads would wait wet for the second.
var Mixes = working.NewLaw("loads * ceil(T / loads / cap)", "definition", nil)

// InEachMix is an amount Q in kg shared out to k equal mixes.
var InEachMix = working.NewLaw("Q / k", "definition", nil)

// InAllMixes is an amount q in kg of one mix in all k of them.
var InAllMixes = working.NewLaw("q * k", "definition", nil)

// WaterVolume is the volume in m³ of W kg of water; 1.00 kg/L is within 0.5 %
// from 4 to 30 °C (from memory).
var WaterVolume = working.NewLaw("W / 1000", "1.00 kg/L, within 0.5 % from 4 to 30 °C, from memory", nil)

// MoistureOff is how far an ingredient's moisture m_in is from its usual one, m_usual,
// both wet-basis fractions.
var MoistureOff = working.NewLaw("abs(m_in - m_usual)", "definition", nil)

// Off is the distance of two shares a and b.
var Off = working.NewLaw("abs(a - b)", "definition", nil)

// OffRelative is the distance of a share a from b, relative to b.
var OffRelative = working.NewLaw("abs(a / b - 1)", "definition", nil)

// WeighingsOf is how many times a scale for cap kg is loaded to weigh q kg.
var WeighingsOf = working.NewLaw("max(1, ceil(q / cap))", "definition", nil)

// StepsOf is how many of its steps r a scale for cap carries, both in kg.
var StepsOf = working.NewLaw("cap / r", "definition", nil)

// MixOfMixer is one mix of T kg as a share of what the mixer takes, cap kg.
var MixOfMixer = working.NewLaw("T / cap", "definition", nil)
