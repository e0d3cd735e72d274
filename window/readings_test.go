package window_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/forecast/air"
	ens "dewgap/forecast/ensemble"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// quay is four days of fair weather, dry enough to begin early, seen at a quarter
// past six on the second morning.
func quay() (*forecast.Forecast, time.Time) {
	f := calm(4)
	for i := range f.N {
		f.Members[0].Columns[forecast.DewPoint].Set(i, 7)
		f.Members[0].Columns[forecast.CloudCover].Set(i, 90)
	}
	return f, f.Start.Add(30*time.Hour + 15*time.Minute)
}

func num(v float64) job.Measured { return job.Measured{V: v, Known: true} }

// with evaluates a job with what was read.
func with(t require.TestingT, f *forecast.Forecast, j *job.Job, now time.Time, read ...job.Reading) *window.Result {
	r, err := window.Evaluate(window.Input{
		Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now, Readings: read,
	})
	require.NoError(t, err)
	return r
}

// start is when a row's first window begins.
func start(t require.TestingT, r *window.Result, row int) time.Time {
	require.NotEmpty(t, r.Rows[row].Windows)
	return r.Grid.At(r.Rows[row].Windows[0].From)
}

// use finds what became of the one thing of a kind that was read.
func use(t require.TestingT, r *window.Result, kind string) window.ReadingUse {
	var found []window.ReadingUse
	for _, u := range r.Readings {
		if u.Kind == kind {
			found = append(found, u)
		}
	}
	require.Len(t, found, 1, kind)
	return found[0]
}

// hourOf is the hour of the answer that holds a moment.
func hourOf(r *window.Result, at time.Time) int { return int(at.Sub(r.Weather[0].At) / time.Hour) }

// Port side 13.4 °C measured where the forecast made it some 15, air 15.0 at 91 %:
// damper and colder than foreseen, so that the sealant starts later, at a spread
// that its class allows.
func TestReadings_AMorning(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	j.Berths[0].Bow, j.Hours.Default[0].From = 0, 6*60 // port looks west, away from the morning sun
	plain := evaluate(t, f, j, now)
	assert.Equal(t, "06:10", start(t, plain, 0).In(eastern).Format("15:04"))

	at := now.Add(-5 * time.Minute)
	r := with(t, f, j, now,
		job.Reading{At: at.Add(2 * time.Minute), Zone: "port side", SurfaceC: num(13.4), By: job.Infrared, Wet: job.Yes, Sun: job.No},
		job.Reading{At: at, AirC: num(15), HumidityPct: num(91), WindMS: num(1), Sky: job.SkyClear})
	later := start(t, r, 0)
	assert.True(t, later.After(start(t, plain, 0).Add(30*time.Minute)), "starts %s", later.In(eastern))
	assert.True(t, later.Before(start(t, plain, 0).Add(3*time.Hour)), "starts %s", later.In(eastern))
	s, l := stateAt(r, 0, now)
	assert.Equal(t, [2]any{verdict.NoGo, verdict.Film}, [2]any{s, l})
	require.Equal(t, []string{window.ReadAir, window.ReadHumidity, window.ReadWind, window.ReadSurface, window.ReadWet}, kinds(r))
	for _, u := range r.Readings {
		assert.True(t, u.Used, "%s: %s", u.Text, u.Reason)
		assert.Empty(t, u.Reason, u.Text)
	}
	damp := use(t, r, window.ReadHumidity)
	assert.InDelta(t, air.DewPoint(15, 91), damp.Dew.V, 1e-9)
	assert.Equal(t, "06:10 humidity 91 %, dew point 13.5 ± 0.5 °C (forecast 7.0 °C)", damp.Text)
	assert.Equal(t, "06:10 air 15.0 °C (forecast 16.0 °C)", use(t, r, window.ReadAir).Text)
	panel := use(t, r, window.ReadSurface)
	assert.True(t, strings.HasPrefix(panel.Text, "06:12 port side 13.4 °C by infrared (forecast 1"), panel.Text)
	assert.InDelta(t, 14, panel.Forecast.V, 1.2)
	assert.Equal(t, "06:12 port side wet", use(t, r, window.ReadWet).Text)

}

func kinds(r *window.Result) (out []string) {
	for _, u := range r.Readings {
		out = append(out, u.Kind)
	}
	return out
}

