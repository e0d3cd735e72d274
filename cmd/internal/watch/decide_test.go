package watch

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// story feeds a sink's knowledge with what is found, one after the other, and tells
// the kinds of news.
type story struct {
	t    *testing.T
	told Told
}

func (s *story) found(now string, a Asked) *answer.Watch {
	s.t.Helper()
	n, is := decide(s.told, see(a, "/jobs/kittiwake.yaml", at(s.t, now)))
	s.told = is
	return n
}

func (s *story) is(now string, a Asked, kind, status string) *answer.Watch {
	s.t.Helper()
	n := s.found(now, a)
	require.NotNil(s.t, n, now)
	assert.Equal(s.t, []string{kind, status}, []string{n.Kind, n.Status}, now)
	return n
}

func (s *story) quiet(now string, a Asked) {
	s.t.Helper()
	if n := s.found(now, a); n != nil {
		s.t.Errorf("%s: told %s %s: %s", now, n.Kind, n.Status, n.Text)
	}
}

func TestFirstAndChanged(t *testing.T) {
	s := &story{t: t}
	good := func(now string) Asked { return Asked{Week: weekOf(t, now, work(t, "wash", "port side", "10 07:30"))} }
	n := s.is("9 06:00", good("9 06:00"), answer.WatchFirst, answer.WatchOK)
	assert.Equal(t, "go; plan of 1 block on 2 days, first wash, port side Thu 10 Sep 07:30-08:30", n.Text)
	assert.Equal(t, "2026-09-09T06:00:00-04:00", n.At.Format(time.RFC3339), "by the clock at the place")
	s.quiet("9 07:00", good("9 07:00"))
	n = s.is("9 08:00", Asked{Week: unplanned(t, "9 08:00")}, answer.WatchChanged, answer.WatchOK)
	assert.Equal(t, []string{"verdict go → no-go", "plan go → none"}, texts(n.Changes))
	assert.Equal(t, "no-go; no plan: rain on every day", n.Text)
	s.quiet("9 09:00", Asked{Week: unplanned(t, "9 09:00")})
	s.is("9 10:00", good("9 10:00"), answer.WatchChanged, answer.WatchOK)
}

// A drift by small steps is told when it amounts to something.
func TestDriftIsTold(t *testing.T) {
	s := &story{t: t}
	for i, from := range []string{"10 08:00", "10 08:10", "10 08:20"} {
		n := s.found("9 0"+string(rune('6'+i))+":00", Asked{Week: weekOf(t, "9 06:00", work(t, "seal", "port side", from))})
		assert.Equal(t, i == 0, n != nil, from)
	}
	n := s.is("9 09:00", Asked{Week: weekOf(t, "9 09:00", work(t, "seal", "port side", "10 08:30"))}, answer.WatchChanged, answer.WatchOK)
	assert.Equal(t, []string{"seal, port side: Thu 10 Sep 08:00-09:00 → Thu 10 Sep 08:30-09:30"}, texts(n.Changes))
}

// The forecast runs away: one word when answers are too old, one when they are back.
func TestStaleAndBack(t *testing.T) {
	block := work(t, "seal", "port side", "12 08:00")
	good := func(now string) Asked { return Asked{Week: weekOf(t, now, block)} }
	stale := func(now string) Asked {
		w := weekOf(t, now, block)
		w.Source.Stale, w.Warnings = true, []string{"the forecast is 13 h old, more than 12 h: today is not judged by it"}
		return Asked{Week: w}
	}
	unknown := func(now string) Asked {
		w := weekOf(t, now)
		w.Verdict, w.Source.Stale, w.Warnings = answer.Unknown, true, []string{"the forecast is 40 h old"}
		return Asked{Week: w}
	}
	s := &story{t: t}
	s.is("9 06:00", good("9 06:00"), answer.WatchFirst, answer.WatchOK)
	n := s.is("9 18:10", stale("9 18:10"), answer.WatchLost, answer.WatchStale)
	assert.Contains(t, n.Text, "13 h old")
	assert.Empty(t, n.Changes)
	s.quiet("9 19:00", stale("9 19:00"))
	s.is("10 18:10", unknown("10 18:10"), answer.WatchLost, answer.WatchUnknown)
	s.quiet("10 19:00", unknown("10 19:00"))
	s.quiet("10 20:00", stale("10 20:00"))
	s.quiet("10 21:00", offline())
	n = s.is("10 21:50", good("10 21:50"), answer.WatchBack, answer.WatchOK)
	assert.Empty(t, n.Changes)
	assert.Equal(t, "Kittiwake: Clean and seal, an answer again, nothing has changed", subject(n))
	s.is("11 10:00", stale("11 10:00"), answer.WatchLost, answer.WatchStale)
	n = s.is("11 11:00", Asked{Week: unplanned(t, "11 11:00")}, answer.WatchBack, answer.WatchOK)
	assert.NotEmpty(t, n.Changes, "compared with what was last told")
}

