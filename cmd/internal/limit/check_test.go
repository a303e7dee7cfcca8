package limit_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

func at(key string) working.Origin { return working.Origin{Document: "protocols/x.toml", Key: key} }

func check(l *working.Ledger) []protocol.Finding {
	return limit.Check(l.Own(), l, map[string]string{"bran": "Wheat bran"}, "enoki-850")
}

func rules(found []protocol.Finding) []string {
	out := []string{}
	for _, f := range found {
		out = append(out, f.Rule)
	}
	return out
}

// The way through Check for every row: a ledger with the row's quantity beyond
// a bound, and with the quantities that the bound and the blame name, has a
// finding with all that the row says, at the place that it blames.
func TestEachRowMakesAFinding(t *testing.T) {
	for _, row := range limit.All() {
		for _, known := range knownBounds(row) {
			for _, above := range []bool{false, true} {
				b := row.Low
				if above {
					b = row.High
				}
				bound, bounded := edge(t, row, b, known)
				if !bounded {
					continue
				}
				v := bound - hair(bound)
				if above {
					v = bound + hair(bound)
				}
				l := working.NewLedger(nil)
				for name, x := range known {
					l.Given(name, unit.None, x, at(name))
				}
				l.Given(row.Quantity, unit.None, v, at(row.Quantity))
				if row.Blame != "" && l.Get(row.Blame) == nil {
					l.Given(row.Blame, unit.None, 0, at(row.Blame))
				}
				holds(t, row, above, l)
			}
		}
	}
}

func holds(t *testing.T, row limit.Limit, above bool, l *working.Ledger) {
	t.Helper()
	worse := false
	for _, f := range check(l) {
		if f.Rule != row.ID {
			worse = worse || f.Severity > row.Severity
			continue
		}
		assert.Equal(t, row.Severity, f.Severity, row.ID)
		assert.Equal(t, row.Source, f.Source, row.ID)
		assert.Equal(t, row.Safety, f.Safety, row.ID)
		assert.Equal(t, "enoki-850", f.Subject)
		assert.Equal(t, "limit."+row.ID+".why", f.Why.ID)
		assert.Equal(t, "limit."+row.ID+".hint", f.Hint.ID)
		blamed := row.Quantity
		if row.Blame != "" {
			blamed = row.Blame
		}
		assert.Equal(t, at(blamed), f.Origin, row.ID)
		want := row.What
		switch {
		case want != "":
		case above && row.High.Open:
			want = "limit.above_open"
		case above:
			want = "limit.above"
		case row.Low.Open:
			want = "limit.below_open"
		default:
			want = "limit.below"
		}
		assert.Equal(t, want, f.What.ID, row.ID)
		assert.Equal(t, protocol.Message{ID: "quantity." + row.Quantity}, f.What.Args["quantity"], row.ID)
		found, allowed := f.What.Args["found"].(unit.Amount), f.What.Args["allowed"].(unit.Amount)
		assert.Equal(t, above, found.Value > allowed.Value, row.ID)
		assert.NotEqual(t, found.Show(unit.Metric), allowed.Show(unit.Metric), row.ID)
		return
	}
	assert.True(t, worse, "%s made no finding, and none that is worse: %v", row.ID, rules(check(l)))
}

func TestOnlyTheWorstOfAQuantityIsReported(t *testing.T) {
	l := working.NewLedger(nil)
	l.Given("hold", unit.TimeOf, 10*unit.Minute, at("hold"))                              // under the error
	l.Given("packed_density", unit.DensityOf, 500, at("density"))                         // under the warning
	l.Given("carbon_to_nitrogen", unit.None, 250, at("cn"))                               // over both
	l.Given("vessels", unit.CountOf, 2000, working.Origin{Document: "--bottles"})         // on the warning
	l.Given("stage_fruiting_co2", unit.PartsPerMillion, 3000e-6, at("fruiting.co2_most")) // over two warnings
	l.Given("wants_co2_fruit_high", unit.PartsPerMillion, 1500e-6, at("co2_fruit"))       // of one of them
	l.Given("something_else", unit.None, 1e9, at("else"))                                 // no limit knows it
	assert.Equal(t, []string{"hold.never", "density.unusual", "cn.never", "fruiting.co2", "fruiting.staffed"}, rules(check(l)))
}

