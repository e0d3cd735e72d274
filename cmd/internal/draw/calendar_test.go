package draw

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// changes are days that are not like others: of 23 and 25 hours, with midnight skipped,
// of half an hour more, on clocks that stand at half past, at both ends of the world's
// dates, a leap day and the turn of a year (IANA time zone database).
var changes = []struct {
	zone, day string
	hours     float64
}{
	{"America/New_York", "2026-11-01", 25},
	{"America/New_York", "2027-03-14", 23},
	{"Europe/Helsinki", "2026-03-29", 23}, // the clock skips three, which is a tick
	{"Europe/Helsinki", "2026-10-25", 25}, // and has it twice
	{"Australia/Lord_Howe", "2026-10-04", 23.5},
	{"Australia/Lord_Howe", "2026-04-05", 24.5},
	{"America/Santiago", "2026-09-06", 23}, // begins at one
	{"America/Havana", "2026-03-08", 23},
	{"America/St_Johns", "2026-09-10", 24},
	{"Asia/Kathmandu", "2026-09-10", 24},
	{"Pacific/Kiritimati", "2026-12-31", 24},
	{"Pacific/Pago_Pago", "2027-01-01", 24},
	{"UTC", "2028-02-29", 24},
}

// around is a week of three days whose second is the one of a change. Its hours begin
// where those of answers do: at whole hours of UTC, whatever the place's clock shows.
func around(t testing.TB, zone, day string) *answer.Week {
	loc := zoneOf(t, zone)
	noon, err := time.ParseInLocation("2006-01-02 15", day+" 12", loc)
	require.NoError(t, err)
	w := invented(t, zone, noon.AddDate(0, 0, -1).Format(time.DateOnly), 64)
	for i := range w.Zones {
		for k := range w.Zones[i].Hours {
			h := &w.Zones[i].Hours[k]
			h.At = h.At.Truncate(time.Hour).In(loc)
		}
	}
	for i := range w.Scene.Wind {
		w.Scene.Wind[i].At = w.Scene.Wind[i].At.Truncate(time.Hour)
	}
	return w
}

// ticksUnder are the hours that stand under the upper plot of a day, with their places.
func ticksUnder(t require.TestingT, p Picture) map[float64]string {
	out := map[float64]string{}
	first := ""
	for _, e := range elementsOf(t, p, "text", "t s") {
		if _, err := strconv.Atoi(e.text); err != nil || e.attrs["text-anchor"] != "middle" {
			continue
		}
		if first == "" {
			first = e.attrs["y"]
		}
		if e.attrs["y"] == first {
			out[number(t, e.attrs["x"])] = e.text
		}
	}
	return out
}

// The hours under a day's curves stand where the clock at the place shows them, counted
// in time that has passed since the day began; all of them are there, and none that the
// clock skips.
func TestHoursUnderCurvesStandAtTheirTimes(t *testing.T) {
	for _, c := range changes {
		for wide, every := range map[int]int{1280: 3, 360: 6} {
			name := fmt.Sprint(c.zone, " ", c.day, " ", wide)
			w := around(t, c.zone, c.day)
			p := DayCurves(w, c.day, Options{Width: wide})
			left, right := edge+30.0, float64(wide)-edge-200
			if wide < phone {
				right = float64(wide) - edge - 104
			}
			loc := location(w)
			want := map[string]int{"24": 1}
			begins, ends := time.Time{}, time.Time{}
			noon, _ := time.ParseInLocation("2006-01-02 15", c.day+" 12", loc)
			for at := noon.Add(-20 * time.Hour); at.Before(noon.Add(20 * time.Hour)); at = at.Add(10 * time.Minute) {
				if at.Format(time.DateOnly) != c.day { // minute by minute, without any arithmetic of days
					continue
				}
				if begins.IsZero() {
					begins = at
				}
				ends = at.Add(10 * time.Minute)
				if at.Minute() == 0 && at.Hour()%every == 0 {
					want[strconv.Itoa(at.Hour())]++
				}
			}
			require.Equal(t, c.hours, ends.Sub(begins).Hours(), name)
			got := map[string]int{}
			for x, words := range ticksUnder(t, p) {
				got[words]++
				at := begins.Add(time.Duration((x - left) / (right - left) * float64(ends.Sub(begins)))).Round(5 * time.Minute)
				if words == "24" {
					assert.True(t, at.Equal(ends), name)
					continue
				}
				assert.Equal(t, words+":00", at.Format("15:04")[max(0, 2-len(words)):], name)
			}
			assert.Equal(t, want, got, name)
		}
	}
}