// A lost connection is not worth a word while the last answer is one of today's.
func TestOffline(t *testing.T) {
	s := &story{t: t}
	good := func(now string) Asked { return Asked{Week: weekOf(t, now, work(t, "seal", "port side", "12 08:00"))} }
	s.is("9 06:00", good("9 06:00"), answer.WatchFirst, answer.WatchOK)
	s.quiet("9 07:00", offline())
	s.quiet("9 17:50", offline())
	s.is("9 18:00", offline(), answer.WatchLost, answer.WatchOffline)
	s.quiet("9 19:00", offline())
	s.is("9 20:00", good("9 20:00"), answer.WatchBack, answer.WatchOK)
	s.quiet("9 21:00", good("9 21:00"))
	s.quiet("9 22:00", offline())
	s.quiet("9 23:00", good("9 23:00"))

	fresh := &story{t: t}
	n := fresh.is("9 06:00", offline(), answer.WatchLost, answer.WatchOffline)
	assert.Equal(t, "unknown host name", n.Text)
	assert.Nil(t, n.Place)
	fresh.quiet("9 07:00", offline())
	fresh.is("9 08:00", good("9 08:00"), answer.WatchFirst, answer.WatchOK)
}

// A clock that was set back by days does not make an old answer fresh.
func TestOfflineAfterTheClockWasSetBack(t *testing.T) {
	s := &story{t: t}
	s.is("9 06:00", Asked{Week: weekOf(t, "9 06:00")}, answer.WatchFirst, answer.WatchOK)
	s.is("7 06:00", offline(), answer.WatchLost, answer.WatchOffline)
}

func TestBadJobAndOver(t *testing.T) {
	bad := func(text string) Asked {
		return Asked{Status: answer.WatchBadJob, Failure: &answer.Failure{Error: text, Where: "job.yaml:3:1", Fix: "mend it"}}
	}
	s := &story{t: t}
	s.is("9 06:00", Asked{Week: weekOf(t, "9 06:00")}, answer.WatchFirst, answer.WatchOK)
	n := s.is("9 07:00", bad("unknown key"), answer.WatchLost, answer.WatchBadJob)
	assert.Equal(t, "job.yaml:3:1: unknown key", n.Text)
	s.quiet("9 08:00", bad("unknown key"))
	s.is("9 09:00", bad("another mistake"), answer.WatchLost, answer.WatchBadJob)
	s.is("9 10:00", Asked{Week: weekOf(t, "9 10:00")}, answer.WatchBack, answer.WatchOK)
	over := Asked{Status: answer.WatchOver, Failure: &answer.Failure{Error: "the job's last day is over"}}
	s.is("20 06:00", over, answer.WatchEnded, answer.WatchOver)
	s.quiet("20 07:00", over)
}

// Nobody is woken for what can wait, and what comes to nothing by the morning is not told.
func TestTheNightIsQuiet(t *testing.T) {
	on := func(day string) func(string) Asked {
		return func(now string) Asked { return Asked{Week: weekOf(t, now, work(t, "seal", "port side", day+" 08:00"))} }
	}
	fri, sat := on("11"), on("12")
	s := &story{t: t}
	s.is("9 23:00", fri("9 23:00"), answer.WatchFirst, answer.WatchOK) // somebody has just begun to watch
	s.quiet("10 21:50", fri("10 21:50"))
	s.quiet("10 22:00", sat("10 22:00"))
	s.quiet("11 01:00", fri("11 01:00"))
	s.quiet("11 04:50", sat("11 04:50"))
	n := s.is("11 05:00", sat("11 05:00"), answer.WatchChanged, answer.WatchOK)
	assert.Equal(t, []string{"seal, port side: Fri 11 Sep 08:00-09:00 → Sat 12 Sep 08:00-09:00"}, texts(n.Changes))
	s.quiet("11 22:00", Asked{Week: unplanned(t, "11 22:00")})
	s.quiet("11 23:00", offline())
	s.quiet("12 09:50", offline()) // the last answer is of 22:00, though nobody was told of it
	bad := Asked{Status: answer.WatchBadJob, Failure: &answer.Failure{Error: "unknown key"}}
	s.is("12 23:30", bad, answer.WatchLost, answer.WatchBadJob) // somebody writes in it just now

	late := &story{t: t}
	late.is("9 21:00", Asked{Week: weekOf(t, "9 21:00", work(t, "seal", "port side", "9 23:00"))}, answer.WatchFirst, answer.WatchOK)
	late.is("9 22:10", Asked{Week: weekOf(t, "9 22:10", work(t, "seal", "port side", "10 02:00"))}, answer.WatchChanged, answer.WatchOK)
	late.is("9 22:20", Asked{Week: weekOf(t, "9 22:20", work(t, "seal", "port side", "10 09:00"))}, answer.WatchChanged, answer.WatchOK)
	late.quiet("9 22:30", Asked{Week: unplanned(t, "9 22:30")})
}

