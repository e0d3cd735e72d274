package cli

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/web"
	"dewgap/cmd/internal/web/desk"

	"github.com/spf13/cobra"
)

// serveOptions are those of dewgap serve.
type serveOptions struct {
	question
	jobs              []string
	listen, url, log  string
	newLink, newToken bool
	started           func(address string) // for tests; nil is nobody
	secrets           string               // for tests; "": in the home folder
}

// defaultListen is reached from this computer only.
const defaultListen = "127.0.0.1:8023"

func newServe(env Env) *cobra.Command {
	var o serveOptions
	c := &cobra.Command{
		Use:   "serve",
		Short: "Pages in a browser, an API for programs, and a calendar",
		Long: `Serve answers in a browser: week, day, morning, job, move and log of one or several
jobs. Programs find the same answers under /api/ (described by /api/openapi.json),
calendars under /calendar/, counters under /metrics.

It listens to this computer only, at ` + defaultListen + `. With another --listen, or with
--url behind a proxy that does TLS, it asks for a sign-in: the token is made at the
first start, shown once, and only its hash is kept. A calendar has a link of its own,
which can be ended by itself (--new-calendar-link makes a new one).

What people record goes into the book, which is made if there is none; with --demo
into one that is thrown away at the end. Answers to a job file are kept in the book
once for each forecast. Ctrl-C stops it.`,
		Example: `  dewgap serve --demo
  dewgap serve --job job.yaml --job other.yaml
  dewgap serve --job job.yaml --url https://boats.example
  dewgap serve --job job.yaml --new-calendar-link`,
		Args: noArgs,
	}
	o.serveFlags(c)
	c.RunE = asked(o.checkServe, func(ctx context.Context, s *settings.Settings) error { return runServe(ctx, env, s, o) })
	return c
}

func (o *serveOptions) serveFlags(c *cobra.Command) {
	f := c.Flags()
	f.StringArrayVar(&o.jobs, "job", nil, "job `FILE` (dewgap new writes one); may be given several times")
	f.BoolVar(&o.demo, "demo", false, "an invented boat and invented weather, without a connection")
	f.StringVar(&o.listen, "listen", defaultListen, "address to listen at; other than this computer's own it asks for a sign-in")
	f.StringVar(&o.url, "url", "", "address by which others reach it through a proxy that does TLS, such as https://boats.example; asks for a sign-in")
	f.StringVar(&o.now, "now", "", "the moment that counts as now, RFC 3339; time then stands still (default: the clock)")
	o.weatherFlags(c, "")
	f.StringVar(&o.products, "products", "", "`FILE` with your own products (default: as the settings say)")
	f.StringVar(&o.units, "units", "", "us or metric, on the pages (default: as the settings say)")
	f.StringVar(&o.log, "log", "text", "form of the log on stderr: text, json or none")
	f.BoolVar(&o.newLink, "new-calendar-link", false, "make a new calendar link, which ends the old one, show it, and stop")
	f.BoolVar(&o.newToken, "new-token", false, "make a new sign-in token, which signs everybody out, show it, and stop")
	o.book.flags(c, true)
	complete(c, "units", func() []string { return []string{settings.Metric, settings.US} })
	complete(c, "log", func() []string { return []string{"text", "json", "none"} })
}

// checkServe refuses what cannot be meant.
func (o *serveOptions) checkServe(c *cobra.Command) error {
	if len(o.jobs) > 0 {
		o.job = o.jobs[0]
	}
	o.ways = waysWithJob
	if o.newToken && !o.newLink && len(o.jobs) == 0 && !o.demo {
		return nil // a token is of no job
	}
	if err := o.check(c); err != nil {
		return err
	}
	if o.url != "" {
		if err := web.CheckPublicURL(o.url); err != nil {
			return &usageError{"--url " + o.url + " is no address of a server", "write it as https://boats.example, without a path"}
		}
	}
	if err := checkListen(o.listen); err != nil {
		return err
	}
	if !slices.Contains([]string{"text", "json", "none"}, o.log) {
		return &usageError{"--log " + o.log + " is not known", "give text, json or none"}
	}
	return nil
}

