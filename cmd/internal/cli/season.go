package cli

import (
	"context"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/draw"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"

	"github.com/spf13/cobra"
)

// seasonOptions are those of dewgap season.
type seasonOptions struct {
	question
	sheet   sheet
	weather string
	with    []string
	all     bool
}

// largestYear is the size beyond which a file cannot be a typical year.
const largestYear = 16 << 20

func newSeason(env Env) *cobra.Command {
	var o seasonOptions
	c := &cobra.Command{
		Use:   "season",
		Short: "What each month of a typical year offers each product and side",
		Long: `Season runs a typical year of weather past the boat and counts, month by month, the
windows in which each product may go on each zone, so that you know what to promise
when. The weather is an EPW file, as national laboratories publish them for thousands
of places. Where such a file has no rain, wet hours are estimated and the month is
marked ~. The job's own dates and what has been done do not count.

With -o it is drawn instead: one SVG file without scripts or outside parts, for bright
and dark screens and for paper, with the days of each month that have such a window.`,
		Example: `  dewgap season --demo
  dewgap season --job job.yaml --weather station.epw
  dewgap season --job job.yaml --weather station.epw --with carnauba-wax --json
  dewgap season --job job.yaml --weather station.epw --all -o season.svg`,
		Args: noArgs,
	}
	o.ways = waysWithQuick
	f := c.Flags()
	f.StringVar(&o.job, "job", "", "job `FILE` (dewgap new writes one)")
	f.BoolVar(&o.demo, "demo", false, "an invented boat and an invented year")
	f.StringVar(&o.now, "now", "", "a moment in the year to lay the calendar by, RFC 3339 (default: the clock)")
	f.StringVar(&o.timezone, "timezone", "", "IANA zone of the place, where the job has none (default: the file's standard time)")
	f.StringVar(&o.weather, "weather", "", "the typical year, an EPW `FILE`")
	f.StringSliceVar(&o.with, "with", nil, "product classes (default: those of the job)")
	f.BoolVar(&o.all, "all", false, "every product class of the catalogue")
	o.sheet.flags(c)
	o.quickFlags(c)
	o.screen.flags(c)
	complete(c, "with", catalogueIDs)
	check := func(c *cobra.Command) error {
		switch err := o.check(c); {
		case err != nil:
			return err
		case o.demo == (o.weather != ""):
			return &usageError{"no typical year, or two of them", "give --weather FILE.epw with --job or --at, or --demo alone"}
		case o.all && len(o.with) > 0:
			return &usageError{"--with and --all exclude one another", "give one of them"}
		case o.sheet.table && o.json:
			return &usageError{"--table and --json exclude one another", "give one of them"}
		case o.sheet.out == "" && c.Flags().Changed("width"):
			return &usageError{"--width is of the picture", "give -o season.svg with it"}
		}
		return o.sheet.check(c, "season", o.json)
	}
	c.RunE = asked(check, func(ctx context.Context, s *settings.Settings) error { return runSeason(ctx, env, s, o) })
	return c
}

// runSeason answers dewgap season.
func runSeason(ctx context.Context, env Env, s *settings.Settings, o seasonOptions) error {
	o.book.none = true // a typical year is not a day of this boat's
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	for _, id := range o.with {
		if _, ok := a.Classes.Class(id); !ok && id != "" {
			return ofFlag("with", unknownProduct(id, a.Classes))
		}
	}
	r := app.SeasonRequest{Request: request, File: o.weather, Classes: o.with, All: o.all}
	if o.demo {
		r.Year, r.File = demo.Year(), demo.JobName
	} else if r.Year, err = app.ReadFile(o.weather, largestYear); err != nil {
		return err
	}
	season, err := a.Season(ctx, r)
	if err != nil {
		return err
	}
	switch {
	case o.json:
		return write(env, season)
	case o.sheet.table || o.sheet.out != "":
		return o.sheet.write(env, draw.Season(season, draw.Options{Width: o.sheet.width}))
	}
	return text.Season(env.Stdout, season, o.options(env, s))
}