// Work at the night's end and in the two hours after it is told of in the night where it
// changes: who begins then has set out before the morning's word.
func TestEarlyWorkIsToldInTheNight(t *testing.T) {
	with := func(now string, from ...string) Asked {
		w := weekOf(t, now)
		for i, f := range from {
			w.Plan.Blocks = append(w.Plan.Blocks, work(t, []string{"wash", "seal"}[i], "port side", f))
		}
		return Asked{Week: w}
	}
	for _, c := range []struct {
		name          string
		before, after []string
		told          bool
	}{
		{"put off from 05:00", []string{"10 05:00"}, []string{"10 09:00"}, true},
		{"put off from 07:00", []string{"10 07:00"}, []string{"10 09:00"}, true},
		{"put off from 07:10", []string{"10 07:10"}, []string{"10 09:00"}, false},
		{"brought forward to 06:00", []string{"10 09:00"}, []string{"10 06:00"}, true},
		{"as it was, and later work moves", []string{"10 06:00", "11 08:00"}, []string{"10 06:00", "12 08:00"}, false},
	} {
		s := &story{t: t}
		s.is("9 21:00", with("9 21:00", c.before...), answer.WatchFirst, answer.WatchOK)
		assert.Equal(t, c.told, s.found("9 23:00", with("9 23:00", c.after...)) != nil, c.name)
		assert.Equal(t, !c.told, s.found("10 05:00", with("10 05:00", c.after...)) != nil, "%s, in the morning", c.name)
	}
	s := &story{t: t}
	s.is("9 06:00", with("9 06:00", "10 06:00"), answer.WatchFirst, answer.WatchOK)
	s.quiet("9 23:00", offline()) // nothing is known to have changed
	s.is("10 05:00", offline(), answer.WatchLost, answer.WatchOffline)
}

// Of work after tomorrow a word a day is enough; what touches today or tomorrow is told at
// once.
func TestFarWorkIsToldOnceADay(t *testing.T) {
	on := func(now, from string) Asked {
		return Asked{Week: weekOf(t, now, work(t, "seal", "port side", from))}
	}
	s := &story{t: t}
	s.is("9 06:00", on("9 06:00", "14 08:00"), answer.WatchFirst, answer.WatchOK)
	s.quiet("9 12:00", on("9 12:00", "11 08:00"))
	s.quiet("9 18:00", on("9 18:00", "15 08:00"))
	s.is("10 05:00", on("10 05:00", "15 08:00"), answer.WatchChanged, answer.WatchOK)
	s.quiet("10 12:00", on("10 12:00", "12 00:00"))
	s.is("10 13:00", on("10 13:00", "11 23:00"), answer.WatchChanged, answer.WatchOK) // tomorrow now
	s.is("10 14:00", on("10 14:00", "15 08:00"), answer.WatchChanged, answer.WatchOK) // not tomorrow any more
	s.is("10 15:00", Asked{Week: unplanned(t, "10 15:00")}, answer.WatchChanged, answer.WatchOK)
}

// filmed is an answer with a film, and rain onto it from a moment, "" for none.
func filmed(t *testing.T, now, rain string) Asked {
	w := weekOf(t, now, work(t, "wash", "foredeck", "14 08:00"))
	until := at(t, "11 08:00")
	w.KeepDry = []answer.KeepDry{{Step: "seal", Zone: "port side", On: at(t, "10 16:00"), Until: &until, Spoils: true}}
	if rain != "" {
		from := at(t, rain)
		w.KeepDry[0].RainAt = &from
	}
	return Asked{Week: w}
}

