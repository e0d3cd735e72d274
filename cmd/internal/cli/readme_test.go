package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const readmeFile = "../../../README.md"

func readme(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile(readmeFile)
	require.NoError(t, err)
	return string(data)
}

// shown is a command with its output, cut to some lines, as the README shows it.
var shown = regexp.MustCompile("(<!-- lines ([0-9]+)-([0-9]+) of the output -->\n```console\n[$] dewgap ([^\n]*)\n)([^`]*)(```)")

// What the README shows of an answer is what the program answers.
func TestREADMEOutputs(t *testing.T) {
	old := readme(t)
	count := 0
	fresh := shown.ReplaceAllStringFunc(old, func(block string) string {
		count++
		m := shown.FindStringSubmatch(block)
		from, err := strconv.Atoi(m[2])
		require.NoError(t, err)
		to, err := strconv.Atoi(m[3])
		require.NoError(t, err)
		r := newRun(t)
		r.do(words(m[4])...)
		require.NotContains(t, []int{1, 2}, r.code, r.err.String())
		return m[1] + cut(t, r.out.String(), from, to) + m[6]
	})
	require.GreaterOrEqual(t, count, 3, "outputs found in the README")
	if *update {
		require.NoError(t, os.WriteFile(readmeFile, []byte(fresh), 0o644))
		return
	}
	assert.Equal(t, fresh, old, "the program answers otherwise than the README shows; run with -update and read it")
}

// cut keeps some lines of an output, counted from 1, and marks what it leaves out.
func cut(t *testing.T, out string, from, to int) string {
	t.Helper()
	lines := strings.SplitAfter(out, "\n")
	require.Greater(t, len(lines), from, out)
	kept := strings.Join(lines[from-1:min(to, len(lines))], "")
	if from > 1 {
		kept = "…\n" + kept
	}
	if to < len(lines)-1 {
		kept += "…\n"
	}
	return kept
}

// words splits a command line; "double quotes" hold a word together.
func words(line string) []string {
	var out []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			out = append(out, part)
			continue
		}
		out = append(out, strings.Fields(part)...)
	}
	return out
}

// yamlBlocks are the files that the README shows, whose first line begins so.
func yamlBlocks(t *testing.T, begins string) []string {
	t.Helper()
	var out []string
	for _, block := range strings.Split(readme(t), "```yaml\n")[1:] {
		text, _, ok := strings.Cut(block, "```")
		require.True(t, ok)
		if strings.HasPrefix(text, begins) {
			out = append(out, text)
		}
	}
	require.NotEmpty(t, out, "no block that begins with %s", begins)
	return out
}

// The job in the README is one that check accepts without a word of doubt, and
// that week answers.
func TestREADMEJob(t *testing.T) {
	for _, text := range yamlBlocks(t, "job:") {
		file := filepath.Join(t.TempDir(), "job.yaml")
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		r := newRun(t)
		require.Equal(t, 0, r.do("check", file).code, r.err.String())
		assert.Contains(t, r.out.String(), "no mistakes")
		j, err := job.Parse(file, []byte(text), catalogue(t), job.Options{})
		require.NoError(t, err)
		assert.Empty(t, j.Warnings)
		assert.Equal(t, "Kittiwake", j.Boat)
		assert.Len(t, j.Steps, 4)
	}
}

func catalogue(t *testing.T) *products.Set {
	t.Helper()
	set, err := products.Catalogue()
	require.NoError(t, err)
	return set
}

// The product in the README is one that the program takes, and its words about
// the label are those of the answer.
func TestREADMEProduct(t *testing.T) {
	for _, text := range yamlBlocks(t, "products:") {
		file := filepath.Join(t.TempDir(), "products.yaml")
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		r := newRun(t)
		require.Equal(t, 0, r.do("products", "my-sealant", "--products", file).code, r.err.String())
		assert.Contains(t, r.out.String(), "your label")
	}
}

// Every setting and every exit code stands in the README.
func TestREADMENamesAll(t *testing.T) {
	text := readme(t)
	for _, k := range settings.Keys() {
		assert.Contains(t, text, "`"+k.Env+"`")
	}
	for _, code := range []int{CodeDone, CodeFailed, CodeUsage, codeOfVerdict(answer.Wait), codeOfVerdict(answer.NoGo), codeOfVerdict(answer.Unknown), codeOfVerdict(answer.Marginal)} {
		assert.Regexp(t, `(?m)^\| `+strconv.Itoa(code)+` \|`, text)
	}
	for _, c := range newRoot(newRun(t).env).Commands() {
		if c.IsAvailableCommand() && c.Name() != "completion" && c.Name() != "help" {
			assert.Contains(t, text, "dewgap "+c.Name())
		}
	}
}

func TestWords(t *testing.T) {
	assert.Equal(t, []string{"why", "--zone", "port side", "--at", "09:00"}, words(`why --zone "port side" --at 09:00`))
}
