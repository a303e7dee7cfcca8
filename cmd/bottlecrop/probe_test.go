package main

import (
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Whoever reads a hint on a log types what it names: a flag of the command
// probe, and in farm.toml the key of the same name. Nothing else is called an
// option.
func TestHintsOnLogsNameWhatThereIs(t *testing.T) {
	keys := map[string]bool{}
	for _, f := range reflect.VisibleFields(reflect.TypeFor[protocol.Evidence]()) {
		keys[f.Tag.Get("toml")] = true
	}
	flags := probeCommand(&terminal{}, &settings{}).Flags()
	flag, key := regexp.MustCompile(`--([a-z-]+)`), regexp.MustCompile(`([a-z_]+) of the \[\[evidence\]\]`)
	v := words.English(unit.Metric)
	named := 0
	for _, id := range words.IDs() {
		if !strings.HasPrefix(id, "probe.hint.") {
			continue
		}
		require.Empty(t, words.Arguments(id), "%s can be said without a log", id)
		text := v.Say(words.Message(id))
		if id != "probe.hint.option" {
			assert.NotContains(t, text, "option", id)
		}
		asked, written := flag.FindAllStringSubmatch(text, -1), key.FindAllStringSubmatch(text, -1)
		require.Len(t, written, len(asked), "%s names a flag without its key, or a key without its flag: %s", id, text)
		for i, m := range asked {
			assert.NotNil(t, flags.Lookup(m[1]), "%s: %s", id, text)
			assert.True(t, keys[written[i][1]], "%s: %s", id, text)
			assert.Equal(t, strings.ReplaceAll(m[1], "-", "_"), written[i][1], id)
			named++
		}
	}
	assert.Positive(t, named)
}
