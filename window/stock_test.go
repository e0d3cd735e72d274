package window_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// stockAt takes stock of a job on the fourth day of a calm week.
func stockAt(t require.TestingT, f *forecast.Forecast, j *job.Job, rain []window.Rain, change func(*window.MoveInput)) *window.Stock {
	in := window.MoveInput{
		Input: window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start.Add(82 * time.Hour)},
		Rain:  rain,
	}
	if change != nil {
		change(&in)
	}
	s, err := window.TakeStock(in)
	require.NoError(t, err)
	return s
}

// doneAt has the port side of the seal job done at hours of the forecast, step by step.
func doneAt(t testing.TB, f *forecast.Forecast, hours map[string]float64) *job.Job {
	j := sealJob(t)
	j.Zones[0].Done = map[string]boat.Done{}
	for step, h := range hours {
		j.Zones[0].Done[step] = boat.Done{At: f.Start.Add(time.Duration(h * float64(time.Hour))), Share: 1}
	}
	return j
}

func fell(f *forecast.Forecast, from, to float64) window.Rain {
	at := func(h float64) time.Time { return f.Start.Add(time.Duration(h * float64(time.Hour))) }
	return window.Rain{From: at(from), To: at(to), MM: 3, HasMM: true, Observed: true}
}

// left is the share of a step on a zone that is done in the job that is left.
func left(t testing.TB, s *window.Stock, step, zone string) float64 {
	t.Helper()
	z, ok := s.Job.Zone(zone)
	require.True(t, ok, zone)
	return s.Job.Zones[z].Done[step].Share
}

// Event V1 of the trade (common practice, no source): a panel that is wetted after its
// strip wash is washed anew before the sealer, until that has been done.
func TestStock_StripWashInTheRain(t *testing.T) {
	f := calm(8)
	day := map[string]float64{"wash": 56, "correct": 58, "strip wash": 59}
	s := stockAt(t, f, doneAt(t, f, day), []window.Rain{fell(f, 61, 62)}, nil)
	assert.Zero(t, left(t, s, "strip wash", "port side"))
	assert.InDelta(t, 1, left(t, s, "correct", "port side"), 0, "the polish is not lost")
	assert.True(t, s.Owed(2, 0))
	assert.False(t, s.Owed(1, 0))
	assert.True(t, s.Washes(0))
	assert.InDelta(t, 1, s.Given.Zones[0].Done["strip wash"].Share, 0, "the job that was given is left as it was")

	day["strip wash"] = 80
	s = stockAt(t, f, doneAt(t, f, day), []window.Rain{fell(f, 61, 62)}, nil)
	assert.InDelta(t, 1, left(t, s, "strip wash", "port side"), 0, "washed since")
	assert.Empty(t, s.Undone)
}

// A polished panel that goes straight to the wax is washed first after rain, unless it
// was washed since.
func TestStock_BarePanelWashedSince(t *testing.T) {
	f := calm(8)
	day := map[string]float64{"wash": 56, "correct": 58}
	j := doneAt(t, f, day)
	j.Steps = []job.Step{j.Steps[0], j.Steps[1], j.Steps[3]}
	rain := []window.Rain{fell(f, 61, 62)}
	s := stockAt(t, f, j, rain, nil)
	require.Len(t, s.Job.Steps, 4, "a wash of its own")
	assert.True(t, s.Owed(2, 0))
	assert.False(t, s.Owed(3, 0), "the seal was never done")

	j.Zones[0].Done["wash"] = boat.Done{At: f.Start.Add(80 * time.Hour), Share: 1}
	s = stockAt(t, f, j, rain, nil)
	assert.Len(t, s.Job.Steps, 3)
	assert.False(t, s.Washes(0))
}

// The part that was hazing when it rained is stripped and sealed again; a strip wash
// after the rain is that of the part, one before more rain is not.
func TestStock_StrippedSinceTheRain(t *testing.T) {
	f := calm(8)
	day := map[string]float64{"wash": 30, "correct": 40, "strip wash": 54, "seal": 60}
	spoil := func(strip float64, rain ...window.Rain) *window.Stock {
		day["strip wash"] = strip
		j := doneAt(t, f, day)
		return stockAt(t, f, j, append([]window.Rain{fell(f, 60.2, 61)}, rain...), func(in *window.MoveInput) {
			on := f.Start.Add(60 * time.Hour)
			in.Worked = []window.Worked{
				{Step: 3, To: on.Add(-7 * time.Hour), Share: 0.6, Left: window.LeftBuffed},
				{Step: 3, To: on, Share: 0.2, Left: window.LeftHazing}, {Step: 3, To: on.Add(-time.Hour), Share: 0.2, Left: window.LeftBuffed},
			}
		})
	}
	s := spoil(54)
	require.Len(t, s.Job.Zones, 4, "all of it that is to be redone is one part")
	part := s.Job.Zones[3]
	assert.InDelta(t, 0.4*12, part.AreaM2, 1e-9)
	name, is := s.Whole(3)
	assert.True(t, is)
	assert.Equal(t, "port side", name)
	_, is = s.Whole(0)
	assert.False(t, is)
	assert.Zero(t, part.Done["strip wash"].Share)
	assert.InDelta(t, 1, part.Done["correct"].Share, 0)
	assert.True(t, s.Owed(2, 3))

	assert.InDelta(t, 1, spoil(79).Job.Zones[3].Done["strip wash"].Share, 0, "stripped since")
	assert.Zero(t, spoil(79, fell(f, 80, 81)).Job.Zones[3].Done["strip wash"].Share, "and wetted again")
}

