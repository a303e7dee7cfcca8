package run

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shelf is a store that counts.
type shelf struct {
	kept  map[string][]byte
	found int
}

func (s *shelf) Keep(key string, data []byte) { s.kept[key] = data }
func (s *shelf) Find(key string) ([]byte, bool) {
	data, ok := s.kept[key]
	if ok {
		s.found++
	}
	return data, ok
}

// forget has the process know nothing but what is in its store.
func forget() {
	memory.Lock()
	clear(memory.solutions)
	clear(memory.holds)
	memory.Unlock()
	fits.Lock()
	clear(fits.known)
	fits.Unlock()
}

// What a process finds in its store is what it would work out, to the bit; what is
// damaged there is worked out anew.
func TestTheStoreGivesWhatIsWorkedOut(t *testing.T) {
	s := &shelf{kept: map[string][]byte{}}
	UseStore(s)
	defer UseStore(nil)
	m := made{c: bottle(), conductivity: 0.3, bore: "steam", place: halfway, noise: 0.2, interval: 60}
	record := m.record(t, rand.New(rand.NewPCG(3, 3)))
	short := record
	short.Vessel = short.Vessel[:10]
	type all struct {
		fit     *Fit
		refused error
		hold    float64
		sol     *Solution
	}
	ask := func() (a all) {
		forget()
		var err error
		a.fit, err = m.c.Fit(record)
		require.NoError(t, err)
		_, a.refused = m.c.Fit(short)
		require.Error(t, a.refused)
		a.hold, err = HoldFor(m.c, a.fit.Assumption(), 900)
		require.NoError(t, err)
		a.sol, err = Solve(m.c, a.fit.Assumption())
		require.NoError(t, err)
		return a
	}
	first := ask()
	require.Len(t, s.kept, 4)
	require.Zero(t, s.found)
	assert.Equal(t, first, ask())
	assert.Equal(t, 4, s.found, "all is found")
	for key, data := range s.kept {
		s.kept[key] = []byte(strings.ToUpper(string(data[:len(data)/2])))
	}
	assert.Equal(t, first, ask())
	assert.Equal(t, first, ask(), "what was damaged is kept anew")
}
