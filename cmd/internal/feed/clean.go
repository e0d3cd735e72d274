package feed

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The most characters of a text; programs cut longer ones themselves, or choke.
const (
	longestLine  = 250
	longestLines = 8000
)

// line is a text as a single line: every break and every run of blanks is one blank.
func line(s string) string {
	return cut(strings.Join(strings.Fields(visible(s)), " "), longestLine)
}

// lines is a text that keeps its line breaks as LF, without blanks at the ends.
func lines(s string) string {
	s = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n", "\u0085", "\n").Replace(s)
	list := strings.Split(visible(s), "\n")
	for i := range list {
		list[i] = strings.TrimRightFunc(list[i], unicode.IsSpace)
	}
	return cut(strings.Trim(strings.Join(list, "\n"), "\n"), longestLines)
}

// visible drops what cannot be seen and could do harm: control characters but for
// line breaks, which it keeps, and the characters that turn the direction of reading.
// Blanks of other kinds stay blanks, and bytes that are no text become U+FFFD.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r == '\t', r == '\v', r == '\f', r == '\r', r == '\u0085', r == '\u2028', r == '\u2029':
			return ' '
		case unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r), r == '\uFEFF', unicode.Is(unicode.Noncharacter_Code_Point, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
}

// cut shortens a text to a number of characters.
func cut(s string, most int) string {
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	n := 0
	for i := range s {
		if n++; n == most {
			return s[:i] + "…"
		}
	}
	return s
}

// longestOctets is how long a line may be without its end (RFC 5545, §3.1).
const longestOctets = 75

// checkLines makes sure of the form of what was written, whoever wrote it: lines that
// end in CR LF, of 75 octets at most, none of which splits a character or has a
// control character in it.
func checkLines(data []byte) error {
	rest, ok := bytes.CutSuffix(data, []byte("\r\n"))
	if !ok {
		return errors.New("the last line has no end")
	}
	for i, l := range bytes.Split(rest, []byte("\r\n")) {
		switch {
		case len(l) > longestOctets:
			return fmt.Errorf("line %d has %d octets", i+1, len(l))
		case len(l) == 0:
			return fmt.Errorf("line %d is empty", i+1)
		case !utf8.Valid(l):
			return fmt.Errorf("line %d splits a character", i+1)
		case bytes.ContainsFunc(l, unicode.IsControl):
			return fmt.Errorf("line %d has a control character in it", i+1)
		}
	}
	return nil
}
