package cli

import (
	"fmt"
	"strings"

	"dewgap/cmd/internal/draw"

	"github.com/spf13/cobra"
)

// sheet is where a picture goes, and how wide it is.
type sheet struct {
	out   string
	width int
	table bool
}

func (p *sheet) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVarP(&p.out, "out", "o", "", "`FILE` to write, ending in .svg; - is the standard output")
	f.IntVar(&p.width, "width", 0, "pixels that it will be shown wide, 320 to 1920 (default 720)")
	f.BoolVar(&p.table, "table", false, "print the table that says the same, instead of drawing")
}

// check refuses what cannot be written; kind names the picture in examples.
func (p *sheet) check(c *cobra.Command, kind string, json bool) error {
	switch {
	case p.out != "" && (p.table || json):
		return &usageError{"-o writes the picture, --table and --json print its figures", "give one of them"}
	case p.out != "" && p.out != "-" && !strings.HasSuffix(strings.ToLower(p.out), ".svg"):
		return &usageError{fmt.Sprintf("-o %q does not end in .svg", p.out), "name the picture such as " + kind + ".svg, so that no other file is lost"}
	case c.Flags().Changed("width") && (p.width < 320 || p.width > 1920):
		return &usageError{fmt.Sprintf("--width %d is out of range", p.width), "give 320 to 1920, such as 360 for a telephone"}
	}
	return nil
}

// write writes the table where that is asked for, else the picture.
func (p *sheet) write(env Env, d draw.Picture) error {
	switch {
	case p.table:
		return d.Table.Write(env.Stdout)
	case p.out == "-":
		_, err := env.Stdout.Write(d.SVG)
		return err
	}
	if err := replace(p.out, d.SVG); err != nil {
		return err
	}
	say(env.Stdout, "Wrote "+p.out+": "+d.Title, 0)
	return nil
}
