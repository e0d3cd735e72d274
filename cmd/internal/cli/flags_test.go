package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// aFlag is a flag of a command as these tests see it: what cobra's usage says of it.
type aFlag struct{ name, kind string }

// flagsOf are the flags of a command, its own and the global ones.
func flagsOf(c *cobra.Command) []aFlag {
	var out []aFlag
	c.InitDefaultHelpFlag()
	for _, m := range flagLine.FindAllStringSubmatch(c.LocalFlags().FlagUsages()+c.InheritedFlags().FlagUsages(), -1) {
		name := strings.TrimPrefix(m[1], "--")
		out = append(out, aFlag{name, c.Flag(name).Value.Type()})
	}
	return out
}

// ours reports whether a command's words are this program's and not cobra's.
func ours(path []string) bool {
	return len(path) > 0 && path[0] != "help" && path[0] != "completion"
}

// refused wants one line of what is wrong and one of what to do, and nothing answered;
// with --json one object with the same words.
func refused(t *testing.T, r *run, code int, args ...string) answer.Failure {
	t.Helper()
	r.do(args...)
	require.Equal(t, code, r.code, "%v: %s", args, r.err.String())
	require.Empty(t, r.out.String(), args)
	lines := strings.Split(strings.TrimRight(r.err.String(), "\n"), "\n")
	require.Len(t, lines, 2, "%v: %s", args, r.err.String())
	f := answer.Failure{Error: strings.TrimPrefix(lines[0], "dewgap: "), Fix: strings.TrimPrefix(lines[1], "   fix: ")}
	require.NotEqual(t, lines[0], f.Error, args)
	require.NotEqual(t, lines[1], f.Fix, args)
	require.NotEmpty(t, f.Fix, args)
	return f
}

// Every flag of every command that takes a number, a length of time or a yes says so when
// it is given something else, and where to look it up.
func TestFlags_OfTheWrongKind(t *testing.T) {
	r := newRun(t)
	kinds := map[string]int{}
	everyCommand(t, r.env, func(c *cobra.Command, path []string) {
		if !ours(path) {
			return
		}
		for _, f := range flagsOf(c) {
			if !slices.Contains([]string{"bool", "int", "int64", "float64", "duration"}, f.kind) {
				continue
			}
			kinds[f.kind]++
			got := refused(t, r, CodeUsage, append(slices.Clone(path), "--"+f.name+"=nope")...)
			assert.Contains(t, got.Error, "--"+f.name, path)
			assert.Contains(t, got.Error, `"nope"`, path)
			assert.True(t, strings.HasSuffix(got.Error, map[string]string{
				"bool": "that is neither true nor false", "int": "that is no whole number", "int64": "that is no whole number",
				"float64": "that is no number", "duration": "that is no length of time such as 15m or 2h",
			}[f.kind]), got.Error)
			assert.Equal(t, "see dewgap "+strings.Join(path, " ")+" --help", got.Fix)
		}
	})
	for _, kind := range []string{"bool", "int", "int64", "float64", "duration"} {
		assert.Positive(t, kinds[kind], "no flag of the kind %s was tried", kind)
	}
}

// A value that was forgotten at the end of the line is asked for by the flag's name.
func TestFlags_WithoutTheirValue(t *testing.T) {
	r := newRun(t)
	n := 0
	everyCommand(t, r.env, func(c *cobra.Command, path []string) {
		if !ours(path) {
			return
		}
		for _, f := range flagsOf(c) {
			if f.kind == "bool" {
				continue
			}
			n++
			got := refused(t, r, CodeUsage, append(slices.Clone(path), "--"+f.name)...)
			assert.Equal(t, "flag needs an argument: --"+f.name, got.Error, path)
			assert.Equal(t, "see dewgap "+strings.Join(path, " ")+" --help", got.Fix)
		}
	})
	assert.Greater(t, n, 150)
}

