package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"dewgap/cmd/internal/app"
	"dewgap/window/boat"
	"dewgap/window/job"

	"github.com/spf13/cobra"
)

// newOptions are those of dewgap new.
type newOptions struct {
	file                                            string
	kind, length, name, place, at, bow, zone, since string
	by                                              string
	force                                           bool
}

func newNew(env Env) *cobra.Command {
	var o newOptions
	c := &cobra.Command{
		Use:   "new FILE",
		Short: "Write a job file to start from, with every key explained",
		Long: `New writes a job file for a boat of some kind and length, with every key explained. A
file that is there already is left alone, unless --force says otherwise; - is the output.`,
		Example: `  dewgap new job.yaml --kind flybridge-cruiser --length 13m
  dewgap new job.yaml --kind sailing-yacht --length 36ft --name Petrel --at 43.07,-70.74 --bow NW`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return &usageError{"one file to write is needed", "for example dewgap new job.yaml --kind flybridge-cruiser --length 13m"}
			}
			return nil
		},
	}
	f := c.Flags()
	f.StringVar(&o.kind, "kind", "", strings.Join(boat.Kinds(), ", "))
	f.StringVar(&o.length, "length", "", "length of the boat, 13m or 43ft")
	f.StringVar(&o.name, "name", "", "name of the boat")
	f.StringVar(&o.place, "place", "", "name of the place where she lies")
	f.StringVar(&o.at, "at", "", "`LAT,LON` of the place in degrees")
	f.StringVar(&o.zone, "timezone", "", "IANA zone of the place")
	f.StringVar(&o.bow, "bow", "", "where the bow points, degrees true or NW")
	f.StringVar(&o.since, "from", "", "first day of the job, such as 2026-09-07")
	f.StringVar(&o.by, "by", "", "last day of the job, included")
	f.BoolVar(&o.force, "force", false, "overwrite the file if there is one")
	complete(c, "kind", boat.Kinds)
	c.RunE = runE(func(_ *cobra.Command, args []string) error {
		o.file = args[0]
		return runNew(env, o)
	})
	return c
}

// runNew writes the job file of dewgap new.
func runNew(env Env, o newOptions) error {
	data, err := o.content()
	if err != nil {
		return err
	}
	if o.file == "-" { // as with every picture
		_, err = env.Stdout.Write(data)
		return err
	}
	if o.force {
		err = replace(o.file, data)
	} else if err = create(o.file, data, 0o644); errors.Is(err, fs.ErrExist) {
		err = &app.Problem{Where: o.file, Text: "is there already", Fix: "choose another name, or give --force to overwrite it", Err: err}
	} else if err != nil {
		err = unwritten(o.file, err)
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(env.Stdout, "Wrote %s. Fill in what is marked as invented, then:\n  dewgap check %s\n  dewgap week --job %s\n", o.file, quoted(o.file), quoted(o.file))
	return nil
}

// content makes the file from the flags; what is wrong with them is wrong usage.
func (o newOptions) content() ([]byte, error) {
	if o.kind == "" || o.length == "" {
		return nil, &usageError{"--kind and --length are needed", "for example --kind flybridge-cruiser --length 13m; kinds: " + strings.Join(boat.Kinds(), ", ")}
	}
	n := job.NewOptions{Kind: o.kind, Boat: o.name, Place: o.place, Timezone: o.zone, Bow: o.bow}
	var err error
	if n.LengthM, n.LengthFt, err = job.ParseLengthAs(o.length); err != nil {
		return nil, wrongFlag("length", err)
	}
	if o.at != "" {
		if n.Latitude, n.Longitude, err = job.ParseAt(o.at); err != nil {
			return nil, wrongFlag("at", err)
		}
	}
	if err := checkBoat(o.kind, n.LengthM, o.bow); err != nil {
		return nil, err
	}
	if err := checkZone(o.zone); err != nil {
		return nil, err
	}
	for _, d := range []struct {
		flag, text string
		to         *job.Date
	}{{"from", o.since, &n.From}, {"by", o.by, &n.By}} {
		if d.text == "" {
			continue
		}
		if *d.to, err = job.ParseDate(d.text); err != nil {
			return nil, wrongFlag(d.flag, err)
		}
	}
	data, err := job.New(n)
	if err != nil {
		return nil, wrongFlag("by", err)
	}
	return data, nil
}
