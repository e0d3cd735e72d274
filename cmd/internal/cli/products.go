package cli

import (
	"fmt"
	"strings"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"
	"dewgap/products"

	"github.com/spf13/cobra"
)

// productsOptions are those of dewgap products.
type productsOptions struct {
	screen
	ids []string // to explain; none: list all
}

func newProducts(env Env) *cobra.Command {
	var o productsOptions
	c := &cobra.Command{
		Use:   "products [ID...]",
		Short: "The product classes; of some, every limit and where it is from",
		Example: `  dewgap products
  dewgap products polymer-sealant carnauba-wax
  dewgap products my-sealant --products my-products.yaml`,
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return catalogueIDs(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	o.screen.flags(c)
	c.RunE = runE(func(c *cobra.Command, args []string) error {
		if err := o.check("see " + c.CommandPath() + " --help"); err != nil {
			return err
		}
		s, err := loadSettings(c)
		if err != nil {
			return err
		}
		o.ids = args
		return runProducts(env, s, o)
	})
	return c
}

// runProducts answers dewgap products.
func runProducts(env Env, s *settings.Settings, o productsOptions) error {
	set, _, warnings, err := loadClasses(o.products, s)
	if err != nil {
		return err
	}
	ids := o.ids
	if len(ids) == 0 {
		ids = set.IDs()
	}
	var list []products.Class
	for _, id := range ids {
		c, ok := set.Class(id)
		if !ok {
			return unknownProduct(id, set)
		}
		list = append(list, c)
	}
	if o.json {
		return write(env, answer.NewProducts(list, warnings))
	}
	options := o.options(env, s)
	for _, w := range warnings {
		say(env.Stderr, "dewgap: warning: "+w, env.lines())
	}
	if len(o.ids) == 0 {
		return text.Products(env.Stdout, list, options)
	}
	for i, c := range list {
		if i > 0 {
			fmt.Fprintln(env.Stdout)
		}
		if err := text.Class(env.Stdout, c, options); err != nil {
			return err
		}
	}
	return nil
}

// unknownProduct suggests what was probably meant.
func unknownProduct(id string, set *products.Set) error {
	fix := "dewgap products lists them"
	if near := nearProducts(id, set); len(near) > 0 {
		fix = "did you mean " + strings.Join(near, " or ") + "?"
	}
	return &usageError{fmt.Sprintf("no product %q", id), fix}
}
