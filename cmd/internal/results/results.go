// Package results holds what became of batches beside what was assumed of them:
// losses, yield, days and hours, each with how sure it is; a chart of the batches
// with limits for their sizes; what a single batch shows and does not; where losses
// come from; what may be assumed instead, which nobody is made to take; and how many
// of a lot to look at.
//
// It counts emptied batches alone: of one that is under way nobody knows yet what it
// loses.
//
// Shares are from 0 to 1, masses in kg, times in s but for Days.
package results

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/chance"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Confidence is that of every interval and bound here: a design choice.
const Confidence = 0.95

// Fewest is the least number of batches of which an interval of a mean, or a value
// to assume instead, is told: a design choice. Two batches say next to nothing of a
// third.
const Fewest = 3

// usualClustering is chance.Loss.Clustering where the farm does not say: the middle of
// 50 to 200 by ratio (common practice, no source).
const usualClustering = 100

// Input is all that the record of a farm depends on.
type Input struct {
	Farm      protocol.Farm
	Results   protocol.Results
	Processes map[string]*process.Process // by the protocol's name, those without errors
	Methods   map[string]string           // short fingerprints, by the protocol's name
}

// Record is what the results of a farm show. It is not changed once made.
type Record struct {
	All      Group   // every protocol together; no yield and no days, which can't be put together
	Groups   []Group // by the protocol's name
	Plans    []Lot
	Clusters float64 // chance.Loss.Clustering that was taken for clustered losses
}

// AllOf is the subject of quantities of all protocols together. No protocol can have
// that name.
const AllOf = "all.protocols"

// Group is the batches of one protocol, or of all.
type Group struct {
	Name    string           // of the protocol; AllOf for all
	Process *process.Process // nil for all, and where the farm has the protocol no more or it has errors
	Ledger  *working.Ledger
	Done    []Batch // emptied, by the day of mixing, then by code
	Open    []Batch // under way
	Other   int     // of Done, how many were made by another edition of the method
	Filled  int     // of Done
	Lost    int
	Chart   Chart
	Days    []Days
	Hours   []Hours // by role, the last is all roles together; none where nobody wrote any
	Causes  Causes
	Offers  []Offer
	Fills   []Fill

	FillConfidence float64 // of Fills
}

// Batch is one batch with what it shows by itself.
type Batch struct {
	protocol.Result
	Index  int // place in the results' file
	Mixing calendar.Date
	Bad    int     // vessels that came to nothing
	AtMost float64 // the share of bad ones that it speaks for is no more than this

	// How often chance alone brings so many lost, or more, where the loss is what the
	// protocol assumes: each vessel by itself, and in clusters. NaN without a protocol.
	Alone, Clustered float64
}

// Share is the share of vessels that came to nothing.
func (b Batch) Share() float64 { return float64(b.Bad) / float64(b.Filled) }

// Subject is the subject of the batch's quantities.
func (b Batch) Subject() string { return "batch-" + strconv.Itoa(b.Index+1) }

// OfAll ends the subject of how far a batch is off the mean of all protocols.
const OfAll = "-of-all"

// OffAll is the subject of how far a batch is off the mean of all protocols.
func OffAll(b Batch) string { return b.Subject() + OfAll }

// off is the subject of how far a batch is off the group's mean.
func (g *Group) off(b Batch) string {
	if g.Name == AllOf {
		return OffAll(b)
	}
	return b.Subject()
}

