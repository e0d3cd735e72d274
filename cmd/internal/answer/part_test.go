package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dewgap/window"
)

// partly is a part of a job with its transom left out.
func partly() *Part {
	return &Part{
		What: "all but correct on transom; seal there falls with it", Rest: 2, Why: "correct on transom has no place: water on the panel",
		Out: []WorkName{{Step: "correct", Zone: "transom"}, {Step: "seal", Zone: "transom"}},
	}
}

// What is not in a part of a job is known by its names; of a plan of all of it nothing is left out.
func TestPartLeavesOut(t *testing.T) {
	p := partly()
	assert.True(t, p.LeavesOut(WorkName{Step: "seal", Zone: "transom"}))
	assert.False(t, p.LeavesOut(WorkName{Step: "wash", Zone: "transom"}))
	assert.False(t, p.LeavesOut(WorkName{Step: "seal", Zone: "transom", Redo: true}))
	p = nil
	assert.False(t, p.LeavesOut(WorkName{Step: "seal", Zone: "transom"}))
}

// A plan of a part is told as one in the lines that say what it comes to, and the way that had it
// is gone: it is what will be done.
func TestTakePart(t *testing.T) {
	part := partly()
	part.Why = ""
	plan := &Plan{State: Go, Why: []string{"2 blocks on 1 day, done Tue 8 Sep 15:00"}}
	none := &Plan{State: None, Why: []string{"correct on transom has no place: water on the panel", "and a note"}, ForOwner: []string{"the crew is on another boat"}}
	ways := []Rung{{Way: "helper", Works: true, Plan: &Plan{State: Go}}, {Way: "rest", Works: true, Plan: plan, part: part}, {Way: "sheet"}}
	assert.Same(t, plan, none.part(ways))
	assert.Equal(t, partly(), plan.Part)
	assert.Equal(t, []string{
		"a part of the job, all but correct on transom; seal there falls with it",
		"why not the whole job: correct on transom has no place: water on the panel",
		"2 blocks on 1 day, done Tue 8 Sep 15:00",
	}, plan.Why)
	assert.Equal(t, none.ForOwner, plan.ForOwner)
	assert.Nil(t, none.part([]Rung{ways[0], ways[2]}), "no other way is of the job as it stands")
}

// Only the lesser part left out is taken up, and only where it has a plan.
func TestNewPart(t *testing.T) {
	found := &window.Planned{}
	found.Found = true
	for name, r := range map[string]window.Rung{
		"another way":  {Way: window.WaySheet, Tried: true, Planned: found},
		"not tried":    {Way: window.WayRest},
		"without plan": {Way: window.WayRest, Tried: true, Planned: &window.Planned{}},
	} {
		assert.Nil(t, newPart(Facts{}, r), name)
	}
}

// The headline of a plan of a part says so; where the step that is asked about is not in it,
// the day that suits that step is promised to nobody.
func TestInPart(t *testing.T) {
	at := func(day, hour int) time.Time { return time.Date(2026, 9, day, hour, 0, 0, 0, time.UTC) }
	w := &Week{Now: at(7, 6), Headline: &Headline{Step: "seal", Best: []Window{{From: at(8, 7), To: at(8, 12)}}}, Plan: &Plan{State: Go, Part: partly(), Blocks: []PlanBlock{
		{Step: "seal", Zone: "port side", From: at(8, 8), To: at(8, 9), State: Go},
	}}}
	assert.Equal(t, "Planned is a part of the job, all but correct on transom; seal there falls with it", w.InPart())
	assert.Empty(t, w.NoPlan())
	w.Plan.Blocks[0].Step = "wash"
	assert.Equal(t, "correct on transom has no place: water on the panel", w.NoPlan())
	w.Plan.Held = &w.Now
	assert.Equal(t, "the part that is planned has none of it", w.NoPlan(), "why not is of the forecast that it was made of")
	w.Plan.Held, w.Plan.Part = nil, w.Plan.Part.Still(2)
	assert.Equal(t, "the part that is planned has none of it", w.NoPlan())
	w.Plan.Part = nil
	assert.Empty(t, w.InPart())
	assert.Empty(t, w.NoPlan())
	w.Plan = nil
	assert.Empty(t, w.InPart())
}

// Of a part that is moved no promised day is said to stand.
func TestHandoverOfPart(t *testing.T) {
	ends := time.Date(2026, 9, 8, 15, 0, 0, 0, time.UTC)
	b := &moveBuilder{&builder{loc: time.UTC}, MoveFacts{Moved: &window.Moved{}}}
	assert.Equal(t, "a part of the job alone; the rest has no plan yet", b.handoverOfPart("Fri 11 Sep"))
	b.in.Moved.Handover = window.Handover{Promised: true, Ends: ends}
	assert.Equal(t, "a part of the job alone, done Tue 8 Sep 15:00; the rest has no plan yet, and hand-over Fri 11 Sep hangs on that", b.handoverOfPart("Fri 11 Sep"))

	assert.Equal(t, "For the rest there is no day yet.", standsInPart(Handover{}))
	assert.Equal(t, "This part of the work is done Tuesday 8 September. For the rest there is no day yet, so the promised day is open.",
		standsInPart(Handover{Promised: true, Ends: &ends}))
}
