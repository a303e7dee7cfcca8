package run

import (
	"encoding/json"
	"errors"
	"sync"

	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/working"
)

// measuredArguments are what the laws of a measured assumption take: the case,
// the conductivity, and the conductance of the bore's wall.
const measuredArguments = caseArguments + ", k, U_bore"

// measured reads the arguments of such a law.
func measured(a []float64) (Case, Assumption, error) {
	n := len(a) - 2
	c, err := CaseOf(a[:max(n, 0)])
	if err != nil {
		return c, Assumption{}, err
	}
	return c, Assumption{Name: MeasuredName, Conductivity: a[n], Bore: a[n+1]}, nil
}

// LawsOfMeasured are the laws for a conductivity and a bore that a probe run has
// told. They take both beside the case; that of the hold takes the dose last.
var LawsOfMeasured = Laws{
	F0:   measuredLaw("F0_measured", func(s *Solution) float64 { return s.Least }),
	Core: measuredLaw("core_measured", func(s *Solution) float64 { return s.Core }),
	Most: measuredLaw("F0_wall_measured", func(s *Solution) float64 { return s.Most }),
	Hold: working.NewLaw("hold_measured("+measuredArguments+", F)", conduction+"; raised to a whole minute; over 12 h counts as 12 h",
		map[string]working.Function{"hold_measured": func(args ...float64) (float64, error) {
			if len(args) == 0 {
				return 0, errors.New("takes a case and a dose")
			}
			c, a, err := measured(args[:len(args)-1])
			if err != nil {
				return 0, err
			}
			h, err := HoldFor(c, a, args[len(args)-1])
			return HoldTold(h), err
		}}),
}

func measuredLaw(name string, read func(*Solution) float64) *working.Law {
	return working.NewLaw(name+"("+measuredArguments+")", conduction, map[string]working.Function{name: func(args ...float64) (float64, error) {
		c, a, err := measured(args)
		if err != nil {
			return 0, err
		}
		s, err := Solve(c, a)
		if err != nil {
			return 0, err
		}
		return read(s), nil
	}})
}

// fits remembers what records were found to say: a farm's protocols ask for the
// same one again and again, and each takes a tenth of a second, which is more than all
// else that a command does where the store has the rest.
var fits = struct {
	sync.Mutex
	known map[string]fitted
}{known: map[string]fitted{}}

// fitted is a fit, or why there is none.
type fitted struct {
	Fit     *Fit
	Refusal *Refusal
}

// fitKey is the name of a fit in a store; "" where a number is none.
func fitKey(c Case, m Recorded) string {
	return key("fit", struct {
		Case   Case
		Record Recorded
	}{c, m}, heat.DefaultGrid)
}

// storeOf is the store of a result with this name, nil where there is none.
func storeOf(key string) Store {
	memory.Lock()
	defer memory.Unlock()
	if key == "" {
		return nil
	}
	return memory.store
}

// storedFit looks a fit up in the store.
func storedFit(key string) (found fitted, ok bool) {
	store := storeOf(key)
	if store == nil {
		return fitted{}, false
	}
	data, ok := store.Find(key)
	if !ok || json.Unmarshal(data, &found) != nil || (found.Fit == nil) == (found.Refusal == nil) {
		return fitted{}, false
	}
	return found, true
}

// Fit finds the effective conductivity with which conduction into the case's
// vessel comes nearest to a record, by least squares, and its interval. The
// temperature of the mix at the start and a constant offset between the two
// probes are found along with it. The error is a *Refusal where the record does
// not tell; any other error names a value of the case that is out of range.
func (c Case) Fit(m Recorded) (*Fit, error) {
	key := fitKey(c, m)
	fits.Lock()
	found, ok := fits.known[key]
	fits.Unlock()
	if !ok {
		found, ok = storedFit(key)
	}
	if !ok {
		f, err := c.fit(m)
		var refusal *Refusal
		if err != nil && !errors.As(err, &refusal) {
			return nil, err
		}
		found = fitted{f, refusal}
		if data, err := json.Marshal(found); err == nil {
			if store := storeOf(key); store != nil {
				store.Keep(key, data)
			}
		}
	}
	if key != "" {
		fits.Lock()
		if len(fits.known) >= remembered {
			clear(fits.known)
		}
		fits.known[key] = found
		fits.Unlock()
	}
	if found.Refusal != nil {
		return nil, found.Refusal
	}
	return found.Fit, nil
}
