package change_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

const (
	enoki = "protocols/enoki-850.toml"
	farm  = "protocols/farm.toml"
)

// figure is the difference of a quantity; it must be there.
func figure(t *testing.T, r *change.Report, id string) change.Difference {
	t.Helper()
	for _, d := range r.Differences {
		if d.Kind == change.Figure && (d.After != nil && d.After.ID() == id || d.After == nil && d.Before.ID() == id) {
			return d
		}
	}
	t.Fatalf("%s does not differ", id)
	return change.Difference{}
}

func has(r *change.Report, id string) bool {
	return slices.ContainsFunc(r.Differences, func(d change.Difference) bool {
		return d.Kind == change.Figure && (d.After != nil && d.After.ID() == id || d.Before != nil && d.Before.ID() == id)
	})
}

// told is the difference of a part of a step; nil where it reads the same.
func told(r *change.Report, step string, part change.Part) *change.Difference {
	for i, d := range r.Differences {
		if d.Kind == change.Told && !d.Spawn && string(d.Step.ID) == step && d.Part == part {
			return &r.Differences[i]
		}
	}
	return nil
}

func keys(d change.Difference) (out []string) {
	for _, c := range d.Causes {
		out = append(out, c.After.Origin.Document+" "+c.After.Origin.Key)
	}
	slices.Sort(out)
	return out
}

// Ten minutes more of hold, by hand. Each second at a steady temperature T adds
// 10^((T - 121.1 °C) / 10 K) seconds of F0 (log-linear model, Bigelow 1921; reference as
// in USP chapter 1229). In the quick case the place is at the temperature of the steam
// long before the end, and that is 120.2 °C here: 600 s add 600 × 10^-0.092 = 485 s.
// Three loads at one sterilizer are watched for 3 × 10 min more.
func TestTenMinutesMoreOfHold(t *testing.T) {
	before := demo(t)
	after := edit(t, before, enoki, `hold = "120 min"`, `hold = "130 min"`)
	r := compare(t, before, after, "enoki-850", 240)
	require.Len(t, r.Inputs, 1)
	assert.Equal(t, unit.Duration(7200), r.Inputs[0].Before.Value)
	assert.Equal(t, unit.Duration(7800), r.Inputs[0].After.Value)
	assert.True(t, r.Inputs[0].Method)
	assert.Empty(t, r.Idle)
	for _, d := range r.Differences {
		assert.Equal(t, []string{enoki + " sterilization.hold"}, keys(d), "%s %s", d.Kind, d.Step.ID)
		assert.True(t, d.Alone)
	}

	f := figure(t, r, "f0_quick")
	steam := 120.18 // °C, of 15 psi and the 96.38 kPa of 420 m
	assert.InDelta(t, 600*math.Pow(10, (steam-121.1)/10), f.After.Value-f.Before.Value, 1)
	assert.Equal(t, change.ForSafety, f.Group)
	watched := told(r, "sterilize", change.Time)
	require.NotNil(t, watched)
	assert.Equal(t, [2]string{"510\u00a0min", "540\u00a0min"}, [2]string{watched.TextBefore, watched.TextAfter})
	assert.Equal(t, change.ForQuantity, watched.Group)

	limit := told(r, "sterilize", change.Limit)
	require.NotNil(t, limit)
	assert.Contains(t, limit.TextBefore, "at least 120\u00a0min")
	assert.Contains(t, limit.TextAfter, "at least 130\u00a0min")
	assert.True(t, limit.First, "a critical limit moved")
	assert.False(t, has(r, "chamber_temperature"), "a longer hold is no hotter")
	assert.False(t, has(r, "weighed/soy-hull"))
	assert.False(t, r.Nothing())
	number, why, err := change.Rise(must(t, before, "enoki-850"), must(t, after, "enoki-850"), []int{48}, english)
	require.NoError(t, err)
	assert.Equal(t, change.First, number)
	assert.True(t, slices.ContainsFunc(why, func(d change.Difference) bool { return d.Step.ID == "sterilize" && d.Part == change.Limit }))
}

