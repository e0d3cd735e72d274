package draw

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// windOn is the usual boat with the wind from a bearing.
func windOn(t testing.TB, from *float64) *answer.Week {
	w := newYorkWeek(t, 24)
	for i := range w.Scene.Wind {
		w.Scene.Wind[i].FromDeg = from
	}
	return w
}

// largeRing is the middle and the radius of the large boat's ring.
func largeRing(t require.TestingT, p Picture) (vec, float64) {
	sea := elementsOf(t, p, "circle", "sea")[0]
	return vec{number(t, sea.attrs["cx"]), number(t, sea.attrs["cy"])}, number(t, sea.attrs["r"])
}

func apartBy(a, b vec) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }

// The arrow of the wind stands where the wind comes from and points to the middle of the
// boat, whichever way it blows; it keeps off the sun.
func TestWindBlowsToTheBoat(t *testing.T) {
	t.Parallel()
	for from := 0.0; from < 360; from += 30 {
		w := windOn(t, &from)
		for hour := 0; hour < 18; hour += 3 {
			p := BoatAndSun(w, w.From.Add(time.Duration(hour)*time.Hour), Options{Width: 720, Bare: true})
			mid, ring := largeRing(t, p)
			arrow := cornersOf(t, elementsOf(t, p, "path", "wind")[0].attrs["d"])
			require.Len(t, arrow, 5)
			tail, tip := arrow[0], arrow[1]
			assert.Less(t, turnBetween(from, bearingOf(mid, tail)), 1.0, "from %g", from)
			assert.Less(t, turnBetween(from+180, bearingOf(tail, tip)), 1.5, "from %g it blows to the other side", from)
			assert.Less(t, apartBy(mid, tip), apartBy(mid, tail))
			sunny := sky.Sun(middle(w.From.Add(time.Duration(hour)*time.Hour)), w.Place.Latitude, w.Place.Longitude, 1013, 15).Azimuth
			if turnBetween(from, sunny) > 15 {
				assert.Greater(t, apartBy(mid, tail), ring, "it comes in from outside, but where the sun stands there")
			}
			for _, barb := range []vec{arrow[2], arrow[4]} {
				assert.Equal(t, tip, arrow[3])
				assert.Greater(t, apartBy(mid, barb), apartBy(mid, tip), "a head points ahead")
			}
			sun := elementsOf(t, p, "circle", "sun")
			if len(sun) > 0 {
				at := vec{number(t, sun[0].attrs["cx"]), number(t, sun[0].attrs["cy"])}
				if math.Abs(apartBy(mid, at)-ring) < 1 { // the large boat's
					for _, p := range arrow {
						assert.Greater(t, apartBy(at, p), number(t, sun[0].attrs["r"]), "from %g at %d", from, hour)
					}
				}
			}
		}
	}
}

// Without a bearing there is no arrow; where it is known for some hours alone, those
// have theirs.
func TestNoWindNoArrow(t *testing.T) {
	w := windOn(t, nil)
	p := BoatAndSun(w, w.From.Add(6*time.Hour), Options{Bare: true})
	assert.Len(t, elementsOf(t, p, "path", "wind"), 1, "in the legend alone")
	assert.Contains(t, p.Description, "Wind 3.0 m/s, direction not known.")
	assert.NotContains(t, p.Description, "Wind from")
	w.Scene.Wind[6].FromDeg = ptr(90)
	p = BoatAndSun(w, w.From.Add(6*time.Hour), Options{Bare: true})
	assert.Len(t, elementsOf(t, p, "path", "wind"), 3, "the large boat, noon among the small ones, the legend")
	assert.Contains(t, p.Description, "Wind from 90° E, 3.0 m/s")
	row := p.Table.Rows[len(p.Table.Rows)-1]
	assert.Equal(t, []string{"Wind from", "", "90° E"}, row[:3])
	assert.Equal(t, "–", row[3])
}