// No command takes a flag that it does not have, long or short, or an argument that means
// nothing to it; each says which.
func TestFlags_Unknown(t *testing.T) {
	r := newRun(t)
	dir := t.TempDir()
	t.Chdir(dir)
	everyCommand(t, r.env, func(c *cobra.Command, path []string) {
		if !ours(path) {
			return
		}
		for _, wrong := range []string{"--nonsuch", "--nonsuch=1", "-Z"} {
			got := refused(t, r, CodeUsage, append(slices.Clone(path), wrong)...)
			assert.Contains(t, got.Error, strings.TrimSuffix(strings.TrimLeft(wrong, "-"), "=1"), path)
			assert.Contains(t, got.Fix, "--help", path)
		}
		if path[0] == "products" || slices.Contains([]string{"check", "new", "show", "import", "backup"}, path[len(path)-1]) && path[len(path)-1] != "show" {
			return // these take arguments
		}
		if path[0] == "book" && len(path) == 2 && path[1] == "show" {
			return
		}
		got := refused(t, r, CodeUsage, append(slices.Clone(path), "yesterday")...)
		assert.Contains(t, got.Error, "yesterday", path)
	})
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left, "what cannot be meant leaves nothing behind")
}

// A failure is JSON for whoever asked for JSON, however they wrote that.
func TestFlags_FailuresFollowJSON(t *testing.T) {
	r := newRun(t)
	for line, asJSON := range map[string]bool{
		"week --json": true, "week --json=true": true, "week --json=1": true, "week --json=T": true,
		"week": false, "week --json=false": false, "week --json=0": false, "week -- --json": false,
	} {
		r.do(strings.Fields(line)...)
		assert.Equal(t, CodeUsage, r.code, line)
		assert.Equal(t, asJSON, json.Valid(r.err.Bytes()), "%s: %s", line, r.err.String())
		assert.Equal(t, strings.Contains(line, "json") && asJSON, wantsJSON(strings.Fields(line)), line)
	}
	r.do("week", "--demo", "--json=1")
	assert.True(t, json.Valid(r.out.Bytes()), "as the answer itself")
}

// What the shell offers for a flag is what the command takes.
func TestFlags_CompletionOffersWhatIsTaken(t *testing.T) {
	r := newRun(t)
	dir := t.TempDir()
	t.Chdir(dir)
	n := 0
	everyCommand(t, r.env, func(c *cobra.Command, path []string) {
		if !ours(path) || path[0] == "serve" { // serve would begin to serve
			return
		}
		for _, f := range flagsOf(c) {
			if _, ok := c.GetFlagCompletionFunc(f.name); !ok {
				continue
			}
			r.do(append(append([]string{"__complete"}, path...), "--"+f.name, "")...)
			offered := strings.Fields(strings.Split(r.out.String(), "\n:")[0])
			require.NotEmpty(t, offered, "%v --%s", path, f.name)
			if len(offered) > 10 { // of the whole catalogue some do
				offered = []string{offered[0], offered[len(offered)/2], offered[len(offered)-1]}
			}
			for _, value := range offered {
				n++
				args := append(slices.Clone(path), "--"+f.name, value)
				switch {
				case slices.Contains([]string{"kind", "seal"}, f.name) && path[0] != "new":
					args = append(args, "--at", "43,-70", "--length", "11m")
					if f.name == "seal" {
						args = append(args, "--kind", "catamaran")
					}
				case c.Flag("job") != nil:
					args = append(args, "--job", "none.yaml")
				}
				if c.Flag("forecast") != nil {
					if f.name != "source" {
						args = append(args, "--forecast", "none.json")
					}
				}
				if path[0] == "watch" {
					args = append(args, "--once")
				}
				r.do(args...)
				wrong, _, _ := strings.Cut(r.err.String(), "\n")
				assert.NotContains(t, wrong, "--"+f.name+": no ", "%v", args)
				assert.NotContains(t, wrong, "--"+f.name+" "+value, "%v", args)
				assert.NotContains(t, wrong, "is none of", "%v", args)
			}
		}
	})
	assert.Greater(t, n, 100)
}

// The manual is made of the same words as the help: every command says how it ends.
func TestCommand_EveryDescriptionNamesTheExitCodes(t *testing.T) {
	r := newRun(t)
	n := 0
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		n++
		assert.True(t, strings.HasSuffix(c.Long, exitCodes), c.CommandPath())
		assert.Greater(t, len(c.Long), len(exitCodes)+20, "%s says what it does", c.CommandPath())
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(Command(r.env))
	assert.Greater(t, n, 35)
}

