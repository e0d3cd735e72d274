package draw

import (
	"math"
	"slices"
	"sort"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// New York puts its clocks back on 1 November 2026 and forward on 14 March 2027
// (Energy Policy Act of 2005, section 110).
func TestDaysHaveTheirHours(t *testing.T) {
	loc := zoneOf(t, "America/New_York")
	long := time.Date(2026, 11, 1, 9, 0, 0, 0, loc)
	short := time.Date(2027, 3, 14, 9, 0, 0, 0, loc)
	for _, c := range []struct {
		at    time.Time
		hours float64
	}{{long, 25}, {short, 23}, {long.AddDate(0, 0, 1), 24}} {
		list := days(c.at, c.at.Add(time.Hour))
		require.Len(t, list, 1)
		assert.Equal(t, c.hours, list[0].to.Sub(list[0].from).Hours())
	}
	assert.Len(t, days(long, long.AddDate(2, 0, 0)), mostDays)
	assert.Empty(t, days(long, long.Add(-48*time.Hour)))
}

// Santiago goes forward at midnight of 6 September 2026, Havana at that of 8 March (IANA
// time zone database): these days begin at one, and the strip has each day once.
func TestDaysThatSkipTheirMidnight(t *testing.T) {
	for zone, day := range map[string]time.Time{"America/Santiago": time.Date(2026, 9, 6, 0, 0, 0, 0, time.UTC), "America/Havana": time.Date(2026, 3, 8, 0, 0, 0, 0, time.UTC)} {
		loc := zoneOf(t, zone)
		noon := time.Date(day.Year(), day.Month(), day.Day(), 12, 0, 0, 0, loc)
		list := days(noon.AddDate(0, 0, -2), noon.AddDate(0, 0, 2))
		require.Len(t, list, 5, zone)
		for i, d := range list {
			assert.Equal(t, day.AddDate(0, 0, i-2).Format(time.DateOnly), d.from.Format(time.DateOnly), zone)
			assert.Equal(t, []float64{24, 24, 23, 24, 24}[i], d.to.Sub(d.from).Hours(), zone)
			if i > 0 {
				assert.True(t, list[i-1].to.Equal(d.from), "%s: days touch", zone)
			}
		}
		assert.Equal(t, "01:00", list[2].from.Format("15:04"), zone)
	}
}

// On the day of 25 hours noon stands 13 hours to the right, and the hour that
// comes twice is told apart in the table.
func TestAxisOfALongDay(t *testing.T) {
	w := invented(t, "America/New_York", "2026-10-31", 72)
	c := newCurves(w, "2026-11-01", Options{Width: 720})
	noon := time.Date(2026, 11, 1, 12, 0, 0, 0, c.loc)
	assert.InDelta(t, 13.0/25, (c.axis.x(noon)-c.axis.left)/(c.axis.right-c.axis.left), 1e-9)
	table := c.table()
	require.Len(t, table.Rows, 25)
	assert.Equal(t, "01:00 EDT", table.Rows[1][0])
	assert.Equal(t, "01:00 EST", table.Rows[2][0])
	seen := map[string]bool{}
	for _, r := range table.Rows {
		assert.False(t, seen[r[0]], r[0])
		seen[r[0]] = true
	}
	assert.Len(t, newCurves(w, "2026-10-31", Options{}).table().Rows, 18) // from 06:00 on
}

// Nights end and begin where the sun's upper limb crosses the horizon.
func TestNights(t *testing.T) {
	p := answer.Place{Latitude: 43.07, Longitude: -70.74}
	loc := zoneOf(t, "America/New_York")
	d := dayOf("2026-09-12", loc, time.Time{})
	list := nights(p, d)
	require.Len(t, list, 2)
	assert.Equal(t, d.from, list[0].from)
	assert.Equal(t, d.to, list[1].to)
	for _, edge := range []time.Time{list[0].to, list[1].from} {
		assert.InDelta(t, sky.Horizon, sky.Sun(edge, p.Latitude, p.Longitude, 0, 0).Geometric, 0.25)
	}
	// At 70° N the sun stays down in December and up in June.
	p = answer.Place{Latitude: 70, Longitude: 25}
	oslo := zoneOf(t, "Europe/Oslo")
	winter, summer := dayOf("2026-12-21", oslo, time.Time{}), dayOf("2026-06-21", oslo, time.Time{})
	assert.Equal(t, []span{winter}, nights(p, winter))
	assert.Empty(t, nights(p, summer))
}

func TestAxisRisesAndStaysWithin(t *testing.T) {
	base := time.Date(2026, 9, 10, 0, 0, 0, 0, time.UTC)
	rapid.Check(t, func(rt *rapid.T) {
		a := axis{span{base, base.Add(time.Duration(rapid.IntRange(0, 400).Draw(rt, "hours")) * time.Hour)}, 12, 348}
		x := base.Add(time.Duration(rapid.IntRange(-1000, 30000).Draw(rt, "a")) * time.Minute)
		y := x.Add(time.Duration(rapid.IntRange(0, 3000).Draw(rt, "b")) * time.Minute)
		assert.LessOrEqual(rt, a.x(x), a.x(y))
		assert.GreaterOrEqual(rt, a.x(x), a.left)
		assert.LessOrEqual(rt, a.x(y), a.right)
	})
}

func TestApartFrom(t *testing.T) {
	assert.Nil(t, apartFrom(nil, 10, 0, 100))
	assert.Equal(t, []float64{40, 60}, apartFrom([]float64{40, 60}, 10, 0, 100), "what is apart stays")
	assert.Equal(t, []float64{45, 55}, apartFrom([]float64{50, 50}, 10, 0, 100), "two in one place part evenly")
	assert.Equal(t, []float64{100, 90}, apartFrom([]float64{99, 98}, 10, 0, 100), "the end of the field holds")
}

func TestApartFromKeepsOrderGapAndBounds(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		places := rapid.SliceOfN(rapid.Float64Range(-50, 250), 1, 12).Draw(rt, "places")
		out := apartFrom(places, 15, 0, 200)
		require.Len(rt, out, len(places))
		gap := min(15, 200/max(1, float64(len(places)-1)))
		sorted := append([]float64{}, out...)
		sort.Float64s(sorted)
		for i, v := range sorted {
			assert.GreaterOrEqual(rt, v, -1e-9)
			assert.LessOrEqual(rt, v, 200+1e-9)
			if i > 0 {
				assert.GreaterOrEqual(rt, v-sorted[i-1], gap-1e-9)
			}
		}
		for i := range places {
			for k := range places {
				if places[i] < places[k] {
					assert.Less(rt, out[i], out[k])
				}
			}
		}
	})
}

