package text

import (
	"bytes"
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

// fromShown turns a shown number back into SI by the factors of NIST SP 811 (Thompson and
// Taylor 2008, B.8), typed from there and not from the package.
var fromShown = map[string]func(float64) float64{
	"°C": func(x float64) float64 { return x }, "°F": func(x float64) float64 { return (x - 32) / 1.8 },
	"K": func(x float64) float64 { return x }, "K in °F": func(x float64) float64 { return x / 1.8 },
	"m/s": func(x float64) float64 { return x }, "mph": func(x float64) float64 { return x * 4.4704e-1 }, "kn": func(x float64) float64 { return x * 5.144444e-1 },
	"m²": func(x float64) float64 { return x }, "sq ft": func(x float64) float64 { return x * 9.290304e-2 },
	"%": func(x float64) float64 { return x }, "W/m²": func(x float64) float64 { return x }, "": func(x float64) float64 { return x },
}

// measured are limits with a number: how they are told in either system, and to how many
// decimals.
var measured = []struct {
	limit         string
	metric, us    string
	digits, inUS  int
	before, after string
}{
	{"air_min", "°C", "°F", 1, 0, "air ", ""},
	{"air_max", "°C", "°F", 1, 0, "air ", ""},
	{"surface_min", "°C", "°F", 1, 0, "panel ", ""},
	{"surface_max", "°C", "°F", 1, 0, "panel ", ""},
	{"humidity_min", "%", "%", 0, 0, "humidity ", ""},
	{"humidity_max", "%", "%", 0, 0, "humidity ", ""},
	{"spread_min", "K", "K in °F", 1, 1, "panel ", " over dew point"},
	{"wind_max", "m/s", "mph", 1, 0, "wind ", " at the panel"},
	{"gust_max", "m/s", "mph", 1, 0, "gusts ", ""},
	{"access", "m/s", "mph", 1, 0, "gusts ", " at height"},
	{"sunlight_max", "W/m²", "W/m²", 0, 0, "sunlight on the panel ", ""},
	{"uv_max", "", "", 1, 1, "UV index on the panel ", ""},
	{"section", "m²", "sq ft", 1, 0, "only ", " can be washed before it dries"},
}

// A refusal is one sentence: what, its value with the unit, and the bound; from deep
// frost to desert heat and from calm to hurricane the numbers turned back are those of
// the answer, to the figure shown, the bound never looser than it is.
func TestRefusalsTurnBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := rapid.SampledFrom(measured).Draw(rt, "limit")
		o := Options{Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units")}
		unit, digits := c.metric, c.digits
		if o.us() {
			unit, digits = c.us, c.inUS
		}
		low := map[string]float64{"°C": -40}[c.metric]
		high := map[string]float64{"°C": 70, "K": 30, "m/s": 70, "W/m²": 1400, "%": 100, "": 14, "m²": 40}[c.metric]
		bound := rapid.Float64Range(low, high).Draw(rt, "bound")
		value := rapid.Float64Range(low, high).Draw(rt, "value")
		word, worse := "at most ", value > bound
		if reasons()[c.limit].least {
			word, worse = "needs ", value < bound
		}
		said := Because(answer.Binding{Limit: c.limit, Value: &value, Bound: &bound}, o)
		shown := strings.TrimSuffix(strings.TrimSuffix(unit, " in °F"), "K") // differences are told in degrees
		if c.metric == "K" {
			shown = map[bool]string{false: "°C", true: "°F"}[o.us()]
		}
		if shown != "" {
			shown = " " + shown
		}
		m := regexp.MustCompile(`^` + c.before + `(-?[\d.]+)` + shown + c.after + `, ` + word + `(-?[\d.]+)$`).FindStringSubmatch(said)
		require.NotNil(rt, m, "%q", said)
		require.NotContains(rt, said, "  ")
		last := 1.0
		for range digits {
			last /= 10
		}
		back := func(s string) (si, figure float64) {
			x, err := strconv.ParseFloat(s, 64)
			require.NoError(rt, err)
			return fromShown[unit](x), fromShown[unit](x+last) - fromShown[unit](x)
		}
		v, figure := back(m[1])
		b, _ := back(m[2])
		require.InDelta(rt, value, v, 1.01*figure, said)
		require.InDelta(rt, bound, b, 1.01*figure, said)
		if word == "needs " {
			require.GreaterOrEqual(rt, b, bound-0.001*figure, said)
		} else {
			require.LessOrEqual(rt, b, bound+0.001*figure, said)
		}
		if worse && figure*0.001 < max(value-bound, bound-value) {
			require.NotEqual(rt, m[1], m[2], "past its bound, and told as on it: %s", said)
		}
	})
}

