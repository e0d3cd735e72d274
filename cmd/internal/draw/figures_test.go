package draw

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// elementsOf are a picture's elements of a name and a class.
func elementsOf(t require.TestingT, p Picture, name, class string) []*element {
	var out []*element
	for _, e := range parse(t, p.SVG) {
		if e.name == name && e.attrs["class"] == class {
			out = append(out, e)
		}
	}
	return out
}

// pointsOf are the corners of a path of M and L.
func pointsOf(t require.TestingT, d string) []vec {
	var out []vec
	for _, part := range strings.FieldsFunc(d, func(r rune) bool { return r == 'M' || r == 'L' || r == 'Z' }) {
		xy := strings.Fields(part)
		require.Len(t, xy, 2, part)
		out = append(out, vec{number(t, xy[0]), number(t, xy[1])})
	}
	return out
}

// tenth is what rounding of coordinates may take.
const tenth = 0.051

// Windows stand where their hours are: elapsed time from the midnight before the
// answer, the same width for the same hours, on days of 23 and 25 hours too. The
// hours to each midnight are counted by hand.
func TestWindowsStandAtTheirTimes(t *testing.T) {
	for _, c := range []struct {
		name, day string
		hours     int
		midnights []float64 // hours from the first midnight on
	}{
		{"usual", "2026-09-10", 60, []float64{0, 24, 48, 72}},
		{"25 hours", "2026-10-31", 60, []float64{0, 24, 49, 73}},
		{"23 hours", "2027-03-13", 60, []float64{0, 24, 47, 71}},
	} {
		w := invented(t, "America/New_York", c.day, c.hours)
		loc := location(w)
		p := WeekStrip(w, Options{Width: 1280, Zones: []string{"port side"}})
		whole := c.midnights[len(c.midnights)-1]
		left, right := edge+180.0, 1280-edge
		x := func(at time.Time) float64 {
			local := at.In(loc)
			first := time.Date(w.From.Year(), w.From.Month(), w.From.Day(), 0, 0, 0, 0, time.UTC)
			day := int(time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, time.UTC).Sub(first) / (24 * time.Hour))
			clock := float64(local.Hour()) + float64(local.Minute())/60
			if long := c.midnights[day+1] - c.midnights[day]; clock >= 3 { // after the change
				clock += long - 24
			}
			return left + (right-left)*(c.midnights[day]+clock)/whole
		}
		bars := map[string][][4]float64{"ideal": barsByClass(t, p, "ideal"), "go": barsByClass(t, p, "go"), "marginal": barsByClass(t, p, "marginal")}
		seen := map[string]int{}
		for _, step := range []string{"wash", "seal"} {
			for _, win := range w.Windows {
				if win.Zone != "port side" || win.Step != step {
					continue
				}
				require.Less(t, seen[win.State], len(bars[win.State]), c.name)
				b := bars[win.State][seen[win.State]]
				seen[win.State]++
				name := fmt.Sprint(c.name, " ", win.State, " ", win.From.In(loc))
				assert.InDelta(t, x(win.From), b[0], tenth, name)
				assert.InDelta(t, (right-left)*win.To.Sub(win.From).Hours()/whole, b[2], 2*tenth, name)
			}
		}
		assert.Equal(t, map[string]int{"ideal": 6, "go": 6, "marginal": 6}, seen, c.name)
	}
}

// Rain is as high as it is heavy, up to what fills the lane; what is more stays in
// it, and a drizzle shows.
func TestRainBarsScale(t *testing.T) {
	w := newYorkWeek(t, 48)
	mm := []float64{0, 0.04, 0.1, 1, 2, 3, 4, 9}
	for i := range w.Zones[0].Hours {
		w.Zones[0].Hours[i].RainMM = ptr(0)
	}
	for i, v := range mm {
		w.Zones[0].Hours[i].RainMM = ptr(v)
	}
	w.Zones[0].Hours[20].RainMM = nil
	list := elementsOf(t, WeekStrip(w, Options{Width: 1280}), "rect", "rain")
	require.Len(t, list, 6)
	foot := number(t, list[0].attrs["y"]) + number(t, list[0].attrs["height"])
	for i, want := range []float64{2, rainHigh / 4, rainHigh / 2, rainHigh * 3 / 4, rainHigh, rainHigh} {
		assert.InDelta(t, want, number(t, list[i].attrs["height"]), tenth)
		assert.InDelta(t, foot, number(t, list[i].attrs["y"])+number(t, list[i].attrs["height"]), 2*tenth, "one foot")
	}
}