// A reading may lift a no-go too: the panel that the forecast has wet is dry, the
// air drier. The answer names what it was.
func TestReadings_LiftWhatTheForecastRefuses(t *testing.T) {
	f := calm(4)
	for i := range f.N {
		temp, _ := f.Members[0].Columns[forecast.AirTemperature].At(i)
		f.Members[0].Columns[forecast.DewPoint].Set(i, min(temp, 18))
		f.Members[0].Columns[forecast.CloudCover].Set(i, 0)
	}
	now := f.Start.Add(31*time.Hour + 15*time.Minute)
	j := smallJob(t, "spray-sealant")
	s, l := stateAt(evaluate(t, f, j, now), 0, now)
	require.Equal(t, verdict.NoGo, s, "%v", l)
	r := with(t, f, j, now, job.Reading{At: now.Add(-time.Minute), AirC: num(17), HumidityPct: num(70)},
		job.Reading{At: now.Add(-time.Minute), Zone: "port side", SurfaceC: num(17), By: job.Contact, Wet: job.No})
	s, l = stateAt(r, 0, now)
	assert.LessOrEqual(t, s, verdict.Marginal, "%v", l)
	assert.True(t, use(t, r, window.ReadWet).Used)
}

// Readings that the forecast foresaw change no state and no window; no readings
// leave no trace.
func TestReadings_AgreementChangesNothing(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].Skin = boat.Solid
	plain := evaluate(t, f, j, now)
	assert.Nil(t, plain.Readings)
	assert.Nil(t, plain.HazeMin)
	at := now.Add(-5 * time.Minute)
	m := &f.Members[0]
	temp, _ := ens.Instant(f, m, forecast.AirTemperature, at)
	wind, _ := ens.Instant(f, m, forecast.WindSpeed, at)
	probe := with(t, f, j, now, job.Reading{At: at, Zone: "port side", SurfaceC: num(15), By: job.Contact})
	read := use(t, probe, window.ReadSurface).Forecast.V
	r := with(t, f, j, now,
		job.Reading{At: at, AirC: num(temp), HumidityPct: num(air.Humidity(temp, 7)), WindMS: num(wind * j.Place.Wind.Share())},
		job.Reading{At: at, Zone: "port side", SurfaceC: num(read), By: job.Contact, Wet: job.No})
	for _, u := range r.Readings {
		require.True(t, u.Used, "%s: %s", u.Text, u.Reason)
	}
	require.Len(t, r.Rows[0].Windows, len(plain.Rows[0].Windows))
	for i, w := range r.Rows[0].Windows {
		was := plain.Rows[0].Windows[i]
		assert.Equal(t, [3]any{was.From, was.To, was.State}, [3]any{w.From, w.To, w.State})
	}
	for h := range plain.Weather {
		assert.InDelta(t, plain.Weather[h].Air.V, r.Weather[h].Air.V, 1e-4)
		assert.InDelta(t, plain.Zones[0].Hours[h].Surface.V, r.Zones[0].Hours[h].Surface.V, 1e-3)
	}
}

// What is read wears off: the air of the next days is the forecast's.
func TestReadings_WearOff(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	plain := evaluate(t, f, j, now)
	r := with(t, f, j, now, job.Reading{At: now, AirC: num(10), HumidityPct: num(95), WindMS: num(6)},
		job.Reading{At: now, Zone: "port side", SurfaceC: num(8), By: job.Contact})
	off := func(h int) float64 { return plain.Weather[h].Air.V - r.Weather[h].Air.V }
	assert.Greater(t, off(1), 3.0)
	assert.InDelta(t, 0, off(40), 0.05)
	assert.InDelta(t, 7, f.Members[0].Columns[forecast.DewPoint].Values[40], 0, "the forecast handed in is only read")
}

// Infrared on bare metal is refused and changes nothing; so is what lies far off.
func TestReadings_Refused(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].Finish, j.Zones[0].Skin = finish(t, "stainless"), boat.Plate
	plain := evaluate(t, f, j, now)
	r := with(t, f, j, now, job.Reading{At: now, Zone: "port side", SurfaceC: num(2), By: job.Infrared},
		job.Reading{At: now, AirC: num(54), HumidityPct: num(50)})
	assert.Equal(t, plain.Rows, r.Rows)
	panel := use(t, r, window.ReadSurface)
	assert.False(t, panel.Used)
	assert.Contains(t, panel.Reason, "infrared on bare stainless")
	assert.Contains(t, use(t, r, window.ReadAir).Reason, "K off the forecast: check the unit")
	assert.Contains(t, use(t, r, window.ReadHumidity).Reason, "read with it is not used")
	twice := with(t, f, j, now, job.Reading{At: now, AirC: num(26)}, job.Reading{At: now.Add(-20 * time.Minute), AirC: num(25)})
	require.Len(t, twice.Readings, 2)
	assert.Equal(t, [2]bool{false, true}, [2]bool{twice.Readings[0].Used, twice.Readings[1].Used})
	assert.Equal(t, "a later reading counts", twice.Readings[0].Reason)
	assert.Contains(t, twice.Readings[1].Reason, "read twice")
}

