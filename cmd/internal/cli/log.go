package cli

import (
	"context"
	"fmt"
	"slices"
	"strconv"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/settings"

	"github.com/spf13/cobra"
)

func newLog(env Env) *cobra.Command {
	c := &cobra.Command{
		Use:   "log",
		Short: "Record in the book what was done, what fell and what became of it",
		Long: `Log records in the book, which is made if there is none. Week, morning and why then
count it for this job: work that is done is asked no more, rain begins the drying
anew, work to be redone is asked again. Nothing is deleted: --corrects and dewgap
log undo add to what is there.`,
		Args: noArgs,
	}
	c.AddCommand(newLogDone(env), newLogRain(env), newLogOutcome(env), newLogUndo(env))
	return c
}

// logOptions are those of the commands beneath dewgap log.
type logOptions struct {
	record
	step, at, from, to, by, note, found string
	zones, but                          []string
	share, mm                           float64
	coat                                int
	planned                             bool
}

// work adds the flags that name work.
func (o *logOptions) work(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.step, "step", "", "step of the job, by its name")
	f.StringArrayVar(&o.zones, "zone", nil, "zone of the boat; may be given several times")
	f.StringVar(&o.at, "at", "", "moment by the clock at the place: 09:00 today, 2026-09-10T09:00, or with an offset (default: now)")
	f.StringVar(&o.by, "by", "", "who did it, or looked at it")
	f.StringVar(&o.note, "note", "", "a word for yourself")
}

func (o *logOptions) checkWork() error {
	if o.step == "" || len(o.zones) == 0 {
		return &usageError{"--step and --zone are needed", `for example --step wash --zone "port side"`}
	}
	if slices.Contains(o.zones, "") {
		return &usageError{"--zone names no zone", `for example --zone "port side"`}
	}
	if o.corrects > 0 && len(o.zones) > 1 {
		return &usageError{"one entry is corrected by one", "give a single --zone"}
	}
	return o.check("")
}

// checkPlanned refuses what cannot be meant beside --planned.
func (o *logOptions) checkPlanned(c *cobra.Command) error {
	if !o.planned {
		return &usageError{"--but goes with --planned", "else name the zones: --zone"}
	}
	for _, name := range []string{"zone", "share", "coat", "corrects"} {
		if c.Flags().Changed(name) {
			return &usageError{"--" + name + " and --planned exclude one another", "leave zones out with --but, and log what went otherwise by name"}
		}
	}
	return o.check("")
}

// run makes a command of what it checks and writes.
func (o *logOptions) run(env Env, check func(c *cobra.Command) error,
	write func(ctx context.Context, a *app.App, r app.Request) (*answer.Logged, error),
) func(*cobra.Command, []string) error {
	return asked(check, func(ctx context.Context, s *settings.Settings) error {
		a, r, err := o.request(env, s, o.at, o.from, o.to)
		if err != nil {
			return err
		}
		return o.into(ctx, env, s, a, func() (*answer.Logged, error) { return write(ctx, a, r) })
	})
}

func newLogDone(env Env) *cobra.Command {
	var o logOptions
	c := &cobra.Command{
		Use:   "done",
		Short: "Work that was done on a zone, or a share of it",
		Long: `Done records work on a zone. A share counts all that is done of it so far, not what
was done just now: of a side that is sealed in thirds log --share 1/3, then --share
2/3, then the whole without --share. 98% and more is the whole, and 33% of three coats
is the first of them. What is logged later outranks what was logged before.

With --planned it records the work of today, or of the day of --at, as the plan in force
has it: every block at its planned end, of --step alone or of all steps, --but the zones
that went otherwise. It lists each. Left out, with the reason, is what may have gone
otherwise: rain in its hours, a move or a plan made anew on purpose since, a part that is
logged, a block that the plan still has under way; --at says when all that was begun was
over, of which none had less than half of its planned time.`,
		Example: `  dewgap log done --job job.yaml --step wash --zone "port side" --zone foredeck
  dewgap log done --job job.yaml --step correct --zone "port side" --share 50% --at 11:40
  dewgap log done --job job.yaml --planned
  dewgap log done --job job.yaml --planned --step wash --but foredeck --at 17:30`,
		Args: noArgs,
	}
	o.flags(c)
	o.work(c)
	share := c.Flags().String("share", "1", "how much of the zone is done so far, in all: 0.5, 50% or 1/3")
	c.Flags().IntVar(&o.coat, "coat", 0, "the coat that is on now, of a step with several: 1 after the first (default: all of them)")
	c.Flags().BoolVar(&o.planned, "planned", false, "the work of the day as the plan in force has it")
	c.Flags().StringArrayVar(&o.but, "but", nil, "with --planned: zone that is left out; may be given several times")
	check := func(c *cobra.Command) error {
		var err error
		if o.planned || len(o.but) > 0 {
			return o.checkPlanned(c)
		}
		if c.Flags().Changed("coat") && o.coat < 1 {
			return &usageError{"--coat " + strconv.Itoa(o.coat) + " is no coat", "count from 1, the first coat"}
		}
		if o.share, err = shareOf(*share); err != nil {
			return err
		}
		return o.checkWork()
	}
	c.RunE = o.run(env, check, func(ctx context.Context, a *app.App, r app.Request) (*answer.Logged, error) {
		if o.planned {
			return a.LogPlanned(ctx, app.PlannedRequest{Request: r, Step: o.step, But: o.but, At: momentOf("at", o.at), Over: o.at != "",
				By: o.by, Note: o.note})
		}
		return a.LogDone(ctx, app.DoneRequest{Request: r, Step: o.step, Zones: o.zones, Share: o.share, Coat: o.coat,
			At: momentOf("at", o.at), By: o.by, Note: o.note, Corrects: o.corrects})
	})
	return c
}

