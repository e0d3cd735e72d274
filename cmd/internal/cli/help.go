package cli

import (
	"strconv"
	"strings"

	"dewgap/cmd/internal/text"

	"github.com/spf13/cobra"
)

// screenColumns is how wide help is, and errors where nobody knows how wide the screen
// is.
const screenColumns = 80

// fitted makes cobra's template of help keep flags within the screen.
func fitted(template string) string {
	return strings.ReplaceAll(template, ".FlagUsages", ".FlagUsagesWrapped "+strconv.Itoa(screenColumns))
}

// fit breaks the words of a command's help, and of all beneath it, where the screen
// ends, so that they are written without counting columns.
func fit(c *cobra.Command) {
	paragraphs := strings.Split(c.Long, "\n\n")
	for i, p := range paragraphs {
		if !strings.Contains(p, "  ") { // else a table
			paragraphs[i] = text.Wrap(strings.ReplaceAll(p, "\n", " "), screenColumns, 0)
		}
	}
	c.Long = strings.Join(paragraphs, "\n\n")
	lines := strings.Split(c.Example, "\n")
	for i, l := range lines {
		lines[i] = continued(l)
	}
	c.Example = strings.Join(lines, "\n")
	for _, sub := range c.Commands() {
		fit(sub)
	}
}

// continued breaks a command line that is too long for the screen before a flag, the
// way that a shell takes it.
func continued(line string) string {
	const more = " \\"
	if len(line) <= screenColumns {
		return line
	}
	out, column := "", 0
	for i, part := range strings.Split(line, " --") {
		if i > 0 {
			part = " --" + part
		}
		if column > 0 && column+len(part)+len(more) > screenColumns {
			out, column = out+more+"\n     ", 5
		}
		out, column = out+part, column+len(part)
	}
	return out
}
