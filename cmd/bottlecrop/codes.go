package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// mostOnADay is up to how many batches of a protocol on one day their codes are held to
// be apart from those of the others (design choice).
const mostOnADay = 100

// judgeCodes finds protocols whose batches would have the codes of another's, or no
// code that fits on a label, and labels that are too small for a QR code.
func (f *farm) judgeCodes() {
	f.judgeCodeRule()
	e := f.edition()
	told := map[string]bool{}
	mm := func(l unit.Length) unit.Amount {
		return unit.Amount{Kind: unit.LengthOf, Value: float64(l), Unit: "mm", Digits: 3}
	}
	for _, x := range f.entries {
		for _, b := range x.Batches {
			for kind, least := range e.TooSmall(b) {
				if told[kind] {
					continue
				}
				told[kind] = true
				f.add([]protocol.Finding{{Severity: protocol.Note, Rule: "label." + kind, Origin: protocol.InFarm("labels." + kind + ".width"),
					What: words.Message("finding.label." + kind), Why: words.Message("finding.label.none.why"),
					Hint: words.Message("finding.label.none.hint", "width", mm(least[0]), "height", mm(least[1]))}})
			}
		}
	}
}

// judgeCodeRule holds the codes of all protocols beside each other, for batches of one
// day: which day makes no difference, since each form of it is as long on every day.
func (f *farm) judgeCodeRule() {
	rule, written := f.folder.Farm.CodeRule(), protocol.InFarm("batch_code")
	severity := protocol.Error
	if f.folder.Farm.BatchCode == "" {
		severity = protocol.Warning // the farm did not choose it
	}
	if _, fault := protocol.ParseCodeRule(f.folder.Farm.BatchCode); fault != nil && f.folder.Farm.BatchCode != "" {
		return // which the reader has told
	}
	some, err := calendar.On(2026, 3, 14)
	if err != nil {
		panic(err) // it is a day
	}
	day := some.Mixing()
	whose := map[string]string{}
	for _, p := range f.folder.Protocols {
		add := func(severity protocol.Severity, rule string, at working.Origin, what, hint protocol.Message) {
			f.add([]protocol.Finding{{Severity: severity, Rule: "code." + rule, Origin: at, What: what, Hint: hint}})
		}
		if rule.NeedsNumber() && (p.Control == nil || p.Control.Number == "") {
			add(protocol.Error, "number", working.Origin{Document: protocol.Document(p.Name), Key: "document"}, words.Message("finding.code.number"), words.Message("finding.code.number.hint"))
			continue
		}
		code := rule.Code(p, day, 1)
		if n := len(code); n > protocol.BatchCodeMost {
			add(severity, "long", written, words.Message("finding.code.long", "protocol", p.Name, "code", code, "n", n, "most", protocol.BatchCodeMost),
				words.Message("finding.code.long.hint", "example", "{document}-{mixed-short}"))
		}
		for nth := 1; nth <= mostOnADay; nth++ {
			key := protocol.CodeKey(rule.Code(p, day, nth))
			if other, taken := whose[key]; taken && other != p.Name {
				add(protocol.Error, "same", written, words.Message("finding.code.same", "protocol", p.Name, "other", other, "code", rule.Code(p, day, nth)), words.Message("finding.code.same.hint"))
				break
			}
			whose[key] = p.Name
		}
	}
}

// batchFlags say of which batch documents are printed.
type batchFlags struct{ code, mixed string }

func (x *batchFlags) of(c *cobra.Command) {
	c.Flags().StringVar(&x.code, "batch", "", "the `code` of the batch that it is for")
	c.Flags().StringVar(&x.mixed, "mixed", "", "the `day` of the batch's first mix, such as 2026-12-01: its code is made of it")
}

func (x batchFlags) read() error {
	switch {
	case x.code != "" && x.mixed != "":
		return usage(words.Message("print.mixed_or_batch"))
	case x.code != "" && !protocol.IsBatchCode(x.code):
		return usage(words.Message("print.batch", "found", strconv.Quote(x.code), "most", protocol.BatchCodeMost))
	case x.mixed != "":
		_, err := dayOf("--mixed", x.mixed)
		return err
	}
	return nil
}

// batch is what the documents say of it.
func (x batchFlags) batch(f *farm, of protocol.Protocol) leaf.BatchOf {
	if d, err := calendar.Parse(x.mixed); err == nil {
		return leaf.BatchOf{Code: f.folder.Farm.CodeRule().Code(of, d.Mixing(), 1), Mixed: x.mixed}
	}
	return leaf.BatchOf{Code: x.code}
}

// address is where the pages of a book are that has the batch in that language; "" for
// a size that the farm's book does not have.
func (s spoken) address(folder string) string {
	at, tag := s.farm.folder.Farm.BookAddress, s.farm.voice.Tag()
	switch {
	case at == "" || !slices.Contains(s.batch.Process.Input.Protocol.BatchSizes, s.batch.Vessels):
		return ""
	case folder == "" && tag != s.farm.languages()[0]:
		return strings.TrimSuffix(at, "/") + "/" + tag + "/"
	}
	return at
}