// The letters of the compass stand at their bearings, and give way to the sun and the
// wind alone.
func TestLettersOfTheCompass(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		from := rapid.Float64Range(0, 360).Draw(rt, "from")
		w := windOn(t, &from)
		at := w.From.Add(time.Duration(rapid.IntRange(0, 17).Draw(rt, "hour")) * time.Hour)
		p := BoatAndSun(w, at, Options{Width: rapid.SampledFrom([]int{320, 720, 1280}).Draw(rt, "width"), Bare: true})
		mid, _ := largeRing(rt, p)
		sun := sky.Sun(middle(at), w.Place.Latitude, w.Place.Longitude, 1013, 15).Azimuth
		there := map[string]bool{}
		for _, e := range elementsOf(rt, p, "text", "t s") {
			if i := strings.Index("NESW", e.text); len(e.text) == 1 && i >= 0 && e.attrs["text-anchor"] == "middle" {
				bearing := bearingOf(mid, vec{number(rt, e.attrs["x"]), number(rt, e.attrs["y"]) - 4})
				require.Less(rt, turnBetween(float64(i)*90, bearing), 1.0, e.text)
				there[e.text] = true
			}
		}
		for i, letter := range []string{"N", "E", "S", "W"} {
			near := turnBetween(from, float64(i)*90) < 11 || turnBetween(sun, float64(i)*90) < 11
			require.Equal(rt, !near, there[letter], "%s with wind from %g and the sun at %g", letter, from, sun)
		}
	})
}

// Each figure stands within its own zone, and so does the zone's letter: whichever way
// the bow points and whatever the figures are.
func TestFiguresStandInTheirZones(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		w := bowTo(t, rapid.Float64Range(0, 360).Draw(rt, "bow"))
		celsius := rapid.SampledFrom([]float64{-40, -9, 7, 23, 55}).Draw(rt, "celsius")
		for k := range w.Zones[0].Hours { // of all zones
			w.Zones[0].Hours[k].SurfaceC = &celsius
		}
		o := Options{Width: rapid.SampledFrom([]int{320, 412, 720, 1280}).Draw(rt, "width"), Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units"), Bare: true}
		p := BoatAndSun(w, w.From.Add(6*time.Hour), o)
		all := parse(rt, p.SVG)
		zones := map[string][]vec{}
		for i, e := range all {
			if e.name == "g" && e.attrs["class"] == "z" {
				name, _, _ := strings.Cut(all[i+1].text, ":")
				zones[name] = cornersOf(rt, all[i+2].attrs["d"])
			}
		}
		letter := map[string]string{}
		for i, z := range w.Zones {
			letter[letters(i)] = z.Name
		}
		said := 0
		want := fixed(o.celsius(celsius), 0)
		for _, e := range all {
			class := e.attrs["class"]
			if e.name != "text" || !strings.Contains(class, "i"+strconv.Itoa(tone(celsius))) {
				continue
			}
			at := vec{number(rt, e.attrs["x"]), number(rt, e.attrs["y"]) - 4}
			words := strings.TrimSpace(e.text)
			if zone, ok := letter[words]; ok {
				require.True(rt, inside(zones[zone], at), "the letter %s of %s", words, zone)
				continue
			}
			require.Equal(rt, want, strings.Trim(words, "°"))
			within := 0
			for _, poly := range zones {
				if inside(poly, at) {
					within++
				}
			}
			require.GreaterOrEqual(rt, within, 1, "%s at %v is in no zone", words, at)
			said++
		}
		require.LessOrEqual(rt, said, len(w.Zones))
	})
}