// Quantities below zero keep their signs in a sentence, both ends of a span too. By hand:
// −40 is the same on both scales, −5 °C are 23 °F, −2 °C are 28.4, 0 °C are 32.
func TestProse_BelowZero(t *testing.T) {
	for in, want := range map[string]string{
		"panel -5 to -2 °C, in the shade":  "panel 23 to 28 °F, in the shade",
		"panel −5 to 0 °C":                 "panel 23 to 32 °F",
		"between -40 and -5 °C":            "between -40 and 23 °F",
		"air -40 °C, needs -5":             "air -40 °F, needs 23",
		"panel -2.0 K over dew point":      "panel -3.6 °F over dew point",
		"-1 to +1 K":                       "-1.8 to +1.8 °F",
		"-5-0 °C":                          "23-32 °F",
		"at 5 °C and -5 °C":                "at 41 °F and 23 °F",
		"rows 3-5 °C":                      "rows 37-41 °F",
		"2026-09-10 to 2026-09-12, 10 °C":  "2026-09-10 to 2026-09-12, 50 °F",
		"Sat 12 Sep 08:00 to 10:00, 10 °C": "Sat 12 Sep 08:00 to 10:00, 50 °F",
	} {
		assert.Equal(t, want, untie(us.prose(in)), in)
		assert.Equal(t, strings.ReplaceAll(in, " K", " °C"), untie(metric.prose(in)), in)
	}
	rapid.Check(t, func(rt *rapid.T) {
		a, b := rapid.IntRange(-60, 90).Draw(rt, "a"), rapid.IntRange(-60, 90).Draw(rt, "b")
		joint := rapid.SampledFrom([]string{" to ", " and "}).Draw(rt, "joint")
		m := regexp.MustCompile(`^panel (-?\d+)` + joint + `(-?\d+) °F$`).FindStringSubmatch(untie(us.prose(fmt.Sprint("panel ", a, joint, b, " °C"))))
		require.NotNil(rt, m)
		for i, c := range []int{a, b} {
			f, err := strconv.Atoi(m[1+i])
			require.NoError(rt, err)
			require.InDelta(rt, float64(c), fromShown["°F"](float64(f)), 0.5/1.8+1e-9)
		}
	})
}

// People on a dock do not speak of members, spread and film; a yacht's spreaders, a crew's
// membership and filming are none of them.
func TestWordsOfTheDock(t *testing.T) {
	for in, want := range map[string]string{
		"spread 2 K at 08:00":                    "distance over the dew point 2 K at 08:00",
		"too damp on the spreaders":              "too damp on the spreaders",
		"in 12 of 51 members":                    "in 12 of 51 forecasts",
		"for members of the crew, no membership": "for forecasts of the crew, no membership",
		"film on the panel; filming at ten":      "water on the panel on the panel; filming at ten",
		"widespread rain":                        "widespread rain",
	} {
		assert.Equal(t, want, dockWords(in))
	}
}

// One of a thing is told as one, and more as more.
func TestCountsOfOne(t *testing.T) {
	assert.Equal(t, "1 of 1 future", untie(sure(1, answer.Source{Members: 1, Dressed: 1})))
	assert.Equal(t, "0 of 2 futures", untie(sure(0, answer.Source{Members: 1, Dressed: 2})))
	head := func(moved, blocks int) string {
		p := newPage(metric)
		p.moveHead(&answer.Move{Verdict: "go", Moved: moved, Blocks: blocks, Plan: &answer.Plan{State: "go"}, Handover: answer.Handover{Text: "the hand-over stands"}})
		return p.b.String()
	}
	assert.Equal(t, "+ GO  Moved 1 of 1 block; the hand-over stands.\n", head(1, 1))
	assert.Equal(t, "+ GO  Moved 0 of 2 blocks; the hand-over stands.\n", head(0, 2))
	assert.Equal(t, "+ GO  No block of an earlier plan is left to do; the hand-over stands.\n", head(0, 0))
	for n, want := range map[int]string{1: "1 place differs:", 2: "2 places differ:"} {
		var b bytes.Buffer
		require.NoError(t, Again(&b, &answer.Again{Differences: make([]answer.Difference, n)}, metric))
		assert.Contains(t, b.String(), "\n"+want+"\n")
	}
	p := newPage(metric)
	assert.Contains(t, untie(p.source(answer.Source{Name: "NWS", Members: 1, Dressed: 1}, at("8 06:10"))), "varied into 1 future")
	assert.Equal(t, "Sat and Sun", answer.Listed([]string{"Sat", "Sun"}))
	assert.Equal(t, "Fri, Sat and Sun", answer.Listed([]string{"Fri", "Sat", "Sun"}))
	assert.Equal(t, "Fri", answer.Listed([]string{"Fri"}))
	assert.Empty(t, answer.Listed(nil))
}

