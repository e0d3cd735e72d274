package app

import (
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/air"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// line is a member of n hours with one value in every column.
func line(n int, v float64) (*forecast.Forecast, forecast.Member) {
	f := &forecast.Forecast{Step: time.Hour, N: n}
	var m forecast.Member
	for q := range m.Columns {
		m.Columns[q] = forecast.NewColumn(n)
		for i := range n {
			m.Columns[q].Set(i, v)
		}
	}
	return f, m
}

func TestRainEarlier(t *testing.T) {
	f, m := line(8, 0)
	rain := m.Columns[forecast.Precipitation]
	for i, v := range []float64{9, 1, 2, 3, 4, 5, 6, 7} {
		rain.Set(i, v)
	}
	rain.Known[5] = false
	rainEarlier(f, &m, 2)
	assert.Equal(t, []float64{9, 1, 4}, rain.Values[:3], "what is past stays")
	assert.False(t, rain.Known[3], "a gap moves with the rain")
	assert.Equal(t, []float64{6, 7, 6, 7}, rain.Values[4:], "the end stays: nobody knows what follows")
	assert.True(t, rain.Known[5])
}

// Fog is no rain: it stays, whatever comes earlier.
func TestRainEarlierLeavesFog(t *testing.T) {
	f, m := line(8, 0)
	code := m.Columns[forecast.WeatherCode]
	for i, v := range []float64{3, 45, 61, 48, 95, 3, 3, 3} {
		code.Set(i, v)
	}
	rainEarlier(f, &m, 0)
	assert.Equal(t, []float64{61, 45, 95, 48, 3, 3, 3, 3}, code.Values)
}

// Two hours are two hours at any step.
func TestRainEarlierAtHalfHours(t *testing.T) {
	f, m := line(10, 0)
	f.Step = 30 * time.Minute
	m.Columns[forecast.Precipitation].Set(8, 5)
	rainEarlier(f, &m, 0)
	assert.InDelta(t, 5, m.Columns[forecast.Precipitation].Values[4], 0)
}

func TestDamper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, m := line(2, 0)
		temp := rapid.Float64Range(-5, 40).Draw(t, "temp")
		dew := rapid.Float64Range(-10, temp).Draw(t, "dew")
		for i := range 2 {
			m.Columns[forecast.AirTemperature].Set(i, temp)
			m.Columns[forecast.DewPoint].Set(i, dew)
			m.Columns[forecast.Humidity].Set(i, air.Humidity(temp, dew))
		}
		damper(f, &m, 1)
		assert.InDelta(t, dew, m.Columns[forecast.DewPoint].Values[0], 0, "what is past stays")
		got := m.Columns[forecast.DewPoint].Values[1]
		assert.InDelta(t, min(dew+2, temp), got, 1e-9)
		assert.InDelta(t, air.Humidity(temp, got), m.Columns[forecast.Humidity].Values[1], 1e-9)
	})
}

func TestDamperFromHumidityAlone(t *testing.T) {
	f, m := line(1, 20)
	m.Columns[forecast.DewPoint] = forecast.Column{}
	m.Columns[forecast.Humidity].Set(0, 50)
	damper(f, &m, 0)
	// 20 °C and 50 % have a dew point of 9.26 °C by the Magnus form; at 11.26 °C it is 57.1 %.
	assert.InDelta(t, 57.1, m.Columns[forecast.Humidity].Values[0], 0.1)
	assert.False(t, m.Columns[forecast.DewPoint].Any(), "what was not there is not made up")
	m.Columns[forecast.Humidity] = forecast.Column{}
	damper(f, &m, 0)
	assert.False(t, m.Columns[forecast.Humidity].Any())
}

func TestWindier(t *testing.T) {
	f, m := line(3, 5)
	m.Columns[forecast.Gust].Known[2] = false
	windier(f, &m, 1)
	assert.Equal(t, []float64{5, 7, 7}, m.Columns[forecast.WindSpeed].Values)
	assert.Equal(t, []float64{5, 7}, m.Columns[forecast.Gust].Values[:2])
	assert.False(t, m.Columns[forecast.Gust].Known[2])
	assert.Equal(t, []float64{5, 5, 5}, m.Columns[forecast.WindFrom].Values)
}

func TestCloneIsApart(t *testing.T) {
	_, m := line(2, 5)
	c := clone(m)
	c.Columns[forecast.WindSpeed].Set(0, 9)
	c.Columns[forecast.WindSpeed].Known[1] = false
	assert.Equal(t, []float64{5, 5}, m.Columns[forecast.WindSpeed].Values)
	assert.True(t, m.Columns[forecast.WindSpeed].Known[1])
}
