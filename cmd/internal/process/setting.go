package process

import (
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// Setting is what decides which steps the protocol has.
func (p *Process) Setting() work.Setting {
	pr := p.Input.Protocol
	return work.Setting{
		Reusable: p.Vessel.Form != protocol.FormBag,
		Bored:    pr.Bore.Made != protocol.BoreNone,
		Ripened:  pr.Incubation.Ripen > 0,
		Scraped:  pr.Opening.Scrape != protocol.ScrapeNever,
		Wetted:   pr.Opening.Water > 0,
		Covered:  pr.Opening.Cover != "none",
		Collared: pr.Collar != nil,
	}
}
