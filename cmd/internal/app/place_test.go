package app_test

import (
	"context"
	"errors"
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

// friday is four days after the readings of the tests below.
const friday = "2026-09-11T06:00:00-04:00"

// cool has Monday's week in a book, and n hourly readings from then on that say 3 K
// less air than the forecast.
func cool(t testing.TB, n int) *book.Book {
	b := newBook(t)
	a, r := kept(t, b, monday)
	_, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	f := weather(t, monday)
	for i := range n {
		at := at(t, monday).Add(time.Duration(i+2) * time.Hour)
		read(t, b, job.Reading{At: at, AirC: measured(median(t, f, forecast.AirTemperature, at) - 3)})
	}
	return b
}

func placeOn(t testing.TB, b *book.Book, now string) *answer.Learned {
	a, r := kept(t, b, now)
	p, err := a.Place(t.Context(), r)
	require.NoError(t, err)
	return p
}

// readingsOf counts the readings of all regimes of one variable.
func readingsOf(p *answer.Learned, variable string) (readings, stations int) {
	for _, b := range p.Biases {
		if b.Variable == variable {
			readings, stations = readings+b.Readings, stations+b.Stations
		}
	}
	return readings, stations
}

// Ten readings that say 3 K less teach it, hour by hour, against the forecast that
// was made before them; what they change is told, and every answer names it.
func TestPlace(t *testing.T) {
	t.Parallel()
	b := cool(t, 10)
	p := placeOn(t, b, friday)
	assert.Equal(t, answer.PlaceFormat, p.Format)
	n, _ := readingsOf(p, "air temperature")
	assert.Equal(t, 10, n)
	for _, x := range p.Biases {
		assert.InDelta(t, -3, x.Mean, 0.01, x.Regime)
		assert.InDelta(t, x.Mean*x.Weight, x.Used, 0.02)
		assert.Equal(t, x.Readings >= 5, x.Improves)
		assert.Equal(t, x.Text != "", x.Used != 0)
	}
	require.Len(t, p.Readings, 10)
	assert.InDelta(t, -3, *p.Readings[0].AirK, 0.01)
	assert.Nil(t, p.Readings[0].DewK)
	assert.True(t, p.Readings[0].Made.Before(p.Readings[0].At))
	assert.NotNil(t, p.Changes)
	require.NotEmpty(t, p.Lines)
	a, r := kept(t, b, friday)
	w, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	for _, line := range p.Lines {
		assert.Contains(t, w.Warnings, line)
	}
}

// Without it, the answer is that of a book without readings.
func TestNoLearned(t *testing.T) {
	t.Parallel()
	b := cool(t, 10)
	a, r := kept(t, b, friday)
	with, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	r.NoLearned = true
	without, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	bare, plain := kept(t, newBook(t), friday)
	want, err := bare.Week(t.Context(), plain)
	require.NoError(t, err)
	assert.Equal(t, jsonOf(t, want), jsonOf(t, without))
	assert.NotEqual(t, jsonOf(t, want), jsonOf(t, with))
}

// A reading of this morning, one that was taken back, one that nothing was forecast
// for, and one from another berth teach nothing; another boat's at the same berth
// teaches of the weather.
func TestPlace_WhatTeaches(t *testing.T) {
	t.Parallel()
	b := cool(t, 1)
	count := func() int { n, _ := readingsOf(placeOn(t, b, friday), "air temperature"); return n }
	assert.Equal(t, 1, count())
	assert.Empty(t, placeOn(t, b, "2026-09-08T18:00:00-04:00").Biases, "34 h old: still a reading")
	read(t, b, job.Reading{At: at(t, monday).Add(-time.Hour), AirC: measured(12)})
	assert.Equal(t, 1, count(), "before the forecast was made")
	read(t, b, job.Reading{At: at(t, monday).Add(60 * time.Hour), AirC: measured(14)})
	assert.Equal(t, 1, count(), "the forecast was two days old")
	for _, change := range [...][3]string{{"elsewhere", "43.07", "43.27"}, {"another boat", "name: Kittiwake", "name: Petrel"}} {
		name := change[0]
		text := strings.Replace(string(demo.JobFile()), change[1], change[2], 1)
		require.NotEqual(t, string(demo.JobFile()), text)
		other, r := fixture{now: later, forecast: weather(t, monday), job: text}.app(t)
		other.Book, r.File = app.Stored{Book: b}, &app.JobFile{Name: "other.yaml", Data: []byte(text)}
		m := job.Reading{At: at(t, monday).Add(5 * time.Hour), AirC: measured(14.123)}
		_, err := other.AddReading(t.Context(), app.ReadingRequest{Request: r, Compose: func(*job.Job, time.Time) (job.Reading, error) { return m, nil }})
		require.NoError(t, err)
		if name == "elsewhere" {
			assert.Equal(t, 1, count(), name)
		}
	}
	assert.Equal(t, 2, count(), "another boat")
	a, _ := kept(t, b, friday)
	_, err := a.Undo(t.Context(), app.UndoReading, 1)
	require.NoError(t, err)
	assert.Equal(t, 1, count(), "taken back")
}

type stationsFunc func() ([]ensemble.Observed, error)

func (f stationsFunc) Observed(context.Context, forecast.Place, time.Time, time.Time) (app.Observations, error) {
	list, err := f()
	return app.Observations{List: list}, err
}

// Stations teach beside the readings, and an answer is given though they are down.
func TestPlace_Stations(t *testing.T) {
	t.Parallel()
	b := cool(t, 1)
	a, r := kept(t, b, friday)
	f := weather(t, monday)
	a.Stations = stationsFunc(func() ([]ensemble.Observed, error) {
		var out []ensemble.Observed
		for i := range 20 {
			at := at(t, monday).Add(time.Duration(i+1) * time.Hour)
			out = append(out, ensemble.Observed{At: at, AirC: median(t, f, forecast.AirTemperature, at) - 2, HasAir: true, Station: true, Share: 1})
		}
		return out, nil
	})
	p, err := a.Place(t.Context(), r)
	require.NoError(t, err)
	_, n := readingsOf(p, "air temperature")
	assert.Equal(t, 20, n)
	for _, x := range p.Biases {
		assert.False(t, x.Improves, "a station is not at the place")
	}
	a.Stations = stationsFunc(func() ([]ensemble.Observed, error) { return nil, errors.New("no connection") })
	p, err = a.Place(t.Context(), r)
	require.NoError(t, err)
	assert.Contains(t, p.Warnings[0], "no connection")
	_, err = a.Morning(t.Context(), r)
	require.NoError(t, err)
}

// unsure has three weeks by one future in a book, two days apart, and n readings six
// hours apart that say in turn 5 K more and 5 K less.
func unsure(t testing.TB, n int) *book.Book {
	b := newBook(t)
	for k := range n {
		made := at(t, monday).Add(time.Duration(k/8*48) * time.Hour)
		f := single(t, made.Format(time.RFC3339))
		if k%8 == 0 {
			a, r := kept(t, b, made.Format(time.RFC3339))
			a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return f, nil })
			_, err := a.Morning(t.Context(), r)
			require.NoError(t, err)
		}
		when := made.Add(time.Duration(k%8*6+3) * time.Hour)
		read(t, b, job.Reading{At: when, AirC: measured(median(t, f, forecast.AirTemperature, when) + 5 - 10*float64(k%2))})
	}
	return b
}

