// Package cli is dewgap's command line: one file and one options struct per
// command, flags in, text or JSON out, and an exit code that scripts can rely
// on. It asks package app and renders what that answers; it decides nothing.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"

	"github.com/spf13/cobra"
)

// Env is what the command line knows of the world. All fields but Passing are required.
type Env struct {
	Stdout, Stderr io.Writer
	Getenv         func(name string) string
	// Terminal is the width of the terminal that Stdout is; ok is false where it
	// is none.
	Terminal func() (columns int, ok bool)
	Now      func() time.Time
	// Passing is where a line may be shown that is wiped off again: the error output
	// if that is a terminal, else nil.
	Passing io.Writer
	Version string // of the program
}

// Execute runs one command line, without the program's name, and gives the exit
// code. Nothing is kept between two runs.
func Execute(ctx context.Context, args []string, env Env) int {
	out := &outlet{to: env.Stdout}
	env.Stdout = out
	root := newRoot(env)
	root.SetArgs(args)
	err := out.failed(root.ExecuteContext(ctx))
	if err == nil {
		return CodeDone
	}
	if o, ok := errors.AsType[*outcome](err); ok {
		return o.code
	}
	ran, ok := errors.AsType[*ranError](err)
	if ok {
		err = ran.err
	} else if _, said := errors.AsType[*usageError](err); !said {
		err = unknown(err)
	}
	report(env.Stderr, err, wantsJSON(args), env.lines())
	return codeOf(err)
}

// unknown words cobra's own error: an unknown command, with those like it behind it on
// lines of their own.
func unknown(err error) error {
	what, like, _ := strings.Cut(err.Error(), "\n")
	fix := "dewgap --help lists the commands"
	if _, names, ok := strings.Cut(like, "?\n"); ok {
		fix = "did you mean " + strings.Join(strings.Fields(names), ", ") + "? " + fix
	}
	return &usageError{what, fix}
}

// wantsJSON looks for --json in a command line that may not have been read to
// its end.
func wantsJSON(args []string) bool {
	end := slices.Index(args, "--")
	if end < 0 {
		end = len(args)
	}
	return slices.ContainsFunc(args[:end], func(arg string) bool {
		value, given := strings.CutPrefix(arg, "--json=")
		is, err := strconv.ParseBool(value) // as a flag that is given a value reads it
		return arg == "--json" || given && err == nil && is
	})
}

// Command is the whole tree of commands, for whoever writes a manual of it: the
// exit codes, which help shows at its end, stand in every description.
func Command(env Env) *cobra.Command {
	root := newRoot(env)
	describeExit(root)
	return root
}

func describeExit(c *cobra.Command) {
	if c.Long == "" {
		c.Long = c.Short + "."
	}
	c.Long += "\n" + exitCodes
	for _, sub := range c.Commands() {
		describeExit(sub)
	}
}

func newRoot(env Env) *cobra.Command {
	root := &cobra.Command{
		Use:   "dewgap",
		Short: "When to wash, polish and seal a boat outdoors, and why",
		Long: `dewgap tells a person who washes, machine-polishes and seals boats outdoors when
each step will succeed on each zone of the boat, and why.

Try it:     dewgap week --demo
Your boat:  dewgap week --at 43.07,-70.74 --kind sailing-yacht --length 36ft
Your job:   dewgap new job.yaml --kind sailing-yacht --length 36ft
            dewgap week --job job.yaml`,
		SilenceErrors: true, SilenceUsage: true,
	}
	root.SetOut(env.Stdout)
	root.SetErr(env.Stderr)
	root.SetUsageTemplate(fitted(root.UsageTemplate()) + exitCodes)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return &usageError{text: flagWords(err), fix: "see " + c.CommandPath() + " --help"}
	})
	root.PersistentFlags().String("settings", "", "settings `FILE` to use instead of the usual one (see dewgap where)")
	root.AddCommand(
		newWeek(env), newMorning(env), newSeason(env), newMove(env), newNote(env), newDraw(env), newCalendar(env), newWatch(env), newWhy(env), newSources(env), newProducts(env), newNew(env), newCheck(env),
		newReading(env), newLog(env), newBook(env), newPlace(env), newScore(env), newServe(env), newWhere(env), newVersion(env),
	)
	root.InitDefaultCompletionCmd()
	strictGroups(root)
	strictHelp(root)
	fit(root)
	return root
}

// strictGroups makes an unknown command beneath log, book and their like wrong
// usage; cobra itself shows the help of the group and calls that done.
func strictGroups(root *cobra.Command) {
	for _, c := range root.Commands() {
		if c.HasSubCommands() && !c.Runnable() {
			c.Args = noSuch
			c.RunE = runE(func(c *cobra.Command, _ []string) error { return c.Help() })
		}
	}
}

// noSuch refuses what is no command of a group, with those like it.
func noSuch(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	fix := "see " + c.CommandPath() + " --help"
	c.SuggestionsMinimumDistance = 2
	if like := c.SuggestionsFor(args[0]); len(like) > 0 {
		fix = "did you mean " + c.CommandPath() + " " + strings.Join(like, ", ") + "? " + fix
	}
	return &usageError{"what is " + strings.Join(args, " ") + "?", fix}
}

// strictHelp makes help on what there is none wrong usage; cobra itself shows
// the help of the program and calls that done.
func strictHelp(root *cobra.Command) {
	root.InitDefaultHelpCmd()
	for _, c := range root.Commands() {
		if c.Name() != "help" {
			continue
		}
		help := c.Run
		c.Run, c.RunE = nil, func(c *cobra.Command, args []string) error {
			found, rest, err := root.Find(args)
			if err != nil || (len(rest) > 0 && found.HasSubCommands()) {
				return &usageError{fmt.Sprintf("no command %q to help with", strings.Join(args, " ")), "dewgap --help lists them"}
			}
			help(c, args)
			return nil
		}
	}
}

// runE wraps a command's function so that its errors can be told from those of
// reading the command line.
func runE(f func(c *cobra.Command, args []string) error) func(*cobra.Command, []string) error {
	return func(c *cobra.Command, args []string) error {
		err := f(c, args)
		if err == nil {
			return nil
		}
		return &ranError{err}
	}
}

// asked makes a command of what it refuses of its flags and of how it answers by the
// settings.
func asked(check func(c *cobra.Command) error, run func(ctx context.Context, s *settings.Settings) error) func(*cobra.Command, []string) error {
	return runE(func(c *cobra.Command, _ []string) error {
		if err := check(c); err != nil {
			return err
		}
		s, err := loadSettings(c)
		if err != nil {
			return err
		}
		return run(c.Context(), s)
	})
}

// ranError is an error of a command that was understood.
type ranError struct{ err error }

func (e *ranError) Error() string { return e.err.Error() }
func (e *ranError) Unwrap() error { return e.err }

// usageError is a command line that cannot be meant.
type usageError struct{ text, fix string }

func (e *usageError) Error() string { return e.text }

// outcome is an answer that was given and that is not "go".
type outcome struct{ code int }

func (o *outcome) Error() string { return "" }

// settled turns a verdict into what Execute makes the exit code of.
func settled(code int) error {
	if code != CodeDone {
		return &outcome{code}
	}
	return nil
}

// noArgs refuses arguments with words of its own.
func noArgs(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return &usageError{"what is " + strings.Join(args, " ") + "?", "see " + c.CommandPath() + " --help"}
	}
	return nil
}

// write writes an answer as JSON.
func write(env Env, v any) error { return answer.Write(env.Stdout, v) }
