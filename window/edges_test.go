package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// Of two yes/no limits the first of the list is named, be it the marina's or
// the crew's.
func TestListOrder(t *testing.T) {
	f := calm(5)
	noon := time.Date(2026, 9, 3, 12, 0, 0, 0, eastern)
	j := smallJob(t, "acid-cleaner")
	j.People, j.Place.Water = 0, "soap"
	j.PeopleDates = map[job.Date]int{job.DateOf(noon): 1}
	j.Steps[0].With = "professional-ceramic"
	j.Zones[0].Salt = true
	_, l := stateAt(evaluate(t, f, j, f.Start), 0, noon)
	assert.Equal(t, verdict.People, l)
	j.Steps[0].With, j.PeopleDates[job.DateOf(noon)] = "acid-cleaner", 0
	_, l = stateAt(evaluate(t, f, j, f.Start), 0, noon)
	assert.Equal(t, verdict.Away, l, "nobody on that day")
	j.PeopleDates[job.DateOf(noon)] = 1
	_, l = stateAt(evaluate(t, f, j, f.Start), 0, noon)
	assert.Equal(t, verdict.Water, l)
}

// A strip wash takes the salt off as a wash does.
func TestStripWashTakesSalt(t *testing.T) {
	f := calm(5)
	noon := time.Date(2026, 9, 3, 12, 0, 0, 0, eastern)
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].Salt = true
	j.Steps = append([]job.Step{{Name: "strip wash", Do: "strip wash", With: "soap-wash", On: []int{0}}}, j.Steps...)
	r := evaluate(t, f, j, f.Start)
	for row := range r.Rows {
		_, l := stateAt(r, row, noon)
		assert.NotEqual(t, verdict.Salt, l)
	}
}

// Without a lamp an inspection waits for sun on the panel.
func TestInspection(t *testing.T) {
	f := calm(5)
	j := smallJob(t, "")
	j.Steps[0] = job.Step{Name: "inspect", Do: "inspect", On: []int{0}}
	j.ShortestH = 0.1
	at := func(hour int) verdict.State { // the port side looks east-south-east
		s, _ := stateAt(evaluate(t, f, j, f.Start), 0, time.Date(2026, 9, 3, hour, 0, 0, 0, eastern))
		return s
	}
	assert.True(t, at(16).Workable())
	j.Lamps = false
	assert.Equal(t, verdict.NoGo, at(16))
	assert.True(t, at(10).Workable())
}

// The water behind the lowest strip of a side afloat: its temperature is the
// past week's mean air unless the job says; ashore it does not matter.
func TestWaterBehind(t *testing.T) {
	f := calm(5)
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].NearWater, j.Zones[0].Skin = true, boat.Solid
	night := time.Date(2026, 9, 4, 3, 0, 0, 0, eastern)
	surface := func() (float64, []string) {
		r := evaluate(t, f, j, f.Start.Add(48*time.Hour))
		return r.Zones[0].Hours[int(night.Sub(r.Weather[0].At)/time.Hour)].Surface.V, r.Warnings
	}
	mean, warnings := surface()
	require.Len(t, warnings, 1)
	assert.Contains(t, warnings[0], "20 °C")
	j.Place.HasWaterC, j.Place.WaterC = true, 5
	cold, warnings := surface()
	assert.Empty(t, warnings)
	assert.Less(t, cold, mean-3)
	j.Place.HasWaterC, j.Afloat = false, false
	_, warnings = surface()
	assert.Empty(t, warnings)
}

// The lowest strip of a side afloat follows the water under a dull sky, whatever the rest of the side
// is built of, and sweats where that is colder than the dew point: nobody seals a
// sweating hull, while the side above it is fine (common practice, no source). On the
// hard it is a side like any other.
func TestWaterBehind_AnyBuild(t *testing.T) {
	f := calm(4)
	for i := range f.N {
		f.Members[0].Columns[forecast.AirTemperature].Set(i, 22)
		f.Members[0].Columns[forecast.DewPoint].Set(i, 14)
		f.Members[0].Columns[forecast.CloudCover].Set(i, 100)
		for _, q := range []forecast.Quantity{forecast.GlobalRadiation, forecast.DirectRadiation, forecast.DiffuseRadiation} {
			f.Members[0].Columns[q] = forecast.Column{}
		}
	}
	for _, c := range []struct {
		finish string
		with   string
	}{{"white-gelcoat", "polymer-sealant"}, {"white-paint", "paint-sealant"}, {"aluminium", "polymer-sealant"}} {
		j := smallJob(t, c.with)
		low := j.Zones[0]
		low.Finish = finish(t, c.finish)
		low.Skin, low.Behind, low.Faces = low.Finish.Skin, low.Finish.Behind, 0
		above := low
		low.Name, low.NearWater = "low", true
		j.Zones, j.Steps[0].On = []boat.Zone{low, above}, []int{0, 1}
		j.Place.HasWaterC, j.Place.WaterC = true, 8
		r := evaluate(t, f, j, f.Start.Add(24*time.Hour))
		assert.Empty(t, r.Rows[0].Windows, c.finish)
		assert.NotEmpty(t, r.Rows[1].Windows, c.finish)
		for k, h := range r.Zones[0].Hours {
			if l := r.Weather[k].At.In(eastern); l.Hour() < 6 {
				assert.Less(t, h.Surface.V, 14.0, "%s at %s", c.finish, l)
			}
		}
		j.Afloat = false
		r = evaluate(t, f, j, f.Start.Add(24*time.Hour))
		assert.Equal(t, runs(r.Rows[1].Windows), runs(r.Rows[0].Windows), "%s on the hard", c.finish)
	}
}

