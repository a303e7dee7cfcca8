package farmfile

import (
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
)

// The years that results may have are those of the calendar: what reads files does
// not know the calendar, so the two are held together here.
func TestYearsAreTheCalendars(t *testing.T) {
	first, _, _ := calendar.First.Civil()
	last, _, _ := calendar.Last.Civil()
	assert.Equal(t, FirstYear, first)
	assert.Equal(t, LastYear, last)
	_, err := calendar.On(FirstYear, 1, 1)
	assert.NoError(t, err)
	_, err = calendar.On(LastYear+1, 1, 1)
	assert.Error(t, err)
}

// What is told stage by stage and reason by reason are all that a file may have.
func TestStagesAndReasonsOfLosses(t *testing.T) {
	of := map[string]string{}
	for _, f := range fieldsOf(reflect.TypeFor[protocol.LostVessels]()) {
		for rule := range strings.SplitSeq(f.check, ",") {
			if choices, ok := strings.CutPrefix(rule, "oneof="); ok {
				of[f.key] = choices
			}
		}
	}
	assert.Equal(t, of["at"], strings.Join(protocol.Stages, " "))
	assert.Equal(t, of["why"], strings.Join(protocol.Reasons, " "))
	assert.NotEmpty(t, of["where"])
}

// A batch of a protocol that the farm has given up stays, once the list says so.
func TestBatchOfAGivenUpProtocol(t *testing.T) {
	results := func(list string) []byte {
		return []byte("format = 1\n" + list + "\n[[batch]]\ncode = \"A-1\"\nprotocol = \"maitake-old\"\nmixed = \"2024-02-29\"\nfilled = 10\nemptied = \"2024-06-01\"\n")
	}
	f, found := Read(farmOf(t, map[string][]byte{protocol.ResultsDocument: results(`no_more = ["maitake-old"]`)}), builtIn)
	require.Empty(t, found)
	require.Len(t, f.Results.Batches, 1)
	_, found = Read(farmOf(t, map[string][]byte{protocol.ResultsDocument: results("")}), builtIn)
	require.Len(t, found, 1)
	assert.Equal(t, "results.protocol", found[0].Rule)
}