// single is the demo's weather as a single forecast.
func single(t testing.TB, now string) *forecast.Forecast {
	f := weather(t, now)
	f.Members = f.Members[:1]
	return f
}

const fortnight = "2026-09-17T06:00:00-04:00"

// alone asks by a single forecast, dressed into ten futures.
func alone(t testing.TB, b *book.Book) (*app.App, app.Request) {
	a, r := kept(t, b, fortnight)
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return single(t, fortnight), nil })
	return a, r
}

// Readings that lie further off than the futures reckon with make them lie further
// apart: told with the cases it comes from, named by every answer, left out on
// request, and the same when the answer is asked again. Until there are cases enough
// it is told how many are missing.
func TestPlace_Spread(t *testing.T) {
	t.Parallel()
	b := unsure(t, 24)
	a, r := alone(t, b)
	p, err := a.Place(t.Context(), r)
	require.NoError(t, err)
	air, dew := p.Spreads[0], p.Spreads[1]
	assert.Equal(t, [3]int{24, 24, 0}, [3]int{air.Cases, air.Readings, air.Missing})
	assert.InDelta(t, 5, air.FoundK, 0.8)
	assert.InDelta(t, air.FoundK/air.SaidK, air.Factor, 0.01)
	assert.Greater(t, air.Factor, 1.5)
	assert.True(t, air.Improves)
	assert.Equal(t, 20, dew.Missing, "no humidity was read")
	require.NotEmpty(t, air.Text)
	assert.Contains(t, p.Lines, air.Text)

	with, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	assert.Contains(t, with.Warnings, air.Text)
	assert.Equal(t, 10, with.Source.Dressed)
	list, err := b.Answers(t.Context(), book.AnswerFilter{Limit: 1})
	require.NoError(t, err)
	again, err := a.Again(t.Context(), list[0].ID)
	require.NoError(t, err)
	assert.True(t, again.Same, "%v", again.Differences)

	r.NoLearned = true
	without, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	assert.NotContains(t, without.Warnings, air.Text)
	assert.Less(t, surest(with), surest(without), "less sure")

	few := unsure(t, 9)
	a, r = alone(t, few)
	p, err = a.Place(t.Context(), r)
	require.NoError(t, err)
	assert.Equal(t, [2]int{9, 11}, [2]int{p.Spreads[0].Cases, p.Spreads[0].Missing})
	assert.Empty(t, p.Spreads[0].Text)
	assert.Equal(t, 1.0, p.Spreads[0].Factor)
}

