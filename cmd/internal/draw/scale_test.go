package draw

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// levels gives all zones a day of temperatures between two values, °C, with a dew point.
func levels(t testing.TB, low, high, dew float64) *answer.Week {
	w := newYorkWeek(t, 18)
	for i := range w.Zones {
		for k := range w.Zones[i].Hours {
			h := &w.Zones[i].Hours[k]
			v := low + (high-low)*float64(k)/17
			h.SurfaceC, h.DewPointC, h.SpreadK = &v, ptr(dew), ptr(v-dew)
		}
	}
	return w
}

// scales are the labelled lines of a day's two plots, degrees and their places, from the
// lowest degree up.
func scales(t require.TestingT, p Picture) (surface, spread []vec) {
	var both [][]vec
	for _, e := range elementsOf(t, p, "text", "t s") {
		v, err := strconv.ParseFloat(strings.Replace(e.text, "−", "-", 1), 64)
		if err != nil || e.attrs["text-anchor"] != "end" {
			continue
		}
		at := vec{v, number(t, e.attrs["y"]) - 4}
		if n := len(both); n == 0 || at.y > both[n-1][len(both[n-1])-1].y {
			both = append(both, nil) // the next plot is beneath
		}
		both[len(both)-1] = append(both[len(both)-1], at)
	}
	require.Len(t, both, 2)
	return both[0], both[1]
}

// The scales of a day, from a boatyard in deep frost to a dark deck under a desert sun,
// by day-long calm and by the widest swing: lines evenly apart at round numbers of the
// unit shown (whole multiples of 5 times a power of two), not so near that figures
// touch, never fewer than two, and around every value that is drawn.
func TestScalesAreRoundAndHoldTheirValues(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		low := rapid.Float64Range(-40, 55).Draw(rt, "low")
		high := rapid.OneOf(rapid.Just(low), rapid.Float64Range(low, 90)).Draw(rt, "high")
		dew := rapid.Float64Range(-45, 30).Draw(rt, "dew")
		o := Options{Width: rapid.SampledFrom([]int{360, 1280}).Draw(rt, "width"), Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units")}
		surface, spread := scales(rt, DayCurves(levels(t, low, high, dew), "2026-09-10", o))
		degrees, kelvins := func(v float64) float64 { return v }, func(v float64) float64 { return v }
		if o.Units == "us" { // NIST SP 811, B.8: t/°F = 1.8 t/°C + 32
			degrees, kelvins = func(v float64) float64 { return 1.8*v + 32 }, func(v float64) float64 { return 1.8 * v }
		}
		for _, c := range []struct {
			name  string
			lines []vec
			holds []float64
		}{
			{"surface", surface, []float64{degrees(low), degrees(high), degrees(dew)}},
			{"spread", spread, []float64{kelvins(low - dew), kelvins(high - dew), 0}},
		} {
			require.GreaterOrEqual(rt, len(c.lines), 2, c.name)
			step := c.lines[1].x - c.lines[0].x
			doublings := math.Log2(step / 5)
			require.InDelta(rt, math.Round(doublings), doublings, 1e-9, "%s: a step of %g", c.name, step)
			for i, at := range c.lines {
				require.Zero(rt, math.Mod(at.x, step), "%s: %g is no multiple of %g", c.name, at.x, step)
				if i > 0 {
					require.Equal(rt, step, at.x-c.lines[i-1].x)
					require.InDelta(rt, c.lines[0].y-c.lines[1].y, c.lines[i-1].y-at.y, 2*tenth, c.name)
					require.GreaterOrEqual(rt, c.lines[i-1].y-at.y, 11.0, "figures of 11 px")
				}
			}
			for _, v := range c.holds {
				require.LessOrEqual(rt, c.lines[0].x, v, c.name)
				require.GreaterOrEqual(rt, c.lines[len(c.lines)-1].x, v, c.name)
			}
		}
	})
}

