package cli

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/window/job"

	"github.com/spf13/cobra"
)

func newReading(env Env) *cobra.Command {
	c := &cobra.Command{
		Use:   "reading",
		Short: "Record what was measured on the dock",
		Args:  noArgs,
	}
	c.AddCommand(newReadingAdd(env))
	return c
}

// readingOptions are those of dewgap reading add.
type readingOptions struct {
	record
	to, at, zone, air, humidity, wind, sky, surface, by, salt, spray, haze, product, moisture string
	wet, dry, sun, noSun                                                                      bool
}

func newReadingAdd(env Env) *cobra.Command {
	var o readingOptions
	c := &cobra.Command{
		Use:   "add",
		Short: "Add one reading to the book, or to a file",
		Long: `Add writes a reading into the book, which is made if there is none, or with --to at the
end of a readings file. Morning then sets it against the forecast. What no instrument
can have read is refused here; what does not fit the hour is told by morning.`,
		Example: `  dewgap reading add --job job.yaml --air 12.2C --humidity 93 --wind 1 --salt no
  dewgap reading add --job job.yaml --zone "port side" --surface 48F --by infrared --wet --no-sun
  dewgap reading add --job job.yaml --zone "port side" --product polymer-sealant --haze-min 38 --to readings.yaml`,
		Args: noArgs,
	}
	o.flags(c)
	o.measured(c)
	check := func(*cobra.Command) error { return o.refuse() }
	c.RunE = asked(check, func(ctx context.Context, s *settings.Settings) error { return runReadingAdd(ctx, env, s, o) })
	return c
}

// measured adds the flags of what was measured.
func (o *readingOptions) measured(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.to, "to", "", "readings `FILE` to add to, in place of the book")
	f.StringVar(&o.at, "at", "", "when it was read, by the clock at the place: 06:10 today, or 2026-09-10T06:10 (default: now)")
	f.StringVar(&o.zone, "zone", "", "zone of the boat; without it the reading is of the place")
	f.StringVar(&o.air, "air", "", "air temperature, 15.0C or 59F")
	f.StringVar(&o.humidity, "humidity", "", "relative humidity, per cent")
	f.StringVar(&o.wind, "wind", "", "wind at hand height, 2, 2m/s, 4kn or 5mph")
	f.StringVar(&o.sky, "sky", "", "clear, partly or overcast")
	f.StringVar(&o.surface, "surface", "", "surface temperature of the zone, 13.4C or 56F")
	f.StringVar(&o.by, "by", "", "what read the surface: infrared or contact")
	f.BoolVar(&o.wet, "wet", false, "there is water on the panel")
	f.BoolVar(&o.dry, "dry", false, "there is none")
	f.BoolVar(&o.sun, "sun", false, "the sun is on the panel")
	f.BoolVar(&o.noSun, "no-sun", false, "it is not")
	f.StringVar(&o.salt, "salt", "", "salt on the panels: yes, no or unknown")
	f.StringVar(&o.spray, "spray", "", "spray comes over: yes, no or unknown")
	f.StringVar(&o.product, "product", "", "product of a test patch")
	f.StringVar(&o.haze, "haze-min", "", "minutes until the test patch wiped off clean")
	f.StringVar(&o.moisture, "moisture", "", "moisture of bare wood, per cent")
	complete(c, "by", func() []string { return []string{"infrared", "contact"} })
	complete(c, "sky", func() []string { return []string{"clear", "partly", "overcast"} })
	complete(c, "product", catalogueIDs)
}

// refuse refuses what cannot be meant.
func (o *readingOptions) refuse() error {
	switch {
	case o.wet && o.dry:
		return &usageError{"--wet and --dry exclude one another", "give one of them"}
	case o.sun && o.noSun:
		return &usageError{"--sun and --no-sun exclude one another", "give one of them"}
	case o.surface != "" && o.by == "":
		return &usageError{"--surface needs --by", "give --by infrared or --by contact, for an infrared thermometer misreads some finishes"}
	case o.surface == "" && o.by != "":
		return &usageError{"--by tells how a surface was read, and none is given", "add --surface 13.4C"}
	case o.zone == "" && (o.surface != "" || o.wet || o.dry || o.sun || o.noSun || o.haze != "" || o.moisture != ""):
		return &usageError{"surface, water, sun, test patch and moisture belong to a zone", `add --zone "port side"`}
	case (o.haze == "") != (o.product == ""):
		return &usageError{"--haze-min and --product go together", "for example --product polymer-sealant --haze-min 38"}
	case o.empty():
		return &usageError{"nothing was read here", "give what was read, for example --air 12.2C --humidity 93, or with a zone --surface 13C --by infrared or --wet"}
	case o.to != "" && o.corrects > 0:
		return &usageError{"--corrects is of the book", "correct the file with an editor"}
	}
	return o.check(o.to)
}

// empty reports that the flags say nothing that was read.
func (o *readingOptions) empty() bool {
	return o.air+o.humidity+o.wind+o.sky+o.surface+o.salt+o.spray+o.haze+o.moisture == "" && !o.wet && !o.dry && !o.sun && !o.noSun
}

