package text

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

// daysOf writes the days of the first step of some lines.
func daysOf(t *testing.T, o Options, lines ...string) string {
	t.Helper()
	b := builder{t, emptyWeek()}
	for _, l := range lines {
		b.line(l)
	}
	a := b.finish()
	book := newZoneBook(a.Zones)
	p := newPage(o)
	p.days(stepsOf(a, book)[0], book)
	keepsTheRules(t, p.b.String(), o)
	return p.b.String()
}

func TestDayOfOneZone(t *testing.T) {
	got := daysOf(t, metric,
		"seal | port side | 10 00:00 x hours; 07:00 x film 82/1; 08:20 * 0.8 spread_min 8/4; 10:10 + 0.9 wind_max 4/3; 11:40 ! 0.9 wind_max 7/6; 12:30 x rain_free 1/2; 18:00 x hours; 23:50")
	assert.Equal(t, `
  By day
  Thu 10 Sep
    port side                 * ideal 08:20-10:10  + go 10:10-11:40
                              ! marginal 11:40-12:30
    x no-go because water on the panel, 82 g/m², at most 1: 07:00-08:20
      port side, clears 08:20.
    ! marginal because wind 7 m/s at the panel, at most 6: 11:40-12:30
      port side.
    x no-go because rain 1 h after the work, needs 2 h: 12:30-18:00 port side.
    Clears: not in these days: port side.
  x no-go as well, and not listed: outside working hours.
`, got)
}

// One reason is one line, whatever the zones and times; the worst value is shown
// and said to be the worst.
func TestOneReasonIsOneLine(t *testing.T) {
	got := daysOf(t, metric,
		"seal | port side | 10 07:00 x wind_max 8/7; 09:00 + 0.9 wind_max 4/3; 15:00 x wind_max 9/7; 17:00",
		"seal | foredeck | 10 07:00 x wind_max 8/7; 10:00 + 0.9 wind_max 4/3; 17:00")
	assert.Contains(t, got, "    x no-go because at worst wind 9 m/s at the panel, at most 7: 07:00-09:00\n"+
		"      port side, clears 09:00; 07:00-10:00 foredeck, clears 10:00; 15:00-17:00\n      port side.\n")
}

// The same value everywhere is not "at worst".
func TestAtWorstOnlyWhereItDiffers(t *testing.T) {
	got := daysOf(t, metric,
		"seal | port side | 10 07:00 x wind_max 8/7; 09:00 + 0.9 wind_max 4/3; 17:00",
		"seal | foredeck | 10 07:00 x wind_max 8/7; 10:00 + 0.9 wind_max 4/3; 17:00")
	assert.Contains(t, got, "x no-go because wind 8 m/s")
	assert.NotContains(t, got, "at worst")
}

// Reasons that are words are kept apart where the words differ.
func TestWordsAreKeptApart(t *testing.T) {
	a := emptyWeek()
	for i, text := range []string{"not known: the forecast ends Thu 10 Sep 12:00", "not known: the forecast lacks wind", "not known: the forecast lacks wind"} {
		a.Refusals = append(a.Refusals, answer.Refusal{
			Step:    "seal",
			Zone:    []string{"port side", "foredeck", "teak deck"}[i],
			From:    at("10 07:00"),
			To:      at("10 09:00"),
			State:   "unknown",
			Binding: answer.Binding{Limit: "data", Text: text},
		})
	}
	page := weekPage(t, a, metric)
	assert.Contains(t, page, "? unknown because the forecast ends Thu 10 Sep 12:00: 07:00-09:00 port side.\n")
	assert.Contains(t, page, "? unknown because the forecast lacks wind: 07:00-09:00 foredeck, teak deck.\n")
}

// Many stretches of one reason are told from the first to the last, morning and
// evening apart.
func TestManyStretches(t *testing.T) {
	var lines []string
	for i, z := range []string{"a", "b", "c", "d", "e", "f", "g"} {
		clears := "0" + string(rune('8'+i%2)) + ":" + string(rune('0'+i/2)) + "0"
		lines = append(lines, "seal | "+z+" | 10 07:00 x wind_max 8/7; "+clears+" + 0.9 wind_max 4/3; 16:00 x wind_max 9/7; 17:00")
	}
	got := daysOf(t, metric, lines...)
	assert.Contains(t, strings.Join(strings.Fields(got), " "),
		"within 07:00-09:20 all zones, clears 08:00 to 09:20; within 16:00-17:00 all zones.")
	assert.Contains(t, got, "Clears: not in these days: all zones.")
}

func TestIdleDays(t *testing.T) {
	got := daysOf(t, metric,
		"seal | port side | 10 00:00 x away; 23:50",
		"seal | port side | 11 00:00 x hours; 23:50",
		"seal | port side | 12 00:00 x daylight; 07:00 x machines; 23:50")
	assert.Contains(t, got, "  Thu 10 Sep\n    nobody works\n  Fri 11 Sep to Sat 12 Sep\n    no working hours\n")
	assert.Contains(t, got, "not listed: outside working hours, hours without\n  machines, darkness, days off.")
}

// What a zone can never take is said once, with the answer's own words.
func TestNever(t *testing.T) {
	got := daysOf(t, metric,
		"seal | port side | 10 07:00 + 0.9 wind_max 4/3; 17:00",
		"seal | teak deck | 10 07:00 x finish; 17:00",
		"seal | teak deck | 11 07:00 x finish; 17:00",
		"seal | foredeck | 10 07:00 x salt; 17:00",
		"seal | foredeck | 11 07:00 x salt; 12:00 x wind_max 9/7; 17:00")
	assert.Equal(t, 1, strings.Count(got, "teak deck"))
	assert.Contains(t, got, "  x no-go on every day: teak deck: the product does not suit the finish.\n")
	assert.Contains(t, got, "x no-go because salt on the panel: wash it off first: 07:00-17:00 foredeck", "only half of the truth: told by day")
}

