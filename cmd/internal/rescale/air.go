package rescale

import (
	"math"
	"strings"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// holdStep is to how much a longer hold is raised, s: what a worker reads off a clock
// (design choice).
const holdStep = 5 * 60

// inAir plans the run in the air that somebody measured: in thinner air the chamber is
// cooler at the same gauge, so the hold gets longer, until in each case in which the
// approved run is worked out the slowest place of a vessel gets at least what it gets by
// that run in the farm's own air. The hold is never shorter than the approved one, and
// the gauge is what it was.
func (s *Session) inAir(own *process.Process, in process.Input, a Asked, w *worked) (*process.Process, *refusal) {
	pressure, altitude, ok := airOf(a.Air)
	if !ok {
		return nil, refuse("rescale.pressure", "found", beginning(a.Air))
	}
	if w.refused = errorsOf(own.Findings); w.refused != nil {
		return own, nil
	}
	in.Farm.StationPressure, in.Farm.Altitude = pressure, altitude
	p, err := s.plan(in, Asked{Moisture: a.Moisture, Air: a.Air})
	if err != nil {
		return nil, refuse("command.failed", "error", err.Error())
	}
	if w.refused = errorsOf(p.Findings); w.refused != nil && !onlyOfHeat(w.refused) {
		return p, nil
	}
	w.refused = nil
	before := in.Protocol.Sterilization.Hold
	now, wrong := longer(own, p)
	if wrong != nil {
		return nil, wrong
	}
	if now > before {
		in.Protocol.Sterilization.Hold = now
		if p, err = s.plan(in, Asked{Moisture: a.Moisture, Air: a.Air + " held"}); err != nil {
			return nil, refuse("command.failed", "error", err.Error())
		}
	}
	w.refused = errorsOf(p.Findings)
	if altitude != nil {
		w.given = append(w.given, words.Message("rescale.given.height", "altitude", unit.Height(float64(*altitude), s.edition.Voice.Units())))
	} else {
		w.given = append(w.given, words.Message("rescale.given.air", "pressure", unit.Amount{Kind: unit.AbsolutePressureOf, Value: float64(*pressure)}))
	}
	hold := func(d unit.Duration) unit.Amount {
		return unit.Amount{Kind: unit.TimeOf, Value: float64(d), Unit: "min", Step: unit.Minute}
	}
	if now > before {
		w.given = append(w.given, words.Message("rescale.given.hold", "now", hold(now), "before", hold(before)))
	} else {
		w.given = append(w.given, words.Message("rescale.given.same", "hold", hold(before)))
	}
	return p, nil
}

// longer is the hold in other air: the approved one, or so much longer that no case gets
// less than by the approved run.
func longer(own, p *process.Process) (unit.Duration, *refusal) {
	hold := p.Input.Protocol.Sterilization.Hold
	if p.Case.Chamber >= own.Case.Chamber && p.Case.Boiling >= own.Case.Boiling {
		return hold, nil // warmer all through: nothing to make up for
	}
	most := float64(hold)
	need := func(a run.Assumption, dose float64) *refusal {
		if !(dose > 0) {
			return nil
		}
		h, err := run.HoldFor(p.Case, a, dose)
		if err != nil || math.IsInf(h, 1) {
			return &refusal{words.Message("rescale.never", "pressure", unit.Amount{Kind: unit.AbsolutePressureOf, Value: p.Value("air_pressure")},
				"most", unit.Amount{Kind: unit.TimeOf, Value: run.LongestHold, Unit: "h"}), words.Message("rescale.never.hint")}
		}
		most = math.Max(most, h)
		return nil
	}
	for _, a := range run.Assumptions() {
		if q := own.Ledger.Get("f0_" + a.Name); q != nil {
			if wrong := need(a, q.Value); wrong != nil {
				return 0, wrong
			}
		}
	}
	for _, e := range own.Evidence {
		if e.InForce {
			if wrong := need(e.Fit.Assumption(), e.F0); wrong != nil {
				return 0, wrong
			}
		}
	}
	if most <= float64(hold) {
		return hold, nil
	}
	return unit.Duration(unit.Up(most/holdStep) * holdStep), nil
}

// onlyOfHeat reports whether all that is refused is that a run does too little, which a
// longer hold may mend.
func onlyOfHeat(refused []protocol.Finding) bool {
	for _, f := range refused {
		if !strings.HasPrefix(f.Rule, "f0.") || f.Rule == "f0.target_never" {
			return false
		}
	}
	return true
}
