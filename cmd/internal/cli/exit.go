package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/text"
)

// The exit codes. They are a promise and stand in every help text.
const (
	CodeDone     = 0  // go, or done
	CodeFailed   = 1  // no answer
	CodeUsage    = 2  // the command line cannot be meant
	CodeWait     = 10 // later today
	CodeNoGo     = 11
	CodeUnknown  = 12 // a needed value is missing
	CodeMarginal = 13 // only the person's yes is missing
)

// exitCodes ends every help text.
const exitCodes = `
Exit codes:
  0 go or done, 1 failed, 2 wrong usage, 10 wait, 11 no-go, 12 unknown,
  13 marginal: only consent is missing
`

// codeOfVerdict is the exit code of an answer.
func codeOfVerdict(verdict string) int {
	switch verdict {
	case answer.Go:
		return CodeDone
	case answer.Wait:
		return CodeWait
	case answer.NoGo:
		return CodeNoGo
	case answer.Marginal:
		return CodeMarginal
	case answer.Unknown:
		return CodeUnknown
	}
	return CodeFailed
}

// codeOfWeek is the exit code of a week's answer. A week whose hours all wait for a yes
// has none in which the work is good: its plan asks, the code says no.
func codeOfWeek(verdict string) int {
	if verdict == answer.Marginal {
		return CodeNoGo
	}
	return codeOfVerdict(verdict)
}

// codeOf is the exit code of an error.
func codeOf(err error) int {
	if _, ok := errors.AsType[*usageError](err); ok {
		return CodeUsage
	}
	return CodeFailed
}

// report tells an error: one JSON object, or what is wrong and what to do for each
// mistake, a line each unless a person looks on, whose screen is width wide.
func report(w io.Writer, err error, asJSON bool, width int) {
	list := failures(err)
	if asJSON {
		first := list[0]
		first.More = list[1:]
		_ = answer.Write(w, first) // there is nowhere else to say it
		return
	}
	for _, f := range list {
		sayFailure(w, "dewgap: ", f, width)
	}
}

// sayFailure tells what is wrong and what to do.
func sayFailure(w io.Writer, head string, f answer.Failure, width int) {
	words := f.Error
	if f.Where != "" {
		words = f.Where + ": " + words
	}
	say(w, head+words, width)
	if f.Fix != "" {
		say(w, "   fix: "+f.Fix, width)
	}
}

// say writes a line to a terminal, which names in files must not command; wrapped
// where width is not 0.
func say(w io.Writer, line string, width int) {
	line = text.Shown(line)
	if width > 0 {
		line = text.Wrap(line, width, len("   fix: "))
	}
	fmt.Fprintln(w, line)
}

// lines is the width of the lines of errors: that of the screen where a person looks
// on, else 0, for programs read a line as one thing said.
func (env Env) lines() int {
	if env.Passing == nil {
		return 0
	}
	if columns, ok := env.Terminal(); ok && columns >= 40 {
		return columns
	}
	return screenColumns
}

// failures takes an error apart into what, where and what to do; never empty.
func failures(err error) []answer.Failure {
	if e, ok := errors.AsType[*usageError](err); ok {
		return []answer.Failure{{Error: err.Error(), Fix: e.fix}}
	}
	if errors.Is(err, context.Canceled) {
		return []answer.Failure{{Error: "stopped before there was an answer", Fix: "run it again"}}
	}
	return app.Failures(err)
}
