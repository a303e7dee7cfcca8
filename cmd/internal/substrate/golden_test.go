package substrate_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// The formula of the golden example (substrate reference A12 and B5): soybean
// hulls and hardwood pellets in equal shares with 1 % gypsum. Shares are of dry
// matter, moisture of the wet mass; carbon, nitrogen and ash as in this
// project's list of ingredients.
var golden = []struct {
	id                                     string
	share, moisture, carbon, nitrogen, ash float64
}{
	{"pellet", 0.495, 0.07, 0.490, 0.0015, 0.007},
	{"hull", 0.495, 0.096, 0.442, 0.019, 0.052},
	{"gypsum", 0.01, 0, 0, 0, 1},
}

// mix works a batch of the golden formula out in a ledger, the way a batch is.
func mix(t require.TestingT, n, mass, w, lam float64) *working.Ledger {
	l := working.NewLedger(nil)
	here := working.Origin{Document: "A12", Key: "golden"}
	given := func(name string, k unit.Kind, v float64) *working.Quantity { return l.Given(name, k, v, here) }
	total := l.Derive("total", unit.MassOf, substrate.WetTotal,
		working.Bind("n", given("n", unit.CountOf, n)), working.Bind("M", given("M", unit.MassOf, mass)),
		working.Bind("w", given("w", unit.ShareOf, w)))
	m := given("m", unit.ShareOf, 0.65)
	dry := l.Derive("dry", unit.MassOf, substrate.DryTotal, working.Bind("T", total), working.Bind("m", m))
	at := l.Derive("mix_at", unit.ShareOf, substrate.MoistureBeforeSterilizer,
		working.Bind("m", m), working.Bind("lam", given("lam", unit.ShareOf, lam)))
	water := l.Derive("water", unit.MassOf, substrate.WaterNeeded, working.Bind("D", dry), working.Bind("m_b", at))

	var received, moistures, shares, carbon, nitrogen, ash []*working.Quantity
	for _, i := range golden {
		of := func(name string, v float64) *working.Quantity {
			return l.GivenOf(name, i.id, unit.ShareOf, v, here, "A12")
		}
		share, moisture := of("share", i.share), of("moisture", i.moisture)
		d := l.DeriveOf("dry_of", i.id, unit.MassOf, substrate.DryOf, working.Bind("x", share), working.Bind("D", dry))
		q := l.DeriveOf("received", i.id, unit.MassOf, substrate.AsReceived, working.Bind("d", d), working.Bind("m_in", moisture))
		received, moistures = append(received, q), append(moistures, moisture)
		shares = append(shares, share)
		carbon, nitrogen, ash = append(carbon, of("carbon", i.carbon)), append(nitrogen, of("nitrogen", i.nitrogen)), append(ash, of("ash", i.ash))
	}
	in := l.Dot("brought", unit.MassOf, received, moistures)
	l.Derive("add", unit.MassOf, substrate.WaterToAdd, working.Bind("W", water), working.Bind("W_in", in))
	l.Derive("reached", unit.ShareOf, substrate.MoistureOf, working.Bind("W", in), working.Bind("D", dry))
	c := l.Dot("c", unit.ShareOf, shares, carbon)
	n2 := l.Dot("nitrogen", unit.ShareOf, shares, nitrogen)
	l.Dot("ash", unit.ShareOf, shares, ash)
	l.Derive("cn", unit.None, substrate.CarbonToNitrogen, working.Bind("C", c), working.Bind("N", n2))
	require.NoError(t, l.Err())
	return l
}

