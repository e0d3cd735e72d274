package job

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What dewgap check says about a file full of mistakes. On a mismatch that is
// meant, run go test ./window/job -run Golden -update and read the difference.
func TestParse_BrokenGolden(t *testing.T) {
	_, err := Parse("broken.yaml", fixture(t, "broken.yaml"), catalogue(t), Options{})
	require.Error(t, err)
	path := filepath.Join("..", "..", "testdata", "jobs", "broken.txt")
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(err.Error()+"\n"), 0o644))
	}
	want, readErr := os.ReadFile(path)
	require.NoError(t, readErr)
	assert.Equal(t, string(want), err.Error()+"\n")
}

// House style of every message: one line, no capital, no full stop, the place
// first.
func TestParse_BrokenMessagesAreInStyle(t *testing.T) {
	_, err := Parse("broken.yaml", fixture(t, "broken.yaml"), catalogue(t), Options{})
	var errs Errors
	require.ErrorAs(t, err, &errs)
	for _, e := range errs {
		assert.NotContains(t, e.Message+e.Fix, "\n")
		assert.False(t, strings.HasSuffix(e.Message, "."), e.Message)
		assert.False(t, strings.HasSuffix(e.Fix, "."), e.Fix)
		assert.Equal(t, strings.ToLower(e.Message[:1]), e.Message[:1])
		assert.Positive(t, e.Line)
		assert.Positive(t, e.Column)
		assert.True(t, strings.HasPrefix(e.Error(), "broken.yaml:"), e.Error())
	}
}

func messagesOf(t *testing.T, tables ...[]mistake) map[string]string {
	out := map[string]string{}
	for _, table := range tables {
		for _, m := range table {
			errs := mistakes(t, strings.Replace(jobWith(m.block), "§", "", 1))
			out[m.block] = errs[0].Message + "\n" + errs[0].Fix
		}
	}
	return out
}

func TestParse_EveryMessageIsInStyle(t *testing.T) {
	for block, text := range messagesOf(t, placeMistakes, boatMistakes, zoneMistakes, stepMistakes, jobMistakes) {
		message, fix, _ := strings.Cut(text, "\n")
		first := strings.TrimLeft(message, "`")
		assert.False(t, strings.HasSuffix(message, ".") || strings.HasSuffix(fix, "."), block)
		assert.NotEmpty(t, fix, "what to do about %s", block)
		assert.False(t, strings.HasPrefix(first, "A ") || strings.HasPrefix(first, "The "), message)
	}
}

// A file cut off anywhere, as by a full disk, is told or read, never a panic.
func TestParse_CutOffAnywhere(t *testing.T) {
	for _, name := range []string{"every-key.yaml", "broken.yaml", "moored.yaml"} {
		data := fixture(t, name)
		for i := 0; i <= len(data); i += 7 {
			j, err := Parse(name, data[:i], catalogue(t), Options{})
			if err != nil {
				checkErrors(t, err, data[:i])
				continue
			}
			checkJob(t, j)
		}
	}
}

// A line left out anywhere likewise.
func TestParse_AnyLineLeftOut(t *testing.T) {
	for _, name := range []string{"every-key.yaml", "kittiwake.yaml", "turned.yaml"} {
		lines := strings.Split(string(fixture(t, name)), "\n")
		for i := range lines {
			text := strings.Join(append(append([]string(nil), lines[:i]...), lines[i+1:]...), "\n")
			j, err := Parse(name, []byte(text), catalogue(t), Options{Timezone: "America/New_York"})
			if err != nil {
				checkErrors(t, err, []byte(text))
				continue
			}
			checkJob(t, j)
		}
	}
}