// The same panel stands at the same height of the paper whatever the unit says of it:
// −40 is where both scales meet, water freezes at 0 °C and 32 °F and boils at 100 °C
// and 212 °F (BIPM; NIST SP 811, B.8).
func TestScalesOfBothUnitsAgree(t *testing.T) {
	at := func(units string, degrees float64) float64 {
		lines, _ := scales(t, DayCurves(levels(t, -40, 100, -41), "2026-09-10", Options{Width: 1280, Units: units}))
		low, high := lines[0], lines[len(lines)-1]
		return (low.y - high.y) * (degrees - low.x) / (high.x - low.x)
	}
	for units, points := range map[string][3]float64{"metric": {-40, 0, 100}, "us": {-40, 32, 212}} {
		frost, boils := at(units, points[1])-at(units, points[0]), at(units, points[2])-at(units, points[1])
		assert.InDelta(t, 0.4, frost/boils, 0.002, units)
	}
	assert.Equal(t, -40.0, Options{Units: "us"}.celsius(-40))
	assert.Equal(t, "−40.0 °F", (&scene{canvas: newCanvas(Options{Units: "us"})}).degrees(-40))
	assert.Equal(t, "131.0 °F", (&scene{canvas: newCanvas(Options{Units: "us"})}).degrees(55))
}

// Extremes keep their figures: in the table, in the zones, in the list, and in the range
// behind a curve's name.
func TestExtremesAreTold(t *testing.T) {
	for _, c := range []struct {
		low, high     float64
		units         string
		table, ranges string
	}{
		{-40, -40, "metric", "−40.0 °C", "−40"},
		{-40, -40, "us", "−40.0 °F", "−40"},
		{55, 55, "metric", "55.0 °C", "55"},
		{55, 55, "us", "131.0 °F", "131"},
		{-40, 55, "metric", "−40.0 °C", "−40…55"},
		{-40, 55, "us", "−40.0 °F", "−40…131"},
	} {
		w := levels(t, c.low, c.high, -50)
		day := DayCurves(w, "", Options{Width: 1280, Units: c.units})
		assert.True(t, strings.HasPrefix(day.Table.Rows[0][2], c.table), day.Table.Rows[0][2])
		assert.Contains(t, texts(t, day), "port side  "+c.ranges)
		boat := BoatAndSun(w, w.From, Options{Width: 1280, Units: c.units})
		assert.Equal(t, c.table, boat.Table.Rows[0][2])
		assert.Contains(t, boat.Description, "port side "+c.table+".")
		assert.Contains(t, texts(t, boat), c.table)
	}
}

// Wind from calm to hurricane, told at the place of the work: 70 m/s are 157 mph, which
// is where the fifth category begins (Saffir–Simpson scale of the US National Hurricane
// Center: 157 mph or 70 m/s); 0 is calm and not unknown.
func TestWindIsTold(t *testing.T) {
	for _, c := range []struct {
		ms     *float64
		metric string
		us     string
	}{
		{ptr(0), "Wind from 230° SW, 0.0 m/s at deck height", "Wind from 230° SW, 0 mph at deck height"},
		{ptr(70), "Wind from 230° SW, 70.0 m/s at deck height", "Wind from 230° SW, 157 mph at deck height"},
		{ptr(0.44704), "0.4 m/s", "1 mph"}, // NIST SP 811: 1 mi/h = 0.44704 m/s, exactly
	} {
		w := newYorkWeek(t, 24)
		for k := range w.Zones[0].Hours {
			w.Zones[0].Hours[k].WindMS = c.ms
		}
		assert.Contains(t, BoatAndSun(w, w.From, Options{}).Description, c.metric)
		assert.Contains(t, BoatAndSun(w, w.From, Options{Units: "us"}).Description, c.us)
	}
	w := newYorkWeek(t, 24)
	for k := range w.Zones[0].Hours {
		w.Zones[0].Hours[k].WindMS = nil
	}
	said := BoatAndSun(w, w.From, Options{}).Description
	assert.NotContains(t, said, "Wind", "nothing is said of a wind that nobody knows")
}

