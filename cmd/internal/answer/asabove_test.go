package answer

import (
	"strings"
	"testing"

	"dewgap/window/crew"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestAsAbove(t *testing.T) {
	const practice = "a glass of water every quarter of an hour, shade for the breaks."
	first := "Heat in the sun: usual practice is to stop. Otherwise " + practice
	for text, want := range map[string]string{
		"Heat in the shade; full sun makes it worse: " + practice: "Heat in the shade; full sun makes it worse: as above.",
		"Heat: cut the work into short spells; " + practice:       "Heat: cut the work into short spells; the rest as above.",
		"Heat: stop often, " + practice:                           "Heat: stop often, the rest as above.",
		"Heat. Otherwise " + practice:                             "Heat. The rest as above.",
		"Heat: shade for the breaks.":                             "Heat: shade for the breaks.",
		"Cold: dry gloves.":                                       "Cold: dry gloves.",
		practice:                                                  practice,
		first:                                                     first,
		"":                                                        "",
	} {
		assert.Equal(t, want, AsAbove(text, []string{"Thunder: stop.", first}), text)
		assert.Equal(t, text, AsAbove(text, nil))
	}
}

// Whatever is said in full once: nothing but an end that stands above goes, and what is left
// is the beginning of the text.
func TestAsAbove_LosesNothing(t *testing.T) {
	words := rapid.SliceOf(rapid.SampledFrom([]string{"shade", "água", "of", "water;", "breaks,", "stop.", "quarter"}))
	rapid.Check(t, func(t *rapid.T) {
		text, before := strings.Join(words.Draw(t, "text"), " "), strings.Join(words.Draw(t, "before"), " ")
		got := AsAbove(text, []string{before})
		if got == text {
			return
		}
		head := got[:strings.LastIndex(strings.ToLower(got), " the rest as above.")+1]
		if head == "" {
			head = strings.TrimSuffix(got, "as above.")
		}
		assert.True(t, strings.HasPrefix(text, head), "%q of %q", got, text)
		assert.True(t, strings.HasSuffix(before, text[len(head):]), "%q of %q", got, text)
	})
}

// Of the crew's own words each level of heat and of sun keeps what is its own.
func TestAsAbove_OfTheCrewsWords(t *testing.T) {
	slots := func(air, uv float64) []crew.Slot {
		return []crew.Slot{{AirC: crew.Some(air), HumidityPct: crew.Some(60), WindDeckMS: crew.Some(1), UVIndex: crew.Some(uv), SunlightWM2: crew.Some(700)}}
	}
	var said []string
	for _, s := range [][]crew.Slot{slots(40, 11), slots(33, 8), slots(28, 5)} {
		for _, c := range crew.Cautions(crew.Input{Slots: s, Step: 600e9}) {
			if c.Kind != "heat-index" && c.Kind != "uv" {
				continue
			}
			text, _, _ := strings.Cut(c.Text, " A reminder, not a clearance")
			if short := AsAbove(text, said); len(said) > 1 && short != text {
				assert.Contains(t, short, "as above.")
				assert.Less(t, len(short), len(text)*2/3, text)
			}
			said = append(said, text)
		}
	}
	assert.GreaterOrEqual(t, len(said), 5)
}
