package answer

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

// inFile is the place in a file, whose name may have blanks, at which a warning points.
var inFile = regexp.MustCompile(`^.+?:\d+:\d+: `)

// Capital makes the first letter of words a capital; what is no letter stays as it is, and
// so does the name of a file that a warning begins with.
func Capital(s string) string {
	if inFile.MatchString(s) {
		return s
	}
	_, n := utf8.DecodeRuneInString(s) // of a byte that is no letter it is one
	return strings.ToUpper(s[:n]) + s[n:]
}
