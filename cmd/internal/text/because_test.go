package text

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
	"dewgap/window/verdict"
)

func TestBecause(t *testing.T) {
	for _, c := range []struct{ binding, metric, us string }{
		// A difference scales without offset: 1.2 K are 2.16 °F, 3 K are 5.4 °F.
		{"spread_min 1.2/3", "panel 1.2 °C over dew point, needs 3", "panel 2.1 °F over dew point, needs 5.4"},
		{"spread_min -0.4/3", "panel 0.4 °C below dew point, needs 3 over it", "panel 0.8 °F below dew point, needs 5.4 over it"},
		{"spread_min 8.4/4", "panel 8.4 °C over dew point, needs 4", "panel 15.2 °F over dew point, needs 7.2"},
		// 32 °C are 89.6 °F: at most 89. 8 °C are 46.4 °F: needs 47.
		{"surface_max 34.1/32", "panel 34.1 °C, at most 32", "panel 94 °F, at most 89"},
		{"surface_min 7.6/8", "panel 7.6 °C, needs 8", "panel 45 °F, needs 47"},
		{"air_min 9.1/10", "air 9.1 °C, needs 10", "air 48 °F, needs 50"},
		{"air_max 30.2/30", "air 30.2 °C, at most 30", "air 87 °F, at most 86"},
		{"humidity_max 88/85", "humidity 88 %, at most 85", "humidity 88 %, at most 85"},
		{"humidity_min 24.2/30", "humidity 24 %, needs 30", "humidity 24 %, needs 30"},
		// 6 m/s are 13.4 mph: at most 13.
		{"wind_max 7/6", "wind 7 m/s at the panel, at most 6", "wind 16 mph at the panel, at most 13"},
		{"gust_max 9.8/9", "gusts 9.8 m/s, at most 9", "gusts 22 mph, at most 20"},
		{"access 11.4/9", "gusts 11.4 m/s at height, at most 9", "gusts 26 mph at height, at most 20"},
		{"sunlight_max 520.3/400", "sunlight on the panel 521 W/m², at most 400", "sunlight on the panel 521 W/m², at most 400"},
		{"uv_max 7.4/6", "UV index on the panel 7.4, at most 6", "UV index on the panel 7.4, at most 6"},
		// A figure that nobody can picture is left out.
		{"film 82/1", "water on the panel, 82 g/m², at most 1", "water on the panel"},
		{"film 0/1", "water on the panel, 0 g/m², at most 1", "panel dry"},
		{"film", "water on the panel", "water on the panel"},
		{"rain_free 2.75/4", "rain 2 h 45 after the work, needs 4 h", "rain 2 h 45 after the work, needs 4 h"},
		{"dew_free 9/8", "no dew for 9 h after the work, needs 8 h", "no dew for 9 h after the work, needs 8 h"},
		{"dry_off 0.5/2", "dry for only 30 min, needs 2 h", "dry for only 30 min, needs 2 h"},
		{"dry_off 5/2", "dry for 5 h, needs 2 h", "dry for 5 h, needs 2 h"},
		{"block 1.5/2", "only 1 h 30 in one stretch, needs 2 h", "only 1 h 30 in one stretch, needs 2 h"},
		{"block 2.5/2", "2 h 30 in one stretch, needs 2 h", "2 h 30 in one stretch, needs 2 h"},
		{"cure 6.4/8", "panel down to 6.4 °C while it cures, needs 8", "panel down to 43 °F while it cures, needs 47"},
		{"cure 12/8", "air too dry for it to cure", "air too dry for it to cure"},
		{"section 1.4/2", "only 1.4 m² can be washed before it dries, needs 2", "only 15 sq ft can be washed before it dries, needs 22"},
		{"haze 12/30", "only 12 min to wipe it off, needs 30", "only 12 min to wipe it off, needs 30"},
		{"haze 42/30", "42 min to wipe it off, needs 30", "42 min to wipe it off, needs 30"},
		{"moisture 18/16", "wood moisture 18 %, at most 16", "wood moisture 18 %, at most 16"},
		{"thunder", "thunder, and 30 minutes after it", "thunder, and 30 minutes after it"},
		{"", "nothing stands against it", "nothing stands against it"},
	} {
		assert.Equal(t, c.metric, Because(bind(c.binding), Options{Units: "metric"}), c.binding)
		assert.Equal(t, c.us, Because(bind(c.binding), Options{Units: "us"}), c.binding)
	}
}

