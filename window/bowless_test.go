package window_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// facesJob is a sealJob of which the sides are told by the compass alone.
func facesJob(t testing.TB) *job.Job {
	j := sealJob(t)
	j.HasBow, j.Berths = false, nil
	for i := range j.Zones[:2] {
		j.Zones[i].FacesTrue, j.Zones[i].Quarter, j.Zones[i].AreaM2 = true, true, 0
	}
	return j
}

// Without a bow the windows are told face by face, but no work is booked on faces that
// are no sides of hers, and there is no way to get on but to tell the bow.
func TestPlan_NeedsTheBow(t *testing.T) {
	f, j := calm(8), facesJob(t)
	b := planned(t, f, j)
	require.False(t, b.Found)
	assert.Equal(t, window.NoBow, b.Refusal.Limit)
	assert.True(t, b.Refusal.Certain)
	assert.Empty(t, b.Notes, "nothing is assumed of what is not planned")
	assert.NotEmpty(t, b.r.Rows[0].Windows)
	rungs, err := window.Ladder(window.LadderInput{
		Input: window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start}, Refused: b.Planned, Result: b.r,
	})
	require.NoError(t, err)
	assert.Empty(t, rungs)

	m := moved(t, moving(t, f, j, f.Start))
	assert.False(t, m.Planned.Found)
	assert.Equal(t, window.NoBow, m.Planned.Refusal.Limit)
	assert.True(t, m.Handover.Proven)

	for i := range j.Zones[:2] {
		j.Zones[i].Quarter = false
	}
	assert.True(t, planned(t, f, j).Found, "a face that the job itself names by the compass is a side of hers")
}

// Work on level decks alone hangs on no bow, nor does what is done already.
func TestPlan_BooksDecksWithoutABow(t *testing.T) {
	j := facesJob(t)
	for s := range j.Steps {
		j.Steps[s].On = []int{2}
	}
	b := planned(t, calm(8), j)
	require.True(t, b.Found)
	assert.Len(t, b.Blocks, len(j.Steps))

	j = facesJob(t)
	for i := range j.Zones[:2] {
		j.Zones[i].Done = map[string]boat.Done{}
		for _, s := range j.Steps {
			j.Zones[i].Done[s.Name] = boat.Done{At: calm(1).Start, Share: 1}
		}
	}
	assert.True(t, planned(t, calm(8), j).Found)
}