// Rain onto fresh work is told at any hour, once; that it stays away, by day.
func TestRainOntoFreshWork(t *testing.T) {
	film := func(now, rain string) Asked { return filmed(t, now, rain) }
	const soon = "Keep port side dry until Fri 11 Sep 08:00 (seal, 16:00). Rain from 23:30 would spoil it: cover it in time"
	s := &story{t: t}
	s.is("10 06:00", Asked{Week: weekOf(t, "10 06:00", work(t, "wash", "foredeck", "14 08:00"))}, answer.WatchFirst, answer.WatchOK)
	s.quiet("10 17:00", film("10 17:00", ""))
	n := s.is("10 22:30", film("10 22:30", "10 23:30"), answer.WatchChanged, answer.WatchOK)
	assert.Equal(t, []string{soon}, texts(n.Changes))
	assert.Equal(t, "Kittiwake: Clean and seal, rain comes onto fresh work", subject(n))
	assert.Equal(t, []string{"no rain", "rain from Thu 10 Sep 23:30"}, []string{n.Changes[0].Before, n.Changes[0].After})
	s.quiet("10 22:40", film("10 22:40", "10 23:50"))
	s.quiet("11 00:10", film("11 00:10", "")) // better news can wait
	n = s.is("11 05:10", film("11 05:10", ""), answer.WatchChanged, answer.WatchOK)
	assert.Equal(t, []string{"No rain is forecast any more. Keep port side dry until 08:00 (seal, Thu 10 Sep 16:00)"}, texts(n.Changes))
	s.quiet("11 06:00", film("11 06:00", ""))
	s.is("11 06:10", film("11 06:10", "11 07:00"), answer.WatchChanged, answer.WatchOK)
	s.quiet("11 09:00", Asked{Week: weekOf(t, "11 09:00", work(t, "wash", "foredeck", "14 08:00"))}) // it has stood

	fresh := &story{t: t}
	n = fresh.is("10 22:30", film("10 22:30", "10 23:30"), answer.WatchFirst, answer.WatchOK)
	assert.Equal(t, []string{soon}, texts(n.Changes))
}

// Rain that was told for the night and comes later than that wakes nobody, and is told in the
// morning; rain that comes sooner does, and so does what comes after the hour that was told,
// which may be another shower. By day later rain is told at once.
func TestRainThatIsPutOffWakesNobody(t *testing.T) {
	s := &story{t: t}
	s.is("10 17:00", filmed(t, "10 17:00", "11 02:00"), answer.WatchFirst, answer.WatchOK)
	s.is("10 18:00", filmed(t, "10 18:00", "11 04:30"), answer.WatchChanged, answer.WatchOK)
	s.quiet("10 22:30", filmed(t, "10 22:30", "11 07:00"))
	s.quiet("11 00:30", filmed(t, "11 00:30", "11 06:30"))
	s.is("11 00:40", filmed(t, "11 00:40", "11 02:00"), answer.WatchChanged, answer.WatchOK)
	s.quiet("11 00:50", filmed(t, "11 00:50", "11 04:10"))
	n := s.is("11 02:10", filmed(t, "11 02:10", "11 06:30"), answer.WatchChanged, answer.WatchOK)
	assert.Equal(t, []string{"rain from Fri 11 Sep 02:00", "rain from Fri 11 Sep 06:30"}, []string{n.Changes[0].Before, n.Changes[0].After})

	s = &story{t: t}
	s.is("10 17:00", filmed(t, "10 17:00", "11 05:30"), answer.WatchFirst, answer.WatchOK)
	s.quiet("11 04:50", filmed(t, "11 04:50", "11 07:40"))
	n = s.is("11 05:00", filmed(t, "11 05:00", "11 07:40"), answer.WatchChanged, answer.WatchOK)
	assert.Equal(t, "Kittiwake: Clean and seal, rain comes onto fresh work", subject(n))

	two := func(now, port, deck string) Asked {
		a := filmed(t, now, port)
		other := a.Week.KeepDry[0]
		from := at(t, deck)
		other.Zone, other.RainAt = "foredeck", &from
		a.Week.KeepDry = append(a.Week.KeepDry, other)
		return a
	}
	s = &story{t: t}
	s.is("10 17:00", two("10 17:00", "11 02:00", "11 06:00"), answer.WatchFirst, answer.WatchOK)
	s.is("10 22:30", two("10 22:30", "11 05:00", "11 03:00"), answer.WatchChanged, answer.WatchOK)
}

