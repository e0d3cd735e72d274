package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/draw"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"
	"dewgap/window/job"

	"github.com/spf13/cobra"
)

// drawFormat is the format of a picture's table as JSON.
const drawFormat = "dewgap.draw.v1"

// drawn is a picture's words and figures as JSON.
type drawn struct {
	Format      string     `json:"format"`
	Kind        string     `json:"kind"` // week, day or boat
	Title       string     `json:"title"`
	Description string     `json:"description"`
	Caption     string     `json:"caption"`
	Head        []string   `json:"head"`
	Rows        [][]string `json:"rows"`             // as long as head
	Limits      []string   `json:"limits,omitempty"` // of your own label, looser than the hard bounds of their class
}

// drawOptions are those of dewgap draw.
type drawOptions struct {
	question
	sheet  sheet
	kind   string // week, day or boat
	moment string
	step   string
	zones  []string
}

func newDraw(env Env) *cobra.Command {
	c := &cobra.Command{
		Use:   "draw",
		Short: "The answer as a picture (SVG), or the table that says the same",
		Args:  noArgs,
	}
	c.AddCommand(
		newDrawOf(env, "week", "Every step and zone hour by hour: states, rain, dew, plan, clocks"),
		newDrawOf(env, "day", "A day's panels, dew point and spread, with the product's limits"),
		newDrawOf(env, "boat", "The boat from above under sun and wind, zones with temperatures"),
	)
	return c
}

func newDrawOf(env Env, kind, short string) *cobra.Command {
	o := drawOptions{kind: kind}
	c := &cobra.Command{
		Use:   kind,
		Short: short,
		Long: short + `.

The picture is one SVG file without scripts or outside parts, for bright and dark
screens and for paper. Nothing in it is told by colour alone. It shows the plan
of the book where that was moved or its work is under way, held against the newest
forecast; else a week asked anew, which goes into the book as dewgap week's does.`,
		Example: "  dewgap draw " + kind + " --demo -o " + kind + ".svg\n  dewgap draw " + kind + " --job job.yaml --width 360 -o -\n" +
			"  dewgap draw " + kind + " --job job.yaml --table",
		Args: noArgs,
	}
	o.ways = waysWithJob
	o.flags(c)
	f := c.Flags()
	o.sheet.flags(c)
	f.StringArrayVar(&o.zones, "zone", nil, "zone to draw, may be given several times (default: those that are worked on)")
	switch kind {
	case "day":
		f.StringVar(&o.moment, "at", "", "day by the clock at the place, such as 2026-09-12 (default: the best)")
		f.StringVar(&o.step, "step", "", "step whose product's limits stand behind the curves (default: the one that seals)")
	case "boat":
		f.StringVar(&o.moment, "at", "", "hour by the clock at the place: 13:00 today, 2026-09-12T13:00 (default: the hottest of the day that the week's answer is about)")
	}
	c.RunE = asked(o.checkDraw, func(ctx context.Context, s *settings.Settings) error { return runDraw(ctx, env, s, o) })
	return c
}

// checkDraw refuses what cannot be drawn or written.
func (o *drawOptions) checkDraw(c *cobra.Command) error {
	if err := o.check(c); err != nil {
		return err
	}
	if o.sheet.out == "" && !o.sheet.table && !o.json {
		return &usageError{"no file to draw into", "give -o " + o.kind + ".svg, or -o - for the standard output; --table prints the figures"}
	}
	return o.sheet.check(c, o.kind, o.json)
}

// runDraw answers dewgap draw.
func runDraw(ctx context.Context, env Env, s *settings.Settings, o drawOptions) error {
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	request.Hold = true // a look puts no other plan in the place of the one that people go by
	week, err := a.Week(ctx, request)
	if err != nil {
		return err
	}
	units := o.options(env, s)
	if o.json {
		units.Units = settings.Metric
	}
	p, err := o.picture(week, units)
	if err != nil {
		return err
	}
	if o.json {
		return write(env, drawn{drawFormat, o.kind, p.Title, p.Description, p.Table.Caption, p.Table.Head, p.Table.Rows, week.OwnLimits()})
	}
	for _, l := range week.OwnLimits() { // the picture has no room for them
		say(env.Stderr, "dewgap: note: "+l, env.lines())
	}
	return o.sheet.write(env, p)
}

// picture draws what was asked of a week.
func (o *drawOptions) picture(w *answer.Week, units text.Options) (draw.Picture, error) {
	if err := o.named(w); err != nil {
		return draw.Picture{}, err
	}
	options := draw.Options{Width: o.sheet.width, Units: units.Units, Prose: proseIn(units), Zones: o.zones, Step: o.step}
	switch o.kind {
	case "week":
		return draw.WeekStrip(w, options), nil
	case "day":
		day, err := o.day(w)
		return draw.DayCurves(w, day, options), err
	}
	at, err := o.hour(w)
	return draw.BoatAndSun(w, at, options), err
}

// proseIn puts sentences of an answer into the units of a screen, which are °C where answers
// have K for a difference.
func proseIn(units text.Options) func(string) string {
	return func(s string) string { return text.Because(answer.Binding{Limit: "sentence", Text: s}, units) }
}

// named refuses zones and steps that the answer does not have.
func (o *drawOptions) named(w *answer.Week) error {
	var zones, steps []string
	for _, z := range w.Zones {
		zones = append(zones, z.Name)
	}
	for _, r := range w.Refusals {
		steps = append(steps, r.Step)
	}
	for _, x := range w.Windows {
		steps = append(steps, x.Step)
	}
	for _, z := range o.zones {
		if err := oneOf("zone", z, zones); err != nil {
			return err
		}
	}
	if o.step == "" {
		return nil
	}
	slices.Sort(steps)
	return oneOf("step", o.step, slices.Compact(steps))
}

func oneOf(flag, name string, list []string) error {
	if slices.Contains(list, name) {
		return nil
	}
	fix := "take one of " + strings.Join(list, ", ")
	if near := job.Nearest(name, list); near != "" {
		fix = "did you mean " + near + "?"
	}
	return &usageError{fmt.Sprintf("--%s: no %s %q", flag, flag, name), fix}
}

// day is --at as a day, "" without.
func (o *drawOptions) day(w *answer.Week) (string, error) {
	if o.moment == "" {
		return "", nil
	}
	if _, err := time.Parse(time.DateOnly, o.moment); err == nil {
		return o.moment, o.covered(w, o.moment)
	}
	at, err := momentAt("at", o.moment, w.Now, place(w))
	if err != nil {
		return "", &usageError{fmt.Sprintf("--at %q is no day", o.moment), "write it such as 2026-09-12"}
	}
	day := at.In(place(w)).Format(time.DateOnly)
	return day, o.covered(w, day)
}

// hour is --at as a moment, zero without.
func (o *drawOptions) hour(w *answer.Week) (time.Time, error) {
	if o.moment == "" {
		return time.Time{}, nil
	}
	at, err := momentAt("at", o.moment, w.Now, place(w))
	if err != nil {
		return at, err
	}
	return at, o.covered(w, at.In(place(w)).Format(time.DateOnly))
}

// covered refuses a day of which the answer says nothing.
func (o *drawOptions) covered(w *answer.Week, day string) error {
	first, last := w.From.In(place(w)).Format(time.DateOnly), w.To.Add(-time.Second).In(place(w)).Format(time.DateOnly)
	if day >= first && day <= last {
		return nil
	}
	return &app.Problem{Text: "nothing is known of " + day, Fix: "give a day from " + first + " to " + last}
}

// place is the location of an answer.
func place(w *answer.Week) *time.Location { return w.From.Location() }
