package limit_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

func TestEachRowIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, row := range limit.All() {
		assert.False(t, seen[row.ID], "%s stands twice", row.ID)
		seen[row.ID] = true
		group, rest, dotted := strings.Cut(row.ID, ".")
		assert.True(t, dotted && group != "" && rest != "" && strings.ToLower(row.ID) == row.ID && !strings.Contains(row.ID, " "), row.ID)
		assert.NotEmpty(t, row.Quantity, row.ID)
		assert.NotEmpty(t, strings.TrimSpace(row.Source), row.ID)
		assert.Contains(t, []protocol.Severity{protocol.Note, protocol.Warning, protocol.Error}, row.Severity, row.ID)
		assert.True(t, row.Low != nil || row.High != nil, "%s allows everything", row.ID)
		for _, b := range []*limit.Bound{row.Low, row.High} {
			if b == nil {
				continue
			}
			assert.False(t, math.IsNaN(b.Value) || math.IsInf(b.Value, 0) || math.IsNaN(b.Plus), row.ID)
			assert.NotEqual(t, row.Quantity, b.Of, "%s is held to itself", row.ID)
			if b.Of == "" {
				assert.False(t, b.Least || b.Plus != 0, "%s: a bound of its own is moved or compared with nothing", row.ID)
			} else if !b.Least {
				assert.Zero(t, b.Value, "%s: a bound is a number or a quantity", row.ID)
			}
		}
		if row.Low != nil && row.High != nil && row.Low.Of == "" && row.High.Of == "" {
			assert.Less(t, row.Low.Value, row.High.Value, row.ID)
		}
	}
	assert.Greater(t, len(seen), 100)
}

// Safety rows are those that hurt people, not crops: the pressure vessel, what
// bursts, scalds, suffocates or makes ill.
func TestRowsAboutPeopleAreMarked(t *testing.T) {
	marked := map[string]bool{}
	for _, row := range limit.All() {
		marked[row.ID] = row.Safety
	}
	for _, id := range []string{
		"gauge.rated", "gauge.band", "rated.doubtful", "vessel.too_hot", "vessel.material", "vessel.sealed",
		"gauge.relief", "vent.long", "crate.heavy", "crate.never", "cold.late_never",
		"vent.never", "wash.never", "cold.never", "incubation.staffed", "incubation.staffed_never",
		"pinning.staffed_never", "fruiting.staffed_never", "vapor.explosive_never", "flame.alcohol", "noise.never",
	} {
		assert.True(t, marked[id], id)
	}
	// The lifting index is for authors and trainers (decision 27): a sheet has a
	// caution at the steps where crates are moved.
	for _, id := range []string{"cn.unusual", "scrape.depth", "batch.large", "rounding.moisture", "lift.index"} {
		assert.Contains(t, marked, id)
		assert.False(t, marked[id], id)
	}
}

// Every row lets its bound pass (or stops it, where the bound is open), lets a
// value inside pass, and stops the first value beyond, on both sides.
func TestEachRowAtItsBounds(t *testing.T) {
	for _, row := range limit.All() {
		for _, known := range knownBounds(row) {
			get := func(name string) (float64, bool) { v, ok := known[name]; return v, ok }
			low, hasLow := edge(t, row, row.Low, known)
			high, hasHigh := edge(t, row, row.High, known)
			check := func(v, bound float64, above, want bool) {
				t.Helper()
				got, over, crossed := row.Crossed(v, get)
				assert.Equal(t, want, crossed, "%s: %v with %v", row.ID, v, known)
				if want && crossed {
					assert.Equal(t, above, over, "%s: %v with %v", row.ID, v, known)
					assert.InDelta(t, bound, got, 1e-12*(1+math.Abs(bound)), "%s: bound of %v", row.ID, v)
				}
			}
			if hasLow {
				check(low, low, false, row.Low.Open)
				check(low-hair(low), low, false, true)
				check(low-1e9, low, false, true)
				check(low+hair(low), low, false, false)
				// The last bits of a computed value do not decide.
				check(low*(1-1e-12), low, false, row.Low.Open)
				check(low*(1+1e-12), low, false, row.Low.Open)
			}
			if hasHigh {
				check(high, high, true, row.High.Open)
				check(high+hair(high), high, true, true)
				check(high+1e9, high, true, true)
				check(high-hair(high), high, true, false)
				check(high*(1-1e-12), high, true, row.High.Open)
				check(high*(1+1e-12), high, true, row.High.Open)
			}
			if hasLow && hasHigh {
				require.Less(t, low, high, "%s with %v", row.ID, known)
				check((low+high)/2, 0, false, false)
			}
			_, _, crossed := row.Crossed(math.NaN(), get)
			assert.False(t, crossed, "%s: what could not be worked out is not outside", row.ID)
		}
	}
}

// hair is just beyond the slack for the last bits of a computed value.
func hair(bound float64) float64 {
	if bound == 0 {
		return 1e-9
	}
	return 1e-6 * math.Abs(bound)
}

