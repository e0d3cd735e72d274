package app_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/forecast"
	"dewgap/forecast/ensemble"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// later is after all that the tests record.
const later = "2026-09-30T12:00:00-04:00"

// read records a reading.
func read(t testing.TB, b *book.Book, m job.Reading) {
	a, r := kept(t, b, later)
	_, err := a.AddReading(t.Context(), app.ReadingRequest{Request: r, Compose: func(*job.Job, time.Time) (job.Reading, error) { return m, nil }})
	require.NoError(t, err)
}

func measured(v float64) job.Measured { return job.Measured{V: v, Known: true} }

// median is what the members say at a moment.
func median(t testing.TB, f *forecast.Forecast, q forecast.Quantity, at time.Time) float64 {
	var all []float64
	for i := range f.Members {
		v, ok := ensemble.Instant(f, &f.Members[i], q, at)
		require.True(t, ok)
		all = append(all, v)
	}
	slices.Sort(all)
	n := len(all)
	return (all[(n-1)/2] + all[n/2]) / 2
}

func scoreOf(t testing.TB, b *book.Book, boat string) *answer.Score {
	a := &app.App{Book: app.Stored{Book: b}}
	s, err := a.Score(t.Context(), boat)
	require.NoError(t, err)
	return s
}

func quantity(t testing.TB, s *answer.Score, name string) answer.ScoreQuantity {
	i := slices.IndexFunc(s.Weather, func(q answer.ScoreQuantity) bool { return q.Quantity == name })
	require.GreaterOrEqual(t, i, 0, name)
	return s.Weather[i]
}

// Ten readings that all say 2 K less air, 5 % more humidity and 1 m/s less wind than
// the forecast of the morning make it 2 K too warm, 5 % too dry and 1 m/s too windy.
// The wind is read at the berth, where a share of the forecast's comes.
func TestScoreWeather(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, monday)
	_, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	f := weather(t, monday)
	j, err := r.Job("")
	require.NoError(t, err)
	for i := range 10 {
		at := at(t, monday).Add(time.Duration(i+1) * time.Hour)
		read(t, b, job.Reading{At: at, AirC: measured(median(t, f, forecast.AirTemperature, at) - 2),
			HumidityPct: measured(median(t, f, forecast.Humidity, at) + 5),
			WindMS:      measured(median(t, f, forecast.WindSpeed, at)*j.Place.Wind.Share() - 1)})
	}
	s := scoreOf(t, b, "")
	assert.Equal(t, answer.ScoreFormat, s.Format)
	assert.Equal(t, [3]int{1, 1, 10}, [3]int{s.Answers, s.Forecasts, s.Readings})
	for name, bias := range map[string]float64{"air": 2, "humidity": -5, "wind": 1} {
		q := quantity(t, s, name)
		require.Len(t, q.Leads, 1, name)
		l := q.Leads[0]
		assert.Equal(t, [2]float64{0, 12}, [2]float64{l.FromH, l.ToH})
		require.True(t, l.Enough)
		assert.InDelta(t, bias, *l.Bias, 0.011, name)
		assert.InDelta(t, max(bias, -bias), *l.MAE, 0.011, name)
		assert.Equal(t, 10, l.HeldOf)
		assert.NotNil(t, l.Held80)
	}
	assert.Empty(t, s.Warnings)
}

// What was read before the forecast was made, or was taken back, tells nothing of
// it; nine readings are too few.
func TestScoreTakesOnlyWhatCameAfter(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, monday)
	_, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	read(t, b, job.Reading{At: at(t, monday).Add(-3 * time.Hour), AirC: measured(12)})
	assert.Empty(t, scoreOf(t, b, "").Weather)
	for i := range 10 {
		read(t, b, job.Reading{At: at(t, monday).Add(time.Duration(i+14) * time.Hour), AirC: measured(12)})
	}
	l := quantity(t, scoreOf(t, b, ""), "air").Leads
	require.Len(t, l, 1)
	assert.Equal(t, [2]float64{12, 24}, [2]float64{l[0].FromH, l[0].ToH})
	assert.True(t, l[0].Enough)
	_, err = a.Undo(t.Context(), app.UndoReading, 5)
	require.NoError(t, err)
	l = quantity(t, scoreOf(t, b, ""), "air").Leads
	require.Len(t, l, 1)
	assert.Equal(t, 9, l[0].Readings)
	assert.False(t, l[0].Enough)
	assert.Nil(t, l[0].Bias)
	assert.Nil(t, l[0].MAE)
}