// The weight of the base is the confidence: twice as sure, by as much thicker.
func TestBaseScalesWithConfidence(t *testing.T) {
	w := newYorkWeek(t, 24)
	for _, b := range barsByClass(t, WeekStrip(w, Options{Width: 720, Zones: []string{"port side"}, Bare: true}), "sure") {
		assert.True(t, b[3] >= sureLow-tenth && b[3] <= sureHigh+tenth)
	}
	high := map[float64]float64{}
	for _, sure := range []float64{-1, 0, 0.25, 0.5, 1, 7} {
		one := newYorkWeek(t, 24)
		one.Windows = one.Windows[:1]
		one.Windows[0].Confidence = sure
		high[sure] = barsByClass(t, WeekStrip(one, Options{}), "sure")[0][3]
	}
	assert.InDelta(t, high[0.5]-high[0], 2*(high[0.25]-high[0]), 2*tenth)
	assert.InDelta(t, high[1]-high[0], 2*(high[0.5]-high[0]), 2*tenth)
	assert.Equal(t, []float64{high[0], high[1]}, []float64{high[-1], high[7]})
}

// scaleOf are the labelled lines of the upper plot of a day: y by degrees.
func scaleOf(t *testing.T, p Picture) map[float64]float64 {
	out := map[float64]float64{}
	for _, e := range elementsOf(t, p, "text", "t s") {
		v, err := strconv.ParseFloat(strings.Replace(e.text, "−", "-", 1), 64)
		if err != nil || e.attrs["text-anchor"] != "end" {
			continue
		}
		if _, again := out[v]; again || len(out) > 0 && number(t, e.attrs["y"])-4 > out[least(out)]+1 {
			continue // the lower plot
		}
		out[v] = number(t, e.attrs["y"]) - 4
	}
	return out
}

func least(m map[float64]float64) float64 {
	out := math.Inf(1)
	for v := range m {
		out = min(out, v)
	}
	return out
}

// Every hour of a curve stands where the axis has its value, in both units, at the
// middle of its hour.
func TestCurvesStandAtTheirValues(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		w := newYorkWeek(t, 24)
		p := DayCurves(w, "2026-09-10", Options{Width: 1280, Units: units})
		scale := scaleOf(t, p)
		require.GreaterOrEqual(t, len(scale), 3)
		low := least(scale)
		perDegree := 0.0
		for v, y := range scale {
			if v > low {
				perDegree = (y - scale[low]) / (v - low)
			}
		}
		require.Negative(t, perDegree, "up is warmer")
		for v, y := range scale {
			assert.InDelta(t, scale[low]+(v-low)*perDegree, y, 0.2, "the scale is even")
		}
		left, right := edge+30, 1280-edge-200
		for i := range w.Zones {
			line := pointsOf(t, elementsOf(t, p, "path", "line l"+strconv.Itoa(i))[0].attrs["d"])
			require.Len(t, line, 18)
			for k, at := range line {
				v := *w.Zones[i].Hours[k].SurfaceC
				if units == "us" {
					v = v*9/5 + 32
				}
				assert.InDelta(t, scale[low]+(v-low)*perDegree, at.y, 0.3, "%s, hour %d, %s", w.Zones[i].Name, k, units)
				assert.InDelta(t, left+(right-left)*(6.5+float64(k))/24, at.x, tenth)
			}
		}
	}
}

// bowTo is the fleet on a boat whose bow looks to a bearing.
func bowTo(t *testing.T, bow float64) *answer.Week {
	w := newYorkWeek(t, 24)
	w.Scene.Berths = []answer.Berth{{BowDeg: bow}}
	hours := w.Zones[0].Hours
	w.Zones = fleet(bow)
	for i := range w.Zones {
		w.Zones[i].Hours = hours
	}
	w.Windows, w.Refusals = nil, nil
	return w
}

// bearingOf is the compass bearing from one place of the sheet to another.
func bearingOf(from, to vec) float64 {
	return math.Mod(math.Atan2(to.x-from.x, from.y-to.y)*180/math.Pi+360, 360)
}

func turnBetween(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 360)) }

// The bow on the sheet points where it points in the berth, port lies to its left,
// starboard to its right, and the transom astern.
func TestBoatLiesAsInHerBerth(t *testing.T) {
	for _, bow := range []float64{0, 45, 90, 200, 270, 333} {
		w := bowTo(t, bow)
		p := BoatAndSun(w, w.From.Add(6*time.Hour), Options{Width: 1280, Bare: true})
		sea := elementsOf(t, p, "circle", "sea")[0]
		mid := vec{number(t, sea.attrs["cx"]), number(t, sea.attrs["cy"])}
		hull := pointsOf(t, elementsOf(t, p, "path", "hull")[0].attrs["d"])
		tip, far := vec{}, math.Inf(-1)
		sin, cos := math.Sincos(bow * math.Pi / 180)
		for _, v := range hull {
			if along := (v.x-mid.x)*sin - (v.y-mid.y)*cos; along > far {
				tip, far = v, along
			}
		}
		assert.Less(t, turnBetween(bow, bearingOf(mid, tip)), 2.0, "bow to %g", bow)
		at := map[string]vec{}
		all := parse(t, p.SVG)
		for i, e := range all {
			if e.name == "g" && e.attrs["class"] == "z" {
				name, _, _ := strings.Cut(all[i+1].text, ":")
				at[name] = centroid(pointsOf(t, all[i+2].attrs["d"]))
			}
		}
		require.Len(t, at, 12)
		for name, off := range map[string]float64{"foredeck": 0, "starboard side": 90, "transom": 180, "swim platform": 180, "port side": 270} {
			assert.Less(t, turnBetween(bow+off, bearingOf(mid, at[name])), 25.0, "%s, bow to %g", name, bow)
		}
	}
}

