package window_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// An hour of the answer is the hour of the forecast: means of what goes on, the most of
// gusts, the sum of rain, and thunder if any of it.
func TestHours_AreTheForecasts(t *testing.T) {
	f := calm(3)
	m := &f.Members[0]
	for _, q := range []forecast.Quantity{forecast.Gust, forecast.WeatherCode, forecast.UVIndex, forecast.DirectRadiation, forecast.DiffuseRadiation} {
		m.Columns[q] = forecast.NewColumn(f.N)
	}
	for i := range f.N {
		m.Columns[forecast.AirTemperature].Set(i, 20)
		m.Columns[forecast.DewPoint].Set(i, 10)
		m.Columns[forecast.WindSpeed].Set(i, 4)
		m.Columns[forecast.Gust].Set(i, 7)
		m.Columns[forecast.CloudCover].Set(i, 25)
		m.Columns[forecast.WeatherCode].Set(i, 1)
		m.Columns[forecast.UVIndex].Set(i, 3)
		m.Columns[forecast.DiffuseRadiation].Set(i, 200)
		m.Columns[forecast.DirectRadiation].Set(i, 300)
	}
	m.Columns[forecast.AirTemperature].Set(35, 26) // at 11:00 on the second
	m.Columns[forecast.Gust].Set(35, 12)
	m.Columns[forecast.Precipitation].Set(36, 1.8)
	m.Columns[forecast.WeatherCode].Set(38, 95)
	j := smallJob(t, "cleaner-wax")
	j.Place.Wind = job.WindAtWork
	r := evaluate(t, f, j, f.Start)
	at := func(h int) window.Hour {
		x := r.Weather[24+h]
		require.True(t, x.At.Equal(on(2, h, 0)))
		return x
	}
	x := at(9)
	for name, v := range map[string][2]float64{
		"air": {20, x.Air.V}, "dew point": {10, x.Dew.V}, "wind": {4, x.Wind.V}, "gust": {7, x.Gust.V}, "cloud": {0.25, x.Cloud.V},
		"UV": {3, x.UV.V}, "sun on the level": {500, x.Global.V}, "rain": {0, x.Rain.V},
	} {
		assert.InDelta(t, v[0], v[1], 0.02, name)
	}
	assert.InDelta(t, 52.6, x.Humidity.V, 0.3, "20 °C over a dew point of 10 (any psychrometric chart)")
	assert.InDelta(t, 0.6, x.Direct, 0.02, "three fifths come straight from the sun")
	assert.InDelta(t, 23, at(10).Air.V, 0.3, "it warms from 20 to 26 in that hour")
	assert.InDelta(t, 23, at(11).Air.V, 0.3, "and cools again")
	assert.Greater(t, at(11).Gust.V, 11.0)
	assert.InDelta(t, 1.8, at(12).Rain.V, 1e-4, "the sum, not the mean of its slots")
	assert.Zero(t, at(13).Rain.V)
	var thunder []int
	for h := range 24 {
		if at(h).Thunder {
			thunder = append(thunder, h)
		}
	}
	assert.Equal(t, []int{14, 15}, thunder, "and half an hour after")
	assert.Less(t, at(0).SunElevation, 0.0)
	assert.Greater(t, at(12).SunElevation, 40.0)
	assert.InDelta(t, 90, at(7).SunAzimuth, 20, "in the east in the morning")
	assert.InDelta(t, 180, at(12).SunAzimuth, 15, "in the south when it stands highest, by the quay's clock")
}

// An hour speaks where four fifths of the members know it, and then by their median.
func TestHours_OfMembers(t *testing.T) {
	f := ensemble(3, 10)
	for k := range f.Members {
		for i := range f.N {
			f.Members[k].Columns[forecast.AirTemperature].Set(i, float64(10+k*k))
		}
	}
	j := smallJob(t, "cleaner-wax")
	hour := func(unknown int) window.Value {
		g := *f
		g.Members = append([]forecast.Member(nil), f.Members...)
		for k := range unknown {
			g.Members[k].Columns[forecast.AirTemperature] = forecast.NewColumn(f.N)
		}
		r := evaluate(t, &g, j, f.Start)
		return r.Weather[30].Air
	}
	assert.InDelta(t, 10+(16.0+25)/2, hour(0).V, 1e-3, "the middle of ten: between the fifth and the sixth")
	assert.True(t, hour(2).Known)
	assert.InDelta(t, 10+(25.0+36)/2, hour(2).V, 1e-3)
	assert.False(t, hour(3).Known, "seven of ten are too few")
}