// A line of the plan has its parts apart however many people work on a block, at
// whatever hours: state, hours, people, and then what. Read back they are those of the
// block.
func TestPlanLinesReadBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := answer.PlanBlock{From: anyTime().Draw(rt, "from"), Step: "seal", Zone: "foredeck", State: rapid.SampledFrom([]string{"ideal", "go", "marginal"}).Draw(rt, "state")}
		b.To = b.From.Add(time.Duration(rapid.IntRange(1, 200).Draw(rt, "slots")) * 10 * time.Minute)
		for i := range rapid.IntRange(1, 9).Draw(rt, "people") {
			b.People = append(b.People, i+1)
		}
		p := newPage(metric)
		p.planStint(answer.Stint{b})
		line := p.b.String()
		m := regexp.MustCompile(`^  ([*+!]) (ideal|go|marginal) +(\d\d:\d\d-(?:[A-Z][a-z]{2} \d+ [A-Z][a-z]{2} )?\d\d:\d\d) +(\d(?:\+\d)*) +seal, foredeck\n$`).FindStringSubmatch(line)
		require.NotNil(rt, m, "%q", line)
		require.Equal(rt, b.State, m[2])
		require.Equal(rt, untie(hours(b.From, b.To)), m[3])
		require.Equal(rt, answer.Persons(b.People), m[4])
	})
}

// Before and after stand apart also where a block lasts through the night.
func TestChangesOfNightWork(t *testing.T) {
	before := answer.PlanBlock{From: at("10 20:00"), To: at("11 02:00"), Step: "seal", Zone: "port side", People: []int{1, 2}}
	after := before
	after.From, after.To = at("11 08:00"), at("11 14:00")
	p := newPage(Options{Width: 100})
	p.blockChange(answer.BlockChange{Change: "moved", Before: &before, After: &after, Text: "rain"})
	assert.Equal(t, "  > moved   Thu 10 Sep 20:00-Fri 11 Sep 02:00 Fri 11 Sep 08:00-14:00  1+2\n", strings.SplitAfter(p.b.String(), "\n")[0])
}

// With colours off nothing but text goes out; with colours on the text is the same, each
// colour ends on its line, and what is coloured is a word with its shape or a heading,
// never a colour alone: for every screen and any answer (NO_COLOR, no-color.org, asks for
// the first; WCAG 2.2, 1.4.1, for the last).
func TestColoursAreExtrasOnEveryScreen(t *testing.T) {
	t.Parallel()
	painted := regexp.MustCompile(`\x1b\[[0-9;]+m([^\x1b]*)\x1b\[0m`)
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				f := filler{rt, anyMoments(rt), false}
				a := s.make(f)
				o := Options{Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units"), Width: rapid.SampledFrom([]int{40, 60, 80, 100}).Draw(rt, "width")}
				var plain, coloured bytes.Buffer
				require.NoError(rt, s.show(&plain, a, o))
				o.Colour = true
				require.NoError(rt, s.show(&coloured, a, o))
				require.Equal(rt, plain.String(), uncoloured(coloured.String()))
				require.NotContains(rt, plain.String(), "\x1b")
				for _, l := range strings.Split(coloured.String(), "\n") {
					require.NotContains(rt, painted.ReplaceAllString(l, ""), "\x1b", "%q", l)
					for _, m := range painted.FindAllStringSubmatch(l, -1) {
						require.Regexp(rt, `^([*+!x?>~=&] ?\S|[^a-z]*$|[*+!x?>~=&]…?$|…$)`, m[1], "%q", l)
					}
				}
			})
		})
	}
}

// A page begins with its answer, ends with its last word, and has no two empty lines
// together, whichever parts of the answer are missing.
func TestPagesHaveNoHoles(t *testing.T) {
	t.Parallel()
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				f := filler{rt, anyMoments(rt), false}
				a := s.make(f)
				plainly(rt, reflect.ValueOf(a))
				var b bytes.Buffer
				require.NoError(rt, s.show(&b, a, Options{Hours: true}))
				page := b.String()
				require.NotContains(rt, page, "\n\n\n")
				require.False(rt, strings.HasPrefix(page, "\n"))
				require.False(rt, strings.HasSuffix(page, "\n\n"))
			})
		})
	}
}

