package window_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// Zones that fare alike are worked out once, and every answer is the one that each of
// them has by itself, whatever was done there, was read or learned, stands over them and
// drains onto what: the reference is the same job whose zones each let water run onto
// something of their own that the job does not have.
func TestTwins(t *testing.T) {
	t.Parallel()
	shared, kept := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		got := sameApart(t, drawTwins(t), time.Duration(rapid.IntRange(0, 50).Draw(t, "hours"))*time.Hour)
		for z := range got.Zones {
			if sharesHours(got, z) {
				shared++
			} else if z > 0 {
				kept++
			}
		}
	})
	require.Positive(t, shared)
	require.Positive(t, kept)
}

// sameApart requires that a job is answered, and a verdict explained so long after now, as
// with every zone worked out by itself.
func sameApart(t require.TestingT, in window.Input, later time.Duration) *window.Result {
	apart := in
	j := *in.Job
	j.Zones = slices.Clone(j.Zones)
	for z := range j.Zones {
		j.Zones[z].RunsOnto = append(slices.Clone(j.Zones[z].RunsOnto), fmt.Sprint("no zone ", z))
	}
	apart.Job = &j
	got, err := window.Evaluate(in)
	require.NoError(t, err)
	want, err := window.Evaluate(apart)
	require.NoError(t, err)
	require.Equal(t, want, got)
	for z := range want.Zones {
		require.False(t, sharesHours(want, z))
	}
	step := in.Job.Steps[0]
	zone := step.On[len(step.On)-1]
	x, err := window.Explain(in, zone, step.With, in.Now.Add(later))
	require.NoError(t, err)
	y, err := window.Explain(apart, zone, step.With, in.Now.Add(later))
	require.NoError(t, err)
	require.Equal(t, y, x)
	return got
}

// Zones that differ by what lies above them, or by what lies below, are no twins.
func TestTwins_AboveAndBelow(t *testing.T) {
	f := calm(4)
	for k := 70; k < 74; k++ {
		f.Members[0].Columns[forecast.Precipitation].Set(k, 3)
	}
	deck := boat.Zone{Finish: finish(t, "white-gelcoat")}
	for name, x := range map[string]struct {
		set    func(j *job.Job, now time.Time)
		shared bool
	}{
		"nothing": {func(*job.Job, time.Time) {}, true},
		"one lies under an open overhang, the other under one that stays dry": {func(j *job.Job, _ time.Time) {
			wet, dry := deck, deck
			wet.Name, wet.DrainsTo, dry.Name, dry.DrainsTo, dry.Shelter = "wet", []string{"a"}, "dry", []string{"b"}, boat.Hardtop
			j.Zones = append(j.Zones, wet, dry)
		}, false},
		"each drips onto the other": {func(j *job.Job, _ time.Time) {
			for z := range j.Zones {
				j.Zones[z].DrainsTo = []string{"a", "b"}
			}
		}, false},
		"one lies below the other, on both of which a film cures": {func(j *job.Job, now time.Time) {
			for z := range j.Zones {
				j.Zones[z].RunsOnto = []string{"b"}
				j.Zones[z].Done = map[string]boat.Done{"coat": {At: now.Add(-time.Hour), Share: 0.5}}
			}
		}, false},
		"a film cures on both": {func(j *job.Job, now time.Time) {
			for z := range j.Zones {
				j.Zones[z].Done = map[string]boat.Done{"coat": {At: now.Add(-time.Hour), Share: 0.5}}
			}
		}, true},
	} {
		t.Run(name, func(t *testing.T) {
			j := smallJob(t, "varnish")
			a, b := deck, deck
			a.Name, b.Name = "a", "b"
			j.Zones = []boat.Zone{a, b}
			j.Steps = []job.Step{
				{Name: "wash", Do: "wash", With: "soap-wash", Coats: 1, PerDay: 1, On: []int{0, 1}},
				{Name: "coat", Do: "coat", With: "varnish", Coats: 3, PerDay: 1, On: []int{0, 1}},
			}
			in := inputOf(t, f, j, f.Start.Add(20*time.Hour))
			x.set(j, in.Now)
			require.Equal(t, x.shared, sharesHours(sameApart(t, in, time.Hour), 1))
		})
	}
}

