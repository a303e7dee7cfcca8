package run

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math"
	"sync"

	"bottlecrop/cmd/internal/heat"
)

// Version of the calculation: raised with anything that can change a result, so
// that no result of an older one is taken for one of this.
const Version = 3

// Store keeps results beyond the life of the program, by a key that is different
// for anything that can change them. Both functions may fail silently: what is
// not found is worked out.
type Store interface {
	Find(key string) ([]byte, bool)
	Keep(key string, data []byte)
}

// memory remembers results. A result depends on its case alone, so it is the
// same whether it was remembered, found in the store or worked out.
var memory = struct {
	sync.Mutex
	solutions map[question]*Solution
	holds     map[question]*heat.Holding
	spreads   map[Scatter]*Spread
	rises     map[ascent]*Rise // quickly worked out, but asked for again and again; not in the store
	store     Store
}{solutions: map[question]*Solution{}, holds: map[question]*heat.Holding{}, spreads: map[Scatter]*Spread{}, rises: map[ascent]*Rise{}}

// question is what a result answers.
type question struct {
	Case       Case
	Assumption Assumption
	Longest    float64 // of a search for a hold; 0 for a solution
	Enough     float64
}

// remembered is how many results of each kind the process keeps. A farm has some
// dozens; a search over random protocols shall not fill the memory.
const remembered = 2000

// UseStore makes the process keep its results in a store as well; nil for none.
func UseStore(s Store) {
	memory.Lock()
	defer memory.Unlock()
	memory.store = s
}

// key is the name of a question in a store.
func key(kind string, question any, grid heat.Grid) string {
	data, err := json.Marshal(struct {
		Version  int
		Kind     string
		Question any
		Grid     heat.Grid
	}{Version, kind, question, grid})
	if err != nil { // a number that is none: the solver will refuse it
		return ""
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// recall finds a result in the process or in the store, or makes it.
func recall[Q comparable, T any](kept map[Q]*T, kind string, q Q, grid heat.Grid, make func() (*T, error)) (*T, error) {
	memory.Lock()
	found, store := kept[q], memory.store
	memory.Unlock()
	if found != nil {
		return found, nil
	}
	name := ""
	if store != nil {
		name = key(kind, q, grid)
	}
	if name != "" {
		if data, ok := store.Find(name); ok {
			found = new(T)
			if json.Unmarshal(data, found) != nil {
				found = nil
			}
		}
	}
	if found == nil {
		var err error
		if found, err = make(); err != nil {
			return nil, err
		}
		if name != "" {
			if data, err := json.Marshal(found); err == nil {
				store.Keep(name, data)
			}
		}
	}
	memory.Lock()
	defer memory.Unlock()
	if len(kept) >= remembered {
		clear(kept)
	}
	kept[q] = found
	return found, nil
}

// Solve is what a case comes to under an assumption. Errors name the value that
// is out of its range.
func Solve(c Case, a Assumption) (*Solution, error) {
	return recall(memory.solutions, "solution", question{Case: c, Assumption: a}, heat.DefaultGrid, func() (*Solution, error) { return toDigits(c.solve(a)) })
}

// LongestHold is the longest hold that is searched for, s: past ten hours a limit
// refuses a hold anyway.
const LongestHold = 12 * 3600

// holding is the search for a hold, and what it found.
func holding(c Case, a Assumption, dose float64) (question, *heat.Holding, error) {
	c.Hold = 60 // does not matter, and a search shall be found again whatever it was
	q := question{c, a, LongestHold, dose}
	h, err := recall(memory.holds, "hold", q, heat.DefaultGrid, func() (*heat.Holding, error) {
		return toDigits(heat.Holds(c.problem(a), LongestHold, dose))
	})
	return q, h, err
}

// HoldFor is the shortest hold in s after which the slowest place has the dose.
// It is infinite where half a day is not enough.
func HoldFor(c Case, a Assumption, dose float64) (float64, error) {
	_, h, err := holding(c, a, dose)
	if err != nil {
		return 0, err
	}
	if n := len(h.Least); n == 0 || h.Least[n-1] < dose {
		return math.Inf(1), nil
	}
	return h.For(dose)
}
