package cli

import (
	"fmt"
	"runtime"

	"dewgap/products"

	"github.com/spf13/cobra"
)

func newVersion(env Env) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "The version of the program and of its product catalogue",
		Args:  noArgs,
		RunE: runE(func(*cobra.Command, []string) error {
			return runVersion(env)
		}),
	}
}

// runVersion answers dewgap version.
func runVersion(env Env) error {
	set, err := products.Catalogue()
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(env.Stdout, "dewgap %s (%s, %s/%s), catalogue %.12s\n",
		env.Version, runtime.Version(), runtime.GOOS, runtime.GOARCH, set.Hash())
	return err
}
