package farmfile

import (
	"math"
	"reflect"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// quantity reads a number with its unit and refuses what can never be right.
func (b *binder) quantity(path, key string, v any, k unit.Kind) (float64, bool) {
	text, ok := b.quantityText(path, key, v, k)
	if !ok {
		return 0, false
	}
	x, err := unit.Parse(k, text)
	if err != nil {
		b.misspelled(path, key, err.(*unit.Error))
		return 0, false
	}
	return x, b.possible(path, key, k, x)
}

// quantityText wants a text; a bare number has lost its unit.
func (b *binder) quantityText(path, key string, v any, k unit.Kind) (string, bool) {
	switch v := v.(type) {
	case string:
		return v, true
	case int64:
		b.unitMissing(path, key, float64(v), k)
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			b.refuse(path, "unit.not_finite", args{"kind": kindWord(k)}, "quantity", args{"example": quoted(k.Example())})
		} else {
			b.unitMissing(path, key, v, k)
		}
	default:
		b.refuse(path, "value.type", args{"is": typeWord(typeOf(v)), "needed": kindWord(k)},
			"quantity", args{"example": quoted(k.Example())})
	}
	return "", false
}

func quoted(s string) string { return `"` + s + `"` }

// usualUnits are those of keys for which the unit of the kind's example would
// be a bad guess: days of a stage are not minutes.
var usualUnits = map[string]string{
	"altitude": "m",
	"colonize": "d", "ripen": "d", "pin_days": "d", "fruit_days": "d",
	"shortest": "d", "usual": "d", "longest": "d",
	"use_within": "h", "cool_within": "h", "empty_within": "h", "stand": "h", "light_each_day": "h",
	"chamber": "L", "usable": "L", "water_charge": "L", "stay_wet": "L", "wash_water": "L",
	"age_most": "d", "length": "h", "stay": "h", "stretch": "h", "time_a_shift": "h",
	"volume": "m³", "shelving": "m³", "box": "L",
	"metal_mass": "kg", "bulk_density_dry": "kg/m3",
}

// usualUnit is the unit in which a key is usually written.
func usualUnit(key string, k unit.Kind) string {
	if name, ok := usualUnits[key]; ok {
		return name
	}
	_, name, _ := strings.Cut(k.Example(), " ")
	return name
}

// blank is a quantity to be filled in: an example with a number would be copied.
func blank(key string, k unit.Kind) string { return quoted("… " + usualUnit(key, k)) }

// unitMissing shows the number that was found with the usual unit. A share of
// at most 1 may be a fraction as well as a percentage: both are shown, since
// a wrong guess would be off by a factor of 100.
func (b *binder) unitMissing(path, key string, x float64, k unit.Kind) {
	show := func(x float64) string {
		return quoted(strconv.FormatFloat(x, 'f', -1, 64) + " " + usualUnit(key, k))
	}
	a := args{"kind": kindWord(k)}
	if k == unit.ShareOf && x != 0 && math.Abs(x) <= 1 {
		percent, _ := strconv.ParseFloat(strconv.FormatFloat(x*100, 'g', 12, 64), 64)
		b.refuse(path, "unit.missing", a, "unit_missing_share", args{"example": show(percent), "other": show(x)})
		return
	}
	b.refuse(path, "unit.missing", a, "unit_missing", args{"example": show(x)})
}

// misspelled gives each reason for refusal its own sentence.
func (b *binder) misspelled(path, key string, e *unit.Error) {
	a := args{"kind": kindWord(e.Kind)}
	switch e.Fault {
	case unit.NoUnit:
		if x, err := strconv.ParseFloat(strings.TrimSpace(e.Text), 64); err == nil {
			b.unitMissing(path, key, x, e.Kind)
			return
		}
		b.refuse(path, "unit.missing", a, "quantity", args{"example": quoted(e.Kind.Example())})
	case unit.UnknownUnit:
		a["unit"] = e.Unit
		names := unit.Names(e.Kind)
		if len(names) == 0 { // a price: its units go with the currency
			b.refuse(path, "unit.unknown", a, "quantity", args{"example": quoted(e.Kind.Example())})
			return
		}
		if near := sameLetters(e.Unit, names); near != "" {
			b.refuse(path, "unit.unknown", a, "unit_near", args{"near": near})
			return
		}
		b.refuse(path, "unit.unknown", a, "unit_list", args{"list": strings.Join(names, ", ")})
	case unit.OtherKind:
		a["other"] = kindWord(e.Other)
		b.refuse(path, "unit.other_kind", a, "quantity", args{"example": quoted(e.Kind.Example())})
	case unit.NotANumber:
		if strings.Contains(e.Text, ",") {
			b.refuse(path, "unit.not_a_number", a, "decimal_point", args{"example": quoted(e.Kind.Example())})
			return
		}
		b.refuse(path, "unit.not_a_number", a, "quantity", args{"example": quoted(e.Kind.Example())})
	case unit.NotFinite:
		b.refuse(path, "unit.not_finite", a, "quantity", args{"example": quoted(e.Kind.Example())})
	default:
		panic("farmfile: a fault of a quantity without a message: " + e.Error())
	}
}

// sameLetters finds a unit that is spelled with other capitals: m and M are
// different things to a physicist, so it is a hint and no more.
func sameLetters(name string, known []string) string {
	for _, k := range known {
		if strings.EqualFold(k, name) {
			return k
		}
	}
	return ""
}

