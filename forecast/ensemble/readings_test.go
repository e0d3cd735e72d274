package ensemble

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/forecast/air"
)

// dawn is the moment of the readings below: ten past the hour.
var dawn = start.Add(30*time.Hour + 10*time.Minute)

const dawnAt = 30 // its interval

func airRead(t time.Time, c float64) Reading { return Reading{At: t, AirC: c, HasAir: true} }

func dampRead(t time.Time, c, rh float64) Reading {
	return Reading{At: t, AirC: c, HasAir: true, HumidityPct: rh, HasHumidity: true}
}

func windRead(t time.Time, v float64) Reading { return Reading{At: t, WindMS: v, HasWind: true} }

// column is a member's values of a quantity.
func column(f *forecast.Forecast, q forecast.Quantity) []float64 {
	return f.Members[0].Columns[q].Values
}

// The spans within which a reading keeps its hold are common practice: 3–6 h in
// air temperature, 6–12 h in dew point, 2–3 h in wind.
func TestPersistence_InTheUsualSpans(t *testing.T) {
	assert.True(t, AirPersistsH >= 3 && AirPersistsH <= 6)
	assert.True(t, DewPersistsH >= 6 && DewPersistsH <= 12)
	assert.True(t, WindPersistsH >= 2 && WindPersistsH <= 3)
}

// 2 K too cold at ten past six: 2 K colder in that hour, and from then on
// 2·exp(−t/4.5 h), worked by hand: 1.663 K after 50 minutes, 0.853 K after 3 h 50,
// 0.0100 K after 23 h 50.
func TestCorrect_AirDecays(t *testing.T) {
	f := plain()
	got := Correct(f, []Reading{airRead(dawn, 16)})
	for i, want := range map[int]float64{
		dawnAt - 1: 0, dawnAt: -2, dawnAt + 1: -1.6619, dawnAt + 4: -0.8533, dawnAt + 24: -0.0100,
	} {
		assert.InDelta(t, 18+want, column(got, forecast.AirTemperature)[i], 1e-4, "interval %d", i)
	}
	assert.Equal(t, column(f, forecast.DewPoint), column(got, forecast.DewPoint), "no word on the dew point")
	for i := dawnAt; i < week; i++ {
		temp := column(got, forecast.AirTemperature)[i]
		if temp != 18 {
			require.InDelta(t, air.Humidity(temp, 10), column(got, forecast.Humidity)[i], 1e-9)
		}
	}
}

// 15.0 °C and 91 % are a dew point of 13.5 °C (Magnus form, checked in the air
// package against published values): 3.5 K above the forecast's 10.
func TestCorrect_DewPointDecays(t *testing.T) {
	got := Correct(plain(), []Reading{dampRead(dawn, 15, 91)})
	off := air.DewPoint(15, 91) - 10
	assert.InDelta(t, 3.54, off, 0.02)
	dew := column(got, forecast.DewPoint)
	assert.InDelta(t, 10+off, dew[dawnAt], 1e-9)
	assert.InDelta(t, 10+off*math.Exp(-(9-1.0/6)/9), dew[dawnAt+9], 1e-9)
	assert.Equal(t, 10.0, dew[dawnAt-1])
}

// The wind's factor of a half is 0.5^exp(−t/2.5 h), for gusts as for the mean.
func TestCorrect_WindByFactor(t *testing.T) {
	got := Correct(plain(), []Reading{windRead(dawn, 2)})
	for i, want := range map[int]float64{dawnAt - 1: 1, dawnAt: 0.5, dawnAt + 3: math.Pow(0.5, math.Exp(-(3-1.0/6)/2.5))} {
		assert.InDelta(t, 4*want, column(got, forecast.WindSpeed)[i], 1e-9, "interval %d", i)
		assert.InDelta(t, 8*want, column(got, forecast.Gust)[i], 1e-9, "interval %d", i)
	}
	assert.Equal(t, column(plain(), forecast.WindFrom), column(got, forecast.WindFrom))
}

func TestCorrect_WindFactorIsBounded(t *testing.T) {
	for read, want := range map[float64]float64{0: 1.2, 0.5: 1.2, 1.2: 1.2, 12: 12, 30: 12} {
		got := Correct(plain(), []Reading{windRead(dawn, read)})
		assert.InDelta(t, want, column(got, forecast.WindSpeed)[dawnAt], 1e-9, "%v m/s read, 4 forecast", read)
	}
	f := plain()
	f.Members[0].Columns[forecast.WindSpeed].Values[dawnAt] = 0
	f.Members[0].Columns[forecast.WindSpeed].Values[dawnAt+1] = 0
	got := Correct(f, []Reading{windRead(dawn, 0.4)})
	assert.Equal(t, f.Members, got.Members, "a calm that was forecast")
}

