package draw

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// oneRow is a day of one zone and one step without anything in it.
func oneRow(t testing.TB) *answer.Week {
	w := newYorkWeek(t, 42) // Thu 06:00 to Fri 24:00
	w.Zones = w.Zones[:1]
	w.Windows, w.Refusals, w.Plan, w.Headline = nil, nil, nil, nil
	for i := range w.Zones[0].Hours {
		w.Zones[0].Hours[i].FilmGM2, w.Zones[0].Hours[i].RainMM = ptr(0), ptr(0)
	}
	return w
}

// thursday is an hour of the first day.
func thursday(w *answer.Week, hour float64) time.Time {
	return w.From.Add(time.Duration((hour - 6) * float64(time.Hour)))
}

func refused(w *answer.Week, from, to float64, state, limit string) {
	w.Refusals = append(w.Refusals, answer.Refusal{Step: "seal", Do: "seal", Product: "polymer-sealant", Zone: "port side",
		From: thursday(w, from), To: thursday(w, to), State: state, Binding: answer.Binding{Limit: limit, Text: "too windy"}})
}

// inPicture are the corners of all marks of a class above the legend, on the sheet's time:
// hours from the first midnight.
func inPicture(t require.TestingT, w *answer.Week, class string) (out []vec) {
	o := Options{Width: 1280, Bare: true}
	s := newStrip(w, o.checked(""))
	p := WeekStrip(w, o)
	hour := func(x float64) float64 {
		return (x - s.axis.left) / (s.axis.right - s.axis.left) * s.axis.to.Sub(s.axis.from).Hours()
	}
	bottom := legendTop(t, p)
	for _, e := range parse(t, p.SVG) {
		if e.attrs["class"] != class {
			continue
		}
		var list []vec
		switch e.name {
		case "path":
			list = cornersOf(t, e.attrs["d"])
		case "circle":
			list = []vec{{number(t, e.attrs["cx"]), number(t, e.attrs["cy"])}}
		case "text":
			list = []vec{{number(t, e.attrs["x"]), number(t, e.attrs["y"])}}
		}
		for _, v := range list {
			if v.y < bottom {
				out = append(out, vec{hour(v.x), v.y})
			}
		}
	}
	return out
}

// legendTop is where the legend begins.
func legendTop(t require.TestingT, p Picture) float64 {
	for _, e := range parse(t, p.SVG) {
		if e.name == "text" && e.text == "ideal" {
			return number(t, e.attrs["y"]) - 20
		}
	}
	return 1e9
}

// minuteHours is a minute and a half in hours: what a tenth of a pixel is of two days.
const minuteHours = 1.5 / 60

// A refusal by the weather is a line with crosses over just its hours; hours that people
// and the marina close are blank, whatever stands in the answer of them.
func TestRefusalsAreLinesAndClosedHoursBlank(t *testing.T) {
	for _, limit := range []string{"hours", "away", "machines", "daylight", "reach"} {
		w := oneRow(t)
		refused(w, 6, 18, "no-go", limit)
		assert.Empty(t, inPicture(t, w, "nogo"), limit)
		assert.Empty(t, inPicture(t, w, "unknown"), limit)
	}
	w := oneRow(t)
	refused(w, 8, 14, "no-go", "wind_max")
	refused(w, 14, 17, "no-go", "rain_free") // goes on: one line
	refused(w, 20, 22.5, "no-go", "wind_max")
	marks := inPicture(t, w, "nogo")
	base := marks[0].y
	var ends []float64
	for _, v := range marks {
		if v.y == base {
			ends = append(ends, v.x)
		}
	}
	require.Len(t, ends, 4)
	for i, want := range []float64{8, 17, 20, 22.5} {
		assert.InDelta(t, want, ends[i], minuteHours)
	}
	assert.Greater(t, len(marks), 4, "crosses")
	for _, v := range marks {
		if v.y == base {
			continue
		}
		assert.True(t, v.x > 8 && v.x < 17 || v.x > 20 && v.x < 22.5, "a cross at %g", v.x)
		assert.Less(t, v.y, base, "crosses stand on the line")
	}
}

// What nobody knows is dotted with question marks, over just its hours.
func TestUnknownHoursAreDotted(t *testing.T) {
	w := oneRow(t)
	refused(w, 9, 15, "unknown", "data")
	dots := inPicture(t, w, "unknown")
	require.Len(t, dots, 2)
	assert.InDelta(t, 9, dots[0].x, minuteHours)
	assert.InDelta(t, 15, dots[1].x, minuteHours)
	asked := inPicture(t, w, "t q")
	require.NotEmpty(t, asked)
	for _, v := range asked {
		assert.True(t, v.x > 9 && v.x < 15)
	}
	assert.Empty(t, inPicture(t, w, "nogo"))
	for _, class := range []string{"ideal", "go", "marginal", "sure"} {
		assert.Empty(t, inPicture(t, w, class), class)
	}
}

