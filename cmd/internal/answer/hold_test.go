package answer

import (
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Under a tent or in a shed solvents stay in the air, and people are told so; a sheet that
// only keeps the sun off does not close anything in.
func TestHazards_ClosedIn(t *testing.T) {
	for name, c := range map[string]struct {
		cover job.Cover
		want  bool
	}{
		"a tent": {job.Cover{Kind: boat.Canvas, Tent: true}, true}, "a shed": {job.Cover{Kind: boat.Shed}, true}, "a sheet": {job.Cover{Kind: boat.Canvas}, false},
	} {
		b := newBoard(t, "seal")
		b.f.Job.Covers = []job.Cover{c.cover}
		assert.Equal(t, c.want, newBuilder(b.f).hazards().Enclosed, name)
	}
	b := newBoard(t, "seal")
	assert.False(t, newBuilder(b.f).hazards().Enclosed, "in the open")
	b.f.Job.Zones[1].Shelter = boat.Shed
	assert.True(t, newBuilder(b.f).hazards().Enclosed, "one zone of it is in a shed")
}

// A warning that is in force now is passed on even where the asked hours lie later, and one
// that ends before them is not told as if it were theirs.
func TestInForce_AskedOfLaterHours(t *testing.T) {
	b := newBoard(t, "seal")
	alert := func(from, until string) {
		a := forecast.Alert{Event: "Gale Warning", Severity: forecast.Severe, Sender: "an office", Source: "NWS"}
		if from != "" {
			a.From = clock(t, "2026-09-"+from)
		}
		if until != "" {
			a.Until = clock(t, "2026-09-"+until)
		}
		b.f.Forecast.Alerts = []forecast.Alert{a}
	}
	told := func() int {
		build := newBuilder(b.f)
		return len(build.inForce(b.slot("+08:00"), b.slot("+12:00")))
	}
	for _, c := range []struct {
		from, until string
		want        int
	}{
		{"10 04:00", "10 09:00", 1}, // now is six o'clock
		{"11 09:00", "11 10:00", 1},
		{"11 13:00", "11 20:00", 0},
		{"09 04:00", "10 05:00", 0},
		{"", "", 1},
		{"", "10 05:00", 0},
	} {
		alert(c.from, c.until)
		assert.Equal(t, c.want, told(), "from %q until %q", c.from, c.until)
	}
}

// Moving the hand-over is a way to get on that says what it costs: the day that was
// promised. Nobody's yes but the owner's is asked in silence.
func TestLadder_SaysWhatAWayCosts(t *testing.T) {
	b := planBoard(t)
	rung := func(way window.Way, change func(*window.Rung)) Rung {
		r := window.Rung{Way: way, Tried: true, Whole: true, Job: b.f.Job, Result: b.f.Result, Planned: sealed(b), What: "what is changed"}
		if change != nil {
			change(&r)
		}
		list := NewLadder(b.f, []window.Rung{r})
		require.Len(t, list, 1)
		return list[0]
	}
	next := rung(window.WayNext, nil)
	assert.True(t, next.Works)
	assert.Equal(t, []string{"the promised day is not kept: done Thu 10 Sep 14:20"}, next.Other)
	assert.Empty(t, next.Why)
	sheet := rung(window.WaySheet, nil)
	assert.Contains(t, strings.Join(sheet.Other, " "), "take it away in wind")
	assert.Equal(t, "owner", rung(window.WayClass, nil).Asks)
	assert.Equal(t, "marina", rung(window.WayTurn, nil).Asks)
	part := rung(window.WaySheet, func(r *window.Rung) { r.Whole, r.Rest = false, 3 })
	assert.Contains(t, strings.Join(part.Other, " "), "3 steps on zones stay for later")
	none := rung(window.WayNext, func(r *window.Rung) { r.Tried, r.Why = false, "there is nothing to move" })
	assert.Nil(t, none.Plan)
	assert.False(t, none.Works)
	assert.Equal(t, "there is nothing to move", none.Why)
	assert.NotNil(t, none.Other, "a list is a list")
}

// Whatever the stretches of a day: what the morning says of a step is what its row says of
// the slot of now, or that a good hour is too short for the work; the step may begin in every
// slot from first to last and in none before, by itself or, where the day has no such slot,
// with a yes.
func TestMorning_FirstAndLastAreOfTheRow(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := random(t, rt)
		m := NewMorning(b.f)
		grid := b.f.Result.Grid
		now := grid.Index(b.f.Now)
		for _, s := range m.Steps {
			row := rowOf(b, s.Step, s.Zone)
			state, limit := stateAt(row, now)
			if limit == verdict.Hours && s.State == "unknown" {
				state = verdict.Unknown // before the hours of a day of which nothing is known
			}
			assert.Equal(rt, begun(row, now, state).String(), s.State, "%s on %s", s.Step, s.Zone)
			if s.First == nil {
				continue
			}
			passes := func(i int) bool {
				at, _ := stateAt(row, i)
				at = begun(row, i, at)
				return at <= verdict.Go || at.Workable() && (s.NeedsConsent || b.f.Job.AcceptMargin)
			}
			first, last := grid.Index(*s.First), grid.Index(*s.Last)
			at, _ := stateAt(row, first)
			assert.Equal(rt, begun(row, first, at).String(), s.FirstState)
			for i := now; i <= last; i++ {
				assert.Equal(rt, i >= first, passes(i), "slot %d of %d to %d", i, first, last)
			}
		}
	})
}

