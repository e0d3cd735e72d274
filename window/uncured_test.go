package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// sealedBelow is a job with the port side sealed at a moment, starboard ten minutes
// later, and the deck above them, whose water runs down, still to do.
func sealedBelow(t require.TestingT, at time.Time) *job.Job {
	j := shedding(t)
	for z := range 2 {
		j.Zones[z].Done = map[string]boat.Done{}
		for k, s := range j.Steps {
			j.Zones[z].Done[s.Name] = boat.Done{At: at.Add(time.Duration(10*z+180*(k-3)) * time.Minute), Share: 1}
		}
	}
	return j
}

// The film that lies longest wet counts: a polymer sealant for its usual four hours
// without rain, its haze where that takes longer.
func TestUncuredBelow(t *testing.T) {
	at := calm(4).Start.Add(10 * time.Hour)
	j := sealedBelow(t, at)
	below := func(zone int, now time.Time) (window.Uncured, bool) {
		return window.UncuredBelow(j, catalogue(t), zone, now)
	}
	now := at.Add(20 * time.Minute)
	u, ok := below(2, now)
	require.True(t, ok)
	last := at.Add(10 * time.Minute)
	assert.Equal(t, window.Uncured{Step: 3, Zone: 1, At: last, Until: last.Add(4 * time.Hour)}, u)
	u, _ = below(2, at)
	assert.Equal(t, 0, u.Zone, "starboard is not sealed yet")
	_, ok = below(2, u.Until.Add(10*time.Minute))
	assert.False(t, ok, "cured")
	_, ok = below(0, now)
	assert.False(t, ok, "nothing lies below a side")

	j.Steps[3].HazeMin = 300
	u, _ = below(2, now)
	assert.True(t, last.Add(5*time.Hour).Equal(u.Until), "until it is wiped off")

	j.Zones[2].RunsOnto = []string{"port side"}
	u, _ = below(2, now)
	assert.Equal(t, 0, u.Zone)
	j.Zones[0].Done["seal"] = boat.Done{Share: 1}
	_, ok = below(2, now)
	assert.False(t, ok, "nobody says when")
	j.Zones[0].Done["seal"] = boat.Done{At: at}
	_, ok = below(2, now)
	assert.False(t, ok, "none of it is done")
}

// What would wet the film below is refused until then, and nothing else; without
// being asked, rows tell of the weather alone.
func TestEvaluateKeepsDry(t *testing.T) {
	f := calm(4)
	at := f.Start.Add(10 * time.Hour)
	now := at.Add(20 * time.Minute)
	in := window.Input{Forecast: f, Job: sealedBelow(t, at), Classes: catalogue(t), Location: eastern, Now: now}
	free, err := window.Evaluate(in)
	require.NoError(t, err)
	in.KeepDry = true
	kept, err := window.Evaluate(in)
	require.NoError(t, err)
	until := at.Add(4*time.Hour + 10*time.Minute)
	held := 0
	for i := range kept.Rows {
		row := &kept.Rows[i]
		if step := in.Job.Steps[row.Step]; row.Zone != 2 || step.Do == "seal" {
			assert.Equal(t, free.Rows[i].Slots, row.Slots, "%s on %s", step.Name, in.Job.Zones[row.Zone].Name)
			continue
		}
		held++
		for k := range row.Slots.State {
			slot := kept.Grid.At(kept.From + k)
			was, is := free.Rows[i].Slots, row.Slots
			if slot.Before(until) && was.State[k].Workable() {
				assert.Equal(t, verdict.Order, is.Limit[k], "%v", slot)
				assert.Equal(t, verdict.NoGo, is.State[k], "%v", slot)
				continue
			}
			assert.Equal(t, was.State[k], is.State[k], "%v", slot)
		}
	}
	assert.Equal(t, 3, held, "wash, correct and strip wash of the deck")

	x, err := window.Explain(in, 2, "soap-wash", now)
	require.NoError(t, err)
	assert.Equal(t, []any{verdict.NoGo, verdict.Order}, []any{x.State, x.Binding.Limit})
	for _, h := range x.Limits {
		assert.False(t, h.Limit == verdict.Section && h.State == verdict.NoGo, "the weather lets it be washed: %+v", h)
	}
	x, err = window.Explain(in, 2, "soap-wash", until)
	require.NoError(t, err)
	assert.True(t, x.State.Workable())
}

// A plan heeds it whatever the rows were asked for.
func TestPlanKeepsDryWhatIsSealed(t *testing.T) {
	f := calm(4)
	at := f.Start.Add(10 * time.Hour)
	j := sealedBelow(t, at)
	r := evaluate(t, f, j, at.Add(20*time.Minute))
	p, err := window.Plan(r, j, window.PlanSettings{})
	require.NoError(t, err)
	b := booked{p, r, j}
	require.True(t, b.Found, "%+v", b.Refusal)
	sealed := func(step string) (ends time.Time) {
		for _, a := range b.Input.Tasks[b.task(t, step, "foredeck", 1)].After {
			if a.Task < 0 && a.Limit == "order" {
				ends = b.at(a.End)
			}
		}
		return ends
	}
	until := at.Add(4*time.Hour + 10*time.Minute)
	for _, step := range []string{"wash", "correct", "strip wash"} {
		assert.True(t, until.Equal(sealed(step)), "%s: %v", step, sealed(step))
		assert.False(t, b.at(b.one(t, step, "foredeck").From).Before(until), step)
	}
	assert.Zero(t, sealed("seal"), "a film runs nowhere")
}
