package watch

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"
	"unicode"

	"dewgap/cmd/internal/answer"
)

// standing says in one line how things stand.
func standing(s seen) string {
	w := s.week
	switch {
	case w == nil && s.failure != nil:
		return failureWords(s.failure)
	case w == nil:
		return "no answer"
	case s.status != answer.WatchOK && len(w.Warnings) > 0:
		return w.Verdict + ": " + w.Warnings[0]
	}
	text := w.Verdict
	switch p := w.Plan; {
	case p == nil:
	case p.State == answer.None:
		text += "; no plan"
		if len(p.Why) > 0 {
			text += ": " + p.Why[0]
		}
	case len(p.Blocks) == 0:
		text += "; all work is done"
	default:
		text += planWords(p)
	}
	return text
}

func planWords(p *answer.Plan) string {
	first := p.Blocks[0]
	for _, b := range p.Blocks {
		if b.From.Before(first.From) {
			first = b
		}
	}
	of := "; plan of "
	if p.Part != nil {
		of = "; plan of a part of the job, "
	}
	text := of + fmt.Sprintf("%s on %s, first %s, %s %s", count(len(p.Blocks), "block"), count(p.Days, "day"),
		first.Step, first.Zone, span(first.From, first.To))
	if p.Waits() {
		text += fmt.Sprintf("; %s of it marginal: needs your yes", count(p.Consents, "block"))
	}
	return text
}

func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

func failureWords(f *answer.Failure) string {
	text := f.Error
	if f.Where != "" {
		text = f.Where + ": " + text
	}
	return text
}

// subject names the job and what has happened, on one line.
func subject(n *answer.Watch) string {
	name := n.Boat
	if n.Job != "" {
		name = strings.TrimPrefix(name+": "+n.Job, ": ")
	}
	if name == "" {
		name = filepath.Base(n.File)
	}
	return plain(name + ", " + kindWords(n))
}

func kindWords(n *answer.Watch) string {
	if ofRain(n.Changes) {
		return "rain comes onto fresh work"
	}
	switch n.Kind {
	case answer.WatchFirst:
		return "watched from now on"
	case answer.WatchChanged:
		return "changed"
	case answer.WatchBack:
		if len(n.Changes) == 0 {
			return "an answer again, nothing has changed"
		}
		return "an answer again, and it has changed"
	case answer.WatchEnded:
		return "the job is over"
	}
	switch n.Status {
	case answer.WatchStale:
		return "the forecast is too old for today"
	case answer.WatchOffline:
		return "no forecast to be had"
	case answer.WatchBadJob:
		return "cannot be answered"
	}
	return "unknown"
}

// mostChanges are told one by one, on the terminal and by mail.
const mostChanges = 12

// message is the news in lines, for mail.
func message(n *answer.Watch) string {
	var b strings.Builder
	line := func(text string) { b.WriteString(plain(text) + "\n") }
	line(subject(n) + ".")
	line(stamp(n.At))
	b.WriteString("\n")
	for i, c := range n.Changes {
		if i == mostChanges {
			line(fmt.Sprintf("- %d more", len(n.Changes)-i))
			break
		}
		line("- " + c.Text)
	}
	if len(n.Changes) > 0 {
		b.WriteString("\n")
	}
	line("Now: " + n.Text)
	if n.Failure != nil && n.Failure.Fix != "" {
		line("To do: " + n.Failure.Fix)
	}
	for _, l := range n.Limits {
		line("Note: " + l + ".")
	}
	if n.Attrib != "" {
		b.WriteString("\n")
		line(n.Attrib)
	}
	line(n.Deferral)
	return b.String()
}

func stamp(t time.Time) string { return t.Format("Mon 2 Jan 2006 15:04 MST") }

// plain is a text on one line, without what cannot be seen or turns the direction of
// reading.
func plain(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	return strings.Join(strings.Fields(s), " ")
}
