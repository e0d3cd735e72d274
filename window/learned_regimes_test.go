package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	ens "dewgap/forecast/ensemble"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// What a panel was off by in one kind of weather is put right in that kind alone: of a
// clear night nothing is learned for a cloudy one or for the day; and it fades ahead.
func TestLearned_EachKindOfWeather(t *testing.T) {
	f := calm(6)
	for i := range f.N { // every other day is overcast
		cloud := 5.0
		if i/24%2 == 1 {
			cloud = 95
		}
		f.Members[0].Columns[forecast.CloudCover].Set(i, cloud)
	}
	now := on(2, 6, 0)
	in := inputOf(t, f, smallJob(t, "cleaner-wax"), now)
	plain := taughtBy(t, in, nil)
	for r := range ens.Regimes {
		l := &window.Learned{Zones: []window.LearnedZone{{Zone: "port side"}}}
		l.Zones[0].Surface[r] = ens.Bias{Readings: 20, Mean: 2, Weight: 1}
		got := taughtBy(t, in, l)
		shifted, whole := 0, 0
		for h := range got.Weather {
			at := got.Weather[h].At
			diff := got.Zones[0].Hours[h].Surface.V - plain.Zones[0].Hours[h].Surface.V
			kinds, want := map[ens.Regime]bool{}, 0.0
			for slot := range 6 { // the middle of each
				middle := at.Add(time.Duration(10*slot+5) * time.Minute)
				cloud := plain.Weather[h].Cloud.V
				kind := ens.RegimeAt(middle, in.Job.Place.Latitude, in.Job.Place.Longitude, 100*cloud)
				if kinds[kind] = true; int(kind) == r {
					want += 2 * ens.LeadWeight(middle.Add(-5*time.Minute).Sub(now)) / 6
				}
			}
			if c := plain.Weather[h].Cloud.V; c > 0.1 && c < 0.9 || len(kinds) > 1 {
				continue // between two days, or at sunrise: some slots are of one, some of the other
			}
			require.InDelta(t, want, diff, 1e-3, "%v at %v", ens.Regime(r), at)
			shifted += one(want > 0)
			whole += one(want == 0)
		}
		assert.Greater(t, shifted, 5, "%v", ens.Regime(r))
		assert.Greater(t, whole, 20, "%v", ens.Regime(r))
	}
}

// A season is the rows of a year counted: each class on each zone, by the month in which
// a window of two hours or more begins; a finish that may not take the class has none.
func TestSeason_IsTheRowsCounted(t *testing.T) {
	t.Parallel()
	f := ensemble(3+365+14, 1)
	f.Start = time.Date(2025, 12, 29, 0, 0, 0, 0, time.UTC)
	j := smallJob(t, "cleaner-wax")
	j.Place.Location, j.Hours = time.UTC, job.Schedule{}
	wax, _ := catalogue(t).Class("cleaner-wax")
	r, err := window.Season(window.SeasonInput{
		Weather: f, Job: j, Classes: []products.Class{wax}, Year: 2026, Location: time.UTC,
	})
	require.NoError(t, err)
	require.Len(t, r.Rows, 1)

	year := *j
	year.From, year.By = job.Date{Year: 2026, Month: 1, Day: 1}, job.Date{Year: 2026, Month: 12, Day: 31}
	e, err := window.Evaluate(window.Input{
		Forecast: f, Job: &year, Classes: catalogue(t), Location: time.UTC, Now: f.Start, HorizonDays: 366,
	})
	require.NoError(t, err)
	require.Equal(t, 365*144, e.To-e.From, "from midnight to midnight")
	var windows, days [12]int
	var hours [12]float64
	states := e.Rows[0].Slots.State
	last := time.Time{}
	for i := 0; i < len(states); i++ {
		n := 0
		for i+n < len(states) && states[i+n] <= verdict.Go {
			n++
		}
		if n >= 12 {
			at := e.Grid.At(e.From + i)
			m := at.Month() - 1
			windows[m]++
			hours[m] += float64(n) / 6
			if day := at.Truncate(24 * time.Hour); day != last {
				days[m]++
				last = day
			}
		}
		i += n
	}
	for m, x := range r.Rows[0].Months {
		assert.Equal(t, []int{windows[m], days[m]}, []int{x.Windows, x.Days}, time.Month(m+1))
		assert.InDelta(t, hours[m], x.Hours, 1e-6, time.Month(m+1))
	}
	assert.InDelta(t, 2, r.Shortest, 1e-9)

	j.Zones = append(j.Zones, boat.Zone{Name: "cover", Finish: finish(t, "canvas"), AreaM2: 4})
	two, err := window.Season(window.SeasonInput{Weather: f, Job: j, Classes: []products.Class{wax}, Year: 2026, Location: time.UTC})
	require.NoError(t, err)
	require.Len(t, two.Rows, 2)
	assert.Equal(t, r.Rows[0].Months, two.Rows[0].Months, "beside another zone it is the same")
	assert.False(t, two.Rows[1].Suits, "no wax on canvas")
	assert.Equal(t, [12]window.SeasonMonth{}, two.Rows[1].Months)
	assert.Equal(t, []string{"port side", "cover"}, two.Zones)
}