// A day's picture is of the day that was asked for, with all of its hours and no other.
func TestDayOfAChange(t *testing.T) {
	for _, c := range changes {
		w := around(t, c.zone, c.day)
		p := DayCurves(w, c.day, Options{})
		day, err := time.Parse(time.DateOnly, c.day)
		require.NoError(t, err)
		assert.Contains(t, p.Title, "Why "+day.Format("Mon 2 Jan")+":", c.zone)
		// Hours that begin before the day belong to the one before.
		assert.InDelta(t, c.hours, len(p.Table.Rows), 0.5, "%s %s", c.zone, c.day)
		seen := map[string]bool{}
		for _, r := range p.Table.Rows {
			assert.False(t, seen[r[0]], "%s has %s twice", c.zone, r[0])
			seen[r[0]] = true
		}
	}
}

// dayNames are the days named above a strip, from left to right, with their places.
func dayNames(t require.TestingT, p Picture) (names []string, at []float64) {
	for _, e := range elementsOf(t, p, "text", "t b") {
		names, at = append(names, e.text), append(at, number(t, e.attrs["x"])-4)
	}
	return names, at
}

// The days of a strip are each there once, by name and in order, as wide as they are
// long. Weekdays by hand from 1 January 2000, a Saturday: 1 January 2027 is 27·365 + 7 =
// 9862 = 6 mod 7 days on, a Friday; 29 February 2028 is 28·365 + 7 + 59 = 10286 = 3 mod 7
// on, a Tuesday; 6 September 2026 is 26·365 + 7 + 248 = 9745 = 1 mod 7 on, a Sunday.
func TestDaysOfAStrip(t *testing.T) {
	for _, c := range []struct {
		zone, day string // the second of the days
		names     []string
		hours     []float64
	}{
		{"America/New_York", "2027-01-01", []string{"Thu 31 Dec", "Fri 1 Jan", "Sat 2 Jan"}, []float64{24, 24, 24}},
		{"UTC", "2028-02-29", []string{"Mon 28 Feb", "Tue 29 Feb", "Wed 1 Mar"}, []float64{24, 24, 24}},
		{"UTC", "2027-02-28", []string{"Sat 27 Feb", "Sun 28 Feb", "Mon 1 Mar"}, []float64{24, 24, 24}},
		{"America/Santiago", "2026-09-06", []string{"Sat 5 Sep", "Sun 6 Sep", "Mon 7 Sep"}, []float64{24, 23, 24}},
		{"America/Havana", "2026-03-08", []string{"Sat 7 Mar", "Sun 8 Mar", "Mon 9 Mar"}, []float64{24, 23, 24}},
		{"Australia/Lord_Howe", "2026-04-05", []string{"Sat 4 Apr", "Sun 5 Apr", "Mon 6 Apr"}, []float64{24, 24.5, 24}},
		{"America/New_York", "2026-11-01", []string{"Sat 31 Oct", "Sun 1 Nov", "Mon 2 Nov"}, []float64{24, 25, 24}},
	} {
		w := around(t, c.zone, c.day)
		for _, wide := range []int{720, 1280} {
			p := WeekStrip(w, Options{Width: wide})
			names, at := dayNames(t, p)
			require.Equal(t, c.names, names, c.zone)
			left, right, sum := edge+min(180, float64(wide)*0.2), float64(wide)-edge, 0.0
			for _, h := range c.hours {
				sum += h
			}
			passed := 0.0
			for i, h := range c.hours {
				assert.InDelta(t, left+(right-left)*passed/sum, at[i], tenth, "%s: %s", c.zone, names[i])
				passed += h
			}
			for i, r := range p.Table.Rows {
				assert.Equal(t, c.names[i%3], r[2])
			}
		}
	}
}

// Six, twelve and eighteen stand where the clock shows them, on every day.
func TestHoursOfAStrip(t *testing.T) {
	for _, c := range changes {
		w := around(t, c.zone, c.day)
		s := newStrip(w, Options{Width: 1280}.checked(""))
		byHour := map[string][]float64{}
		for _, e := range elementsOf(t, WeekStrip(w, Options{Width: 1280}), "text", "t s") {
			if e.attrs["text-anchor"] == "middle" {
				byHour[e.text] = append(byHour[e.text], number(t, e.attrs["x"]))
			}
		}
		for _, h := range []string{"6", "12", "18"} {
			require.Len(t, byHour[h], 3, c.zone)
			for _, x := range byHour[h] {
				passed := (x - s.axis.left) / (s.axis.right - s.axis.left) * float64(s.axis.to.Sub(s.axis.from))
				at := s.axis.from.Add(time.Duration(passed)).Round(5 * time.Minute)
				assert.Equal(t, h+":00", strings.TrimPrefix(at.Format("15:04"), "0"), c.zone)
			}
		}
	}
}

