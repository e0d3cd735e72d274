package answer

import (
	"strings"
	"unicode/utf8"
)

// Capital makes the first letter of words a capital; what is no letter stays as it is.
func Capital(s string) string {
	_, n := utf8.DecodeRuneInString(s) // of a byte that is no letter it is one
	return strings.ToUpper(s[:n]) + s[n:]
}
