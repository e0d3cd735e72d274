package cli

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/watch"
	"dewgap/forecast/fetch"

	"github.com/spf13/cobra"
)

// watchOptions are those of dewgap watch.
type watchOptions struct {
	question           // of every job; its job is empty
	jobs      []string // files
	every     time.Duration
	once      bool
	command   string
	timeout   time.Duration // of the command
	mail      []string
	webhook   string
	onlyHere  bool
	tellEvery time.Duration // tick, for tests
}

func newWatch(env Env) *cobra.Command {
	o := watchOptions{tellEvery: watch.DefaultTick}
	c := &cobra.Command{
		Use:   "watch",
		Short: "Ask again and again, and tell when an answer changes",
		Long: `Watch asks the week of every job again whenever the forecast service may have news,
and tells when the answer has changed: the verdict, the plan, its blocks, or the first
window of a step. Ages and small shifts are not worth a word. It tells on the
terminal, and as you wish runs a command with the answer as JSON on its input, sends
mail, or posts JSON to a webhook. Where there is a book, what is told is recorded.

A lost connection is told once answers are too old, and once more when they are back.
What was told is remembered: a restart does not tell it again.

The command is no line for a shell: words are parted by blanks, quotation marks keep
them together. Mail and webhook take their servers, names and secrets from the settings
(README: Settings); a webhook is signed, and dials no private network unless the
settings allow it.

With --once it exits 0 when every job was answered and told, else 1.`,
		Example: `  dewgap watch --job kittiwake.yaml --job tern.yaml
  dewgap watch --job kittiwake.yaml --once --mail you@example.org  # for cron
  dewgap watch --job kittiwake.yaml --command "notify-send dewgap 'the plan has changed'"`,
		Args: noArgs,
	}
	o.ways = "give --job FILE (dewgap new writes one), or --demo with --once"
	o.watchFlags(c)
	c.RunE = asked(o.checkWatch, func(ctx context.Context, s *settings.Settings) error { return runWatch(ctx, env, s, o) })
	return c
}

func (o *watchOptions) watchFlags(c *cobra.Command) {
	f := c.Flags()
	f.StringArrayVar(&o.jobs, "job", nil, "job `FILE` (dewgap new writes one); may be given several times")
	f.BoolVar(&o.demo, "demo", false, "with --once: an invented boat and invented weather, without a connection")
	f.DurationVar(&o.every, "every", time.Hour, "the longest time between two looks, 5m to 24h")
	f.BoolVar(&o.once, "once", false, "look once and end, for cron and its like")
	f.StringVar(&o.command, "command", "", "program to run when an answer changes, with its arguments")
	f.DurationVar(&o.timeout, "command-timeout", watch.DefaultTimeout, "after which the program is ended, 1s to 10m")
	f.StringArrayVar(&o.mail, "mail", nil, "address to send mail to (default: mail.to of the settings); may be given several times")
	f.StringVar(&o.webhook, "webhook", "", "address to post to (default: webhook.url of the settings)")
	f.BoolVar(&o.onlyHere, "only-here", false, "neither mail nor webhook, whatever the settings say")
	f.StringVar(&o.now, "now", "", "with --once: the moment to answer for, RFC 3339")
	o.weatherFlags(c, "read anew each time, ")
	f.StringVar(&o.products, "products", "", "`FILE` with your own products (default: as the settings say)")
	f.BoolVar(&o.json, "json", false, "what is told as one line of JSON each; failures as JSON on stderr")
	o.book.flags(c, true)
}

// each are the questions, one for each job.
func (o *watchOptions) each() []question {
	if o.demo || len(o.jobs) == 0 {
		return []question{o.question}
	}
	var out []question
	for _, file := range o.jobs {
		q := o.question
		q.job = file
		out = append(out, q)
	}
	return out
}

func (o *watchOptions) checkWatch(c *cobra.Command) error {
	switch {
	case o.demo && len(o.jobs) > 0:
		return &usageError{"--job and --demo exclude one another", "give one of them"}
	case o.demo && !o.once, o.now != "" && !o.once:
		return &usageError{"--demo and --now go with --once", "add --once: there is nothing to wait for"}
	case o.every < watch.ShortestEvery || o.every > watch.LongestEvery:
		return &usageError{"--every " + fetch.Exact(o.every) + " is out of range", "give 5m to 24h"}
	case o.timeout < time.Second || o.timeout > 10*time.Minute:
		return &usageError{"--command-timeout " + fetch.Exact(o.timeout) + " is out of range", "give 1s to 10m"}
	case o.onlyHere && (len(o.mail) > 0 || o.webhook != ""):
		return &usageError{"--only-here excludes --mail and --webhook", "leave one out"}
	}
	for _, q := range o.each() {
		if err := q.check(c); err != nil {
			return err
		}
	}
	return nil
}