// sunDrawn is the bearing at which the large boat has its sun, whether it is up,
// and how large it is.
func sunDrawn(t *testing.T, latitude, longitude float64, at time.Time) (bearing float64, up bool, r float64) {
	w := newYorkWeek(t, 24)
	w.Place = answer.Place{Latitude: latitude, Longitude: longitude, Timezone: "UTC"}
	p := BoatAndSun(w, at, Options{Width: 1280, Bare: true})
	sea := elementsOf(t, p, "circle", "sea")[0] // the large boat is drawn first
	mid := vec{number(t, sea.attrs["cx"]), number(t, sea.attrs["cy"])}
	for _, e := range parse(t, p.SVG) {
		if class := e.attrs["class"]; e.name == "circle" && (class == "sun" || class == "down") {
			return bearingOf(mid, vec{number(t, e.attrs["cx"]), number(t, e.attrs["cy"])}), class == "sun", number(t, e.attrs["r"])
		}
	}
	require.Fail(t, "no sun")
	return 0, false, 0
}

// The sun stands where spherical astronomy has it. By hand: at an equinox it rises
// due east and sets due west (declination 0: cos A = sin δ / cos φ = 0), at noon it
// is due south of 43° N and due north of 43° S; at the June solstice it rises at
// cos A = sin 23.44° / cos 43.07°, A = 57.0°, and at the equator its noon is north.
// The equation of time is −7.4 min on 20 March, −1.8 min on 21 June and +16.4 min on
// 1 November (NOAA's tables, from memory, to a tenth); longitudes are chosen so
// that the middle of an hour, which is what is drawn, is the moment asked for.
func TestSunStandsAtItsBearing(t *testing.T) {
	at := func(month time.Month, day, hour int) time.Time {
		return time.Date(2026, month, day, hour, 0, 0, 0, time.UTC)
	}
	// apparentAt is the longitude at which the middle of an hour is an apparent time.
	apparentAt := func(hour int, equation, apparent float64) float64 {
		return (apparent - float64(hour) - 0.5 - equation/60) * 15
	}
	for _, c := range []struct {
		name      string
		latitude  float64
		longitude float64
		at        time.Time
		want      float64
	}{
		{"noon at the equinox, north", 43.07, apparentAt(12, -7.4, 12), at(3, 20, 12), 180},
		{"noon at the equinox, south", -43.07, apparentAt(12, -7.4, 12), at(3, 20, 12), 0},
		{"six at the equinox", 43.07, apparentAt(12, -7.4, 6.1), at(3, 20, 12), 91.0}, // 1.5° after rising, tan A' = sin φ · tan 1.5°
		{"eighteen at the equinox", 43.07, apparentAt(12, -7.4, 17.9), at(3, 20, 12), 269.0},
		{"noon at the solstice, equator", 0, apparentAt(12, -1.8, 12), at(6, 21, 12), 0},
		{"noon in November", 43.07, apparentAt(12, 16.4, 12), at(11, 1, 12), 180},
		{"sunrise at the solstice", 43.07, apparentAt(12, -1.8, 12-113.92/15+0.05), at(6, 21, 12), 57.6},
	} {
		bearing, up, _ := sunDrawn(t, c.latitude, c.longitude, c.at)
		assert.True(t, up, c.name)
		assert.Less(t, turnBetween(c.want, bearing), 1.0, "%s: %g", c.name, bearing)
	}
	_, up, _ := sunDrawn(t, 43.07, apparentAt(12, -7.4, 0), at(3, 20, 12))
	assert.False(t, up, "midnight")
}

// The higher the sun, the larger: half of the full size on the horizon, and full
// from 60° on.
func TestSunGrowsWithItsHeight(t *testing.T) {
	last := 0.0
	for hour := 12; hour <= 16; hour++ { // forenoon at 60° W
		at := time.Date(2026, 6, 21, hour, 0, 0, 0, time.UTC)
		_, up, r := sunDrawn(t, 30, -60, at)
		require.True(t, up)
		height := sky.Sun(middle(at), 30, -60, 1013, 15).Elevation
		assert.InDelta(t, 10*(0.5+0.5*min(1, height/60)), r, tenth)
		assert.GreaterOrEqual(t, r, last)
		last = r
	}
	assert.InDelta(t, 10, last, tenth)
}
