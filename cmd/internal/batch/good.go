package batch

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/crop"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// GoodFlag is the origin of a number of good vessels given on the command line.
const GoodFlag = "--good"

// How sure a batch is of its good vessels where the farm does not say.
const (
	UsualConfidence = 0.95
	usualClustering = 0
)

// TooMany is more vessels than a batch may have, for so many good ones.
type TooMany struct{ Good, Vessels int }

// Error implements error.
func (e *TooMany) Error() string {
	return fmt.Sprintf("batch: for %d good ones %d vessels are to grow; 1 to %d are possible", e.Good, e.Vessels, protocol.MostVessels)
}

// NeverEnough is a number of good vessels that no number to grow gives with that
// confidence, at such losses.
type NeverEnough struct {
	Good             int
	Confidence, Lost float64 // shares from 0 to 1: of batches, and of vessels
}

// Error implements error.
func (e *NeverEnough) Error() string {
	return fmt.Sprintf("batch: for %d good ones in %g of all batches not even ten times as many are enough: %g are lost", e.Good, e.Confidence, e.Lost)
}

// ForGood scales a process to so many vessels that good of them are good ones,
// with the farm's confidence and the protocol's losses. Controls come on top. The
// error is for a process that has errors of its own, for a number outside 1 to
// protocol.MostVessels, *TooMany where too many would have to grow, and *NeverEnough.
func ForGood(p *process.Process, good int) (*Batch, error) {
	b, err := begin(p)
	if err != nil {
		return nil, err
	}
	if good < 1 || good > protocol.MostVessels {
		return nil, fmt.Errorf("batch: %d good vessels; 1 to %d are possible", good, protocol.MostVessels)
	}
	return b.forGood(b.Ledger.Given("good_wanted", unit.CountOf, float64(good), working.Origin{Document: GoodFlag}))
}

// ForMass is ForGood for a mass to sell, in kg, at the usual yield of a good
// vessel. A mass that is not above zero is an error too.
func ForMass(p *process.Process, sold unit.Mass) (*Batch, error) {
	b, err := begin(p)
	if err != nil {
		return nil, err
	}
	if !(sold > 0) {
		return nil, fmt.Errorf("batch: %v kg to sell; a mass above zero is possible", float64(sold))
	}
	l := b.Ledger
	each := l.Derive("sold_in_vessel", unit.MassOf, crop.Sold,
		working.Bind("Y", l.Get("yield_in_vessel_usual")), working.Bind("trim", l.Get("trim_share")))
	mass := l.Given("mass_wanted", unit.MassOf, float64(sold), working.Origin{Document: protocol.OrdersDocument})
	good := l.Derive("good_wanted", unit.CountOf, crop.GoodFor, working.Bind("M", mass), working.Bind("Y", each))
	if l.Err() != nil {
		return nil, fmt.Errorf("batch: %w", l.Err())
	}
	if good.Value > protocol.MostVessels {
		return nil, fmt.Errorf("batch: %v kg to sell take %.0f good vessels; 1 to %d are possible", float64(sold), good.Value, protocol.MostVessels)
	}
	return b.forGood(good)
}

// forGood fills for the good vessels that are wanted, and works the batch out.
func (b *Batch) forGood(good *working.Quantity) (*Batch, error) {
	l := b.Ledger
	b.Good = int(good.Value)
	confidence, clustering := l.Get("confidence"), l.Get("clustering")
	if confidence == nil {
		const source = "usual where [good] of the farm's file does not say; design choice"
		confidence = l.GivenOf("confidence", "", unit.ShareOf, UsualConfidence, working.Origin{}, source)
		clustering = l.GivenOf("clustering", "", unit.None, usualClustering, working.Origin{}, source)
	}
	n := l.Derive("vessels", unit.CountOf, crop.ToFill, working.Bind("good", good),
		working.Bind("confidence", confidence), working.Bind("lost", l.Get("lost_share")), working.Bind("clustering", clustering))
	switch {
	case math.IsNaN(n.Value): // all that goes into it is within its limits
		return nil, &NeverEnough{b.Good, confidence.Value, b.Value("lost_share")}
	case n.Value > protocol.MostVessels:
		return nil, &TooMany{b.Good, int(n.Value)}
	}
	b.Vessels = int(n.Value)
	return b.work(), nil
}

// room works out how many vessels more the loads and the last crate would take.
// They are offered, and never added in silence.
func (b *Batch) room() {
	l := b.Ledger
	if b.Good == 0 || l.Err() != nil {
		return
	}
	l.Derive("load_places_free", unit.CountOf, crop.ToWholes,
		working.Bind("n", l.Get("loads")), working.Bind("k", l.Get("load_capacity")), working.Bind("v", l.Get("filled")))
	if k := l.Get("crate_vessels"); k != nil {
		l.Derive("crate_places_free", unit.CountOf, crop.ToWhole, working.Bind("v", l.Get("filled")), working.Bind("k", k))
	}
}

// More is how many vessels more than those of a batch for good ones would fill its
// last crate and its loads; 0 where there is nothing to fill. A crate that would
// need another load is not offered.
func (b *Batch) More() (crate, loads int) {
	free := b.Ledger.Get("load_places_free")
	if free == nil {
		return 0, 0
	}
	loads = int(free.Value)
	if q := b.Ledger.Get("crate_places_free"); q != nil && int(q.Value) <= loads {
		crate = int(q.Value)
	}
	return crate, loads
}
