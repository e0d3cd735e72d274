package window_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// What is answered of the work is the same where the other zones are left out, whatever
// drains onto what, was done before, was read or learned; those that are left out have
// nothing to do with it; and where they are not, their hours are those they would have
// with work on them.
func TestWorkAlone(t *testing.T) {
	t.Parallel()
	left, kept := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t)
		f := ensemble(5, 3)
		in := inputOf(t, f, j, f.Start.Add(30*time.Hour))
		if n := rapid.IntRange(1, 3).Draw(t, "members"); rapid.Bool().Draw(t, "dressed") {
			in.Dressed, f.Members = f.Members[1:n], f.Members[:1]
		} else {
			f.Members = f.Members[:n]
		}
		j.Steps = j.Steps[:min(len(j.Steps), 2)]
		for k := range j.Steps {
			j.Steps[k].On = j.Steps[k].On[:1]
		}
		for z := range j.Zones {
			if rapid.IntRange(0, 4).Draw(t, "done") == 0 {
				j.Zones[z].Done = map[string]boat.Done{"seal": {At: in.Now.Add(-time.Hour), Share: 1}}
			}
			if rapid.IntRange(0, 4).Draw(t, "read") == 0 {
				in.Readings = append(in.Readings, job.Reading{At: in.Now, Zone: j.Zones[z].Name, SurfaceC: num(30)})
			}
		}
		if rapid.Bool().Draw(t, "learned") {
			in.Learned = panelled("a", 0.4, 1, 20)
		}
		whole, err := window.Evaluate(in)
		require.NoError(t, err)
		in.WorkAlone = true
		alone, err := window.Evaluate(in)
		require.NoError(t, err)

		for z, zone := range alone.Zones {
			require.Equal(t, whole.Zones[z].Name, zone.Name)
			if len(zone.Hours) > 0 {
				kept++
				require.Equal(t, whole.Zones[z].Hours, zone.Hours)
				continue
			}
			left++
			require.Empty(t, j.Zones[z].Done)
			for _, s := range j.Steps {
				require.NotContains(t, s.On, z)
			}
		}
		everywhere := *j
		everywhere.Steps = slices.Clone(j.Steps)
		everywhere.Steps[0].On = []int{0, 1, 2}[:len(j.Zones)]
		in.Job, in.WorkAlone = &everywhere, false
		worked, err := window.Evaluate(in)
		require.NoError(t, err)
		require.Equal(t, worked.Zones, whole.Zones)
		require.Equal(t, whole.Ranked, alone.Ranked)
		require.Equal(t, whole.Readings, alone.Readings)
		require.Equal(t, whole.Warnings, alone.Warnings)
		require.Len(t, alone.Rows, len(whole.Rows))
		for k := range whole.Rows {
			require.Equal(t, whole.Rows[k].Windows, alone.Rows[k].Windows)
			require.Equal(t, whole.Rows[k].Refusals, alone.Rows[k].Refusals)
			require.Equal(t, whole.Rows[k].Slots, alone.Rows[k].Slots)
		}
	})
	require.Positive(t, left)
	require.Positive(t, kept)
}

// A deck whose rain drips onto the side below it is worked out for the side's sake, and
// so is what drips onto the deck.
func TestWorkAlone_FromAbove(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	side := j.Zones[0]
	house, deck, locker := side, side, side
	house.Name, house.Tilt, house.DrainsTo = "house", 60, []string{"deck"}
	deck.Name, deck.Tilt, deck.DrainsTo = "deck", 0, []string{side.Name}
	locker.Name = "locker"
	j.Zones = append(j.Zones, locker, deck, house)
	f := calm(4)
	f.Members[0].Columns[forecast.Precipitation].Set(40, 3)
	in := inputOf(t, f, j, f.Start)
	in.WorkAlone = true
	r, err := window.Evaluate(in)
	require.NoError(t, err)
	var worked []string
	for _, z := range r.Zones {
		if len(z.Hours) > 0 {
			worked = append(worked, z.Name)
		}
	}
	require.Equal(t, []string{side.Name, "deck", "house"}, worked)
}

// Why a product stands on a zone is the same where the others are left out, though a film
// cures there, for which all are worked out before any is judged.
func TestWorkAlone_Explained(t *testing.T) {
	j := smallJob(t, "varnish")
	locker := j.Zones[0]
	locker.Name, locker.Faces = "locker", 90
	f := calm(4)
	in := inputOf(t, f, j, f.Start.Add(20*time.Hour))
	j.Zones[0].Done = map[string]boat.Done{"seal": {At: in.Now.Add(-time.Hour), Share: 0.5}}
	j.Zones, j.Steps[0].On = append([]boat.Zone{locker}, j.Zones...), []int{1}
	at := f.Start.Add(36 * time.Hour)
	for zone := range j.Zones {
		in.WorkAlone = false
		whole, err := window.Explain(in, zone, "varnish", at)
		require.NoError(t, err)
		in.WorkAlone = true
		alone, err := window.Explain(in, zone, "varnish", at)
		require.NoError(t, err)
		require.Equal(t, whole, alone)
	}
	r, err := window.Evaluate(in)
	require.NoError(t, err)
	require.Empty(t, r.Zones[0].Hours)
	require.NotEmpty(t, r.Zones[1].Hours)
	require.NotEmpty(t, r.Ranked[0])
}
