//go:build !linux

package book

func (p *place) exchange(fresh string) (aside string, err error) { return p.exchangeInTwo(fresh) }

func (p *place) appear(fresh string) error { return p.parent.Rename(fresh, p.name) }