// More people wash and dry more at once, day by day.
func TestSectionsByPeople(t *testing.T) {
	f := calm(4)
	j := smallJob(t, "soap-wash")
	j.PeopleDates = map[job.Date]int{{Year: 2026, Month: 9, Day: 3}: 4}
	r := evaluate(t, f, j, f.Start)
	two := evaluate(t, f, smallJob(t, "soap-wash"), f.Start)
	for day, times := range map[int]float64{2: 1, 3: 2} {
		i := r.Grid.Index(time.Date(2026, 9, day, 10, 0, 0, 0, eastern)) - r.From
		assert.InDelta(t, times*float64(two.Rows[0].Section[i]), r.Rows[0].Section[i], 1e-3)
	}
}

// A sheet has open sides: strong wind drives rain in under it, though not into a
// tent or a shed; what falls, not what counts as rain, is told by the hour.
func TestRainUnderCanvas(t *testing.T) {
	f := calm(5)
	at := time.Date(2026, 9, 3, 12, 0, 0, 0, eastern)
	i, _ := f.Index(at)
	m := &f.Members[0]
	m.Columns[forecast.Precipitation].Set(i, 2)
	m.Columns[forecast.Precipitation].Set(i+3, 0.05)
	m.Columns[forecast.WindFrom] = forecast.NewColumn(f.N)
	for k := range f.N {
		m.Columns[forecast.WindSpeed].Set(k, 7)
		m.Columns[forecast.WindFrom].Set(k, 110)
	}
	limit := func(j *job.Job) verdict.Limit {
		_, l := stateAt(evaluate(t, f, j, f.Start), 0, at)
		return l
	}
	j := smallJob(t, "compound-rotary")
	j.Zones[0].Shelter = boat.Canvas
	assert.Equal(t, verdict.Film, limit(j))
	j.Zones[0].Shelter = boat.Shed
	assert.NotEqual(t, verdict.Film, limit(j))
	j.Zones[0].Shelter = boat.Open
	j.Covers = []job.Cover{{Zones: []string{"port side"}, Kind: boat.Canvas}}
	assert.Equal(t, verdict.Film, limit(j))
	j.Covers[0].Tent = true
	assert.NotEqual(t, verdict.Film, limit(j))
	r := evaluate(t, f, j, f.Start)
	h := int(at.Sub(r.Weather[0].At) / time.Hour)
	assert.InDelta(t, 0.05, r.Weather[h+3].Rain.V, 1e-6)
	assert.True(t, r.Weather[h+3].Rain.Known)
	m.Columns[forecast.PrecipitationProbability] = m.Columns[forecast.Precipitation]
	m.Columns[forecast.Precipitation] = forecast.Column{}
	assert.False(t, evaluate(t, f, j, f.Start).Weather[h].Rain.Known, "a chance is no amount")
}

// A forecast without a past: what lies on open panels and when it last rained
// nobody knows; what the person says of the rain is heard.
func TestNoPast(t *testing.T) {
	f := later(calm(5), 30)                            // from 06:00
	j := smallJob(t, "moisture-cure-sealant")          // bedding: dew restarts its drying
	j.Zones[0].Faces, j.Zones[0].FacesTrue = 290, true // in the shade till noon
	at := f.Start.Add(210 * time.Minute)
	s, l := stateAt(evaluate(t, f, j, f.Start), 0, at)
	assert.Equal(t, [2]any{verdict.Unknown, verdict.Data}, [2]any{s, l})
	j.Since = job.Since{HasRain: true, Rain: f.Start.Add(-60 * time.Hour)}
	r := evaluate(t, f, j, f.Start)
	s, _ = stateAt(r, 0, at)
	assert.NotContains(t, []verdict.State{verdict.Ideal, verdict.Go, verdict.Marginal}, s, "the night's dew")
	assert.False(t, r.Zones[0].Hours[0].Film.Known)
	assert.True(t, r.Zones[0].Hours[9].Film.Known)
	j = smallJob(t, "compound-rotary")
	j.Since = job.Since{HasRain: true, Rain: f.Start.Add(-30 * time.Minute)}
	s, _ = stateAt(evaluate(t, f, j, f.Start), 0, f.Start.Add(time.Hour))
	assert.False(t, s.Workable(), "it rained half an hour before the data")
}

// later is a forecast without its first n intervals.
func later(f *forecast.Forecast, n int) *forecast.Forecast {
	for k := range f.Members {
		for q := range f.Members[k].Columns {
			if c := &f.Members[k].Columns[q]; c.Any() {
				c.Values, c.Known = c.Values[n:], c.Known[n:]
			}
		}
	}
	f.Start, f.N = f.Start.Add(time.Duration(n)*f.Step), f.N-n
	return f
}
