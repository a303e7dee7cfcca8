package lethality

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/unit"
)

// Range is what a source gives for a figure: both ends are one number where it
// gives one, High is +Inf where it gives a least one only, and both are 0 where
// it gives none.
type Range struct{ Low, High float64 }

// Known tells whether the source gives anything.
func (r Range) Known() bool { return r != Range{} }

// Open tells whether the source gives a least value only.
func (r Range) Open() bool { return math.IsInf(r.High, 1) }

// Figure says what the time of an organism is.
type Figure uint8

// The figures.
const (
	DecimalReduction Figure = iota + 1 // D: kills nine tenths
	Destruction                        // what the source calls F: kills what was there
	Survived                           // some were alive after it
)

// Organism is how one kind of spore stands moist heat, as one source has it.
type Organism struct {
	ID     string
	Name   string // scientific
	Figure Figure
	Time   Range            // s at the temperature At
	At     unit.Temperature // K
	Z      Range            // K
	Source string           // with what it was measured in
	Status string           // how well the source was seen
}

const (
	foodGuidance = "FDA, Draft Guidance for Industry: Acidified Foods, Table 7"
	confirmed    = "confirmed"
	fromMemory   = "from memory"
)

var (
	f121 = F0.Reference
	// The guidance gives z in °F: 14 to 18, and 14 to 22.
	z14to18 = Range{14 * 5.0 / 9, 18 * 5.0 / 9}
	z14to22 = Range{14 * 5.0 / 9, 22 * 5.0 / 9}
)

// minutes is a range in s of figures in min.
func minutes(low, high float64) Range { return Range{low * unit.Minute, high * unit.Minute} }

// Organisms lists what is known of spores that matter to a run, the toughest
// kinds of bacteria first, then molds. Molds stand far less than the endospores
// of bacteria; the endospores set the target.
func Organisms() []Organism {
	return []Organism{
		{"geobacillus-stearothermophilus", "Geobacillus stearothermophilus", DecimalReduction, minutes(4, 5), f121, z14to22,
			foodGuidance + ", in low-acid food", confirmed},
		{"geobacillus-stearothermophilus-indicator", "Geobacillus stearothermophilus", DecimalReduction, minutes(1.5, math.Inf(1)), unit.FromCelsius(121), Range{6, math.Inf(1)},
			"ISO 11138-3:2017, clause 9, biological indicators for moist heat", fromMemory},
		{"clostridium-botulinum", "Clostridium botulinum, types A and B", DecimalReduction, minutes(0.10, 0.20), f121, z14to18,
			foodGuidance, confirmed},
		{"clostridium-botulinum-stumbo", "Clostridium botulinum", DecimalReduction, minutes(0.21, 0.21), f121, Range{10, 10},
			"Stumbo, Thermobacteriology in Food Processing, 1973", fromMemory},
		{"clostridium-sporogenes", "Clostridium sporogenes PA 3679", DecimalReduction, minutes(0.10, 1.5), f121, z14to18,
			foodGuidance, confirmed},
		{"bacillus-coagulans", "Bacillus coagulans", DecimalReduction, minutes(0.01, 0.07), f121, z14to18,
			foodGuidance + ", facultative", confirmed},
		{"bacillus-licheniformis", "Bacillus licheniformis", DecimalReduction, minutes(4.5, 4.5), unit.FromCelsius(93.3), Range{15, 15},
			foodGuidance, confirmed},
		{"neosartorya-fischeri", "Neosartorya fischeri, ascospores", DecimalReduction, minutes(27, 67), unit.FromCelsius(80), Range{},
			"Food Microbiology, 1987, 10.1016/0740-0020(87)90005-0, in apple juice", confirmed},
		{"aspergillus-chevalieri", "Aspergillus chevalieri, ascospores", Destruction, minutes(2.2, 2.2), unit.FromCelsius(82.2), Range{12.8, 12.8},
			"abstract on the heat resistance of xerophilic fungi", confirmed},
		{"soil-molds", "molds of soil", Survived, minutes(10, 10), unit.FromCelsius(90), Range{},
			"Jesenská et al., abstract on heat-resistant fungi of soil", confirmed},
	}
}

// Reduction is by how many powers of ten a series cuts the number of the
// organism until a time (s, as for F): the least and the most that the ranges
// of its D and z allow, each counted with the organism's own z at the
// temperature of its D. It is an error for an organism whose source gives no D
// or no z, or a least one only.
func (o Organism) Reduction(series []Point, until float64) (Range, error) {
	if o.Figure != DecimalReduction || !o.Z.Known() || o.Z.Open() || o.Time.Open() {
		return Range{}, fmt.Errorf("lethality: %s: its source bounds no D and z (%s); a reduction cannot be worked out", o.ID, o.Source)
	}
	for _, d := range []float64{o.Time.Low, o.Time.High} {
		if err := aboveZero("D", "s", d); err != nil {
			return Range{}, err
		}
	}
	f, err := o.fRange(series, until)
	if err != nil {
		return Range{}, err
	}
	return Range{f.Low / o.Time.High, f.High / o.Time.Low}, nil
}

// fRange is the least and the most F over the range of z. F is a sum of
// exponentials of 1/z and so convex in it: the most is at an end, the least may
// lie between, where a run is in part hotter than the reference temperature.
func (o Organism) fRange(series []Point, until float64) (Range, error) {
	at := func(inverse float64) (float64, error) {
		return F(series, Scale{o.At, 1 / inverse}, until)
	}
	for _, z := range []float64{o.Z.Low, o.Z.High} {
		if err := aboveZero("z", "K", z); err != nil {
			return Range{}, err
		}
	}
	low, high := 1/o.Z.High, 1/o.Z.Low
	a, err := at(low)
	if err != nil {
		return Range{}, err
	}
	b, err := at(high)
	if err != nil {
		return Range{}, err
	}
	out := Range{min(a, b), max(a, b)}
	if low == high || !o.both(series) {
		return out, nil
	}
	// Golden section, forty times: the bracket shrinks to 4e-9 of its width,
	// and at a minimum F differs by less than rounding does.
	const golden = 0.6180339887498949
	x, y := high-golden*(high-low), low+golden*(high-low)
	fx, errX := at(x)
	fy, errY := at(y)
	for range 40 {
		if errX != nil || errY != nil {
			break
		}
		if fx < fy {
			high, y, fy = y, x, fx
			x = high - golden*(high-low)
			fx, errX = at(x)
		} else {
			low, x, fx = x, y, fy
			y = low + golden*(high-low)
			fy, errY = at(y)
		}
	}
	if errX != nil {
		return Range{}, errX
	}
	if errY != nil {
		return Range{}, errY
	}
	out.Low = min(out.Low, fx, fy)
	return out, nil
}

// both tells whether a series has readings on both sides of the temperature of D.
func (o Organism) both(series []Point) bool {
	hotter, colder := false, false
	for _, p := range series {
		hotter = hotter || p.Kelvin > float64(o.At)
		colder = colder || p.Kelvin < float64(o.At)
	}
	return hotter && colder
}
