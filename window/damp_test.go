package window_test

import (
	"math"
	"testing"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// foggy is calm weather with fog in the small hours of every day, by the weather's code.
func foggy(days, hours int) *forecast.Forecast {
	f := calm(days)
	f.Members[0].Columns[forecast.WeatherCode] = forecast.NewColumn(f.N)
	for i := range f.N {
		code := 1.0
		if i%24 < hours {
			code = 45
		}
		f.Members[0].Columns[forecast.WeatherCode].Set(i, code)
	}
	return f
}

// How long a block is said to have dried is what it was judged by: the least of the hours
// since its planned wash and of those that the verdict holds against its first slot, since
// rain or fog and, for a class that minds it, since dew. A wash of two days before says
// nothing of a panel that lay in fog this morning.
func TestPlan_DriesAsItIsJudged(t *testing.T) {
	t.Parallel()
	fogs, damps, washes := 0, 0, 0
	for name, x := range map[string]struct {
		f     *forecast.Forecast
		with  string
		alone bool // towel: false
	}{
		"fog": {foggy(8, 10), "carnauba-wax", false}, "less fog": {foggy(8, 7), "polymer-sealant", false}, "clear": {calm(8), "polymer-sealant", false},
		"dew that goes by itself": {calm(8), "polymer-sealant", true}, "a class that minds dew": {calm(8), "gelcoat-repair", false}, "in fog": {foggy(8, 9), "gelcoat-repair", false},
	} {
		j := sealJob(t)
		j.Towel, j.People = !x.alone, 1
		seal := &j.Steps[3]
		if seal.With = x.with; x.with == "gelcoat-repair" {
			seal.Name, seal.Do, seal.On = "repair", "coat", []int{0}
		}
		b := planned(t, x.f, j)
		require.True(t, b.Found, "%s: %+v", name, b.Refusal)
		for _, at := range b.Blocks {
			task := b.Tasks[at.Task]
			if _, again := b.Wetted[at.Task]; again || at.Dried < 0 {
				continue
			}
			told := at.Dried
			if n, ok := b.SinceRain[at.Task]; ok {
				told = min(told, n)
			}
			if d, ok := b.SinceDamp[at.Task]; ok {
				require.Less(t, d.Slots, told, name)
				told = d.Slots
				fogs, damps = fogs+count(d.Fog), damps+count(!d.Fog)
			} else {
				washes++
			}
			require.Equal(t, min(at.Dried, judgedDry(t, x.f, j, task.Zone, j.Steps[task.Step], b, at.From)), told, "%s: %s", name, j.Steps[task.Step].Name)
		}
	}
	assert.Positive(t, fogs)
	assert.Positive(t, damps)
	assert.Positive(t, washes)
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}

// judgedDry is for how many slots a panel has dried by the verdict of a step at a slot.
func judgedDry(t *testing.T, f *forecast.Forecast, j *job.Job, zone int, s job.Step, b booked, from int) int {
	x, err := window.Explain(window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start}, zone, s.With, b.at(from))
	require.NoError(t, err)
	least := math.MaxInt
	for _, l := range x.Limits {
		if l.Limit == verdict.DryOff && l.Known && !math.IsInf(float64(l.Value), 0) {
			least = min(least, int(math.Round(float64(l.Value)*surface.PerHour)))
		}
	}
	return least
}

// Fog wets a panel under a roof too, and dew does not.
func TestPlan_DriesUnderARoof(t *testing.T) {
	for hours, want := range map[int]bool{0: false, 9: true} {
		j := sealJob(t)
		for i := range j.Zones {
			j.Zones[i].Shelter, j.Zones[i].DrainsTo = boat.Hardtop, nil
		}
		j.People = 1
		b := planned(t, foggy(8, hours), j)
		require.True(t, b.Found)
		some := false
		for _, d := range b.SinceDamp {
			require.True(t, d.Fog)
			some = true
		}
		assert.Equal(t, want, some, "%d hours of fog", hours)
	}
}

// Fog of one forecast in three is no fog that a block has dried since; that of two is.
func TestPlan_DriesSinceTheFogOfMost(t *testing.T) {
	for foggyOnes, want := range map[int]bool{0: false, 1: false, 2: true, 3: true} {
		f := ensemble(8, 3)
		for m := range f.Members {
			code := forecast.NewColumn(f.N)
			for i := range f.N {
				f.Members[m].Columns[forecast.Precipitation].Set(i, 0)
				code.Set(i, 1)
				if m < foggyOnes && i%24 < 9 {
					code.Set(i, 45)
				}
			}
			f.Members[m].Columns[forecast.WeatherCode] = code
		}
		j := sealJob(t)
		j.People, j.Sure = 1, 0.5
		b := planned(t, f, j)
		require.True(t, b.Found, "%d of three: %+v", foggyOnes, b.Refusal)
		some := false
		for _, d := range b.SinceDamp {
			some = some || d.Fog
		}
		assert.Equal(t, want, some, "%d of three", foggyOnes)
	}
}
