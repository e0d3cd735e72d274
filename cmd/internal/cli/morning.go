package cli

import (
	"context"

	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"

	"github.com/spf13/cobra"
)

// morningOptions are those of dewgap morning.
type morningOptions struct{ question }

func newMorning(env Env) *cobra.Command {
	var o morningOptions
	c := &cobra.Command{
		Use:   "morning",
		Short: "Go, wait until when, or no-go today",
		Long: `Morning answers on the dock: may work begin now, later today, or not at all. It
judges the steps whose predecessors are done (zone key done in the job), and
tells of all others.`,
		Example: `  dewgap morning --demo
  dewgap morning --job job.yaml --now 2026-09-10T06:10:00-04:00`,
		Args: noArgs,
	}
	o.ways = waysWithQuick
	o.flags(c)
	o.quickFlags(c)
	c.RunE = runE(func(c *cobra.Command, _ []string) error {
		if err := o.check(c); err != nil {
			return err
		}
		s, err := loadSettings(c)
		if err != nil {
			return err
		}
		return runMorning(c.Context(), env, s, o)
	})
	return c
}

// runMorning answers dewgap morning.
func runMorning(ctx context.Context, env Env, s *settings.Settings, o morningOptions) error {
	a, request, err := o.app(env, s)
	if err != nil {
		return err
	}
	morning, err := a.Morning(ctx, request)
	if err != nil {
		return err
	}
	if o.json {
		err = write(env, morning)
	} else {
		err = text.Morning(env.Stdout, morning, o.options(env, s))
	}
	if err != nil {
		return err
	}
	return settled(morning.Verdict)
}
