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
)

// rainedOn judges a job under a forecast and rain that was seen.
func rainedOn(t require.TestingT, f *forecast.Forecast, rain []window.Rain, j *job.Job, now time.Time) *window.Result {
	r, err := window.Evaluate(window.Input{
		Forecast: f, Rained: rain, Job: j, Classes: catalogue(t), Location: eastern, Now: now,
	})
	require.NoError(t, err)
	return r
}

// hoursOfRain is the rain by hours from a moment on, as an answer has it, to a thousandth.
func hoursOfRain(r *window.Result, start time.Time) map[int]float64 {
	out := map[int]float64{}
	for _, h := range r.Weather {
		if h.Rain.Known && h.Rain.V > 0 {
			out[int(h.At.Sub(start).Hours())] = float64(int(h.Rain.V*1000+0.5)) / 1000
		}
	}
	return out
}

// Rain that was seen wets the slots that it touches, in every future, and nothing
// else: with what was measured, else half a millimetre an hour or the forecast's more,
// and never less than wets. The forecast that was given is left alone.
func TestRained_Amounts(t *testing.T) {
	f := ensemble(3, 4)
	for k := range f.Members {
		f.Members[k].Columns[forecast.Precipitation].Set(36, 3)
	}
	j := smallJob(t, "polymer-sealant")
	at := func(h float64) time.Time { return f.Start.Add(time.Duration(h * float64(time.Hour))) }
	mm := func(rain ...window.Rain) map[int]float64 {
		for i := range rain {
			rain[i].Observed = true
		}
		return hoursOfRain(rainedOn(t, f, rain, j, at(9)), f.Start)
	}
	measured := func(from, to, v float64) window.Rain {
		return window.Rain{From: at(from), To: at(to), MM: v, HasMM: true}
	}
	assert.Equal(t, map[int]float64{36: 3}, mm(), "without any")
	assert.Equal(t, map[int]float64{10: 2, 11: 3, 36: 3}, mm(measured(10+2./3, 11.5, 5)))
	assert.Equal(t, map[int]float64{10: 0.25, 11: 0.5, 36: 3}, mm(window.Rain{From: at(10.5), To: at(12)}))
	assert.Equal(t, map[int]float64{10: 0.05, 36: 3}, mm(window.Rain{From: at(10), To: at(10.1)}), "six minutes wet a panel")
	assert.Equal(t, map[int]float64{10: 0.1, 36: 3}, mm(measured(10, 11, 0)), "what was seen fell, gauge or not")
	assert.Equal(t, map[int]float64{36: 3}, mm(window.Rain{From: at(36), To: at(37)}), "it is in the forecast already: not twice")
	assert.Equal(t, map[int]float64{36: 1}, mm(measured(36, 37, 1)), "a gauge outranks the forecast")
	assert.Equal(t, map[int]float64{36: 3}, mm(window.Rain{From: at(500), To: at(501)}), "past its end nothing can be written")
	assert.Equal(t, map[int]float64{36: 3}, hoursOfRain(rainedOn(t, f, []window.Rain{{From: at(10), To: at(11)}}, j, at(9)), f.Start), "nobody saw it")
	v, _ := f.Members[0].Columns[forecast.Precipitation].At(10)
	assert.Zero(t, v)
}

// stillDamp is weather in which water goes slowly: grey, still, 4 K over the dew point.
func stillDamp() *forecast.Forecast {
	f := calm(4)
	for i := range f.N {
		c := &f.Members[0].Columns
		c[forecast.AirTemperature].Set(i, 14)
		c[forecast.DewPoint].Set(i, 10)
		c[forecast.WindSpeed].Set(i, 0.5)
		c[forecast.CloudCover].Set(i, 100)
	}
	return f
}

// inForecast is a forecast in which it rains in some hours of its past, 1 mm in each.
func inForecast(f *forecast.Forecast, from, to int) *forecast.Forecast {
	for k := range f.Members {
		for i := from; i < to; i++ {
			f.Members[k].Columns[forecast.Precipitation].Set(i, 1)
		}
	}
	return f
}

// judgements are the windows and refusals of a result.
func judgements(r *window.Result) (out []any) {
	for _, x := range r.Rows {
		out = append(out, x.Windows, x.Refusals)
	}
	for _, z := range r.Zones {
		out = append(out, z.Hours)
	}
	return out
}