// Of a boat whose bow nobody knows each side stands where it looks to, to the nearest of
// eight winds, and what is level in the middle.
func TestCompassPlanByBearing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(rt, "n")
		var zones []answer.Zone
		for range n {
			zones = append(zones, answer.Zone{Tilt: 90, Faces: ptr(rapid.Float64Range(-360, 720).Draw(rt, "faces"))})
		}
		zones = append(zones, answer.Zone{Tilt: 0}, answer.Zone{Tilt: 90})
		p := compassPlan(zones)
		require.Empty(rt, p.loose)
		for _, c := range p.cells {
			mid := centroid(c.poly)
			if c.zone >= n {
				require.Less(rt, math.Hypot(mid.x, mid.y), ringIn, "level, or looking nowhere")
				continue
			}
			require.Less(rt, turnBetween(*zones[c.zone].Faces, bearingOf(vec{}, mid)), 22.5+1e-6)
			require.Greater(rt, math.Hypot(mid.x, mid.y), discOut)
		}
		for i, a := range p.cells { // no cell covers the middle of another
			for k, b := range p.cells {
				require.Equal(rt, i == k, inside(b.poly, centroid(a.poly)), "%d and %d", i, k)
			}
		}
	})
}

// The list names forty zones and counts the others, one in the singular; the table has
// all of them.
func TestListOfManyZones(t *testing.T) {
	t.Parallel()
	for n, more := range map[int]string{40: "", 41: "1 more zone in the table", 45: "5 more zones in the table"} {
		w := newYorkWeek(t, 24)
		one := w.Zones[0]
		w.Zones, w.Windows, w.Refusals = nil, nil, nil
		for i := range n {
			one.Name = "panel " + strconv.Itoa(i+1)
			w.Zones = append(w.Zones, one)
		}
		for _, wide := range []int{360, 720, 1280} {
			p := BoatAndSun(w, time.Time{}, Options{Width: wide})
			words := texts(t, p)
			if more == "" {
				assert.NotContains(t, words, "in the table")
			} else {
				assert.Contains(t, words, more)
			}
			assert.Contains(t, words, "panel 40")
			assert.NotContains(t, words, "panel 41\n")
			assert.Len(t, p.Table.Rows, n+2)
			apartWords(t, p, strconv.Itoa(n)+" zones")
		}
	}
}

// What is read aloud counts as people do.
func TestDescriptionsCount(t *testing.T) {
	w := newYorkWeek(t, 24)
	assert.Contains(t, WeekStrip(w, Options{}).Description, "Planned: 2 blocks from Thu 10 Sep 08:00")
	w.Plan.Blocks = w.Plan.Blocks[:1]
	ends := w.Plan.Blocks[0].To
	w.Plan.Ends = &ends
	assert.Contains(t, WeekStrip(w, Options{}).Description, "Planned: 1 block from Thu 10 Sep 08:00 to Thu 10 Sep 09:00, go in 90 % of the forecasts.")
	one := DayCurves(w, "", Options{Zones: []string{"transom"}})
	assert.True(t, strings.HasPrefix(one.Description, "Temperature of 1 zone through the day"), one.Description)
	assert.True(t, strings.HasPrefix(DayCurves(w, "", Options{}).Description, "Temperature of 4 zones through the day"))

	w.Headline.Best = w.Windows[:7]
	w.Headline.Next = w.Windows[7:8]
	said := WeekStrip(w, Options{}).Description
	assert.Contains(t, said, "Best for seal: Thu 10 Sep, ")
	assert.Contains(t, said, ", 3 more. Next best: Thu 10 Sep, ")
	w.Headline = nil
	assert.Contains(t, WeekStrip(w, Options{}).Description, "No window is found.")

	for n, more := range map[int]string{6: "", 7: " 1 more zone in the table.", 9: " 3 more zones in the table."} {
		many := newYorkWeek(t, 24)
		z := many.Zones[0]
		many.Zones, many.Windows, many.Refusals = nil, nil, nil
		for i := range n {
			z.Name = "panel " + strconv.Itoa(i)
			many.Zones = append(many.Zones, z)
		}
		words := strings.ReplaceAll(texts(t, DayCurves(many, "", Options{Width: 1920})), "\n", " ")
		assert.Equal(t, more != "", strings.Contains(words, " in the table."), n)
		assert.Contains(t, words, more)
	}
	for n, more := range map[int]string{6: "", 7: "1 more note in the answer.", 8: "2 more notes in the answer."} {
		s := inventedSeason()
		s.Warnings = nil
		for range n {
			s.Warnings = append(s.Warnings, "a word of warning.")
		}
		assert.Contains(t, texts(t, Season(s, Options{})), more)
		assert.Equal(t, more != "", strings.Contains(texts(t, Season(s, Options{})), " in the answer."))
	}
}

