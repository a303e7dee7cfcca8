package main

import (
	"errors"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// spokenFlag is --language: of the farm's languages, those that a document is printed
// in. What the terminal says of it is in the farm's first.
type spokenFlag struct {
	text string
	most int // how many languages the document can have
}

func (s *spokenFlag) of(c *cobra.Command, most int, help string) {
	s.most = most
	c.Flags().StringVar(&s.text, "language", "", help)
}

// tags are the farm's languages that were asked for, its first where none was.
func (s spokenFlag) tags(f *farm) ([]string, error) {
	if s.text == "" {
		return f.languages()[:1], nil
	}
	var out []string
	for _, asked := range strings.Split(s.text, ",") {
		asked = strings.TrimSpace(asked)
		switch _, err := words.In(asked, unit.Metric); {
		case errors.Is(err, words.ErrNoLanguage):
			return nil, notSpoken("none", asked, words.Languages())
		case err != nil:
			return nil, notSpoken("tag", asked, f.languages())
		}
		i := slices.IndexFunc(f.languages(), func(tag string) bool { return base(tag) == base(asked) })
		if i < 0 {
			return nil, notSpoken("unlisted", asked, f.languages())
		}
		if tag := f.languages()[i]; !slices.Contains(out, tag) {
			out = append(out, tag)
		}
	}
	if len(out) > s.most {
		return nil, usage(words.Message("language.flag.most", "n", len(out), "most", s.most))
	}
	return out, nil
}

func notSpoken(why, found string, list []string) error {
	return &failure{misused, words.Message("language.flag."+why, "found", found), words.Message("language.flag."+why+".hint", "list", strings.Join(list, ", "))}
}

// spoken is a batch of a farm in one of its languages.
type spoken struct {
	farm  *farm
	batch *batch.Batch
}

// spoken works out a batch in each of several languages of the farm: what was said of the
// first one is not said again. The batch is that of the farm's first language.
func (t *terminal) spoken(f *farm, flag spokenFlag, work func(*farm) (*batch.Batch, error)) ([]spoken, error) {
	tags, err := flag.tags(f)
	if err != nil {
		return nil, err
	}
	var told []*farm // before the batch is worked out, what was found is that of the files alone
	for _, tag := range tags {
		one := f
		if tag != f.languages()[0] {
			if one, err = f.retold(tag); err != nil {
				return nil, err
			}
			one.findings = slices.Clone(f.findings)
		}
		told = append(told, one)
	}
	b, err := work(f)
	if err == nil || errors.Is(err, errFaulty) {
		t.findings(f.voice, f.findings, false)
	}
	if err != nil {
		return nil, err
	}
	var out []spoken
	for _, one := range told {
		own := b
		if one != f {
			if own, err = work(one); err != nil {
				return nil, err
			}
		}
		out = append(out, spoken{one, own})
	}
	return out, nil
}
