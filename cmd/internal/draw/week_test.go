package draw

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func newYorkWeek(t testing.TB, n int) *answer.Week {
	return invented(t, "America/New_York", "2026-09-10", n)
}

// Rows go step by step in the job's order, whatever the order of the windows is.
func TestRowsKeepTheJobsOrder(t *testing.T) {
	w := newYorkWeek(t, 24)
	rows := rowsOf(w, w.Zones)
	require.Len(t, rows, 8)
	assert.Equal(t, []string{"wash", "port side"}, []string{rows[0].step, rows[0].zone})
	assert.Equal(t, []string{"seal", "foredeck"}, []string{rows[7].step, rows[7].zone})
	for _, r := range rows {
		for i := 1; i < len(r.windows); i++ {
			assert.False(t, r.windows[i].From.Before(r.windows[i-1].To))
		}
	}
	w.Refusals = nil
	assert.Equal(t, []string{"wash", "seal"}, stepsOf(w), "a step that is never refused")
	w.Refusals = []answer.Refusal{{Step: "wash"}, {Step: "rinse"}}
	assert.Equal(t, []string{"wash", "seal", "rinse"}, stepsOf(w))
}

// The table has every window of every day, with state and confidence, and what
// stands against the day.
func TestWeekTable(t *testing.T) {
	w := newYorkWeek(t, 48)
	table := WeekStrip(w, Options{}).Table
	require.Len(t, table.Rows, 8*3)
	first := table.Rows[0]
	assert.Equal(t, []string{"wash", "port side", "Thu 10 Sep", "08:00–11:00 go 90 %, 11:00–14:00 ideal 100 %, 14:00–16:00 marginal 40 %",
		"08:00–09:00", "unknown: the forecast lacks wind", "none"}, first)
	seal := table.Rows[12]
	assert.Equal(t, "seal", seal[0])
	assert.True(t, strings.HasPrefix(seal[4], "09:00–11:00; keep rain off until Thu 10 Sep 15:00; keep dew off until Thu 10 Sep 17:00"), seal[4])
	assert.Contains(t, seal[4], "cured")
	assert.Equal(t, "5 mm", table.Rows[1][6]) // 3 hours of 1.5 mm on the second day
	all := 0
	for _, r := range table.Rows {
		all += strings.Count(r[3], "%")
	}
	assert.Equal(t, len(w.Windows), all)
}

// A stretch over midnight is told on both days.
func TestWindowOverMidnight(t *testing.T) {
	w := newYorkWeek(t, 48)
	for i := range w.Windows {
		if w.Windows[i].State == "marginal" {
			w.Windows[i].To = w.Windows[i].From.Add(12 * time.Hour)
		}
	}
	table := WeekStrip(w, Options{}).Table
	assert.Contains(t, table.Rows[0][3], "14:00–24:00 marginal")
	assert.Contains(t, table.Rows[1][3], "00:00–02:00 marginal")
}

func TestChoiceOfZones(t *testing.T) {
	w := newYorkWeek(t, 24)
	w.Zones = append(w.Zones, hoursFor("rails", nil, 0, w.From, 24, 13))
	assert.Len(t, zonesOf(w, Options{}), 4, "those that are worked on")
	chosen := zonesOf(w, Options{Zones: []string{"rails", "port side", "no such zone"}})
	require.Len(t, chosen, 2)
	assert.Equal(t, "port side", chosen[0].Name, "in the job's order")
	assert.Len(t, zonesOf(w, Options{Zones: []string{"no such zone"}}), 4)
	w.Windows, w.Refusals = nil, nil
	assert.Len(t, zonesOf(w, Options{}), 5)
}

