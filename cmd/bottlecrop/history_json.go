package main

import (
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/versions"
)

// The versions of a protocol as JSON.
type (
	historyJSON struct {
		Schema   string        `json:"schema"`
		Protocol string        `json:"protocol"`
		Names    []string      `json:"names"`  // all that it had, the newest first
		Commit   string        `json:"commit"` // up to which
		Branch   string        `json:"branch"` // "" where none is checked out
		Shallow  bool          `json:"shallow"`
		Versions []versionJSON `json:"versions"` // the newest first; of merged branches at the end
		Other    []madeJSON    `json:"other_batches"`
	}
	versionJSON struct {
		State       string        `json:"state"`  // method, faulty, gone
		Commit      string        `json:"commit"` // "" for the folder as it is, not committed
		Date        string        `json:"date"`
		Author      string        `json:"author"`
		Subject     string        `json:"subject"`
		Name        string        `json:"name"`
		Became      string        `json:"became,omitempty"`
		Side        bool          `json:"side"` // of a merged branch: the farm never had it
		Fingerprint string        `json:"fingerprint"`
		Printed     string        `json:"fingerprint_printed"`
		Version     string        `json:"version"`
		Standing    string        `json:"standing"` // approved, changed, not-approved
		Approval    *approvalJSON `json:"approval,omitempty"`
		Faults      int           `json:"faults"`
		Batches     []madeJSON    `json:"batches"`
	}
	approvalJSON struct {
		By          string `json:"by"`
		On          string `json:"on"`
		Version     string `json:"version"`
		Fingerprint string `json:"fingerprint"`
	}
	madeJSON struct {
		Code   string `json:"code"`
		Mixed  string `json:"mixed"`
		Method string `json:"method"`   // as its results have it; "" for none
		By     string `json:"known_by"` // method, day, perhaps, not_known, none_then
	}
)

func historyReport(f *farm, p *pastOf) historyJSON {
	l := p.lines[0]
	made, other := l.Made(f.folder.Results.Batches)
	out := historyJSON{
		Schema: "bottlecrop history 1", Protocol: l.Name, Names: l.Names, Commit: p.head.ID, Branch: p.branch, Shallow: p.shallow,
		Versions: []versionJSON{}, Other: madeReport(other),
	}
	for i, v := range l.Versions {
		x := versionJSON{
			State:  map[versions.Kind]string{versions.Readable: "method", versions.Faulty: "faulty", versions.Gone: "gone"}[v.Kind],
			Commit: v.From.ID, Date: v.From.Date, Author: v.From.Author, Subject: v.From.Subject, Name: v.Name, Became: v.Became, Side: v.Side,
			Fingerprint: v.Method.Fingerprint, Printed: farmfile.Short(v.Method.Fingerprint), Version: v.Method.Version, Faults: v.Method.Faults,
			Standing: "not-approved", Batches: madeReport(made[i]),
		}
		if a := v.Method.Approval; a != nil {
			x.Approval = &approvalJSON{a.By, a.On, a.Version, a.Fingerprint}
			x.Standing = map[bool]string{true: "changed", false: "approved"}[v.Standing() == protocol.ChangedSince]
		}
		out.Versions = append(out.Versions, x)
	}
	return out
}

func madeReport(list []versions.Made) []madeJSON {
	out := []madeJSON{}
	for _, m := range list {
		out = append(out, madeJSON{m.Code, m.Mixed, m.Method, madeBy[m.How]})
	}
	return out
}
