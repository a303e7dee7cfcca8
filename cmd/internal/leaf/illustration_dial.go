package leaf

import (
	"math"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/unit"
)

// How far a dial is drawn (design choice): nobody says where the farm's own ends,
// but one that ends at the rated pressure would show no way to go above it. No
// figure stands there: no page prints a pressure above the rating.
const (
	dialOverRated = 1.5
	dialNumbers   = 8 // at most, besides zero
)

// dialOf is the sterilizer's gauge, with its numbers and its rated pressure.
func (e Edition) dialOf(b *batch.Batch) (d draw.Dial, rated, step unit.Amount) {
	gauge := b.Process.Sterilizer.Gauge
	in := func(pa float64) float64 { return unit.In(unit.GaugePressureOf, pa, gauge.Unit) }
	of := unit.SizeOf(unit.GaugePressureOf, gauge.Unit)
	most := dialOverRated * in(b.Value("rated_pressure"))
	number := math.Pow(10, unit.Down(math.Log10(most/dialNumbers)))
	for _, lead := range []float64{1, 2, 5, 10} {
		if next := lead * number; most/next <= dialNumbers*(1+1e-9) {
			number = next
			break
		}
	}
	n := int(unit.Up(most / number))
	amount := func(v, step float64) unit.Amount {
		return unit.Amount{Kind: unit.GaugePressureOf, Value: v * of, Step: step * of, Unit: gauge.Unit}
	}
	d = draw.Dial{To: float64(n) * number, Step: in(b.Value("gauge_step")), Rated: in(b.Value("rated_pressure"))}
	for k := range n + 1 {
		if at := float64(k) * number; at <= d.Rated*(1+1e-9) {
			d.Numbers = append(d.Numbers, draw.Tick{At: at, Label: e.figure(amount(at, number)).Number})
		}
	}
	rated = unit.Amount{Kind: unit.GaugePressureOf, Value: b.Value("rated_pressure"), Unit: gauge.Unit}
	return d, rated, amount(d.Step, d.Step)
}

// dialPicture is the gauge while the sterilizer holds.
func (e Edition) dialPicture(b *batch.Batch) *picture {
	d, rated, step := e.dialOf(b)
	low, high := b.GaugeReading()
	gauge := b.Process.Sterilizer.Gauge.Unit
	d.Low, d.High = unit.In(unit.GaugePressureOf, low.Value, gauge), unit.In(unit.GaugePressureOf, high.Value, gauge)
	d.TooHigh, d.Hand = d.High, (d.Low+d.High)/2
	name := b.Process.Sterilizer.Name
	d.Title = e.say("book.figure.dial.title", "sterilizer", name)
	d.Description = e.say("book.figure.dial.desc", "low", low, "high", high, "rated", rated)
	d.Band = [2]string{e.say("book.figure.dial.low", "low", low), e.say("book.figure.dial.high", "high", high)}
	d.Above = e.labeled(rated, "book.figure.dial.rated")
	rows := [][]string{{e.say("book.figure.dial.row.band"), e.say("book.figure.dial.band", "low", low, "high", high)}}
	if d.High+d.Step < d.Rated { // else all that is above the band is above the rating
		d.Over = draw.Label{Measure: e.say("book.figure.dial.over", "high", high), Words: e.say("book.figure.dial.over.is")}
		rows = append(rows, []string{e.say("book.figure.dial.row.over"), d.Over.Measure})
	}
	out := &picture{Notice: e.say("book.figure.dial.notice"), How: e.say("book.figure.dial.how", "step", step)}
	out.add(d.String())
	out.Tables = e.inFigures("cap-dial", "book.figure.dial.table", append(rows,
		[]string{e.say("book.figure.dial.row.rated"), e.show(rated)}, []string{e.say("book.figure.dial.row.mark"), e.show(step)}))
	return out
}

// zeroPicture is the gauge before a shift.
func (e Edition) zeroPicture(b *batch.Batch) *picture {
	d, rated, step := e.dialOf(b)
	d.Title = e.say("book.figure.zero.title", "sterilizer", b.Process.Sterilizer.Name)
	d.Description = e.say("book.figure.zero.desc", "rated", rated)
	d.TooHigh = d.Rated
	zero := step
	zero.Value = 0
	d.Band = [2]string{e.say("book.figure.zero.word", "zero", zero), e.say("book.figure.zero.is")}
	d.Above = e.labeled(rated, "book.figure.dial.rated")
	out := &picture{Notice: e.say("book.figure.zero.notice")}
	out.add(d.String())
	return out
}