// edge works out a row's bound from its definition.
func edge(t *testing.T, row limit.Limit, b *limit.Bound, known map[string]float64) (float64, bool) {
	t.Helper()
	switch {
	case b == nil:
		return 0, false
	case b.Of == "":
		return b.Value, true
	}
	v, ok := known[b.Of]
	require.True(t, ok, "%s: no value for %s", row.ID, b.Of)
	if b.Times != 0 {
		v *= b.Times
	}
	if b.Least {
		return math.Min(b.Value, v+b.Plus), true
	}
	return v + b.Plus, true
}

// knownBounds are values for the quantities that a row's bounds name: low ones
// below high ones, and for the lower of two both ways round.
func knownBounds(row limit.Limit) []map[string]float64 {
	known := map[string]float64{}
	var least *limit.Bound
	for side, b := range map[float64]*limit.Bound{300: row.Low, 400: row.High} {
		if b == nil || b.Of == "" {
			continue
		}
		known[b.Of] = side
		if b.Least {
			least = b
		}
	}
	if least == nil {
		return []map[string]float64{known}
	}
	var both []map[string]float64
	for _, v := range []float64{least.Value / 2, least.Value * 2} {
		m := map[string]float64{least.Of: v}
		for name, x := range known {
			if name != least.Of {
				m[name] = x
			}
		}
		both = append(both, m)
	}
	return both
}

func TestBoundThatIsNotKnownDoesNotApply(t *testing.T) {
	unknown := func(string) (float64, bool) { return 0, false }
	tried := 0
	for _, row := range limit.All() {
		for _, side := range []struct {
			b     *limit.Bound
			value float64
		}{{row.Low, -1e12}, {row.High, 1e12}} {
			if side.b == nil || side.b.Of == "" {
				continue
			}
			tried++
			bound, _, crossed := row.Crossed(side.value, unknown)
			if side.b.Least {
				assert.True(t, crossed, "%s: the number holds on its own", row.ID)
				assert.Equal(t, side.b.Value, bound)
			} else {
				assert.False(t, crossed, row.ID)
			}
		}
	}
	assert.Greater(t, tried, 20)
}

// An error must lie at or beyond the warning on the same side: else the warning
// could never be seen.
func TestErrorsAreNotTighterThanWarnings(t *testing.T) {
	compared := 0
	plain := func(b *limit.Bound) bool { return b != nil && b.Of == "" }
	for _, w := range limit.All() {
		for _, e := range limit.All() {
			if w.Quantity != e.Quantity || w.Severity != protocol.Warning || e.Severity != protocol.Error {
				continue
			}
			about := fmt.Sprintf("%s and %s", e.ID, w.ID)
			if plain(w.Low) && plain(e.Low) {
				compared++
				assert.LessOrEqual(t, e.Low.Value, w.Low.Value, about)
			}
			if plain(w.High) && plain(e.High) {
				compared++
				assert.GreaterOrEqual(t, e.High.Value, w.High.Value, about)
			}
		}
	}
	assert.Greater(t, compared, 25)
}

