package draw

import (
	"strings"
	"unicode"
)

// The widths of letters as shares of the type size: a generous sans, so that what
// fits here fits in the fonts of all systems.
func advance(r rune) float64 {
	switch {
	case r == ' ' || strings.ContainsRune("iljtfrI.,:;'|!()[]-·’", r):
		return 0.36
	case strings.ContainsRune("mwMW@%–—…°", r):
		return 0.92
	case unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Cf, r) || r == 0xFE0F:
		return 0
	case r >= 0x2E80: // ideographs, emoji
		return 1.25
	case r >= '0' && r <= '9':
		return 0.64
	case unicode.IsUpper(r):
		return 0.72
	}
	return 0.6
}

// width is how much room words take, in pixels at a type size.
func width(words string, size float64) float64 {
	sum := 0.0
	for _, r := range words {
		sum += advance(r)
	}
	return sum * size
}

// boldness is how much wider bold letters are.
const boldness = 1.16

// shorten cuts words to the room, with an ellipsis. It does not cut between a
// letter and its marks.
func shorten(words string, size, room float64) string {
	words = strings.TrimSpace(words)
	if width(words, size) <= room {
		return words
	}
	sum := advance('…') * size
	cut := 0
	for i, r := range words {
		a := advance(r) * size
		if a > 0 {
			cut = i
			if sum+a > room {
				break
			}
		}
		sum += a
	}
	// A joiner at the end would join the ellipsis.
	return strings.TrimRight(words[:cut], " \u200d\ufe0f") + "…"
}

// wrap breaks words into lines no wider than room.
func wrap(words string, size, room float64) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(words) {
		next := w
		if line != "" {
			next = line + " " + w
		}
		if line != "" && width(next, size) > room {
			lines = append(lines, line)
			next = w
		}
		line = shorten(next, size, room)
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