// Rain that falls is found to begin now each time: that is no news of it. A later shower is.
func TestRainThatFallsIsToldOnce(t *testing.T) {
	s := &story{t: t}
	s.is("10 17:00", filmed(t, "10 17:00", ""), answer.WatchFirst, answer.WatchOK)
	s.is("10 18:00", filmed(t, "10 18:00", "10 20:00"), answer.WatchChanged, answer.WatchOK)
	for _, now := range []string{"10 20:10", "10 22:10", "11 00:10", "11 05:10"} {
		s.quiet(now, filmed(t, now, now))
	}
	n := s.is("11 05:20", filmed(t, "11 05:20", "11 07:30"), answer.WatchChanged, answer.WatchOK)
	assert.Equal(t, []string{"rain from Thu 10 Sep 20:00", "rain from Fri 11 Sep 07:30"}, []string{n.Changes[0].Before, n.Changes[0].After})
}

// Rain onto fresh work is told by an answer that is too old for all else too, once; that
// the rain stays away is not.
func TestRainOntoFreshWorkByAPoorAnswer(t *testing.T) {
	stale := func(now, rain string) Asked {
		a := filmed(t, now, rain)
		a.Week.Source.Stale, a.Week.Warnings = true, []string{"the forecast is 13 h old"}
		return a
	}
	unknown := func(now, rain string) Asked {
		a := stale(now, rain)
		a.Week.Verdict = answer.Unknown
		return a
	}
	s := &story{t: t}
	s.is("10 17:00", filmed(t, "10 17:00", ""), answer.WatchFirst, answer.WatchOK)
	s.is("10 20:00", unknown("10 20:00", ""), answer.WatchLost, answer.WatchUnknown)
	n := s.is("10 22:30", stale("10 22:30", "10 23:30"), answer.WatchChanged, answer.WatchStale)
	assert.Equal(t, "Kittiwake: Clean and seal, rain comes onto fresh work", subject(n))
	assert.Equal(t, []string{"film"}, []string{n.Changes[0].What})
	s.quiet("10 22:40", stale("10 22:40", "10 23:30"))
	s.quiet("10 22:50", unknown("10 22:50", "10 23:30")) // that it is unknown was told at 20:00
	s.quiet("11 06:00", unknown("11 06:00", ""))
	n = s.is("11 06:10", filmed(t, "11 06:10", ""), answer.WatchBack, answer.WatchOK)
	assert.Equal(t, []string{"No rain is forecast any more. Keep port side dry until 08:00 (seal, Thu 10 Sep 16:00)"}, texts(n.Changes))

	fresh := &story{t: t}
	n = fresh.is("10 22:30", unknown("10 22:30", "10 23:30"), answer.WatchLost, answer.WatchUnknown)
	assert.Len(t, n.Changes, 1)
	n = fresh.is("10 22:40", filmed(t, "10 22:40", "10 23:30"), answer.WatchFirst, answer.WatchOK)
	assert.Empty(t, n.Changes, "it was told")
}

// Where there is no answer the clock is that of the place all the same.
func TestTroubleByTheClockAtThePlace(t *testing.T) {
	s := &story{t: t}
	s.is("9 06:00", Asked{Week: weekOf(t, "9 06:00")}, answer.WatchFirst, answer.WatchOK)
	far := func(now string) seen { return see(offline(), "f", at(t, now).In(time.FixedZone("AEST", 10*3600))) }
	n, _ := decide(s.told, far("9 23:00")) // 13:00 by the computer
	assert.Nil(t, n)
	n, is := decide(s.told, far("10 05:00"))
	require.NotNil(t, n)
	assert.Equal(t, "2026-09-10T05:00:00-04:00", n.At.Format(time.RFC3339))
	assert.Equal(t, n.At, is.At)
}

func TestMessage(t *testing.T) {
	s := &story{t: t}
	s.found("10 06:00", Asked{Week: weekOf(t, "10 06:00", work(t, "seal", "port side", "11 08:00"))})
	n := s.found("10 07:00", Asked{Week: weekOf(t, "10 07:00", work(t, "seal", "port side", "12 08:00"))})
	require.NotNil(t, n)
	assert.Equal(t, strings.Join([]string{
		"Kittiwake: Clean and seal, changed.", "Thu 10 Sep 2026 07:00 EDT", "",
		"- seal, port side: Fri 11 Sep 08:00-09:00 → Sat 12 Sep 08:00-09:00", "",
		"Now: go; plan of 1 block on 2 days, first seal, port side Sat 12 Sep 08:00-09:00", "",
		"Weather of the demo", answer.WatchDeferral, "",
	}, "\n"), message(n))
	n.Limits = []string{"my-sealant wind 14 m/s is looser than the class's hard 9 m/s: your label outranks it"}
	assert.Contains(t, message(n), "\nNote: "+n.Limits[0]+".\n")
	for range 20 {
		n.Changes = append(n.Changes, change("plan", "a", "b"))
	}
	assert.Contains(t, message(n), "- 9 more\n")
	n.Failure = &answer.Failure{Fix: "mend it"}
	assert.Contains(t, message(n), "To do: mend it\n")
}