func TestShorten(t *testing.T) {
	assert.Equal(t, "port side", shorten(" port side ", 12, 200))
	assert.Equal(t, "…", shorten("port side", 12, 1))
	assert.True(t, strings.HasSuffix(shorten("👩‍🔧👩‍🔧👩‍🔧👩‍🔧👩‍🔧👩‍🔧", 12, 80), "…"))
	rapid.Check(t, func(rt *rapid.T) {
		s := strings.TrimSpace(rapid.String().Draw(rt, "s"))
		room := rapid.Float64Range(20, 300).Draw(rt, "room")
		out := shorten(s, 12, room)
		assert.LessOrEqual(rt, width(out, 12), room)
		if out != s {
			assert.True(rt, strings.HasPrefix(s, strings.TrimSuffix(out, "…")))
			assert.Greater(rt, width(s, 12), room)
		}
	})
}

func TestWrapLosesNoWord(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-z]{1,8}`)).Draw(rt, "words")
		text := strings.Join(words, " ")
		lines := wrap(text, 12, 90)
		assert.Equal(rt, text, strings.Join(lines, " "))
		for _, l := range lines {
			assert.LessOrEqual(rt, width(l, 12), 90.0)
		}
	})
}

// A word that is too long goes on in the next line, whole, without a letter losing its
// marks or an emoji falling into its parts; very long ones end in an ellipsis.
func TestWrapBreaksLongWords(t *testing.T) {
	assert.Equal(t, []string{"Donau", "dampf"}, wrap("Donaudampf", 12, width("Donau", 12)+.1))
	assert.Equal(t, []string{"e\u0301e\u0301", "e\u0301"}, wrap("e\u0301e\u0301e\u0301", 12, width("ee", 12)+.1))
	mechanic := "👩🏽\u200d🔧"
	for _, l := range wrap(strings.Repeat(mechanic, 4), 12, width(mechanic, 12)*1.5) {
		assert.Equal(t, mechanic, strings.TrimSuffix(l, "…"), "%+q", l)
	}
	long := wrap(strings.Repeat("long", 2500), 12, 100)
	require.Len(t, long, mostPieces)
	assert.True(t, strings.HasSuffix(long[mostPieces-1], "…"))
	rapid.Check(t, func(rt *rapid.T) {
		text := strings.Join(strings.Fields(rapid.String().Draw(rt, "text")), " ")
		room := rapid.Float64Range(20, 300).Draw(rt, "room")
		lines := wrap(text, 12, room)
		for _, l := range lines {
			assert.LessOrEqual(rt, width(l, 12), room, "%+q", l)
		}
		if !slices.ContainsFunc(lines, func(l string) bool { return strings.HasSuffix(l, "…") }) {
			assert.Equal(rt, strings.ReplaceAll(text, " ", ""), strings.ReplaceAll(strings.Join(lines, ""), " ", ""), "nothing is lost")
		}
		few := wrapTo(2, text, 12, room)
		assert.LessOrEqual(rt, len(few), 2)
		for _, l := range few {
			assert.LessOrEqual(rt, width(l, 12), room, "%+q", l)
		}
		if len(lines) > 2 {
			assert.True(rt, strings.HasSuffix(few[1], "…"))
		}
	})
}

// The name of a zone goes over two lines, and the row beneath makes room for them; what
// is longer still has the whole in a title.
func TestLongNamesInTheStrip(t *testing.T) {
	for _, wide := range []float64{360, 1280} {
		high := map[string]float64{}
		for what, name := range map[string]string{
			"short": "port side", "long": "starboard topsides between the rubbing strake and the boot top, aft of the shrouds",
			"unbroken": strings.Repeat("Kittiwake", 1100), "rtl": strings.Repeat("דופן ימין של הסירה ", 30), "emoji": strings.Repeat("⛵🧽👩🏽\u200d🔧", 200),
		} {
			w := invented(t, "America/New_York", "2026-09-10", 24)
			was := w.Zones[0].Name
			w.Zones[0].Name = name
			for i := range w.Windows {
				if w.Windows[i].Zone == was {
					w.Windows[i].Zone = name
				}
			}
			for i := range w.Refusals {
				if w.Refusals[i].Zone == was {
					w.Refusals[i].Zone = name
				}
			}
			all := parse(t, WeekStrip(w, Options{Width: int(wide)}).SVG)
			high[what] = number(t, all[0].attrs["height"])
			lines, whole := 0, ""
			for _, e := range all {
				switch {
				case e.name == "tspan" && e.parent.name == "text":
					lines++
					assert.LessOrEqual(t, width(e.text, 12), wide, what)
				case e.name == "title" && e.parent.name == "text":
					whole = e.text
				}
			}
			if what == "short" {
				assert.Zero(t, lines)
				continue
			}
			assert.GreaterOrEqual(t, lines, nameLines, "%s at %g", what, wide)
			if what != "long" {
				assert.Equal(t, name, whole, what)
			}
		}
		if wide == 360 {
			assert.Greater(t, high["long"], high["short"], "the rows make room")
		}
		assert.Equal(t, high["long"], high["unbroken"])
	}
}

func TestNumbersAsWords(t *testing.T) {
	assert.Equal(t, "−1.5", fixed(-1.5, 1))
	assert.Equal(t, "0", fixed(-0.2, 0), "no negative zero")
	assert.Equal(t, "0", num(math.NaN()))
	assert.Equal(t, "0", num(math.Inf(1)))
	assert.Equal(t, "-1.5", num(-1.5), "a coordinate, with a minus that programs read")
	us, si := Options{Units: "us"}, Options{}
	assert.Equal(t, 212.0, us.celsius(100)) // by definition of the scales
	assert.Equal(t, 1.8, us.kelvins(1))
	assert.Equal(t, "22 mph", us.wind(10)) // 1609.344 m in a mile, exact
	assert.Equal(t, "10.0 m/s", si.wind(10))
	assert.Equal(t, "1.0 in", us.rain(25.4)) // exact
	assert.Equal(t, []string{"<1 mm", "3 mm", "<0.1 in"}, []string{si.rain(0.4), si.rain(3.2), us.rain(1)})
	for deg, want := range map[float64]string{0: "0° N", 142: "142° SE", 359.7: "0° N", -90: "270° W", 337.5: "338° N"} {
		assert.Equal(t, want, bearing(deg))
	}
}

// Equivalent hours by hand: at 20 °C one for one, at 30 °C with a halving per 10 K
// two for one.
func TestCuredAt(t *testing.T) {
	from := time.Date(2026, 9, 10, 6, 0, 0, 0, time.UTC)
	class := &answer.ClassBands{FullCureH: ptr(12), HalvesPerK: ptr(10)}
	at := func(celsius float64, n int) *answer.Zone {
		z := &answer.Zone{}
		for i := range n {
			z.Hours = append(z.Hours, answer.Hour{At: from.Add(time.Duration(i) * time.Hour), SurfaceC: ptr(celsius)})
		}
		return z
	}
	begin := from.Add(20 * time.Minute)
	done, ok := curedAt(class, at(20, 48), begin)
	require.True(t, ok)
	assert.Equal(t, begin.Add(12*time.Hour), done)
	done, ok = curedAt(class, at(30, 48), begin)
	require.True(t, ok)
	assert.Equal(t, begin.Add(6*time.Hour), done)
	_, ok = curedAt(class, at(20, 10), begin)
	assert.False(t, ok, "the answer ends before")
	gap := at(20, 48)
	gap.Hours[5].SurfaceC = nil
	_, ok = curedAt(class, gap, begin)
	assert.False(t, ok, "nobody knows")
	_, ok = curedAt(nil, at(20, 48), begin)
	assert.False(t, ok)
}

func TestHourAt(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 24)
	z := &w.Zones[0]
	assert.Same(t, &z.Hours[2], hourAt(z, w.From.Add(2*time.Hour+59*time.Minute)))
	assert.Nil(t, hourAt(z, w.From.Add(-time.Minute)))
	assert.Nil(t, hourAt(z, w.To))
}

// The end of words that steer a terminal is not in a printed table.
func TestTableWrite(t *testing.T) {
	var b strings.Builder
	require.NoError(t, Table{Caption: "c\x1b[2J", Head: []string{"Zone", "T"}, Rows: [][]string{{"port\u202e\nside", "21"}, {"a", "9"}}}.Write(&b))
	assert.Equal(t, "c[2J\n\nZone       T\nport side  21\na          9\n", b.String())
	assert.True(t, utf8.ValidString(b.String()))
}
