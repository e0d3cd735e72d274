package cli

import (
	"context"
	"errors"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"

	"github.com/spf13/cobra"
)

// moveOptions are those of dewgap move.
type moveOptions struct {
	question
	moved
}

// moved is what a plan is moved by.
type moved struct {
	plan       string
	rain, left []string
	ladder     bool
}

// movedFlags adds them.
func (m *moved) movedFlags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&m.plan, "plan", "", "`FILE` with a week or move --json, or its plan alone, to be moved (default: the newest plan of the book)")
	f.StringArrayVar(&m.rain, "rain", nil, "FROM/TO[/MM]: rain that the book has not, by the clock at the place; may be given several times")
	f.StringArrayVar(&m.left, "left", nil, "STEP@ZONE=hazing, buffed or uncured[/SHARE][/FROM/TO]: how work was left; may be given several times")
}

// given reports whether any of them is.
func (m *moved) given() bool {
	return m.plan != "" || len(m.rain)+len(m.left) > 0
}

func newMove(env Env) *cobra.Command {
	var o moveOptions
	c := &cobra.Command{
		Use:   "move",
		Short: "After rain or a lost day: what is spoiled, and what moves where",
		Long: `Move says what rain has made of the work on each zone, and moves the plan the least
that it can be: before and after side by side with the reason for every move, and a
message for the owner. Where no plan is left it tries the ways to get on.

It moves the newest plan of the book, or that of --plan. Rain and work that the book
has (dewgap log rain, dewgap log done) count; --rain and --left add to them. The share
of --left is that of the zone, its times are those at which the first and the last
section were put on; without them they are those of the work logged.

It exits 0 with a plan, 13 if the plan waits for your yes, 11 if there is none, 12 if
only missing data is in the way of one: what was agreed then stands.`,
		Example: `  dewgap move --job job.yaml
  dewgap move --job job.yaml --plan week.json --rain 11:40/12:30/4
  dewgap move --job job.yaml --left "seal@port side=buffed/60%/08:20/10:40" --left "seal@port side=hazing/40%/11:00/11:30"
  dewgap week --demo --json > week.json
  dewgap move --demo --plan week.json`,
		Args: noArgs,
	}
	o.ways = waysWithJob
	o.flags(c)
	o.movedFlags(c)
	c.Flags().BoolVar(&o.ladder, "ladder", false, "try the ways to get on even where there is a plan")
	c.RunE = asked(o.check, func(ctx context.Context, s *settings.Settings) error { return runMove(ctx, env, s, o) })
	return c
}

// runMove answers dewgap move.
func runMove(ctx context.Context, env Env, s *settings.Settings, o moveOptions) error {
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	m, err := o.move(ctx, a, request)
	if err != nil {
		return err
	}
	if err := o.show(env, m, func() error { return text.Move(env.Stdout, m, o.options(env, s)) }); err != nil {
		return err
	}
	return movedTo(m.Verdict)
}

// movedTo turns the state of a moved plan into what Execute makes the exit code of.
func movedTo(state string) error {
	if state == answer.None {
		state = answer.NoGo
	}
	return settled(codeOfVerdict(state))
}

// move has the plan moved.
func (m *moved) move(ctx context.Context, a *app.App, r app.Request) (*answer.Move, error) {
	q, err := m.request(a, r)
	if err != nil {
		return nil, err
	}
	if q.Plan == nil && (a.Book == nil || r.File == nil) {
		return nil, noPlan(r, false)
	}
	out, err := a.Move(ctx, q)
	if errors.Is(err, app.ErrNoPlan) {
		return nil, noPlan(r, true)
	}
	return out, err
}

// noPlan says how to come by a plan, for the demo too. Of a job whose book is kept dewgap week
// may have found none: what the rain has spoiled is told without.
func noPlan(r app.Request, kept bool) error {
	fix := "give --plan FILE (a saved dewgap week --json), or dewgap book init and dewgap week first"
	if kept {
		fix = "ask dewgap week first, which says why where it finds none; what rain has spoiled is among the notes of dewgap morning too"
	}
	if r.File != nil && r.File.Name == demo.JobName {
		fix = "dewgap week --demo --json > week.json, then dewgap move --demo --plan week.json"
	}
	return &usageError{"there is no plan to move: the book has none for this job, and --plan is not given", fix}
}
