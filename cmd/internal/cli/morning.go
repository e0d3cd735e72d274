package cli

import (
	"context"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"
	"dewgap/window/job"

	"github.com/spf13/cobra"
)

// morningOptions are those of dewgap morning.
type morningOptions struct {
	question
	readings string
}

func newMorning(env Env) *cobra.Command {
	var o morningOptions
	c := &cobra.Command{
		Use:   "morning",
		Short: "Go, wait until when, or no-go today",
		Long: `Morning answers on the dock: may work begin now, later today, or not at all. It
judges what is planned for today, else the steps whose predecessors are done (zone
key done in the job, and dewgap log done), and tells of all others.

What was measured outranks the forecast: readings of a file (--readings), and those
of the last 36 hours that dewgap reading add wrote into the book.`,
		Example: `  dewgap morning --demo
  dewgap morning --job job.yaml --readings readings.yaml
  dewgap morning --job job.yaml --now 2026-09-10T06:10:00-04:00`,
		Args: noArgs,
	}
	o.ways = waysWithQuick
	o.flags(c)
	o.quickFlags(c)
	c.Flags().StringVar(&o.readings, "readings", "", "`FILE` of what was measured on the dock (dewgap reading add --to FILE writes one)")
	c.RunE = asked(o.check, func(ctx context.Context, s *settings.Settings) error { return runMorning(ctx, env, s, o) })
	return c
}

// runMorning answers dewgap morning.
func runMorning(ctx context.Context, env Env, s *settings.Settings, o morningOptions) error {
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	if err := o.read(&request, a); err != nil {
		return err
	}
	morning, err := a.Morning(ctx, request)
	if err != nil {
		return err
	}
	if err := o.show(env, morning, func() error { return text.Morning(env.Stdout, morning, o.options(env, s)) }); err != nil {
		return err
	}
	return settled(codeOfVerdict(morning.Verdict))
}

// read puts the readings file into the request.
func (o morningOptions) read(r *app.Request, a *app.App) error {
	if o.readings == "" {
		return nil
	}
	data, err := app.ReadFile(o.readings, largestJob)
	if err != nil {
		return err
	}
	r.Readings = func(j *job.Job) ([]job.Reading, error) {
		return job.ParseReadings(o.readings, data, job.ReadingOptions{
			Location: j.Location(), Zones: j.Zones, Classes: a.Classes, Now: a.Clock.Now(),
		})
	}
	return nil
}
