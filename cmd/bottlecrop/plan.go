package main

import (
	"errors"
	"io"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

func planCommand(t *terminal, s *settings) *cobra.Command {
	var flags planFlags
	c := &cobra.Command{
		Use:   "plan [PROTOCOL {--bottles N | --good N} {--start DATE | --deliver DATE}]",
		Short: "Put a batch, or all that is ordered of the farm, on days",
		Long: `plan puts each task of a batch on a day: forwards from the first mix, or backwards from
a delivery, as late as it can be. Stages are as long as they usually are; with --safely a
delivery is met by nine batches of ten.

  bottlecrop plan enoki-850 --bottles 48 --start 2026-12-01
  bottlecrop plan enoki-850 --bottles 48 --deliver 2027-02-01 --safely

What falls on a day that [week] of farm.toml does not have is moved. What bears to wait
goes to the next working day, what does not goes to the last one before, and a ripe crop
is picked on its day. Nothing is mixed before a day on which nobody puts in spawn.

Without a protocol it plans the whole farm, from the deliveries in protocols/orders.toml
and the batches under way in protocols/results.toml, so that no more is taken than there
is. It says which deliveries are late, what is in their way, and what would mend it.

  bottlecrop plan --as-of 2026-12-01
  bottlecrop plan --week 2026-W50

--ical writes the plan for a calendar program, with days alone and no time zone. Each
entry is known by the farm, the protocol, the batch, and its step: a new plan of the same
batch, with a higher --revision, moves them. A batch is known by its code; in the plan
of the whole farm, one that is for a delivery is known by the order and the day.

--csv prints the tasks as a table for a spreadsheet. A cell that a spreadsheet would take
for a formula begins with an apostrophe.`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usage(words.Message("command.plan_needs_protocol", "n", len(args)))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return t.planFarm(s, flags)
			}
			asked, err := flags.read()
			if err != nil {
				return err
			}
			f, b, err := t.worked(s, args[0], asked.size, nil, false)
			if err != nil {
				return err
			}
			asked.today = f.today(asked.today)
			return t.plan(f, b, asked)
		},
	}
	c.ValidArgsFunction = protocolNames(s, 1)
	flags.sizeFlags.of(c)
	c.Flags().StringVar(&flags.start, "start", "", "the first `day` for mixing, such as 2026-12-01")
	c.Flags().StringVar(&flags.deliver, "deliver", "", "the `day` by which all is picked")
	c.Flags().BoolVar(&flags.safely, "safely", false, "deliver in nine batches of ten, not as a rule")
	c.Flags().StringVar(&flags.asOf, "as-of", "", "the `day` that counts as today: no delivery may need an earlier start")
	c.Flags().StringVar(&flags.week, "week", "", "of the whole farm, one `week` alone, such as 2026-W50")
	c.Flags().StringVar(&flags.from, "from", "", "of the whole farm, from this `day` on")
	c.Flags().StringVar(&flags.to, "to", "", "of the whole farm, up to this `day`")
	c.Flags().StringVar(&flags.ical, "ical", "", "write the plan for a calendar program into this `file`")
	c.Flags().StringVar(&flags.code, "batch", "", "the `code` of the batch, as on its cards, for --ical and --csv")
	c.Flags().StringVar(&flags.revision, "revision", "", "`number` of the plan for --ical, higher with each that is handed out; 0 if left out")
	c.Flags().StringVar(&flags.remind, "remind", "", "`time` of the evening before at which --ical reminds, such as 18:00")
	c.Flags().BoolVar(&flags.asJSON, "json", false, "print JSON")
	c.Flags().BoolVar(&flags.asCSV, "csv", false, "print the tasks as CSV (RFC 4180)")
	return c
}

// workdays are the farm's: every day, where it says nothing. The reader has judged
// what it says.
func (f *farm) workdays() (calendar.Workdays, error) { return leaf.Workdays(f.folder.Farm) }

// plan is the whole command, for a batch that keeps within the limits.
func (t *terminal) plan(f *farm, b *batch.Batch, asked planned) error {
	w, err := f.workdays()
	if err != nil {
		return fail(atFault, words.Message("command.failed", "error", err.Error()))
	}
	var p *calendar.Plan
	if asked.start != "" {
		p, err = calendar.Forwards(b, w, asked.first)
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
	one := onDays{farm: f, code: asked.code, identity: asked.code, batch: b, plan: p, Telling: leaf.Tell(b, p, asked.today)}
	if asked.ical != "" {
		name := words.Message("plan.calendar", "farm", f.folder.Farm.Name, "protocol", one.protocol().Name, "batch", asked.code)
		stamp := p.Start // a day that the plan itself has, where none is said
		if asked.today != nil {
			stamp = *asked.today
		}
		if err := f.writeICal(asked.ical, name, stamp, one.events(asked)); err != nil {
			return err
		}
	}
	return t.planned(asked, one.report, one.entries(), func() { t.days(one) })
}

// planned prints a plan as it was asked for.
func (t *terminal) planned(asked planned, report func() any, tasks []entry, text func()) error {
	switch {
	case asked.asJSON:
		return t.json(report())
	case asked.asCSV:
		return writeCSV(io.Writer(t), tasks)
	}
	text()
	return nil
}

// notPlanned puts what the calendar refuses into words.
func notPlanned(err error) error {
	what, hint, ok := leaf.Unplanned(err)
	var years *calendar.OutOfYears
	switch {
	case errors.As(err, &years):
		return fail(misused, what)
	case ok:
		return &failure{atFault, what, hint}
	}
	return fail(atFault, words.Message("command.failed", "error", err.Error()))
}

// onDays is a batch on its days, with the words for it.
type onDays struct {
	leaf.Telling
	farm     *farm
	code     string // "" where none was given
	identity string // by which a calendar knows it
	batch    *batch.Batch
	plan     *calendar.Plan
	room     func(calendar.Task) protocol.Message // nil where nothing is known
}

func (x onDays) protocol() protocol.Protocol { return x.batch.Process.Input.Protocol }

// entry is one task with the batch that it is of.
type entry struct {
	onDays
	calendar.Task
}

func (x onDays) entries() []entry {
	var out []entry
	for _, task := range x.plan.Tasks {
		out = append(out, entry{x, task})
	}
	return out
}
