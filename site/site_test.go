package site_test

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/site"
)

func pages(t *testing.T) map[string]string {
	t.Helper()
	names, err := fs.Glob(site.Pages, "*.md")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	out := map[string]string{}
	for _, name := range names {
		data, err := fs.ReadFile(site.Pages, name)
		require.NoError(t, err)
		out[name] = string(data)
	}
	return out
}

func TestPagesBeginWithTheirTitle(t *testing.T) {
	for name, text := range pages(t) {
		first, rest, _ := strings.Cut(text, "\n")
		assert.Regexp(t, `^# \S`, first, name)
		assert.NotContains(t, rest, "\n# ", "%s: one title a page", name)
	}
}

// ANSI Z535.6: a safety message has a signal word, and says the hazard, what
// it does and how to avoid it; that takes more than one sentence.
func TestSafetyMessagesHaveTheirParts(t *testing.T) {
	message := regexp.MustCompile(`^> \*\*(DANGER|WARNING|CAUTION|NOTICE)\*\* [A-Z0-9].*[.]$`)
	for name, text := range pages(t) {
		for _, line := range strings.Split(text, "\n") {
			if !strings.HasPrefix(line, ">") {
				continue
			}
			assert.Regexp(t, message, line, name)
			assert.GreaterOrEqual(t, strings.Count(line, ". ")+1, 3, "%s: %s", name, line)
		}
	}
}

// The cautions of the sterilization reference, by the figure or the source
// that each of them rests on.
func TestPressureVesselPageCoversTheCautions(t *testing.T) {
	text := pages(t)["pressure-vessels.md"]
	for caution, signs := range map[string][]string{
		"deference":       {"manual of the vessel's maker", "licensed inspector", "rules where you live"},
		"pressure vessel": {"PM73", "ASME", "relief valve", "drum", "5 cubic feet", "gauge checked every year"},
		"opening":         {"Trust the vent, not the gauge", "Cornell", "force the vent"},
		"hot load":        {"at least 10 minutes", "OSHA", "sealed vessel", "closed shoes", "cold draft", "chipped"},
		"venting":         {"steady jet", "10 minutes", "PNW 421", "Air out the room"},
		"altitude":        {"names the altitude", "make up for altitude"},
		"dry run":         {"Do not add water", "inspected"},
		"power and gas":   {"left alone", "leakage protection", "carbon monoxide"},
		"lifting":         {"23 kg (51 lb)", "NIOSH", "15 kg", "Never carry hot racks"},
		"alcohol":         {"60 to 90 %", "17 to 27 °C", "5 gallons", "Never put alcohol in a sterilizer"},
		"failure":         {"start the whole hold again", "has a gap", "not a proof", "ISO 17665", "ISO 11138"},
	} {
		for _, sign := range signs {
			assert.Contains(t, text, sign, caution)
		}
	}
	// The order of work.
	at := 0
	for _, heading := range []string{"\n## Before", "\n## During", "\n## After", "\n## When something is wrong"} {
		next := strings.Index(text, heading)
		require.Greater(t, next, at, heading)
		at = next
	}
}