// How many answers to list is a number of answers.
func TestBookShow_LastIsANumberOfAnswers(t *testing.T) {
	r := newRun(t)
	file := filepath.Join(t.TempDir(), "book.sqlite")
	require.Equal(t, CodeDone, r.do("book", "init", "--book", file).code)
	for _, n := range []string{"0", "-3"} {
		got := refused(t, r, CodeUsage, "book", "show", "--book", file, "--last="+n)
		assert.Equal(t, "--last "+n+" is no number of answers", got.Error)
		assert.Equal(t, "give 1 or more", got.Fix)
	}
	assert.Equal(t, CodeDone, r.do("book", "show", "--book", file, "--last", "1").code)
}

// The ways to give a boat that exclude one another are those that the command has: the
// --at of why and of the pictures is a moment.
func TestExclusive_NamesOnlyWaysThatThereAre(t *testing.T) {
	r := newRun(t)
	for line, at := range map[string]bool{
		"week --demo --job x": true, "morning --demo --job x": true, "note crew --demo --job x": true,
		"why --demo --job x --zone a --with b": false, "draw day --demo --job x --table": false, "move --demo --job x": false, "place show --demo --job x": false,
	} {
		got := refused(t, r, CodeUsage, strings.Fields(line)...)
		assert.Equal(t, at, strings.Contains(got.Error, "--at"), "%s: %s", line, got.Error)
		assert.Contains(t, got.Error, "exclude one another", line)
	}
}

// A product that there is not is wrong usage of --with in every command that has it, and
// the one that was probably meant is named.
func TestWith_MisspeltProducts(t *testing.T) {
	r := newRun(t)
	for _, line := range []string{
		"season --demo --with polymer-sealnt", "season --demo --with carnauba-wax,polymer-sealnt --json=false",
		"why --demo --zone foredeck --with polymer-sealnt",
	} {
		got := refused(t, r, CodeUsage, strings.Fields(line)...)
		assert.Equal(t, `--with: no product "polymer-sealnt"`, got.Error, line)
		assert.Equal(t, "did you mean polymer-sealant?", got.Fix, line)
	}
}

// A zone without a name is not a zone of the boat.
func TestLog_ZoneWithoutAName(t *testing.T) {
	r := newRun(t)
	for _, args := range [][]string{
		{"log", "done", "--job", "x", "--step", "wash", "--zone", ""},
		{"log", "outcome", "--job", "x", "--step", "wash", "--found", "ok", "--zone", "foredeck", "--zone", ""},
	} {
		got := refused(t, r, CodeUsage, args...)
		assert.Equal(t, "--zone names no zone", got.Error)
	}
}

// What new says to type next can be typed, whatever the file is called.
func TestNew_SaysWhatCanBeTyped(t *testing.T) {
	r := newRun(t)
	t.Chdir(t.TempDir())
	for _, name := range []string{"job.yaml", "my boat's job.yaml", "a;b.yaml"} {
		require.Equal(t, CodeDone, r.do("new", name, "--kind", "catamaran", "--length", "11m").code, r.err.String())
		_, next, ok := strings.Cut(r.out.String(), "then:\n")
		require.True(t, ok)
		for _, line := range strings.Split(strings.TrimSpace(next), "\n") {
			words := strings.ReplaceAll(line, `'\''`, "\x00") // the shell's way to write one mark inside marks
			words = strings.TrimSpace(words)
			got := strings.ReplaceAll(words[strings.LastIndex(words, " ")+1:], "\x00", "'")
			if i := strings.IndexByte(words, '\''); i >= 0 {
				got = strings.ReplaceAll(strings.Trim(words[i:], "'"), "\x00", "'")
			}
			assert.Equal(t, name, got, line)
		}
	}
}

// A correction of another boat's entry is refused at the command line as well, and the
// book is as it was.
func TestLog_CorrectsItsOwnBoatAlone(t *testing.T) {
	r := newRun(t)
	file := sideJobFile(t)
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	other := filepath.Join(t.TempDir(), "tern.yaml")
	require.NoError(t, os.WriteFile(other, []byte(strings.ReplaceAll(string(data), "Kittiwake", "Tern")), 0o600))
	at := []string{"--step", "seal", "--zone", "port side", "--at", monday, "--now", monday}
	require.Equal(t, CodeDone, r.do(append([]string{"log", "done", "--job", file}, at...)...).code, r.err.String())
	before := r.do("book", "show").out.String()
	got := refused(t, r, CodeFailed, append([]string{"log", "done", "--job", other, "--corrects", "1"}, at...)...)
	assert.Contains(t, got.Error, "entry 1 is of Kittiwake")
	assert.Equal(t, before, r.do("book", "show").out.String())
}