// What was read at another berth tells nothing of this one.
func TestScoreKeepsBerthsApart(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, monday)
	_, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	text := strings.Replace(string(demo.JobFile()), "latitude: 43.07", "latitude: 43.27", 1)
	away, there := fixture{now: later, job: text}.app(t)
	away.Book = app.Stored{Book: b}
	there.File = &app.JobFile{Name: "away.yaml", Data: []byte(text)}
	m := job.Reading{At: at(t, monday).Add(time.Hour), AirC: measured(12)}
	_, err = away.AddReading(t.Context(), app.ReadingRequest{Request: there, Compose: func(*job.Job, time.Time) (job.Reading, error) { return m, nil }})
	require.NoError(t, err)
	assert.Empty(t, scoreOf(t, b, "").Weather)
	read(t, b, m)
	assert.Len(t, scoreOf(t, b, "").Weather, 1)
}

// One forecast is held against a reading once, however often it was asked; two
// forecasts are two cases of one reading.
func TestScoreCountsAForecastOnce(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	f := weather(t, monday)
	for i := range 3 {
		a, r := kept(t, b, monday)
		a.Clock = app.At(at(t, monday).Add(time.Duration(i) * 10 * time.Minute))
		a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return f, nil })
		_, err := a.Morning(t.Context(), r)
		require.NoError(t, err)
	}
	const noon = "2026-09-07T12:00:00-04:00"
	a, r := kept(t, b, noon)
	_, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	read(t, b, job.Reading{At: at(t, noon).Add(2 * time.Hour), AirC: measured(15)})
	s := scoreOf(t, b, "")
	assert.Equal(t, 4, s.Answers)
	assert.Equal(t, 2, s.Forecasts)
	l := quantity(t, s, "air").Leads
	require.Len(t, l, 1)
	assert.Equal(t, 2, l[0].Cases)
	assert.Equal(t, 1, l[0].Readings)
}

// A single forecast has the futures that it was dressed into for its middle 80 %.
func TestScoreDressesASingleForecast(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, monday)
	f := weather(t, monday)
	f.Members = f.Members[:1]
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return f, nil })
	_, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	for i := range 12 {
		at := at(t, monday).Add(time.Duration(i)*time.Hour/2 + time.Hour)
		off := 0.0
		if i%3 == 0 {
			off = 9 // K, further than any future strays in half a day
		}
		read(t, b, job.Reading{At: at, AirC: measured(median(t, f, forecast.AirTemperature, at) + off)})
	}
	l := quantity(t, scoreOf(t, b, ""), "air").Leads[0]
	require.NotNil(t, l.Held80)
	assert.InDelta(t, 0.67, *l.Held80, 1e-9, "eight of twelve lie where the forecast is")
}

// A panel is held against the last week before the reading.
func TestScorePanels(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, monday)
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	zone := w.Zones[0]
	n := 0
	for i := 2; n < 10; i++ {
		h, next := zone.Hours[i-1], zone.Hours[i]
		mid := (*h.SurfaceC + *next.SurfaceC) / 2
		read(t, b, job.Reading{At: next.At.UTC(), Zone: zone.Name, SurfaceC: measured(mid + 1.5), By: job.Contact})
		n++
	}
	s := scoreOf(t, b, "")
	for _, l := range quantity(t, s, "surface").Leads {
		if l.Enough {
			assert.InDelta(t, -1.5, *l.Bias, 0.02)
		}
		assert.Nil(t, l.Held80)
	}
	assert.Equal(t, 10, s.Readings)
	read(t, b, job.Reading{At: zone.Hours[30].At.UTC(), Zone: zone.Name, Wet: job.Yes})
	assert.Equal(t, 10, scoreOf(t, b, "").Readings, "wet or dry is no temperature")
}

