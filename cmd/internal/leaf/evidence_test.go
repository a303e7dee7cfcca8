package leaf_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/unit"
)

// The page says of each run whether it counts and why, has read beside computed
// every ten minutes, and says that the probe's place is not the slowest one. A
// run whose log tells nothing has the reason instead.
func TestEvidencePage(t *testing.T) {
	e, told, method := demo(t, "enoki-850", 48)
	p := *told.Batch.Process
	page := func() string {
		data, err := leaf.Evidence(e, &p, method)
		require.NoError(t, err)
		doc, err := html.Parse(bytes.NewReader(data))
		require.NoError(t, err)
		return strings.ReplaceAll(flatText(doc), "\u00a0", " ")
	}
	text := page()
	assert.Contains(t, text, "No probe run yet")
	assert.Contains(t, text, "modeled, not measured")
	assert.Contains(t, text, "The guide on probe runs")

	f := &run.Fit{Conductivity: 0.33, Low: 0.31, High: 0.35, Offset: 0.5, RMS: 0.2, Readings: 61, DoseRead: 30 * unit.Minute, DoseComputed: 27 * unit.Minute}
	for i := range 61 {
		f.Moments = append(f.Moments, run.Moment{Time: 60 * float64(i), Chamber: 390, Read: 300 + float64(i), Computed: 300.2 + float64(i)})
	}
	about := process.Evidence{Evidence: protocol.Evidence{ID: "one", Protocol: "enoki-850", Log: "evidence/one.csv", FromAxis: 0.023, AboveBase: 0.06,
		Bore: "air", MeasuredOn: "2026-03-02", By: "made up", Accepted: true, Why: "Ice water read alike"}}
	other := about
	other.ID, other.Accepted = "two", false
	p.Evidence = []process.Judged{
		{Evidence: about, Fit: f, InForce: true, F0: 16 * unit.Minute, Core: 391, Hold: 115 * unit.Minute},
		{Evidence: other, Refusal: &run.Refusal{Reason: run.Same, Kind: unit.TemperatureDifference, Found: 2, Allowed: 10}},
	}
	text = page()
	for _, part := range []string{
		"Probe run one", "Accepted: it counts", "Why: Ice water read alike", "2026-03-02, by made up", "evidence/one.csv",
		"23 mm from the middle line, 60 mm above the base", "0.330 W/(m·K); nine times in ten between 0.310 W/(m·K) and 0.350 W/(m·K)",
		"30 min read, 27 min computed", "16 min, ", "The probe was not in the slowest place", "as somebody stated it",
		"Probe run two", "Not accepted", "never more than 2 K behind the chamber", "it was in the bore or in the steam",
	} {
		assert.Contains(t, text, part)
	}
	// The picture: what was read, what was computed, and how far they are apart; none
	// for the run whose log tells nothing.
	assert.Equal(t, 1, strings.Count(text, "Nowhere are what was read and what was computed more than 0.2 K apart"), text)
	for _, part := range []string{"The probe run one: read, and computed", "The probe read 26.9 °C at first, and 86.9 °C when the hold ended after 60 min", "Computed for its place are 87.1 °C by then"} {
		assert.Contains(t, text, part)
	}
	// Rows at 0, 10, …, 60 min: 300 K is 26.9 °C, and the difference is 0.2 K.
	rows := text[strings.Index(text, "Difference"):strings.Index(text, "Probe run two")]
	for _, part := range []string{"0 min", "10 min", "60 min", "26.9 °C", "27.1 °C", "−0.2 K"} {
		assert.Contains(t, rows, part)
	}
	assert.NotContains(t, rows, "5 min")
	assert.Equal(t, 7, strings.Count(rows, "−0.2 K"))
}
