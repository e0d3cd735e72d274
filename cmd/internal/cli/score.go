package cli

import (
	"context"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"

	"github.com/spf13/cobra"
)

// scoreOptions are those of dewgap score.
type scoreOptions struct {
	bookOptions
	screen
	boat string
}

func newScore(env Env) *cobra.Command {
	var o scoreOptions
	c := &cobra.Command{
		Use:   "score",
		Short: "What the book said against what was measured and what came of it",
		Long: `Score looks back over the book. Every forecast kept with an answer is held against the
readings made after it: how far off it was on average and in size, by how long before
it was made, and how often the middle 80 % of its futures held. What was said of work
is held against its outcomes: how often 80 % was 80 %.

It needs readings (dewgap reading add), work (dewgap log done) and outcomes (dewgap
log outcome). Under ten cases it says that there are too few to tell.`,
		Example: "  dewgap score\n  dewgap score --boat Kittiwake --json",
		Args:    noArgs,
	}
	o.book.flags(c, false)
	f := c.Flags()
	f.StringVar(&o.boat, "boat", "", "only this boat, by its name (default: all that the book has)")
	f.StringVar(&o.units, "units", "", "us or metric, on screen (default: as the settings say)")
	f.BoolVar(&o.screen.json, "json", false, "the answer as one line of JSON, in SI units; failures as JSON on stderr")
	complete(c, "units", func() []string { return []string{settings.Metric, settings.US} })
	c.RunE = runE(func(c *cobra.Command, _ []string) error {
		if err := o.check("see " + c.CommandPath() + " --help"); err != nil {
			return err
		}
		return o.on(c, env, bookNeeded, func(ctx context.Context, b *book.Book, s *settings.Settings) error {
			return runScore(ctx, env, s, b, o)
		})
	})
	return c
}

// runScore answers dewgap score.
func runScore(ctx context.Context, env Env, s *settings.Settings, b *book.Book, o scoreOptions) error {
	a := &app.App{Book: app.Stored{Book: b}, Version: env.Version}
	out, err := a.Score(ctx, o.boat)
	if err != nil {
		return err
	}
	out.File = b.Path()
	if o.screen.json {
		return write(env, out)
	}
	return text.Score(env.Stdout, out, o.options(env, s))
}