// Work in the hours of the plan, and one piece in an hour that was refused: what
// was said of it is the plan's own word.
func TestScoreWork(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, monday)
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(w.Plan.Blocks), 10)
	ctx := t.Context()
	a, r = kept(t, b, later)
	done := func(step, zone string, at time.Time, found string) {
		moment := on(at.Format(time.RFC3339))
		_, err := a.LogDone(ctx, app.DoneRequest{Request: r, Step: step, Zones: []string{zone}, Share: 1, At: moment})
		require.NoError(t, err)
		if found == "" {
			return
		}
		_, err = a.LogOutcome(ctx, app.OutcomeRequest{Request: r, Step: step, Zones: []string{zone}, Found: found, At: moment})
		require.NoError(t, err)
	}
	sum := 0.0
	for i, x := range w.Plan.Blocks {
		found := book.FoundOK
		if i == 0 {
			found = book.FoundRedo
		}
		sum += (x.Confidence - 1) * (x.Confidence - 1)
		if i == 0 {
			sum += x.Confidence*x.Confidence - (x.Confidence-1)*(x.Confidence-1)
		}
		done(x.Step, x.Zone, x.To, found)
	}
	n := len(w.Plan.Blocks)
	refused := w.Refusals[slices.IndexFunc(w.Refusals, func(x answer.Refusal) bool {
		return x.State == answer.NoGo && x.Binding.Limit == "film" && x.To.Sub(x.From) > 2*time.Hour
	})]
	done(refused.Step, refused.Zone, refused.From.Add(90*time.Minute), book.FoundRedo)
	done(w.Plan.Blocks[0].Step, w.Plan.Blocks[0].Zone, at(t, monday).Add(-time.Hour), book.FoundOK) // before it was asked
	done(w.Plan.Blocks[0].Step, w.Plan.Blocks[0].Zone, at(t, later).Add(-time.Hour), book.FoundInspect)
	s := scoreOf(t, b, "Kittiwake").Work
	assert.Equal(t, n, s.Cases)
	assert.Equal(t, n-1, s.Held)
	require.True(t, s.Enough)
	assert.InDelta(t, sum/float64(n), *s.Brier, 6e-4)
	assert.NotNil(t, s.CalibrationError)
	assert.Equal(t, [2]int{1, 0}, [2]int{s.Against, s.AgainstHeld})
	assert.Equal(t, 1, s.Unsaid)
	assert.Equal(t, 1, s.Open)
	total, held := 0, 0
	for _, x := range s.Bins {
		total, held = total+x.N, held+x.Held
	}
	assert.Equal(t, [2]int{n, n - 1}, [2]int{total, held})
}

// The last word before the work counts, and the last look at it.
func TestScoreTakesTheLastWord(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, monday)
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	x := w.Plan.Blocks[0]
	ctx := t.Context()
	a, r = kept(t, b, later)
	_, err = a.LogDone(ctx, app.DoneRequest{Request: r, Step: x.Step, Zones: []string{x.Zone}, Share: 1, At: on(x.To.Format(time.RFC3339))})
	require.NoError(t, err)
	for i, found := range []string{book.FoundOK, book.FoundInspect, book.FoundRedo} {
		at := x.To.Add(time.Duration(i+1) * time.Hour).Format(time.RFC3339)
		_, err = a.LogOutcome(ctx, app.OutcomeRequest{Request: r, Step: x.Step, Zones: []string{x.Zone}, Found: found, At: on(at)})
		require.NoError(t, err)
		s := scoreOf(t, b, "").Work
		switch found {
		case book.FoundOK:
			assert.Equal(t, [2]int{1, 1}, [2]int{s.Cases, s.Held})
		case book.FoundInspect:
			assert.Equal(t, [2]int{0, 1}, [2]int{s.Cases, s.Open})
		default:
			assert.Equal(t, [2]int{1, 0}, [2]int{s.Cases, s.Held})
		}
	}
	assert.Nil(t, scoreOf(t, b, "").Work.Brier, "one case is none")
}

func TestScoreOfAnEmptyBook(t *testing.T) {
	b := newBook(t)
	s := scoreOf(t, b, "")
	assert.Zero(t, s.Answers)
	assert.NotNil(t, s.Weather)
	a := &app.App{Book: app.Stored{Book: b}}
	_, err := a.Score(t.Context(), "Kittiwake")
	require.Error(t, err)
	var p *app.Problem
	require.ErrorAs(t, err, &p)
	assert.NotEmpty(t, p.Fix)
	read(t, b, job.Reading{At: at(t, monday), AirC: measured(12)})
	_, err = a.Score(t.Context(), "Kitiwake")
	require.ErrorAs(t, err, &p)
	assert.Contains(t, p.Fix, "did you mean Kittiwake")
}

// The same book gives the same bytes.
func TestScoreIsTheSameAgain(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, monday)
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	for i := range 20 {
		at := at(t, monday).Add(time.Duration(5*i+1) * time.Hour)
		read(t, b, job.Reading{At: at, AirC: measured(10 + float64(i%7))})
		read(t, b, job.Reading{At: at, Zone: w.Zones[i%2].Name, SurfaceC: measured(12), By: job.Contact})
	}
	first := jsonOf(t, scoreOf(t, b, ""))
	assert.Contains(t, first, `"quantity":"surface"`)
	assert.Equal(t, first, jsonOf(t, scoreOf(t, b, "")))
}
