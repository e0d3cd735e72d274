package answer

import (
	"strings"
	"testing"
	"time"

	"dewgap/window"
	"dewgap/window/plan"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// movedBoard is a strip wash and a seal on two zones, moved: the seal of the port
// side from 08:00 of the first day to 08:00 of the second.
func movedBoard(t *testing.T) MoveFacts {
	b := newBoard(t, "strip wash", "seal")
	for _, step := range []string{"strip wash", "seal"} {
		for _, zone := range []string{"port side", "foredeck"} {
			b.row(step, zone, "g none end")
		}
	}
	at := func(text string) int { return b.slot(text) - b.f.Result.From }
	tasks := []window.PlanTask{
		{Row: 2, Step: 1, Zone: 0, Coat: 1, Coats: 1, Part: 1, Parts: 1, AreaM2: 18, PersonHours: 4},
		{Row: 3, Step: 1, Zone: 1, Coat: 1, Coats: 1, Part: 1, Parts: 1, PersonHours: 2},
	}
	blocks := []plan.Block{
		{Task: 1, From: at("10:00"), WorkTo: at("12:00"), To: at("12:00"), People: []int{1}, State: verdict.Go, Confidence: 1, Dried: -1},
		{Task: 0, From: at("+08:00"), WorkTo: at("+10:00"), To: at("+10:00"), People: []int{1, 2}, State: verdict.Go, Confidence: 0.9, Dried: -1},
	}
	p := &window.Planned{
		Result: plan.Result{Found: true, Blocks: blocks, Confidence: 0.9, Proven: plan.Criteria, Score: plan.Score{FivePoints: 18, Days: 2, Finish: at("+10:00")}},
		Tasks:  tasks, Input: plan.Input{Tasks: make([]plan.Task, 2)},
	}
	m := &window.Moved{
		Job: b.f.Job, Origin: []int{0, 1}, Result: b.f.Result, Planned: p, Blocks: 2, Moved: 1, Proven: true, Least: 1,
		Changes: []window.Change{
			{Became: window.Kept, Old: 1, New: 0, Other: -1},
			{Became: window.Shifted, Old: 0, New: 1, Why: window.WhyWeather, Limit: verdict.RainFree, Other: -1},
		},
		Handover: window.Handover{By: clock(t, "2026-09-12 00:00"), Promised: true, Kept: true, Proven: true, Ends: clock(t, "2026-09-11 10:00")},
	}
	old := []PlanBlock{
		{From: clock(t, "2026-09-10 08:00"), To: clock(t, "2026-09-10 10:00"), Step: "seal", Zone: "port side", People: []int{1, 2}},
		{From: clock(t, "2026-09-10 10:00"), To: clock(t, "2026-09-10 12:00"), Step: "seal", Zone: "foredeck", People: []int{1}},
	}
	return MoveFacts{Facts: b.f, Given: b.f.Job, Moved: m, Old: old}
}

func TestNewMove(t *testing.T) {
	m := NewMove(movedBoard(t))
	assert.Equal(t, MoveFormat, m.Format)
	assert.Equal(t, Go, m.Verdict)
	require.Len(t, m.Changes, 2)
	assert.Equal(t, "kept", m.Changes[0].Change)
	c := m.Changes[1]
	assert.Equal(t, "moved", c.Change)
	assert.Equal(t, "rain_free", c.Limit)
	assert.Contains(t, c.Text, "rain follows too soon")
	assert.Equal(t, "2026-09-10 08:00", c.Before.From.Format("2006-01-02 15:04"))
	assert.Equal(t, "2026-09-11 08:00", c.After.From.Format("2006-01-02 15:04"))
	assert.Equal(t, "hand-over Fri 11 Sep stands", m.Handover.Text)
	assert.Nil(t, m.RainMM)
	assert.Equal(t, []string{
		"The plan for Kittiwake has been looked at again.",
		"Work goes on on Thursday 10 September (seal) and Friday 11 September (seal).",
		"The boat is ready Friday 11 September: the promised day stands.",
		"What could change it is the weather on Friday 11 September: the seal is the least sure.",
	}, m.Owner)
	for _, list := range []int{len(m.Rain), len(m.Zones), len(m.Ladder), len(m.Undone)} {
		assert.Zero(t, list)
	}
	assert.NotNil(t, m.Ladder, "an empty list is [] in JSON")
}

// What is over and not written down yet stays in the plan where it was agreed, to be
// logged; it is no weather to come, and a plan of nothing else is not said to be done.
func TestMoveKeepsWhatIsToBeLogged(t *testing.T) {
	f := movedBoard(t)
	f.Now = clock(t, "2026-09-10 10:30")
	f.Old[0].Confidence = 0.4
	f.Moved.Changes[1] = window.Change{Became: window.Kept, Why: window.WhyUnlogged, Old: 0, New: -1, Other: -1}
	f.Moved.Planned.Blocks = f.Moved.Planned.Blocks[:1]
	m := NewMove(f)
	require.Len(t, m.Plan.Blocks, 2)
	assert.Equal(t, "08:00", m.Plan.Blocks[0].From.Format("15:04"), "by its start")
	c := m.Changes[1]
	assert.Equal(t, []string{"kept", "unlogged"}, []string{c.Change, c.Reason})
	assert.Equal(t, c.Before, c.After)
	assert.NotContains(t, m.Owner[len(m.Owner)-1], "least sure")

	f.Moved.Planned.Blocks, f.Moved.Changes = nil, f.Moved.Changes[1:]
	m = NewMove(f)
	assert.Contains(t, m.Plan.Why, "all that is left is to log what is done")
	assert.NotContains(t, m.Plan.Why, "everything is done")
}

// The owner is told before 18:00 the day before, or by 07:00 on the day,
// or at once.
func TestTellBy(t *testing.T) {
	f := movedBoard(t)
	told := func(now string) string {
		f.Now = clock(t, now)
		return NewMove(f).TellBy.Format("2 15:04")
	}
	assert.Equal(t, "9 18:00", told("2026-09-09 12:00"))
	assert.Equal(t, "10 07:00", told("2026-09-09 19:00"))
	assert.Equal(t, "10 07:30", told("2026-09-10 07:30"))
	assert.Equal(t, "10 18:00", told("2026-09-10 09:00"), "what was moved away is over, its new day is the next")
}

func TestHandoverText(t *testing.T) {
	f := movedBoard(t)
	text := func(change func(h *window.Handover)) string {
		m := *f.Moved
		h := m.Handover
		change(&h)
		m.Handover = h
		g := f
		g.Moved = &m
		return NewMove(g).Handover.Text
	}
	assert.Equal(t, "done by Fri 11 Sep as before", text(func(h *window.Handover) { h.Promised = false }))
	assert.Equal(t, "no day was promised", text(func(h *window.Handover) { h.By = time.Time{} }))
	late := func(h *window.Handover) { h.Kept, h.Days, h.Ends = false, 2, clock(t, "2026-09-13 11:00") }
	assert.Equal(t, "hand-over Fri 11 Sep cannot be kept: done Sun 13 Sep 11:00", text(late))
	assert.Equal(t, "no plan was found that keeps the hand-over Fri 11 Sep: done Sun 13 Sep 11:00; the launch has to move as well",
		text(func(h *window.Handover) { late(h); h.Proven, h.Must = false, "launch" }))
	assert.Equal(t, "everything is done", text(func(h *window.Handover) { h.Ends = time.Time{} }))
	f.Moved.Planned = &window.Planned{Result: plan.Result{Refusal: &plan.Refusal{Task: -1, Limit: "order", Certain: true}}}
	f.Moved.Changes = []window.Change{{Became: window.Homeless, Old: 0, New: -1, Other: -1}}
	m := NewMove(f)
	assert.Equal(t, None, m.Verdict)
	assert.Contains(t, m.Handover.Text, "there is no plan")
	assert.Equal(t, "no plan has a place for it", m.Changes[0].Text)
	assert.Contains(t, strings.Join(m.Owner, " "), "no plan")
}

// What to do with each part of a zone, in words, and the run-off of rinsing.
func TestFateTexts(t *testing.T) {
	f := movedBoard(t)
	at := clock(t, "2026-09-10 11:00")
	f.Moved.Rain = []window.Rain{{From: at.Add(time.Hour), To: at.Add(2 * time.Hour), MM: 4, HasMM: true, Observed: true}, {From: at.Add(3 * time.Hour), To: at.Add(4 * time.Hour)}}
	part := window.ZoneFate{Zone: 0, Step: 1, Share: 0.5, AreaM2: 9, From: at, To: at, WantH: 4, HardH: 2}
	text := func(change func(x *window.ZoneFate)) string {
		x := part
		change(&x)
		f.Moved.Fates = []window.ZoneFate{x}
		return NewMove(f).Zones[0].Text
	}
	assert.Equal(t, "no rain since", text(func(x *window.ZoneFate) { x.Rain = -1 }))
	assert.Contains(t, text(func(x *window.ZoneFate) { x.Roofed = true }), "did not reach it")
	assert.Equal(t, "on for 4.5 h before the rain, 4 h wanted: nothing lost", text(func(x *window.ZoneFate) { x.LeastH, x.MostH = 4.59, 5 }))
	assert.Contains(t, text(func(x *window.ZoneFate) { x.Fate, x.LeastH, x.MostH = window.Inspect, 2.5, 3.67 }), "2.5 h to 3.6 h before the rain (at least 2 h, want 4 h)")
	hazing := text(func(x *window.ZoneFate) { x.Fate, x.Hazing = window.Redo, true })
	assert.Contains(t, hazing, "do not wipe it")
	assert.Contains(t, hazing, "run-off off the buffed ones")
	redo := text(func(x *window.ZoneFate) { x.Fate, x.LeastH, x.MostH = window.Redo, 1, 1 })
	assert.Contains(t, redo, "blot it, rinse, strip and do it again")
	assert.Contains(t, redo, "never wiped", "what is not wiped yet")
	assert.Contains(t, text(func(x *window.ZoneFate) { x.Fate = window.Rewash }), "nothing else is lost")
	assert.Contains(t, text(func(x *window.ZoneFate) { x.Rinsed, x.Driven = true, true }), "the rain rinsed loose salt off")
	m := NewMove(f)
	assert.Nil(t, m.RainMM, "one spell was not measured")
	assert.InDelta(t, 4, *m.Rain[0].MM, 0)
	assert.Nil(t, m.Rain[1].MM)
	assert.Equal(t, "Rain fell on Kittiwake from Thursday 12:00 to 13:00 and from 14:00 to 15:00.", m.Owner[0])
	assert.Equal(t, "Nothing of the work is lost.", m.Owner[1])
}

// Every reason has words of its own.
func TestReasonTexts(t *testing.T) {
	f := movedBoard(t)
	seen := map[string]bool{}
	for why := window.WhyStands; why <= window.WhyNew; why++ {
		f.Moved.Changes[1] = window.Change{Became: window.Shifted, Old: 0, New: 1, Why: why, Limit: verdict.Film, Clock: "recoat", Other: 0}
		c := NewMove(f).Changes[1]
		assert.NotEmpty(t, c.Text)
		assert.Equal(t, why.String(), c.Reason)
		if why != window.WhyStands {
			assert.False(t, seen[c.Text], "%s: %s", c.Reason, c.Text)
			seen[c.Text] = true
		}
		if why == window.WhyOrder {
			assert.Equal(t, "after seal on foredeck, Thu 10 Sep 10:00 to 12:00", c.Text)
		}
	}
}

func TestNewLadder(t *testing.T) {
	f := movedBoard(t)
	rungs := []window.Rung{
		{Way: window.WayShelter, Why: "none"},
		{Way: window.WayClass, Tried: true, Whole: true, What: "another", Job: f.Job, Result: f.Result, Planned: f.Moved.Planned},
		{Way: window.WayWet, Tried: true, Rest: 1, Job: f.Job, Result: f.Result, Planned: f.Moved.Planned},
		{Way: window.WayNext, Tried: true, Whole: true, Job: f.Job, Result: f.Result, Planned: &window.Planned{Result: plan.Result{Refusal: &plan.Refusal{Task: -1, Limit: "block"}}}},
	}
	got := NewLadder(f.Facts, rungs)
	require.Len(t, got, 4)
	assert.False(t, got[0].Works)
	assert.Nil(t, got[0].Plan)
	assert.Equal(t, "owner", got[1].Asks)
	assert.True(t, got[1].Works)
	assert.Len(t, got[1].Plan.Blocks, 2)
	assert.Equal(t, []string{"1 step on one zone stays for later"}, got[2].Other)
	assert.False(t, got[3].Works)
	assert.Contains(t, got[3].Why, "no plan was found")
	assert.NotNil(t, NewLadder(f.Facts, nil))
}
