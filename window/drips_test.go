package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// bottomJob is antifouling on the bottom of a boat ashore and on the keel below it; the
// side drains onto the one and that onto the other.
func bottomJob(t *testing.T, shelter boat.Shelter, drains bool) *job.Job {
	j := smallJob(t, "antifouling")
	j.Afloat = false
	j.Zones[0].Shelter = shelter
	under := boat.Zone{Name: "underwater body", Finish: finish(t, "antifouled-laminate"), Tilt: 140, Faces: 270, Access: boat.Ashore, AreaM2: 10}
	keel := under
	keel.Name = "keel"
	if drains {
		j.Zones[0].DrainsTo, under.DrainsTo = []string{under.Name}, []string{keel.Name}
	}
	j.Zones = append(j.Zones, under, keel)
	j.Steps = []job.Step{{Name: "antifouling", Do: "coat", With: "antifouling", On: []int{1, 2}, Coats: 1}}
	return j
}

// No rain falls on a face that looks down, but what runs off the topsides runs down over
// it: it is wet while it rains and drips, the drying clock runs from then, and a coat has
// to be on long enough before the next rain. A boat under a roof stays dry.
func TestRunOff_WetsTheBottom(t *testing.T) {
	f := calm(8)
	from, _ := f.Index(time.Date(2026, 9, 3, 8, 0, 0, 0, eastern))
	for i := range 2 {
		f.Members[0].Columns[forecast.Precipitation].Set(from+i, 3)
	}
	at := func(hour, minute int) time.Time { return time.Date(2026, 9, 3, hour, minute, 0, 0, eastern) }
	for row, zone := range []string{"underwater body", "keel"} {
		wet := evaluate(t, f, bottomJob(t, boat.Open, true), f.Start)
		for _, now := range []time.Time{at(8, 0), at(8, 30), at(9, 50)} {
			s, l := stateAt(wet, row, now)
			assert.Equal(t, [2]any{verdict.NoGo, verdict.Film}, [2]any{s, l}, "%s at %s", zone, now)
		}
		dry := f.Start
		for now := at(10, 0); now.Before(at(18, 0)); now = now.Add(10 * time.Minute) {
			if _, l := stateAt(wet, row, now); l == verdict.Film {
				dry = now
			}
		}
		s, l := stateAt(wet, row, dry.Add(2*time.Hour))
		assert.Equal(t, [2]any{verdict.NoGo, verdict.DryOff}, [2]any{s, l}, "%s: 3 h after the last of it", zone)
		s, l = stateAt(wet, row, at(7, 0))
		assert.Equal(t, [2]any{verdict.NoGo, verdict.RainFree}, [2]any{s, l}, zone)
		for _, j := range []*job.Job{bottomJob(t, boat.Shed, true), bottomJob(t, boat.Open, false)} {
			s, _ := stateAt(evaluate(t, f, j, f.Start), row, at(9, 0))
			assert.True(t, s.Workable(), "%s, no water comes", zone)
		}
	}
}

// What one answer says of the rain on a bottom the others say too.
func TestRunOff_EveryAnswerAgrees(t *testing.T) {
	t.Parallel()
	f := calm(8)
	from, _ := f.Index(time.Date(2026, 9, 3, 8, 0, 0, 0, eastern))
	for i := range 2 {
		f.Members[0].Columns[forecast.Precipitation].Set(from+i, 3)
	}
	at := time.Date(2026, 9, 3, 8, 0, 0, 0, eastern)
	rain := []window.Rain{{From: at, To: at.Add(2 * time.Hour), MM: 6, HasMM: true}}
	for _, x := range []struct {
		shelter boat.Shelter
		drains  bool
	}{{boat.Open, true}, {boat.Open, false}, {boat.Shed, true}} {
		j := bottomJob(t, x.shelter, x.drains)
		wet := x.shelter == boat.Open && x.drains
		in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start}
		r := evaluate(t, f, j, f.Start)
		for row, zone := range []int{1, 2} {
			for now := at; now.Before(at.Add(10 * time.Hour)); now = now.Add(20 * time.Minute) {
				why, err := window.Explain(in, zone, "antifouling", now)
				require.NoError(t, err)
				s, l := stateAt(r, row, now)
				assert.Equal(t, [2]any{s, l}, [2]any{why.State, why.Binding.Limit}, "%s at %s", j.Zones[zone].Name, now)
			}
			fate := window.Spoil(window.SpoilInput{
				Job: j, Classes: catalogue(t), Rain: rain, Worked: []window.Worked{{Zone: zone, To: at.Add(-time.Hour), Share: 1}}, Result: r,
			})
			require.Len(t, fate, 1)
			assert.Equal(t, wet, fate[0].Fate == window.Redo, "%+v", fate[0])
			assert.Equal(t, wet, r.Zones[zone].Hours[at.Sub(r.Weather[0].At)/time.Hour].Film.V > 1)
		}
	}
}

// A deck that a ladder leads up to, of a boat on stands, has the ladder's gust limit; to
// work there takes no longer than on one afloat.
func TestClimbed_GustLimit(t *testing.T) {
	f := calm(5)
	at := time.Date(2026, 9, 3, 10, 0, 0, 0, eastern)
	i, _ := f.Index(at)
	f.Members[0].Columns[forecast.Gust] = forecast.NewColumn(f.N)
	for k := range f.N {
		f.Members[0].Columns[forecast.Gust].Set(k, 4)
	}
	f.Members[0].Columns[forecast.Gust].Set(i, 13)
	limit := func(climbed bool) verdict.Limit {
		j := smallJob(t, "soap-wash")
		j.Zones[0].Climbed, j.Steps[0].Do = climbed, "wash"
		_, l := stateAt(evaluate(t, f, j, f.Start), 0, at)
		assert.InDelta(t, 1, planned(t, calm(5), j).Tasks[0].Access, 0)
		return l
	}
	assert.Equal(t, verdict.Access, limit(true))
	assert.NotEqual(t, verdict.Access, limit(false))
}
