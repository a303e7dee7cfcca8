package rescale

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// Whatever stands behind the sign # of an address: it is refused with a message that can be
// said, or what is read of it is written as an address that reads back as the same, and
// stays as it is when that is done again. What is read lies within what a form may ask for.
func FuzzFragment(f *testing.F) {
	for _, s := range []string{"n=48", "good=40", "n=137&start=2026-12-01", "n=137&delivery=2026-12-01", "n=48&m.soy-hull=14.2&m.wheat-bran=9",
		"short.soy-hull=12.4kg", "n=48&air=96.4kPa", "n=48&air=850m&page=record", "n=48&m.soy-hull=100g%2F86g", "n=48&n=49", "n=048&air=0850.0m",
		"short.soy-hull=12%2C4+kg&m.soy-hull=99.999", "page=record", "n=48&page=..%2Fx", "%zz", "n=100000", "n=100001", "n=48;air=1", "#", "", "n=%F0%9F%8D%84",
		"short.soy-hull=%2B.5+short+ton", "n=48&air=%E2%88%925m", "good=1&short.soy-hull=1t&n=2", "n=48&m.soy-hull=0.001", "n=48&m.soy-hull=99.999", "short.soy-hull=1e9t", "n=48&page=" + strings.Repeat("\xfc", 700), "n=48&page=%20record", "n=48&air=" + strings.Repeat("9", 1900) + "m", "short.soy-hull=1+fl+oz"} {
		f.Add(s)
	}
	s, err := Open(carriedDemo(f, "enoki-850"), "", 48)
	require.NoError(f, err)
	c, voice := s.carried, s.edition.Voice
	f.Fuzz(func(t *testing.T, fragment string) {
		a, wrong := c.parse(fragment)
		if wrong != nil {
			require.NotEmpty(t, voice.Say(wrong.what))
			return
		}
		require.LessOrEqual(t, len(fragment), longestText)
		written := a.fragment()
		again, wrong := c.parse(written)
		if wrong != nil {
			t.Fatalf("%q was read, and is refused as %q: %s", fragment, written, voice.Say(wrong.what))
		}
		require.Equal(t, a, again, "%q, written %q", fragment, written)
		require.Equal(t, written, again.fragment())
		require.False(t, strings.ContainsAny(written, "<>\"'` \t\r\n#"), "%q is no address that can stand in a page", written)

		asked := 0
		for _, one := range []bool{a.Vessels != 0, a.Good != 0, a.Short != ""} {
			if one {
				asked++
			}
		}
		require.Equal(t, 1, asked, "%q asks for %d sizes", fragment, asked)
		require.True(t, 0 <= a.Vessels && a.Vessels <= protocol.MostVessels && 0 <= a.Good && a.Good <= protocol.MostVessels)
		if a.Short != "" {
			have, err := unit.Parse(unit.MassOf, a.Have)
			require.NoError(t, err)
			require.True(t, have > 0 && have <= mostMass)
			require.True(t, c.hasField(leaf.FieldMoisture+a.Short))
		}
		for id, m := range a.Moisture {
			require.True(t, c.hasField(leaf.FieldMoisture+id))
			share, err := unit.Parse(unit.ShareOf, m+"%")
			require.NoError(t, err)
			require.True(t, 0 <= share && share < 1, "%q: %v", fragment, m)
		}
		require.Contains(t, []string{"", leaf.FromStart, leaf.FromDelivery}, a.From)
		require.Equal(t, a.From == "", a.Day == "")
	})
}