// Of each variable the latest reading counts, wherever it stands in the list, and
// one variable does not push out another.
func TestCorrect_LatestOfEach(t *testing.T) {
	old, late := dawn.Add(-3*time.Hour), dawn
	got := Correct(plain(), []Reading{airRead(late, 16), airRead(old, 25), windRead(old, 8)})
	assert.InDelta(t, 16, column(got, forecast.AirTemperature)[dawnAt], 1e-9)
	assert.Equal(t, 18.0, column(got, forecast.AirTemperature)[dawnAt-2], "an older reading has had its day")
	assert.InDelta(t, 8, column(got, forecast.WindSpeed)[dawnAt-3], 1e-9)
	twice := Correct(plain(), []Reading{airRead(dawn, 16), airRead(dawn, 17)})
	assert.InDelta(t, 17, column(twice, forecast.AirTemperature)[dawnAt], 1e-9, "the second at one moment")
}

// Humidity read without air temperature is taken with the forecast's own, as an
// air reading before it has corrected it.
func TestCorrect_HumidityAlone(t *testing.T) {
	got := Correct(plain(), []Reading{{At: dawn, HumidityPct: 80, HasHumidity: true}})
	assert.InDelta(t, air.DewPoint(18, 80), column(got, forecast.DewPoint)[dawnAt], 1e-9)
	assert.Equal(t, column(plain(), forecast.AirTemperature), column(got, forecast.AirTemperature))
	before := dawn.Add(-90 * time.Minute)
	got = Correct(plain(), []Reading{airRead(before, 14), {At: dawn, HumidityPct: 80, HasHumidity: true}})
	then := 18 - 4*math.Exp(-1.5/4.5)
	assert.InDelta(t, air.DewPoint(then, 80), column(got, forecast.DewPoint)[dawnAt], 1e-9)
}

// A service that gives humidity and no dew point is corrected all the same.
func TestCorrect_WithoutDewPointColumn(t *testing.T) {
	f := otterQuay(week, forecast.DewPoint)
	got := Correct(f, []Reading{dampRead(dawn, 12, 93)})
	m := got.Members[0]
	assert.False(t, m.Columns[forecast.DewPoint].Any())
	temp, rh := at(t, &m, forecast.AirTemperature, dawnAt), at(t, &m, forecast.Humidity, dawnAt)
	// The interval's own stamp lies ten minutes before the reading.
	assert.InDelta(t, air.DewPoint(12, 93), air.DewPoint(temp, rh), 0.15)
}

func TestCorrect_WhatIsNotKnownStaysUnknown(t *testing.T) {
	all := []Reading{dampRead(dawn, 12, 93), windRead(dawn, 1)}
	gap := otterQuay(week)
	for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.DewPoint, forecast.Humidity, forecast.WindSpeed} {
		gap.Members[0].Columns[q].Known[dawnAt] = false
	}
	assert.Equal(t, gap.Members, Correct(gap, all).Members, "nothing to hold the reading against")
	f := otterQuay(week)
	f.Members[0].Columns[forecast.AirTemperature].Known[dawnAt+2] = false
	got := Correct(f, all)
	_, known := got.Members[0].Columns[forecast.AirTemperature].At(dawnAt + 2)
	assert.False(t, known)
	empty := &forecast.Forecast{Start: start, Step: time.Hour, N: 4, Members: make([]forecast.Member, 2)}
	assert.Equal(t, empty, Correct(empty, all))
	assert.Nil(t, Correct(nil, all))
}

// An hour without wind stays without, and so with gusts that are not forecast at all.
func TestCorrect_UnknownWindStaysUnknown(t *testing.T) {
	f := plain()
	f.Members[0].Columns[forecast.WindSpeed].Known[dawnAt+1] = false
	f.Members[0].Columns[forecast.Gust].Known[dawnAt+2] = false
	got := Correct(f, []Reading{windRead(dawn, 6)})
	for i := range f.N {
		_, wind := got.Members[0].Columns[forecast.WindSpeed].At(i)
		_, gust := got.Members[0].Columns[forecast.Gust].At(i)
		require.Equal(t, [2]bool{i != dawnAt+1, i != dawnAt+2}, [2]bool{wind, gust}, "%d", i)
	}
}

