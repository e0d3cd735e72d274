package cli

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// everyCommand gives each command of the program with the words that call it.
func everyCommand(t *testing.T, env Env, see func(c *cobra.Command, path []string)) {
	t.Helper()
	var walk func(c *cobra.Command, path []string)
	walk = func(c *cobra.Command, path []string) {
		see(c, path)
		for _, sub := range c.Commands() {
			walk(sub, append(path[:len(path):len(path)], sub.Name()))
		}
	}
	walk(newRoot(env), nil)
}

// flagLine is the line of one flag, with its name.
var flagLine = regexp.MustCompile(`(?m)^.*?(--[a-z-]+).*$`)

// Help keeps within a screen of 80 columns and ends with the exit codes, and no
// flag is without words.
func TestEveryHelpFitsTheScreen(t *testing.T) {
	r := newRun(t)
	n := 0
	everyCommand(t, r.env, func(c *cobra.Command, path []string) {
		if len(path) > 0 && path[0] == "help" || len(path) > 1 && path[0] == "completion" { // cobra's own words
			return
		}
		n++
		r.do(append(path[:len(path):len(path)], "--help")...)
		require.Equal(t, CodeDone, r.code, path)
		for line := range strings.SplitSeq(r.out.String(), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), screenColumns, "%v: %s", path, line)
		}
		flat := strings.Join(strings.Fields(r.out.String()), " ")
		assert.True(t, strings.HasSuffix(flat, "13 marginal: only consent is missing"), path)
		assert.NotContains(t, r.out.String(), "\t", path)
		for _, flag := range flagLine.FindAllStringSubmatch(c.LocalFlags().FlagUsages(), -1) {
			assert.Contains(t, flat, flag[1], path)
			assert.Regexp(t, `\S {2,}\S.* \S`, flag[0], "%v: what it is for", path)
		}
	})
	assert.Greater(t, n, 35)
}

// flagWord is the word for the value of a flag that names a file or a folder.
var flagWord = regexp.MustCompile(`--(job|products|forecast|readings|weather|plan|settings|book|out|output|csv) (\S+)  `)

// A flag that takes the name of a file or a folder says so where others say string.
func TestFlagsThatTakeFilesSaySo(t *testing.T) {
	n := 0
	everyCommand(t, newRun(t).env, func(c *cobra.Command, path []string) {
		for _, flag := range flagWord.FindAllStringSubmatch(c.LocalFlags().FlagUsages(), -1) {
			n++
			want := "FILE"
			if flag[1] == "csv" {
				want = "FOLDER"
			}
			assert.Equal(t, want, flag[2], "%v --%s", path, flag[1])
		}
	})
	assert.Greater(t, n, 60)
}

// What the examples of the help show can be typed: the command is there and takes
// those flags. A shell takes the lines as they stand.
func TestExamplesCanBeTyped(t *testing.T) {
	r := newRun(t)
	n := 0
	everyCommand(t, r.env, func(c *cobra.Command, path []string) {
		for _, line := range strings.Split(strings.ReplaceAll(c.Example, "\\\n", ""), "\n") {
			line, _, _ = strings.Cut(line, "  #")
			line, _, _ = strings.Cut(line, " > ")
			words := shellWords(line)
			if len(words) == 0 {
				continue
			}
			n++
			require.Equal(t, "dewgap", words[0], line)
			found, rest, err := newRoot(r.env).Find(words[1:])
			require.NoError(t, err, line)
			require.NoError(t, found.ParseFlags(rest), line)
			if found.Args != nil {
				require.NoError(t, found.Args(found, found.Flags().Args()), line)
			}
			if own := strings.Join(path, " "); !strings.Contains(line, own) {
				require.Contains(t, c.Example, "dewgap "+own, "an example of something else")
			}
		}
	})
	assert.Greater(t, n, 50)
}

// shellWords parts a line at blanks outside quotation marks.
func shellWords(line string) []string {
	var out []string
	word, quote, in := "", rune(0), false
	for _, c := range line {
		switch {
		case quote != 0 && c == quote:
			quote = 0
		case quote == 0 && (c == '"' || c == '\''):
			quote, in = c, true
		case quote == 0 && c == ' ':
			if in {
				out = append(out, word)
			}
			word, in = "", false
		default:
			word, in = word+string(c), true
		}
	}
	if in {
		out = append(out, word)
	}
	return out
}

func TestContinued(t *testing.T) {
	short := "  dewgap week --demo"
	assert.Equal(t, short, continued(short))
	long := `  dewgap reading add --job job.yaml --zone "port side" --product polymer-sealant --haze-min 38 --to readings.yaml`
	assert.Equal(t, "  dewgap reading add --job job.yaml --zone \"port side\" \\\n      --product polymer-sealant --haze-min 38 --to readings.yaml", continued(long))
	rapid.Check(t, func(rt *rapid.T) {
		line := "  dewgap"
		for range rapid.IntRange(0, 12).Draw(rt, "flags") {
			line += " --" + rapid.StringMatching(`[a-z]{2,12} [a-z0-9.]{1,30}`).Draw(rt, "flag")
		}
		got := continued(line)
		for part := range strings.SplitSeq(got, "\n") {
			assert.LessOrEqual(rt, len(part), screenColumns)
		}
		assert.Equal(rt, strings.Fields(line), strings.Fields(strings.ReplaceAll(got, "\\\n", "")), "a shell sees the same words")
	})
}

// Paragraphs are broken anew, tables are left alone.
func TestFit(t *testing.T) {
	c := &cobra.Command{Long: strings.Repeat("word ", 30) + "end.\nSecond line.\n\nKey:    a table   of " + strings.Repeat("x", 80)}
	table := strings.Split(c.Long, "\n\n")[1]
	fit(c)
	text, rest, _ := strings.Cut(c.Long, "\n\n")
	assert.Equal(t, table, rest)
	assert.Equal(t, strings.Repeat("word ", 30)+"end. Second line.", strings.ReplaceAll(text, "\n", " "))
	for line := range strings.SplitSeq(text, "\n") {
		assert.LessOrEqual(t, len(line), screenColumns)
	}
}

// An unknown command tells those like it in one line, in JSON too.
func TestUnknownCommands(t *testing.T) {
	r := newRun(t)
	for line, want := range map[string][]string{
		"wek":                {`unknown command "wek"`, "did you mean", "week", "dewgap --help"},
		"xyzzy":              {`unknown command "xyzzy"`, "fix: dewgap --help lists the commands"},
		"log dne":            {"what is dne?", "did you mean dewgap log done?", "dewgap log --help"},
		"log xyzzy":          {"what is xyzzy?", "fix: see dewgap log --help"},
		"completion klingon": {"what is klingon?", "dewgap completion --help"},
		"note foreman":       {"what is foreman?"},
		"help xyzzy":         {`no command "xyzzy" to help with`},
	} {
		r.do(strings.Fields(line)...)
		assert.Equal(t, CodeUsage, r.code, line)
		assert.Empty(t, r.out.String(), line)
		for _, w := range want {
			assert.Contains(t, r.err.String(), w, line)
		}
		assert.Equal(t, 2, strings.Count(r.err.String(), "\n"), "what, and what to do")
	}
	r.do("wek", "--json")
	assert.NotContains(t, r.err.String(), `\n`)
}