func TestLongLabelsGetALineOfTheirOwn(t *testing.T) {
	got := daysOf(t, metric,
		"seal | starboard superstructure side | 10 07:00 + 0.9 wind_max 4/3; 17:00",
		"seal | port superstructure side | 10 07:00 + 0.9 wind_max 4/3; 17:00")
	assert.Contains(t, got, "    port superstructure side, starboard superstructure side\n                              + go 07:00-17:00\n")
}

func TestPiecesCoverWhatTheyCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := anyTime().Draw(t, "from")
		to := from.Add(time.Duration(rapid.IntRange(1, 700).Draw(t, "slots")) * 10 * time.Minute)
		s := step{refusals: []answer.Refusal{{Zone: "a", From: from, To: to, State: "no-go"}}}
		list := piecesOf(s)
		require.NotEmpty(t, list)
		end := from
		for _, x := range list {
			require.True(t, x.from.Equal(end), "no gap")
			require.True(t, x.to.After(x.from))
			require.True(t, sameDay(x.from, x.to.Add(-time.Minute)), "one day each")
			end = x.to
		}
		require.True(t, end.Equal(to))
	})
}

func TestPiecesOnTheDayOfChange(t *testing.T) {
	// From summer time into winter time, at the place's own offsets.
	edt, est := time.FixedZone("EDT", -4*3600), time.FixedZone("EST", -5*3600)
	s := step{refusals: []answer.Refusal{{
		Zone:  "a",
		From:  time.Date(2026, 10, 31, 20, 0, 0, 0, edt),
		To:    time.Date(2026, 11, 2, 6, 0, 0, 0, est),
		State: "no-go",
	}}}
	list := piecesOf(s)
	require.NotEmpty(t, list)
	end := s.refusals[0].From
	for _, x := range list {
		assert.True(t, x.from.Equal(end), "no gap, no overlap")
		end = x.to
	}
	assert.True(t, end.Equal(s.refusals[0].To))
}

func TestScheduled(t *testing.T) {
	for _, l := range []string{"hours", "away", "daylight", "machines"} {
		assert.True(t, scheduled(l), l)
	}
	for _, l := range []string{"reach", "film", "rain_free", "data", "block", ""} {
		assert.False(t, scheduled(l), "%s is told", l)
	}
}

// Where salt alone stands against a step on every day, no day is said to be without
// working hours, and nobody is sent to wait for the next forecast.
func TestSaltIsNotTheWeathers(t *testing.T) {
	b := builder{t, emptyWeek()}
	b.line("seal | port side | 10 00:00 x hours; 07:00 x salt; 17:00")
	b.line("seal | port side | 11 00:00 x hours; 07:00 x salt; 17:00")
	a := b.finish()
	a.Headline = &answer.Headline{Step: "seal"}
	page := weekPage(t, a, metric)
	assert.Contains(t, page, "x no-go on every day: port side: salt on the panel: wash it off first.")
	assert.NotContains(t, page, "no working hours")
	assert.Equal(t, "A new forecast does not change that.", firstLines(page, 3)[2])
}

// Where there are too few people, nobody is sent to the next forecast, and nothing is said
// of the weather, which that hides.
func TestTooFewPeopleAreNotTheWeathers(t *testing.T) {
	b := builder{t, emptyWeek()}
	b.line("seal | port side | 10 00:00 x hours; 07:00 x people; 17:00")
	a := b.finish()
	a.Headline = &answer.Headline{Step: "seal"}
	assert.Equal(t, "A new forecast does not change that.", firstLines(weekPage(t, a, metric), 3)[2])
}

// Of many stretches told together, "clears" names the zones on which it does that day:
// of the others a line of their own says when.
func TestManyStretches_OnlyWhatClears(t *testing.T) {
	var lines []string
	for i, z := range []string{"a", "b", "c", "d", "e", "f", "g"} {
		ends := "0" + string(rune('8'+i%2)) + ":" + string(rune('0'+i/2)) + "0"
		open := " + 0.9 wind_max 4/3; 17:00"
		if i > 1 {
			open = ""
		}
		lines = append(lines, "seal | "+z+" | 10 07:00 x wind_max 8/7; "+ends+open)
	}
	got := strings.Join(strings.Fields(daysOf(t, metric, lines...)), " ")
	assert.Contains(t, got, "within 07:00-09:20 all zones, clears 08:00 to 09:00 on a, b.")
	assert.Contains(t, got, "Clears: not in these days: all but a and b.")
}

// A reason says what else the yes is for in other hours of its stretches, each once.
func TestReasonSaysWhatElse(t *testing.T) {
	b := builder{t, emptyWeek()}
	b.line("seal | port side | 10 07:00 ! 0.9 sunlight_max 473/250; 12:00")
	b.line("seal | foredeck | 10 07:00 ! 0.9 sunlight_max 400/250; 12:00")
	a := b.finish()
	a.Windows[0].Besides, a.Windows[1].Besides = []string{"the air is too cold"}, []string{"the air is too cold", "dew follows too soon"}
	book := newZoneBook(a.Zones)
	p := newPage(metric)
	p.days(stepsOf(a, book)[0], book)
	assert.Contains(t, strings.Join(strings.Fields(p.b.String()), " "),
		"because at worst sunlight on the panel 473 W/m², at most 250, and in other hours the air is too cold and dew follows too soon: 07:00-12:00 port side, foredeck.")
}
