package text

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// The marks of colours are as many as there are colours, and none of them comes
// through from a name.
func TestMarksAreThoseOfTheColours(t *testing.T) {
	assert.Len(t, sgr, int(markLast-markFirst)+1)
	assert.Equal(t, '\uE0F7', markLast)
	for r := markFirst; r <= markLast; r++ {
		assert.Empty(t, tidy(string(r)), "%U", r)
		assert.NotContains(t, newPage(Options{Colour: true}).finish(tidy("a"+string(r)+"b")), "\x1b")
	}
}

// Bearings go round: 360 is north, and both ends of each of the points' sectors.
func TestFacingGoesRound(t *testing.T) {
	at := func(bow, faces float64) string {
		return facing(&job.Job{HasBow: true, Berths: []job.Berth{{Bow: bow}}}, boat.Zone{Faces: faces})
	}
	for want, got := range map[string]string{
		", facing N (0°)": at(200, 160), ", facing N (1°)": at(200, 161), ", facing N (359°)": at(200, 159), ", facing E (90°)": at(350, 100), ", facing S (180°)": at(270, 270),
	} {
		assert.Equal(t, want, got)
	}
	assert.Equal(t, ", facing not known", facing(&job.Job{}, boat.Zone{Faces: 90}))
	assert.Equal(t, ", facing E (90°)", facing(&job.Job{}, boat.Zone{Faces: 90, FacesTrue: true}), "a bearing of its own")
	assert.Equal(t, ", facing N (0°)", facing(&job.Job{}, boat.Zone{Faces: 360, FacesTrue: true}))
	rapid.Check(t, func(rt *rapid.T) {
		bow, faces := rapid.Float64Range(0, 359.9).Draw(rt, "bow"), rapid.Float64Range(0, 360).Draw(rt, "faces")
		words := at(bow, faces)
		_, degrees, _ := strings.Cut(words, "(")
		require.NotContains(rt, degrees, "-")
		if strings.HasPrefix(degrees, "360") {
			require.GreaterOrEqual(rt, bow+faces, 359.5)
		}
	})
}

// The skill of an answer is told from nothing on: half better is better, none is not.
func TestSkillOfWork(t *testing.T) {
	for want, skill := range map[string]float64{
		"50 % better than knowing only how many held": 0.5, "1 % better than knowing only": 0.01, "no better than knowing only how many held": 0, "no better than": -0.5,
	} {
		a := aSeason()
		a.Work.Skill = &skill
		assert.Contains(t, flat(scorePage(t, a, Options{})), want)
	}
}

// Hours of a day that ends at midnight end at 24:00, and a later end names its day: on
// the days of 23 and 25 hours, at the turn of the year and beyond the date line.
func TestHoursOverMidnight(t *testing.T) {
	for _, c := range []struct{ zone, from, to, want string }{
		{"America/New_York", "2026-11-01 20:00", "2026-11-02 00:00", "20:00-24:00"},
		{"America/New_York", "2026-11-01 00:00", "2026-11-02 00:00", "00:00-24:00"},
		{"America/New_York", "2026-11-01 00:30", "2026-11-01 12:00", "00:30-12:00"},
		{"America/New_York", "2026-03-08 01:00", "2026-03-08 03:30", "01:00-03:30"},
		{"America/New_York", "2026-03-07 22:00", "2026-03-08 04:00", "22:00-Sun 8 Mar 04:00"},
		{"Europe/London", "2026-10-25 18:00", "2026-10-26 00:00", "18:00-24:00"},
		{"Australia/Lord_Howe", "2026-10-04 01:30", "2026-10-04 03:00", "01:30-03:00"}, // clocks that move by half an hour
		{"Pacific/Kiritimati", "2026-12-31 20:00", "2027-01-01 00:00", "20:00-24:00"},
		{"Pacific/Pago_Pago", "2026-12-31 20:00", "2027-01-01 00:10", "20:00-Fri 1 Jan 00:10"},
		{"Asia/Kathmandu", "2026-02-28 23:50", "2026-03-01 00:00", "23:50-24:00"},
		{"UTC", "2028-02-29 23:50", "2028-03-01 00:00", "23:50-24:00"},
		{"UTC", "2026-09-10 12:00", "2026-09-12 00:00", "12:00-Sat 12 Sep 00:00"},
	} {
		loc, err := time.LoadLocation(c.zone)
		require.NoError(t, err)
		from, err := time.ParseInLocation("2006-01-02 15:04", c.from, loc)
		require.NoError(t, err)
		to, err := time.ParseInLocation("2006-01-02 15:04", c.to, loc)
		require.NoError(t, err)
		assert.Equal(t, c.want, untie(hours(from, to)), "%s %s", c.zone, c.from)
	}
}

