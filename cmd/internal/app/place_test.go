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

func (f stationsFunc) Observed(context.Context, forecast.Place, time.Time, time.Time) ([]ensemble.Observed, error) {
	return f()
}

// Stations teach beside the readings, and an answer is given though they are down.
func TestPlace_Stations(t *testing.T) {
	b := cool(t, 1)
	a, r := kept(t, b, friday)
	f := weather(t, monday)
	a.Stations = stationsFunc(func() ([]ensemble.Observed, error) {
		var out []ensemble.Observed
		for i := range 20 {
			at := at(t, monday).Add(time.Duration(i+1) * time.Hour)
			out = append(out, ensemble.Observed{At: at, AirC: median(t, f, forecast.AirTemperature, at) - 2, HasAir: true, Station: true})
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

// A past answer comes again as it was, though its readings were taken back since and
// others written down.
func TestAgainWithWhatWasLearned(t *testing.T) {
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