// Water stands under a row in just the hours that end with more than a gram of it on a
// square metre; what is not known of it is not drawn as wet, nor as dry by a mark.
func TestWetHours(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := oneRow(t)
		refused(w, 6, 7, "no-go", "wind_max") // a row to stand under
		var want []float64
		wet := false
		for i := range w.Zones[0].Hours {
			h := &w.Zones[0].Hours[i]
			h.FilmGM2 = rapid.SampledFrom([]*float64{nil, ptr(0), ptr(0.99), ptr(1), ptr(1.01), ptr(400)}).Draw(rt, "film")
			is := h.FilmGM2 != nil && *h.FilmGM2 > 1
			if is != wet {
				want = append(want, float64(6+i))
			}
			wet = is
		}
		if wet {
			want = append(want, 48)
		}
		got := inPicture(rt, w, "wet")
		require.Len(rt, got, len(want))
		for i := range want {
			require.InDelta(rt, want[i], got[i].x, minuteHours)
		}
	})
}

// Behind planned work follow its clocks, by the published shape of each in the legend: a
// drop where rain may come, a ring where dew may, a lozenge where it has cured. By hand:
// work that ends at nine with 4 h without rain and 6 h without dew may be rained on at
// one and dewed on at three; 12 h at the 20 °C of the panel are over at nine in the
// evening.
func TestClocksBehindPlannedWork(t *testing.T) {
	w := oneRow(t)
	for i := range w.Zones[0].Hours {
		w.Zones[0].Hours[i].SurfaceC = ptr(20)
	}
	w.Windows = []answer.Window{{Step: "seal", Do: "seal", Product: "polymer-sealant", Zone: "port side", From: thursday(w, 7), To: thursday(w, 10), State: "go",
		Confidence: 1, RainFreeH: ptr(4), DewFreeH: ptr(6)}}
	w.Plan = &answer.Plan{State: "go", Blocks: []answer.PlanBlock{
		{Step: "seal", Zone: "port side", From: thursday(w, 7), To: thursday(w, 8)}, {Step: "seal", Zone: "port side", From: thursday(w, 8.5), To: thursday(w, 9)},
	}}
	line := inPicture(t, w, "clock")
	require.Len(t, line, 2, "blocks with half an hour between them are one visit, with one line behind it")
	assert.InDelta(t, 9, line[0].x, minuteHours)
	assert.InDelta(t, 21, line[1].x, minuteHours)
	marks := inPicture(t, w, "mark")
	require.Len(t, marks, 4+1+5, "a drop of three corners, a ring, a lozenge of four; and the ends of both outlines")
	drop, ring, lozenge := marks[0], marks[4], marks[5]
	assert.InDelta(t, 13, drop.x, minuteHours)
	assert.InDelta(t, 15, ring.x, minuteHours)
	assert.InDelta(t, 21, lozenge.x, minuteHours)
	flag := inPicture(t, w, "plan")
	assert.InDelta(t, 7, flag[0].x, 0.1)
	assert.Equal(t, "07:00–09:00; keep rain off until Thu 10 Sep 13:00; keep dew off until Thu 10 Sep 15:00; cured Thu 10 Sep 21:00", WeekStrip(w, Options{}).Table.Rows[0][4])

	// The clocks run from the last section, not from when its haze is wiped off.
	w.Plan.Blocks[1].WorkTo = thursday(w, 8.75)
	assert.Contains(t, WeekStrip(w, Options{}).Table.Rows[0][4], "07:00–09:00; keep rain off until Thu 10 Sep 12:45; keep dew off until Thu 10 Sep 14:45")
	w.Plan.Blocks[1].WorkTo = time.Time{}

	// A clock that does not run has no mark, and one beyond the picture neither.
	w.Windows[0].RainFreeH, w.Windows[0].DewFreeH = ptr(0), nil
	w.Scene.Classes[1].FullCureH = ptr(200)
	assert.Empty(t, inPicture(t, w, "mark"))
	assert.Equal(t, "07:00–09:00", WeekStrip(w, Options{}).Table.Rows[0][4])
	w.Windows[0].DewFreeH = ptr(72)
	assert.Empty(t, inPicture(t, w, "mark"))
	assert.InDelta(t, 48, inPicture(t, w, "clock")[1].x, minuteHours, "the line goes on to the edge")
	assert.Contains(t, WeekStrip(w, Options{}).Table.Rows[0][4], "keep dew off until Sun 13 Sep 09:00", "the table tells it")
}

