package cli

import (
	"context"

	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"

	"github.com/spf13/cobra"
)

// weekOptions are those of dewgap week.
type weekOptions struct {
	question
	hours bool
	anew  bool
}

func newWeek(env Env) *cobra.Command {
	var o weekOptions
	c := &cobra.Command{
		Use:   "week",
		Short: "Which day, which side of the boat, in which order",
		Long: `Week answers a week ahead: when each step of the job can be done on each zone,
what decides it, how sure that is, and why the other days are no good. It plans the
whole job: who does what, where and when, so that it holds together.

Where there is a book (dewgap book init), the answer to a job file is recorded in it,
and what is done (dewgap log done) is planned no more. From the first block
of a plan that is logged to its last, and once it was moved, it stands: week holds it
against the newest forecast and says where it does not hold any longer. dewgap move
then changes as little as it can, --anew plans all that is left to do from nothing.`,
		Example: `  dewgap week --demo
  dewgap week --job job.yaml --units us
  dewgap week --at 43.07,-70.74 --kind sailing-yacht --length 11m --bow 200 --json`,
		Args: noArgs,
	}
	o.ways = waysWithQuick
	o.flags(c)
	o.quickFlags(c)
	c.Flags().BoolVar(&o.hours, "hours", false, "the hours of every zone as well, and every day of a boat of very many zones")
	c.Flags().BoolVar(&o.anew, "anew", false, "plan anew even where a plan stands")
	c.RunE = asked(o.check, func(ctx context.Context, s *settings.Settings) error { return runWeek(ctx, env, s, o) })
	return c
}

// runWeek answers dewgap week.
func runWeek(ctx context.Context, env Env, s *settings.Settings, o weekOptions) error {
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	request.WorkAlone = !o.json && !o.hours
	request.Hold, request.Anew = true, o.anew
	week, err := a.Week(ctx, request)
	if err != nil {
		return err
	}
	options := o.options(env, s)
	options.Hours = o.hours
	if err := o.show(env, week, func() error { return text.Week(env.Stdout, week, options) }); err != nil {
		return err
	}
	return settled(codeOfWeek(week.Verdict))
}
