package answer

import (
	"testing"
	"time"

	"dewgap/products"
	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tender is a board whose film is not to be touched for four hours, nor to see soap for a
// week.
func tender(t *testing.T, now string) *board {
	b := sealing(t, now)
	c := b.f.Classes.(classes)["seal-class"]
	c.HandleH = products.Range{Given: true, Min: 2, Max: 4}
	c.NoSoapH = products.Range{Given: true, Min: 120, Max: 168}
	for i := range b.f.Result.Rows {
		if r := &b.f.Result.Rows[i]; r.Class.ID == c.ID {
			r.Class = c
		}
	}
	return b
}

// What is on is to be spared until its hours are over, part by part; what is planned, once it
// is on; what is neither, or spoiled, asks nothing.
func TestCare(t *testing.T) {
	b := tender(t, "10:40")
	assert.Empty(t, NewWeek(b.f).Care, "nothing is on")
	on := clock(t, "2026-09-10 10:30")
	for z := range b.f.Job.Zones {
		b.f.Job.Zones[z].Done = map[string]boat.Done{"wash": {At: on.Add(-2 * time.Hour), Share: 1}, "seal": {At: on, Share: 1}}
	}
	w := NewWeek(b.f)
	require.Len(t, w.Care, 2)
	assert.Equal(t, w.Care, NewMorning(b.f).Care)
	assert.True(t, w.Care[0].TouchAt.Equal(on.Add(4*time.Hour)))
	assert.True(t, w.Care[0].SoapAt.Equal(on.Add(7*24*time.Hour)))
	assert.Equal(t, []string{
		"Nobody touches or walks on the seal on port side and foredeck before 14:30.",
		"No soap on the seal on port side and foredeck before Fri 18 Sep: clean water alone.",
	}, CareLines(w.Care, false, w.Now))
	assert.Empty(t, CareLines(w.Care, true, w.Now), "nothing is planned")
	assert.Equal(t, "Nobody touches or walks on the seal on port side and foredeck before Thu 10 Sep 14:30.",
		CareLines(w.Care, false, w.Now.AddDate(0, 0, -1))[0])

	b.f.Now = clock(t, "2026-09-10 14:30")
	w = NewWeek(b.f)
	require.Len(t, w.Care, 2)
	assert.Nil(t, w.Care[0].TouchAt, "its hours are over")
	b.f.Job.Zones[0].Done["seal"] = boat.Done{At: on, Share: 1, Spoiled: true}
	require.Len(t, NewWeek(b.f).Care, 1, "what has to come off is spared nothing")
}

// The film that a plan puts on counts from the end of its last block, and is told apart from
// the one that is on.
func TestCare_Planned(t *testing.T) {
	b := tender(t, "06:00")
	block := func(from, to string) PlanBlock {
		return PlanBlock{Step: "seal", Zone: "port side", From: clock(t, "2026-09-10 "+from), To: clock(t, "2026-09-10 "+to)}
	}
	w := NewWeek(b.f)
	w.TakePlan(b.f, &Plan{State: Go, Blocks: []PlanBlock{block("13:00", "15:00"), block("09:00", "11:00")}})
	require.Len(t, w.Care, 1)
	assert.True(t, w.Care[0].Planned)
	assert.Equal(t, "15:00", w.Care[0].On.Format("15:04"))
	assert.Empty(t, CareLines(w.Care, false, w.Now))
	assert.Equal(t, "All of the seal may be touched and walked on from 19:00.", CareLines(w.Care, true, w.Now)[0])
	assert.Equal(t, "No soap on the seal before Fri 18 Sep: clean water alone.", CareLines(w.Care, true, w.Now)[1])
	w.TakePlan(b.f, nil)
	assert.Empty(t, w.Care)
}

// Of two films on a zone the later one counts: the first lies under it. One that is on and
// one that is still to come both do.
func TestCare_TheLaterFilm(t *testing.T) {
	b := tender(t, "10:40")
	c := b.f.Result.Rows[len(b.f.Result.Rows)-1].Class
	for i := range b.f.Result.Rows {
		b.f.Result.Rows[i].Class = c // the wash leaves one as well
	}
	on := clock(t, "2026-09-10 10:30")
	b.f.Job.Zones[0].Done = map[string]boat.Done{"wash": {At: on.Add(-time.Hour), Share: 1}, "seal": {At: on, Share: 1}}
	w := NewWeek(b.f)
	require.Len(t, w.Care, 1)
	assert.Equal(t, "seal", w.Care[0].Step)
	b.f.Job.Zones[0].Done = map[string]boat.Done{"wash": {At: on, Share: 1}}
	w.TakePlan(b.f, &Plan{State: Go, Blocks: []PlanBlock{{Step: "seal", Zone: "port side", From: on.Add(5 * time.Hour), To: on.Add(6 * time.Hour)}}})
	require.Len(t, w.Care, 2)
}

// A time that lies beyond the forecast is not made up.
func TestCareLines_Soft(t *testing.T) {
	now := clock(t, "2026-09-10 10:40")
	assert.Equal(t, []string{"Nobody touches or walks on the varnish on deck until it is hard, later than the forecast reaches."},
		CareLines([]Care{{Step: "varnish", Zone: "deck", Soft: true}}, false, now))
	soap := now.Truncate(24 * time.Hour).Add(24 * time.Hour) // midnight, UTC
	x := []Care{{Step: "seal", Zone: "deck", SoapAt: &soap}}
	assert.Equal(t, []string{"No soap on the seal on deck before Fri 11 Sep: clean water alone."}, CareLines(x, false, now), "a day that begins is whole")
	later := soap.Add(48 * time.Hour)
	x = append(x, Care{Step: "seal", Zone: "stern", SoapAt: &later}, Care{Step: "oil", Zone: "stern", SoapAt: &soap})
	assert.Equal(t, []string{"No soap on the seal on deck and stern before Sun 13 Sep: clean water alone.", "No soap on the oil on stern before Fri 11 Sep: clean water alone."},
		CareLines(x, false, now), "a step's zones together, until the last")
	odd := clock(t, "2026-09-10 14:31")
	x = []Care{{Step: "seal", Zone: "deck", TouchAt: &odd}}
	assert.Equal(t, []string{"Nobody touches or walks on the seal on deck before 14:40."}, CareLines(x, false, now))
}

// Where the forecast does not reach until the last of it is hard, no hour is told for all of
// what a plan puts on.
func TestCareLines_PlannedPartlySoft(t *testing.T) {
	now := clock(t, "2026-09-10 10:40")
	hard := now.Add(4 * time.Hour)
	list := []Care{{Step: "varnish", Zone: "deck", Planned: true, TouchAt: &hard}, {Step: "varnish", Zone: "rail", Planned: true, Soft: true}}
	assert.Equal(t, []string{"Nobody touches or walks on the varnish until it is hard, later than the forecast reaches."}, CareLines(list, true, now))
}

// A coat that is on, or a part of a zone, is spared though the same step has more to come there:
// the week tells of it as the morning does.
func TestCare_OnAndMoreToCome(t *testing.T) {
	b := tender(t, "10:40")
	on := clock(t, "2026-09-10 10:30")
	b.f.Job.Zones[0].Done = map[string]boat.Done{"wash": {At: on.Add(-2 * time.Hour), Share: 1}, "seal": {At: on, Share: 0.5}}
	w := NewWeek(b.f)
	w.TakePlan(b.f, &Plan{State: Go, Blocks: []PlanBlock{{Step: "seal", Zone: "port side", From: on.Add(23 * time.Hour), To: on.Add(24 * time.Hour)}}})
	require.Len(t, w.Care, 2)
	assert.Equal(t, CareLines(NewMorning(b.f).Care, false, w.Now), CareLines(w.Care, false, w.Now))
	assert.Equal(t, "Nobody touches or walks on the seal on port side before 14:30.", CareLines(w.Care, false, w.Now)[0])
	assert.Equal(t, "All of the seal may be touched and walked on from Fri 11 Sep 14:30.", CareLines(w.Care, true, w.Now)[0])
}
