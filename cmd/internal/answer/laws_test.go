package answer

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawn is a row of random stretches: states with a limit that fits them.
func drawn(t *rapid.T, label string) string {
	var parts []string
	for _, until := range []string{"07:00", "08:20", "10:00", "12:00", "14:30", "18:00", "+07:00", "+09:00", "+12:00", "+18:00", "end"} {
		parts = append(parts, rapid.SampledFrom([]string{
			"i none", "g surface_min", "m wind_max", "x rain_free", "x film", "x hours", "u data",
		}).Draw(t, label+until)+" "+until)
	}
	return joinLike(parts)
}

// joinLike merges neighbours that say the same, as the engine's runs are.
func joinLike(parts []string) string {
	var out []string
	for _, p := range parts {
		head := p[:strings.LastIndexByte(p, ' ')]
		if n := len(out); n > 0 && strings.HasPrefix(out[n-1], head+" ") {
			out[n-1] = p
			continue
		}
		out = append(out, p)
	}
	return strings.Join(out, ";")
}

// random is a board of two steps on two zones.
func random(t *testing.T, rt *rapid.T) *board {
	b := newBoard(t, "correct", "seal")
	for _, s := range []string{"correct", "seal"} {
		for _, z := range []string{"port side", "foredeck"} {
			b.row(s, z, drawn(rt, s+z))
		}
	}
	b.f.Now = clock(t, fmt.Sprintf("2026-09-10 %02d:%02d", rapid.IntRange(6, 20).Draw(rt, "hour"), rapid.IntRange(0, 59).Draw(rt, "minute")))
	for i := range b.f.Job.Zones {
		if rapid.Bool().Draw(rt, "corrected") {
			b.f.Job.Zones[i].Done = map[string]boat.Done{"correct": {Share: 1}}
		}
	}
	return b
}

// order is how good a verdict is, best first.
var order = map[string]int{Go: 0, Wait: 1, Marginal: 2, Unknown: 3, NoGo: 4}

// A yes to marginal work never makes a verdict worse, and never turns data that
// are missing into a go of its own.
func TestConsentNeverHurts(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := random(t, rt)
		week, morning := NewWeek(b.f).Verdict, NewMorning(b.f).Verdict
		b.f.Job.AcceptMargin = true
		assert.LessOrEqual(rt, order[NewWeek(b.f).Verdict], order[week])
		assert.LessOrEqual(rt, order[NewMorning(b.f).Verdict], order[morning])
		assert.NotEqual(rt, Marginal, NewMorning(b.f).Verdict, "nothing is left to ask for")
	})
}

// What becomes worse never makes a verdict better.
func TestMissingNeverHelps(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := random(t, rt)
		b.f.Job.AcceptMargin = rapid.Bool().Draw(rt, "accept")
		week, morning := NewWeek(b.f).Verdict, NewMorning(b.f).Verdict
		for i := range b.f.Result.Rows {
			r := &b.f.Result.Rows[i]
			if len(r.Windows) == 0 {
				continue
			}
			k := rapid.IntRange(0, len(r.Windows)-1).Draw(rt, "window")
			run := r.Windows[k].Run
			run.State, run.Limit, run.Binding = verdict.Unknown, verdict.Data, verdict.Binding{Limit: verdict.Data}
			r.Windows = append(append([]window.Window{}, r.Windows[:k]...), r.Windows[k+1:]...)
			r.Refusals = append(r.Refusals, run)
			b.rank(r.Step)
		}
		// An unknown where there was marginal work outranks no-go; both are no go.
		if got := NewWeek(b.f).Verdict; week != NoGo {
			assert.GreaterOrEqual(rt, order[got], order[week])
		}
		if got := NewMorning(b.f).Verdict; order[morning] < order[Unknown] {
			assert.GreaterOrEqual(rt, order[got], order[morning])
		}
	})
}

// ranked is the seal window of a rank.
func ranked(b *board, rank int) window.Ref { return b.f.Result.Ranked[1][rank-1] }