// Of works out what the results show. The error is for a program at fault: what
// farmfile has let pass can be worked out.
func Of(in Input) (*Record, error) {
	r := &Record{Clusters: usualClustering, All: Group{Name: AllOf}}
	if g := in.Farm.Good; g != nil && g.Clustering > 0 {
		r.Clusters = float64(g.Clustering)
	}
	at := map[string]int{}
	for i, res := range in.Results.Batches {
		b, err := batchOf(res, i, in.Processes[res.Protocol], r.Clusters)
		if err != nil {
			return nil, err
		}
		k, ok := at[res.Protocol]
		if !ok {
			k = len(r.Groups)
			at[res.Protocol] = k
			r.Groups = append(r.Groups, Group{Name: res.Protocol, Process: in.Processes[res.Protocol]})
		}
		r.Groups[k].take(b, in.Methods[res.Protocol])
		r.All.take(b, "")
	}
	slices.SortFunc(r.Groups, func(a, b Group) int { return cmp.Compare(a.Name, b.Name) })
	all := []*Group{&r.All}
	for i := range r.Groups {
		all = append(all, &r.Groups[i])
	}
	for _, g := range all {
		if err := g.work(in.Farm); err != nil {
			return nil, fmt.Errorf("results: %s: %w", g.Name, err)
		}
	}
	var err error
	r.Plans, err = plansFor(sizes(in.Processes))
	return r, err
}

// sizes are the batch sizes of all protocols, ascending.
func sizes(of map[string]*process.Process) []int {
	var out []int
	for _, p := range of {
		out = append(out, p.Input.Protocol.BatchSizes...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func batchOf(res protocol.Result, i int, p *process.Process, clusters float64) (Batch, error) {
	day, err := calendar.Parse(res.Mixed)
	if err != nil {
		return Batch{}, err
	}
	b := Batch{Result: res, Index: i, Mixing: day, Bad: res.LostInAll(), Alone: nan, Clustered: nan}
	if b.AtMost, err = chance.NoMoreThan(b.Bad, b.Filled, Confidence); err != nil || p == nil {
		return b, err
	}
	tail := func(l chance.Loss) float64 {
		below, e := l.AtMost(b.Bad-1, b.Filled)
		if e != nil {
			err = e
		}
		return max(0, 1-below)
	}
	share := p.Value("lost_share")
	if share >= 1 {
		return b, nil
	}
	b.Alone, b.Clustered = tail(chance.Loss{Share: share}), tail(chance.Loss{Share: share, Clustering: clusters})
	return b, err
}

// take puts a batch in its place.
func (g *Group) take(b Batch, method string) {
	if !b.Done() {
		g.Open = append(g.Open, b)
		return
	}
	g.Done = append(g.Done, b)
	g.Filled += b.Filled
	g.Lost += b.Bad
	if b.Method != "" && method != "" && b.Method != method {
		g.Other++
	}
}

// work works a group out, once it has all of its batches.
func (g *Group) work(farm protocol.Farm) error {
	byDay := func(a, b Batch) int {
		return cmp.Or(cmp.Compare(a.Mixing, b.Mixing), cmp.Compare(a.Code, b.Code))
	}
	slices.SortFunc(g.Done, byDay)
	slices.SortFunc(g.Open, byDay)
	g.Ledger = working.NewLedger(nil)
	if g.Process != nil {
		g.Ledger = working.NewLedger(g.Process.Ledger)
	}
	if len(g.Done) == 0 {
		return nil
	}
	g.losses()
	if g.Name != AllOf {
		g.yields()
		g.days()
	}
	if err := g.Ledger.Err(); err != nil {
		return err
	}
	var err error
	if g.Chart, err = chartOf(g.Done); err != nil {
		return err
	}
	if g.Causes, err = causesOf(append(slices.Clone(g.Done), g.Open...)); err != nil {
		return err
	}
	if g.Name == AllOf || g.Process == nil {
		return nil
	}
	if err := g.hours(); err != nil {
		return err
	}
	g.offers()
	return g.fills(farm)
}

// key is the origin of a value of a batch.
func (b Batch) key(name string) working.Origin {
	return working.Origin{Document: protocol.ResultsDocument, Key: protocol.ResultKey(b.Index, name)}
}

// Quantity is a quantity of the group itself, nil where it could not be worked out.
func (g *Group) Quantity(name string) *working.Quantity { return g.Ledger.Of(name, g.Name) }

// count enters a whole number of the group.
func (g *Group) count(name string, n int) *working.Quantity {
	return g.Ledger.GivenOf(name, g.Name, unit.CountOf, float64(n), working.Origin{Document: protocol.ResultsDocument, Key: "batch"}, "")
}