func TestBecauseInKnots(t *testing.T) {
	// 6 m/s are 11.66 kn.
	for _, units := range []string{"metric", "us"} {
		assert.Equal(t, "wind 14 kn at the panel, at most 11", Because(bind("wind_max 7/6"), Options{Units: units, Wind: "kn"}))
	}
	assert.Equal(t, "wind 7 m/s at the panel, at most 6", Because(bind("wind_max 7/6"), Options{Units: "us", Wind: "m/s"}))
}

// Every limit of a verdict, and the further ones that a job may bring, has words
// of its own, with and without numbers, in both units.
// What the answer knows besides the figure is told in any units: which water it is and
// whether it goes off, and that rain may come sooner than stated.
func TestBecause_OfWater(t *testing.T) {
	for _, c := range []struct{ binding, text, metric, us string }{
		{"film", "rain wets the panel", "rain wets the panel", "rain wets the panel"},
		{"film", "water drips on the panel", "water drips on the panel", "water drips on the panel"},
		{"film 20.5/1", "water on the panel, 20.5 g/m²: towel it off first, at most 1 (common practice)",
			"water on the panel, 20.5 g/m²: towel it off first, at most 1", "water on the panel: towel it off first"},
		{"film 12/1", "water on the panel, 12 g/m²: bare wood soaks it up, its drying time tells (common practice)",
			"water on the panel, 12 g/m²: bare wood soaks it up, its drying time tells", "water on the panel: bare wood soaks it up, its drying time tells"},
		{"rain_free 3.83/4", "rain may come 3 h 50 after the work, needs 4 h (common practice)",
			"rain may come 3 h 50 after the work, needs 4 h", "rain may come 3 h 50 after the work, needs 4 h"},
		{"rain_free 0/4", "rain may come right after the work, needs 4 h (common practice)",
			"rain may come right after the work, needs 4 h", "rain may come right after the work, needs 4 h"},
	} {
		b := bind(c.binding)
		b.Text = c.text
		assert.Equal(t, c.metric, Because(b, Options{Units: "metric"}))
		assert.Equal(t, c.us, Because(b, Options{Units: "us"}))
	}
}

func TestBecauseCoversEveryLimit(t *testing.T) {
	names := []string{"section", "haze", "rain", "fog", "finish", "order", "access", "daylight", "recoat", "mask", "away", "launch", "moisture"}
	for l := range verdict.Limits {
		names = append(names, verdict.Limit(l).String())
	}
	seen := map[string]string{}
	for _, n := range names {
		r, ok := reasons()[n]
		require.True(t, ok, "limit %q has no words", n)
		bare := Because(answer.Binding{Limit: n}, Options{})
		assert.Equal(t, r.without, bare)
		if !r.told {
			assert.Equal(t, bare, Because(answer.Binding{Limit: n, Text: "not this"}, Options{}))
		}
		assert.NotContains(t, bare, "_")
		if other, twice := seen[bare]; twice && other != n {
			t.Errorf("%q and %q read the same", n, other)
		}
		seen[bare] = n
		for _, o := range bothUnits {
			for _, numbers := range [][2]float64{{1, 2}, {2, 1}, {1, 1}, {0, 0}, {-3, 2}, {1e6, 1}} {
				got := Because(answer.Binding{Limit: n, Value: &numbers[0], Bound: &numbers[1]}, o)
				assert.NotEmpty(t, got)
				assert.NotContains(t, got, nbsp)
				assert.NotRegexp(t, jargon, got)
			}
		}
	}
}