func TestCorrect_OutsideTheForecast(t *testing.T) {
	f := otterQuay(24)
	for _, when := range []time.Time{start.Add(-time.Minute), f.End(), f.End().Add(time.Hour)} {
		assert.Equal(t, f, Correct(f, []Reading{dampRead(when, 5, 50), windRead(when, 9)}))
	}
	last := Correct(f, []Reading{airRead(f.End().Add(-time.Minute), 3)})
	assert.InDelta(t, 3, column(last, forecast.AirTemperature)[23], 1e-9, "the last value holds to the end")
}

// Every member meets the reading where it was taken and is its own again later.
func TestCorrect_MembersMeet(t *testing.T) {
	f := otterQuay(week)
	f.Members = Dress(f, 6, start, Options{})
	got := Correct(f, []Reading{dampRead(dawn.Truncate(time.Hour), 12, 93), windRead(dawn.Truncate(time.Hour), 2)})
	for i := range got.Members {
		m := &got.Members[i]
		assert.InDelta(t, 12, at(t, m, forecast.AirTemperature, dawnAt), 1e-9)
		assert.InDelta(t, air.DewPoint(12, 93), at(t, m, forecast.DewPoint, dawnAt), 1e-9)
		own := at(t, &f.Members[i], forecast.AirTemperature, dawnAt+60)
		assert.InDelta(t, own, at(t, m, forecast.AirTemperature, dawnAt+60), 1e-4)
		assert.Equal(t, f.Members[i].Name, m.Name)
	}
}

// The forecast handed in is only read.
func TestCorrect_LeavesTheForecast(t *testing.T) {
	f := otterQuay(week)
	Correct(f, []Reading{dampRead(dawn, 5, 99), windRead(dawn, 9)})
	assert.Equal(t, otterQuay(week), f)
}

// Readings that the forecast foresaw change nothing.
func TestCorrect_AgreementChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := otterQuay(72)
		m := &f.Members[0]
		when := start.Add(time.Duration(rapid.IntRange(0, 71*60).Draw(t, "minute")) * time.Minute)
		c := corrector{f: f, m: m}
		temp, _ := c.at(forecast.AirTemperature, when)
		dew, _ := c.at(forecast.DewPoint, when)
		wind, _ := c.at(forecast.WindSpeed, when)
		r := dampRead(when, temp, air.Humidity(temp, dew))
		r.WindMS, r.HasWind = wind, true
		require.Equal(t, f.Members, Correct(f, []Reading{r}).Members)
	})
}

// Whatever is read: before the reading all stays, the dew point never passes the
// air, humidity stays within 0–100 %, wind is not negative, the correction only
// ever shrinks, and nothing becomes known or unknown.
func TestCorrect_Laws(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := otterQuay(72)
		when := start.Add(time.Duration(rapid.IntRange(0, 72*60-1).Draw(t, "minute")) * time.Minute)
		r := Reading{
			At: when, AirC: rapid.Float64Range(-40, 60).Draw(t, "air"),
			HumidityPct: rapid.Float64Range(1, 100).Draw(t, "humidity"), WindMS: rapid.Float64Range(0, 60).Draw(t, "wind"),
			HasAir: rapid.Bool().Draw(t, "has air"), HasHumidity: rapid.Bool().Draw(t, "has humidity"), HasWind: rapid.Bool().Draw(t, "has wind"),
		}
		got := Correct(f, []Reading{r})
		first, _ := f.Index(when)
		last := math.Inf(1)
		for i := range f.N {
			a, b := &f.Members[0], &got.Members[0]
			for q := range a.Columns {
				require.Equal(t, a.Columns[q].Known[i], b.Columns[q].Known[i])
				if i < first {
					require.Equal(t, a.Columns[q].Values[i], b.Columns[q].Values[i])
				}
			}
			temp, dew := b.Columns[forecast.AirTemperature].Values[i], b.Columns[forecast.DewPoint].Values[i]
			require.LessOrEqual(t, dew, temp)
			rh := b.Columns[forecast.Humidity].Values[i]
			require.True(t, rh > 0 && rh <= 100, "%v", rh)
			require.GreaterOrEqual(t, b.Columns[forecast.WindSpeed].Values[i], 0.0)
			if off := math.Abs(temp - a.Columns[forecast.AirTemperature].Values[i]); i >= first {
				require.LessOrEqual(t, off, last+1e-9)
				last = off
			}
		}
	})
}
