package results

import (
	"fmt"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/chance"
	"bottlecrop/cmd/internal/unit"
)

// code is a code letter.
type code struct {
	most   int // the largest lot
	letter string
	sample int
}

// letters are the code letters of general inspection level II by the largest lot of
// each: ISO 2859-1, Table 1. How many to look at: Table 2-A.
var letters = []code{
	{8, "A", 2}, {15, "B", 3}, {25, "C", 5}, {50, "D", 8}, {90, "E", 13}, {150, "F", 20},
	{280, "G", 32}, {500, "H", 50}, {1200, "J", 80}, {3200, "K", 125},
}

// MostLot is the largest lot for which there is a plan here.
const MostLot = 3200

// Qualities are the acceptance quality limits of the plans, in bad ones of a hundred.
var Qualities = []float64{0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10}

// plans is Table 2-A of ISO 2859-1, single sampling, normal inspection: by letter and
// quality limit the number of bad ones that is still accepted, or an arrow to the
// plan to use in its place, v to the next letter and ^ to the one before. Those with
// a source are in testdata (C091 to C093) and in the test; the rest follows from the
// table's diagonals, from memory.
var plans = strings.Fields(`
A v v v v v 0 v
B v v v v 0 ^ v
C v v v 0 ^ v 1
D v v 0 ^ v 1 2
E v 0 ^ v 1 2 3
F 0 ^ v 1 2 3 5
G ^ v 1 2 3 5 7
H v 1 2 3 5 7 10
J 1 2 3 5 7 10 14
K 2 3 5 7 10 14 21`)

// Letter is the code letter for a lot, normal inspection at general level II.
func Letter(lot int) (string, error) {
	if lot < 2 || lot > MostLot {
		return "", fmt.Errorf("results: a lot of %d; 2 to %d have a plan here", lot, MostLot)
	}
	for _, l := range letters {
		if lot <= l.most {
			return l.letter, nil
		}
	}
	panic("results: the last letter does not reach the largest lot")
}

// Single is a single sampling plan: look at Sample, accept the lot with no more than
// Accept bad ones, refuse it with Refuse or more.
type Single struct {
	Letter                 string // of the plan that is used, after the arrows
	Sample, Accept, Refuse int
}

// Plan is the plan of a code letter for a quality limit in bad ones of a hundred.
func Plan(letter string, quality float64) (Single, error) {
	q := slices.Index(Qualities, quality)
	row := slices.IndexFunc(letters, func(c code) bool { return c.letter == letter })
	if q < 0 || row < 0 {
		return Single{}, fmt.Errorf("results: letter %q and %g bad of a hundred; A to K without I, and %v have a plan here", letter, quality, Qualities)
	}
	wide := len(Qualities) + 1
	for {
		switch cell := plans[row*wide+1+q]; cell {
		case "v":
			row++
		case "^":
			row--
		default:
			s := Single{Letter: letters[row].letter, Sample: letters[row].sample}
			if _, err := fmt.Sscan(cell, &s.Accept); err != nil {
				return s, fmt.Errorf("results: cell %q: %w", cell, err)
			}
			s.Refuse = s.Accept + 1
			return s, nil
		}
	}
}

// Passes is how often, from 0 to 1, a lot of which so many are bad is accepted: by the
// hypergeometric distribution where the sample is more than a tenth of the lot, else
// by the binomial.
func (s Single) Passes(lot, bad int) (float64, error) {
	n := min(s.Sample, lot)
	if 10*n > lot {
		return chance.Accept(lot, bad, n, s.Accept)
	}
	if bad == lot {
		return 0, nil
	}
	return chance.Loss{Share: float64(bad) / float64(lot)}.AtMost(s.Accept, n)
}

// Lot is a size of a batch, or of a delivery, with its plans.
type Lot struct {
	Size   int
	Letter string
	Plans  []LotPlan
}

// LotPlan is a plan for a lot, and how weak it is.
type LotPlan struct {
	Quality float64 // bad ones of a hundred
	Single
	All    bool // the sample is the whole lot: look at every one
	Passes []Passing
}

// Passing is how often a lot with so many bad ones passes.
type Passing struct {
	Share  float64 // of bad ones, as asked
	Bad    int     // that this is of the lot, rounded up
	Chance float64 // from 0 to 1
}

// shown are the quality limits of which plans are told, and asked the shares of bad
// ones with which they are tried: a strict one and one for what does not matter much.
var (
	shown = []float64{1.0, 4.0}
	asked = []float64{0.02, 0.05, 0.10}
)

// plansFor makes the plans for lots of the given sizes, those left out for which there
// is none.
func plansFor(sizes []int) ([]Lot, error) {
	var out []Lot
	for _, size := range sizes {
		letter, err := Letter(size)
		if err != nil {
			continue
		}
		lot := Lot{Size: size, Letter: letter}
		for _, q := range shown {
			s, err := Plan(letter, q)
			if err != nil {
				return nil, err
			}
			p := LotPlan{Quality: q, Single: s, All: s.Sample >= size}
			for _, share := range asked {
				bad := int(unit.Up(share * float64(size)))
				passes, err := s.Passes(size, bad)
				if err != nil {
					return nil, err
				}
				p.Passes = append(p.Passes, Passing{share, bad, passes})
			}
			lot.Plans = append(lot.Plans, p)
		}
		out = append(out, lot)
	}
	return out, nil
}
