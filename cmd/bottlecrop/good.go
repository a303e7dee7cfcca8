package main

import (
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// sizeFlags are the two ways to say how large a batch is, as they were written.
type sizeFlags struct{ bottles, good string }

func (x *sizeFlags) of(c *cobra.Command) {
	c.Flags().StringVar(&x.bottles, "bottles", "", fmt.Sprintf("how many vessels to grow, 1 to %d (`number`)", protocol.MostVessels))
	c.Flags().StringVar(&x.good, "good", "", "how many good vessels to get, with losses and confidence as the files have them (`number`)")
}

// size is how large a batch is to be: one of the two, the other is 0.
type size struct{ vessels, good int }

func (x sizeFlags) read() (size, error) {
	switch {
	case (x.bottles == "") == (x.good == ""):
		return size{}, usage(words.Message("command.sheet_needs_bottles"))
	case x.good == "":
		n, err := batchSize(x.bottles)
		return size{vessels: n}, err
	}
	n, ok := wholeUpTo(x.good, protocol.MostVessels)
	if !ok {
		return size{}, usage(words.Message("command.good", "found", x.good, "most", protocol.MostVessels))
	}
	return size{good: n}, nil
}

// wholeUpTo reads a whole number from 1 to the most.
func wholeUpTo(text string, most int) (int, bool) {
	n, err := strconv.Atoi(text)
	return n, err == nil && wholeNumber.MatchString(text) && n >= 1 && n <= most
}

// compute scales a process that has no errors.
func (s size) compute(p *process.Process) (*batch.Batch, error) {
	if s.good == 0 {
		return batch.Compute(p, s.vessels)
	}
	b, err := batch.ForGood(p, s.good)
	if what, hint, ok := leaf.Unplanned(err); ok {
		return nil, &failure{atFault, what, hint}
	}
	return b, err
}

// offers say why so many are to grow, and how many more would fill crates and
// loads: nothing is rounded up in silence.
func offers(b *batch.Batch) []protocol.Finding {
	if b.Good == 0 {
		return nil
	}
	p := b.Process
	note := func(rule string, what, hint protocol.Message) protocol.Finding {
		return protocol.Finding{Severity: protocol.Note, Rule: rule, Origin: working.Origin{Document: batch.GoodFlag},
			Subject: p.Input.Protocol.Name, What: what, Hint: hint}
	}
	share := func(name string) unit.Amount { return unit.Amount{Kind: unit.ShareOf, Value: b.Value(name)} }
	id, args := "good.filled", []any{"good", b.Good, "n", b.Vessels, "vessels", p.Vessel.Called(b.Vessels),
		"lost", share("lost_share"), "confidence", share("confidence")}
	if s := int(b.Value("clustering")); s > 0 {
		id, args = id+".clusters", append(args, "clustering", s)
	}
	out := []protocol.Finding{note("good.filled", words.Message(id, args...), protocol.Message{})}
	crate, loads := b.More()
	more := func(rule string, n int, what protocol.Message) {
		if n > 0 && b.Vessels+n <= protocol.MostVessels {
			out = append(out, note(rule, what, words.Message("good.more.hint", "n", b.Vessels+n)))
		}
	}
	if crate > 0 {
		more("good.more_crate", crate, words.Message("good.crate", "capacity", int(b.Value("crate_vessels")), "more", crate))
	}
	more("good.more_loads", loads, words.Message("good.loads", "capacity", int(b.Value("load_capacity")), "more", loads, "loads", len(b.Loads)))
	return out
}

// goodJSON is how the number to grow follows from that of good ones.
type goodJSON struct {
	Wanted     int     `json:"wanted"`
	Confidence float64 `json:"confidence"`
	Lost       float64 `json:"lost"`
	Clustering float64 `json:"clustering"` // 0 for none
	MoreCrate  int     `json:"more_for_the_last_crate"`
	MoreLoads  int     `json:"more_for_the_loads"`
}

// goodReport is nil where the number to grow was given.
func goodReport(b *batch.Batch) *goodJSON {
	if b.Good == 0 {
		return nil
	}
	crate, loads := b.More()
	return &goodJSON{b.Good, b.Value("confidence"), b.Value("lost_share"), b.Value("clustering"), crate, loads}
}
