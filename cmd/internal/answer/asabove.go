package answer

import (
	"strings"
	"unicode/utf8"
)

// leastAsAbove is how many letters must be the same before a caution refers to another:
// fewer are read as fast as the reference.
const leastAsAbove = 40

// AsAbove is a caution's text without the end that one said before it has as well. Heat in
// three levels, in the sun and in the shade, would otherwise tell six times over of water
// and shade, before which nobody finds the hours.
func AsAbove(text string, said []string) string {
	cut := len(text)
	for _, before := range said {
		if i := sameEnd(text, before); i < cut && utf8.RuneCountInString(text[i:]) >= leastAsAbove {
			cut = i
		}
	}
	head := strings.TrimRight(text[:cut], " ")
	switch {
	case cut == len(text) || head == "":
		return text // the same text again is for the caller to join
	case strings.HasSuffix(head, ","), strings.HasSuffix(head, ";"):
		return head + " the rest as above."
	case strings.HasSuffix(head, "."):
		return head + " The rest as above."
	}
	return head + " as above."
}

// sameEnd is where the end of text begins that it has in common with another, at the
// beginning of a word.
func sameEnd(text, other string) int {
	n := 0
	for n < len(text) && n < len(other) && text[len(text)-1-n] == other[len(other)-1-n] {
		n++
	}
	start := len(text) - n
	if start == 0 || start == len(text) {
		return start
	}
	space := strings.IndexByte(text[start:], ' ')
	if space < 0 {
		return len(text)
	}
	return start + space + 1
}