// Every limit that speaks against a zone below an overhang is explained with the water
// of the overhang, as it was judged.
func TestExplainUnderAnOverhang(t *testing.T) {
	f := calm(4)
	i, _ := f.Index(on(2, 11, 0))
	f.Members[0].Columns[forecast.Precipitation].Set(i, 2)
	j := smallJob(t, "spray-sealant")
	j.Zones[0].Shelter = boat.Hardtop
	j.Zones = append(j.Zones, boat.Zone{Name: "side deck", Finish: finish(t, "white-non-skid"), DrainsTo: []string{"port side"}})
	in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start}
	r := evaluate(t, f, j, f.Start)
	dripped := 0
	for at := on(2, 9, 0); at.Before(on(2, 18, 0)); at = at.Add(10 * time.Minute) {
		state, limit := stateAt(r, 0, at)
		x, err := window.Explain(in, 0, "spray-sealant", at)
		require.NoError(t, err)
		assert.Equal(t, state, x.State, "%v", at)
		if !state.Workable() {
			assert.Equal(t, limit, x.Binding.Limit, "%v", at)
		}
		dripped += one(limit == verdict.Film)
	}
	assert.Positive(t, dripped)
	j.Zones[1].DrainsTo = nil
	for at := on(2, 11, 0); at.Before(on(2, 13, 0)); at = at.Add(30 * time.Minute) {
		x, err := window.Explain(in, 0, "spray-sealant", at)
		require.NoError(t, err)
		assert.NotEqual(t, verdict.Film, x.Binding.Limit, "nothing drips from elsewhere")
	}
}

// The dew point that a hygrometer tells is given with how far it may be off.
func TestReadings_DewPointAndItsError(t *testing.T) {
	f, now := quay()
	r := with(t, f, smallJob(t, "cleaner-wax"), now, job.Reading{At: now, AirC: num(20), HumidityPct: num(50)})
	damp := use(t, r, window.ReadHumidity)
	assert.True(t, damp.Dew.Known && damp.DewError.Known && damp.Forecast.Known)
	assert.InDelta(t, 9.3, damp.Dew.V, 0.1, "20 °C at 50 % (any psychrometric chart)")
	assert.InDelta(t, 0.9, damp.DewError.V, 0.05, "3 % off")
}

// A block of the old plan that begins this very slot stays; one that began a slot ago
// and of which nobody said anything is presumed to be under way.
func TestMoveBlockOfNow(t *testing.T) {
	f, now := calm(6), on(2, 14, 0)
	became := func(from time.Time) window.Change {
		j := stepsOn(t, on(1, 10, 0), 0, rotary)
		in := moving(t, f, j, now)
		in.Plan.SetUpMin = -1
		in.Old = []window.Booked{{Step: "correct", Zone: "port side", From: from, To: from.Add(80 * time.Minute), People: []int{1, 2}, PersonHours: 8.0 / 3, Confidence: 1}}
		m := moved(t, in)
		require.Len(t, m.Changes, 1)
		return m.Changes[0]
	}
	c := became(now)
	assert.Equal(t, window.Kept, c.Became, "%+v", c)
	c = became(now.Add(-10 * time.Minute))
	assert.Equal(t, []any{window.Kept, window.WhyUnderWay}, []any{c.Became, c.Why})
	c = became(now.Add(time.Hour))
	assert.Equal(t, window.Kept, c.Became)
}

// Air, wind and humidity read at the place, and a panel seen wet or dry, teach nothing of
// how much sun a panel takes.
func TestLearnZones_OnlySurfacesTeach(t *testing.T) {
	f := fairDays()
	var past []window.PastReadings
	for day := 1; day < 7; day++ {
		at := f.Start.Add(time.Duration(24*day+9) * time.Hour)
		past = append(past, window.PastReadings{Forecast: f, Readings: []job.Reading{
			{At: at, AirC: num(19), HumidityPct: num(50), WindMS: num(2)}, {At: at, Zone: "port side", Wet: job.No},
		}})
	}
	assert.Empty(t, learnFrom(t, past))
	past[0].Readings = append(past[0].Readings, job.Reading{At: past[0].Readings[0].At, Zone: "port side", SurfaceC: num(27), By: job.Contact})
	got := learnFrom(t, past)
	require.Len(t, got, 1)
	assert.Equal(t, 1, got[0].Absorptance.Readings, "the one surface that was read")
}