// runWatch answers dewgap watch.
func runWatch(ctx context.Context, env Env, s *settings.Settings, o watchOptions) error {
	w := &watch.Watcher{
		Every: o.every, Tick: o.tellEvery, Now: env.Now,
		Memory: o.memory(env, s), Trouble: func(what string, err error) { warn(env, what, err) },
	}
	if o.now != "" {
		at, err := o.moment(time.Time{})
		if err != nil {
			return err
		}
		w.Now = func() time.Time { return at }
	}
	var err error
	if w.Jobs, err = o.watched(env, s); err != nil {
		return err
	}
	if w.Sinks, err = o.sinks(env, s); err != nil {
		return err
	}
	if !o.once {
		fmt.Fprintf(env.Stderr, "dewgap: watching %d of your jobs; Ctrl-C ends it\n", len(w.Jobs))
		return w.Run(ctx)
	}
	err = w.Once(ctx)
	switch {
	case err != nil && ctx.Err() != nil: // nobody is told of what a person stopped
		return ctx.Err()
	case errors.Is(err, watch.ErrNoAnswer):
		return &outcome{CodeFailed} // what went wrong was told
	}
	return err
}

// memory is where what was told is kept; what is invented is not.
func (o *watchOptions) memory(env Env, s *settings.Settings) watch.Memory {
	switch {
	case o.demo:
		return watch.Forgetful{}
	case s.Home == "":
		warn(env, "what is told cannot be remembered", &app.Problem{Text: "there is no folder for it", Fix: "set " + settings.HomeEnv})
		return watch.Forgetful{}
	}
	return watch.File{Path: filepath.Join(s.Home, "watch.json")}
}

// watched are the jobs, each once.
func (o *watchOptions) watched(env Env, s *settings.Settings) ([]watch.Job, error) {
	var out []watch.Job
	var names []string
	for _, q := range o.each() {
		name := "demo"
		if !q.demo {
			abs, err := filepath.Abs(q.job)
			if err != nil {
				return nil, err
			}
			name = abs
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
			out = append(out, watchedJob{name: name, question: q, env: env, settings: s})
		}
	}
	return out, nil
}

// sinks are who is told.
func (o *watchOptions) sinks(env Env, s *settings.Settings) ([]watch.Sink, error) {
	out := []watch.Sink{watch.Terminal{Out: env.Stdout, JSON: o.json}}
	if o.command != "" {
		args, err := watch.SplitArgs(o.command)
		if err != nil {
			return nil, &usageError{"--command: " + err.Error(), `for example --command "/home/you/told.sh kittiwake"`}
		}
		if _, err := exec.LookPath(args[0]); err != nil {
			return nil, &usageError{"--command: there is no program " + args[0] + " to run", "give the path of a program that you may run"}
		}
		out = append(out, watch.Command{Args: args, Timeout: o.timeout, Secrets: secretVariables()})
	}
	if o.onlyHere {
		return out, nil
	}
	if len(o.mail) > 0 || s.Mail.To != "" {
		m, err := o.mailer(env, s)
		if err != nil {
			return nil, err
		}
		out = append(out, m)
	}
	if o.webhook != "" || s.Webhook.URL != "" {
		h, err := o.hook(env, s)
		if err != nil {
			return nil, err
		}
		out = append(out, h)
	}
	return out, nil
}

func (o *watchOptions) mailer(env Env, s *settings.Settings) (watch.Sink, error) {
	list := s.Mail.To
	if len(o.mail) > 0 {
		list = strings.Join(o.mail, ",")
	}
	to, err := settings.Addresses(list)
	if err != nil {
		return nil, &usageError{"--mail: " + err.Error(), "give an address, as you@example.org"}
	}
	m := &watch.Mail{Settings: s.Mail, To: to, Version: env.Version, Now: env.Now}
	if err := m.Check(); err != nil {
		return nil, &app.Problem{Where: s.File, Text: err.Error(), Fix: "in the settings file or the environment, see dewgap where and the README"}
	}
	return m, nil
}

func (o *watchOptions) hook(env Env, s *settings.Settings) (watch.Sink, error) {
	address := s.Webhook.URL
	if o.webhook != "" {
		address = o.webhook
		if wrong := settings.WrongWebhook(address, s.Webhook.Private); wrong != "" {
			return nil, &usageError{"--webhook " + wrong, "write it with https:// before it, without user name or #"}
		}
	}
	if s.Webhook.Secret == "" {
		return nil, &app.Problem{Where: s.File, Text: "a webhook needs a secret that signs what is sent",
			Fix: "set DEWGAP_WEBHOOK_SECRET to 16 characters or more, here and there"}
	}
	return &watch.Webhook{URL: address, Secret: string(s.Webhook.Secret), Private: s.Webhook.Private, Version: env.Version, Now: env.Now}, nil
}

// secretVariables are those that programs which are run do not get.
func secretVariables() []string {
	var out []string
	for _, k := range settings.Keys() {
		if k.Secret {
			out = append(out, k.Env)
		}
	}
	return out
}
