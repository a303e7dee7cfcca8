package main

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// everyStep is the cycle as the work is done, in the order of the substrate
// reference, part F.
var everyStep = []work.StepID{
	"receive", "start-of-shift",
	"weigh", "mix", "check-moisture", "fill", "tap-down", "bore", "cap",
	"load", "vent", "sterilize", "pressure-off", "unload",
	"cool", "inspect-bore", "wipe-down", "label", "inoculate",
	"incubate", "inspect", "reject", "ripen",
	"open", "early-fruit", "scrape", "wet", "cover", "pin", "collar", "fruit",
	"harvest", "trim", "chill", "release",
	"empty", "wash", "inspect-vessel", "retire",
}

// reason is why a protocol does without a step, and the choice in its file that
// says so.
type reason struct {
	why  string
	says func(protocol.Protocol) bool
}

var (
	noRipening = reason{"it fruits as soon as it is white, or before: no time to ripen is given",
		func(p protocol.Protocol) bool { return p.Incubation.Ripen == 0 }}
	noScraping = reason{"it pins from its own top or from the old spawn, which a scrape would take off",
		func(p protocol.Protocol) bool { return p.Opening.Scrape == protocol.ScrapeNever }}
	noWater = reason{"no water is poured on",
		func(p protocol.Protocol) bool { return p.Opening.Water == 0 }}
	noCollar = reason{"nobody wants its stems long: no collar is given",
		func(p protocol.Protocol) bool { return p.Collar == nil }}
)

// absentOfDemo lists which steps each protocol of the demo farm has not, and
// why. All the others it has.
var absentOfDemo = map[string]map[work.StepID]reason{
	"beech-850":        {"collar": noCollar},
	"enoki-850":        {"ripen": noRipening},
	"enoki-quart":      {"ripen": noRipening},
	"king-oyster-1100": {"wet": noWater, "collar": noCollar},
	"lions-mane-950":   {"ripen": noRipening, "scrape": noScraping, "wet": noWater, "collar": noCollar},
	"maitake-quart":    {"scrape": noScraping, "wet": noWater, "collar": noCollar},
	"oyster-1100":      {"ripen": noRipening, "scrape": noScraping, "wet": noWater, "collar": noCollar},
}

// ownOfDemo lists the steps that a protocol of the demo farm adds, and the step
// after which each is to stand.
var ownOfDemo = map[string]map[work.StepID]work.StepID{
	"lions-mane-950": {"set-down": "harvest"},
}

// TestStepsOfTheDemo: every protocol of the demo farm has the steps that it
// should, at each of its batch sizes, in the order of the work; what is absent
// is absent for a reason that its file states.
func TestStepsOfTheDemo(t *testing.T) {
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	require.NoError(t, f.verdict())
	require.Len(t, f.entries, len(absentOfDemo), "a protocol of the demo farm is not in the table")
	for _, e := range f.entries {
		name := e.Method.Protocol
		absent, listed := absentOfDemo[name]
		require.True(t, listed, "%s is not in the table", name)
		want := slices.DeleteFunc(slices.Clone(everyStep), func(id work.StepID) bool {
			_, is := absent[id]
			return is
		})
		require.Len(t, want, len(everyStep)-len(absent), "%s does without a step that nobody knows", name)
		for id, after := range ownOfDemo[name] {
			want = slices.Insert(want, slices.Index(want, after)+1, id)
		}
		for id, r := range absent {
			assert.True(t, r.says(e.Process.Input.Protocol), "%s has no step %s, but not because %s", name, id, r.why)
		}
		require.NotEmpty(t, e.Batches, name)
		for _, b := range e.Batches {
			var got []work.StepID
			for i, s := range procedure.Build(b).Steps {
				assert.Equal(t, i+1, s.Number, name)
				got = append(got, s.ID)
			}
			assert.Equal(t, want, got, "%s for %d", name, b.Vessels)
		}
	}
}
