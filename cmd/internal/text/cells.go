package text

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// nbsp keeps a number and its unit, or a day and its date, on one line. It
// leaves the page as a plain space.
const nbsp = "\u00a0"

// tie makes one word of several, and untie takes the ties away.
func tie(s string) string   { return strings.ReplaceAll(s, " ", nbsp) }
func untie(s string) string { return strings.ReplaceAll(s, nbsp, " ") }

// ellipsis ends what was cut.
const ellipsis = "…"

// wideRanges are the blocks whose characters take two cells in a terminal: East
// Asian wide and full-width forms, and emoji (after Unicode Annex 11, in
// substance). Where terminals differ the wider is taken, so that a line may come
// out short but never too long.
var wideRanges = [...][2]rune{
	{0x1100, 0x115F}, {0x2329, 0x232A}, {0x2600, 0x27BF}, {0x2B00, 0x2BFF}, {0x2E80, 0xA4CF},
	{0xA960, 0xA97F}, {0xAC00, 0xD7A3}, {0xF900, 0xFAFF}, {0xFE30, 0xFE6F}, {0xFF00, 0xFF60},
	{0xFFE0, 0xFFE6}, {0x16FE0, 0x18DFF}, {0x1B000, 0x1B2FF}, {0x1F000, 0x1FAFF}, {0x20000, 0x3FFFD},
}

// runeCells is how many cells a character takes: 0, 1 or 2.
func runeCells(r rune) int {
	switch {
	case ordinary(r):
		return 1
	case hidden(r), unicode.In(r, unicode.Mn, unicode.Me):
		return 0
	case r < 0x1100:
		return 1
	}
	for _, w := range wideRanges {
		if r >= w[0] && r <= w[1] {
			return 2
		}
	}
	return 1
}

// ordinary reports the characters of which nearly every page is made.
func ordinary(r rune) bool { return r >= ' ' && r <= '~' || r == '\u00a0' }

// hidden reports a character that never reaches the page: control characters,
// marks that turn the direction of writing, and the colour marks of this
// package, which become colours or nothing.
func hidden(r rune) bool {
	switch {
	case ordinary(r):
		return false
	case unicode.IsControl(r), r == utf8.RuneError:
		return true
	case r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069, r == 0x200E, r == 0x200F, r == 0x061C:
		return true
	case r == 0x2028 || r == 0x2029 || r == 0xFEFF:
		return true
	}
	return r >= markFirst && r <= markLast
}

// cells is the width of a string in a terminal.
func cells(s string) int {
	n := 0
	for _, r := range s {
		n += runeCells(r)
	}
	return n
}

// cut shortens s to at most n cells, ending in … where something is lost.
func cut(s string, n int) string {
	if cells(s) <= n {
		return s
	}
	var b strings.Builder
	left := n - 1
	for _, r := range s {
		if left -= runeCells(r); left < 0 {
			break
		}
		b.WriteRune(r)
	}
	return strings.TrimRight(b.String(), " ,"+nbsp) + ellipsis
}

// cutWords is cut at the end of a word, where that does not lose half of it.
func cutWords(s string, n int) string {
	c := cut(s, n)
	if c == s || strings.HasPrefix(s[len(strings.TrimSuffix(c, ellipsis)):], " ") {
		return c
	}
	if i := strings.LastIndexByte(c, ' '); i > len(c)/2 {
		return strings.TrimRight(c[:i], " ,;:(") + ellipsis
	}
	return c
}

// pad fills s with spaces to n cells; longer strings are left alone.
func pad(s string, n int) string { return s + strings.Repeat(" ", max(0, n-cells(s))) }

// inColumn is pad for what has a neighbour: longer strings keep a blank before it.
func inColumn(s string, n int) string { return pad(s, max(n, cells(s)+1)) }

// padLeft is pad with the spaces in front.
func padLeft(s string, n int) string { return strings.Repeat(" ", max(0, n-cells(s))) + s }

// breaks reports white space at which a line may be broken.
func breaks(r rune) bool { return r != '\u00a0' && unicode.IsSpace(r) }

// tidy makes one line of a string that somebody else wrote: white space becomes
// single spaces, what cannot be shown is dropped.
func tidy(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case breaks(r):
			return ' '
		case hidden(r):
			return -1
		}
		return r
	}, s)
	return strings.Join(strings.Fields(strings.ReplaceAll(s, nbsp, " ")), " ")
}

// Shown is somebody else's words as they may go to a terminal outside a page: one
// line, without what cannot be seen or turns the direction of reading, and no longer
// than anybody reads.
func Shown(s string) string {
	const most = 1000
	return cut(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case hidden(r):
			return -1
		}
		return r
	}, s), most)
}

// Wrap breaks words into lines of at most width cells, the later ones indented by
// hang spaces. What has no blank in it is never broken: paths and addresses are for
// copying.
func Wrap(s string, width, hang int) string {
	var b strings.Builder
	column := 0
	for i, w := range strings.Split(s, " ") {
		switch {
		case i == 0:
		case column+1+cells(w) > width && w != "":
			b.WriteString("\n" + strings.Repeat(" ", hang))
			column = hang
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(w)
		column += cells(w)
	}
	return b.String()
}

// name is somebody's name for a thing, cut to n cells.
func name(s string, n int) string {
	if s = cut(tidy(s), n); s == "" {
		return "(no name)"
	}
	return s
}

// wrap breaks s into lines of at most width cells at its spaces, the first of
// them first cells narrower. Words that are tied and together wider than a line are parted;
// a word that is wider is cut.
func wrap(s string, width, first int) []string {
	var lines []string
	line, room := "", width-first
	taken := 0 // cells of the line
	for _, w := range parted(strings.FieldsFunc(s, breaks), width) {
		wide := cells(w)
		if line != "" && taken+1+wide <= room {
			line += " " + w
			taken += 1 + wide
			continue
		}
		if line != "" || wide > room && wide <= width {
			lines = append(lines, line)
			room = width
		}
		line = cut(w, room)
		taken = cells(line)
	}
	return append(lines, line)
}

// parted are words of which those that are wider than a line are taken apart where they
// are tied.
func parted(words []string, width int) []string {
	for i, w := range words {
		if cells(w) > width && strings.Contains(w, nbsp) {
			out := append(slices.Clone(words[:i]), strings.Split(w, nbsp)...)
			return append(out, parted(words[i+1:], width)...)
		}
	}
	return words
}
