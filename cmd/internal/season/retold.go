package season

import (
	"math"
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
)

// Retold is the same season with batches of other processes, which differ in their words
// alone: those of the farm in another of its languages. What a season is planned by are
// amounts, days and ids, so nothing is planned again. It is false where the processes
// differ in more: where one is missing, or a batch has another quantity of the same name.
func (s *Season) Retold(processes map[string]*process.Process) (*Season, bool) {
	out := *s
	out.Batches = slices.Clone(s.Batches)
	made := map[*batch.Batch]*batch.Batch{}
	for i := range out.Batches {
		was := out.Batches[i].Batch
		now, ok := made[was]
		if !ok {
			if now, ok = remade(was, processes[was.Process.Input.Protocol.Name]); !ok {
				return nil, false
			}
			made[was] = now
		}
		out.Batches[i].Batch = now
	}
	return &out, true
}

// remade is a batch of a process that is made as another batch was: for the mass that it
// was wanted for, or of its vessels.
func remade(b *batch.Batch, p *process.Process) (*batch.Batch, bool) {
	if p == nil {
		return nil, false
	}
	var out *batch.Batch
	var err error
	if mass := b.Ledger.Get("mass_wanted"); mass != nil {
		out, err = batch.ForMass(p, unit.Mass(mass.Value))
	} else {
		out, err = batch.Compute(p, b.Vessels)
	}
	return out, err == nil && sameAmounts(b, out)
}

// sameAmounts reports whether two batches have the same quantities, bit by bit, and the
// same steps by the same people.
func sameAmounts(a, b *batch.Batch) bool {
	was, now := a.Ledger.All(), b.Ledger.All()
	steps, others := a.Process.Steps(), b.Process.Steps()
	if len(was) != len(now) || len(steps) != len(others) {
		return false
	}
	for i, q := range was {
		if q.ID() != now[i].ID() || math.Float64bits(q.Value) != math.Float64bits(now[i].Value) {
			return false
		}
	}
	for i, s := range steps {
		if s.ID != others[i].ID || s.Role != others[i].Role {
			return false
		}
	}
	return true
}
