package text

import "strings"

// Marks in a string stand where a colour begins and ends. They take no room,
// and become colours, or nothing, when the line is written. Strings that people
// wrote lose them in tidy.
const (
	markFirst = '\uE0F0'
	markLast  = markFirst + rune(len(sgr)) - 1
)

// sgr are the colours of a terminal (ECMA-48, Select Graphic Rendition), in the
// order of the marks.
var sgr = [...]string{
	"\x1b[0m",    // end
	"\x1b[1;32m", // ideal
	"\x1b[32m",   // go
	"\x1b[33m",   // marginal
	"\x1b[31m",   // no-go
	"\x1b[35m",   // unknown
	"\x1b[36m",   // wait
	"\x1b[1m",    // heading
}

// look is how a state is shown: a shape, a word and, as an extra, a colour.
type look struct {
	shape, word string
	colour      rune
}

var looks = map[string]look{
	"ideal":    {"*", "ideal", markFirst + 1},
	"go":       {"+", "go", markFirst + 2},
	"marginal": {"!", "marginal", markFirst + 3},
	"no-go":    {"x", "no-go", markFirst + 4},
	"unknown":  {"?", "unknown", markFirst + 5},
	"wait":     {">", "wait", markFirst + 6},
	"none":     {"x", "none", markFirst + 4}, // of a plan
}

// lookOf finds the look of a state; one that is not known is shown as unknown,
// with its own word.
func lookOf(state string) look {
	if l, ok := looks[state]; ok {
		return l
	}
	return look{"?", tie(name(state, 12)), markFirst + 5}
}

// tag is a state in small letters: "+ go".
func tag(state string) string {
	l := lookOf(state)
	return paint(l.colour, l.shape+nbsp+l.word)
}

// loud is a state in capitals: "+ GO".
func loud(state string) string {
	l := lookOf(state)
	return paint(l.colour, l.shape+nbsp+strings.ToUpper(l.word))
}

// heading is a line's head in capitals.
func heading(s string) string { return paint(markFirst+7, strings.ToUpper(s)) }

func paint(colour rune, s string) string { return string(colour) + s + string(markFirst) }

// legend names the shapes once.
func legend() string {
	return tag("ideal") + "   " + tag("go") + "   " + tag("marginal") + ": only with your yes   " +
		tag("no-go") + "   " + tag("unknown")
}

// rankOf orders states from best to worst.
func rankOf(state string) int {
	for i, s := range [...]string{"ideal", "go", "marginal", "unknown", "no-go"} {
		if s == state {
			return i
		}
	}
	return 3
}