// reading is what the flags say.
func (o *readingOptions) reading() (m job.Reading, err error) {
	m.Zone, m.Product = o.zone, o.product
	for _, x := range []struct {
		flag, key, text, example string
		units                    map[string]func(float64) float64
		to                       *job.Measured
	}{
		{"air", "air_c", o.air, "15.0C or 59F", celsius, &m.AirC}, {"surface", "surface_c", o.surface, "13.4C or 56F", celsius, &m.SurfaceC},
		{"humidity", "humidity_pct", o.humidity, "91", percent, &m.HumidityPct}, {"wind", "wind_m_s", o.wind, "2m/s", wind, &m.WindMS},
		{"haze-min", "haze_min", o.haze, "38", minutes, &m.HazeMin}, {"moisture", "moisture_pct", o.moisture, "16", percent, &m.MoisturePct},
	} {
		if *x.to, err = measured(x.flag, x.text, x.example, x.units); err != nil {
			return m, err
		}
		if err = within(x.flag, x.key, x.text, x.units, *x.to); err != nil {
			return m, err
		}
	}
	if m.Salt, err = saidOf("salt", o.salt); err != nil {
		return m, err
	}
	if m.Spray, err = saidOf("spray", o.spray); err != nil {
		return m, err
	}
	m.Wet, m.Sun = eitherOf(o.wet, o.dry), eitherOf(o.sun, o.noSun)
	instrument, err := wordOf("by", o.by, "infrared", "contact")
	if err != nil {
		return m, err
	}
	sky, err := wordOf("sky", o.sky, "clear", "partly", "overcast")
	m.By, m.Sky = job.Instrument(instrument), job.SkyCover(sky)
	return m, err
}

func eitherOf(yes, no bool) job.Told {
	switch {
	case yes:
		return job.Yes
	case no:
		return job.No
	}
	return job.NotTold
}

// wordOf is the place of a word among some, from 1; 0 where none is given.
func wordOf(flag, text string, words ...string) (int, error) {
	i := slices.Index(words, text)
	if i < 0 && text != "" {
		return 0, &usageError{"--" + flag + " " + text + " is not known", "give one of " + strings.Join(words, ", ")}
	}
	return i + 1, nil
}

// compose checks the reading as a line of a readings file is checked.
func (o *readingOptions) compose(a *app.App) func(j *job.Job, now time.Time) (job.Reading, error) {
	return func(j *job.Job, now time.Time) (job.Reading, error) {
		m, err := o.reading()
		if err != nil {
			return m, err
		}
		if m.At, err = momentAt("at", o.at, now, j.Location()); err != nil {
			return m, err
		}
		list, err := job.ParseReadings("", []byte(m.Text(j.Location())+"\n"), job.ReadingOptions{
			Location: j.Location(), Zones: j.Zones, Classes: a.Classes, Now: now,
		})
		if err != nil {
			return m, unplaced(err)
		}
		return list[0], nil
	}
}

// unplaced are the mistakes of a line that nobody wrote, without its places.
func unplaced(err error) error {
	list, ok := errors.AsType[job.Errors](err)
	if !ok {
		return err
	}
	out := slices.Clone(list)
	for i := range out {
		out[i].File, out[i].Line, out[i].Column = "", 0, 0
		out[i].Message, out[i].Fix = byFlag.Replace(out[i].Message), byFlag.Replace(out[i].Fix)
	}
	return out
}

// byFlag says the keys of a readings file as the flags that stand for them.
var byFlag = strings.NewReplacer(
	"`air_c`", "--air", "`humidity_pct`", "--humidity", "`wind_m_s`", "--wind", "`surface_c`", "--surface", "`moisture_pct`", "--moisture", "`haze_min`", "--haze-min",
	"`salt`", "--salt", "`spray`", "--spray", "`wet`", "--wet", "`product`", "--product", "`by`", "--by", "`at`", "--at",
)

// runReadingAdd answers dewgap reading add.
func runReadingAdd(ctx context.Context, env Env, s *settings.Settings, o readingOptions) error {
	a, r, err := o.request(env, s, o.at)
	if err != nil {
		return err
	}
	if o.to == "" {
		return o.into(ctx, env, s, a, func() (*answer.Logged, error) {
			return a.AddReading(ctx, app.ReadingRequest{Request: r, Compose: o.compose(a), Corrects: o.corrects})
		})
	}
	j, err := r.Job(r.Timezone)
	if err != nil {
		return err
	}
	m, err := o.compose(a)(j, a.Clock.Now())
	if err != nil {
		return err
	}
	line := m.Text(j.Location())
	if err := appendReading(o.to, line, j, a.Classes); err != nil {
		return err
	}
	out := answer.NewLogged("reading")
	out.File = o.to
	out.Entries = append(out.Entries, answer.Entry{
		BookJob: answer.BookJob{Job: j.Name, Boat: j.Boat, Timezone: j.Location().String()}, At: m.At.In(j.Location()), Zone: m.Zone, Text: line,
	})
	return o.tell(env, out)
}
