package leaf

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/sanitation"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// No quantity falls out of the working: over every protocol and every size of
// the demo farm each stands in one group, each under a heading of its own part
// of the work. A marker that begins no group any more, because its quantity has
// gone, would let the next ones slip under a heading where nobody looks.
func TestEveryQuantityStandsInItsGroup(t *testing.T) {
	folder := DemoFarm()
	require.NotEmpty(t, folder.Protocols)
	e := Edition{Farm: folder.Farm, Voice: words.English(unit.Metric), Place: folder.Place}
	used := map[string]bool{}
	in := map[string]string{} // the group of each quantity
	held := func(groups []group, list []*working.Quantity) {
		var ids, want []string
		seen := map[string]bool{}
		for _, g := range groups {
			assert.False(t, seen[g.ID], "%s stands twice on a page", g.ID)
			seen[g.ID] = true
			assert.NotEmpty(t, g.Worked, g.ID)
			for _, w := range g.Worked {
				ids = append(ids, w.ID)
				name, _, _ := strings.Cut(w.ID, ".")
				in[strings.ReplaceAll(strings.TrimPrefix(name, "q-"), "-", "_")] = strings.TrimPrefix(g.ID, "working-")
			}
		}
		for _, q := range list {
			want = append(want, quantityID(q))
			if _, ok := beginsAt(q.Name); ok {
				used[q.Name] = true
			}
		}
		assert.ElementsMatch(t, want, ids)
	}
	for _, pr := range folder.Protocols {
		p, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: pr})
		require.NoError(t, err)
		groups, err := e.workingOfProcess(p)
		require.NoError(t, err)
		held(groups, p.Ledger.Own())
		for _, n := range pr.BatchSizes {
			b, err := batch.Compute(p, n)
			require.NoError(t, err)
			groups, err := e.workingOfBatch(b)
			require.NoError(t, err)
			held(groups, b.Ledger.Own())
		}
		b, err := batch.ForMass(p, 20)
		require.NoError(t, err)
		groups, err = e.workingOfBatch(b)
		require.NoError(t, err)
		held(groups, b.Ledger.Own())
	}
	cleans := sanitation.New(folder.Farm, nil)
	groups, err := e.workingOfHygiene(cleans)
	require.NoError(t, err)
	held(groups, cleans.Ledger.Own())
	for name, group := range begins {
		there := used[name]
		for q := range used {
			there = there || name == "stage_incubation" && strings.HasPrefix(q, name)
		}
		assert.True(t, there, "%s begins the group %s, and no such quantity is worked out", name, group)
	}
	for q, group := range map[string]string{
		"altitude": "place", "scale_steps": "scales", "vessel_fit": "fill", "nitrogen": "formula", "hold": "run",
		"spawn_in_vessel": "spawn", "water_use": "crop", "spent_moisture": "balance", "stage_fruiting_light": "stages",
		"collar_height": "choices", "crate_mass": "reuse", "wear": "prices", "bag_cost": "bags",
		"filled": "vessels", "mix_total": "amounts", "days_needed": "staging", "shift_people": "staging", "weighed": "weighing",
		"spawn_jars": "spawn", "sold_high": "crop", "time_of_all": "labor", "total_cost": "cost", "cost_of_sold_low": "cost",
	} {
		assert.Equal(t, group, in[q], q)
	}
}

// A group that was left and is taken up again stays one group.
func TestAGroupIsTakenUpAgain(t *testing.T) {
	l := working.NewLedger(nil)
	for _, name := range []string{"spawn_total", "spawn_jars", "yield_low", "spawn_rate"} {
		l.Given(name, unit.MassOf, 1, working.Origin{Document: "x.toml", Key: name})
	}
	e := Edition{Voice: words.English(unit.Metric)}
	groups, err := e.working(bench{Edition: e}, l.Own())
	require.NoError(t, err)
	require.Len(t, groups, 2)
	assert.Len(t, groups[0].Worked, 3)
	assert.Equal(t, "working-spawn", groups[0].ID)

	l = working.NewLedger(nil)
	l.Given("boiling_point", unit.TemperatureOf, 370, working.Origin{Document: "x.toml", Key: "x"})
	_, err = e.working(bench{Edition: e}, l.Own())
	assert.ErrorContains(t, err, "boiling_point stands before the first group")
}
