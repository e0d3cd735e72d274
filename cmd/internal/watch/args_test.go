package watch

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestSplitArgs(t *testing.T) {
	for text, want := range map[string][]string{
		`tell`:                     {"tell"},
		`  tell  a	b `:             {"tell", "a", "b"},
		`tell 'a b' "c d"`:         {"tell", "a b", "c d"},
		`tell a" b"'c d'`:          {"tell", "a bc d"},
		`tell '' ""`:               {"tell", "", ""},
		`tell "a \"b\" \\ c"`:      {"tell", `a "b" \ c`},
		`tell '\n' \n`:             {"tell", `\n`, `\n`},
		`tell $HOME * ; rm -r | x`: {"tell", "$HOME", "*", ";", "rm", "-r", "|", "x"},
		`C:\told.exe x`:            {`C:\told.exe`, "x"},
	} {
		got, err := SplitArgs(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, bad := range []string{"", "  ", `'a`, `"a`, `a "b`, "a\x00b", `''`} {
		_, err := SplitArgs(bad)
		assert.Error(t, err, "%q", bad)
	}
}

// quoted is a word between double quotation marks.
func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
}

func TestSplitArgsGivesBackWhatWasQuoted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[ -~ü\t\n]{1,12}`), 1, 5).Draw(t, "words")
		line := make([]string, len(words))
		for i, w := range words {
			line[i] = quoted(w)
		}
		got, err := SplitArgs(strings.Join(line, " "))
		if err != nil {
			t.Fatalf("%v", err)
		}
		for i := range words {
			if got[i] != words[i] {
				t.Fatalf("%q, want %q", got, words)
			}
		}
	})
}

func FuzzSplitArgs(f *testing.F) {
	f.Add(`tell 'a b' "c \" d"`)
	f.Fuzz(func(t *testing.T, s string) {
		list, err := SplitArgs(s)
		if err != nil {
			return
		}
		again := make([]string, len(list))
		for i, w := range list {
			again[i] = quoted(w)
		}
		got, err := SplitArgs(strings.Join(again, " "))
		require.NoError(t, err)
		assert.Equal(t, list, got)
	})
}
