package draw

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// figure is the number at the head of a cell.
func figureOf(t require.TestingT, cell string) float64 {
	head, _, _ := strings.Cut(cell, " ")
	v, err := strconv.ParseFloat(strings.Replace(head, "−", "-", 1), 64)
	require.NoError(t, err, cell)
	return v
}

// stretch is a cell's window as its figures: minutes from midnight.
type stretchTold struct {
	day      string
	from, to int
	state    string
	sure     int
}

func minutes(t require.TestingT, clock string) int {
	h, m, ok := strings.Cut(clock, ":")
	require.True(t, ok, clock)
	return int(number(t, h))*60 + int(number(t, m))
}

// The week's table, read back, has every minute of every window on its day, and no
// other: whatever the windows are.
func TestWeekTableReadsBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		w := newYorkWeek(t, 72)
		w.Windows = w.Windows[:6]
		for i := range w.Windows {
			x := &w.Windows[i]
			x.Step, x.Zone = "wash", w.Zones[i%4].Name
			x.From = w.From.Add(time.Duration(rapid.IntRange(0, 300).Draw(rt, "from")) * 10 * time.Minute)
			x.To = x.From.Add(time.Duration(rapid.IntRange(1, 300).Draw(rt, "long")) * 10 * time.Minute)
			x.Confidence = float64(rapid.IntRange(0, 100).Draw(rt, "sure")) / 100
		}
		loc := location(w)
		want := map[string]map[stretchTold]int{}
		for _, x := range w.Windows {
			at := x.From.In(loc)
			for at.Before(x.To) {
				midnight := time.Date(at.Year(), at.Month(), at.Day()+1, 0, 0, 0, 0, loc)
				to := at.Hour()*60 + at.Minute() + int(min(x.To.Sub(at), midnight.Sub(at)).Minutes())
				told := stretchTold{at.Format("Mon 2 Jan"), at.Hour()*60 + at.Minute(), to, x.State, int(x.Confidence*100 + 0.5)}
				if want[x.Zone] == nil {
					want[x.Zone] = map[stretchTold]int{}
				}
				if at.Before(time.Date(2026, 9, 14, 0, 0, 0, 0, loc)) { // the days that are drawn
					want[x.Zone][told]++
				}
				at = midnight
			}
		}
		got := map[string]map[stretchTold]int{}
		for _, r := range WeekStrip(w, Options{}).Table.Rows {
			if r[0] != "wash" || r[3] == "" {
				continue
			}
			for _, cell := range strings.Split(r[3], ", ") {
				f := strings.Fields(cell)
				require.Len(rt, f, 4, cell)
				from, to, ok := strings.Cut(f[0], "–")
				require.True(rt, ok)
				if got[r[1]] == nil {
					got[r[1]] = map[stretchTold]int{}
				}
				got[r[1]][stretchTold{r[2], minutes(rt, from), minutes(rt, to), f[1], int(number(rt, f[2]))}]++
			}
		}
		require.Equal(rt, want, got)
	})
}

// The day's table has each zone's panel and spread in each hour, to a tenth, wet
// where there is water, in the person's unit.
func TestDayTableReadsBack(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		w := newYorkWeek(t, 66)
		w.Zones[1].Hours[30].SurfaceC = nil
		w.Zones[2].Hours[31].SurfaceC = ptr(-3.26)
		table := DayCurves(w, "2026-09-11", Options{Units: units}).Table
		require.Len(t, table.Rows, 24)
		celsius, kelvins := func(v float64) float64 { return v }, func(v float64) float64 { return v }
		if units == "us" {
			celsius, kelvins = func(v float64) float64 { return v*9/5 + 32 }, func(v float64) float64 { return v * 9 / 5 }
		}
		for i, r := range table.Rows {
			assert.InDelta(t, celsius(9), figureOf(t, r[1]), 0.0501)
			for z := range w.Zones {
				h := w.Zones[z].Hours[18+i]
				cell := r[2+z]
				if h.SurfaceC == nil {
					assert.Equal(t, "–", cell)
					continue
				}
				assert.InDelta(t, celsius(*h.SurfaceC), figureOf(t, cell), 0.0501, cell)
				_, spread, ok := strings.Cut(cell, "spread ")
				require.True(t, ok, cell)
				assert.InDelta(t, kelvins(*h.SpreadK), figureOf(t, spread), 0.0501, cell)
				assert.Equal(t, *h.FilmGM2 > 1, strings.Contains(cell, ", wet"), cell)
			}
		}
	}
}

// The state of an hour in the day's table is that of the window or the refusal
// that holds its beginning.
func TestDayTableTellsTheStates(t *testing.T) {
	w := newYorkWeek(t, 24)
	table := DayCurves(w, "2026-09-10", Options{}).Table
	for i, want := range []string{ // of the port side, from six on, as addDay sets them
		"outside working hours", "no-go", "go", "go", "go", "ideal", "ideal", "ideal", "marginal", "marginal", "unknown", "unknown",
		"outside working hours",
	} {
		assert.True(t, strings.HasSuffix(table.Rows[i][2], ", "+want), "%d: %s", i, table.Rows[i][2])
	}
}

// The boat's table has each zone's temperature in the large hour and in twelve
// others, every second of the day, and a dash where the answer has none.
func TestBoatTableReadsBack(t *testing.T) {
	w := newYorkWeek(t, 66)
	w.Zones[3].Hours[20].SurfaceC = nil
	loc := location(w)
	at := time.Date(2026, 9, 11, 13, 20, 0, 0, loc)
	table := BoatAndSun(w, at, Options{}).Table
	require.Len(t, table.Head, 15)
	assert.Equal(t, "13:00–14:00", table.Head[2])
	for z := range w.Zones {
		r := table.Rows[z]
		assert.Equal(t, w.Zones[z].Name, r[0])
		assert.InDelta(t, *w.Zones[z].Hours[31].SurfaceC, figureOf(t, r[2]), 0.0501)
		for k := range 12 {
			assert.Equal(t, time.Date(2026, 9, 11, 2*k, 0, 0, 0, loc).Format("15:04"), table.Head[3+k])
			v := w.Zones[z].Hours[18+2*k].SurfaceC
			if v == nil {
				assert.Equal(t, "–", r[3+k])
				continue
			}
			assert.InDelta(t, *v, figureOf(t, r[3+k]), 0.501)
		}
	}
}