// A label looser than its class's hard bound stays on what is told of the week.
func TestNewsTellsOfYourOwnLimits(t *testing.T) {
	w := weekOf(t, "9 06:00", work(t, "seal", "port side", "11 08:00"))
	w.Refusals = append(w.Refusals, answer.Refusal{Step: "seal", Product: "my-sealant"})
	w.Own = append(w.Own, answer.OwnLimit{Product: "my-sealant", Text: "my-sealant wind 14 m/s is looser than the class's hard 9 m/s: your label outranks it"})
	n, _ := decide(Told{}, see(Asked{Week: w}, "f", at(t, "9 06:00")))
	require.Len(t, n.Limits, 1)
	assert.Equal(t, "my-sealant wind 14 m/s is looser than the class's hard 9 m/s: your label outranks it", n.Limits[0])
	var out strings.Builder
	require.NoError(t, Terminal{Out: &out}.Tell(t.Context(), n))
	assert.Contains(t, out.String(), "\n   note: "+n.Limits[0]+"\n")
}

func TestHostileNamesInMessages(t *testing.T) {
	w := weekOf(t, "9 06:00", work(t, "seal\r\nX: y", "port\x1b[31m\u202eside", "11 08:00"))
	w.Job, w.Boat = "a\r\nBcc: x@y.example", "b\x00\u2066"
	n, _ := decide(Told{}, see(Asked{Week: w}, "f", at(t, "9 06:00")))
	for _, text := range []string{subject(n), strings.ReplaceAll(message(n), "\n", " ")} {
		assert.NotContains(t, text, "\r")
		assert.NotContains(t, text, "\n")
		assert.NotContains(t, text, "\x1b")
		assert.NotContains(t, text, "\u202e")
		assert.NotContains(t, text, "\x00")
	}
	assert.Equal(t, "b: a Bcc: x@y.example, watched from now on", subject(n))
}

func TestSubjects(t *testing.T) {
	n := &answer.Watch{Kind: answer.WatchLost, File: "/jobs/kittiwake.yaml"}
	for status, want := range map[string]string{
		answer.WatchStale: "kittiwake.yaml, the forecast is too old for today", answer.WatchOffline: "kittiwake.yaml, no forecast to be had",
		answer.WatchBadJob: "kittiwake.yaml, cannot be answered", answer.WatchUnknown: "kittiwake.yaml, unknown",
	} {
		n.Status = status
		assert.Equal(t, want, subject(n))
	}
	n.Kind = answer.WatchEnded
	assert.Equal(t, "kittiwake.yaml, the job is over", subject(n))
}

func TestStanding(t *testing.T) {
	w := weekOf(t, "9 06:00", work(t, "seal", "port side", "11 08:00"), work(t, "wash", "port side", "10 08:00"))
	w.Plan.Consents, w.Plan.State = 1, answer.Marginal
	assert.Equal(t, "go; plan of 2 blocks on 2 days, first wash, port side Thu 10 Sep 08:00-09:00; 1 block of it marginal: needs your yes",
		standing(seen{week: w, status: answer.WatchOK}))
	w.Plan.Part = &answer.Part{What: "all but transom"}
	assert.Contains(t, standing(seen{week: w, status: answer.WatchOK}), "go; plan of a part of the job, 2 blocks on 2 days, first wash")
	w.Plan.Part = nil
	w.Plan.Accepted = true
	assert.NotContains(t, standing(seen{week: w, status: answer.WatchOK}), "yes", "the job gives it")
	w.Plan.Blocks = nil
	assert.Equal(t, "go; all work is done", standing(seen{week: w, status: answer.WatchOK}))
	w.Plan = nil
	assert.Equal(t, "go", standing(seen{week: w, status: answer.WatchOK}))
	assert.Equal(t, "no answer", standing(seen{}))
}