// A glossy deck under the clear sky of dawn: the reading bounds the panel from
// above and never warms it.
func TestReadings_SkyGlare(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].Tilt = 0
	now = now.Add(-time.Hour) // before sunrise
	deck := func(c float64, sky job.SkyCover) window.ReadingUse {
		r := with(t, f, j, now, job.Reading{At: now.Add(-10 * time.Minute), Zone: "port side", SurfaceC: num(c), By: job.Infrared},
			job.Reading{At: now.Add(-15 * time.Minute), Salt: job.No, Sky: sky})
		return use(t, r, window.ReadSurface)
	}
	model := deck(10, job.SkyNotTold)
	assert.True(t, model.Used, "by the forecast the sky is covered: %s", model.Reason)
	warm := deck(model.Forecast.V-3, job.SkyClear)
	assert.False(t, warm.Used)
	assert.Contains(t, warm.Reason, "reads 2 to 5 K low")
	cold := deck(model.Forecast.V-8, job.SkyClear)
	assert.True(t, cold.Used, "even 5 K more is colder than the model")
	assert.Contains(t, cold.Reason, "lifts no limit")
}

// Wet or dry counts on a part with another finish, a temperature does not.
func TestReadings_Parts(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].Parts = []boat.Part{{Name: "boot stripe", Finish: finish(t, "navy-gelcoat")}}
	r := with(t, f, j, now, job.Reading{At: now, Zone: "port side", SurfaceC: num(12), By: job.Contact, Wet: job.Yes})
	require.Len(t, r.Readings, 2)
	assert.Equal(t, 1, strings.Count(r.Readings[0].Text, "forecast"))
	s, l := stateAt(r, 0, now.Add(time.Hour))
	assert.NotEqual(t, verdict.None, l, "%v", s)
}

// Seen dry under forecast rain: believed for the moment, with a word on the rain.
func TestReadings_DryInTheRain(t *testing.T) {
	f, now := quay()
	for i := range f.N {
		f.Members[0].Columns[forecast.Precipitation].Set(i, 1)
	}
	r := with(t, f, smallJob(t, "polymer-sealant"), now, job.Reading{At: now, Zone: "port side", Wet: job.No})
	dry := use(t, r, window.ReadWet)
	assert.True(t, dry.Used)
	assert.Equal(t, "by the forecast water falls on it then", dry.Reason)
}

// Humidity read without air is taken with the forecast's; of several readings the
// last counts, and an air temperature that a later one outdates leaves its
// humidity standing.
func TestReadings_HumidityAndAirApart(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	r := with(t, f, j, now, job.Reading{At: now.Add(-15 * time.Minute), HumidityPct: num(80)})
	damp := use(t, r, window.ReadHumidity)
	assert.True(t, damp.Used, damp.Reason)
	assert.InDelta(t, air.DewPoint(15.75, 80), damp.Dew.V, 0.2)
	assert.InDelta(t, damp.Dew.V, r.Weather[0].Dew.V, 0.3)

	r = with(t, f, j, now, job.Reading{At: now.Add(-time.Hour), AirC: num(14), HumidityPct: num(85)},
		job.Reading{At: now, AirC: num(13)})
	assert.Equal(t, []bool{false, true, true}, []bool{r.Readings[0].Used, r.Readings[1].Used, r.Readings[2].Used})
	assert.InDelta(t, air.DewPoint(14, 85), r.Weather[0].Dew.V, 0.6)

	gap := calm(4)
	for i := range gap.N {
		gap.Members[0].Columns[forecast.AirTemperature].Known[i] = i > 40
	}
	gone := with(t, gap, j, now, job.Reading{At: now, HumidityPct: num(80)})
	assert.Contains(t, use(t, gone, window.ReadHumidity).Reason, "nothing of that moment")
}

// What an infrared thermometer or a meter cannot tell of a step that washes, it
// does not hold against it: teak cleaner goes on wet wood.
func TestReadings_WetWorkAsksNoMeter(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "teak-cleaner")
	j.Zones[0].Finish, j.Zones[0].Skin = finish(t, "teak"), boat.Plank
	r := with(t, f, j, now, job.Reading{At: now, Zone: "port side", MoisturePct: num(40)})
	for _, x := range r.Rows[0].Refusals {
		assert.NotEqual(t, verdict.Moisture, x.Limit)
	}
	assert.True(t, use(t, r, window.ReadMoisture).Used)
}