// surest adds up how sure the windows of a week are.
func surest(w *answer.Week) (sum float64) {
	for _, x := range w.Windows {
		sum += x.Confidence
	}
	return sum
}

// A past answer comes again as it was, though its readings were taken back since and
// others written down.
func TestAgainWithWhatWasLearned(t *testing.T) {
	t.Parallel()
	b := cool(t, 10)
	a, r := kept(t, b, friday)
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	require.Contains(t, strings.Join(w.Warnings, "\n"), "air temperature is taken")
	list, err := b.Answers(t.Context(), book.AnswerFilter{Limit: 1})
	require.NoError(t, err)
	_, err = a.Undo(t.Context(), app.UndoReading, 3)
	require.NoError(t, err)
	read(t, b, job.Reading{At: at(t, monday).Add(3*time.Hour + time.Minute), AirC: measured(12)})
	again, err := a.Again(t.Context(), list[0].ID)
	require.NoError(t, err)
	assert.True(t, again.Same, "%v", again.Differences)
}

// Where no forecast can be had the place tells what it has; without a book nothing.
func TestPlace_Alone(t *testing.T) {
	b := cool(t, 2)
	a, r := kept(t, b, friday)
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return nil, errors.New("no connection") })
	p, err := a.Place(t.Context(), r)
	require.NoError(t, err)
	assert.Nil(t, p.Changes)
	assert.Contains(t, p.Warnings[0], "no connection")
	assert.NotEmpty(t, p.Biases)
	a.Book = nil
	_, err = a.Place(t.Context(), r)
	problem, ok := errors.AsType[*app.Problem](err)
	require.True(t, ok)
	assert.Contains(t, problem.Fix, "dewgap book init")
}
