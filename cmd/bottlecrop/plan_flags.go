package main

import (
	"regexp"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/words"
)

// planFlags are the flags of plan as they were written.
type planFlags struct {
	sizeFlags
	start, deliver, asOf, week, from, to string
	ical, code, remind, revision         string
	safely, asJSON, asCSV                bool
}

// planned is what plan was asked for.
type planned struct {
	planFlags
	size       size
	first, due calendar.Date // one of them, as start or deliver is given
	today      *calendar.Date
	narrow     *stretch // nil for all
	revision   int
	alarm      int // min before midnight; 0 for none
}

// stretch is from a day to another, both with it.
type stretch struct{ from, to calendar.Date }

func (s *stretch) has(d calendar.Date) bool { return s == nil || s.from <= d && d <= s.to }

var timeOfDay = regexp.MustCompile(`^([01][0-9]|2[0-3]):([0-5][0-9])$`)

// mostCode is how long the code of a batch may be.
const mostCode = 40

// dayOf reads the day that a flag gives.
func dayOf(flag, text string) (calendar.Date, error) {
	d, err := calendar.Parse(text)
	if err != nil {
		return 0, usage(words.Message("plan.date", "flag", flag, "found", text, "first", calendar.First.String(), "last", calendar.Last.String()))
	}
	return d, nil
}

// asOf reads the day that counts as today; nil where none is given.
func asOf(text string) (*calendar.Date, error) {
	if text == "" {
		return nil, nil
	}
	d, err := dayOf("--as-of", text)
	if err != nil {
		return nil, err
	}
	return &d, nil
}

// today is the day that counts as today: what a flag gives, else what the farm says,
// nil where neither does. A clock is never asked.
func (f *farm) today(flag *calendar.Date) *calendar.Date {
	if flag != nil || f.folder.Farm.AsOf == "" {
		return flag
	}
	d, err := calendar.Parse(f.folder.Farm.AsOf)
	if err != nil {
		return nil // the reader has refused it
	}
	return &d
}

// read reads the flags for one batch.
func (x planFlags) read() (planned, error) {
	p := planned{planFlags: x}
	for _, f := range []struct{ flag, text string }{{"--week", x.week}, {"--from", x.from}, {"--to", x.to}} {
		if f.text != "" {
			return p, usage(words.Message("plan.only_farm", "flag", f.flag))
		}
	}
	var err error
	if p.size, err = x.sizeFlags.read(); err != nil {
		return p, err
	}
	if (x.start == "") == (x.deliver == "") {
		return p, usage(words.Message("plan.needs_day"))
	}
	if x.start != "" {
		p.first, err = dayOf("--start", x.start)
	} else {
		p.due, err = dayOf("--deliver", x.deliver)
	}
	if err != nil {
		return p, err
	}
	if x.safely && x.deliver == "" {
		return p, usage(words.Message("plan.only_deliver", "flag", "--safely"))
	}
	if x.ical == "" && !x.asCSV && x.code != "" {
		return p, usage(words.Message("plan.only_ical", "flag", "--batch"))
	}
	if x.ical != "" && x.code == "" {
		return p, usage(words.Message("plan.needs_batch"))
	}
	if len([]rune(p.code)) > mostCode || strings.ContainsFunc(p.code, func(r rune) bool { return r < ' ' || r == 0x7f || r == '\ufffd' }) {
		return p, usage(words.Message("plan.batch", "found", strconv.Quote(p.code)))
	}
	return p, p.readShared()
}

// readFarm reads the flags for the whole farm.
func (x planFlags) readFarm() (planned, error) {
	p := planned{planFlags: x}
	for _, f := range []struct{ flag, text string }{{"--bottles", x.bottles}, {"--good", x.good}, {"--start", x.start}, {"--deliver", x.deliver}, {"--batch", x.code}} {
		if f.text != "" {
			return p, usage(words.Message("plan.only_batch", "flag", f.flag))
		}
	}
	switch {
	case x.week != "" && (x.from != "" || x.to != ""):
		return p, usage(words.Message("plan.week_or_days"))
	case x.week != "":
		monday, err := calendar.ParseWeek(x.week)
		if err != nil {
			return p, usage(words.Message("plan.week", "found", x.week))
		}
		p.narrow = &stretch{monday, monday + 6}
	case x.from != "" || x.to != "":
		p.narrow = &stretch{calendar.First, calendar.Last}
		var err error
		if x.from != "" {
			p.narrow.from, err = dayOf("--from", x.from)
		}
		if err == nil && x.to != "" {
			p.narrow.to, err = dayOf("--to", x.to)
		}
		if err != nil {
			return p, err
		}
		if p.narrow.to < p.narrow.from {
			return p, usage(words.Message("plan.backwards", "from", x.from, "to", x.to))
		}
	}
	return p, p.readShared()
}

// readShared reads the flags that both have.
func (p *planned) readShared() error {
	if p.asJSON && p.asCSV {
		return usage(words.Message("plan.json_or_csv"))
	}
	var err error
	if p.today, err = asOf(p.asOf); err != nil {
		return err
	}
	for _, f := range []struct{ flag, text string }{{"--revision", p.planFlags.revision}, {"--remind", p.remind}} {
		if f.text != "" && p.ical == "" {
			return usage(words.Message("plan.only_ical", "flag", f.flag))
		}
	}
	if text := p.planFlags.revision; text != "" {
		if !wholeNumber.MatchString(text) {
			return usage(words.Message("plan.revision", "found", text))
		}
		p.revision, _ = strconv.Atoi(text) // seven digits at most
	}
	if p.remind != "" {
		m := timeOfDay.FindStringSubmatch(p.remind)
		if m == nil || m[1] < "04" {
			return usage(words.Message("plan.remind", "found", p.remind))
		}
		hour, _ := strconv.Atoi(m[1])
		minute, _ := strconv.Atoi(m[2])
		p.alarm = 24*60 - hour*60 - minute
	}
	return nil
}