// logger is the log on stderr.
func (o *serveOptions) logger(env Env) *slog.Logger {
	switch o.log {
	case "json":
		return slog.New(slog.NewJSONHandler(env.Stderr, nil))
	case "none":
		return slog.New(slog.DiscardHandler)
	}
	return slog.New(slog.NewTextHandler(env.Stderr, nil))
}

// runServe serves until the context ends.
func runServe(ctx context.Context, env Env, s *settings.Settings, o serveOptions) error {
	signIn := o.url != "" || !web.Loopback(o.listen)
	secrets, err := o.openSecrets(s, env.Now)
	if err != nil {
		return err
	}
	if o.newToken || o.newLink {
		return o.renew(env, secrets)
	}
	if signIn && o.secretsFile(s) == "" {
		return &app.Problem{Text: "there is no folder to keep the sign-in in", Fix: "set " + settings.HomeEnv}
	}
	log := o.logger(env)
	metrics := web.NewMetrics()
	d, close, err := o.desk(ctx, env, s, metrics, log)
	if err != nil {
		return err
	}
	defer close()
	pages, err := servePages(env, s, d, o, signIn, log)
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", o.listen)
	if err != nil {
		return cannotListen(o.listen, err)
	}
	defer func() { _ = l.Close() }() // Serve has closed it
	server, err := web.New(web.Config{
		Desk: d, Pages: pages, Calendar: calendarOf{d, log, proseIn(o.options(env, s))}, Metrics: metrics, Log: log, Version: env.Version, Now: env.Now,
		Loopback: web.Loopback(o.listen), PublicURL: o.url, SignIn: signIn, Secrets: secrets,
	})
	if err != nil {
		return err
	}
	if err := o.greet(env.Stdout, l.Addr().String(), signIn, secrets); err != nil {
		return err
	}
	if o.started != nil {
		o.started(l.Addr().String())
	}
	d.Warm()
	return server.Serve(ctx, l)
}

// secretsFile is where the sign-in is kept, "" if the system names no folder.
func (o *serveOptions) secretsFile(s *settings.Settings) string {
	if o.secrets != "" || s.Home == "" {
		return o.secrets
	}
	return filepath.Join(s.Home, "serve.json")
}

func (o *serveOptions) openSecrets(s *settings.Settings, now func() time.Time) (*web.Secrets, error) {
	file := o.secretsFile(s)
	secrets, err := web.OpenSecrets(file, now)
	if err != nil {
		return nil, &app.Problem{Where: file, Text: err.Error(), Fix: "mend or remove the file; the next start makes a new token", Err: err}
	}
	return secrets, nil
}

// renew makes a new token or a new calendar link and shows it.
func (o *serveOptions) renew(env Env, secrets *web.Secrets) error {
	if o.newToken {
		token, err := secrets.NewToken()
		if err != nil {
			return err
		}
		fmt.Fprintf(env.Stdout, "New sign-in token, shown only now; everybody is signed out:\n%s\n", token)
	}
	if !o.newLink {
		return nil
	}
	token, err := secrets.NewCalendar()
	if err != nil {
		return err
	}
	fmt.Fprintln(env.Stdout, "New calendar link, shown only now; the old one has ended:")
	for _, id := range desk.IDs(o.jobs, o.demo) {
		fmt.Fprintln(env.Stdout, web.CalendarLink(o.base(o.listen), token, id))
	}
	return nil
}

// base is the address by which the server is reached.
func (o *serveOptions) base(listen string) string {
	if o.url != "" {
		return o.url
	}
	host, port, err := net.SplitHostPort(listen)
	if ip := net.ParseIP(host); err == nil && (host == "" || ip.IsUnspecified()) {
		host = "localhost"
		if name, err := os.Hostname(); err == nil {
			host = name
		}
		return "http://" + net.JoinHostPort(host, port)
	}
	return "http://" + listen
}

