package leaf_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// The page has a row for each version, and all that is known of it; what somebody wrote
// into a repository is text.
func TestVersionsPage(t *testing.T) {
	e, told, method := demo(t, "enoki-850", 12)
	page, err := leaf.Versions(e, told.Batch.Process, leaf.Past{
		Until: words.Message("history.of_none", "protocol", "enoki-850", "n", 2, "commit", "0123456789", "date", "2026-03-02"),
		Rows: []leaf.PastRow{
			{What: words.Message("history.method", "fingerprint", "aaaa-0000")},
			{From: "2026-03-01", Commit: "abcdef0123", Subject: "<b>Longer</b>", What: words.Message("history.method_version", "fingerprint", "bbbb-0000", "version", "2"),
				About: []protocol.Message{words.Message("history.not_approved")},
				Made:  []protocol.Message{words.Message("history.made.day", "n", 1, "codes", "B-1")}},
		},
		Notes: []protocol.Message{words.Message("history.is_shallow")},
	}, method)
	require.NoError(t, err)
	for _, want := range []string{
		`<th scope="row">Now</th>`, "method aaaa-0000", `<th scope="row">2026-03-01</th>`, "&lt;b&gt;Longer&lt;/b&gt;", "abcdef0123",
		"method bbbb-0000, version 2", "not approved", "by the day: B-1", "git fetch --unshallow", "2\u00a0versions",
	} {
		assert.Contains(t, string(page), want)
	}
	assert.NotContains(t, string(page), "<b>Longer")
}