func newLogRain(env Env) *cobra.Command {
	var o logOptions
	c := &cobra.Command{
		Use:     "rain",
		Short:   "Rain that fell on the boat",
		Example: `  dewgap log rain --job job.yaml --from 13:10 --to 13:40 --mm 4`,
		Args:    noArgs,
	}
	o.flags(c)
	f := c.Flags()
	f.StringVar(&o.from, "from", "", "when it began, by the clock at the place: 13:10 today, or 2026-09-10T13:10")
	f.StringVar(&o.to, "to", "", "when it ended (default: now)")
	f.Float64Var(&o.mm, "mm", 0, "how much fell, mm")
	f.StringVar(&o.note, "note", "", "a word for yourself")
	check := func(c *cobra.Command) error {
		switch {
		case o.from == "":
			return &usageError{"--from is needed", "for example --from 13:10 --to 13:40"}
		case c.Flags().Changed("mm") && !(o.mm > 0 && o.mm <= 1000):
			return &usageError{"--mm " + strconv.FormatFloat(o.mm, 'g', -1, 64) + " is no amount of rain", "give mm above 0, up to 1000, or leave it out"}
		}
		return o.check("")
	}
	c.RunE = o.run(env, check, func(ctx context.Context, a *app.App, r app.Request) (*answer.Logged, error) {
		rain := app.RainRequest{Request: r, From: momentOf("from", o.from), To: momentOf("to", o.to), Note: o.note, Corrects: o.corrects}
		if o.mm > 0 {
			rain.MM = &o.mm
		}
		return a.LogRain(ctx, rain)
	})
	return c
}

func newLogOutcome(env Env) *cobra.Command {
	var o logOptions
	c := &cobra.Command{
		Use:   "outcome",
		Short: "What became of work: ok, inspect or redo",
		Long: "Outcome records what was found later. Work to be redone counts as not done, until it\n" +
			"is logged as done again or a later look finds it ok. What was entered by mistake is\n" +
			"put right with --corrects or dewgap log undo --outcome.",
		Example: `  dewgap log outcome --job job.yaml --step seal --zone "port side" --found redo --note "rain at 16:00"`,
		Args:    noArgs,
	}
	o.flags(c)
	o.work(c)
	found := []string{book.FoundOK, book.FoundInspect, book.FoundRedo}
	c.Flags().StringVar(&o.found, "found", "", "ok, inspect or redo")
	complete(c, "found", func() []string { return found })
	check := func(*cobra.Command) error {
		if !slices.Contains(found, o.found) {
			return &usageError{fmt.Sprintf("--found %q is none of ok, inspect and redo", o.found), "give one of them"}
		}
		return o.checkWork()
	}
	c.RunE = o.run(env, check, func(ctx context.Context, a *app.App, r app.Request) (*answer.Logged, error) {
		return a.LogOutcome(ctx, app.OutcomeRequest{Request: r, Step: o.step, Zones: o.zones, Found: o.found,
			At: momentOf("at", o.at), By: o.by, Note: o.note, Corrects: o.corrects})
	})
	return c
}

// undoOptions are those of dewgap log undo.
type undoOptions struct {
	done, outcome, reading int64
	record
}

func newLogUndo(env Env) *cobra.Command {
	var o undoOptions
	c := &cobra.Command{
		Use:   "undo",
		Short: "Take an entry back that did not happen; the book keeps both",
		Example: `  dewgap log undo --done 3
  dewgap log undo --reading 7`,
		Args: noArgs,
	}
	f := c.Flags()
	f.Int64Var(&o.done, "done", 0, "number of work done (dewgap book show)")
	f.Int64Var(&o.outcome, "outcome", 0, "number of an outcome")
	f.Int64Var(&o.reading, "reading", 0, "number of a reading or of rain")
	f.BoolVar(&o.json, "json", false, "the answer as one line of JSON; failures as JSON on stderr")
	o.book.flags(c, false)
	c.RunE = runE(func(c *cobra.Command, _ []string) error {
		kind, id, err := o.which()
		if err != nil {
			return err
		}
		s, err := loadSettings(c)
		if err != nil {
			return err
		}
		return runUndo(c.Context(), env, s, o, kind, id)
	})
	return c
}

// which is the one entry that is meant.
func (o undoOptions) which() (kind string, id int64, err error) {
	for _, x := range []struct {
		kind string
		id   int64
	}{{app.UndoDone, o.done}, {app.UndoOutcome, o.outcome}, {app.UndoReading, o.reading}} {
		switch {
		case x.id == 0:
		case id != 0 || x.id < 0:
			return "", 0, &usageError{"one entry is taken back at a time, by its number", "for example dewgap log undo --done 3"}
		default:
			kind, id = x.kind, x.id
		}
	}
	if id == 0 {
		return "", 0, &usageError{"no entry to take back", "for example dewgap log undo --done 3; dewgap book show lists the numbers"}
	}
	return kind, id, nil
}

// runUndo answers dewgap log undo.
func runUndo(ctx context.Context, env Env, s *settings.Settings, o undoOptions, kind string, id int64) error {
	b, err := o.book.open(ctx, env, s, bookNeeded)
	if err != nil {
		return err
	}
	defer func() { _ = b.Close() }() // what was recorded is on the disk
	a := &app.App{Book: app.Stored{Book: b}}
	out, err := a.Undo(ctx, kind, id)
	if err != nil {
		return err
	}
	out.File = b.Path()
	return o.tell(env, out)
}