// Common practice, no source: a film that was found bad comes off before it is laid on
// anew, by the job's strip wash or by one that it does not have.
func TestStock_FoundBad(t *testing.T) {
	f := calm(8)
	day := map[string]float64{"wash": 50, "correct": 52, "strip wash": 54, "seal": 57}
	bad := func(j *job.Job, step int) *window.Stock {
		return stockAt(t, f, j, nil, func(in *window.MoveInput) {
			in.Bad = []window.Bad{{Step: step, At: f.Start.Add(75 * time.Hour)}}
		})
	}
	s := bad(doneAt(t, f, day), 3)
	assert.Zero(t, left(t, s, "strip wash", "port side"))
	assert.Zero(t, left(t, s, "seal", "port side"))
	assert.InDelta(t, 1, left(t, s, "correct", "port side"), 0)

	j := doneAt(t, f, day)
	j.Steps = []job.Step{j.Steps[0], j.Steps[3]}
	s = bad(j, 1)
	require.Len(t, s.Job.Steps, 3)
	assert.Equal(t, "strip wash", s.Job.Steps[1].Do)
	assert.Equal(t, []int{0}, s.Job.Steps[1].On)

	s = bad(doneAt(t, f, day), 0)
	assert.Zero(t, left(t, s, "wash", "port side"))
	assert.InDelta(t, 1, left(t, s, "strip wash", "port side"), 0, "a poor wash is washed again, nothing comes off")

	day["strip wash"] = 80
	s = bad(doneAt(t, f, day), 3)
	assert.InDelta(t, 1, left(t, s, "strip wash", "port side"), 0, "stripped since it was found")
	day["seal"] = 81
	assert.Empty(t, bad(doneAt(t, f, day), 3).Undone, "sealed since it was found")
}

// Whoever tells of a day's rain has seen what fell on it; of other days the forecast's
// own rain counts.
func TestStock_ToldDays(t *testing.T) {
	f := rainOn(rainOn(calm(8), 60, 62), 75, 76)
	day := map[string]float64{"wash": 56, "correct": 58, "strip wash": 59}
	s := stockAt(t, f, doneAt(t, f, day), nil, nil)
	assert.Len(t, s.Rain, 2)
	s = stockAt(t, f, doneAt(t, f, day), []window.Rain{fell(f, 57, 57.5)}, nil)
	require.Len(t, s.Rain, 2)
	assert.True(t, s.Rain[0].Observed)
	assert.Equal(t, f.Start.Add(75*time.Hour), s.Rain[1].From, "the next morning's")
	assert.NotEmpty(t, s.Undone)
}

// Varnish of last week is not lost to today's rain because the forecast begins today:
// hours of which nothing is known count as the coldest in which it cures at all.
func TestStock_OldVarnish(t *testing.T) {
	c, _ := catalogue(t).Class("varnish")
	require.True(t, c.Equivalent && c.HasCureMin)
	f := calm(8)
	j := smallJob(t, "varnish")
	fate := func(hours float64) window.ZoneFate {
		j.Zones[0].Done = map[string]boat.Done{"seal": {At: f.Start.Add(-time.Duration(hours) * time.Hour), Share: 1}}
		s := stockAt(t, f, j, []window.Rain{fell(f, 0, 0.5)}, nil)
		require.Len(t, s.Fates, 1)
		return s.Fates[0]
	}
	assert.Equal(t, window.Good, fate(7*24).Fate)
	assert.Equal(t, window.Redo, fate(1).Fate)
}

// Whatever was done and whatever fell: nothing counts as done that was not, and work
// that is taken back is named.
func TestStock_Laws(t *testing.T) {
	t.Parallel()
	f, seals := calm(8), sealJob(t)
	rapid.Check(t, func(t *rapid.T) {
		own := *seals
		j := &own
		j.Zones = slices.Clone(seals.Zones)
		for z := range j.Zones {
			j.Zones[z].Done = map[string]boat.Done{}
			at := 50.0
			for s := range rapid.IntRange(0, 4).Draw(t, "steps") {
				at += rapid.Float64Range(0, 6).Draw(t, "hours")
				j.Zones[z].Done[j.Steps[s].Name] = boat.Done{At: f.Start.Add(time.Duration(at * float64(time.Hour))), Share: rapid.Float64Range(0.1, 1).Draw(t, "share")}
			}
		}
		from := rapid.Float64Range(48, 80).Draw(t, "rain")
		s := stockAt(t, f, j, []window.Rain{fell(f, from, from+1)}, nil)
		less := map[[2]int]bool{}
		for z := range j.Zones {
			for k, step := range j.Steps {
				was, is := j.Zones[z].Done[step.Name].Share, s.Job.Zones[z].Done[step.Name].Share
				for _, later := range j.Steps[k+1:] {
					if later.Do == "correct" || later.Do == "seal" { // nobody does them without the steps before
						was = max(was, j.Zones[z].Done[later.Name].Share)
					}
				}
				require.LessOrEqual(t, is, was)
				less[[2]int{k, z}] = is < was
			}
		}
		for _, u := range s.Undone {
			delete(less, [2]int{u.Step, u.Zone})
		}
		for at, is := range less {
			require.False(t, is, "%v is taken back and not named", at)
		}
	})
}