// The tones of the boat are named by their edges: between two edges stands the tone of
// just those temperatures, in both units. Nine Fahrenheit degrees are five kelvins, so
// that the edges are whole in both.
func TestTonesAreNamedByTheirEdges(t *testing.T) {
	for units, want := range map[string][]string{
		"metric": {"5", "10", "15", "20", "25", "30", "35", "40"}, "us": {"41", "50", "59", "68", "77", "86", "95", "104"},
	} {
		p := BoatAndSun(newYorkWeek(t, 24), time.Time{}, Options{Width: 1280, Units: units})
		places := map[string]float64{}
		edges := map[float64]string{}
		for i := range tones {
			for _, e := range elementsOf(t, p, "rect", "t"+strconv.Itoa(i)) {
				places["t"+strconv.Itoa(i)] = number(t, e.attrs["x"])
			}
		}
		require.Len(t, places, tones)
		for _, e := range elementsOf(t, p, "text", "t s") {
			if _, err := strconv.Atoi(e.text); err == nil && e.attrs["text-anchor"] == "middle" {
				edges[number(t, e.attrs["x"])] = e.text
			}
		}
		var at []float64
		for x := range edges {
			at = append(at, x)
		}
		sort.Float64s(at)
		var named []string
		for i, x := range at {
			named = append(named, edges[x])
			assert.Less(t, places["t"+strconv.Itoa(i)], x)
			assert.Greater(t, places["t"+strconv.Itoa(i+1)], x-1, "the edge is between two tones")
			v, err := strconv.ParseFloat(edges[x], 64)
			require.NoError(t, err)
			if units == "us" {
				v = (v - 32) / 1.8
			}
			assert.Equal(t, i, tone(v-0.01), "just under %s", edges[x])
			assert.Equal(t, i+1, tone(v+0.01), "just over %s", edges[x])
		}
		assert.Equal(t, want, named)
	}
}

// Rain in few words, by the published inch of 25.4 mm (NIST SP 811, exactly): what fell
// is never told as none, and small amounts never as more than they are.
func TestRainInWords(t *testing.T) {
	for _, c := range []struct {
		mm         float64
		metric, us string
	}{
		{0.1, "<1 mm", "<0.1 in"}, {0.99, "<1 mm", "<0.1 in"}, {1, "1 mm", "<0.1 in"}, {2.53, "3 mm", "<0.1 in"},
		{2.54, "3 mm", "0.1 in"}, {25.4, "25 mm", "1.0 in"}, {254, "254 mm", "10.0 in"}, {1825, "1825 mm", "71.9 in"}, // a day's record, Réunion 1966 (WMO)
	} {
		assert.Equal(t, c.metric, Options{}.rain(c.mm))
		assert.Equal(t, c.us, Options{Units: "us"}.rain(c.mm))
	}
	rapid.Check(t, func(rt *rapid.T) {
		mm := rapid.Float64Range(0.1, 300).Draw(rt, "mm")
		for _, o := range []Options{{}, {Units: "us"}} {
			words := o.rain(mm)
			require.NotRegexp(rt, `^0(\.0)? `, words)
			require.Equal(rt, 1, strings.Count(words, " "))
			require.Less(rt, width(words, 11), 60.0)
		}
	})
}

// On a long horizon the days are narrow. Their sums of rain then leave the unit to the
// name of the lane, all alike, and what has no room at all is left to the table.
func TestSumsOfRainOnALongHorizon(t *testing.T) {
	w := newYorkWeek(t, 16*24-8)
	for i := range w.Zones[0].Hours {
		w.Zones[0].Hours[i].RainMM = ptr(0.55)
	}
	for _, c := range []struct {
		wide        int
		units, lane string
		sum         string // of a whole day, "" where it has no room
	}{
		{1280, "metric", "rain, sum of the day", "13 mm"},
		{720, "metric", "rain a day, mm", "13"},
		{360, "metric", "Rain, and its sum of the day, mm", "13"},
		{1280, "us", "rain, sum of the day", "0.5 in"},
		{720, "us", "rain a day, in", "0.5"},
		{320, "us", "Rain, and its sum of the day, in", ""},
	} {
		name := fmt.Sprint(c.wide, " ", c.units)
		p := WeekStrip(w, Options{Width: c.wide, Units: c.units})
		lane := false
		sums := map[string]int{}
		for _, e := range parse(t, p.SVG) {
			lane = lane || e.name == "text" && e.text == c.lane
			if e.name == "text" && e.attrs["class"] == "t halo" {
				sums[e.text]++
			}
		}
		assert.True(t, lane, "%s: %s", name, texts(t, p))
		if c.sum != "" {
			assert.GreaterOrEqual(t, sums[c.sum], 14, "%s: %v", name, sums)
		} else {
			assert.Empty(t, sums, name)
		}
		assert.Equal(t, Options{Units: c.units}.rain(0.55*24), p.Table.Rows[1][6], name)
		apartWords(t, p, name)
	}
}