// Table A12 of the substrate reference, each figure to half its last digit.
func TestGoldenBatches(t *testing.T) {
	for _, c := range []struct {
		name                                        string
		n, mass, perVessel                          float64
		total, totalTo, pellet, hull, gypsum, water float64 // g
	}{
		{"12 x 850 mL", 12, 0.5372, 188.0, 6640, 0.51, 1236.9, 1272.5, 23.2, 4107},
		{"400 x 850 mL", 400, 0.5372, 188.0, 221326, 0.51, 41231.0, 42416.8, 774.6, 136904},
		{"100 x 1100 mL", 100, 0.697, 243.95, 71791, 0.51, 13374.0, 13758.6, 251.3, 44407},
		{"400 x 1100 mL", 400, 0.697, 243.95, 287164, 0.51, 53495.9, 55034.5, 1005.1, 177629},
	} {
		l := mix(t, c.n, c.mass, 0.03, 0)
		grams := func(name, of string) float64 { return l.ValueOf(name, of) * 1000 }
		perVessel := checks.Eval(t, substrate.DryTotal, values{"T": c.mass, "m": 0.65})
		assert.InDelta(t, c.perVessel, perVessel*1000, 0.051, c.name)
		assert.InDelta(t, c.total, grams("total", ""), c.totalTo, c.name)
		assert.InDelta(t, c.pellet, grams("received", "pellet"), 0.051, c.name)
		assert.InDelta(t, c.hull, grams("received", "hull"), 0.051, c.name)
		assert.InDelta(t, c.gypsum, grams("received", "gypsum"), 0.051, c.name)
		assert.InDelta(t, c.water, grams("add", ""), 0.51, c.name)
	}
}

// With 1 % of the wet mass lost in the sterilizer the 100 bottles take 45,132 g
// water, mixed at 65.35 % (substrate reference A12), and come out at 65 %.
func TestGoldenLossInTheSterilizer(t *testing.T) {
	l := mix(t, 100, 0.697, 0.03, -0.01)
	assert.InDelta(t, 45132, l.Value("add")*1000, 0.51)
	assert.InDelta(t, 0.6535, l.Value("mix_at"), 0.000051)
	wet := l.Value("dry") + l.Value("water")
	assert.InDelta(t, 0.65, 1-l.Value("dry")/(wet*(1-0.01)), 1e-12)
}

// Nitrogen 1.015 %, carbon 46.1 %, C:N 45.5, ash 3.9 % (substrate reference B5).
func TestGoldenComposition(t *testing.T) {
	l := mix(t, 12, 0.5372, 0.03, 0)
	assert.InDelta(t, 0.01015, l.Value("nitrogen"), 0.0000051)
	assert.InDelta(t, 0.461, l.Value("c"), 0.00051)
	assert.InDelta(t, 45.5, l.Value("cn"), 0.051)
	assert.InDelta(t, 0.039, l.Value("ash"), 0.00051)
}

// 15 mL of liquid culture in 697 g at 65 % raise the moisture by 0.7 points
// (substrate reference D1).
func TestLiquidCultureAddsWater(t *testing.T) {
	got := checks.Eval(t, substrate.MoistureOf, values{"W": 0.697*0.65 + 0.015, "D": 0.697 * 0.35})
	assert.InDelta(t, 0.007, got-0.65, 0.00051)
}

// At a fixed allowance k times the bottles take k times of everything; masses
// close; and the parts of dry matter are the shares that were asked for.
func TestBatchesScaleAndClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 1000).Draw(t, "n")
		k := rapid.IntRange(2, 1000).Draw(t, "k")
		mass := rapid.Float64Range(0.1, 3).Draw(t, "M")
		lam := rapid.Float64Range(-0.05, 0.03).Draw(t, "lam")
		one, many := mix(t, float64(n), mass, 0.03, lam), mix(t, float64(n*k), mass, 0.03, lam)
		for _, q := range one.All() {
			if q.Kind == unit.MassOf && q.Name != "M" {
				assert.InEpsilon(t, float64(k)*q.Value+1e-300, many.ValueOf(q.Name, q.Of)+1e-300, 1e-9, q.ID())
			}
		}
		sum := one.Value("add")
		for _, i := range golden {
			sum += one.ValueOf("received", i.id)
			share, err := substrate.ShareOfDry.At(values{"d": one.ValueOf("dry_of", i.id), "D": one.Value("dry")})
			require.NoError(t, err)
			assert.InEpsilon(t, i.share, share, 1e-9)
		}
		// What is mixed is what is wanted, undone by what the sterilizer does.
		assert.InEpsilon(t, one.Value("total")/(1+lam), sum, 1e-9)
		assert.Less(t, one.Value("reached"), 0.65)
	})
}
