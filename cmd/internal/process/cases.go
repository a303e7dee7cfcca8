package process

import "bottlecrop/cmd/internal/run"

// Cases are what a run comes to under the assumptions that bracket it, for who
// draws it. Collapsed is nil where there is no bore that could fall in.
type Cases struct{ Quick, Slow, Collapsed *run.Solution }

// Cases works the run out, or remembers it. The error is that of values out of
// range, which a limit has refused before.
func (p *Process) Cases() (Cases, error) {
	var c Cases
	var err error
	if c.Quick, err = p.Solution(run.Quick); err != nil {
		return c, err
	}
	if c.Slow, err = p.Solution(run.Slow); err != nil {
		return c, err
	}
	if p.Setting().Bored {
		c.Collapsed, err = p.Solution(run.Collapsed)
	}
	return c, err
}

// All are the cases in that order, nil where there is none.
func (c Cases) All() []*run.Solution { return []*run.Solution{c.Quick, c.Slow, c.Collapsed} }
