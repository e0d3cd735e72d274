package cli

import (
	"context"
	"fmt"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/feed"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast/fetch"

	"github.com/spf13/cobra"
)

// calendarOptions are those of dewgap calendar.
type calendarOptions struct {
	question
	out     string
	anew    bool
	refresh time.Duration
}

func newCalendar(env Env) *cobra.Command {
	var o calendarOptions
	c := &cobra.Command{
		Use:   "calendar",
		Short: "The plan as a calendar file (iCalendar) for any calendar program",
		Long: `Calendar writes the blocks of the plan, and how long each film has to stay dry, as
an iCalendar file. Where the book has a plan of the job, it is that one, as the last
week or move left it, and no forecast is asked; else, or with --anew, the week is
asked, which goes into the book as dewgap week's does. Small panels that the same
people wash one after the other are one entry.

An entry keeps its name through every version of the plan that the book has: calendar
programs move it, and call off what the plan no longer has. Without a book each
calendar stands for itself.

It exits 0 whatever the plan is like.`,
		Example: `  dewgap calendar --job job.yaml -o kittiwake.ics
  dewgap calendar --demo`,
		Args: noArgs,
	}
	o.ways = waysWithQuick
	o.flags(c)
	o.quickFlags(c)
	f := c.Flags()
	f.StringVarP(&o.out, "output", "o", "", "`FILE` to write, replaced whole, or - (default: the calendar goes to the output)")
	f.BoolVar(&o.anew, "anew", false, "plan anew even where the book has a plan")
	f.DurationVar(&o.refresh, "refresh", time.Hour, "how often programs that read the file again are asked to, 15m to 168h")
	check := func(c *cobra.Command) error {
		if err := o.check(c); err != nil {
			return err
		}
		if o.refresh < 15*time.Minute || o.refresh > 7*24*time.Hour || o.refresh%time.Minute != 0 {
			return &usageError{"--refresh " + fetch.Exact(o.refresh) + " is out of range", "give whole minutes from 15m to 168h"}
		}
		return nil
	}
	c.RunE = asked(check, func(ctx context.Context, s *settings.Settings) error { return runCalendar(ctx, env, s, o) })
	return c
}

// runCalendar answers dewgap calendar.
func runCalendar(ctx context.Context, env Env, s *settings.Settings, o calendarOptions) error {
	if o.out == "-" { // as with every picture
		o.out = ""
	}
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	versions, from, err := o.versions(ctx, a, request)
	if err != nil {
		return err
	}
	units := o.options(env, s)
	if o.json {
		units.Units = settings.Metric
	}
	in := feed.Of(feed.Job{Versions: versions, Classes: a.Classes, Refresh: o.refresh, Prose: proseIn(units)})
	data, err := feed.Calendar(in)
	if err != nil {
		return err
	}
	if o.out != "" {
		if err := replace(o.out, data); err != nil {
			return err
		}
	}
	switch {
	case o.json:
		return write(env, o.answer(in, data, from))
	case o.out != "":
		_, err = fmt.Fprintf(env.Stdout, "%d entries in %s\n", len(in.Events), o.out)
	default:
		_, err = env.Stdout.Write(data)
	}
	return err
}

// versions are the plan's: those of the book, and the week asked anew where that is
// wanted or the book has none.
func (o *calendarOptions) versions(ctx context.Context, a *app.App, r app.Request) (list []answer.PlanVersion, from string, err error) {
	if list, err = a.Plans(ctx, r); err != nil {
		return nil, "", err
	}
	if len(list) > 0 && !o.anew {
		return list, "book", nil
	}
	week, err := a.Week(ctx, r)
	if err != nil {
		return nil, "", err
	}
	// What is not known calls nothing off.
	if len(list) > 0 && week.Verdict == answer.Unknown {
		return list, "book", nil
	}
	j, err := r.Job(week.Place.Timezone)
	if err != nil {
		return nil, "", err
	}
	now := answer.PlanVersion{At: week.Now, Accepted: j.AcceptMargin, Plan: week.Plan, Of: answer.PlanOfWeek(week)}
	return append(list, now), "forecast", nil
}

// answer tells what was written.
func (o *calendarOptions) answer(in feed.Input, data []byte, from string) *answer.Calendar {
	out := &answer.Calendar{
		Format: answer.CalendarFormat, Name: in.Name, At: in.Stamp, From: from, File: o.out, ETag: feed.ETag(data),
		Entries: []answer.CalendarEntry{},
	}
	if o.out == "" {
		out.Text = string(data)
	}
	for _, e := range in.Events {
		out.Entries = append(out.Entries, answer.CalendarEntry{
			UID: e.UID, Sequence: e.Sequence, Status: e.Status(), From: e.From, To: e.To, Summary: e.Summary,
		})
	}
	return out
}