// begun is the state of work begun in a slot: good hours of less than two in one stretch,
// the shortest useful block, need a yes. The boats made by hand have no rates that would
// let a block be shorter.
func begun(r *window.Row, slot int, state verdict.State) verdict.State {
	if state > verdict.Go {
		return state
	}
	good := func(i int) bool { at, _ := stateAt(r, i); return at <= verdict.Go }
	from, to := slot, slot
	for good(from - 1) {
		from--
	}
	for good(to) {
		to++
	}
	if to-from < 12 {
		return verdict.Marginal
	}
	return state
}

func rowOf(b *board, step, zone string) *window.Row {
	z, _ := b.f.Job.Zone(zone)
	for i := range b.f.Result.Rows {
		if r := &b.f.Result.Rows[i]; r.Step == b.step[step] && r.Zone == z {
			return r
		}
	}
	return nil
}

// stateAt is what a row says of a slot.
func stateAt(r *window.Row, slot int) (verdict.State, verdict.Limit) {
	for _, w := range r.Windows {
		if slot >= w.From && slot < w.To {
			return w.State, w.Limit
		}
	}
	for _, x := range r.Refusals {
		if slot >= x.From && slot < x.To {
			return x.State, x.Limit
		}
	}
	return verdict.Unknown, verdict.Data
}

// An answer's times are those of the clock at the place, in every part of it, on the night
// on which that clock changes as well.
func TestWeek_EveryTimeIsOfThePlace(t *testing.T) {
	b := newBoard(t, "wash", "seal")
	for _, s := range []string{"wash", "seal"} {
		for _, z := range []string{"port side", "foredeck"} {
			b.row(s, z, "x hours 07:00;g surface_min 12:00;m wind_max 18:00;x hours end")
		}
	}
	w := NewWeek(b.f)
	_, want := b.f.Now.Zone()
	check := func(what string, at time.Time) {
		_, got := at.Zone()
		assert.Equal(t, want, got, what)
		assert.Zero(t, at.Second(), what)
	}
	check("now", w.Now)
	check("from", w.From)
	check("to", w.To)
	for _, x := range w.Windows {
		check("window", x.From)
		check("window", x.To)
		check("last start", x.LastStart)
		require.NotNil(t, x.Best)
		check("best", x.Best.From)
	}
	for _, x := range w.Refusals {
		check("refusal", x.From)
		if x.Clears != nil {
			check("clears", *x.Clears)
			assert.False(t, x.Clears.Before(x.To))
		}
	}
	for _, z := range w.Zones {
		for _, h := range z.Hours {
			check("hour", h.At)
			assert.Zero(t, h.At.Minute())
		}
	}
}
