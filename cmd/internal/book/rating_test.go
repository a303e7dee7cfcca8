package book_test

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

var psi = unit.Gauge(unit.SizeOf(unit.GaugePressureOf, "psi"))

// smallRated is the demo farm high up, with sterilizers whose name plates say
// 15 psi, and every protocol held at the given gauge for so long: what it comes
// to, by protocol. A protocol that is refused has no batches.
func smallRated(t *testing.T, base book.Input, height unit.Length, gauge, band unit.Gauge, hold unit.Duration) book.Input {
	t.Helper()
	in := base
	in.Entries = slices.Clone(checks.Every(2, base.Entries))
	for i, e := range in.Entries {
		of := e.Process.Input
		of.Farm.Altitude, of.Farm.StationPressure = &height, nil
		of.Farm.Sterilizers = slices.Clone(of.Farm.Sterilizers)
		for j := range of.Farm.Sterilizers {
			of.Farm.Sterilizers[j].Rated = 15 * psi
		}
		grain := *of.Farm.Grain
		grain.GaugePressure, grain.GaugeBand, grain.Hold = gauge, band, hold
		of.Farm.Grain = &grain
		of.Protocol.Acknowledged = nil
		of.Protocol.Sterilization.GaugePressure, of.Protocol.Sterilization.GaugeBand = gauge, band
		of.Protocol.Sterilization.Hold = hold
		plan, err := process.Plan(of)
		require.NoError(t, err)
		in.Farm = of.Farm
		in.Entries[i].Process, in.Entries[i].Batches, in.Entries[i].Findings = plan, nil, plan.Findings
		if protocol.Worst(plan.Findings) == protocol.Error {
			continue
		}
		b, err := batch.Compute(plan, 48)
		require.NoError(t, err)
		in.Entries[i].Batches = []*batch.Batch{b}
		in.Entries[i].Findings = append(slices.Clone(plan.Findings), b.Own...)
	}
	return in
}

var (
	printedPressure = regexp.MustCompile(`([0-9][0-9.,]*)[ \x{a0}](psig|psi|kPa|MPa|bar|mbar|hPa|Pa)\b`)
	raising         = regexp.MustCompile(`(?i)\b(raise|increase|turn up|more|higher)\b[^.]*\b(gauge|pressure|psi|kPa)\b`)
)

// above lists the pressures in a text that are above a rating, but for those of
// the air and of the steam with it, which are no reading of a dial.
func above(t *testing.T, said string, rated unit.Gauge, absolute map[string]bool) []string {
	t.Helper()
	var out []string
	for _, m := range printedPressure.FindAllString(said, -1) {
		if absolute[noBreak(m)] {
			continue
		}
		v, err := unit.Parse(unit.GaugePressureOf, strings.Replace(noBreak(m), "psig", "psi", 1))
		require.NoError(t, err, m)
		if v > float64(rated)*(1+1e-9) {
			out = append(out, m)
		}
	}
	return out
}

// absolutes are the absolute pressures of a batch as a page shows them.
func absolutes(b *batch.Batch, sys unit.System) map[string]bool {
	out := map[string]bool{}
	for _, q := range append(slices.Clone(b.Process.Ledger.All()), b.Ledger.All()...) {
		if q.Kind == unit.AbsolutePressureOf {
			for digits := range 10 {
				out[noBreak(unit.Amount{Kind: q.Kind, Value: q.Value, Digits: digits}.Show(sys))] = true
			}
		}
	}
	return out
}

func noBreak(s string) string { return strings.ReplaceAll(s, unit.Space, " ") }

