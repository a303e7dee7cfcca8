package main

import (
	"cmp"
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/words"
)

func checkCommand(t *terminal, s *settings) *cobra.Command {
	var all, asJSON, withResults, upgrade bool
	var today string
	var approval approving
	c := &cobra.Command{
		Use:   "check",
		Short: "Check every protocol of the farm folder against the safe limits",
		Long: `check reads the whole farm folder, works out every protocol at every batch size that
it names, and holds every number against the safe limits. It changes no file of the farm,
but with --approve.

Findings go to standard error, the summary to standard output.

With --results it also holds what protocols assume against what became of the batches in
protocols/results.toml: losses, yield, days and hours, how sure each is, what a batch
shows and does not, and which lines to change where you agree. It changes none itself.

With --approve it writes into one protocol's file who approved it, when, and what: its
version and fingerprint. A change of its meaning since then shows on each of its pages
and here, until a higher version is approved:

  bottlecrop check --approve enoki-850 --by "A. Keeper" --on 2026-11-26

With --at it checks an earlier state of the farm folder, which git has kept. Places of
findings are then those of the files of that commit.

With --upgrade it brings the files of an earlier format to the present one, where a key
is called otherwise: comments and every other byte stay as they are.`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			if upgrade {
				if flag := besides(c, "upgrade"); flag != "" {
					return usage(words.Message("upgrade.alone", "flag", flag))
				}
				return t.upgrade(c.Context(), s, farmfile.Upgrade)
			}
			if err := approval.read(); err != nil {
				return err
			}
			if approval.protocol != "" && c.Flags().Changed(atName) {
				return usage(words.Message("approve.past"))
			}
			day, err := asOf(today)
			if err != nil {
				return err
			}
			var w *writing
			if approval.protocol != "" {
				w = s.hold(protocol.Document(approval.protocol))
			}
			f, err := t.opened(c, s)
			if err != nil {
				return err
			}
			if w != nil {
				return t.approve(c.Context(), s, f, approval, w)
			}
			if err := f.judgeVersions(c.Context(), s, cmp.Or(c.Flags().Lookup(atName).Value.String(), headRevision)); err != nil {
				return err
			}
			if _, err := f.judgeSeason(day); err != nil {
				return err
			}
			record, err := f.asked(withResults)
			if err != nil {
				return err
			}
			if asJSON {
				if err := t.json(checkReport(f, record)); err != nil {
					return err
				}
			} else {
				t.findings(f.voice, f.findings, all)
				if record != nil {
					t.results(f, record)
					fmt.Fprintln(t)
				}
				t.summary(f)
			}
			return f.verdict()
		},
	}
	atFlag(c)
	c.Flags().StringVar(&today, "as-of", "", "the `day` that counts as today for the plan of the season")
	c.Flags().BoolVar(&all, "all", false, "print all findings, however many a file has")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON on standard output")
	c.Flags().StringVar(&approval.protocol, "approve", "", "write the approval of this `protocol` into its file")
	completeFlag(c, "approve", protocolNames(s, math.MaxInt))
	c.Flags().StringVar(&approval.by, "by", "", "the `name` of who approves it")
	c.Flags().StringVar(&approval.on, "on", "", "the `day` of the approval, such as 2026-11-26")
	c.Flags().BoolVar(&upgrade, "upgrade", false, "bring files of an earlier format to the present one")
	c.Flags().BoolVar(&withResults, "results", false, "hold what is assumed against what became of the batches")
	return c
}

// verdict is errFaulty when there is an error among the findings.
func (f *farm) verdict() error {
	if protocol.Worst(f.findings) == protocol.Error {
		return errFaulty
	}
	return nil
}

// count is how many findings have a severity, the acknowledged ones left out.
func (f *farm) count(s protocol.Severity) int {
	n := 0
	for _, x := range f.findings {
		if x.Severity == s && x.By == nil {
			n++
		}
	}
	return n
}

// acknowledged is how many warnings somebody stands by.
func (f *farm) acknowledged() int {
	n := 0
	for _, x := range f.findings {
		if x.By != nil {
			n++
		}
	}
	return n
}

func (t *terminal) summary(f *farm) {
	id, n := "command.checked", f.acknowledged()
	if n > 0 {
		id = "command.checked_acknowledged"
	}
	t.say(f.voice, id, "protocols", f.files, "acknowledged", n,
		"errors", f.count(protocol.Error), "warnings", f.count(protocol.Warning), "notes", f.count(protocol.Note))
}

// findingReport is a finding as JSON.
type findingReport struct {
	Severity string `json:"severity"`
	Rule     string `json:"rule"`
	File     string `json:"file"`
	Line     int    `json:"line"`
	Column   int    `json:"column"`
	Protocol string `json:"protocol"`
	What     string `json:"what"`
	Why      string `json:"why"`
	Hint     string `json:"hint"`
	Source   string `json:"source"`

	Acknowledged *acknowledgedReport `json:"acknowledged,omitempty"`
}

// acknowledgedReport is who stands by a warning, as JSON.
type acknowledgedReport struct {
	Who    string `json:"who"`
	On     string `json:"on"`
	Reason string `json:"reason"`
}

func reportFindings(v *words.Voice, list []protocol.Finding) []findingReport {
	out := []findingReport{}
	for _, f := range list {
		report := findingReport{
			Severity: f.Severity.String(), Rule: f.Rule,
			File: f.Place.File, Line: f.Place.Line, Column: f.Place.Column,
			Protocol: f.Subject, What: v.Say(f.What), Why: v.Say(f.Why), Hint: v.Say(f.Hint), Source: f.Source,
		}
		if f.By != nil {
			report.Acknowledged = &acknowledgedReport{f.By.Who, f.By.On, f.By.Reason}
		}
		out = append(out, report)
	}
	return out
}

func checkReport(f *farm, record *results.Record) any {
	type one struct {
		Name        string `json:"name"`
		Title       string `json:"title"`
		Fingerprint string `json:"fingerprint"`
		BatchSizes  []int  `json:"batch_sizes"`
	}
	report := struct {
		Schema    string          `json:"schema"`
		Errors    int             `json:"errors"`
		Warnings  int             `json:"warnings"` // those that nobody acknowledged
		Stood     int             `json:"acknowledged"`
		Notes     int             `json:"notes"`
		Protocols []one           `json:"protocols"`
		Findings  []findingReport `json:"findings"`
		Results   *resultsReport  `json:"results,omitempty"` // with --results
	}{
		Schema: "bottlecrop check 1",
		Errors: f.count(protocol.Error), Warnings: f.count(protocol.Warning), Stood: f.acknowledged(), Notes: f.count(protocol.Note),
		Protocols: []one{}, Findings: reportFindings(f.voice, f.findings),
	}
	if record != nil {
		report.Results = reportResults(f, record)
	}
	for _, p := range f.folder.Protocols {
		report.Protocols = append(report.Protocols, one{p.Name, p.Title, f.folder.Fingerprint(p.Name), p.BatchSizes})
	}
	return report
}