// sideAndDeck is a job of machine work and sealing on a side and on a deck, of which the
// side lies under a hardtop where it is asked to.
func sideAndDeck(t testing.TB, shelter boat.Shelter) *job.Job {
	j := smallJob(t, "polymer-sealant")
	j.Zones = append(j.Zones, boat.Zone{Name: "foredeck", Finish: finish(t, "white-gelcoat"), Tilt: 0, AreaM2: 8})
	j.Zones[0].Shelter = shelter
	j.Steps = []job.Step{
		{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{0, 1}},
		{Name: "seal", Do: "seal", With: "polymer-sealant", On: []int{0, 1}},
	}
	return j
}

// The same rain gives the same answer, whoever tells of it: the forecast's own past, an
// entry of the book, both, or both and the job, which the entry is brought into.
func TestRained_AsInTheForecast(t *testing.T) {
	now := on(2, 11, 10)
	for _, shelter := range []boat.Shelter{boat.Open, boat.Hardtop} {
		for _, towel := range []bool{true, false} {
			j := sideAndDeck(t, shelter)
			j.Towel = towel
			dry := evaluate(t, stillDamp(), j, now)
			from := int(on(2, 10, 0).Sub(dry.Grid.Start) / time.Hour)
			want := evaluate(t, inForecast(stillDamp(), from, from+1), j, now)
			rain := []window.Rain{{From: on(2, 10, 0), To: on(2, 11, 0), MM: 1, HasMM: true, Observed: true}}
			since := *j
			since.Since = job.Since{HasRain: true, Rain: on(2, 11, 0)}
			assert.Equal(t, judgements(want), judgements(rainedOn(t, stillDamp(), rain, j, now)), "%v, towel %v: logged", shelter, towel)
			assert.Equal(t, judgements(want), judgements(rainedOn(t, inForecast(stillDamp(), from, from+1), rain, j, now)), "both")
			assert.Equal(t, judgements(want), judgements(rainedOn(t, stillDamp(), rain, &since, now)), "logged, and brought into the job")
			assert.NotEqual(t, judgements(want), judgements(dry), "it is no matter whether it rained")
		}
	}
}

// filmIn is the water on a zone at the end of an hour, g/m².
func filmIn(t testing.TB, r *window.Result, zone int, hour time.Time) float64 {
	for i, h := range r.Zones[zone].Hours {
		if r.Weather[i].At.Equal(hour) {
			return h.Film.V
		}
	}
	t.Fatal("no such hour")
	return 0
}

// Soon after a rain the panel is wet, by how much soever the rain was told.
func TestRained_WetsThePanel(t *testing.T) {
	f, j, now := stillDamp(), sideAndDeck(t, boat.Open), on(2, 10, 50)
	film := func(r *window.Result, zone int) float64 { return filmIn(t, r, zone, on(2, 10, 0)) }
	rain := []window.Rain{{From: on(2, 10, 0), To: on(2, 10, 40), Observed: true}}
	dry, logged := evaluate(t, f, j, now), rainedOn(t, f, rain, j, now)
	j.Since = job.Since{HasRain: true, Rain: on(2, 10, 40)}
	said := evaluate(t, f, j, now)
	for zone := range 2 {
		assert.Zero(t, film(dry, zone))
		assert.Positive(t, film(logged, zone))
		assert.Positive(t, film(said, zone), "only when it ended is told")
	}
	j.Since.Rain = on(2, 11, 0)
	assert.Zero(t, film(evaluate(t, f, j, now), 0), "it has not ended yet")
}

// Of a day of which somebody told, no rain of the forecast has fallen until now; what is
// still to come stands, and so does what fell on other days.
func TestRained_OutranksTheForecastOfItsDay(t *testing.T) {
	f, j := calm(4), smallJob(t, "polymer-sealant")
	hour := func(day, h int) int { return int(on(day, h, 0).Sub(f.Start) / time.Hour) }
	f.Members[0].Columns[forecast.WeatherCode] = forecast.NewColumn(f.N)
	for _, h := range []int{hour(1, 20), hour(2, 3), hour(2, 14)} {
		inForecast(f, h, h+1)
		f.Members[0].Columns[forecast.WeatherCode].Set(h, 51)
	}
	rain := []window.Rain{{From: on(2, 7, 0), To: on(2, 8, 0), MM: 2, HasMM: true, Observed: true}}
	r, err := window.Evaluate(window.Input{
		Forecast: f, Rained: rain, RainedUntil: on(2, 11, 10), Job: j, Classes: catalogue(t), Location: eastern, Now: on(1, 12, 0),
	})
	require.NoError(t, err)
	assert.Equal(t, map[int]float64{hour(1, 20): 1, hour(2, 7): 2, hour(2, 14): 1}, hoursOfRain(r, f.Start))
}

