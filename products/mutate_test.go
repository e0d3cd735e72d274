package products

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tests of this file spoil the catalogue's own text at one spot after the
// other, read it as a person's file and demand the error at that very spot.

// chunk is one product of the catalogue as a file of its own.
type chunk struct {
	id    string
	lines []string
}

// chunks cuts the catalogue into files of one product each.
func chunks(t *testing.T) []chunk {
	t.Helper()
	_, body, ok := strings.Cut(string(catalogue), "\nproducts:\n")
	require.True(t, ok)
	var list []chunk
	for line := range strings.SplitSeq(body, "\n") {
		if id, starts := strings.CutPrefix(line, "  - id: "); starts {
			list = append(list, chunk{id, []string{"products:"}})
		}
		last := &list[len(list)-1]
		last.lines = append(last.lines, line)
	}
	require.Len(t, list, len(theClasses))
	return list
}

// spoil puts text in place of the columns from, to (from 0) of a line (from 0).
func (c chunk) spoil(line, from, to int, text string) []byte {
	out := append([]string{}, c.lines...)
	out[line] = out[line][:from] + text + out[line][to:]
	return []byte(strings.Join(out, "\n"))
}

// firstError reads a spoilt chunk and returns its first mistake.
func firstError(t *testing.T, s *Set, data []byte) *Error {
	t.Helper()
	_, _, err := s.With("own.yaml", data)
	var all Errors
	require.ErrorAs(t, err, &all, "%s", data)
	return all[0]
}

// column counts characters, as an editor does, up to a byte of a line.
func column(line string, b int) int { return len([]rune(line[:b])) + 1 }

// numbers are those that stand as values, in lists and mappings.
var numbers = regexp.MustCompile(`[:\[,] (-?[0-9][0-9.]*)|\[(-?[0-9][0-9.]*)`)

// TestSpoiltNumbers: a number that is none is told at its own place.
func TestSpoiltNumbers(t *testing.T) {
	s, count := catalogueOf(t), 0
	for _, c := range chunks(t) {
		for i, line := range c.lines {
			if wordy(line) {
				continue
			}
			for _, m := range numbers.FindAllStringSubmatchIndex(line, -1) {
				from, to := max(m[2], m[4]), max(m[3], m[5])
				if quoted(line, from) {
					continue
				}
				e := firstError(t, s, c.spoil(i, from, to, "lots"))
				want := fmt.Sprintf("%d:%d", i+1, column(line, from))
				assert.Equal(t, want, fmt.Sprintf("%d:%d", e.Line, e.Column), "%s: %s", c.id, line)
				assert.Contains(t, e.Message, `is no number: "lots"`)
				count++
			}
		}
	}
	assert.Greater(t, count, 1200, "the catalogue has that many numbers")
}

// wordy reports a line of words, whose numbers are part of a sentence.
func wordy(line string) bool {
	for _, key := range []string{"name:", "notes:", "if_violated:", "      - "} {
		if strings.HasPrefix(strings.TrimLeft(line, " -"), key) || strings.HasPrefix(line, key) {
			return true
		}
	}
	return false
}

// quoted reports whether a byte of a line stands in the words of a source.
func quoted(line string, b int) bool {
	i := strings.Index(line, "source:")
	return i >= 0 && b > i && !strings.Contains(line[i:b], "}")
}

// keyAt finds the keys of a line.
var keyAt = regexp.MustCompile(`(?:^\s+(?:- )?|[{,] ?)([a-z0-9_]+):`)

// TestSpoiltKeys: a key that is not known is told at its own place, with the
// key that was meant.
func TestSpoiltKeys(t *testing.T) {
	s, count := catalogueOf(t), 0
	for _, c := range chunks(t) {
		for i, line := range c.lines {
			if strings.HasPrefix(line, "      - ") {
				continue
			}
			for _, m := range keyAt.FindAllStringSubmatchIndex(line, -1) {
				key := line[m[2]:m[3]]
				if quoted(line, m[2]) || wordy(line) && m[2] > 8 || key == "id" || key == "range" {
					continue
				}
				e := firstError(t, s, c.spoil(i, m[2], m[3], key+"q"))
				want := fmt.Sprintf("%d:%d", i+1, column(line, m[2]))
				assert.Equal(t, want, fmt.Sprintf("%d:%d", e.Line, e.Column), "%s: %s", c.id, line)
				assert.Contains(t, e.Message, "has no key "+key+"q")
				assert.Equal(t, "did you mean "+key+"?", e.Fix)
				count++
			}
		}
	}
	assert.Greater(t, count, 1500, "the catalogue has that many keys")
}

// TestSpoiltBooleans: yes and no are told apart from true and false.
func TestSpoiltBooleans(t *testing.T) {
	s, count := catalogueOf(t), 0
	for _, c := range chunks(t) {
		for i, line := range c.lines {
			for word, said := range map[string]string{": true": "yes", ": false": "no"} {
				at := strings.Index(line, word)
				if at < 0 {
					continue
				}
				e := firstError(t, s, c.spoil(i, at+2, len(line), said))
				assert.Equal(t, i+1, e.Line)
				assert.Equal(t, column(line, at+2), e.Column)
				assert.Contains(t, e.Fix, "YAML 1.2")
				count++
			}
		}
	}
	assert.Greater(t, count, 50)
}

// TestCutShort: a file that ends too early is never taken for a whole one with
// a broken value in it: it is read with what is there, or refused.
func TestCutShort(t *testing.T) {
	s := catalogueOf(t)
	for _, c := range chunks(t)[9:12] {
		text := strings.Join(c.lines, "\n")
		for n := 0; n < len(text); n += 7 {
			out, _, err := s.With("own.yaml", []byte(text[:n]))
			if err == nil {
				lawful(t, out)
				continue
			}
			var one *Error
			require.ErrorAs(t, err, &one)
			assert.LessOrEqual(t, one.Line, strings.Count(text[:n], "\n")+1)
		}
	}
}

// TestTexts: what a person reads off the catalogue is in the house's manner.
func TestTexts(t *testing.T) {
	s := catalogueOf(t)
	for _, id := range theClasses {
		c := classOf(t, s, id)
		for _, text := range append(append([]string{}, c.Cautions...), c.Name, c.IfViolated, c.FlashWord, c.HazeWord) {
			assert.False(t, strings.HasSuffix(text, "."), "%s: %s", id, text)
			if text != "" && !strings.HasPrefix(text, "never") {
				first := text[:1]
				assert.Equal(t, strings.ToLower(first), first, "%s: %s", id, text)
			}
		}
		assert.NotEmpty(t, c.Cautions, id)
		assert.True(t, strings.HasSuffix(c.Notes, "."), "%s: notes are sentences", id)
		for _, hype := range []string{"9H", "nano", "permanent", "guarantee", "safe"} {
			assert.NotContains(t, strings.ToLower(c.Notes+c.Name), strings.ToLower(hype), id)
		}
	}
}
