package job

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	words := []string{"latitude", "longitude", "timezone", "wind", "water", "water_c"}
	for word, want := range map[string]string{
		"latitud": "latitude", "lattitude": "latitude", "Timezone": "timezone", "time_zone": "timezone", "wnid": "wind",
		"watre": "water", "waterc": "water_c", "elephant": "", "x": "", "": "", "wine": "wind", "wat": "water", "wa": "",
	} {
		assert.Equal(t, want, Nearest(word, words), word)
	}
	assert.Empty(t, Nearest("word", nil))
}

// Optimal string alignment, by hand: kitten to sitting three, a transposition
// one, ca to abc three (no letter is edited twice).
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"wnid", "wind", 1}, {"ca", "abc", 3}, {"", "abc", 3}, {"seal", "seal", 0}, {"é", "e", 1}} {
		assert.Equal(t, c.want, distance([]rune(c.a), []rune(c.b), 99), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, distance([]rune(c.b), []rune(c.a), 99), "%s %s", c.b, c.a)
	}
	assert.Equal(t, 2, distance([]rune("a"), []rune("abcdef"), 1), "known to exceed 1")
}

func TestNearest_FindsAWordWithOneSlip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.SampledFrom(finishNames()).Draw(t, "word")
		i := rapid.IntRange(0, len(word)-1).Draw(t, "at")
		assert.Equal(t, word, Nearest(word[:i]+word[i+1:], []string{word}))
	})
}