// What the step meets on the panel: how warm it gets and how near the dew point, and
// whether the sun stands on it for half of the time.
func TestWindows_WhatIsMet(t *testing.T) {
	f := calm(4)
	for i := range f.N {
		f.Members[0].Columns[forecast.CloudCover].Set(i, 0)
		f.Members[0].Columns[forecast.DewPoint].Set(i, 5)
	}
	wins := func(faces float64) (*window.Result, []window.Window) {
		j := smallJob(t, "soap-wash")
		j.Steps[0].Do, j.Zones[0].Faces, j.Zones[0].FacesTrue = "wash", faces, true
		r := evaluate(t, f, j, on(2, 6, 0))
		require.NotEmpty(t, r.Rows[0].Windows)
		return r, r.Rows[0].Windows
	}
	for _, faces := range []float64{90, 180, 270} {
		r, list := wins(faces)
		for _, w := range list {
			sunny, slots := 0, 0
			for h, z := range r.Zones[0].Hours {
				from := r.Grid.Index(r.Weather[h].At)
				if from < w.From || from+6 > w.To {
					continue
				}
				slots++
				sunny += one(z.Sunlight.V > 250)
				assert.LessOrEqual(t, w.Panel.Least, z.Surface.V+1e-3)
				assert.GreaterOrEqual(t, w.Panel.Most, z.Surface.V-1e-3)
				assert.LessOrEqual(t, w.OverDew.Least, z.Spread.V+1e-3)
				assert.GreaterOrEqual(t, w.OverDew.Most, z.Spread.V-1e-3)
			}
			if slots >= 2 && (3*sunny >= 2*slots || 3*sunny <= slots) { // hour by hour it is clear
				assert.Equal(t, 3*sunny >= 2*slots, w.Sunlit, "facing %v from slot %d: %d of %d hours", faces, w.From, sunny, slots)
			}
			assert.True(t, w.Panel.Known && w.OverDew.Known)
		}
	}
	_, north := wins(0)
	for _, w := range north {
		assert.False(t, w.Sunlit, "the north side has no sun in September")
	}
}

// Of two blocks alike the cooler one ranks first: the mean heat index over the
// screening line of 29.4 °C (85 °F), none where it is not that warm.
func TestWindows_Heat(t *testing.T) {
	heat := func(c float64) float64 {
		f := calm(2)
		for i := range f.N {
			f.Members[0].Columns[forecast.AirTemperature].Set(i, c)
			f.Members[0].Columns[forecast.DewPoint].Set(i, 20)
		}
		j := smallJob(t, "soap-wash")
		j.Zones[0].Shelter = boat.Shed
		r := evaluate(t, f, j, f.Start)
		require.NotEmpty(t, r.Rows[0].Windows)
		return r.Rows[0].Windows[0].BestHeat
	}
	assert.Zero(t, heat(24))
	assert.Zero(t, heat(27))
	assert.InDelta(t, 34.1-29.4, heat(32), 0.7, "32 °C at 49 %: the NWS table has 92 to 94 °F at 90 °F and 50 %")
	assert.Greater(t, heat(35), heat(32)+3)
}

// A window's best block is of the useful length, lies in it where it can, and is the
// best that there is: no other of its length is better in state, confidence and heat.
func TestWindows_BestBlock(t *testing.T) {
	f := ensemble(6, 8)
	j := smallJob(t, "cleaner-wax")
	r := evaluate(t, f, j, f.Start)
	slots := r.Rows[0].Slots
	members := 8
	sure := func(from, to int, s verdict.State) int {
		set := slots.Voters[0]
		for i := from; i < to; i++ {
			if s <= verdict.Go {
				set &= slots.Go[i]
			} else {
				set &= slots.Marginal[i]
			}
		}
		n := 0
		for ; set != 0; set &= set - 1 {
			n++
		}
		return n
	}
	worst := func(from, to int) (s verdict.State) {
		for i := from; i < to; i++ {
			s = max(s, slots.State[i])
		}
		return max(s, verdict.Go)
	}
	seen := 0
	for _, w := range r.Rows[0].Windows {
		from, to := w.BestFrom-r.From, w.BestTo-r.From
		require.Equal(t, 12, to-from, "two hours")
		if w.To-w.From < 12 {
			continue // it reaches over the window's ends
		}
		seen++
		require.GreaterOrEqual(t, w.BestFrom, w.From)
		require.LessOrEqual(t, w.BestTo, w.To)
		best := sure(from, to, worst(from, to)) * 20 / members
		for i := w.From - r.From; i+12 <= w.To-r.From; i++ {
			require.GreaterOrEqual(t, worst(i, i+12), worst(from, to))
			if worst(i, i+12) == worst(from, to) {
				require.LessOrEqual(t, sure(i, i+12, worst(from, to))*20/members, best, "slot %d", i)
			}
		}
	}
	assert.Greater(t, seen, 2)
}
