package cli

import (
	"context"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"

	"github.com/spf13/cobra"
)

func newNote(env Env) *cobra.Command {
	c := &cobra.Command{
		Use:   "note",
		Short: "The plan as a short message, for the owner or the crew",
		Args:  noArgs,
	}
	c.AddCommand(
		newNoteTo(env, text.ToOwner, "What is done when, in plain words, with what could change it"),
		newNoteTo(env, text.ToCrew, "Every block: hours, people, step, zone, product, and how"),
	)
	return c
}

// noteOptions are those of the commands beneath dewgap note.
type noteOptions struct {
	question
	moved
	move bool
	to   string // text.ToOwner or text.ToCrew
}

func newNoteTo(env Env, to, short string) *cobra.Command {
	o := noteOptions{to: to}
	c := &cobra.Command{
		Use:   to,
		Short: short,
		Long: short + `.

The note is plain text to be sent as it is. It tells of the plan of the book where that
was moved or its work is under way, held against the newest forecast; else of a week
asked anew, which goes into the book as dewgap week's does. With --move it tells of what moved: of the
newest move in the book, or of one asked anew if there is none since the last week
or --plan, --rain or --left is given.

It exits 0 whatever the plan is like.`,
		Example: "  dewgap note " + to + " --job job.yaml\n  dewgap note " + to + " --job job.yaml --move",
		Args:    noArgs,
	}
	o.ways = waysWithQuick
	o.flags(c)
	o.quickFlags(c)
	o.movedFlags(c)
	c.Flags().BoolVar(&o.move, "move", false, "tell of what moved")
	check := func(c *cobra.Command) error {
		if err := o.check(c); err != nil {
			return err
		}
		if o.given() && !o.move {
			return &usageError{"--plan, --rain and --left go with --move", "add --move, or leave them out"}
		}
		return nil
	}
	c.RunE = asked(check, func(ctx context.Context, s *settings.Settings) error { return runNote(ctx, env, s, o) })
	return c
}

// runNote answers dewgap note owner and dewgap note crew.
func runNote(ctx context.Context, env Env, s *settings.Settings, o noteOptions) error {
	a, request, close, err := o.app(ctx, env, s)
	if err != nil {
		return err
	}
	defer close()
	options := o.options(env, s)
	note, err := o.note(ctx, a, request, options)
	if err != nil {
		return err
	}
	return o.show(env, note, func() error { return text.Note(env.Stdout, note, options) })
}

// note asks for what the note tells of.
func (o *noteOptions) note(ctx context.Context, a *app.App, r app.Request, options text.Options) (*answer.Note, error) {
	if !o.move {
		r.Hold = true // people go by the plan that was moved, or is under way: a note of another one would have two
		week, err := a.Week(ctx, r)
		if err != nil {
			return nil, err
		}
		return text.NoteOfWeek(week, o.to, options), nil
	}
	if !o.given() {
		last, err := a.LastMove(ctx, r)
		if err != nil || last != nil {
			return noteOf(last, o.to, options), err
		}
	}
	m, err := o.moved.move(ctx, a, r)
	return noteOf(m, o.to, options), err
}

// noteOf makes a note of a move, none of none.
func noteOf(m *answer.Move, to string, options text.Options) *answer.Note {
	if m == nil {
		return nil
	}
	return text.NoteOfMove(m, to, options)
}
