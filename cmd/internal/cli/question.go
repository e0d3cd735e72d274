package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast/source"
	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"

	"github.com/spf13/cobra"
)

// question is what week and morning are asked: which boat, when, and by which
// forecast.
type question struct {
	job  string
	demo bool
	at   string // with kind, length, bow and seal, in place of a job file
	ways string // what a person can give who gave no boat

	kind, length, bow, seal string

	now, forecast, fetched, source, model, timezone string

	noDress   bool
	noLearned bool
	book      bookFlags
	screen
}

// quickFlags adds those of a boat without a job file.
func (q *question) quickFlags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&q.at, "at", "", "`LAT,LON` in degrees, in place of a job file; with --kind and --length")
	f.StringVar(&q.kind, "kind", "", "with --at: "+strings.Join(boat.Kinds(), ", "))
	f.StringVar(&q.length, "length", "", "with --at: length of the boat, 13m or 43ft")
	f.StringVar(&q.bow, "bow", "", "with --at: where the bow points, degrees true or NW; without it, answers by compass face")
	f.StringVar(&q.seal, "seal", "", "with --at: product class that seals (default polymer-sealant)")
	complete(c, "kind", boat.Kinds)
	complete(c, "seal", sealingIDs)
}

// flags adds the other flags of a question.
func (q *question) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&q.job, "job", "", "job `FILE` (dewgap new writes one)")
	f.BoolVar(&q.demo, "demo", false, "an invented boat and invented weather, without a connection")
	f.StringVar(&q.now, "now", "", "the moment to answer for, RFC 3339 such as 2026-09-10T06:00:00-04:00 (default: the clock)")
	q.weatherFlags(c, "")
	f.BoolVar(&q.noLearned, "no-learned", false, "leave out what readings of the past have taught (see dewgap place show)")
	q.book.flags(c, true)
	q.screen.flags(c)
}

// weatherFlags adds those of the weather by which a question is answered. more is how a saved
// reply is read by a command that goes on, "" for once.
func (q *question) weatherFlags(c *cobra.Command, more string) {
	f := c.Flags()
	f.StringVar(&q.forecast, "forecast", "", "`FILE` with a saved reply of any supported service, "+more+"instead of fetching")
	f.StringVar(&q.fetched, "fetched", "", "when the saved reply was fetched, where it does not say, RFC 3339")
	f.StringVar(&q.source, "source", "", strings.Join(source.Names(), ", ")+" (default: as the settings say)")
	f.StringVar(&q.model, "model", "", "weather model, where the source has several")
	f.StringVar(&q.timezone, "timezone", "", "IANA zone of the place, such as America/New_York, where the job has none")
	f.BoolVar(&q.noDress, "no-dress", false, "do not dress a single forecast into futures: its confidence is then 0 or 1")
	complete(c, "source", source.Names)
}

// The ways to give a boat.
const (
	waysWithJob   = "give --job FILE (dewgap new writes one), or --demo"
	waysWithQuick = "give --job FILE (dewgap new writes one), --at LAT,LON --kind KIND --length 13m, or --demo"
)

// check refuses combinations that cannot be meant.
func (q *question) check(c *cobra.Command) error {
	help := "see " + c.CommandPath() + " --help"
	given := 0
	for _, is := range []bool{q.job != "", q.demo, q.at != ""} {
		if is {
			given++
		}
	}
	switch {
	case q.at == "" && q.kind+q.length+q.bow+q.seal != "":
		return &usageError{"--kind, --length, --bow and --seal go with --at", "write them into the job, or give --at LAT,LON"}
	case given == 0:
		return &usageError{"no boat to answer for", q.ways}
	case given > 1:
		return &usageError{q.exclusive(), "give one of them"}
	case q.at != "" && (q.kind == "" || q.length == ""):
		return &usageError{"--at needs --kind and --length", "for example --kind " + boat.Kinds()[0] + " --length 13m"}
	case q.demo && q.source != "":
		return &usageError{"--demo brings its own weather", "leave --source out"}
	case q.forecast != "" && q.source != "":
		return &usageError{"--forecast and --source exclude one another", "give one of them"}
	case q.fetched != "" && q.forecast == "":
		return &usageError{"--fetched goes with --forecast", "leave --fetched out: what is fetched now has its date"}
	}
	if q.source != "" && !slices.Contains(source.Names(), q.source) {
		return &usageError{"--source: no source " + q.source, "choose one of " + strings.Join(source.Names(), ", ")}
	}
	if err := checkZone(q.timezone); err != nil {
		return err
	}
	if _, err := q.moment(time.Time{}); err != nil {
		return err
	}
	if _, err := q.fetchedAt(); err != nil {
		return err
	}
	if err := q.book.check(); err != nil {
		return err
	}
	return q.screen.check(help)
}

// exclusive names the ways to give a boat that the command has; the --at of some is
// another one.
func (q *question) exclusive() string {
	if q.ways == waysWithQuick {
		return "--job, --at and --demo exclude one another"
	}
	return "--job and --demo exclude one another"
}