// High up and with a name plate of 15 psi, what the steam lacks is made up by a
// longer hold. No page tells anybody to raise the gauge, and none has a reading
// above the rating, in either system of units, on paper or in the terminal. The
// first lines show that the check can fail.
func TestNoPressureAboveASmallRating(t *testing.T) {
	require.NotEmpty(t, above(t, "Raise the gauge to 15.5 psi.", 15*psi, nil))
	require.NotEmpty(t, above(t, "hold at 104 kPa", 15*psi, nil))
	require.Empty(t, above(t, "hold at 15 psi, in air of 171 kPa", 15*psi, map[string]bool{"171 kPa": true}))
	require.Regexp(t, raising, "Raise the gauge.")
	for _, sys := range systems {
		base := demo(t, sys)
		var err error
		base.Edition, err = base.Edition.Ready()
		require.NoError(t, err)
		for _, height := range checks.Every(3, []unit.Length{3000, 2500, 2000}) {
			in := smallRated(t, base, height, 14*psi, psi, 180*unit.Minute)
			set := func(data []byte, err error) string {
				require.NoError(t, err)
				doc, err := html.Parse(bytes.NewReader(data))
				require.NoError(t, err)
				return text(doc)
			}
			for _, e := range in.Entries {
				name := e.Process.Input.Protocol.Name
				require.NotEmpty(t, e.Batches, "%s at %v m: 180 min are refused", name, height)
				b := e.Batches[0]
				told := procedure.Build(b)
				inText, err := leaf.SheetText(in.Edition, told, e.Method)
				require.NoError(t, err)
				said := map[string]string{
					"sheet in text": inText,
					"sheet":         set(leaf.Sheet(in.Edition, told, e.Method)),
					"trainer":       set(leaf.Trainer(in.Edition, told, e.Method)),
					"card":          set(leaf.SterilizerCard(in.Edition, b, e.Method)),
					"troubles":      set(leaf.Troubles(in.Edition, b, e.Method)),
					"spawn":         set(leaf.Grain(in.Edition, leaf.Recipe{Process: e.Process, Batches: e.Batches, Method: e.Method})),
				}
				for page, words := range said {
					assert.Empty(t, above(t, words, 15*psi, nil), "%s at %v m: %s", name, height, page)
					assert.NotRegexp(t, raising, words, "%s at %v m: %s", name, height, page)
				}
				for _, page := range []string{"sheet", "sheet in text", "card", "spawn"} {
					assert.Contains(t, noBreak(said[page]), "Never go above 15 psi", page)
					assert.Contains(t, noBreak(said[page]), "14.0 psi to 15.0 psi", page)
				}
				author := set(leaf.Protocol(in.Edition, leaf.Recipe{Process: e.Process, Batches: e.Batches, Method: e.Method, Findings: e.Findings}))
				assert.NotEmpty(t, printedPressure.FindString(author))
				assert.Empty(t, above(t, author, 15*psi, absolutes(b, sys)), "%s at %v m: the author's page", name, height)
			}
		}
	}
}

// A gauge that passes the rating at the top of its band, or a hold that is too
// short for the height, is refused, and what the author is told instead is no
// more pressure.
func TestWhatIsRefusedAtASmallRating(t *testing.T) {
	bases := map[unit.System]book.Input{}
	for _, sys := range systems {
		bases[sys] = demo(t, sys)
	}
	for _, c := range []struct {
		name        string
		gauge, band unit.Gauge
		hold        unit.Duration
		rule        string
		asked       bool // the author's own figure is above the rating, and is said as found
	}{
		{"the band passes the rating", 15 * psi, psi, 180 * unit.Minute, "gauge.band", true},
		{"the gauge passes it", 17 * psi, psi, 180 * unit.Minute, "gauge.rated", true},
		{"the hold is too short", 14 * psi, psi, 90 * unit.Minute, "f0.floor", false},
	} {
		for _, base := range bases {
			in := smallRated(t, base, 2500, c.gauge, c.band, c.hold)
			refused := 0
			for _, e := range in.Entries {
				for _, f := range e.Findings {
					if f.Severity != protocol.Error || f.Rule != c.rule {
						continue
					}
					refused++
					assert.Empty(t, e.Batches, "%s: %s has a sheet", c.name, e.Method.Protocol)
					told := []protocol.Message{f.Why, f.Hint}
					if !c.asked {
						told = append(told, f.What)
					}
					for _, m := range told {
						assert.Empty(t, above(t, in.Voice.Say(m), 15*psi, nil), "%s: %s", c.name, m.ID)
					}
				}
			}
			assert.Positive(t, refused, "%s: nothing is refused by %s", c.name, c.rule)
		}
	}
}