// From 500 m to 1000 m above the sea. The US Standard Atmosphere 1976 has 95461 Pa and
// 89875 Pa there (ASHRAE Handbook Fundamentals 2017, chapter 1, table 1; held to 0.05 %
// as in testdata/climate-schedule-checks.csv). With 15 psi = 103421 Pa on top that is
// 198.9 kPa and 193.3 kPa, of which steam tables have 120.0 °C and 119.1 °C (0.2 MPa is
// 120.21 °C, and 0.161 K for each kPa about there; from memory).
func TestHigherAboveTheSea(t *testing.T) {
	at500 := edit(t, demo(t), farm, `altitude = "420 m"`, `altitude = "500 m"`)
	at1000 := edit(t, demo(t), farm, `altitude = "420 m"`, `altitude = "1000 m"`)
	r := compare(t, at500, at1000, "enoki-850", 240)
	air, steam := figure(t, r, "air_pressure"), figure(t, r, "chamber_temperature")
	assert.InEpsilon(t, 95461, air.Before.Value, 0.0005)
	assert.InEpsilon(t, 89875, air.After.Value, 0.0005)
	assert.InDelta(t, 273.15+120.03, steam.Before.Value, 0.1)
	assert.InDelta(t, 273.15+119.13, steam.After.Value, 0.1)
	for _, d := range r.Differences {
		assert.Equal(t, []string{farm + " altitude"}, keys(d))
	}
	// Cooler steam kills more slowly: the hold that a probe run asks for grows past what
	// the protocol has, and that limit is crossed now.
	var crossed []string
	for _, d := range r.Differences {
		if d.Kind == change.Crossing && d.Was == nil {
			crossed = append(crossed, d.Is.Rule)
		}
	}
	assert.Contains(t, crossed, "f0.measured")
	back := compare(t, at1000, at500, "enoki-850", 240)
	assert.True(t, slices.ContainsFunc(back.Differences, func(d change.Difference) bool {
		return d.Kind == change.Crossing && d.Is == nil && d.Was.Rule == "f0.measured"
	}), "and no more on the way back")
	assert.False(t, has(r, "nitrogen"))
	assert.False(t, has(r, "hold"), "nobody set another hold")
	number, _, err := change.Rise(must(t, at500, "enoki-850"), must(t, at1000, "enoki-850"), []int{48}, english)
	require.NoError(t, err)
	assert.Equal(t, change.First, number, "the critical limit names the heat of the steam")
}

// Two hundredths of the dry matter from soy hull to hardwood, by hand. Nitrogen in the
// dry matter is 1.9 % of soy hull and 0.15 % of hardwood (library/ingredients.toml):
// the mix loses 0.02 × (1.9 - 0.15) % = 0.035 %.
func TestShareOfAnIngredient(t *testing.T) {
	before := demo(t)
	soy := edit(t, before, enoki, `share_dm = "42 %"`, `share_dm = "40 %"`)
	after := edit(t, soy, enoki, `share_dm = "39 %"`, `share_dm = "41 %"`)
	r := compare(t, before, after, "enoki-850", 240)
	require.Len(t, r.Inputs, 2)
	n := figure(t, r, "nitrogen")
	assert.InDelta(t, -0.02*(0.019-0.0015), n.After.Value-n.Before.Value, 1e-9)
	assert.Equal(t, change.ForQuality, n.Group)
	soyKey, woodKey := enoki+" substrate.ingredient[0].share_dm", enoki+" substrate.ingredient[1].share_dm"
	assert.Equal(t, []string{soyKey, woodKey}, keys(n))
	assert.True(t, n.Alone, "each moves the nitrogen by itself")
	assert.Equal(t, []string{soyKey}, keys(figure(t, r, "share/soy-hull")))
	assert.Equal(t, []string{woodKey}, keys(figure(t, r, "share/hardwood-pellet")))
	assert.False(t, has(r, "shares_total"), "both together add up as before, though each alone does not")
	assert.False(t, has(r, "share_used/gypsum"))
	assert.False(t, has(r, "hold"))
	weighed := figure(t, r, "weighed_all/soy-hull")
	// As received: of the dry matter, at the farm's 10.2 % of water, 2/42 less; rounded to the scale.
	assert.InEpsilon(t, weighed.Before.Value*40/42, weighed.After.Value, 0.001)
	assert.Equal(t, change.ForQuantity, weighed.Group)
	number, why, err := change.Rise(must(t, before, "enoki-850"), must(t, after, "enoki-850"), []int{240}, english)
	require.NoError(t, err)
	assert.Equal(t, change.Second, number, "amounts of the mix are no matter of safety")
	assert.Empty(t, why)
}