// sharesHours reports whether a zone was worked out by another one before it.
func sharesHours(r *window.Result, zone int) bool {
	return slices.ContainsFunc(r.Zones[:zone], func(z window.Zone) bool { return &z.Hours[0] == &r.Zones[zone].Hours[0] })
}

// drawTwins draws a job with zones of few kinds, so that some are likely to be alike, and
// now and then something that only one of them has.
func drawTwins(t *rapid.T) window.Input {
	j := drawJob(t)
	rare := func(what string) bool { return rapid.IntRange(0, 9).Draw(t, what) == 0 }
	j.Zones = nil
	for i := range rapid.IntRange(2, 4).Draw(t, "twins") {
		tilt := rapid.SampledFrom([]float64{0, 0, 0, 90}).Draw(t, "tilt")
		z := boat.Zone{Name: string(rune('a' + i)), Finish: finish(t, "white-gelcoat"), Tilt: tilt, AreaM2: float64(10 + i)}
		if z.Faces = float64(40 * i); tilt > 0 {
			z.Faces = 90
		}
		if rare("salt") {
			z.Salt = true
		}
		if rare("reach") {
			z.Access = boat.Ladder
		}
		j.Zones = append(j.Zones, z)
	}
	names := func(what string) (out []string) {
		for _, z := range j.Zones {
			if rapid.Bool().Draw(t, what) {
				out = append(out, z.Name)
			}
		}
		return out
	}
	f := ensemble(5, rapid.IntRange(1, 3).Draw(t, "members"))
	in := inputOf(t, f, j, f.Start.Add(60*time.Hour))
	for z := range j.Zones {
		if rare("drains") {
			j.Zones[z].DrainsTo = names("onto")
		}
		if rare("runs") {
			j.Zones[z].RunsOnto = names("over")
		}
		if rare("done") {
			j.Zones[z].Done = map[string]boat.Done{"seal": {At: in.Now.Add(-time.Hour), Share: 1}}
		}
		if rare("read") {
			in.Readings = append(in.Readings, job.Reading{At: in.Now, Zone: j.Zones[z].Name, SurfaceC: num(30)})
		}
		if rare("salty") {
			in.Readings = append(in.Readings, job.Reading{At: in.Now, Zone: j.Zones[z].Name, Salt: job.Yes})
		}
	}
	if rapid.Bool().Draw(t, "covers") {
		j.Covers = []job.Cover{{Zones: names("under"), Kind: boat.Canvas, To: in.Now.Add(48 * time.Hour)}}
	}
	if rapid.IntRange(0, 3).Draw(t, "learned") == 0 {
		in.Learned = panelled("b", 0.4, 1, 20)
	}
	all := make([]int, len(j.Zones))
	for z := range all {
		all[z] = z
	}
	j.Steps = []job.Step{
		{Name: "wash", Do: "wash", With: "soap-wash", Coats: 1, PerDay: 1, On: all},
		{Name: "seal", Do: "seal", With: "polymer-sealant", Coats: 1, PerDay: 1, On: all},
	}
	for s := range j.Steps {
		if rare("elsewhere") {
			j.Steps[s].On = all[:1]
		}
	}
	return in
}

// A year is that of each zone by itself too.
func TestTwins_Season(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	j.Zones = nil
	for i, faces := range []float64{0, 90, 180} {
		j.Zones = append(j.Zones, boat.Zone{Name: string(rune('a' + i)), Finish: finish(t, "white-gelcoat"), Faces: faces})
	}
	j.Zones[2].DrainsTo = []string{"a"}
	c, ok := catalogue(t).Class("polymer-sealant")
	require.True(t, ok)
	f := ensemble(20, 1)
	f.Members[0].Columns[forecast.Precipitation].Set(100, 2)
	in := window.SeasonInput{Weather: f, Job: j, Classes: []products.Class{c}, Location: time.UTC, Year: 2026}
	got, err := window.Season(in)
	require.NoError(t, err)
	for z := range j.Zones {
		j.Zones[z].RunsOnto = []string{fmt.Sprint("no zone ", z)}
	}
	want, err := window.Season(in)
	require.NoError(t, err)
	require.Equal(t, want, got)
	require.NotZero(t, got.Rows[1].Months)
}