func TestBestDayAndHour(t *testing.T) {
	w := newYorkWeek(t, 66)
	assert.Equal(t, "2026-09-10", askedDay(w))
	assert.Equal(t, 9, bestHour(w).Hour(), "all zones get as hot, the port side first, around 10: of the hours around it the earlier")
	w.Headline = nil
	assert.Equal(t, "2026-09-10", askedDay(w))
	w.Plan = nil
	assert.Equal(t, "2026-09-10", askedDay(w))
}

// The curves stand behind the bands of the step that seals, or of the one asked for.
func TestStepOfCurves(t *testing.T) {
	w := newYorkWeek(t, 24)
	assert.Equal(t, "seal", stepOf(w, ""))
	assert.Equal(t, "wash", stepOf(w, "wash"))
	assert.Equal(t, "seal", stepOf(w, "no such step"))
	p := DayCurves(w, "", Options{Width: 1280})
	for _, words := range []string{"ideal from 15 °C", "ideal to 27 °C", "hard from 8 °C", "ideal from 4 K", "polymer sealant"} {
		assert.Contains(t, texts(t, p), words)
	}
	assert.NotContains(t, texts(t, DayCurves(w, "", Options{Step: "wash"})), "ideal from 15")
	us := texts(t, DayCurves(w, "", Options{Width: 1280, Units: "us"}))
	assert.Contains(t, us, "ideal from 59 °F") // 15 °C
	assert.Contains(t, us, "ideal from 7.2 °F")
}

// The day's table says of each hour what the answer says.
func TestDayTable(t *testing.T) {
	w := newYorkWeek(t, 24)
	table := DayCurves(w, "2026-09-10", Options{}).Table
	require.Len(t, table.Rows, 18)
	assert.Equal(t, []string{"Hour", "Dew point", "port side", "starboard side", "transom", "foredeck"}, table.Head)
	noon := table.Rows[6]
	assert.Equal(t, "12:00", noon[0])
	assert.Equal(t, "9.0 °C", noon[1])
	assert.Contains(t, noon[2], "ideal")
	assert.Contains(t, noon[2], "spread ")
	assert.Contains(t, table.Rows[0][2], "outside working hours")
}

// A line breaks where a value is missing, and never bridges the gap.
func TestCurvesBreakAtGaps(t *testing.T) {
	w := newYorkWeek(t, 24)
	w.Zones[0].Hours[5].SurfaceC = nil
	c := newCurves(w, "2026-09-10", Options{})
	parts := c.series(&w.Zones[0], surfaceOf, c.o.celsius)
	require.Len(t, parts, 2)
	assert.Len(t, parts[0], 5)
	assert.Len(t, parts[1], 12)
}

// A box is hatched within its edges.
func TestHatchStaysInside(t *testing.T) {
	d := hatch(10, 20, 13, 8)
	for _, part := range strings.Split(d, "M")[2:] { // after the outline
		for _, pair := range strings.Split(part, "L") {
			xy := strings.Fields(pair)
			require.Len(t, xy, 2)
			assert.True(t, number(t, xy[0]) >= 10 && number(t, xy[0]) <= 23 && number(t, xy[1]) >= 20 && number(t, xy[1]) <= 28, pair)
		}
	}
}

// texts are the words that a picture shows, a line each.
func texts(t testing.TB, p Picture) string {
	var out []string
	for _, e := range parse(t, p.SVG) {
		if e.name == "text" {
			out = append(out, e.text)
		}
	}
	return strings.Join(out, "\n")
}

// What stands against a day goes through the person's units; without them it is as the
// answer has it.
func TestTableInThePersonsUnits(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 48)
	against := func(o Options) (out []string) {
		for _, r := range WeekStrip(w, o).Table.Rows {
			if r[5] != "" {
				out = append(out, r[5])
			}
		}
		return out
	}
	plain := against(Options{})
	require.NotEmpty(t, plain)
	told := against(Options{Prose: func(s string) string { return "<" + s + ">" }})
	require.Len(t, told, len(plain))
	for i := range plain {
		assert.Equal(t, "<"+plain[i]+">", told[i])
	}
}
