package leaf

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Written is a value of a file as a page has it.
func (e Edition) Written(v any) string {
	text := func(v any) string { return e.Written(v) }
	switch x := v.(type) {
	case nil:
		return e.say("compare.value.none")
	case change.Whole:
		return e.say("compare.value.whole")
	case change.Order:
		return e.say("compare.value.order")
	case bool:
		if x {
			return e.say("compare.value.yes")
		}
		return e.say("compare.value.no")
	case unit.Step:
		return unit.Amount{Kind: stepKind(x.Unit), Value: x.Size, Unit: x.Unit}.Show(e.Voice.Units())
	case unit.Money:
		return e.Voice.Units().Money(x.Amount, x.Currency)
	}
	r := reflect.ValueOf(v)
	if k, ok := v.(unit.Kinded); ok {
		if r.Kind() == reflect.Float64 {
			return e.show(clocked(unit.Amount{Kind: k.Kind(), Value: r.Float(), Digits: resultDigits}))
		}
		if r.Kind() == reflect.Struct { // a price: an amount of a currency for each unit
			return e.price(k.Kind(), r.Field(0).Float(), resultDigits)
		}
	}
	switch {
	case r.Kind() == reflect.Slice:
		var list []string
		for i := range r.Len() {
			list = append(list, text(r.Index(i).Interface()))
		}
		return strings.Join(list, "; ")
	case r.Kind() == reflect.Struct && r.NumField() == 2: // a range
		return e.say("compare.value.range", "low", text(r.Field(0).Interface()), "high", text(r.Field(1).Interface()))
	}
	return fmt.Sprint(v)
}

// stepKind is what an instrument measures, by the unit that it shows.
func stepKind(name string) unit.Kind {
	for _, k := range []unit.Kind{unit.MassOf, unit.GaugePressureOf, unit.VolumeOf} {
		if slices.Contains(unit.Names(k), name) {
			return k
		}
	}
	return unit.None
}

// clocked says a time in the unit that people say it in: whole minutes for some hours,
// and whole hours for two days.
func clocked(a unit.Amount) unit.Amount {
	if a.Kind != unit.TimeOf || a.Unit != "" {
		return a
	}
	for _, x := range []struct {
		unit        string
		size, below float64
	}{{"min", unit.Minute, 6 * unit.Hour}, {"h", unit.Hour, 2 * unit.Day}} {
		if n := a.Value / x.size; a.Value > 0 && a.Value < x.below && n == math.Trunc(n) {
			a.Unit = x.unit
			break
		}
	}
	return a
}

// figureApart is a figure before and after, with enough digits to tell them apart.
func (e Edition) figureApart(d change.Difference, by string) comparedFigure {
	q := d.After
	if q == nil {
		q = d.Before
	}
	out := comparedFigure{Name: e.Voice.Say(limit.Name(q, d.Names)), By: by}
	w := bench{Edition: e}
	show := func(q *working.Quantity, digits int) string {
		if q == nil {
			return e.say("compare.gone")
		}
		x := *q
		x.Unit = clocked(unit.Amount{Kind: q.Kind, Value: q.Value, Unit: q.Unit}).Unit
		return w.value(&x, digits)
	}
	for digits := 4; digits <= inputDigits; digits++ {
		out.Before, out.After = show(d.Before, digits), show(d.After, digits)
		if out.Before != out.After {
			break
		}
	}
	if d.Before != nil && d.After != nil {
		out.Change = e.moved(*d.After, d.After.Value-d.Before.Value)
		if by := d.After.Value / d.Before.Value; asShare(q.Kind) && by > 1.0/mostFold && by < mostFold {
			out.Change = e.say("compare.change", "change", out.Change,
				"share", e.signed(by-1, func(size float64) string {
					return e.show(unit.Amount{Kind: unit.ShareOf, Value: size, Digits: 3})
				}))
		}
	}
	return out
}

// mostFold is by how many times a figure may differ for a per cent of it to say anything
// (design choice).
const mostFold = 10

// asShare reports whether a part of itself says anything of a kind of quantity: a
// temperature and a level of sound have no zero to reckon from, and a share of a share
// is taken for points.
func asShare(k unit.Kind) bool {
	switch k {
	case unit.TemperatureOf, unit.SoundLevelOf, unit.ShareOf:
		return false
	}
	return true
}

// moved is by how much a quantity has moved.
func (e Edition) moved(q working.Quantity, by float64) string {
	return e.signed(by, func(size float64) string {
		switch q.Kind {
		case unit.ShareOf:
			return e.say("book.change.points", "value", unit.Amount{Kind: unit.None, Value: size * 100, Digits: 3})
		case unit.TemperatureOf:
			return e.show(unit.Amount{Kind: unit.TemperatureDifference, Value: size, Digits: 3})
		}
		q.Value, q.Step = size, 0
		q.Unit = clocked(unit.Amount{Kind: q.Kind, Value: size, Unit: q.Unit}).Unit
		return bench{Edition: e}.value(&q, 3)
	})
}

func (e Edition) signed(by float64, show func(size float64) string) string {
	if by < 0 {
		return e.say("book.change.down", "value", show(-by))
	}
	return e.say("book.change.up", "value", show(by))
}