// What lasts to the end of a day lasts to 24:00, also where the next begins at one.
func TestWindowToTheEndOfTheDay(t *testing.T) {
	for _, c := range changes {
		w := around(t, c.zone, c.day)
		loc := location(w)
		noon, _ := time.ParseInLocation("2006-01-02 15", c.day+" 12", loc)
		ends := noon
		for ends.Format(time.DateOnly) == c.day {
			ends = ends.Add(10 * time.Minute)
		}
		w.Windows = w.Windows[:1]
		w.Windows[0].From, w.Windows[0].To = noon, ends.Add(3*time.Hour)
		var told []string
		for _, r := range WeekStrip(w, Options{}).Table.Rows {
			if r[3] != "" {
				told = append(told, r[3])
			}
		}
		require.Len(t, told, 2, c.zone)
		assert.Equal(t, "12:00–24:00 ideal 100 %", told[0], c.zone)
		assert.Equal(t, ends.Format("15:04")+"–"+ends.Add(3*time.Hour).Format("15:04")+" ideal 100 %", told[1], c.zone)
	}
}

// Where the clock stands at half past when it is a full hour of UTC, the hours of an
// answer begin at half past: the picture is of such an hour, and has its wind.
func TestBoatOnClocksAtHalfPast(t *testing.T) {
	for zone, want := range map[string]string{
		"America/St_Johns": "12:30–13:30", "Asia/Kolkata": "12:30–13:30", "Australia/Adelaide": "12:30–13:30", "Asia/Kathmandu": "12:45–13:45",
		"America/New_York": "13:00–14:00",
	} {
		w := around(t, zone, "2026-09-11")
		at := time.Date(2026, 9, 11, 13, 10, 0, 0, location(w))
		p := BoatAndSun(w, at, Options{})
		assert.Contains(t, p.Title, want, zone)
		assert.Contains(t, p.Description, "Wind from 230° SW, 3.0 m/s at deck height.", zone)
		assert.Equal(t, want, p.Table.Head[2], zone)
		h := hourAt(&w.Zones[0], at)
		require.NotNil(t, h)
		assert.Equal(t, fixed(*h.SurfaceC, 1)+" °C", p.Table.Rows[0][2], zone)
		for _, cell := range p.Table.Rows[len(p.Table.Rows)-1][2:] {
			assert.Equal(t, "230° SW", cell, "%s: the wind of every hour", zone)
		}
	}
}

// Of the small boats the one is framed whose hours hold the large one's: on days of 23
// and 25 hours too, where they do not stand two hours apart.
func TestOneSmallBoatIsFramed(t *testing.T) {
	t.Parallel()
	for _, c := range changes {
		w := around(t, c.zone, c.day)
		loc := location(w)
		day := dayOf(c.day, loc, w.From)
		for at := day.from; at.Before(day.to); at = at.Add(time.Hour) {
			if at.Truncate(time.Hour).Before(day.from) {
				continue // an hour of the day before, by its beginning
			}
			p := BoatAndSun(w, at, Options{Width: 1280, Bare: true})
			frames := elementsOf(t, p, "rect", "pick")
			require.Len(t, frames, 1, "%s %s", c.zone, at)
			left, top := number(t, frames[0].attrs["x"]), number(t, frames[0].attrs["y"])
			framed := ""
			for _, e := range elementsOf(t, p, "text", "t b") {
				if number(t, e.attrs["x"]) == left+3 && number(t, e.attrs["y"]) == top+14 {
					framed = e.text
				}
			}
			list := p.Table.Head[3:]
			i := slices.Index(list, framed)
			require.GreaterOrEqual(t, i, 0, "%s %s", c.zone, at)
			small := (&scene{day: day, loc: loc}).hoursOf()
			assert.False(t, small[i].After(at), "%s %s in %s", c.zone, at, framed)
			if i+1 < len(small) {
				assert.True(t, small[i+1].After(at.Truncate(time.Hour)), "%s %s in %s", c.zone, at, framed)
			}
		}
	}
}

// The line of now stands at now, and not at all where now is not shown.
func TestNowStandsAtNow(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		c := rapid.SampledFrom(changes).Draw(rt, "change")
		w := around(t, c.zone, c.day)
		w.Now = w.From.Add(time.Duration(rapid.IntRange(-30*6, 80*6).Draw(rt, "slots")) * 10 * time.Minute)
		p := WeekStrip(w, Options{Width: 1280})
		s := newStrip(w, Options{Width: 1280}.checked(""))
		lines := elementsOf(rt, p, "path", "now")
		if !s.axis.holds(w.Now) {
			require.Len(rt, lines, 1, "in the legend alone")
			return
		}
		require.Len(rt, lines, 2)
		share := float64(w.Now.Sub(s.days[0].from)) / float64(s.days[len(s.days)-1].to.Sub(s.days[0].from))
		require.InDelta(rt, edge+180+(1280-2*edge-180)*share, pointsOf(rt, lines[0].attrs["d"])[0].x, tenth)
	})
}