// The forecast is named with how many futures it is, and with its age where that is too
// great.
func TestSourceOfAPicture(t *testing.T) {
	for _, c := range []struct {
		source answer.Source
		want   string
	}{
		{answer.Source{Name: "NWS", Members: 1, Dressed: 30}, "NWS, one forecast dressed into 30 futures."},
		{answer.Source{Name: "NWS", Members: 1, Dressed: 1}, "NWS, one forecast dressed into 1 future."},
		{answer.Source{Name: "NWS", Members: 1}, "NWS, one forecast."},
		{answer.Source{Name: "NWS"}, "NWS."},
		{answer.Source{Name: "ensemble", Members: 51}, "ensemble, 51 forecasts."},
		{answer.Source{Name: "ensemble", Members: 51, Stale: true}, "ensemble, 51 forecasts; too old to be believed throughout."},
	} {
		assert.Equal(t, c.want, sourceWords(&answer.Week{Source: c.source}))
	}
	w := newYorkWeek(t, 24)
	w.Place.Timezone = ""
	w.From = w.From.In(time.FixedZone("", -4*3600))
	assert.Contains(t, strings.ReplaceAll(texts(t, WeekStrip(w, Options{Width: 1920})), "\n", " "), "Times at the place, its own clock.")
	for _, w := range []*answer.Week{{Boat: "Kittiwake"}, {}, {Place: answer.Place{Name: "Otter Quay"}}} {
		assert.NotContains(t, nameOf(w)+"|", " at |", "no place, no at")
	}
	assert.Equal(t, "the boat at Otter Quay", nameOf(&answer.Week{Place: answer.Place{Name: "Otter Quay"}}))
}

// A table as plain text: every row below its heads, column by column, with nothing at the
// ends of lines, whatever is in the cells; and read back it has what it was made of.
func TestTableWriteKeepsColumns(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		cell := rapid.StringMatching(`[a-zA-Zäß°–−0-9]{1,12}( [a-z]{1,6})?`)
		n := rapid.IntRange(1, 6).Draw(rt, "columns")
		table := Table{Caption: "What", Head: rapid.SliceOfN(cell, n, n).Draw(rt, "head")}
		for range rapid.IntRange(0, 8).Draw(rt, "rows") {
			table.Rows = append(table.Rows, rapid.SliceOfN(cell, n, n).Draw(rt, "row"))
		}
		var b strings.Builder
		require.NoError(rt, table.Write(&b))
		lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
		require.Equal(rt, []string{"What", ""}, lines[:2])
		require.Len(rt, lines, 3+len(table.Rows))
		for i, row := range append([][]string{table.Head}, table.Rows...) {
			line := lines[2+i]
			require.Equal(rt, strings.TrimRight(line, " "), line)
			require.Equal(rt, row, strings.Split(strings.Join(splitColumns(line), "|"), "|"))
		}
		starts := map[int]bool{}
		for _, line := range lines[2:] { // each column begins at one place
			at := 0
			for i, part := range splitColumns(line) {
				at += strings.Index(line[at:], part)
				runes := len([]rune(line[:at]))
				if i == 1 {
					starts[runes] = true
				}
				at += len(part)
			}
		}
		require.LessOrEqual(rt, len(starts), 1)
	})
}

// splitColumns parts a line where two blanks or more are.
func splitColumns(line string) []string {
	var out []string
	for _, part := range strings.Split(line, "  ") {
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, part)
		}
	}
	return out
}
