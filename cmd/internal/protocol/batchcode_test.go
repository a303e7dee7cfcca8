package protocol

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var march14 = MixingDay{Date: "2026-03-14", Short: "260314", Week: "2026W116"} // a Saturday

// Each name stands for what it says; without a letter or a number, the second batch of
// a day has a number behind it.
func TestBatchCodes(t *testing.T) {
	of := Protocol{Name: "enoki-850", Control: &Control{Number: "SOP-12"}}
	for rule, wanted := range map[string][2]string{
		"{protocol}-{mixed}":                {"enoki-850-2026-03-14", "enoki-850-2026-03-14-2"},
		"{document}.{mixed-short}{letter}":  {"SOP-12.260314A", "SOP-12.260314B"},
		"WF-{protocol}-{mixed-week}":        {"WF-enoki-850-2026W116", "WF-enoki-850-2026W116-2"},
		"{mixed-short}-{count}-{protocol}":  {"260314-1-enoki-850", "260314-2-enoki-850"},
		"{protocol}{mixed}{mixed}-{letter}": {"enoki-8502026-03-142026-03-14-A", "enoki-8502026-03-142026-03-14-B"},
	} {
		r, fault := ParseCodeRule(rule)
		require.Nil(t, fault, rule)
		for i, code := range wanted {
			assert.Equal(t, code, r.Code(of, march14, i+1), rule)
			assert.True(t, IsBatchCode(code), code)
			assert.True(t, march14.Told(code), code)
		}
	}
	assert.Equal(t, []string{"A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"},
		[]string{letters(1), letters(26), letters(27), letters(52), letters(53), letters(702), letters(703)})
	usual, _ := ParseCodeRule(UsualBatchCode)
	assert.Equal(t, usual, Farm{}.CodeRule())
	assert.Equal(t, usual, Farm{BatchCode: "nothing of the kind"}.CodeRule(), "the reader has refused it")
}

// What is wrong with a rule is told at the sign at which it is.
func TestBatchCodeFaults(t *testing.T) {
	for rule, fault := range map[string]CodeFault{
		"":                                 {"day", 0, ""},
		"{protocol}":                       {"day", 0, ""},
		"{mixed}":                          {"protocol", 0, ""},
		"{protocol}-{mixed":                {"open", 11, "{mixed"},
		"{protocol}-{day}":                 {"name", 12, "day"},
		"{protocol} {mixed}":               {"sign", 10, " "},
		"ñ{protocol}-{mixed}":              {"sign", 0, "ñ"},
		"a/{protocol}-{mixed}":             {"sign", 1, "/"},
		"{protocol}-{mixed}}":              {"sign", 18, "}"},
		"{protocol}{}{mixed}":              {"name", 11, ""},
		"{protocol}{mixed}{letter}{count}": {"running", 0, ""},
	} {
		_, got := ParseCodeRule(rule)
		require.NotNil(t, got, rule)
		assert.Equal(t, fault, *got, rule)
	}
}

// Whatever the rule, a code has only what a label, a file name and a QR code in
// alphanumeric mode bear, and no two batches of a protocol and a day have the same. The
// signs of that mode: ISO/IEC 18004:2015, table 5 (from memory).
func TestBatchCodesAreApart(t *testing.T) {
	const alphanumeric = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
	const inNoFileName = `/\:*?"<>|` // of Windows, with / of all others
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOfN(rapid.SampledFrom([]string{"{protocol}", "{document}", "{mixed}", "{mixed-short}", "{mixed-week}", "{letter}", "-", "X.", "9", "/", " ", "é"}), 1, 6).Draw(t, "parts")
		r, fault := ParseCodeRule(strings.Join(parts, ""))
		if fault != nil {
			return
		}
		of := Protocol{Name: rapid.StringMatching(`[a-z][a-z0-9-]{0,8}`).Draw(t, "name"), Control: &Control{Number: rapid.StringMatching(`[A-Z0-9.-]{1,6}`).Draw(t, "number")}}
		seen := map[string]bool{}
		for n := range 60 {
			code := r.Code(of, march14, n+1)
			for _, c := range CodeKey(code) {
				require.Contains(t, alphanumeric, string(c))
				require.NotContains(t, inNoFileName, string(c))
			}
			require.False(t, seen[CodeKey(code)], code)
			seen[CodeKey(code)] = true
		}
	})
}