// Measured limits must show value and bound; the list of verdict's units says
// which those are.
func TestBecauseShowsValueAndBound(t *testing.T) {
	v, b := 61.0, 62.0
	for l := range verdict.Limits {
		limit := verdict.Limit(l)
		if limit.Unit() == "" && limit != verdict.UVMax {
			continue
		}
		if least(limit.String()) {
			v, b = 61, 62
		} else {
			v, b = 62, 61
		}
		got := Because(answer.Binding{Limit: limit.String(), Value: &v, Bound: &b}, Options{})
		assert.Len(t, regexp.MustCompile(`\d+`).FindAllString(strings.ReplaceAll(got, "m²", ""), -1), 2, got)
	}
}

func least(limit string) bool { return reasons()[limit].least }

// What only the answer's own sentence knows is taken from there.
func TestBecauseTakesFromTheSentence(t *testing.T) {
	b := answer.Binding{Limit: "data", Text: "not known: the forecast ends Fri 4 Dec 19:00, too early for what must hold after the work"}
	assert.Equal(t, "the forecast ends Fri 4 Dec 19:00, too early for what must hold after the work", Because(b, us))
	b = answer.Binding{Limit: "finish", Text: "carnauba paste wax does not suit white-non-skid"}
	assert.Equal(t, "carnauba paste wax does not suit white-non-skid", Because(b, us))

	b = bind("rain_free 3.5/4")
	b.Text = "the forecast ends 3 h 30 after the work, needs 4 h"
	assert.Equal(t, "the forecast ends 3 h 30 after the work, needs 4 h", Because(b, us), "no rain is made up")
	b.Text = "the forecast ends 3 h 30 counted at 20 °C after the work, needs 4 h"
	assert.Equal(t, "the forecast ends 3 h 30 after the work, needs 4 h counted as at 20 °C", Because(b, metric))
	long := bind("rain_free 824/24")
	long.Text = "no rain for 824 h counted at 20 °C after the work, ideal from 24 h"
	assert.Equal(t, "no rain for 824 h after the work, ideal from 24 h counted as at 20 °C", Because(long, metric))
	b.Text = "rain 3 h 30 counted at 20 °C after the work, needs 4 h"
	assert.Equal(t, "rain 3 h 30 after the work, needs 4 h counted as at 68 °F", Because(b, us))

	b = bind("wind_max 4/3")
	b.Text = "wind 4 m/s at the panel, ideal up to 3"
	assert.Equal(t, "wind 4 m/s at the panel, ideal up to 3", Because(b, metric))
	b = bind("spread_min 3.5/4")
	section := bind("section 47.8/2")
	section.Text = "47.8 m² can be washed before it dries, ideal from 2"
	assert.Equal(t, "47.8 m² can be washed before it dries, ideal from 2", Because(section, metric), "what suffices is not said to be little")
	b.Text = "panel 3.5 K over dew point, ideal from 4"
	assert.Equal(t, "panel 6.3 °F over dew point, ideal from 7.2", Because(b, us))
}

// A clock that nothing stops has no figure, and a panel that stays warm enough to
// cure is not told off for the air.
func TestBecauseOfWhatIsAsGoodAsItGets(t *testing.T) {
	assert.Equal(t, "no rain after the work", Because(answer.Binding{Limit: "rain_free", Text: "no rain after the work"}, us))
	assert.Equal(t, "dry for long", Because(answer.Binding{Limit: "dry_off", Text: "dry for long"}, us))
	b := bind("cure 19/8")
	b.Text = "panel down to 19 °C while it cures, ideal from 8"
	assert.Equal(t, "panel down to 67 °F while it cures, ideal from 47", Because(b, us))
}