// greet says where the server is, and the token when it has just been made.
func (o *serveOptions) greet(w io.Writer, address string, signIn bool, secrets *web.Secrets) error {
	base := o.base(address)
	if !signIn {
		_, err := fmt.Fprintf(w, "dewgap serves %s to this computer only. Ctrl-C stops it.\n", base)
		return err
	}
	token, made, err := secrets.EnsureToken()
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "dewgap serves %s. Ctrl-C stops it.\n", base)
	if made {
		fmt.Fprintf(w, "Sign-in token, shown only this once:\n%s\n", token)
	} else {
		fmt.Fprintln(w, "The sign-in token is the one that was shown at the first start; --new-token makes another.")
	}
	if !strings.HasPrefix(o.url, "https://") {
		fmt.Fprintln(w, `What goes over the network is not encrypted, the token included. Put TLS before it:
let a proxy on this computer do TLS for a name of yours and hand on to 127.0.0.1:8023
with the Host and X-Forwarded-For of the request, and start dewgap serve with
--listen 127.0.0.1:8023 --url https://NAME. Or reach it through a tunnel:
ssh -L 8023:127.0.0.1:8023 THIS-COMPUTER, and leave --listen out.`)
	}
	return nil
}

// desk opens the jobs; close ends everything that was opened.
func (o *serveOptions) desk(ctx context.Context, env Env, s *settings.Settings, m *web.Metrics, log *slog.Logger) (*desk.Desk, func(), error) {
	classes, own, _, err := loadClasses(o.products, s)
	if err != nil {
		return nil, nil, err
	}
	clock, src, err := o.clockAndSource(env, s)
	if err != nil {
		return nil, nil, err
	}
	b, closeBook, err := o.serveBook(ctx, env, s)
	if err != nil {
		return nil, nil, err
	}
	cfg := desk.Config{
		Files: o.jobs, Demo: o.demoFile(), Source: src, Clock: clock, Classes: classes, Products: own, Timezone: o.timezone,
		Model: o.model, Futures: app.Futures, MaxAge: s.Age, Warnings: s.Warnings, Version: env.Version, KeepAnswers: !o.demo,
		Watch: m.Watch(func(what string, err error) { log.Warn(what, "error", err) }),
	}
	if o.noDress {
		cfg.Futures = 0
	}
	if b != nil {
		cfg.Book, cfg.BookFile = app.Stored{Book: b}, b.Path()
	}
	d, err := desk.New(cfg)
	if err != nil {
		closeBook()
		return nil, nil, err
	}
	for _, j := range d.Jobs() {
		for _, wrong := range j.Wrong {
			log.Warn("a job cannot be answered", "job", j.ID, "where", wrong.Where, "error", wrong.Error, "fix", wrong.Fix)
		}
	}
	return d, func() { d.Close(); closeBook() }, nil
}

// clockAndSource are the clock, which --now stops, and where forecasts come from.
func (o *serveOptions) clockAndSource(env Env, s *settings.Settings) (app.Clock, app.Source, error) {
	var clock app.Clock = app.ClockFunc(env.Now)
	if o.now != "" {
		now, err := o.moment(time.Time{})
		if err != nil {
			return nil, nil, err
		}
		clock = app.At(now)
	}
	fetched, err := o.fetchedAt()
	if err != nil {
		return nil, nil, err
	}
	if o.demo && o.forecast == "" {
		return clock, demo.Source{Clock: clock}, nil
	}
	return clock, o.from(env, s, clock.Now(), fetched), nil
}

func (o *serveOptions) demoFile() *app.JobFile {
	if !o.demo {
		return nil
	}
	return &app.JobFile{Name: demo.JobName, Data: demo.JobFile()}
}

// serveBook opens the book, makes one where there is none, and one to be thrown away
// for the demo.
func (o *serveOptions) serveBook(ctx context.Context, env Env, s *settings.Settings) (*book.Book, func(), error) {
	flags, remove := o.book, func() {}
	if o.demo && flags.file == "" && !flags.none {
		folder, err := os.MkdirTemp("", "dewgap-demo-")
		if err != nil {
			return nil, nil, fmt.Errorf("making a folder for the demo's book: %w", err)
		}
		flags.file, remove = filepath.Join(folder, "book.sqlite"), func() { _ = os.RemoveAll(folder) } // nothing of it is wanted
	}
	b, err := flags.open(ctx, env, s, bookMade)
	if err != nil || b == nil {
		remove()
		return nil, func() {}, err
	}
	return b, func() { _ = b.Close(); remove() }, nil // what was recorded is on the disk
}
