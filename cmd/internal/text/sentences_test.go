package text

import (
	"bytes"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// plainly fills an answer with what a calm person writes: short names without stops or
// blanks at their ends, and counts of which many are one.
func plainly(rt *rapid.T, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			plainly(rt, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && f.Type.String() != "time.Time" {
				key, _, _ := strings.Cut(f.Tag.Get("json"), ",")
				if f.Type.Kind() == reflect.String && wordsOf[key] == nil {
					v.Field(i).SetString(rapid.SampledFrom(calmNames).Draw(rt, key))
					continue
				}
				plainly(rt, v.Field(i))
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			if v.Index(i).Kind() == reflect.String {
				v.Index(i).SetString(rapid.SampledFrom(calmNames).Draw(rt, "word"))
				continue
			}
			plainly(rt, v.Index(i))
		}
	case reflect.Int, reflect.Int64:
		v.SetInt(rapid.SampledFrom([]int64{0, 1, 1, 2, 30}).Draw(rt, "count"))
	}
}

var calmNames = []string{"port side", "seal", "Kittiwake", "Otter Quay", "polymer sealant", "foredeck", "common practice"}

// hygiene are slips of pen that no sentence of a page may have.
var hygiene = regexp.MustCompile(`[^ ] [,;.:](?:\s|$)|[,;:]{2}|\.\.|[;,:]\.|\( | \)|\(\)|%!|<nil>|NaN|Inf\b`)

// oneAndMany are counts that do not agree with their nouns.
var oneAndMany = regexp.MustCompile(`(?:^|[^\d.,–-])1 (?:forecasts|futures|blocks|days|zones|readings|observations|cases|answers|outcomes|pieces|people|places)\b` +
	`|(?:^|[^\d.,–-])(?:0|[2-9]|\d\d+) (?:forecast|future|block|zone|reading|observation|case|answer|outcome|piece|place)\b`)

// Whatever an answer says, the page is made of clean sentences: no blank before a stop,
// no two stops, no empty brackets, nothing that is no number; one thing in the singular
// and more in the plural.
func TestSentencesAreClean(t *testing.T) {
	t.Parallel()
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				f := filler{rt, anyMoments(rt), false}
				a := s.make(f)
				plainly(rt, reflect.ValueOf(a))
				o := Options{Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units")}
				var b bytes.Buffer
				require.NoError(rt, s.show(&b, a, o))
				for _, l := range strings.Split(b.String(), "\n") {
					require.False(rt, hygiene.MatchString(l), "%q", l)
				}
				words := flat(b.String())
				require.False(rt, oneAndMany.MatchString(words), "%q", oneAndMany.FindString(words))
			})
		})
	}
}