// checkZone refuses names that are no time zone's, or mean this computer's; "" is none
// given.
func checkZone(name string) error {
	if _, err := time.LoadLocation(name); err != nil || name == "Local" {
		return &usageError{fmt.Sprintf("--timezone: no time zone %q", name), "give a name of the IANA list, such as America/New_York"}
	}
	return nil
}

// moment is --now, else the clock's.
func (q *question) moment(clock time.Time) (time.Time, error) {
	if q.now == "" {
		return clock, nil
	}
	return fullMoment("now", q.now)
}

// fetchedAt is --fetched, zero without.
func (q *question) fetchedAt() (time.Time, error) {
	if q.fetched == "" {
		return time.Time{}, nil
	}
	return fullMoment("fetched", q.fetched)
}

// app makes the use cases and the request that answer the question. close ends
// the use of the book.
func (q *question) app(ctx context.Context, env Env, s *settings.Settings) (a *app.App, r app.Request, close func(), err error) {
	close = func() {}
	now, err := q.moment(env.Now())
	if err != nil {
		return nil, r, close, err
	}
	fetched, err := q.fetchedAt()
	if err != nil {
		return nil, r, close, err
	}
	from := q.from(env, s, now, fetched)
	if f, ok := from.(app.File); ok {
		from = f.Ahead() // beside the catalogue
	}
	classes, own, _, err := loadClasses(q.products, s)
	if err != nil {
		return nil, r, close, err
	}
	a = &app.App{Source: from, Clock: app.At(now), Classes: classes, Futures: app.Futures, Version: env.Version, MaxAge: s.Age, Skies: &surface.Skies{}}
	if q.noDress {
		a.Futures = 0
	}
	r = app.Request{Timezone: q.timezone, Model: q.model, Products: own, Warnings: s.Warnings, NoLearned: q.noLearned}
	if r.Job, r.File, err = q.reader(classes); err != nil {
		return nil, r, close, err
	}
	if q.demo && q.book.file == "" { // what is invented is kept only where that is asked
		return a, r, close, nil
	}
	b, err := q.book.open(ctx, env, s, bookIfThere)
	if err != nil || b == nil {
		return a, r, close, err
	}
	a.Book = app.Stored{Book: b}
	a.Stations = q.stations(a.Source, env.Now().Sub(now))
	a.Unrecorded = func(err error) { warn(env, "this answer is not in the book", err) }
	return a, r, func() { _ = b.Close() }, nil // what was recorded is on the disk
}

// from is where the forecast comes from.
func (q *question) from(env Env, s *settings.Settings, now, fetched time.Time) app.Source {
	switch {
	case q.forecast != "":
		return app.File{Path: q.forecast, Fetched: fetched}
	case q.demo:
		return demo.Source{Clock: app.At(now)}
	}
	return app.Live{Settings: s, Version: env.Version, Name: q.source, Wall: env.Now, Passing: env.Passing}
}

// stations are those that are asked beside a forecast: only where services are asked
// at all, and for about now. ago is how far the moment of the question lies back.
func (q *question) stations(from app.Source, ago time.Duration) app.Stations {
	live, ok := from.(app.Live)
	if !ok || q.noLearned || ago > 24*time.Hour {
		return nil
	}
	return app.LiveStations{Live: live}
}

// reader gives the function that reads the job, and the file that it is read
// from; nil where there is none.
func (q *question) reader(classes *products.Set) (func(string) (*job.Job, error), *app.JobFile, error) {
	switch {
	case q.demo:
		return func(string) (*job.Job, error) { return demo.Job(classes) }, &app.JobFile{Name: demo.JobName, Data: demo.JobFile()}, nil
	case q.at != "":
		read, err := q.quick(classes)
		return read, nil, err
	}
	data, err := app.ReadFile(q.job, largestJob)
	if err != nil {
		return nil, nil, err
	}
	return func(timezone string) (*job.Job, error) {
		return job.Parse(q.job, data, classes, job.Options{Timezone: timezone})
	}, &app.JobFile{Name: q.job, Data: data}, nil
}

// largestJob is the size beyond which a file cannot be a job.
const largestJob = 1 << 20

// quick builds a job from the flags; what is wrong with them is wrong usage.
func (q *question) quick(classes *products.Set) (func(string) (*job.Job, error), error) {
	lat, lon, err := job.ParseAt(q.at)
	if err != nil {
		return nil, wrongFlag("at", err)
	}
	length, err := job.ParseLength(q.length)
	if err != nil {
		return nil, wrongFlag("length", err)
	}
	if err := checkBoat(q.kind, length, q.bow); err != nil {
		return nil, err
	}
	if q.seal != "" {
		if _, ok := classes.Class(q.seal); !ok {
			return nil, ofFlag("seal", unknownProduct(q.seal, classes))
		}
	}
	o := job.QuickOptions{
		Latitude: lat, Longitude: lon, Kind: q.kind, LengthM: length, Bow: q.bow, Seal: q.seal, Timezone: q.timezone,
	}
	if _, err := job.Quick(o, classes); err != nil { // all else is checked above
		return nil, wrongFlag("seal", err)
	}
	return func(timezone string) (*job.Job, error) {
		o.Timezone = timezone
		return job.Quick(o, classes)
	}, nil
}