// Shares that a limit refuses one at a time are taken together.
func TestSharesThatGoTogether(t *testing.T) {
	before := demo(t)
	after := edit(t, edit(t, before, enoki, `share_dm = "42 %"`, `share_dm = "32 %"`), enoki, `share_dm = "39 %"`, `share_dm = "49 %"`)
	after = edit(t, after, enoki, `hold = "120 min"`, `hold = "130 min"`)
	r := compare(t, before, after, "enoki-850", 240)
	n := figure(t, r, "nitrogen")
	assert.Len(t, n.Causes, 2)
	assert.False(t, n.Alone, "with one share alone the sum is 90 % or 110 %")
	assert.Equal(t, []string{enoki + " sterilization.hold"}, keys(figure(t, r, "hold")), "the hold stands apart from them")
}

// A mass in place of a density: neither file may have both or none of them.
func TestKeysThatExcludeEachOther(t *testing.T) {
	before := demo(t)
	after := edit(t, before, enoki, `density = "0.68 kg/L"`, `mass = "520 g"`)
	r := compare(t, before, after, "enoki-850", 240)
	d := figure(t, r, "fill_mass")
	assert.Equal(t, []string{enoki + " fill.density", enoki + " fill.mass"}, keys(d))
	assert.False(t, d.Alone)
	assert.InDelta(t, 0.520, d.After.Value, 1e-12)
	assert.InDelta(t, 0.5372, d.Before.Value, 1e-12, "0.68 kg/L × (850 - 60) mL")
}

// Steps that come, go and change their place, and words alone.
func TestSteps(t *testing.T) {
	before := demo(t)
	at := func(f fstest.MapFS, more string) fstest.MapFS {
		out := edit(t, f, enoki, `detergent = "mild-alkali"`, "detergent = \"mild-alkali\"\n"+more)
		return out
	}
	const own = "\n[[step]]\nid = \"radio\"\nafter = \"%s\"\nrole = \"grower\"\ntitle = \"Turn the radio off\"\nwhen = \"Before that.\"\ntakes = \"1 min\"\nwrong = \"It is on.\"\ndo = [\"Turn it off.\"]\nlimit = \"Silence.\"\ncheck = \"Listen.\"\nif_off = \"Turn it off again.\"\nwhy = \"One hears a leak.\"\nask = \"Why is it off?\"\nanswer = \"To hear a leak.\"\n"
	first, second := at(before, fmt.Sprintf(own, "weigh")), at(before, fmt.Sprintf(own, "trim"))

	r := compare(t, before, first, "enoki-850", 48)
	step := only(t, r, change.Appears)
	assert.Equal(t, "radio", string(step.Step.ID))
	assert.Equal(t, 0, step.NumberBefore)
	assert.Equal(t, 4, step.NumberAfter)
	assert.Equal(t, []string{enoki + " step[0]"}, keys(step))
	gone := only(t, compare(t, first, before, "enoki-850", 48), change.Vanishes)
	assert.Equal(t, 4, gone.NumberBefore)
	moved := only(t, compare(t, first, second, "enoki-850", 48), change.Moves)
	assert.Equal(t, "radio", string(moved.Step.ID), "it moved, and not all those that it passed")
	assert.Equal(t, []string{enoki + " step[0].after"}, keys(moved))
	assert.Equal(t, change.ForQuality, moved.Group)

	// No collar any more: its step goes.
	collar := compare(t, before, edit(t, before, enoki, "[collar]\nwhen_stems_reach = \"25 mm\"\nheight = \"130 mm\"\n", ""), "enoki-850", 48)
	none := only(t, collar, change.Vanishes)
	assert.Equal(t, "collar", string(none.Step.ID))
	assert.Equal(t, []string{enoki + " collar"}, keys(none))

	// Words alone, with the same figures.
	text := compare(t, first, edit(t, first, enoki, "Turn it off.", "Turn the radio off."), "enoki-850", 48)
	d := told(text, "radio", change.Do)
	require.NotNil(t, d)
	assert.Equal(t, change.ForWording, d.Group)
	assert.False(t, d.First)
	// Another figure is no word.
	text = compare(t, first, edit(t, first, enoki, "Turn it off.", "Turn it off for 5 min."), "enoki-850", 48)
	assert.NotEqual(t, change.ForWording, told(text, "radio", change.Do).Group)
	// And an author's caution is safety whatever it says.
	cautioned := at(before, fmt.Sprintf(own, "weigh")+"\n[[step.caution]]\nsignal = \"warning\"\ntext = \"Cords trip people. Keep them off the floor.\"\n")
	d = told(compare(t, first, cautioned, "enoki-850", 48), "radio", change.Safety)
	require.NotNil(t, d)
	assert.Equal(t, change.ForSafety, d.Group)
	assert.True(t, d.First)
}

