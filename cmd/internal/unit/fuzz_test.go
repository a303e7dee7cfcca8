package unit_test

import (
	"errors"
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/unit"
)

// number is the plain decimal that a text begins with, read digit by digit and exactly,
// and what follows it; false where there is none. It is a second reading of what Parse
// reads by a pattern.
func number(text string) (x *big.Rat, sign string, digits, rest string, ok bool) {
	text = strings.TrimSpace(strings.NewReplacer("\u00a0", " ", "\u202f", " ").Replace(text))
	for _, s := range []string{"+", "-", "−"} {
		if r, has := strings.CutPrefix(text, s); has {
			sign, text = s, r
			break
		}
	}
	end, points := 0, 0
	for end < len(text) && (text[end] >= '0' && text[end] <= '9' || text[end] == '.' && points == 0 && end+1 < len(text) && text[end+1] >= '0' && text[end+1] <= '9') {
		if text[end] == '.' {
			points++
		}
		end++
	}
	if end == 0 {
		return nil, "", "", "", false
	}
	digits = text[:end]
	x, ok = new(big.Rat).SetString("0" + digits)
	if ok && (sign == "-" || sign == "−") {
		x.Neg(x)
	}
	return x, sign, digits, strings.TrimSpace(text[end:]), ok
}

// Whatever the text and whatever is asked for: an answer that is a number, or an *Error
// that says what was asked and found. What is read is the number that stands there times
// what one of the unit is, by a reading of its own; however it is spaced it is the same,
// and with the other sign it lies on the other side of nought.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"15 psi", "−2 %", "1,5 kg", "NaN", "1 1/2 in", "65%", "\u00a0", "1.20 USD", "0.35 USD/kg", "21 USD/h", "1e3 kg", ".5 m",
		"5. m", "007 kg", "+3 °C", "- 3 °C", "40\u202f°F", "100 kJ/(kg·K)", strings.Repeat("9", 400) + " kg", "0." + strings.Repeat("0", 400) + "1 kg",
		strings.Repeat("9", 308) + " USD/g", "2 short  ton", "infinity K", "1 /h", "1 %%", "12 h 30 min", "1\u2009kg", "１ kg", "3 USD / kg"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for k := unit.None; k <= unit.SpeedOf; k++ {
			v, err := unit.Parse(k, s)
			if err != nil {
				refused(t, k, s, v, err)
				continue
			}
			finite(t, v)
			x, sign, digits, name, ok := number(s)
			require.True(t, ok, "%q was read, and begins with no number", s)
			name = strings.Join(strings.Fields(name), " ")
			require.Contains(t, unit.Spellings(k), name, "%q", s)
			one, err := unit.Parse(k, "1 "+name) // "1" at once before "1/h" would be eleven
			require.NoError(t, err)
			none, err := unit.Parse(k, "0 "+name)
			require.NoError(t, err)
			of, _ := x.Float64()
			want := none + of*(one-none)
			require.InDelta(t, want, v, 1e-9*(math.Abs(want)+math.Abs(none)), "%q", s)

			again, err := unit.Parse(k, "\t "+sign+digits+"\u00a0 "+name+" ")
			require.NoError(t, err)
			require.Equal(t, v, again, "%q, spaced otherwise", s)
			turned := "-"
			if sign == "-" || sign == "−" {
				turned = "+"
			}
			other, err := unit.Parse(k, turned+digits+" "+name)
			require.NoError(t, err)
			require.InDelta(t, none, (v+other)/2, 1e-9*(math.Abs(v)/2+math.Abs(other)/2+math.Abs(none)), "%q, with the other sign", s)

			step, err := unit.ParseStep(k, s)
			require.NoError(t, err)
			require.Equal(t, unit.Step{Size: v, Unit: name}, step)
		}
		m, err := unit.ParseMoney(s)
		if err == nil {
			finite(t, m.Amount)
			currency(t, m.Currency)
		} else {
			refused(t, unit.MoneyOf, s, m.Amount, err)
		}
		for _, k := range []unit.Kind{unit.PriceOfMass, unit.PriceOfTime, unit.PriceOfEnergy, unit.PriceOfVolume} {
			p, err := unit.ParsePrice(k, s)
			if err != nil {
				refused(t, k, s, p.Amount, err)
				continue
			}
			finite(t, p.Amount)
			currency(t, p.Currency)
			_, _, digits, rest, ok := number(s)
			require.True(t, ok)
			_, per, _ := strings.Cut(rest, "/")
			one, err := unit.ParsePrice(k, "1 USD/"+per)
			require.NoError(t, err)
			x, _ := new(big.Rat).SetString("0" + digits)
			of, _ := x.Float64()
			require.InDelta(t, of*one.Amount, math.Abs(p.Amount), 1e-9*of*one.Amount, "%q", s)
		}
	})
}

func finite(t *testing.T, v float64) {
	t.Helper()
	require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%v", v)
}

func currency(t *testing.T, c string) {
	t.Helper()
	require.Len(t, c, 3)
	require.False(t, strings.ContainsFunc(c, func(r rune) bool { return r > 'Z' || !unicode.IsUpper(r) }), c)
}

// refused holds an error to what its reader needs of it.
func refused(t *testing.T, k unit.Kind, s string, v float64, err error) {
	t.Helper()
	var e *unit.Error
	require.True(t, errors.As(err, &e), "%q: %v", s, err)
	require.Zero(t, v)
	require.Equal(t, k, e.Kind)
	require.Equal(t, s, e.Text)
	require.Contains(t, []unit.Fault{unit.NoUnit, unit.UnknownUnit, unit.OtherKind, unit.NotANumber, unit.NotFinite}, e.Fault)
	if e.Fault == unit.OtherKind {
		require.Contains(t, unit.Spellings(e.Other), e.Unit)
		// Of a price the spellings are those behind its slash.
		isPrice := slices.Contains([]unit.Kind{unit.PriceOfMass, unit.PriceOfTime, unit.PriceOfEnergy, unit.PriceOfVolume}, k)
		require.True(t, isPrice || !slices.Contains(unit.Spellings(k), e.Unit), "%q: %v %+v", s, k, e)
	}
}
