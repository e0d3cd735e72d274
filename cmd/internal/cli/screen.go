package cli

import (
	"errors"
	"io/fs"
	"os"
	"slices"
	"strconv"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"
	"dewgap/products"

	"github.com/spf13/cobra"
)

// screen is how an answer is shown, and with which products.
type screen struct {
	products string
	units    string
	json     bool
}

func (s *screen) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&s.products, "products", "", "`FILE` with your own products (default: as the settings say)")
	f.StringVar(&s.units, "units", "", "us or metric, on screen (default: as the settings say)")
	f.BoolVar(&s.json, "json", false, "the answer as one line of JSON, in SI units; failures as JSON on stderr")
	complete(c, "units", func() []string { return []string{settings.Metric, settings.US} })
}

func (s *screen) check(help string) error {
	if s.units != "" && s.units != settings.Metric && s.units != settings.US {
		return &usageError{"--units: no units " + s.units, "give --units us or --units metric; " + help}
	}
	return nil
}

// options are those of the text, by flags, settings and the terminal. Colour is
// for terminals whose owner has not asked for none (https://no-color.org).
func (s *screen) options(env Env, set *settings.Settings) text.Options {
	o := text.Options{Units: set.Units}
	if s.units != "" {
		o.Units = s.units
	}
	columns, isTerminal := env.Terminal()
	if isTerminal {
		o.Width = columns
	}
	if n, err := strconv.Atoi(env.Getenv("COLUMNS")); err == nil && n > 0 { // as a person or a pager asks for it
		o.Width = n
	}
	if isTerminal {
		o.Colour = env.Getenv("NO_COLOR") == "" && env.Getenv("TERM") != "dumb"
	}
	return o
}

// show writes an answer: as JSON, or the page that says the same.
func (s *screen) show(env Env, v any, page func() error) error {
	if s.json {
		return write(env, v)
	}
	return page()
}

// loadSettings reads the settings by the command's --settings.
func loadSettings(c *cobra.Command) (*settings.Settings, error) {
	file, err := c.Flags().GetString("settings")
	if err != nil {
		return nil, err
	}
	return settings.Load(file)
}

// loadClasses reads the catalogue and puts the person's own products over it:
// those of the flag, else those of the settings. own is their file, nil without.
func loadClasses(file string, s *settings.Settings) (set *products.Set, own *app.JobFile, warnings []string, err error) {
	set, err = products.Catalogue()
	if err != nil {
		return nil, nil, nil, err
	}
	if file == "" {
		file = s.Products
	}
	if file == "" {
		return set, nil, nil, nil
	}
	data, err := app.ReadFile(file, largestJob)
	if err != nil {
		return nil, nil, nil, productsMissing(file, err)
	}
	set, warnings, err = set.With(file, data)
	return set, &app.JobFile{Name: file, Data: data}, warnings, err
}

// productsMissing says where the name of the file came from, if it is not there.
func productsMissing(file string, err error) error {
	if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return &app.Problem{Where: file, Text: "the file of your own products is not there",
		Fix: "check --products, DEWGAP_PRODUCTS and products in the settings file", Err: os.ErrNotExist}
}

// catalogueIDs are the ids that completion offers.
func catalogueIDs() []string {
	set, err := products.Catalogue()
	if err != nil {
		return nil
	}
	return set.IDs()
}

// sealingIDs are those of products that seal.
func sealingIDs() []string {
	set, err := products.Catalogue()
	if err != nil {
		return nil
	}
	return slices.DeleteFunc(set.IDs(), func(id string) bool {
		c, _ := set.Class(id)
		return c.Do != "seal"
	})
}

// complete offers the values of a flag to the shell.
func complete(c *cobra.Command, flag string, values func() []string) {
	err := c.RegisterFlagCompletionFunc(flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return values(), cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic(err) // a flag that the command does not have: a slip above, found by any test
	}
}
