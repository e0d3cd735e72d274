package cli

import (
	"context"

	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"

	"github.com/spf13/cobra"
)

func newPlace(env Env) *cobra.Command {
	c := &cobra.Command{
		Use:   "place",
		Short: "What readings have taught of the place and the boat",
		Args:  noArgs,
	}
	c.AddCommand(newPlaceShow(env))
	return c
}

// placeOptions are those of dewgap place show.
type placeOptions struct{ question }

func newPlaceShow(env Env) *cobra.Command {
	var o placeOptions
	c := &cobra.Command{
		Use:   "show",
		Short: "What was learned, from what, how much counts, what it changes",
		Long: `Show tells what the readings in the book have taught: how far the forecast is off at the
place on clear and cloudy days and nights, and how much sun and how much sky each panel
really takes. Readings older than a day and a half teach; younger ones are this
morning's. Half of the difference is believed after five readings, an older reading
counts for less, and the forecast's part fades out over four days ahead.

Show also tells how far apart the forecast's futures ought to lie, by how far off it was:
from ten cases of six hours on that begins to count, and at twenty it counts whole. And it
names the weather station that teaches beside the readings, with its distance, its height
and what it counts: less the farther off, and never as much as five readings.

What was learned never relaxes a hard limit, and turns marginal into go only after five
readings of that kind of weather. Every answer names what it used; --no-learned gives
the answer without. With a forecast, show also tells what is changed by it.`,
		Example: `  dewgap place show --job job.yaml
  dewgap place show --job job.yaml --forecast reply.json --json
  dewgap week --job job.yaml --no-learned`,
		Args: noArgs,
	}
	o.ways = waysWithJob
	o.flags(c)
	check := func(c *cobra.Command) error {
		if err := o.check(c); err != nil {
			return err
		}
		if o.noLearned {
			return &usageError{"--no-learned leaves nothing to show", "leave it out; it goes with week, morning, why and move"}
		}
		return nil
	}
	c.RunE = asked(check, func(ctx context.Context, s *settings.Settings) error { return runPlaceShow(ctx, env, s, o) })
	return c
}

// runPlaceShow answers dewgap place show.
func runPlaceShow(ctx context.Context, env Env, s *settings.Settings, o placeOptions) error {
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	place, err := a.Place(ctx, request)
	if err != nil {
		return err
	}
	if o.json {
		return write(env, place)
	}
	return text.Place(env.Stdout, place, o.options(env, s))
}