// only is the one difference of a kind.
func only(t *testing.T, r *change.Report, k change.Kind) change.Difference {
	t.Helper()
	var out []change.Difference
	for _, d := range r.Differences {
		if d.Kind == k {
			out = append(out, d)
		}
	}
	require.Len(t, out, 1, "%s", k)
	return out[0]
}

// Somebody who stands by a warning changes what the limit says.
func TestWhoStandsByAWarning(t *testing.T) {
	before := demo(t)
	const king = "protocols/king-oyster-1100.toml"
	after := edit(t, before, king, `who = "head grower"`, `who = "farm manager"`)
	r := compare(t, before, after, "king-oyster-1100", 48)
	d := only(t, r, change.Crossing)
	assert.Equal(t, "spawn.unusual", d.Is.Rule)
	assert.Equal(t, "head grower", d.Was.By.Who)
	assert.Equal(t, "farm manager", d.Is.By.Who)
	number, _, err := change.Rise(must(t, before, "king-oyster-1100"), must(t, after, "king-oyster-1100"), []int{48}, english)
	require.NoError(t, err)
	assert.Equal(t, change.None, number, "it is no part of the method")
}

// A price moves costs, and no version.
func TestAPriceIsNoPartOfTheMethod(t *testing.T) {
	before := demo(t)
	after := edit(t, before, farm, `soy-hull = "0.42 USD/kg"`, `soy-hull = "0.50 USD/kg"`)
	r := compare(t, before, after, "enoki-850", 240)
	assert.True(t, r.Nothing(), "no worker meets a price")
	assert.Equal(t, change.ForQuantity, figure(t, r, "ingredient_cost").Group)
	assert.False(t, has(r, "weighed_all/soy-hull"))
	number, _, err := change.Rise(must(t, before, "enoki-850"), must(t, after, "enoki-850"), []int{48}, english)
	require.NoError(t, err)
	assert.Equal(t, change.None, number)
}

// A batch that a limit refuses is not compared.
func TestRefusedSide(t *testing.T) {
	before := demo(t)
	after := edit(t, before, enoki, `gauge_pressure = "15 psi"`, `gauge_pressure = "40 psi"`)
	_, err := change.Compare(must(t, before, "enoki-850"), must(t, after, "enoki-850"), 48, english)
	var refused *change.Refused
	require.ErrorAs(t, err, &refused)
	assert.True(t, refused.After)
	assert.Equal(t, protocol.Error, protocol.Worst(refused.Findings))
}

// Two protocols of one farm, with species, vessel, run and formula apart: each
// difference is explained, and every cause is one of the changed inputs.
func TestTwoProtocols(t *testing.T) {
	all := demo(t)
	r, err := change.Compare(must(t, all, "enoki-850"), must(t, all, "king-oyster-1100"), 240, english)
	require.NoError(t, err)
	assert.Greater(t, len(r.Differences), 200)
	known := map[*change.Change]bool{}
	for _, c := range r.Inputs {
		known[c] = true
	}
	for _, d := range r.Differences {
		require.NotEmpty(t, d.Causes)
		for _, c := range d.Causes {
			assert.True(t, known[c])
		}
	}
	rank := -1
	for _, d := range r.Differences {
		now := slices.Index(change.GroupsInOrder(), d.Group)
		require.GreaterOrEqual(t, now, rank, "the gravest first")
		rank = now
	}
}

func BenchmarkCompareOneChange(b *testing.B) {
	before := demo(b)
	after := edit(b, before, farm, `reads = "10 g"`, `reads = "20 g"`)
	x, y := must(b, before, "enoki-850"), must(b, after, "enoki-850")
	for b.Loop() {
		if _, err := change.Compare(x, y, 240, english); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCompareTwoProtocols(b *testing.B) {
	all := demo(b)
	x, y := must(b, all, "enoki-850"), must(b, all, "king-oyster-1100")
	for b.Loop() {
		if _, err := change.Compare(x, y, 240, english); err != nil {
			b.Fatal(err)
		}
	}
}
