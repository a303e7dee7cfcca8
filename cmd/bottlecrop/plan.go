package main

import (
	"errors"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// planFlags are the flags of plan as they were written.
type planFlags struct {
	sizeFlags
	start, deliver, asOf, ical, code, remind, revision string
	safely, asJSON                                     bool
}

func planCommand(t *terminal, s *settings) *cobra.Command {
	var flags planFlags
	c := &cobra.Command{
		Use:   "plan PROTOCOL {--bottles N | --good N} {--start DATE | --deliver DATE}",
		Short: "Put a batch on days",
		Long: `plan puts each task of a batch on a day: forwards from the first mix, or backwards from
a delivery, as late as it can be. Stages are as long as they usually are; with --safely a
delivery is met by nine batches of ten.

  bottlecrop plan enoki-850 --bottles 48 --start 2026-12-01
  bottlecrop plan enoki-850 --bottles 48 --deliver 2027-02-01 --safely

What falls on a day that [week] of farm.toml does not have is moved. What bears to wait
goes to the next working day, what does not goes to the last one before, and a ripe crop
is picked on its day. Nothing is mixed before a day on which nobody puts in spawn.

--ical writes the plan for a calendar program, with days alone and no time zone. Each
entry is known by the farm, the protocol, the code of the batch, and its step: a new plan
of the same batch, with a higher --revision, moves them.`,
		Args: oneArgument("command.plan_needs_protocol"),
		RunE: func(_ *cobra.Command, args []string) error {
			asked, err := flags.read()
			if err != nil {
				return err
			}
			f, err := openFarm(s)
			if err != nil {
				return err
			}
			b, err := f.worked(args[0], asked.size, nil, false)
			if err == nil || errors.Is(err, errFaulty) {
				t.findings(f.voice, f.findings, false)
			}
			if err != nil {
				return err
			}
			return t.plan(f, b, asked)
		},
	}
	c.ValidArgsFunction = protocolNames(s)
	flags.sizeFlags.of(c)
	c.Flags().StringVar(&flags.start, "start", "", "the first `day` for mixing, such as 2026-12-01")
	c.Flags().StringVar(&flags.deliver, "deliver", "", "the `day` by which all is picked")
	c.Flags().BoolVar(&flags.safely, "safely", false, "deliver in nine batches of ten, not as a rule")
	c.Flags().StringVar(&flags.asOf, "as-of", "", "the `day` that counts as today: no delivery may need an earlier start")
	c.Flags().StringVar(&flags.ical, "ical", "", "write the plan for a calendar program into this `file`")
	c.Flags().StringVar(&flags.code, "batch", "", "the `code` of the batch, as on its cards, for --ical")
	c.Flags().StringVar(&flags.revision, "revision", "", "`number` of the plan for --ical, higher with each that is handed out; 0 if left out")
	c.Flags().StringVar(&flags.remind, "remind", "", "`time` of the evening before at which --ical reminds, such as 18:00")
	c.Flags().BoolVar(&flags.asJSON, "json", false, "print JSON")
	return c
}

// planned is what plan was asked for.
type planned struct {
	planFlags
	size      size
	from, due calendar.Date // one of them, as start or deliver is given
	today     *calendar.Date
	revision  int
	alarm     int // min before midnight; 0 for none
}

var timeOfDay = regexp.MustCompile(`^([01][0-9]|2[0-3]):([0-5][0-9])$`)

// mostCode is how long the code of a batch may be.
const mostCode = 40

func (x planFlags) read() (planned, error) {
	p := planned{planFlags: x}
	var err error
	if p.size, err = x.sizeFlags.read(); err != nil {
		return p, err
	}
	if (x.start == "") == (x.deliver == "") {
		return p, usage(words.Message("plan.needs_day"))
	}
	day := func(flag, text string) calendar.Date {
		d, e := calendar.Parse(text)
		if e != nil && err == nil {
			err = usage(words.Message("plan.date", "flag", flag, "found", text, "first", calendar.First.String(), "last", calendar.Last.String()))
		}
		return d
	}
	if x.start != "" {
		p.from = day("--start", x.start)
	} else {
		p.due = day("--deliver", x.deliver)
	}
	if x.asOf != "" {
		today := day("--as-of", x.asOf)
		p.today = &today
	}
	if err != nil {
		return p, err
	}
	if x.safely && x.deliver == "" {
		return p, usage(words.Message("plan.only_deliver", "flag", "--safely"))
	}
	return p, p.readICal()
}

// readICal reads the flags that belong to --ical.
func (p *planned) readICal() error {
	for _, f := range []struct{ flag, text string }{{"--batch", p.code}, {"--revision", p.planFlags.revision}, {"--remind", p.remind}} {
		if f.text != "" && p.ical == "" {
			return usage(words.Message("plan.only_ical", "flag", f.flag))
		}
	}
	if p.ical == "" {
		return nil
	}
	if p.code == "" {
		return usage(words.Message("plan.needs_batch"))
	}
	if len([]rune(p.code)) > mostCode || strings.ContainsFunc(p.code, func(r rune) bool { return r < ' ' || r == 0x7f || r == '\ufffd' }) {
		return usage(words.Message("plan.batch", "found", strconv.Quote(p.code)))
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

// workdays are the farm's: every day, where it says nothing. The reader has judged
// what it says.
func (f *farm) workdays() (calendar.Workdays, error) {
	if f.folder.Farm.Week == nil {
		return calendar.EveryDay(), nil
	}
	return calendar.NewWorkdays(f.folder.Farm.Week.Works, f.folder.Farm.Week.Holidays)
}

// plan is the whole command, for a batch that keeps within the limits.
func (t *terminal) plan(f *farm, b *batch.Batch, asked planned) error {
	w, err := f.workdays()
	if err != nil {
		return fail(atFault, words.Message("command.failed", "error", err.Error()))
	}
	var p *calendar.Plan
	if asked.start != "" {
		p, err = calendar.Forwards(b, w, asked.from)
	} else {
		basis := calendar.Usually
		if asked.safely {
			basis = calendar.Safely
		}
		p, err = calendar.Backwards(b, w, asked.due, basis, asked.today)
	}
	if err != nil {
		return notPlanned(err)
	}
	says := newTelling(f, b, p, asked.today)
	if asked.ical != "" {
		if err := says.write(asked); err != nil {
			return err
		}
	}
	if asked.asJSON {
		return t.json(says.report())
	}
	t.days(says)
	return nil
}

// notPlanned puts what the calendar refuses into words.
func notPlanned(err error) error {
	var late *calendar.TooLate
	var never *calendar.NoMixing
	var out *calendar.OutOfYears
	switch {
	case errors.As(err, &late):
		return &failure{atFault,
			words.Message("plan.too_late", "delivery", late.Delivery.String(), "start", late.Start.String(), "today", late.Today.String()),
			words.Message("plan.too_late.hint", "soonest", late.Soonest.String())}
	case errors.As(err, &never):
		return &failure{atFault, words.Message("plan.no_mixing", "from", never.From.String(), "n", never.Within),
			words.Message("plan.no_mixing.hint", "file", protocol.FarmDocument)}
	case errors.As(err, &out):
		return fail(misused, words.Message("plan.years", "day", out.Day.String(), "first", calendar.First.String(), "last", calendar.Last.String()))
	}
	return fail(atFault, words.Message("command.failed", "error", err.Error()))
}

// telling is a plan with the words for it.
type telling struct {
	farm   *farm
	batch  *batch.Batch
	plan   *calendar.Plan
	today  *calendar.Date // nil where nobody said
	titles map[work.StepID]protocol.Message
}

func newTelling(f *farm, b *batch.Batch, p *calendar.Plan, today *calendar.Date) telling {
	x := telling{f, b, p, today, map[work.StepID]protocol.Message{}}
	for _, s := range procedure.Build(b).Steps {
		x.titles[s.ID] = s.Title
	}
	return x
}

// title says what a task is.
func (x telling) title(task calendar.Task) protocol.Message {
	switch task.Step {
	case calendar.StartPlates:
		return words.Message("plan.spawn.plates", "jars", x.batch.Plates.Made)
	case calendar.SoakGrain, calendar.StartJars:
		for _, d := range x.batch.Demands {
			if d.Generation == task.Number && task.Step == calendar.SoakGrain {
				return words.Message("plan.spawn.soak", "jars", d.Jars, "n", d.Generation)
			}
			if d.Generation == task.Number {
				return words.Message("plan.spawn.jars", "jars", d.Made, "n", d.Generation)
			}
		}
	}
	title := x.titles[task.Step]
	if task.Cohort > 0 && len(x.plan.Cohorts) > 1 {
		if mixed := x.plan.Cohorts[task.Cohort-1].Mixing; mixed != task.Date {
			return words.Message("plan.several", "title", title, "date", mixed.String())
		}
	}
	return title
}

// note says why a task is on its day, where that is not plain.
func (x telling) note(task calendar.Task) protocol.Message {
	switch {
	case x.today != nil && task.Date < *x.today:
		return words.Message("plan.past", "today", x.today.String())
	case task.Step == work.HarvestCrop && task.Closed:
		return words.Message("plan.window.closed", "from", task.FirstDay.String(), "to", task.FinalDay.String())
	case task.Step == work.HarvestCrop:
		return words.Message("plan.window", "from", task.FirstDay.String(), "to", task.FinalDay.String())
	case task.Over > 0:
		return words.Message("plan.over", "due", task.Due.String(), "n", task.Over)
	case task.Closed:
		return words.Message("plan.closed")
	case task.Date != task.Due:
		return words.Message("plan.due", "due", task.Due.String())
	}
	return protocol.Message{}
}
