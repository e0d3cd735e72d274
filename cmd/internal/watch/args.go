package watch

import (
	"errors"
	"strings"
)

// SplitArgs takes a command line apart as a person means it: words are parted by
// blanks; between single or double quotation marks blanks belong to the word, and
// inside double ones a backslash keeps the next mark or backslash. Nothing else has a
// meaning: no shell sees it, so that nothing is expanded.
func SplitArgs(s string) ([]string, error) {
	var out []string
	var word strings.Builder
	open, inWord := byte(0), false
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch {
		case c == 0:
			return nil, errors.New("a command line cannot hold a zero byte")
		case open == '"' && c == '\\' && i+1 < len(s) && (s[i+1] == '"' || s[i+1] == '\\'):
			i++
			word.WriteByte(s[i])
		case open != 0 && c == open:
			open = 0
		case open != 0:
			word.WriteByte(c)
		case c == '"' || c == '\'':
			open, inWord = c, true
		case c == ' ' || c == '\t' || c == '\n' || c == '\r':
			if inWord {
				out = append(out, word.String())
				word.Reset()
				inWord = false
			}
		default:
			word.WriteByte(c)
			inWord = true
		}
	}
	if open != 0 {
		return nil, errors.New("a quotation mark is not closed")
	}
	if inWord {
		out = append(out, word.String())
	}
	if len(out) == 0 || out[0] == "" {
		return nil, errors.New("there is no command")
	}
	return out, nil
}
