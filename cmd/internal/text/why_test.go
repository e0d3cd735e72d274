package text

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
)

// whyNine is every limit of a sealant on a panel, as the answer has it.
func whyNine() *answer.Why {
	limit := func(state, text, source, said string, ideal float64) answer.WhyLimit {
		b := bind(text)
		b.Source, b.Text = source, said
		return answer.WhyLimit{Binding: b, State: state, Ideal: &ideal}
	}
	a := &answer.Why{
		Zone: "port side", Product: "polymer-sealant", At: at("10 09:00"), State: "marginal", Binding: bind("humidity_max 89/85"),
		Limits: []answer.WhyLimit{
			limit("ideal", "film 0/1", "common practice", "water on the panel, 0 g/m², ideal up to 1", 1),
			limit("go", "air_min 14.4/15", "common practice", "air 14.4 °C, ideal from 15", 15),
			limit("ideal", "air_max 14.4/25", "common practice", "air 14.4 °C, ideal up to 25", 25),
			limit("ideal", "surface_min 23.1/15", "common practice", "panel 23.1 °C, ideal from 15", 15),
			limit("ideal", "surface_max 23.1/27", "common practice", "panel 23.1 °C, ideal up to 27", 27),
			limit("ideal", "humidity_min 89/40", "common practice", "humidity 89 %, ideal from 40", 40),
			limit("marginal", "humidity_max 89/85", "your label", "humidity 89 %, at most 85", 70),
			limit("ideal", "sunlight_max 795/100", "common practice", "sunlight on the panel 795 W/m², ideal up to 100", 100),
			limit("unknown", "rain_free", "common practice", "not known: the forecast ends before rain is seen", 8),
			limit("ideal", "cure 19/8", "common practice", "panel down to 19 °C while it cures, ideal from 8", 8),
		},
		Warnings: []string{"gusts are taken as 1.5 times the wind"},
	}
	a.Limits[7].Waived = true
	return a
}

func TestWhyGolden(t *testing.T) {
	for unit, o := range bothUnits {
		t.Run(unit, func(t *testing.T) {
			page := golden(t, "why_"+unit+".txt", o, func(b *bytes.Buffer) error { return Why(b, whyNine(), o) })
			noJargon(t, page)
		})
	}
}

// Every source stands once, every quantity in one line, every bound with a unit.
func TestWhyLines(t *testing.T) {
	var b bytes.Buffer
	assert.NoError(t, Why(&b, whyNine(), us))
	page := b.String()
	assert.Equal(t, 1, strings.Count(page, "common practice"))
	assert.Equal(t, 1, strings.Count(page, "your label"))
	assert.Len(t, regexp.MustCompile(`(?m)^  . \w+ +humidity`).FindAllString(page, -1), 1)
	assert.Contains(t, page, "+ go        air 57 °F, ideal from 59 °F [1]", "the end that is worse")
	assert.Contains(t, page, "* ideal     panel 74 °F, ideal from 59 to 80 °F [1]", "both ends")
	assert.Contains(t, page, "! marginal  humidity 89 %, at most 85 % [2]", "with its own source")
	assert.Contains(t, page, "panel down to 67 °F while it cures, ideal from 47 °F", "in the units of the screen")
	assert.Contains(t, page, "? unknown   time to rain not known: the forecast ends before rain is seen [1]")
	assert.NotContains(t, page, "°C")
}

func TestEnds(t *testing.T) {
	assert.True(t, ends("air_min", "air_max"))
	assert.False(t, ends("air_max", "air_min"))
	assert.False(t, ends("air_min", "surface_max"))
	assert.False(t, ends("film", "air_max"))
}

// The verdict stands in the first sentence however long the names are.
func TestWhyKeepsItsVerdict(t *testing.T) {
	a := whyNine()
	a.Zone, a.Product = "starboard quarter panel above the rub rail aft of the boarding gate", "professional-ceramic-of-a-long-name"
	for _, width := range []int{40, 60, 80} {
		var b bytes.Buffer
		require.NoError(t, Why(&b, a, Options{Units: "metric", Width: width}))
		got := strings.Join(strings.Fields(untie(b.String())), " ")
		assert.Contains(t, got, "09:00: ! MARGINAL", "width %d", width)
	}
}

// Salt that lies there is no-go in mark and words, and the verdict says once what it
// holds; each of two dry-offs says which water it counts from.
func TestWhySaltAndWaters(t *testing.T) {
	a := whyNine()
	since := func(water string) answer.WhyLimit {
		l := answer.WhyLimit{Binding: bind("dry_off 30/2"), State: "ideal"}
		l.Text, l.Since = "dry for 30 h, ideal from 2 h", water
		return l
	}
	salt := answer.Binding{Limit: "salt", Text: "salt read 06:15: flood rinse, then wash, before any pad or product touches it"}
	a.Once = "the salt is washed off"
	a.Limits = append([]answer.WhyLimit{{Binding: salt, State: "no-go"}, since("rain or wash water"), since("dew")}, a.Limits...)
	blind := since("dew")
	blind.State, blind.Value, blind.Text = "unknown", nil, "not known: the forecast does not show when it was last wet"
	least := since("dew")
	least.AtLeast = true
	a.Limits = append(a.Limits, blind, least)
	var b bytes.Buffer
	require.NoError(t, Why(&b, a, Options{Units: "metric", Width: 120}))
	page := untie(b.String())
	assert.Contains(t, page, "! MARGINAL, once the salt is washed off\n")
	assert.Contains(t, page, "x no-go     salt read 06:15: flood rinse, then wash, before any pad or product touches it")
	assert.Contains(t, page, "* ideal     since the last rain or wash water: dry for 30 h, ideal from 2 h")
	assert.Contains(t, page, "* ideal     since the last dew: dry for 30 h, ideal from 2 h")
	assert.Contains(t, page, "* ideal     no dew as far back as is known: dry for 30 h, ideal from 2 h")
	assert.Contains(t, page, "? unknown   since the last dew: time since wet not known")
}
