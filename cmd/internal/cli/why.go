package cli

import (
	"context"
	"errors"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"

	"github.com/spf13/cobra"
)

// whyOptions are those of dewgap why.
type whyOptions struct {
	question
	zone, with, moment string
}

func newWhy(env Env) *cobra.Command {
	var o whyOptions
	c := &cobra.Command{
		Use:   "why",
		Short: "Each limit of a product on a zone at an hour: value, bound, source",
		Example: `  dewgap why --demo --zone "port side" --with polymer-sealant --at 09:00
  dewgap why --job job.yaml --zone foredeck --with polymer-sealant --at 2026-09-10T09:00`,
		Args: noArgs,
	}
	o.ways = waysWithJob
	o.flags(c)
	f := c.Flags()
	f.StringVar(&o.zone, "zone", "", "zone of the boat")
	f.StringVar(&o.with, "with", "", "product class, or your own product")
	f.StringVar(&o.moment, "at", "", "moment by the clock at the place: 09:00 today, 2026-09-10T09:00, or with an offset (default: now)")
	complete(c, "with", catalogueIDs)
	check := func(c *cobra.Command) error {
		if err := o.check(c); err != nil {
			return err
		}
		if o.zone == "" || o.with == "" {
			return &usageError{"--zone and --with are needed", `for example --zone "port side" --with polymer-sealant`}
		}
		return nil
	}
	c.RunE = asked(check, func(ctx context.Context, s *settings.Settings) error { return runWhy(ctx, env, s, o) })
	return c
}

// runWhy answers dewgap why.
func runWhy(ctx context.Context, env Env, s *settings.Settings, o whyOptions) error {
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	if _, ok := a.Classes.Class(o.with); !ok {
		return ofFlag("with", unknownProduct(o.with, a.Classes))
	}
	when := func(loc *time.Location) (time.Time, error) { return o.when(a.Clock.Now(), loc) }
	why, err := a.Why(ctx, app.WhyRequest{Request: request, Zone: o.zone, Class: o.with, At: when})
	if p, ok := errors.AsType[*app.Problem](err); ok && errors.Is(err, app.ErrNoZone) {
		return &usageError{"--zone: " + p.Text, p.Fix}
	}
	if err != nil {
		return err
	}
	return o.show(env, why, func() error { return text.Why(env.Stdout, why, o.options(env, s)) })
}

// when reads --at by the clock at the place.
func (o whyOptions) when(now time.Time, loc *time.Location) (time.Time, error) {
	return momentAt("at", o.moment, now, loc)
}
