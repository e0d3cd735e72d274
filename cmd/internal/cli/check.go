package cli

import (
	"context"
	"fmt"
	"slices"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"
	"dewgap/window"
	"dewgap/window/job"

	"github.com/spf13/cobra"
)

// checkOptions are those of dewgap check.
type checkOptions struct {
	screen
	file, timezone string
}

func newCheck(env Env) *cobra.Command {
	var o checkOptions
	c := &cobra.Command{
		Use:     "check FILE",
		Short:   "Look a job file over: mistakes with their lines, or what it says",
		Example: "  dewgap check job.yaml\n  dewgap check --job job.yaml",
		Args: func(c *cobra.Command, args []string) error {
			switch {
			case o.file == "" && len(args) == 1:
				o.file = args[0]
				return nil
			case o.file != "" && len(args) == 0:
				return nil
			}
			return &usageError{"one job file is needed", "for example dewgap check job.yaml"}
		},
	}
	o.screen.flags(c)
	c.Flags().StringVar(&o.file, "job", "", "the job `FILE`, as the other commands name it")
	c.Flags().StringVar(&o.timezone, "timezone", "", "IANA zone of the place, where the job has none")
	check := func(c *cobra.Command) error {
		if err := o.check("see " + c.CommandPath() + " --help"); err != nil {
			return err
		}
		return checkZone(o.timezone)
	}
	c.RunE = asked(check, func(_ context.Context, s *settings.Settings) error { return runCheck(env, s, o) })
	return c
}

// runCheck answers dewgap check. Mistakes are its error.
func runCheck(env Env, s *settings.Settings, o checkOptions) error {
	classes, _, warnings, err := loadClasses(o.products, s)
	if err != nil {
		return err
	}
	data, err := app.ReadFile(o.file, largestJob)
	if err != nil {
		return err
	}
	j, err := job.Parse(o.file, data, classes, job.Options{Timezone: o.timezone})
	if err != nil {
		return err
	}
	j.Warnings = slices.Concat(warnings, j.Warnings, fewPolishers(j, classes))
	if o.json {
		return write(env, answer.NewCheck(j))
	}
	unlikely := "" // it stands below the zones, where nobody looks who has read "no mistakes"
	if n := len(j.Warnings); n > 0 {
		unlikely = fmt.Sprintf("; %d to look at, under PLEASE NOTE", n)
	}
	fmt.Fprintf(env.Stdout, "%s: no mistakes%s\n", o.file, unlikely)
	return text.Check(env.Stdout, j, o.options(env, s))
}

// fewPolishers names the products that ask for more people at machines at once than there
// are machines: no plan has a place for them.
func fewPolishers(j *job.Job, classes window.Classes) []string {
	var out []string
	for _, s := range j.Steps {
		c, ok := classes.Class(s.With)
		if !ok || !c.Machine || j.Polishers == 0 || c.People <= j.Polishers {
			continue
		}
		line := fmt.Sprintf("%s asks for %d people at machines at once, and `polishers` is %d: it has no place in a plan", s.With, c.People, j.Polishers)
		if !slices.Contains(out, line) {
			out = append(out, line)
		}
	}
	return out
}