// Hours in which nobody knows whether it rains are drawn as such, and not as dry: over
// just those hours, at every width; and the table says it.
func TestRainThatNobodyKnows(t *testing.T) {
	for _, wide := range []int{360, 1280} {
		w := newYorkWeek(t, 66)
		usual := len(cornersOf(t, joinD(t, WeekStrip(w, Options{Width: wide}))))
		for _, k := range []int{20, 21, 22, 40} { // Fri 02:00 to 05:00, and 22:00
			w.Zones[0].Hours[k].RainMM = nil
		}
		p := WeekStrip(w, Options{Width: wide})
		assert.Len(t, cornersOf(t, joinD(t, p)), usual+4, "two lines more")
		s := newStrip(w, Options{Width: wide}.checked(""))
		line := cornersOf(t, elementsOf(t, p, "path", "unknown")[0].attrs["d"])
		at := func(hour int) float64 {
			return s.axis.x(time.Date(2026, 9, 11, hour, 0, 0, 0, s.loc))
		}
		for i, x := range []float64{at(2), at(5), at(22), at(23)} {
			assert.InDelta(t, x, line[i].x, tenth)
		}
		for _, r := range p.Table.Rows {
			switch r[2] {
			case "Fri 11 Sep":
				assert.Equal(t, "5 mm, not all known", r[6])
			case "Thu 10 Sep", "Sat 12 Sep":
				assert.Equal(t, "none", r[6])
			}
		}
	}
	w := newYorkWeek(t, 42)
	for k := range w.Zones[0].Hours {
		if w.Zones[0].Hours[k].RainMM = nil; k > 30 && k < 33 {
			w.Zones[0].Hours[k].RainMM = ptr(0)
		}
	}
	table := WeekStrip(w, Options{}).Table
	assert.Equal(t, []string{"–", "not all known"}, []string{table.Rows[0][6], table.Rows[1][6]}, "no rain is known of, which is not none")
}

// joinD are all dotted lines of what is unknown.
func joinD(t require.TestingT, p Picture) string {
	out := ""
	for _, e := range elementsOf(t, p, "path", "unknown") {
		out += e.attrs["d"]
	}
	return out
}

// The names of a product's bands stay in their plot, on the side of the curves where
// there is room: over it stands what it shows, under it are the hours.
func TestBandWordsStayInTheirPlot(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		low := rapid.Float64Range(-10, 40).Draw(rt, "low")
		w := levels(t, low, low+rapid.Float64Range(0, 25).Draw(rt, "swing"), low-rapid.Float64Range(0, 12).Draw(rt, "damp"))
		o := Options{Width: rapid.SampledFrom([]int{360, 720, 1280}).Draw(rt, "width"), Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units")}
		p := DayCurves(w, "", o)
		surface, spread := scales(rt, p)
		for _, l := range labelsOf(rt, parse(rt, p.SVG)) {
			if l.class != "t s halo" {
				continue
			}
			inside := false
			for _, plot := range [][]vec{surface, spread} {
				inside = inside || l.top > plot[len(plot)-1].y-8 && l.bottom < plot[0].y+7
			}
			require.True(rt, inside, "%q at %v, plots %v and %v", l.words, l.box, surface, spread)
		}
	})
}
