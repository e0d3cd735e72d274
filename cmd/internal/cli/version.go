package cli

import (
	"fmt"
	"runtime"

	"dewgap/cmd/internal/answer"
	"dewgap/products"

	"github.com/spf13/cobra"
)

func newVersion(env Env) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "version",
		Short: "The version of the program and of its product catalogue",
		Args:  noArgs,
		RunE: runE(func(*cobra.Command, []string) error {
			return runVersion(env, asJSON)
		}),
	}
	c.Flags().BoolVar(&asJSON, "json", false, "the answer as one line of JSON")
	return c
}

// runVersion answers dewgap version.
func runVersion(env Env, asJSON bool) error {
	set, err := products.Catalogue()
	if err != nil {
		return err
	}
	if asJSON {
		return write(env, answer.Version{
			Format: answer.VersionFormat, Version: env.Version, Go: runtime.Version(),
			System: runtime.GOOS + "/" + runtime.GOARCH, Catalogue: set.Hash(),
		})
	}
	_, err = fmt.Fprintf(env.Stdout, "dewgap %s (%s, %s/%s), catalogue %.12s\n",
		env.Version, runtime.Version(), runtime.GOOS, runtime.GOARCH, set.Hash())
	return err
}
