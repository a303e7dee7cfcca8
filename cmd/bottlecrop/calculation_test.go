package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// witnessed are the numbers of the farms that come with the program, as they were when
// the calculation was counted last: a line for each batch, with a digest of what the
// farm's files say and one of what the program makes of it.
const witnessed = "testdata/calculation.txt"

// The demo farm, and the farm that bottlecrop start begins. Two, so that an edit of the
// one, which moves its numbers, hides no change of a law.
var witnesses = []string{"../..", "starter"}

// digest is of numbers at 9 significant digits: fewer than differ from one processor to
// the next, more than any page prints.
type digest struct{ strings.Builder }

func (d *digest) add(q *working.Quantity) { fmt.Fprintf(d, "%s=%.9g\n", q.ID(), q.Value) }

func (d *digest) String() string {
	sum := sha256.Sum256([]byte(d.Builder.String()))
	return fmt.Sprintf("%x", sum[:8])
}

// ofFarm is true for what a farm's own files give, but for its library: that of the demo
// farm is the program's.
func ofFarm(q *working.Quantity) bool {
	_, isProtocol := protocol.NameOf(q.Origin.Document)
	return q.Law == nil && (q.Origin.Document == protocol.FarmDocument || isProtocol)
}

// witness is a line of the file, and how it begins: what it is of.
func witness(t *testing.T, f *farm, of string, method []byte, list []*working.Quantity) (key, line string) {
	var given, made digest
	for line := range bytes.Lines(method) {
		if bytes.HasPrefix(line, []byte("protocol.")) || bytes.HasPrefix(line, []byte("farm.")) {
			given.Write(line)
		}
	}
	require.NotEmpty(t, list, of)
	for _, q := range list {
		if ofFarm(q) {
			given.add(q)
		} else {
			made.add(q)
		}
	}
	return of, fmt.Sprintf("%s given %s made %s", of, given.String(), made.String())
}

func calculated(t *testing.T) map[string]string {
	out := map[string]string{}
	for _, folder := range witnesses {
		f, err := openFarm(&settings{farm: folder})
		require.NoError(t, err)
		name := map[string]string{"../..": "demo", "starter": "starter"}[folder]
		for _, e := range f.entries {
			for _, b := range e.Batches {
				key, line := witness(t, f, fmt.Sprintf("%s %s %d", name, e.Method.Protocol, b.Vessels), f.folder.Canonical(e.Method.Protocol), b.Ledger.All())
				out[key] = line
			}
		}
		var all []byte // what stands in a room depends on every protocol
		for _, p := range f.folder.Protocols {
			all = append(all, f.folder.Canonical(p.Name)...)
		}
		for i, r := range climate.Rooms(f.site(), f.processes()) {
			key, line := witness(t, f, fmt.Sprintf("%s room %d", name, i+1), all, r.Ledger.All())
			out[key] = line
		}
	}
	return out
}

// A number that changes while no file of the farm does is a change of the calculation,
// and raises its version. Where the files change too, the numbers are noted anew:
// go test ./cmd/bottlecrop -run TestCalculationIsCounted -update
func TestCalculationIsCounted(t *testing.T) {
	now := calculated(t)
	require.Greater(t, len(now), 20)
	head := fmt.Sprintf("calculation %d", process.Calculation)
	src, err := os.ReadFile(witnessed)
	if !*updateScripts {
		require.NoError(t, err)
	}
	lines := strings.Split(strings.TrimSpace(string(src)), "\n")
	then := map[string]string{}
	for _, line := range lines[1:] {
		key, _, _ := strings.Cut(line, " given ")
		then[key] = line
	}
	sameFiles := func(a, b string) bool {
		a, _, _ = strings.Cut(a, " made ")
		b, _, _ = strings.Cut(b, " made ")
		return a == b
	}
	fresh := false
	for _, key := range sorted(now) {
		if then[key] == now[key] {
			continue
		}
		fresh = true
		if then[key] != "" && sameFiles(then[key], now[key]) && lines[0] == head {
			t.Errorf("%s: the numbers have changed and the files have not: raise process.Calculation and say what changed in calculation.%d (words/history_en.go)", key, process.Calculation+1)
		}
	}
	fresh = fresh || len(then) != len(now) || lines[0] != head
	switch {
	case t.Failed():
	case fresh && *updateScripts:
		text := head + "\n"
		for _, key := range sorted(now) {
			text += now[key] + "\n"
		}
		require.NoError(t, os.WriteFile(witnessed, []byte(text), 0o644))
	case fresh:
		t.Errorf("%s is of other files or another calculation than these. Where you changed files of the demo farm alone, write it anew with -update; where a law changed too, raise process.Calculation first", witnessed)
	}
}

// The digest takes in every quantity, and tells what files give from what is made of it.
func TestDigestOfNumbers(t *testing.T) {
	f, err := openFarm(&settings{farm: "starter"})
	require.NoError(t, err)
	b := f.entries[0].Batches[0]
	list := b.Ledger.All()
	_, before := witness(t, f, "x", nil, list)
	given, made := 0, 0
	for _, q := range list {
		was := q.Value
		q.Value = was*(1+1e-6) + 1e-9
		_, after := witness(t, f, "x", nil, list)
		assert.NotEqual(t, before, after, q.ID())
		inputs, _, _ := strings.Cut(before, " made ")
		if strings.HasPrefix(after, inputs) {
			made++
		} else {
			given++
		}
		q.Value = was
	}
	assert.Greater(t, given, 20)
	assert.Greater(t, made, 100)
}

// There is a sentence for each version of the calculation, and none for one to come.
func TestChangesOfTheCalculation(t *testing.T) {
	v := words.English(unit.Metric)
	for n := 1; n <= process.Calculation; n++ {
		assert.True(t, v.Has(fmt.Sprintf("calculation.%d", n)), n)
	}
	assert.False(t, v.Has(fmt.Sprintf("calculation.%d", process.Calculation+1)))
}