// The keys for which a rule that holds for all others does not.
var (
	// A farm below the sea's level, and a loss of mass.
	mayBeNegative = map[string]bool{"altitude": true, "mass_change_in_sterilizer": true}
	// Fresh crop on dry substrate may be more than the whole of it.
	mayExceed = map[string]bool{"efficiency_low": true, "efficiency_usual": true, "efficiency_high": true}
	// Things that are there at all have a size.
	hasSize = map[string]bool{
		"capacity": true, "brimful": true, "inside_height": true, "body_diameter": true,
		"mouth_diameter": true, "wall": true, "empty_mass": true, "chamber": true, "usable": true,
		"metal_mass": true, "usable_in_a_jar": true, "mass": true, "density": true,
		"bulk_density_dry": true, "station_pressure": true, "rated_pressure": true,
		"usual_rated_pressure": true, "reads": true, "gauge_reads": true,
		"relief_pressure": true, "energy_a_run": true, "full_come_up": true, "tray_width": true, "tray_depth": true, "tray_diameter": true, "length": true,
		"takes": true, "takes_each": true,
		"jug_reads": true, "bottle": true, "bucket": true, "readings": true,
		"volume": true, "box": true, "took": true, "area": true, "conductance": true,
		"depth": true, "hands": true, "lifts": true, "stretch": true, "level": true, "time_a_shift": true,
	}
)

// The temperatures that anything on a farm can have, in K: from a deep freezer
// for cultures to an oven. Common practice, no source.
var (
	coldest = float64(unit.FromCelsius(-90))
	hottest = float64(unit.FromCelsius(200))
)

// possible refuses what can be right in no trade; ranges of this one are the
// package limit's.
func (b *binder) possible(path, key string, k unit.Kind, x float64) bool {
	const hair = 1e-9 // of rounding, where a bound is written in another unit
	switch k {
	case unit.TemperatureOf:
		if x < coldest-hair || x > hottest+hair {
			b.refuse(path, "value.temperature", args{
				"low":  unit.Amount{Kind: k, Value: coldest},
				"high": unit.Amount{Kind: k, Value: hottest},
			}, "temperature", nil)
			return false
		}
		return true
	case unit.ShareOf, unit.PartsPerMillion:
		switch {
		case x < 0 && !mayBeNegative[key]:
			b.refuse(path, "value.negative", args{"kind": kindWord(k)}, "negative", nil)
		case x < -1-hair:
			b.refuse(path, "value.loss", nil, "loss", nil)
		case x > 1+hair && !mayExceed[key]:
			b.refuse(path, "value.share", args{"kind": kindWord(k)}, "share", nil)
		default:
			return true
		}
		return false
	}
	switch {
	case x < 0 && !mayBeNegative[key]:
		b.refuse(path, "value.negative", args{"kind": kindWord(k)}, "negative", nil)
		return false
	case x == 0 && hasSize[key]:
		b.refuse(path, "value.zero", args{"kind": kindWord(k)}, "zero", args{"example": example(key, blank(key, k))})
		return false
	}
	return true
}

// span reads a range: two quantities, the low one first.
func (b *binder) span(path, key string, v any, out reflect.Value) {
	ends := out.Addr().MethodByName("Span").Call(nil)
	low, high := ends[0].Elem(), ends[1].Elem()
	k := kindOf(low)
	items, ok := listOf(v)
	if !ok || len(items) != 2 {
		b.refuse(path, "range.two", args{"kind": kindWord(k)}, "range",
			args{"example": example(key, "["+blank(key, k)+", "+blank(key, k)+"]")})
		return
	}
	fine := true
	for i, end := range []reflect.Value{low, high} {
		x, ok := b.quantity(protocol.Item(path, i), key, items[i], k)
		if !ok {
			fine, b.refused[path] = false, true
			continue
		}
		end.SetFloat(x)
	}
	if fine && low.Float() > high.Float() {
		b.refuse(path, "range.order", nil, "range_order", nil)
	}
}

// step reads the smallest step of an instrument.
func (b *binder) step(path, key string, v any, out reflect.Value) {
	k, known := stepKinds[key]
	if !known {
		panic("farmfile: what does the step " + key + " measure?")
	}
	text, ok := b.quantityText(path, key, v, k)
	if !ok {
		return
	}
	s, err := unit.ParseStep(k, text)
	if err != nil {
		b.misspelled(path, key, err.(*unit.Error))
		return
	}
	if b.possible(path, key, k, s.Size) {
		out.Set(reflect.ValueOf(s))
	}
}

// price reads an amount of money or a price, whose kind its type tells.
func (b *binder) price(path, key string, v any, out reflect.Value) {
	k := moneyTypes[out.Type()]
	text, ok := b.quantityText(path, key, v, k)
	if !ok {
		return
	}
	var amount float64
	var currency string
	var err error
	if k == unit.MoneyOf {
		var m unit.Money
		m, err = unit.ParseMoney(text)
		amount, currency = m.Amount, m.Currency
	} else {
		var p unit.Price
		p, err = unit.ParsePrice(k, text)
		amount, currency = p.Amount, p.Currency
	}
	if err != nil {
		b.misspelled(path, key, err.(*unit.Error))
		return
	}
	if b.possible(path, key, k, amount) {
		out.FieldByName("Amount").SetFloat(amount)
		out.FieldByName("Currency").SetString(currency)
	}
}

func kindOf(v reflect.Value) unit.Kind { return v.Interface().(unit.Kinded).Kind() }
