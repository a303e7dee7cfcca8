package process_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/unit"
)

// probeRun is a probe run as it would be read from a log, of a vessel of the
// protocol with that conductivity and a bore full of air, solved without noise.
func probeRun(t *testing.T, in process.Input, id string, conductivity float64) process.Evidence {
	t.Helper()
	p, err := process.Plan(in)
	require.NoError(t, err)
	c, place := p.Case, heat.Place{R: 0.023, Z: 0.06}
	chamber := heat.Profile{{Time: 0, Temperature: c.Start}, {Time: 2400, Temperature: c.Chamber}, {Time: 2400 + c.Hold, Temperature: c.Chamber}}
	r, err := heat.Solve(heat.Problem{
		Body: heat.Body{Radius: c.Radius, Height: c.Height}, Hole: heat.Hole{Radius: c.BoreRadius, Depth: c.BoreDepth},
		Matter:   heat.Matter{Conductivity: heat.Constant(conductivity), HeatCapacity: heat.Constant(c.HeatCapacity)},
		Surfaces: heat.Surfaces{Side: c.Side, Bottom: c.Base, Top: run.TopOfFill, Hole: run.AirInBore},
		Start:    c.Start, Chamber: chamber, HoldFrom: 2400, HoldTo: 2400 + c.Hold, Dose: heat.Dose{Reference: 394.25, Z: 10},
	})
	require.NoError(t, err)
	course, err := r.At(place)
	require.NoError(t, err)
	within := unit.Length(0)
	e := process.Evidence{Evidence: protocol.Evidence{
		ID: id, Protocol: in.Protocol.Name, Log: "evidence/" + id + ".csv", Channel: "2", Chamber: "3",
		FromAxis: unit.Length(place.R), AboveBase: unit.Length(place.Z), Within: &within, Bore: "air",
		MeasuredOn: "2026-03-02", By: "made up", Accepted: true, Why: "a run for a test",
	}}
	for i, v := range course {
		e.Vessel = append(e.Vessel, heat.Point{Time: r.Times[i], Temperature: v})
		e.Chamber = append(e.Chamber, heat.Point{Time: r.Times[i], Temperature: chamber.At(r.Times[i])})
	}
	return e
}

// planned plans with probe runs, at their places in the farm's list.
func planned(t *testing.T, in process.Input, runs ...process.Evidence) *process.Process {
	t.Helper()
	in.Farm.Evidence = nil
	for i := range runs {
		runs[i].Index = i
		in.Farm.Evidence = append(in.Farm.Evidence, runs[i].Evidence)
	}
	in.Evidence = runs
	p, err := process.Plan(in)
	require.NoError(t, err)
	require.Len(t, p.Evidence, len(runs))
	return p
}

// Decision on the verdict: an accepted probe run takes the place of the band, at
// the low end of its interval; one that was not accepted tells, and counts for
// nothing; of two that were accepted the one that gives least counts.
func TestAcceptedEvidenceReplacesTheBand(t *testing.T) {
	in := input(t, "enoki-850")
	bare := planned(t, in)
	good, poor := probeRun(t, in, "good", 0.36), probeRun(t, in, "poor", 0.27)

	p := planned(t, in, good)
	assert.Equal(t, process.Measured, p.Verdict())
	assert.True(t, p.Evidence[0].InForce)
	low := p.Evidence[0].Fit.Low
	assert.InEpsilon(t, 0.36, low, 0.02)
	assert.Less(t, low, p.Evidence[0].Fit.Conductivity)
	s, err := p.Solution(run.Assumption{Name: run.MeasuredName, Conductivity: low, Bore: run.AirInBore})
	require.NoError(t, err)
	assert.Equal(t, s.Least, p.Value("f0_measured"), "the slowest place, and not the probe's")
	assert.Equal(t, s.Core, p.Value("core_measured"))
	assert.Equal(t, p.Value("f0_measured"), p.Evidence[0].F0)
	assert.NotContains(t, rules(p), "f0.probe")
	assert.Equal(t, bare.Value("f0_slow"), p.Value("f0_slow"), "what is assumed still stands beside it")

	not := good
	not.Accepted = false
	p = planned(t, in, not)
	assert.Nil(t, p.Ledger.Get("f0_measured"))
	assert.Equal(t, bare.Verdict(), p.Verdict())
	assert.NotNil(t, p.Evidence[0].Fit, "it is told all the same")
	assert.False(t, p.Evidence[0].InForce)

	p = planned(t, in, good, poor)
	assert.False(t, p.Evidence[0].InForce)
	assert.True(t, p.Evidence[1].InForce)
	assert.Equal(t, process.Short, p.Verdict())
	assert.Equal(t, protocol.Warning, rules(p)["f0.measured"])
}