// The hourly table keeps its columns from −40 to 55 °C, from calm to hurricane and in a
// cloudburst, in all units: thirteen fields a line, read back in their order, and a dash
// for each value that is missing.
func TestHourlyColumnsReadBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		o := Options{Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units"), Wind: rapid.SampledFrom([]string{"", "kn", "mph"}).Draw(rt, "wind")}
		draw := func(name string, low, high float64) *float64 {
			return anyMaybe(rapid.OneOf(rapid.Just(low), rapid.Just(high), rapid.Float64Range(low, high))).Draw(rt, name)
		}
		h := answer.Hour{
			At: anyTime().Draw(rt, "at"), AirC: draw("air", -40, 55), DewPointC: draw("dew", -50, 35), HumidityPct: draw("rh", 0, 100),
			WindMS: draw("wind m/s", 0, 70), GustMS: draw("gust", 0, 99), RainMM: draw("rain", 0, 300), CloudPct: draw("cloud", 0, 100),
			SunlightWM2: draw("sun", 0, 1400), UVIndex: draw("uv", 0, 16), SurfaceC: draw("panel", -55, 95), SpreadK: draw("over", -20, 60), FilmGM2: draw("film", 0, 900),
		}
		p := newPage(o)
		p.zoneHours(answer.Zone{Name: "port side", Hours: []answer.Hour{h}}, p.columns())
		lines := strings.Split(strings.TrimSuffix(p.b.String(), "\n"), "\n")
		require.Len(rt, lines, 3)
		require.Len(rt, strings.Fields(lines[1]), 3+12)
		fields := strings.Fields(lines[2])
		require.Len(rt, fields, 1+12, "%q", lines[2])
		require.Equal(rt, h.At.Format("15:04"), fields[0])
		for i, c := range p.columns() {
			v := c.of(h)
			if v == nil {
				require.Equal(rt, "-", fields[1+i], c.head)
				continue
			}
			got, err := strconv.ParseFloat(fields[1+i], 64)
			require.NoError(rt, err)
			unit := map[bool]map[string]string{
				false: {"air": "°C", "dew": "°C", "panel": "°C", "over": "K", "wind": "m/s", "gust": "m/s"},
				true:  {"air": "°F", "dew": "°F", "panel": "°F", "over": "K in °F", "wind": "mph", "gust": "mph"},
			}[o.us()][c.head]
			if o.Wind != "" && (c.head == "wind" || c.head == "gust") {
				unit = o.Wind
			}
			figure := 1.0
			if c.head == "rain" {
				figure = 0.1
				if o.us() {
					got *= 25.4 // NIST SP 811, exact
					figure = 0.254
				}
			}
			back := fromShown[unit]
			require.InDelta(rt, *v, back(got), 0.51*(back(got+figure)-back(got)), c.head)
		}
	})
}

// Hours in words, read back, are the minutes that were meant, on the side asked for; and
// the age of a forecast is never told as less than it is.
func TestHoursAndAgesReadBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := rapid.Float64Range(0, 400).Draw(rt, "hours")
		s := rapid.SampledFrom([]side{down, nearest, up}).Draw(rt, "side")
		words := untie(duration(h, s))
		m := regexp.MustCompile(`^(?:(\d+) min|(\d+) h(?: (\d\d))?)$`).FindStringSubmatch(words)
		require.NotNil(rt, m, "%q", words)
		minutes := 0
		for i, each := range []int{1, 60, 1} {
			if m[1+i] != "" {
				n, err := strconv.Atoi(m[1+i])
				require.NoError(rt, err)
				require.True(rt, i == 1 || n < 60, words)
				minutes += n * each
			}
		}
		require.InDelta(rt, 60*h, float64(minutes), 1, words)
		switch s {
		case down:
			require.LessOrEqual(rt, float64(minutes), 60*h+0.001)
		case up:
			require.GreaterOrEqual(rt, float64(minutes), 60*h-0.001)
		}

		old := rapid.Int64Range(0, 30*86400).Draw(rt, "seconds")
		a := regexp.MustCompile(`^(\d+) (min|h|days) old$`).FindStringSubmatch(untie(age(&old)))
		require.NotNil(rt, a)
		n, err := strconv.ParseInt(a[1], 10, 64)
		require.NoError(rt, err)
		unit := map[string]int64{"min": 60, "h": 3600, "days": 86400}[a[2]]
		require.GreaterOrEqual(rt, n*unit, old)
		require.Less(rt, (n-1)*unit, max(old, 1))
		require.True(rt, a[2] != "days" || n > 1, "two days at least")
	})
}
