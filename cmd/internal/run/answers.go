package run

import (
	"encoding/json"
	"errors"
	"fmt"

	"bottlecrop/cmd/internal/heat"
)

// Answers are what a plan of a case asks of this package, as a store has them, by their
// keys: whoever has them in a store plans the same case again and solves nothing. A
// solution is without its samples and its field, which only drawings of a run need.
//
// dose is that of the search for a hold, s; the assumptions are those that are asked
// for, and the records the probe runs that are judged.
func Answers(c Case, dose float64, assumptions []Assumption, records []Recorded) (map[string]json.RawMessage, error) {
	out := map[string]json.RawMessage{}
	keep := func(name string, answer any) error {
		data, err := json.Marshal(answer)
		out[name] = data
		return err
	}
	for _, m := range records {
		f, err := c.Fit(m)
		var refusal *Refusal
		if err != nil && !errors.As(err, &refusal) {
			return nil, fmt.Errorf("run: %w", err)
		}
		if err := keep(fitKey(c, m), fitted{f, refusal}); err != nil {
			return nil, err
		}
		if f != nil {
			assumptions = append(assumptions, f.Assumption())
		}
	}
	for _, a := range assumptions {
		s, err := Solve(c, a)
		if err != nil {
			return nil, err
		}
		bare := *s
		bare.Samples, bare.Field = nil, Field{}
		if err := keep(key("solution", question{Case: c, Assumption: a}, heat.DefaultGrid), bare); err != nil {
			return nil, err
		}
		q, h, err := holding(c, a, dose)
		if err != nil {
			return nil, err
		}
		if err := keep(key("hold", q, heat.DefaultGrid), h); err != nil {
			return nil, err
		}
	}
	return out, nil
}
