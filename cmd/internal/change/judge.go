package change

import (
	"regexp"
	"slices"

	"bottlecrop/cmd/internal/words"
)

var figureInText = regexp.MustCompile(`[0-9]+(?:[.,][0-9]+)*`)

// sameFigures reports whether two texts name the same figures in the same order.
func sameFigures(a, b string) bool {
	return slices.Equal(figureInText.FindAllString(a, -1), figureInText.FindAllString(b, -1))
}

// judge says of each difference what it is about, and whether it is a matter for the
// first number of the version. The rule:
//
//   - A part of a step is wording where the texts that authors changed make all of the
//     difference, proved by taking only them, and its figures are the same. A caution,
//     and the limit of a critical step, are never wording.
//   - Else a step is safety where work.Kept keeps it for people's sake, or where its
//     cautions are what differs; the amounts and times of other steps are quantity, and
//     the rest is quality.
//   - A limit is safety where the table of limits says so, else what its quantity is.
//   - A quantity is what the table of quantities says.
//
// The first number rises where a limit of a critical step, a caution, or a binding part
// of a safety step moved, where such a step came, went or changed its place, or where a
// limit of people's safety is crossed now or no more.
func (p *pair) judge(list []Difference) {
	texts := p.textsAlone()
	for i := range list {
		d := &list[i]
		safe := isSafetyStep(d.Step.ID)
		switch d.Kind {
		case Figure:
			d.Group = figureGroup(quantity(*d))
		case Crossing:
			f := either(d.Was, d.Is)
			d.Group = crossingGroup(f.Rule, f.Safety)
			d.First = f.Safety
		case Appears, Vanishes, Moves:
			d.First = safe || d.Step.Critical
			d.Group = ForQuality
			if safe {
				d.Group = ForSafety
			}
		case Told:
			critical := d.Step.Critical && d.Part == Limit
			d.First = d.Part == Safety || critical || safe && binding(d.Part)
			wording := sameFigures(d.TextBefore, d.TextAfter) && texts != nil && d.read(texts).is(d.read(p.is))
			switch {
			case wording && d.Part != Safety && !critical:
				d.Group, d.First = ForWording, false
			case d.Part == Safety || safe && d.Part != Time:
				d.Group = ForSafety
			case d.Part == Amounts || d.Part == Time:
				d.Group = ForQuantity
			default:
				d.Group = ForQuality
			}
		}
	}
}

// quantity is the name of a figure's quantity.
func quantity(d Difference) string {
	if d.After != nil {
		return d.After.Name
	}
	return d.Before.Name
}

// textsAlone is the state before with nothing changed but what authors wrote for people;
// nil where no text has changed.
func (p *pair) textsAlone() *state {
	taken, all := map[string]bool{}, true
	for _, c := range p.inputs {
		if c.Text {
			taken[c.path] = true
		} else {
			all = false
		}
	}
	switch {
	case len(taken) == 0:
		return nil
	case all:
		return p.is
	}
	return p.mixed(taken)
}

// Number is which number of a version has to rise.
type Number int

// The numbers.
const (
	None   Number = iota // the method means the same
	Second               // it means something else, and no safety moved: the second number will do
	First                // a critical limit, a safety step or its amounts moved
)

// Rise is which number of the stated version has to rise from one side to the other, by
// the batches of some sizes, and the differences that make it so. Only what is part of
// the method counts: a price or a room is not.
func Rise(before, after Side, sizes []int, v *words.Voice) (Number, []Difference, error) {
	taken := map[string]bool{}
	for _, c := range inputsOf(before, after) {
		if c.Method {
			taken[c.path] = true
		}
	}
	if len(taken) == 0 {
		return None, nil, nil
	}
	method := before.mixture(after, taken)
	number := Second
	var why []Difference
	for _, n := range sizes {
		p, err := meetAll(before, method, n, v)
		if err != nil {
			return Second, nil, err
		}
		list := p.differences()
		p.judge(list)
		for _, d := range list {
			if d.First && !slices.ContainsFunc(why, func(x Difference) bool { return x.Kind == d.Kind && x.key == d.key && x.Part == d.Part }) {
				number = First
				why = append(why, d)
			}
		}
	}
	return number, why, nil
}
