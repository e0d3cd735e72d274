package job

import (
	"slices"
	"strings"
)

// Nearest is the word of a list that was probably meant by a misspelt one, ""
// when none is near enough: at most one slip in three letters, a transposition
// counting as one, and so does leaving out the end of the word. Letter case,
// spaces and hyphens do not count.
func Nearest(word string, words []string) string {
	meant := plain(word)
	best, least := "", len(meant)/3+1
	for _, w := range words {
		d := distance(meant, plain(w), least)
		if len(meant) >= 3 && strings.HasPrefix(string(plain(w)), string(meant)) {
			d = min(d, 1)
		}
		if d < least {
			best, least = w, d
		}
	}
	return best
}

// likely asks for the word that was probably meant, or for the few that have a part in common
// with it, as navy-gelcoat and navy-paint with navy blue; "" where there are none.
func likely(word string, words []string) string {
	if near := Nearest(word, words); near != "" {
		return "did you mean `" + near + "`?"
	}
	var some []string
	for _, w := range words {
		if slices.ContainsFunc(partsOf(word), func(p string) bool { return slices.Contains(partsOf(w), p) }) {
			some = append(some, "`"+w+"`")
		}
	}
	if len(some) == 0 || len(some) > mostLikely {
		return ""
	}
	return "did you mean " + strings.Join(some, " or ") + "?"
}

const mostLikely = 4

func partsOf(word string) []string {
	return strings.FieldsFunc(strings.ToLower(word), func(r rune) bool { return r == ' ' || r == '-' || r == '_' })
}

// joints are what words are joined by; a replacer takes longer to make than to use.
var joints = strings.NewReplacer(" ", "", "-", "", "_", "")

func plain(s string) []rune { return []rune(joints.Replace(strings.ToLower(s))) }

// distance is the optimal string alignment distance of two words, or above+1
// as soon as it is known to exceed above.
func distance(a, b []rune, above int) int {
	if len(a)-len(b) > above || len(b)-len(a) > above {
		return above + 1
	}
	var last []int
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		next := make([]int, len(b)+1)
		next[0] = i
		for j := 1; j <= len(b); j++ {
			next[j] = min(row[j]+1, next[j-1]+1, row[j-1]+differs(a[i-1], b[j-1]))
			if last != nil && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				next[j] = min(next[j], last[j-2]+1)
			}
		}
		last, row = row, next
	}
	return row[len(b)]
}

func differs(a, b rune) int {
	if a == b {
		return 0
	}
	return 1
}
