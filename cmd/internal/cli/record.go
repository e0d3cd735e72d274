package cli

import (
	"context"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/spf13/cobra"
)

// record is what the commands that write something down are told of the job.
type record struct {
	job, timezone, now, products string
	demo, json                   bool
	corrects                     int64
	book                         bookFlags
}

func (o *record) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.job, "job", "", "job `FILE` (dewgap new writes one)")
	f.BoolVar(&o.demo, "demo", false, "the invented boat; only with --book or --to, for trying it out")
	f.StringVar(&o.timezone, "timezone", "", "IANA zone of the place, where the job has none")
	f.StringVar(&o.now, "now", "", "the moment that counts as now, RFC 3339 (default: the clock)")
	f.StringVar(&o.products, "products", "", "`FILE` with your own products (default: as the settings say)")
	f.Int64Var(&o.corrects, "corrects", 0, "number of the entry that this one corrects (dewgap book show)")
	f.BoolVar(&o.json, "json", false, "the answer as one line of JSON; failures as JSON on stderr")
	o.book.flags(c, false)
}

// check refuses what cannot be meant. to is a file that is written in place of
// the book, "" for the book.
func (o *record) check(to string) error {
	switch {
	case o.job == "" && !o.demo:
		return &usageError{"no job to record for", "give --job FILE (dewgap new writes one)"}
	case o.job != "" && o.demo:
		return &usageError{"--job and --demo exclude one another", "give one of them"}
	case o.demo && o.book.file == "" && to == "":
		return &usageError{"--demo is not recorded in your own book", "give --book FILE for a book to try it out"}
	case to != "" && o.book.file != "":
		return &usageError{"--to and --book exclude one another", "give one of them"}
	case o.corrects < 0:
		return &usageError{"--corrects takes the number of an entry", "look for it with dewgap book show"}
	}
	if err := checkZone(o.timezone); err != nil {
		return err
	}
	q := question{now: o.now}
	_, err := q.moment(time.Time{})
	return err
}

// request reads the job.
func (o *record) request(env Env, s *settings.Settings, moments ...string) (*app.App, app.Request, error) {
	classes, own, _, err := loadClasses(o.products, s)
	if err != nil {
		return nil, app.Request{}, err
	}
	q := question{now: o.now, job: o.job, demo: o.demo}
	now, err := q.moment(env.Now())
	if err != nil {
		return nil, app.Request{}, err
	}
	read, file, err := q.reader(classes)
	if err != nil {
		return nil, app.Request{}, err
	}
	a := &app.App{Clock: app.At(now), Classes: classes, Version: env.Version}
	return a, app.Request{Job: zoned(read, moments...), Timezone: o.timezone, File: file, Products: own}, nil
}

// into writes into the book, which is made if there is none, and tells what.
func (o *record) into(ctx context.Context, env Env, s *settings.Settings, a *app.App, write func() (*answer.Logged, error)) error {
	b, err := o.book.open(ctx, env, s, bookMade)
	if err != nil {
		return err
	}
	defer func() { _ = b.Close() }() // what was recorded is on the disk
	a.Book = app.Stored{Book: b}
	out, err := write()
	if err != nil {
		return err
	}
	out.File = b.Path()
	return o.tell(env, out)
}

// tell says what was recorded, and where.
func (o *record) tell(env Env, out *answer.Logged) error {
	if o.json {
		return write(env, out)
	}
	word := "Recorded"
	if out.Kind == "undo" {
		word = "Taken back"
	}
	for _, e := range out.Entries {
		number := ""
		if e.ID > 0 {
			number = fmt.Sprintf(" %s %d", entryWord(out.Kind), e.ID)
		}
		say(env.Stdout, fmt.Sprintf("%s%s: %s, %s", word, number, e.At.Format("Mon 2 Jan 15:04"), e.Text), 0)
	}
	var before []string
	for _, x := range out.LeftOut {
		if x.Done > 0 {
			before = append(before, strconv.FormatInt(x.Done, 10))
			continue
		}
		say(env.Stdout, fmt.Sprintf("NOT recorded: %s on %s, planned %s-%s: %s", x.Step, x.Zone, x.From.Format("15:04"), x.To.Format("15:04"), x.Why), 0)
	}
	if len(before) > 0 {
		say(env.Stdout, "Recorded before: done "+strings.Join(before, ", "), 0)
	}
	_, err := fmt.Fprintf(env.Stdout, "in %s\n", out.File)
	return err
}

// entryWord is what an entry of a kind of log is numbered among.
func entryWord(kind string) string {
	switch kind {
	case "rain", "reading":
		return "reading"
	case "undo":
		return "entry"
	}
	return kind
}

// appendReading adds a line to a readings file, made if there is none. What is in
// the file already must be readings, or nothing.
func appendReading(path, line string, j *job.Job, classes *products.Set) error {
	data, err := readIfThere(path)
	if err != nil {
		return err
	}
	o := job.ReadingOptions{Location: j.Location(), Zones: j.Zones, Classes: classes}
	if strings.TrimSpace(string(data)) != "" {
		if _, err := job.ParseReadings(path, data, o); err != nil {
			return err
		}
		if !strings.HasSuffix(string(data), "\n") {
			data = append(data, '\n')
		}
	}
	data = append(data, line+"\n"...)
	if _, err := job.ParseReadings(path, data, o); err != nil {
		return &app.Problem{Where: path, Text: "the line cannot be added to this file", Err: err,
			Fix: "write each reading on a line of its own that begins with a dash, or choose another file"}
	}
	return replace(filepath.Clean(path), data)
}
