package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Error is one mistake in a file that a person wrote.
type Error struct {
	File         string
	Line, Column int    // from 1; 0 where the mistake has no place in the file
	Message      string // what is wrong
	Fix          string // what to do about it; "" where the message says it already
}

// Where is file:line:column, or what is known of it.
func (e Error) Where() string {
	if e.Line == 0 {
		return e.File
	}
	return fmt.Sprintf("%s:%d:%d", e.File, e.Line, e.Column)
}

// Error is the mistake on one line, with its place and its remedy.
func (e Error) Error() string {
	s := e.Message
	if w := e.Where(); w != "" {
		s = w + ": " + s
	}
	if e.Fix != "" {
		s += ": " + e.Fix
	}
	return s
}

// Errors is everything that is wrong with one file, in the order of its lines; of a file
// that is something else altogether the first hundred, and how many more there are. It is
// what Parse returns, never empty when it is returned.
type Errors []Error

// Error is one mistake a line.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, one := range e {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the single mistakes to errors.As.
func (e Errors) Unwrap() []error {
	out := make([]error, len(e))
	for i, one := range e {
		out[i] = one
	}
	return out
}

// mostTold is how many mistakes of one file are told at once.
const mostTold = 100

// told puts the mistakes in order and counts those that nobody would read.
func (e Errors) told() Errors {
	slices.SortStableFunc(e, func(a, b Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if len(e) <= mostTold {
		return e
	}
	next := e[mostTold]
	next.Message = fmt.Sprintf("%d more mistakes from here on", len(e)-mostTold)
	next.Fix = "mend the others first, or name the right file"
	return append(e[:mostTold:mostTold], next)
}