func TestHeadlineLaws(t *testing.T) {
	good := func(w Window) bool { return w.State != "marginal" && !w.Short }
	rapid.Check(t, func(rt *rapid.T) {
		b := random(t, rt)
		h := headed(b.f)
		require.NotNil(rt, h)
		for _, list := range [][]Window{h.Best, h.Next} {
			for i, w := range list {
				assert.Equal(rt, list[0].Best.From.YearDay(), w.Best.From.YearDay(), "one day")
				assert.Equal(rt, good(list[0]), good(w), "ones that a good block fits into, or the others")
				if i > 0 {
					assert.False(rt, w.From.Before(list[i-1].From), "in order of start")
				}
				assert.Equal(rt, "seal", w.Step)
			}
		}
		if len(h.Best) == 0 {
			assert.Empty(rt, h.Next)
			assert.Empty(rt, b.f.Result.Ranked[1], "there is a best day wherever there is a window")
			return
		}
		rank := h.Best[0].Rank
		for _, w := range h.Best {
			rank = min(rank, w.Rank)
		}
		made := newBuilder(b.f)
		reached := made.inTime(ranked(b, h.Best[0].Rank))
		for _, w := range NewWeek(b.f).Windows {
			if w.Step == "seal" && w.Rank < rank && (!reached || made.inTime(ranked(b, w.Rank))) {
				assert.True(rt, good(h.Best[0]) && !good(w), "the best day is that of the best window that a good block fits into in time")
			}
		}
		if len(h.Next) > 0 {
			assert.NotEqual(rt, h.Best[0].Best.From.YearDay(), h.Next[0].Best.From.YearDay())
		}
		first := h.Best[0].Best.From.Format("Mon 2 Jan")
		for _, why := range h.WhyNot {
			assert.NotContains(rt, why, first, "only what comes before")
		}
	})
}

func TestMorningLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := random(t, rt)
		b.f.Job.AcceptMargin = rapid.Bool().Draw(rt, "accept")
		m := NewMorning(b.f)
		workable := map[string]bool{"ideal": true, "go": true, "marginal": b.f.Job.AcceptMargin}
		goNow, asked := false, map[string]int{}
		for i, s := range m.Steps {
			if s.Asked {
				asked[s.Zone]++
				goNow = goNow || workable[s.State]
				assert.False(rt, s.Done)
			}
			if s.First != nil {
				assert.False(rt, s.Last.Before(*s.First))
				assert.False(rt, s.First.Before(m.Now.Add(-10*time.Minute)), "from now on")
				assert.Equal(rt, m.Now.Day(), s.Last.Day(), "today")
				assert.NotEmpty(rt, s.Best)
				wide := workable["marginal"] || s.NeedsConsent
				for at := *s.First; !at.After(*s.Last); at = at.Add(10 * time.Minute) {
					run, ok, _ := newBuilder(b.f).runAt(&b.f.Result.Rows[i], b.f.Result.Grid.Index(at))
					assert.True(rt, ok && (wide || run.State <= verdict.Go), "one may begin at any time up to the last start")
				}
			} else {
				assert.Empty(rt, s.Best)
			}
			assert.NotEmpty(rt, s.Binding.Text)
		}
		assert.Equal(rt, goNow, m.Verdict == Go)
		assert.Equal(rt, map[string]int{"port side": 1, "foredeck": 1}, asked, "one step a zone")
		assert.Equal(rt, m.Verdict == Wait, m.WaitUntil != nil)
		if m.WaitUntil != nil {
			assert.True(rt, m.WaitUntil.After(m.Now.Add(-10*time.Minute)))
			assert.Equal(rt, m.Now.Day(), m.WaitUntil.Day())
			assert.False(rt, m.NextReading.After(*m.WaitUntil) && m.NextReading.After(m.Now))
		}
	})
}

func TestWeekLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := random(t, rt)
		w := NewWeek(b.f)
		ranks := map[string][]bool{}
		for _, x := range w.Windows {
			assert.True(rt, x.From.Before(x.To))
			assert.True(rt, x.LastStart.Before(x.To) && !x.LastStart.Before(x.From))
			if len(ranks[x.Step]) == 0 {
				ranks[x.Step] = make([]bool, len(w.Windows))
			}
			assert.False(rt, ranks[x.Step][x.Rank-1], "a rank is given once a step")
			ranks[x.Step][x.Rank-1] = true
		}
		for _, x := range w.Refusals {
			if x.Clears != nil {
				assert.False(rt, x.Clears.Before(x.To), "it clears no earlier than it ends")
			}
			assert.Contains(rt, []string{"no-go", "unknown"}, x.State)
		}
		var one, two bytes.Buffer
		require.NoError(rt, Write(&one, w))
		require.NoError(rt, Write(&two, NewWeek(b.f)))
		assert.Equal(rt, one.String(), two.String())
		var back Week
		require.NoError(rt, json.Unmarshal(one.Bytes(), &back))
		var three bytes.Buffer
		require.NoError(rt, Write(&three, back))
		assert.Equal(rt, one.String(), three.String(), "nothing is lost on the way")
	})
}