// A meter's word on teak outranks the clock, on wood alone.
func TestReadings_Moisture(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "teak-sealer")
	j.Zones[0].Name, j.Zones[0].Finish, j.Zones[0].Skin, j.Zones[0].Tilt = "aft deck", finish(t, "teak"), boat.Plank, 0
	j.Since = job.Since{HasRain: true, Rain: now.Add(-20 * time.Hour)}
	noon := now.Truncate(24 * time.Hour).Add(16 * time.Hour)
	at := func(pct float64) (verdict.State, verdict.Limit) {
		return stateAt(with(t, f, j, now, job.Reading{At: now, Zone: "aft deck", MoisturePct: num(pct)}), 0, noon)
	}
	_, l := stateAt(evaluate(t, f, j, now), 0, noon)
	require.Equal(t, verdict.DryOff, l)
	_, l = at(14)
	assert.NotContains(t, []verdict.Limit{verdict.DryOff, verdict.Moisture}, l)
	s, l := at(22)
	assert.Equal(t, [2]any{verdict.NoGo, verdict.Moisture}, [2]any{s, l})

	twice := with(t, f, j, now, job.Reading{At: now, Zone: "aft deck", MoisturePct: num(14)},
		job.Reading{At: now.Add(-time.Hour), Zone: "aft deck", MoisturePct: num(30)})
	assert.Equal(t, "a later reading counts", twice.Readings[0].Reason)
	_, l = stateAt(twice, 0, noon)
	assert.NotEqual(t, verdict.Moisture, l)

	j.Zones[0].Finish = finish(t, "white-gelcoat")
	r := with(t, f, j, now, job.Reading{At: now, Zone: "aft deck", MoisturePct: num(30)})
	assert.Equal(t, "white-gelcoat is not wood", use(t, r, window.ReadMoisture).Reason)
}

// The latest test patch of a class on a zone is told; it outranks the class.
func TestReadings_Haze(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	patch := func(ago time.Duration, min float64) job.Reading {
		return job.Reading{At: now.Add(-ago), Zone: "port side", Product: "polymer-sealant", HazeMin: num(min)}
	}
	r := with(t, f, j, now, patch(time.Hour, 38), patch(3*time.Hour, 55))
	assert.Equal(t, map[window.Patch]float64{{Zone: 0, Class: "polymer-sealant"}: 38}, r.HazeMin)
	assert.Equal(t, "05:15 port side polymer-sealant hazed in 38 min", r.Readings[1].Text)
	assert.True(t, r.Readings[1].Used)
	assert.False(t, r.Readings[0].Used)
}

// Whatever else cannot be used says why.
func TestReadings_Reasons(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	for reason, m := range map[string]job.Reading{
		"it lies in the future":    {At: now.Add(time.Hour), AirC: num(15)},
		"the job has no such zone": {At: now, Zone: "mast", Wet: job.Yes},
		"no zone is named":         {At: now, Wet: job.Yes},
		"nothing of that moment":   {At: f.Start.Add(-time.Hour), AirC: num(15)},
		"nothing of that moment ":  {At: f.Start.Add(-time.Hour), WindMS: num(1)},
		"older than 13.5 h":        {At: now.Add(-14 * time.Hour), AirC: num(15)},
		"older than 7.5 h":         {At: now.Add(-8 * time.Hour), WindMS: num(3)},
		"outside the hours":        {At: f.Start.Add(-time.Hour), Zone: "port side", Wet: job.No},
		"older than 48 h":          {At: now.Add(-72 * time.Hour), Salt: job.Yes},
	} {
		r := with(t, f, j, now, m)
		require.Len(t, r.Readings, 1, reason)
		assert.False(t, r.Readings[0].Used, reason)
		assert.Contains(t, r.Readings[0].Reason, strings.TrimSpace(reason))
	}
	old := with(t, f, j, now, job.Reading{At: now.Add(-10 * time.Hour), AirC: num(15)})
	assert.True(t, strings.HasPrefix(old.Readings[0].Text, "Tue 1 Sep 20:15 air"), old.Readings[0].Text)
}

// Missing data stay missing: no reading makes an unknown slot known.
func TestReadings_MissingStaysMissing(t *testing.T) {
	f, now := quay()
	for i := range f.N {
		f.Members[0].Columns[forecast.DewPoint].Known[i] = i < 10 || i > 40
	}
	j := smallJob(t, "polymer-sealant")
	r := with(t, f, j, now, job.Reading{At: now, AirC: num(15), HumidityPct: num(70)},
		job.Reading{At: now, Zone: "port side", SurfaceC: num(15), By: job.Contact, Wet: job.No})
	s, l := stateAt(r, 0, now.Add(2*time.Hour))
	assert.Equal(t, [2]any{verdict.Unknown, verdict.Data}, [2]any{s, l})
	assert.Contains(t, use(t, r, window.ReadSurface).Reason, "the forecast lacks")
	assert.Contains(t, use(t, r, window.ReadHumidity).Reason, "nothing of that moment")
}

