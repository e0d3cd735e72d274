package draw

import (
	"strconv"
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

// counted is so many things in words.
func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.Itoa(n) + " " + what
}

// boldness is how much wider bold letters are.
const boldness = 1.16

// breaks tells between which runes of words a line may end: not between a letter and its
// marks, nor within an emoji that is joined of several.
func breaks(words string) func(i int, r rune) bool {
	return func(i int, r rune) bool {
		toned := r >= 0x1F3FB && r <= 0x1F3FF // a skin tone
		return advance(r) > 0 && !toned && !strings.HasSuffix(words[:i], "\u200d")
	}
}

// shorten cuts words to the room, with an ellipsis.
func shorten(words string, size, room float64) string {
	words = strings.TrimSpace(words)
	if width(words, size) <= room {
		return words
	}
	cut := cutAt(words, size, room-advance('…')*size)
	// A joiner at the end would join the ellipsis.
	return strings.TrimRight(words[:cut], " \u200d\ufe0f") + "…"
}

// cutAt is how many bytes of words fit into the room.
func cutAt(words string, size, room float64) int {
	may := breaks(words)
	sum, cut := 0.0, 0
	for i, r := range words {
		if may(i, r) {
			cut = i
		}
		if sum += advance(r) * size; sum > room {
			return cut
		}
	}
	return len(words)
}

// mostPieces is over how many lines a single word may go.
const mostPieces = 3

// wrap breaks words into lines no wider than room, between words where it can be done,
// else within one.
func wrap(words string, size, room float64) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(words) {
		if line != "" && width(line+" "+w, size) <= room {
			line += " " + w
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for n := 1; n < mostPieces && width(w, size) > room; n++ {
			cut := cutAt(w, size, room)
			if cut == 0 {
				break
			}
			lines = append(lines, w[:cut])
			w = w[cut:]
		}
		line = shorten(w, size, room)
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// wrapTo is wrap in at most so many lines, the last of which ends in an ellipsis where
// that is not all.
func wrapTo(most int, words string, size, room float64) []string {
	lines := wrap(words, size, room)
	if len(lines) <= most {
		return lines
	}
	rest := strings.TrimSuffix(lines[most-1], "…") + "…"
	if width(rest, size) > room {
		rest = shorten(rest+"…", size, room)
	}
	return append(lines[:most-1], rest)
}