func TestBoundsOfTheSameSubjectComeFirst(t *testing.T) {
	l := working.NewLedger(nil)
	l.GivenOf("share", "bran", unit.ShareOf, 0.30, at("bran"), "")
	l.GivenOf("share", "straw", unit.ShareOf, 0.30, at("straw"), "")
	l.GivenOf("share", "mud", unit.ShareOf, 0.30, at("mud"), "")
	l.GivenOf("share_usual_most", "bran", unit.ShareOf, 0.25, at("cap"), "")
	l.GivenOf("share_usual_most", "straw", unit.ShareOf, 0.60, at("cap"), "")
	found := check(l)
	require.Equal(t, []string{"share.high"}, rules(found), "straw may have more, and nobody knows of mud")
	assert.Equal(t, at("bran"), found[0].Origin)
	assert.Equal(t, "Wheat bran", found[0].What.Args["of"])
	assert.Equal(t, protocol.Message{ID: "quantity.share", Args: map[string]any{"of": "Wheat bran"}}, found[0].What.Args["quantity"])

	// A bound of the whole holds for a subject that has none of its own, and
	// an id without a name stands for itself.
	l = working.NewLedger(nil)
	l.Given("share_usual_most", unit.ShareOf, 0.10, at("cap"))
	l.GivenOf("share", "mud", unit.ShareOf, 0.30, at("mud"), "")
	found = check(l)
	require.Equal(t, []string{"share.high"}, rules(found))
	assert.Equal(t, "mud", found[0].What.Args["of"])
}

func TestBoundThatCouldNotBeWorkedOutDoesNotApply(t *testing.T) {
	l := working.NewLedger(nil)
	zero := l.Given("zero", unit.None, 0, at("zero"))
	l.Derive("moisture_mixed", unit.ShareOf, working.NewLaw("1 / z", "test", nil), working.Bind("z", zero))
	l.Given("moisture_without_water", unit.ShareOf, 0.9, at("wet"))
	assert.Empty(t, check(l))
}

func TestBlameFallsOnWhatWasWritten(t *testing.T) {
	copied := working.NewLaw("x", "definition", nil)
	less := working.NewLaw("x - y", "definition", nil)

	// A derived value without a blame of its own: the nearest that was written.
	l := working.NewLedger(nil)
	far := l.Given("far", unit.None, 100, at("far"))
	near := l.Given("near", unit.None, 80, at("near"))
	inner := l.Derive("inner", unit.None, copied, working.Bind("x", far))
	l.Derive("carbon_to_nitrogen", unit.None, less, working.Bind("x", inner), working.Bind("y", near))
	found := check(l)
	require.Equal(t, []string{"cn.unusual"}, rules(found))
	assert.Equal(t, at("near"), found[0].Origin)

	// A blame that is derived itself leads to what it was derived from.
	l = working.NewLedger(nil)
	a := l.Given("a", unit.ShareOf, 0.6, at("a"))
	b := l.Given("b", unit.ShareOf, 0.5, at("b"))
	l.Sum("shares_total", unit.ShareOf, a, b)
	found = check(l)
	require.Equal(t, []string{"shares.sum"}, rules(found))
	assert.Equal(t, at("a"), found[0].Origin)

	// Each scale has a step; the mix has none: the nearest one is blamed.
	l = working.NewLedger(nil)
	other := l.GivenOf("scale_reads", "bench", unit.MassOf, 0.01, at("scale[0]"), "")
	step := l.GivenOf("scale_reads", "floor", unit.MassOf, 0.01, at("scale[1]"), "")
	target := l.Given("moisture_mixed", unit.ShareOf, 0.65, at("moisture"))
	deep := l.DeriveOf("weighed", "bran", unit.MassOf, copied, working.Bind("x", other))
	dry := l.Derive("dry", unit.MassOf, copied, working.Bind("x", deep))
	water := l.DeriveOf("weighed", "water", unit.MassOf, copied, working.Bind("x", step))
	both := l.Sum("both", unit.MassOf, dry, water)
	l.Derive("rounding_moisture", unit.ShareOf, less, working.Bind("x", target), working.Bind("y", both))
	found = check(l)
	require.Equal(t, []string{"rounding.moisture"}, rules(found))
	assert.Equal(t, at("scale[1]"), found[0].Origin)

	// Nothing was written at all: the place stays empty.
	l = working.NewLedger(nil)
	l.Given("carbon_to_nitrogen", unit.None, 61, working.Origin{})
	assert.Equal(t, working.Origin{}, check(l)[0].Origin)
}

