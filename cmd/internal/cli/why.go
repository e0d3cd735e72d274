package cli

import (
	"context"
	"fmt"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"
	"dewgap/window/verdict"

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
		Short: "Every limit of one product on one zone at one moment: value, bound, source",
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
	c.RunE = runE(func(c *cobra.Command, _ []string) error {
		if err := o.check(c); err != nil {
			return err
		}
		if o.zone == "" || o.with == "" {
			return &usageError{"--zone and --with are needed", `for example --zone "port side" --with polymer-sealant`}
		}
		s, err := loadSettings(c)
		if err != nil {
			return err
		}
		return runWhy(c.Context(), env, s, o)
	})
	return c
}

// runWhy answers dewgap why.
func runWhy(ctx context.Context, env Env, s *settings.Settings, o whyOptions) error {
	a, request, err := o.app(env, s)
	if err != nil {
		return err
	}
	if _, ok := a.Classes.Class(o.with); !ok {
		return unknownProduct(o.with, a.Classes)
	}
	when := func(loc *time.Location) (time.Time, error) { return o.when(a.Clock.Now(), loc) }
	why, err := a.Why(ctx, app.WhyRequest{Request: request, Zone: o.zone, Class: o.with, At: when})
	if err != nil {
		return err
	}
	if o.json {
		return write(env, why)
	}
	return writeWhy(env, why, o.options(env, s))
}

// when reads --at by the clock at the place.
func (o whyOptions) when(now time.Time, loc *time.Location) (time.Time, error) {
	if o.moment == "" {
		return now, nil
	}
	if t, err := time.Parse(time.RFC3339, o.moment); err == nil {
		return t, nil
	}
	if t, err := time.ParseInLocation("2006-01-02T15:04", o.moment, loc); err == nil {
		return t, nil
	}
	if t, err := time.Parse("15:04", o.moment); err == nil {
		d := now.In(loc)
		return time.Date(d.Year(), d.Month(), d.Day(), t.Hour(), t.Minute(), 0, 0, loc), nil
	}
	return now, &usageError{fmt.Sprintf("--at %q is no moment", o.moment), "write 09:00, 2026-09-10T09:00, or with an offset 2026-09-10T09:00-04:00"}
}

// writeWhy writes one limit a line, the state by its word.
func writeWhy(env Env, w *answer.Why, o text.Options) error {
	_, err := fmt.Fprintf(env.Stdout, "%s with %s, %s: %s\n  %s\n\n", w.Zone, w.Product,
		w.At.Format("Mon 2 Jan 15:04"), strings.ToUpper(w.State), text.Because(w.Binding, o))
	for _, l := range w.Limits {
		line := text.Because(l.Binding, o)
		if l.Value == nil || (l.Limit == verdict.Cure.String() && l.State == verdict.Ideal.String()) {
			line = l.Text
		}
		if l.Waived {
			line += ", which does not count while the panel is this cool"
		}
		if err == nil {
			_, err = fmt.Fprintf(env.Stdout, "%-9s %s  [%s]\n", l.State, line, l.Source)
		}
	}
	return err
}