// The numbers that the references fix, row by row, in the units in which they
// are printed there: substrate reference sections A, C, D, E, F and G,
// sterilization reference section f, and the decisions where these differ.
func TestNumbersOfTheReferences(t *testing.T) {
	const none = math.MaxFloat64
	percent, minute, hour := 0.01, unit.Minute, unit.Hour
	table := map[string]limit.Limit{}
	for _, row := range limit.All() {
		table[row.ID] = row
	}
	for _, c := range []struct {
		id        string
		low, high float64
		in        float64 // SI of one unit
		from      string
	}{
		{"altitude.outside", -430, 5000, 1, "decision 7"},
		{"altitude.high", -100, 3000, 1, "sterilization f"},
		{"shares.sum", 98, 102, percent, "substrate G"},
		{"shares.near", 99.9, 100.1, percent, "substrate G"},
		{"minerals.high", none, 2, percent, "substrate G"},
		{"minerals.never", none, 5, percent, "substrate G"},
		{"nitrogen.never", 0.3, 2.5, percent, "substrate G"},
		{"cn.unusual", 25, 60, 1, "substrate G"},
		{"cn.never", 15, 200, 1, "substrate G"},
		{"moisture.never", 50, 75, percent, "decision 7"},
		{"received.impossible", none, 95, percent, "substrate G"},
		{"received.far", none, 5, percent, "substrate G"},
		{"mass_change.never", -5, 3, percent, "substrate A7"},
		{"mixing.time", 10, 20, minute, "substrate F, step 2"},
		{"density.unusual", 0.55, 0.80, 1000, "substrate C4"},
		{"density.never", 0.30, 1.00, 1000, "decision 7"},
		{"porosity.unusual", 25, 60, percent, "substrate C5"},
		{"porosity.never", 15, none, percent, "decision 7"},
		{"fill.tolerance", none, 3, percent, "substrate G"},
		{"fill.tolerance_never", none, 6, percent, "substrate G"},
		{"bore.diameter", 12, 30, 0.001, "sterilization f"},
		{"bore.wide", none, 0.6, 1, "sterilization f"},
		{"vent.short", 10, none, minute, "sterilization f"},
		{"come_up.unusual", 15, 90, minute, "sterilization f"},
		{"come_up.never", 0, 240, minute, "sterilization f"},
		{"hold.long", none, 180, minute, "sterilization f"},
		{"hold.never", 15, 600, minute, "sterilization f"},
		{"cooled.late", none, 24, hour, "substrate F, step 9"},
		{"cooled.never", none, 48, hour, "substrate F, step 9"},
		{"controls.few", 2, none, 1, "substrate F, step 11"},
		{"spawn.unusual", 2, 4, percent, "substrate G, the stricter of it and D1"},
		{"spawn.age", none, 14 * 24, hour, "substrate D4"},
		{"spawn.age_never", none, 45 * 24, hour, "substrate D4"},
		{"spawn.generation", none, 3, 1, "substrate D4"},
		{"ingredient.carbon", none, 60, percent, "substrate B4"},
		{"ingredient.nitrogen", none, 15, percent, "substrate B4"},
		{"ingredient.whole", none, 100, percent, "substrate B4"},
		{"mass_change.unusual", -3.15, 1, percent, "substrate A7"},
		{"yield.never", none, 200, percent, "substrate G"},
		{"lost.none", 0.1, none, percent, "climate h"},
		{"batch.small", 12, none, 1, "climate h"},
		{"incubation.humidity_never", 20, 95, percent, "climate h"},
		{"fruiting.wet", none, 100, percent, "climate h"},
		{"collar.stems", 20, 30, 0.001, "substrate F, step 18"},
		{"crate.heavy", none, 12, 1, "climate h, the stricter of it and sterilization, Lifting"},
		{"crate.never", none, 23, 1, "NIOSH 94-110, load constant"},
		{"spawn.never", 0, 15, percent, "substrate D1"},
		{"lift.index", none, 1, 1, "climate h"},
		{"lift.index_never", none, 3, 1, "climate h"},
		{"vapor.explosive", none, 10, percent, "climate h"},
		{"vapor.explosive_never", none, 25, percent, "climate h"},
		{"noise.loud", none, 80, 1, "climate h"},
		{"noise.never", none, 90, 1, "climate h"},
		{"lost.high", none, 10, percent, "substrate E1"},
		{"lost.never", none, 30, percent, "substrate E1"},
		{"water_use.high", none, 0.60, 1, "substrate E3"},
		{"water_use.never", none, 0.85, 1, "substrate E3"},
		{"spent.dry", 0, none, 1, "substrate E4"},
		{"spent.moisture", 50, 80, percent, "substrate E4"},
		{"cold.late", none, 4, hour, "substrate F, step 20"},
		{"empty.late", none, 24, hour, "substrate F, step 21"},
		{"scrape.depth", 3, 8, 0.001, "substrate F, step 15"},
		{"wetting.water", 5, 20, 1e-6, "substrate F, step 16"},
		{"wetting.stand", 1, 3, hour, "substrate F, step 16"},
		{"incubation.staffed", none, 2500, 1e-6, "decision 7"},
		{"incubation.staffed_never", none, 5000, 1e-6, "29 CFR 1910.1000 Table Z-1"},
		{"pinning.staffed_never", none, 5000, 1e-6, "29 CFR 1910.1000 Table Z-1"},
		{"fruiting.staffed_never", none, 5000, 1e-6, "29 CFR 1910.1000 Table Z-1"},
		{"batch.large", none, 2000, 1, "decision 1"},
		{"waste.high", none, 10, percent, "substrate A6"},
		{"waste.never", none, 15, percent, "substrate A6"},
		{"rounding.moisture", none, 0.2, percent, "substrate A10"},
		{"rounding.nitrogen", none, 0.02, percent, "substrate A10"},
		{"rounding.share", none, 1, percent, "substrate A10"},
		{"rounding.mineral", none, 2.5, percent, "substrate A10"},
	} {
		row, ok := table[c.id]
		require.True(t, ok, c.id)
		for _, side := range []struct {
			want float64
			b    *limit.Bound
		}{{c.low, row.Low}, {c.high, row.High}} {
			if side.want == none {
				assert.Nil(t, side.b, "%s, %s", c.id, c.from)
				continue
			}
			require.NotNil(t, side.b, "%s, %s", c.id, c.from)
			assert.Empty(t, side.b.Of, c.id)
			assert.InDelta(t, side.want*c.in, side.b.Value, 1e-12*math.Abs(side.want*c.in), "%s, %s", c.id, c.from)
		}
	}
	// Temperatures have an offset: 118 to 124 °C, 100 to 135 °C (sterilization
	// f), core at most 25 °C, never above 28 °C (substrate F, step 9), packs at
	// most 4 °C (step 20), wash water 50 to 60 °C (step 22).
	for id, c := range map[string][2]float64{
		"chamber.unusual": {118, 124}, "chamber.never": {100, 135}, "cool.warm": {none, 25}, "cool.never": {5, 28},
		"cold.warm": {none, 4}, "wash.unusual": {50, 60},
	} {
		row := table[id]
		if c[0] != none {
			assert.InDelta(t, c[0]+273.15, row.Low.Value, 1e-9, id)
		}
		assert.InDelta(t, c[1]+273.15, row.High.Value, 1e-9, id)
	}
}
