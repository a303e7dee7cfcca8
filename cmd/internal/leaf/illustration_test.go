package leaf

import (
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

func told(t *testing.T, p *process.Process) procedure.Procedure {
	b, err := batch.Compute(p, 48)
	require.NoError(t, err)
	return procedure.Build(b)
}

// pictured are the pictures by step; each is held to the check of drawings.
func pictured(t *testing.T, e Edition, p *process.Process) map[work.StepID]picture {
	out := map[work.StepID]picture{}
	for _, i := range e.illustrations(told(t, p)) {
		out[i.Step] = i.Picture
		for _, svg := range i.Picture.Drawings {
			assert.Empty(t, checks.Drawing(string(svg), letters), i.Step)
		}
		assert.NotEmpty(t, i.Picture.Notice)
		for _, table := range i.Picture.Tables {
			assert.NotEmpty(t, table.Rows)
		}
	}
	return out
}

// Each step with something to show has its picture, and none has it without.
func TestIllustrations(t *testing.T) {
	drawn(t, func(t *testing.T, e Edition, p *process.Process) {
		if protocol.Worst(p.Findings) == protocol.Error {
			return // a hold that is too short is told to nobody
		}
		pictures := pictured(t, e, p)
		s := p.Setting()
		for step, want := range map[work.StepID]bool{
			work.StartShift: true, work.TapDown: s.Reusable, work.BoreHoles: s.Bored, work.Cap: s.Reusable, work.Sterilize: true,
			work.InspectBore: s.Bored, work.Scrape: s.Scraped, work.FitCollar: s.Collared, work.Incubate: false,
		} {
			_, has := pictures[step]
			assert.Equal(t, want, has, step)
		}
		text := func(step work.StepID) string { return html.UnescapeString(string(pictures[step].Drawings[0])) }
		assert.Contains(t, text(work.TapDown), ">"+e.show(e.ruler(p.Value("line_below_rim")))+"<")
		if s.Bored {
			assert.Contains(t, text(work.BoreHoles), ">"+e.show(e.ruler(p.Value("bore_depth")))+"<")
			assert.Contains(t, text(work.BoreHoles), ">"+e.show(e.ruler(p.Value("bore_floor")))+"<")
		}
		if s.Scraped {
			assert.Contains(t, text(work.Scrape), ">"+e.show(e.ruler(p.Value("scrape_depth")))+"<")
			assert.Equal(t, p.Input.Protocol.Opening.Scrape == protocol.ScrapeRaised, strings.Contains(text(work.Scrape), e.say("book.figure.scrape.middle")))
		}
		if s.Collared {
			assert.Contains(t, text(work.FitCollar), ">"+e.show(e.ruler(p.Value("collar_stem")))+"<")
			assert.Contains(t, text(work.FitCollar), ">"+e.show(e.ruler(p.Value("collar_height")))+"<")
		}
		low, high := told(t, p).Batch.GaugeReading()
		assert.Contains(t, text(work.Sterilize), ">"+e.show(low)+"<")
		assert.Contains(t, text(work.Sterilize), e.show(high)+"<")
		assert.NotContains(t, strings.ToLower(text(work.Sterilize)), "f0")
	})
}

// A finger is 18 to 20 mm broad (from memory): what lies between whole ones is
// said to lie between them.
func TestFingersForARuler(t *testing.T) {
	e := Edition{Voice: words.English(unit.Metric)}
	for mm, want := range map[float64]string{
		5: "less than one finger", 17: "less than one finger", 18: "about 1\u00a0finger.", 20: "about 1\u00a0finger.",
		21: "more than 1\u00a0finger, less than 2.", 25: "more than 1\u00a0finger, less than 2.", 35: "more than 1\u00a0finger, less than 2.",
		36: "about 2\u00a0fingers.", 40: "about 2\u00a0fingers.", 45: "more than 2\u00a0fingers, less than 3.",
	} {
		said := e.Voice.Say(inFingers(mm/1000, e.ruler(mm/1000)))
		assert.Contains(t, said, want, "%v mm", mm)
		assert.Contains(t, said, "the ruler decides")
	}
}

// A dial goes on beyond its rating by half or more, to a round number, for gauges
// of each unit. Where the band ends at the rating, nothing is "too high" but that.
func TestDialsOfOtherGauges(t *testing.T) {
	drawn(t, func(t *testing.T, e Edition, p *process.Process) {
		if p.Input.Protocol.Name != "enoki-850" || p.Input.Protocol.Collar == nil {
			return
		}
		for _, c := range []struct {
			unit        string
			step, rated float64 // in its unit
			to          float64 // likewise
			over        bool
		}{
			{"psi", 0.5, 30, 50, true}, {"psi", 1, 20, 30, true}, {"psi", 0.5, 16, 25, false},
			{"kPa", 2, 140, 250, true}, {"bar", 0.05, 1.5, 2.5, true}, {"bar", 0.02, 2, 3, true},
		} {
			in := p.Input
			size := unit.SizeOf(unit.GaugePressureOf, c.unit)
			in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
			in.Farm.Sterilizers[0].Gauge = unit.Step{Size: c.step * size, Unit: c.unit}
			in.Farm.Sterilizers[0].Rated = unit.Gauge(c.rated * size)
			changed, err := process.Plan(in)
			require.NoError(t, err)
			pic := pictured(t, e, changed)[work.Sterilize]
			d, _, _ := e.dialOf(told(t, changed).Batch)
			assert.InDelta(t, c.to, d.To, 1e-9, "%+v", c)
			assert.LessOrEqual(t, d.Numbers[len(d.Numbers)-1].At, d.Rated*1.0001, "no figure above the rating")
			assert.Equal(t, c.over, strings.Contains(string(pic.Drawings[0]), e.say("book.figure.dial.over.is")), "%+v", c)
		}
	})
}
