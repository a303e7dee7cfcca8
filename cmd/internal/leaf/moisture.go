package leaf

import (
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
)

// points is a share as points of moisture: 0.015 is 1.5.
func points(share float64) unit.Amount {
	return unit.Amount{Kind: unit.None, Value: 100 * share, Digits: 2}
}

// moistureRange says how far off a mix may be as lots differ.
func (e Edition) moistureRange(p *process.Process) string {
	if p.Spreading == "" {
		return ""
	}
	end := func(name string) unit.Amount {
		return unit.Amount{Kind: unit.ShareOf, Value: p.Value(name), Step: 0.001}
	}
	return e.say("book.formula.range", "low", end("moisture_mixed_low"), "high", end("moisture_mixed_high"),
		"name", p.Names[p.Spreading], "points", points(p.Ledger.ValueOf("moisture_moved", p.Spreading)))
}