// A wash that is told leaves a dry panel, of the dew and rain before too, for the trade
// dries at once; where nobody has a towel its water has to go by itself. What was read
// after it has the last word, and a wash of a part says nothing of the rest.
func TestWashed_LeavesItDry(t *testing.T) {
	f, now := stillDamp(), on(2, 8, 10)
	rain := []window.Rain{{From: on(2, 7, 0), To: on(2, 7, 50), Observed: true}}
	film := func(zone int, change func(*job.Job), reads ...job.Reading) float64 {
		j := sideAndDeck(t, boat.Open)
		if change != nil {
			change(j)
		}
		r, err := window.Evaluate(window.Input{
			Forecast: f, Rained: rain, Job: j, Classes: catalogue(t), Location: eastern, Now: now, Readings: reads,
		})
		require.NoError(t, err)
		return filmIn(t, r, zone, on(2, 8, 0))
	}
	washed := func(share float64) func(*job.Job) {
		return func(j *job.Job) {
			for z := range j.Zones {
				j.Zones[z].Done = map[string]boat.Done{"wash": {At: on(2, 8, 0), Share: share}}
			}
		}
	}
	for zone := range 2 {
		left := film(zone, nil)
		require.Positive(t, left)
		assert.Zero(t, film(zone, washed(1)))
		assert.Zero(t, film(zone, func(j *job.Job) { j.Since = job.Since{HasWash: true, Wash: on(2, 8, 0)} }))
		assert.InDelta(t, left, film(zone, washed(0.5)), 1e-9, "half of it is as the rain left it")
		assert.Positive(t, film(zone, washed(1), job.Reading{At: on(2, 8, 5), Zone: []string{"port side", "foredeck"}[zone], Wet: job.Yes}))
		noTowel := func(j *job.Job) { washed(1)(j); j.Towel = false }
		assert.Greater(t, film(zone, noTowel), left, "the wash wets it anew, and nobody dries it")
	}
}

// Rain that was told of and is over does not fall now; what the forecast has of the rest of its
// hour falls from the next slot on. Of an hour of which nobody told, the hour is all that is known.
func TestHour_RainFrom(t *testing.T) {
	f := calm(3)
	at := func(h float64) time.Time { return f.Start.Add(time.Duration(h * float64(time.Hour))) }
	seen := []window.Rain{{From: at(36), To: at(36 + 1./3), MM: 2, HasMM: true, Observed: true}}
	from := func(rain []window.Rain, now time.Time) string {
		for _, h := range rainedOn(t, f, rain, smallJob(t, "polymer-sealant"), now).Weather {
			if when := h.RainFrom(now).In(eastern); h.At.Equal(at(36)) && !h.RainFrom(now).IsZero() {
				return when.Format("15:04")
			}
		}
		return ""
	}
	later := at(36 + 7./12) // 12:35
	assert.Empty(t, from(seen, later))
	f.Members[0].Columns[forecast.Precipitation].Set(36, 1)
	assert.Equal(t, "12:40", from(seen, later))
	assert.Empty(t, from(seen, at(36+55./60)))
	assert.Equal(t, "12:00", from(nil, later))
}

// Rain that somebody saw end at five past is over then: what is stripped, hazes or cures at
// half past was not rained on, though the hour has rain. What is still to come of the hour by
// the forecast lasts as long as that has it.
func TestForecastRain_EndsAsItWasSeen(t *testing.T) {
	f := calm(3)
	at := func(h float64) time.Time { return f.Start.Add(time.Duration(h * float64(time.Hour))) }
	seen := []window.Rain{{From: at(36), To: at(36 + 1./12), MM: 2, HasMM: true, Observed: true}}
	spells := func(now float64) [][2]string {
		var out [][2]string
		for _, r := range window.ForecastRain(rainedOn(t, f, seen, smallJob(t, "polymer-sealant"), at(now)), at(30), at(60)) {
			out = append(out, [2]string{r.From.In(eastern).Format("15:04"), r.To.In(eastern).Format("15:04")})
		}
		return out
	}
	assert.Equal(t, [][2]string{{"12:00", "12:10"}}, spells(36.5))
	f.Members[0].Columns[forecast.Precipitation].Set(40, 1)
	assert.Equal(t, [][2]string{{"12:00", "12:10"}, {"16:00", "17:00"}}, spells(36.5), "nobody has told of the afternoon yet")
	f.Members[0].Columns[forecast.Precipitation].Set(36, 1)
	assert.Equal(t, [][2]string{{"12:00", "13:00"}, {"16:00", "17:00"}}, spells(36.1), "the forecast has more of it to come")
	seen = nil
	assert.Equal(t, [][2]string{{"12:00", "13:00"}, {"16:00", "17:00"}}, spells(36.5))
}
