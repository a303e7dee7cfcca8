package process

import (
	"encoding/json"

	"bottlecrop/cmd/internal/run"
)

// Answers are all that planning this process has asked of package run, for a store
// (run.Answers): where they are in it, planning the same again takes no time. The error
// is that of values out of range, which a limit has refused before.
func (p *Process) Answers() (map[string]json.RawMessage, error) {
	var asked []run.Assumption
	for _, a := range run.Assumptions() {
		if a != run.Collapsed || p.Setting().Bored {
			asked = append(asked, a)
		}
	}
	var records []run.Recorded
	for _, e := range p.Input.Evidence {
		records = append(records, e.record())
	}
	return run.Answers(p.Case, p.Value("f0_target"), asked, records)
}