// A value of a continued ledger is held to bounds of its base.
func TestCheckSeesTheBase(t *testing.T) {
	base := working.NewLedger(nil)
	base.Given("rated_pressure", unit.GaugePressureOf, 100e3, at("rated"))
	l := working.NewLedger(base)
	l.Given("gauge_pressure", unit.GaugePressureOf, 103e3, at("gauge"))
	assert.Equal(t, []string{"gauge.rated"}, rules(check(l)))
	assert.Empty(t, limit.Check(base.Own(), base, nil, ""))
}

func TestAmountsCanBeToldApart(t *testing.T) {
	for _, c := range []struct {
		kind         unit.Kind
		found, bound float64
		digits       int
	}{
		{unit.ShareOf, 0.7, 0.65, 4},
		{unit.ShareOf, 0.650004, 0.65, 6},
		{unit.TimeOf, 90*unit.Minute + 0.01, 90 * unit.Minute, 6},
		{unit.GaugePressureOf, 103421.4, 103421, 7},
		{unit.ShareOf, 0.65, 0.65, 12}, // on an open bound nothing tells them apart
	} {
		found, bound := limit.Amounts(&working.Quantity{Kind: c.kind, Value: c.found}, c.bound)
		assert.Equal(t, c.found, found.Value)
		assert.Equal(t, c.bound, bound.Value)
		assert.Equal(t, c.digits, found.Digits, "%v and %v", c.found, c.bound)
		assert.Equal(t, found.Digits, bound.Digits)
		if c.found != c.bound {
			assert.NotEqual(t, found.Show(unit.Metric), bound.Show(unit.Metric))
			assert.NotEqual(t, found.Show(unit.US), bound.Show(unit.US))
		}
	}
}

// A bound keeps the unit in which it is a round figure, however far off the
// value is.
func TestBoundsKeepTheirUnit(t *testing.T) {
	for _, c := range []struct {
		found, bound float64
		want         [2]string
	}{
		{320 * unit.Day, 4 * unit.Hour, [2]string{"7680 h", "4 h"}},
		{30 * unit.Hour, 4 * unit.Hour, [2]string{"30 h", "4 h"}},
		{36 * unit.Hour, 14 * unit.Day, [2]string{"1.5 d", "14 d"}},
		{-90 * unit.Minute, 0, [2]string{"−90 min", "0 min"}},
	} {
		found, bound := limit.Amounts(&working.Quantity{Kind: unit.TimeOf, Value: c.found}, c.bound)
		assert.Equal(t, c.want, [2]string{plain(found.Show(unit.Metric)), plain(bound.Show(unit.Metric))})
	}
}

func plain(s string) string { return strings.ReplaceAll(s, unit.Space, " ") }

// What was worked out from a refused value is nonsense: a warning of it is left
// away, one of another value is not, and neither is an error.
func TestWarningsOfWhatIsRefusedAreLeftAway(t *testing.T) {
	half := working.NewLaw("x / 2", "test", nil)
	for _, c := range []struct {
		fill float64
		want []string
	}{
		{0, []string{"fill.empty", "chamber.never"}},
		{0.5e-3, []string{"spent.moisture", "chamber.never"}},
	} {
		l := working.NewLedger(nil)
		fill := l.Given("fill_volume", unit.VolumeOf, c.fill, at("fill.headspace"))
		step := l.Derive("between", unit.None, half, working.Bind("x", fill))
		l.Derive("spent_moisture", unit.ShareOf, working.NewLaw("0 - 44.37 + x * 0", "test", nil), working.Bind("x", step))
		l.Derive("chamber_temperature", unit.TemperatureOf, half, working.Bind("x", fill))
		assert.ElementsMatch(t, c.want, rules(check(l)), "%v", c.fill)
	}
}
