package products

import (
	"fmt"
	"strings"
)

// Error is one mistake in a products file: where it is, what it is and what to
// do about it.
type Error struct {
	File         string
	Line, Column int    // from 1; columns count characters
	Message      string // lower case, no full stop
	Fix          string // what to do, "" where the message says it
}

// Error gives file:line:column: message; fix.
func (e *Error) Error() string {
	text := fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Column, e.Message)
	if e.Fix != "" {
		text += "; " + e.Fix
	}
	return text
}

// Errors is every mistake found in one file, in the order of the file. The
// list ends early where there are more than a person wants to read at once.
type Errors []*Error

// Error gives one mistake a line.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, one := range e {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets errors.As reach each mistake.
func (e Errors) Unwrap() []error {
	list := make([]error, len(e))
	for i, one := range e {
		list[i] = one
	}
	return list
}

// nearest finds the word of the list that a misspelt one is most likely meant
// to be; false where none is near enough to be worth naming.
func nearest(word string, list []string) (string, bool) {
	if len(word) > 64 {
		return "", false
	}
	best, least := "", max(1, min(3, len(word)/3))+1
	for _, w := range list {
		if d := distance(strings.ToLower(word), w); d < least {
			best, least = w, d
		}
	}
	return best, best != ""
}

// didYouMean words the nearest known name, else lists all that are known.
func didYouMean(word string, list []string) string {
	if w, ok := nearest(word, list); ok {
		return fmt.Sprintf("did you mean %s?", w)
	}
	return "known here: " + strings.Join(list, ", ")
}

// distance counts the letters to add, drop, change or swap with their
// neighbour to turn one word into the other (optimal string alignment).
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last := make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row := make([]int, len(t)+1)
		row[0] = i
		for j := 1; j <= len(t); j++ {
			change := 1
			if s[i-1] == t[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(t)]
}