// A stretch is told by clocks that lie on the place's days, whatever the zone: what is
// read turns back into the minutes that were meant.
func TestHoursTurnBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := anyMoments(rt)
		from := m.any(rt)
		to := from.Add(time.Duration(rapid.IntRange(1, 500).Draw(rt, "slots")) * 10 * time.Minute)
		words := untie(hours(from, to))
		begins, ends, ok := strings.Cut(words, "-")
		require.True(rt, ok)
		require.Equal(rt, from.Format("15:04"), begins)
		switch {
		case from.YearDay() == to.YearDay():
			require.Equal(rt, to.Format("15:04"), ends)
		case ends == "24:00":
			require.Equal(rt, "00:00", to.Format("15:04"))
			require.LessOrEqual(rt, to.Sub(from), 25*time.Hour)
		default:
			require.Equal(rt, to.Format("Mon 2 Jan 15:04"), ends)
		}
	})
}

// What goes to a terminal outside a page: one line, nothing hidden, of a length that
// somebody reads; wrapped it keeps its words.
func TestShownAndWrap(t *testing.T) {
	for in, want := range map[string]string{
		"plain": "plain", "two\nlines\r\n": "two lines  ", "a\x1b[31mb\x07": "a[31mb", "\u202eabc\u2066": "abc", "tab\there": "tab here", "\xffx": "x", "  two  blanks  ": "  two  blanks  ", "": "",
	} {
		assert.Equal(t, want, Shown(in))
	}
	assert.Equal(t, 1000, cells(Shown(strings.Repeat("x", 5000))))
	assert.Equal(t, strings.Repeat("x", 1000), Shown(strings.Repeat("x", 1000)))
	assert.Equal(t, "one two\n  three", Wrap("one two three", 9, 2))
	assert.Equal(t, "one two", Wrap("one two", 7, 2), "just as wide")
	assert.Equal(t, "/a/very/long/path/to.yaml:\n    is not there", Wrap("/a/very/long/path/to.yaml: is not there", 20, 4), "a path is never broken")
	assert.Empty(t, Wrap("", 10, 2))
	rapid.Check(t, func(rt *rapid.T) {
		s := strings.Join(rapid.SliceOfN(rapid.StringMatching(`[a-z船]{1,12}`), 1, 30).Draw(rt, "words"), " ")
		width, hang := rapid.IntRange(20, 90).Draw(rt, "width"), rapid.IntRange(0, 8).Draw(rt, "hang")
		got := Wrap(s, width, hang)
		require.Equal(rt, strings.Fields(s), strings.Fields(got))
		for i, l := range strings.Split(got, "\n") {
			if strings.Contains(strings.TrimSpace(l), " ") {
				require.LessOrEqual(rt, cells(l), width)
			}
			if i > 0 {
				require.True(rt, strings.HasPrefix(l, strings.Repeat(" ", hang)))
				require.NotEqual(rt, " ", l[hang:hang+1])
			}
		}
	})
}

// Every hazard that comes and goes has a word, the page of cautions and the plan agree
// on which those are, and what is worse when lower is rounded down.
func TestHazards(t *testing.T) {
	for _, kind := range []string{"wbgt", "heat-index", "cold", "ice", "thunder", "gust", "wind", "float", "uv"} {
		h, passing := answer.HazardOf(kind)
		assert.True(t, passing)
		assert.NotEmpty(t, h.Word, kind)
		assert.LessOrEqual(t, len(h.Word), 10)
	}
	_, passing := answer.HazardOf("solvent")
	assert.False(t, passing)
	p := newPage(metric)
	worst := func(kind, unit string, v float64) string {
		return untie(p.worst(answer.Caution{Kind: kind, Unit: unit, Value: &v}))
	}
	for want, got := range map[string]string{
		"(WBGT 28.2 °C)": worst("wbgt", "°C", 28.11), "(heat index 33 °C)": worst("heat-index", "°C", 32.91), "(wind chill -3.2 °C)": worst("cold", "°C", -3.11),
		"(8.2 m/s)": worst("gust", "m/s", 8.11), "(UV index 7)": worst("uv", "", 6.6), "(UV index 6)": worst("uv", "", 6.4), "(9.8 °C)": worst("cold-water", "°C", 9.89), "(0.3 °C)": worst("ice", "°C", 0.39),
	} {
		assert.Equal(t, want, got)
	}
}

// A part of a note that is empty leaves the parts after it alone.
func TestNoteWithGaps(t *testing.T) {
	n := newNote(ToOwner, "Seal", "Kittiwake")
	n.Title, n.Asks = "Kittiwake, Tue 8 Sep", []string{"Is it all right?"}
	var b strings.Builder
	require.NoError(t, Note(&b, n, metric))
	assert.Equal(t, "Kittiwake, Tue 8 Sep\n\nPlease answer:\nIs it all right?\n", b.String())
	n.What, n.Change = []string{"Wash: Fri 11 Sep."}, []string{"Rain."}
	b.Reset()
	require.NoError(t, Note(&b, n, metric))
	assert.Equal(t, "Kittiwake, Tue 8 Sep\n\nWash: Fri 11 Sep.\n\nWhat could change it:\nRain.\n\nPlease answer:\nIs it all right?\n", b.String())
}
