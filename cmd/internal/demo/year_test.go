package demo

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"dewgap/forecast/air"
	"dewgap/forecast/epw"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// yearHours are the data lines of the invented year, as numbers by column (0 to 34).
func yearHours(t *testing.T) [][]string {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(string(Year())), "\n")
	require.Len(t, lines, 8+365*24)
	var out [][]string
	for _, l := range lines[8:] {
		fields := strings.Split(l, ",")
		require.Len(t, fields, 35, "an hour of an EPW file has 35 fields (EnergyPlus Auxiliary Programs, Weather Converter)")
		out = append(out, fields)
	}
	return out
}

func number(t *testing.T, fields []string, column int) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(fields[column], 64)
	require.NoError(t, err)
	return v
}

// The year is read like a real one, is the same each time, and nobody can spoil it.
func TestYearIsAnEPWFile(t *testing.T) {
	y, err := epw.Parse(Year())
	require.NoError(t, err)
	assert.InDelta(t, place.Latitude, y.Place.Latitude, 1e-9)
	assert.InDelta(t, place.Longitude, y.Place.Longitude, 1e-9)
	assert.Equal(t, -5*time.Hour, y.Offset)
	assert.Equal(t, "invented", y.Made)
	for m, share := range y.Gauged() {
		assert.Equal(t, 1.0, share, "month %d has its rain", m+1)
	}
	first := Year()
	Year()[0] = 'x'
	assert.True(t, bytes.Equal(first, Year()))
}

// Hours follow one another, each with weather that hangs together: dew point below the
// air, humidity of both, cloud in tenths, rain and wind not negative.
func TestYearHangsTogether(t *testing.T) {
	at := time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)
	for i, f := range yearHours(t) {
		begins := at.Add(time.Duration(i) * time.Hour)
		require.Equal(t, []string{strconv.Itoa(int(begins.Month())), strconv.Itoa(begins.Day()), strconv.Itoa(begins.Hour() + 1)}, f[1:4])
		temp, dew, humidity, wind := number(t, f, 6), number(t, f, 7), number(t, f, 8), number(t, f, 21)
		require.Less(t, dew, temp)
		require.InDelta(t, air.Humidity(temp, dew), humidity, 1.2, "rounded to whole per cent, from tenths of a degree")
		require.True(t, temp > -25 && temp < 40, "%v °C", temp)
		require.True(t, wind >= 0 && wind < 20)
		for _, cover := range []float64{number(t, f, 22), number(t, f, 23)} {
			require.True(t, cover >= 0 && cover <= 10)
		}
		require.GreaterOrEqual(t, number(t, f, 33), 0.0)
	}
}

// Months are those of the table: their days with rain, their mean of highs and lows.
// The chances are spread evenly, so a year comes near.
func TestYearIsThatOfTheTable(t *testing.T) {
	var wet [12]map[int]bool
	var low, high [12][31]float64
	for m := range 12 {
		wet[m] = map[int]bool{}
		for d := range 31 {
			low[m][d], high[m][d] = 99, -99
		}
	}
	for _, f := range yearHours(t) {
		m, d := int(number(t, f, 1))-1, int(number(t, f, 2))-1
		temp := number(t, f, 6)
		low[m][d], high[m][d] = min(low[m][d], temp), max(high[m][d], temp)
		if number(t, f, 33) > 0 {
			wet[m][d] = true
		}
	}
	total := 0
	n := 0
	for line := range strings.Lines(yearTable) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		fields := strings.Fields(line)
		wantLow, wantHigh, wetDays := number(t, fields, 0), number(t, fields, 1), number(t, fields, 5)
		days := time.Date(2001, time.Month(n+2), 0, 0, 0, 0, 0, time.UTC).Day()
		sumLow, sumHigh := 0.0, 0.0
		for d := range days {
			sumLow, sumHigh = sumLow+low[n][d], sumHigh+high[n][d]
		}
		assert.InDelta(t, wantLow, sumLow/float64(days), 1.5, "lows of month %d", n+1)
		assert.InDelta(t, wantHigh, sumHigh/float64(days), 3, "highs of month %d: wet days are cooler", n+1)
		assert.InDelta(t, wetDays, len(wet[n]), 7, "days with rain in month %d", n+1)
		total, n = total+len(wet[n]), n+1
	}
	require.Equal(t, 12, n)
	assert.InDelta(t, 114, total, 15)
	assert.Greater(t, high[6][14], high[0][14], "July is warmer than January")
}

// Chances are numbers from 0 up to 1, spread evenly, and no two streams are alike.
func TestChance(t *testing.T) {
	for _, stream := range []float64{math.Sqrt2, math.E, math.Pi, math.Ln2} {
		var bins [5]int
		for day := range 365 {
			c := chance(day, stream)
			require.True(t, c >= 0 && c < 1)
			bins[int(c*5)]++
		}
		for i, n := range bins {
			assert.InDelta(t, 73, n, 25, "fifth %d of stream %v", i+1, stream)
		}
	}
	same := 0
	for day := range 365 {
		if a, b := chance(day, math.Sqrt2), chance(day, math.E); a-b < 0.01 && b-a < 0.01 {
			same++
		}
	}
	assert.Less(t, same, 20)
}