// A cure that the air is too dry for names the air, in either system, also on the
// page of dewgap why, where the panel's own unit would be wrong.
func TestBecauseOfADryCure(t *testing.T) {
	b := bind("cure 12.4/30")
	b.Unit = "%"
	for _, o := range bothUnits {
		assert.Equal(t, "air down to 12 % while it cures, needs 30 %", Because(b, o))
		assert.Equal(t, "air down to 12 % while it cures, needs 30 %", untie(newPage(o).why(b)))
	}
	cold := bind("cure 6.4/8")
	cold.Unit = "°C"
	assert.Equal(t, b, b.Worse(cold), "percent and degrees are not compared")
	assert.Equal(t, cold, cold.Worse(b))
}

func TestBecauseOfNoTimeAtAll(t *testing.T) {
	assert.Equal(t, "rain right after the work, needs 4 h", Because(bind("rain_free 0/4"), us))
	assert.Equal(t, "dry only just now, needs 2 h", Because(bind("dry_off 0/2"), us))
	assert.Equal(t, "only 0 min in one stretch, needs 2 h", Because(bind("block 0/2"), us))
}

func TestBecauseOfWhatItDoesNotKnow(t *testing.T) {
	assert.Equal(t, "the tide is out at 50 °F", Because(answer.Binding{Limit: "tide", Text: "the tide is out at 10 °C"}, Options{Units: "us"}))
	assert.Equal(t, "tide", Because(answer.Binding{Limit: "tide"}, Options{}))
	nan := math.NaN()
	assert.Equal(t, "too windy", Because(answer.Binding{Limit: "wind_max", Value: &nan, Bound: ptr(6.0)}, Options{}))
	assert.Equal(t, "too windy", Because(answer.Binding{
		Limit: "wind_max",
		Value: ptr(math.Inf(1)),
		Bound: ptr(6.0),
	}, Options{}))
}

var number = regexp.MustCompile(`-?\d+(?:\.\d+)?`)

// A value past its bound is never shown as inside it, and the shown bound is
// never looser than the true one.
func TestBecauseRoundsToTheStrictSide(t *testing.T) {
	of := map[string]func(Options) quantity{

		"spread_min":  Options.degrees,
		"surface_min": Options.temperature,
		"surface_max": Options.temperature,

		"air_min":  Options.temperature,
		"air_max":  Options.temperature,
		"wind_max": Options.wind,
		"gust_max": Options.wind,

		"humidity_max": percent,
		"humidity_min": percent,
		"section":      Options.area,
		"film":         Options.water,
	}
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.SampledFrom([]string{"spread_min", "surface_min", "surface_max", "air_min", "air_max",
			"wind_max", "gust_max", "humidity_max", "humidity_min", "section", "film"}).Draw(t, "limit")
		o := Options{Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(t, "units"),
			Wind: rapid.SampledFrom([]string{"", "kn"}).Draw(t, "wind")}
		bound := rapid.Float64Range(0.5, 90).Draw(t, "bound")
		value := rapid.Float64Range(0, 95).Draw(t, "value")
		q := of[limit](o)
		r := reasons()[limit]
		v, b := r.figures(value, bound, o)
		shownV, shownB := parse(t, v), parse(t, b)
		slack := 2 * dust
		if r.least {
			require.GreaterOrEqual(t, shownB, q.of(bound)-slack)
		} else {
			require.LessOrEqual(t, shownB, q.of(bound)+slack)
		}
		far := math.Abs(q.of(value)-q.of(bound)) > slack
		if r.isBroken(value, bound) && far {
			require.NotEqual(t, shownV, shownB, "%s against %s", v, b)
		}
		if far {
			require.Equal(t, r.isBroken(value, bound), r.isBroken(shownV, shownB), "%s against %s", v, b)
		}
	})
}

func parse(t *rapid.T, s string) float64 {
	x, err := strconv.ParseFloat(number.FindString(s), 64)
	require.NoError(t, err, s)
	return x
}
