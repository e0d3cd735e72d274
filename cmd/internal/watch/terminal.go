package watch

import (
	"context"
	"fmt"
	"io"

	"dewgap/cmd/internal/answer"
)

// Terminal tells on a terminal, or into a log: when, who and what in one line, the
// changes in a second.
type Terminal struct {
	Out  io.Writer
	JSON bool // one line of JSON in place of them
}

// Name is terminal.
func (Terminal) Name() string { return "terminal" }

// Tell writes the lines.
func (t Terminal) Tell(_ context.Context, n *answer.Watch) error {
	if t.JSON {
		return answer.Write(t.Out, brief(n))
	}
	text := plain(n.At.Format("Mon 2 Jan 15:04")+"  "+subject(n)+". "+n.Text) + "\n"
	if len(n.Changes) > 0 {
		text += "   " + changesLine(n.Changes) + "\n"
	}
	if n.Failure != nil && n.Failure.Fix != "" {
		text += "   fix: " + plain(n.Failure.Fix) + "\n"
	}
	for _, l := range n.Limits {
		text += "   note: " + plain(l) + "\n"
	}
	_, err := io.WriteString(t.Out, text)
	return err
}

// onTerminal is how many changes a line tells.
const onTerminal = 3

func changesLine(list []answer.WatchChange) string {
	text := ""
	for i, c := range list {
		if i == onTerminal {
			return plain(fmt.Sprintf("%s; %d more", text, len(list)-i))
		}
		if i > 0 {
			text += "; "
		}
		text += c.Text
	}
	return plain(text)
}

// brief is the news without the whole week.
func brief(n *answer.Watch) *answer.Watch {
	out := *n
	out.Answer = nil
	return &out
}
