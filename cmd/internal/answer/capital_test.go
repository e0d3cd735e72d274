package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestCapital(t *testing.T) {
	for s, want := range map[string]string{
		"seal": "Seal", "über": "Über", "éclair": "Éclair", "Wash": "Wash", "": "", "\xff": "\uFFFD", "9 days": "9 days", "船": "船",
		"job.yaml:24:10: no step": "job.yaml:24:10: no step", "at 10:20: rain": "At 10:20: rain",
		"my own.yaml:5:14: no step": "my own.yaml:5:14: no step", "rain\nmy own.yaml:5:14: no step": "Rain\nmy own.yaml:5:14: no step",
	} {
		assert.Equal(t, want, Capital(s))
	}
	rapid.Check(t, func(t *rapid.T) {
		s := string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes"))
		once := Capital(s)
		assert.Equal(t, once, Capital(once), "%q", s)
	})
}
