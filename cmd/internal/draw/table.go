package draw

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Write writes the table as plain text: the caption, the heads, and the rows in
// columns that are as wide as their cells. What would steer a terminal is left out.
func (t Table) Write(w io.Writer) error {
	wide := make([]int, len(t.Head))
	lines := make([][]string, 0, len(t.Rows)+1)
	for _, row := range append([][]string{t.Head}, t.Rows...) {
		line := make([]string, len(row))
		for i, cell := range row {
			line[i] = visible(cell)
			if i < len(wide) {
				wide[i] = max(wide[i], utf8.RuneCountInString(line[i]))
			}
		}
		lines = append(lines, line)
	}
	var b strings.Builder
	b.WriteString(visible(t.Caption) + "\n\n")
	for _, line := range lines {
		var out strings.Builder
		for i, cell := range line {
			out.WriteString(cell)
			if i < len(wide) {
				out.WriteString(strings.Repeat(" ", wide[i]-utf8.RuneCountInString(cell)+2))
			}
		}
		b.WriteString(strings.TrimRight(out.String(), " ") + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// visible leaves out control characters and those that turn the direction of
// writing, and makes one line.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case r == utf8.RuneError || unicode.Is(unicode.Cc, r) || directs(r):
			return -1
		}
		return r
	}, s)
}
