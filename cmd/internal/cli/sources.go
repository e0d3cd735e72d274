package cli

import (
	"context"
	"slices"
	"strings"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"
	"dewgap/forecast"
	"dewgap/forecast/source"
	"dewgap/window/job"

	"github.com/spf13/cobra"
)

// sourcesOptions are those of dewgap sources.
type sourcesOptions struct {
	question
	only []string
}

func newSources(env Env) *cobra.Command {
	var o sourcesOptions
	c := &cobra.Command{
		Use:   "sources",
		Short: "What each weather service says, and where they differ",
		Long: `Sources asks each weather service that the settings allow, one after the other, and
shows side by side how old its forecast is, how far it reaches, when each sealing step
may first be done by it, and the weather day by day, with a mark where they differ. A
service that cannot be used is named with the reason.

A service named with --source is asked whatever the settings say. The demo asks none of
them: it shows its own invented forecast.`,
		Example: `  dewgap sources --demo
  dewgap sources --job job.yaml
  dewgap sources --at 43.07,-70.74 --kind sailing-yacht --length 11m --source nws,metnorway`,
		Args: noArgs,
	}
	o.ways = waysWithQuick
	o.quickFlags(c)
	f := c.Flags()
	f.StringVar(&o.job, "job", "", "job `FILE` (dewgap new writes one)")
	f.BoolVar(&o.demo, "demo", false, "an invented boat and invented weather, without a connection")
	f.StringVar(&o.now, "now", "", "the moment to answer for, RFC 3339 such as 2026-09-10T06:00:00-04:00 (default: the clock)")
	f.StringSliceVar(&o.only, "source", nil, "only these services, separated by commas: "+strings.Join(source.Names()[1:], ", "))
	f.StringVar(&o.timezone, "timezone", "", "IANA zone of the place, such as America/New_York, where the job has none")
	o.book.flags(c, true)
	o.screen.flags(c)
	complete(c, "source", func() []string { return source.Names()[1:] })
	c.RunE = asked(o.check, func(ctx context.Context, s *settings.Settings) error { return runSources(ctx, env, s, o) })
	return c
}

// check refuses combinations that cannot be meant.
func (o *sourcesOptions) check(c *cobra.Command) error {
	if o.demo && len(o.only) > 0 {
		return &usageError{"--demo brings its own weather", "leave --source out"}
	}
	for _, name := range o.only {
		if !slices.Contains(source.Names()[1:], name) {
			return &usageError{"--source: no service " + name, "choose of " + strings.Join(source.Names()[1:], ", ")}
		}
	}
	return o.question.check(c)
}

// runSources answers dewgap sources.
func runSources(ctx context.Context, env Env, s *settings.Settings, o sourcesOptions) error {
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	list := func(j *job.Job) []app.Candidate {
		if o.demo {
			return demoCandidates(a.Source)
		}
		place := forecast.Place{Latitude: j.Place.Latitude, Longitude: j.Place.Longitude}
		found := app.Candidates(s, place, o.only, func(name string) app.Source {
			return app.Live{Settings: s, Version: env.Version, Name: name, Wall: env.Now, Passing: env.Passing}
		})
		for i := range found {
			found[i].Command = o.command(found[i].Name)
		}
		return found
	}
	sources, err := a.Sources(ctx, request, list)
	if err != nil {
		return err
	}
	if err := o.show(env, sources, func() error { return text.Sources(env.Stdout, sources, o.options(env, s)) }); err != nil {
		return err
	}
	return anyUsable(sources)
}

// demoCandidates are the demo's own forecast, and the services that it does not ask.
func demoCandidates(own app.Source) []app.Candidate {
	list := []app.Candidate{{Name: demo.JobName, Source: own, Command: "dewgap week --demo"}}
	for _, name := range source.Names()[1:] {
		list = append(list, app.Candidate{Name: name, Why: "the demo asks no service", Fix: "give --job or --at"})
	}
	return list
}

// anyUsable ends with unknown where no service could be used.
func anyUsable(a *answer.Sources) error {
	for _, s := range a.Services {
		if s.Usable {
			return nil
		}
	}
	return settled(codeOfVerdict(answer.Unknown))
}

// command asks for the plan by one service.
func (o *sourcesOptions) command(name string) string {
	words := []string{"dewgap", "week"}
	for _, f := range [][2]string{
		{"--job", o.job}, {"--at", o.at}, {"--kind", o.kind}, {"--length", o.length}, {"--bow", o.bow}, {"--seal", o.seal},
		{"--timezone", o.timezone}, {"--products", o.products}, {"--now", o.now}, {"--source", name},
	} {
		if f[1] != "" {
			words = append(words, f[0], quoted(f[1]))
		}
	}
	return strings.Join(words, " ")
}

// quoted is a word as a shell takes it.
func quoted(s string) string {
	if strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./,:+@") == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
