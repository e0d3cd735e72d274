package cli

import (
	"fmt"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"

	"github.com/spf13/cobra"
)

func newWhere(env Env) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "where",
		Short: "Where settings, saved forecasts and the book are kept",
		Args:  noArgs,
	}
	c.Flags().BoolVar(&asJSON, "json", false, "the answer as one line of JSON")
	c.RunE = runE(func(c *cobra.Command, _ []string) error {
		s, err := loadSettings(c)
		if err != nil {
			return err
		}
		return runWhere(env, s, asJSON)
	})
	return c
}

// runWhere answers dewgap where.
func runWhere(env Env, s *settings.Settings, asJSON bool) error {
	list := s.Where()
	if asJSON {
		out := answer.Where{Format: answer.WhereFormat, Kept: []answer.Kept{}}
		for _, l := range list {
			out.Kept = append(out.Kept, answer.Kept{What: l.What, Path: l.Path, Exists: l.Exists, Set: l.Set})
		}
		return write(env, out)
	}
	for _, l := range list {
		path, note := l.Path, ""
		if path == "" {
			path = "nowhere"
		} else if !l.Exists {
			note = "  (not there yet)"
		}
		fmt.Fprintf(env.Stdout, "%-16s %s%s\n%-16s set by %s\n", l.What, path, note, "", l.Set)
	}
	return nil
}