// Of two clocks that stand on one another the later is drawn: it tells more.
func TestClocksThatMeet(t *testing.T) {
	w := oneRow(t)
	w.Scene.Classes[1].FullCureH = nil
	w.Windows = []answer.Window{{Step: "seal", Do: "seal", Product: "polymer-sealant", Zone: "port side", From: thursday(w, 7), To: thursday(w, 10), State: "go",
		Confidence: 1, RainFreeH: ptr(4), DewFreeH: ptr(4.1)}}
	w.Plan = &answer.Plan{State: "go", Blocks: []answer.PlanBlock{{Step: "seal", Zone: "port side", From: thursday(w, 8), To: thursday(w, 9)}}}
	marks := inPicture(t, w, "mark")
	require.Len(t, marks, 1, "a ring alone")
	assert.InDelta(t, 13.1, marks[0].x, minuteHours)
}

// A warm panel cures sooner and a cold one later, by the class's own rule: at 30 °C with a
// halving each 10 K six hours do for twelve, at 10 °C it takes a day (Arrhenius' rule of
// thumb, common practice).
func TestCureByWarmthIsDrawn(t *testing.T) {
	for celsius, cured := range map[float64]float64{30: 9 + 6, 20: 9 + 12, 10: 9 + 24} {
		w := oneRow(t)
		for i := range w.Zones[0].Hours {
			w.Zones[0].Hours[i].SurfaceC = &celsius
		}
		w.Plan = &answer.Plan{State: "go", Blocks: []answer.PlanBlock{{Step: "seal", Zone: "port side", Product: "polymer-sealant", From: thursday(w, 8), To: thursday(w, 9)}}}
		refused(w, 6, 7, "no-go", "wind_max")
		marks := inPicture(t, w, "mark")
		require.Len(t, marks, 5, "%g °C", celsius)
		assert.InDelta(t, cured, marks[0].x, minuteHours, "%g °C", celsius)
	}
}

// A row has its name once, in full or with all of it to be shown by the pointer, and a
// step its product.
func TestNamesOfRows(t *testing.T) {
	w := newYorkWeek(t, 24)
	words := texts(t, WeekStrip(w, Options{Width: 1280}))
	assert.Equal(t, 1, strings.Count(words, "wash · soap wash\n"))
	assert.Equal(t, 1, strings.Count(words, "seal · polymer sealant\n"))
	assert.Equal(t, 2, strings.Count(words, "starboard side"), "a row of each step")
	w.Scene = nil // an answer without names of products
	words = texts(t, WeekStrip(w, Options{Width: 1280}))
	assert.Contains(t, words, "wash · soap-wash\n")

	none := &answer.Week{From: w.From, To: w.To}
	assert.Contains(t, texts(t, WeekStrip(none, Options{})), "No step of the job is judged in this answer.")
	assert.Empty(t, WeekStrip(none, Options{}).Table.Rows)
	none.Refusals = w.Refusals[:1] // of a zone that the answer does not have
	assert.Empty(t, WeekStrip(none, Options{}).Table.Rows)
}

// Zones that a product is not for are named; where they are most of the boat, they are all
// others, and the table has each.
func TestSeasonOfManyUnsuitedZones(t *testing.T) {
	s := inventedSeason()
	s.Rows = s.Rows[:1]
	for i := range 43 {
		s.Rows = append(s.Rows, answer.SeasonRow{Product: s.Rows[0].Product, Name: s.Rows[0].Name, Zone: "panel " + letters(i)})
	}
	words := strings.ReplaceAll(texts(t, Season(s, Options{Width: 1280})), "\n", " ")
	assert.Contains(t, words, "Not for any other zone: it does not suit the finish.")
	assert.Len(t, Season(s, Options{}).Table.Rows, 44)
}

// From the bow aft lies what its name says, whatever the order in the job file.
func TestOrderFromTheBow(t *testing.T) {
	var zones []answer.Zone
	for _, n := range []string{"aft deck", "cockpit sole", "flybridge", "hardtop", "side deck", "coachroof", "anchor locker"} {
		zones = append(zones, answer.Zone{Name: n})
	}
	want := []int{7, 6, 4, 3, 5, 2, 0}
	for i := range zones {
		assert.Equal(t, want[i], fore(&zones[i], 0), zones[i].Name)
	}
	front := answer.Zone{Name: "windscreen", Tilt: 35, Faces: ptr(200)}
	assert.Equal(t, 1, fore(&front, 200), "what looks ahead is before the house")
	assert.Equal(t, 5, fore(&front, 20))
}