// The futures of a dressed forecast meet the reading, as the members of an
// ensemble do; the answer does not hang on the order of the readings nor on the
// number of workers.
func TestReadings_MembersAndOrder(t *testing.T) {
	f, now := quay()
	in := window.Input{
		Forecast: f, Job: smallJob(t, "polymer-sealant"), Classes: catalogue(t), Location: eastern, Now: now,
		Dressed: ens.Dress(f, 6, now, ens.Options{}),
		Readings: []job.Reading{
			{At: now.Add(-time.Minute), AirC: num(14), HumidityPct: num(90), WindMS: num(2)},
			{At: now, Zone: "port side", SurfaceC: num(13), By: job.Contact, Wet: job.Yes},
		},
	}
	one, err := window.Evaluate(in)
	require.NoError(t, err)
	in.Readings = []job.Reading{in.Readings[1], in.Readings[0]}
	in.Workers = 3
	two, err := window.Evaluate(in)
	require.NoError(t, err)
	assert.Equal(t, one, two)
	in.Forecast, in.Dressed = ensemble(4, 7), nil
	many, err := window.Evaluate(in)
	require.NoError(t, err)
	h := hourOf(many, now)
	assert.InDelta(t, 14, many.Weather[h].Air.V, 1.2, "all members meet the reading within the hour")
}

// Explain sees the readings too.
func TestReadings_Explain(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	x, err := window.Explain(window.Input{
		Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now,
		Readings: []job.Reading{{At: now, Salt: job.Yes}},
	}, 0, "polymer-sealant", now.Add(4*time.Hour))
	require.NoError(t, err)
	assert.Equal(t, verdict.Salt, x.Binding.Limit)
}

// Whatever is read within the ranges of a file: no panic, every slot covered once,
// every reading answered for, and a refused one changes nothing.
func TestReadings_Any(t *testing.T) {
	f, now := quay()
	rapid.Check(t, func(t *rapid.T) {
		j := smallJob(t, "polymer-sealant")
		j.Zones[0].Finish = finish(t, rapid.SampledFrom([]string{"white-gelcoat", "stainless", "teak", "white-non-skid"}).Draw(t, "finish"))
		j.Zones[0].Tilt = rapid.SampledFrom([]float64{0, 45, 90, 180}).Draw(t, "tilt")
		told := rapid.SampledFrom([]job.Told{job.NotTold, job.No, job.Yes})
		var read []job.Reading
		for range rapid.IntRange(1, 4).Draw(t, "readings") {
			read = append(read, job.Reading{
				At:   now.Add(-time.Duration(rapid.IntRange(-10, 4000).Draw(t, "ago")) * time.Minute),
				Zone: rapid.SampledFrom([]string{"", "port side", "mast"}).Draw(t, "zone"),
				AirC: num(rapid.Float64Range(-40, 60).Draw(t, "air")), HumidityPct: num(rapid.Float64Range(1, 100).Draw(t, "humidity")),
				WindMS: num(rapid.Float64Range(0, 60).Draw(t, "wind")), SurfaceC: num(rapid.Float64Range(-40, 95).Draw(t, "surface")),
				By: job.Instrument(rapid.IntRange(1, 2).Draw(t, "by")), Wet: told.Draw(t, "wet"), Sun: told.Draw(t, "sun"),
				Salt: told.Draw(t, "salt"), Spray: told.Draw(t, "spray"), MoisturePct: num(rapid.Float64Range(0, 100).Draw(t, "moisture")),
			})
		}
		r := with(t, f, j, now, read...)
		seen := make([]int, r.Grid.N)
		for _, w := range r.Rows[0].Windows {
			mark(seen, w.Run)
		}
		for _, x := range r.Rows[0].Refusals {
			mark(seen, x)
		}
		for i := r.From; i < r.To; i++ {
			require.Equal(t, 1, seen[i])
		}
		used := false
		for _, u := range r.Readings {
			used = used || u.Used
			require.NotEmpty(t, u.Text)
			require.True(t, u.Used || u.Reason != "", "%s", u.Text)
		}
		if !used {
			require.Equal(t, evaluate(t, f, j, now).Rows, r.Rows)
		}
	})
}