// An accepted run whose log tells nothing stops the book at the key by which
// somebody relies on it; one that was not accepted does not.
func TestAcceptedEvidenceThatTellsNothing(t *testing.T) {
	in := input(t, "enoki-850")
	e := probeRun(t, in, "steam", 0.3)
	e.Vessel = e.Chamber
	p := planned(t, in, probeRun(t, in, "good", 0.36), e)
	require.NotNil(t, p.Evidence[1].Refusal)
	assert.Equal(t, run.Same, p.Evidence[1].Refusal.Reason)
	var f protocol.Finding
	for _, x := range p.Findings {
		if x.Rule == "evidence.refused" {
			f = x
		}
	}
	assert.Equal(t, protocol.Error, f.Severity)
	assert.Equal(t, "evidence[1].accepted", f.Origin.Key)
	e.Accepted = false
	assert.NotContains(t, rules(planned(t, in, e)), "evidence.refused")
}

// Where the run itself is refused, a good log tells nothing: the error is of the
// run, and nobody is told to make the probe run again. An error that has nothing
// to do with heat explains nothing.
func TestEvidenceIsNotBlamedForARefusedRun(t *testing.T) {
	in := input(t, "enoki-850")
	good := probeRun(t, in, "good", 0.36)
	steam := good
	steam.Vessel = good.Chamber
	farmless := func(by func(*process.Input)) process.Input {
		out := input(t, "enoki-850")
		by(&out)
		return out
	}
	far := unit.Length(50_000)
	for name, c := range map[string]struct {
		in   process.Input
		run  process.Evidence
		rule string // that is an error
		told bool
	}{
		"3500 psi": {farmless(func(i *process.Input) { i.Protocol.Sterilization.GaugePressure = 3500 * 6894.757 }), good, "gauge.rated", false},
		"50 km":    {farmless(func(i *process.Input) { i.Farm.Altitude, i.Farm.StationPressure = &far, nil }), good, "altitude.outside", false},
		"unloaded": {farmless(func(i *process.Input) { i.Protocol.Spawn.ShareOfWet = 0.16 }), steam, "spawn.never", true},
		"alone":    {in, steam, "evidence.refused", true},
	} {
		p := planned(t, c.in, c.run)
		require.NotNil(t, p.Evidence[0].Refusal, name)
		got := rules(p)
		assert.Equal(t, protocol.Error, got[c.rule], "%s: %v", name, got)
		if c.told {
			assert.Contains(t, got, "evidence.refused", name)
		} else {
			assert.NotContains(t, got, "evidence.refused", name)
		}
	}
}

// Who heats alike: the order of ingredients and the hold do not matter; all that
// changes how heat gets into a vessel does.
func TestHeatsLike(t *testing.T) {
	p := input(t, "enoki-850").Protocol
	change := func(by func(*protocol.Protocol)) protocol.Protocol {
		q := p
		q.Substrate.Ingredients = append([]protocol.Part(nil), p.Substrate.Ingredients...)
		by(&q)
		return q
	}
	density := unit.Density(600)
	same := unit.Density(*p.Fill.Density)
	for name, q := range map[string]protocol.Protocol{
		"itself": p,
		"order": change(func(q *protocol.Protocol) {
			i := q.Substrate.Ingredients
			i[0], i[1] = i[1], i[0]
		}),
		"hold":      change(func(q *protocol.Protocol) { q.Sterilization.Hold *= 2 }),
		"elsewhere": change(func(q *protocol.Protocol) { q.Fill.Density = &same }),
	} {
		assert.True(t, p.HeatsLike(q), name)
	}
	for name, q := range map[string]protocol.Protocol{
		"vessel":     change(func(q *protocol.Protocol) { q.Vessel = "jar-quart" }),
		"sterilizer": change(func(q *protocol.Protocol) { q.Sterilizer = "steam-2" }),
		"bore":       change(func(q *protocol.Protocol) { q.Bore.Depth -= 0.01 }),
		"moisture":   change(func(q *protocol.Protocol) { q.Substrate.Moisture -= 0.01 }),
		"formula":    change(func(q *protocol.Protocol) { q.Substrate.Ingredients[0].Share += 0.01 }),
		"density":    change(func(q *protocol.Protocol) { q.Fill.Density = &density }),
		"headspace":  change(func(q *protocol.Protocol) { q.Fill.Headspace *= 2 }),
	} {
		assert.False(t, p.HeatsLike(q), name)
	}
}
