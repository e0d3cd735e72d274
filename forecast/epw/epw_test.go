package epw

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// made is an invented file whose every hour is told by line.
func made(line func(h int, at time.Time) string) []byte {
	var b bytes.Buffer
	b.WriteString("LOCATION,Otter Quay,ME,USA,invented,000000,43.07,-70.74,-5.0,2.0\n" + strings.Repeat("COMMENTS,\"a, b\"\n", 7))
	for h := range Hours {
		at := time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(h) * time.Hour)
		b.WriteString(line(h, at) + "\n")
	}
	return b.Bytes()
}

// plain writes the hour of the year into the dry bulb's and the radiation's digits.
func plain(h int, at time.Time) string {
	return fmt.Sprintf("1999,%d,%d,%d,60,?,%.1f,3.0,80,101325,0,0,0,%d,0,%d,0,0,0,0,180,4.0,5,4,16.0,77777,9,999999999,10,0.1,0,88,0.2,0.4,1.0",
		at.Month(), at.Day(), at.Hour()+1, float64(h%500)/10, h%700, h%300)
}

// An hour's radiation and rain belong to the hour before its stamp, its
// temperature to the stamp itself (EnergyPlus data dictionary, from memory; hour 1
// is 00:00 to 01:00).
func TestConvention(t *testing.T) {
	y, err := Parse(made(plain))
	require.NoError(t, err)
	assert.Equal(t, "Otter Quay, ME", y.Station)
	assert.Equal(t, forecast.Place{Latitude: 43.07, Longitude: -70.74, ElevationM: 2, HasElevation: true}, y.Place)
	assert.Equal(t, -5*time.Hour, y.Offset)

	f := y.Forecast(2026, 0, 0)
	require.Equal(t, Hours, f.N)
	assert.Equal(t, time.Date(2026, 1, 1, 5, 0, 0, 0, time.UTC), f.Start)
	col := func(q forecast.Quantity, i int) float64 {
		v, ok := f.Members[0].Columns[q].At(i)
		require.True(t, ok, "%s %d", q, i)
		return v
	}
	assert.InDelta(t, 12, col(forecast.GlobalRadiation, 12), 1e-9)
	assert.InDelta(t, 1.2, col(forecast.AirTemperature, 13), 1e-9, "stamped 13:00")
	assert.InDelta(t, float64((Hours-1)%500)/10, col(forecast.AirTemperature, 0), 1e-9, "the year joins its own end")
	assert.InDelta(t, float64(400%700-400%300), col(forecast.DirectRadiation, 400), 1e-9, "global less diffuse")
	assert.InDelta(t, 1013.25, col(forecast.Pressure, 5), 1e-9)
	assert.InDelta(t, 50, col(forecast.CloudCover, 5), 1e-9)
	assert.InDelta(t, 0.4, col(forecast.Precipitation, 5), 1e-9)
	assert.Empty(t, f.Warnings)
}

// Weather before the first and after the last day is that of the other end.
func TestForecastJoins(t *testing.T) {
	y, err := Parse(made(plain))
	require.NoError(t, err)
	f, g := y.Forecast(2026, 72*time.Hour, 48*time.Hour), y.Forecast(2026, 0, 0)
	require.Equal(t, Hours+72+48, f.N)
	assert.Equal(t, g.Start.Add(-72*time.Hour), f.Start)
	for i := range f.N {
		for q := range f.Members[0].Columns {
			v, ok := f.Members[0].Columns[q].At(i)
			w, also := g.Members[0].Columns[q].At(((i-72)%Hours + Hours) % Hours)
			require.Equal(t, also, ok)
			require.Equal(t, w, v)
		}
	}
}

// Missing values stay missing, by the values of the data dictionary.
func TestMissing(t *testing.T) {
	y, err := Parse(made(func(h int, at time.Time) string {
		return fmt.Sprintf("1999,%d,%d,%d,60,?,99.9,99.9,999,999999,9999,9999,9999,9999,9999,9999,999999,999999,999999,9999,999,999,99,99,9999,99999,9,999999999,999,.999,999,99",
			at.Month(), at.Day(), at.Hour()+1)
	}))
	require.NoError(t, err)
	for q, c := range y.Forecast(2026, 0, 0).Members[0].Columns {
		assert.False(t, c.Any(), forecast.Quantity(q))
	}
	assert.Equal(t, [12]float64{}, y.Gauged())
}

// Without a gauge, damp air under thick cloud with poor visibility is a wet hour;
// each of the three alone is not.
func TestEstimatedRain(t *testing.T) {
	line := func(dew float64, opaque int, visibility float64, rain string) hour {
		y := &Year{}
		text := fmt.Sprintf("1999,1,1,1,60,?,10.0,%.1f,80,101325,0,0,0,0,0,0,0,0,0,0,180,4.0,10,%d,%.1f,77777,9,999999999,10,0.1,0,88,0.2,%s", dew, opaque, visibility, rain)
		require.NoError(t, y.hour(9, strings.Split(text, ","), nil))
		return y.hours[0]
	}
	for name, c := range map[string]struct {
		h    hour
		want float64
	}{
		"wet":                  {line(7.0, 9, 10, "999,99"), wetMM},
		"dry air":              {line(6.9, 9, 10, "999,99"), 0},
		"thin cloud":           {line(9, 8, 10, "999,99"), 0},
		"clear view":           {line(9, 10, 10.1, "999,99"), 0},
		"gauge dry":            {line(9, 10, 1, "0.0,1.0"), 0},
		"gauge wet":            {line(0, 0, 50, "2.5,1.0"), 2.5},
		"a gauge of six hours": {line(0, 0, 50, "2.5,6.0"), 0},
	} {
		mm, ok := c.h.fallen()
		assert.True(t, ok, name)
		assert.InDelta(t, c.want, mm, 1e-9, name)
	}
	gone := line(9, 10, 1, "999,99")
	gone.visibility.ok = false
	_, ok := gone.fallen()
	assert.False(t, ok, "nothing to estimate from")
}

func TestErrors(t *testing.T) {
	good := string(made(plain))
	lines := strings.SplitAfter(good, "\n")
	with := func(n int, old, fresh string) string {
		out := append([]string(nil), lines...)
		require.Contains(t, out[n-1], old)
		out[n-1] = strings.Replace(out[n-1], old, fresh, 1)
		return strings.Join(out, "")
	}
	for name, c := range map[string]struct{ text, want string }{
		"empty":          {"", "line 1: this is no EPW file"},
		"HTML":           {"<html>", "line 1: this is no EPW file"},
		"short location": {"LOCATION,a,b\n", "line 1: LOCATION has 3 fields, needs 10"},
		"latitude":       {with(1, "43.07", "143.07"), "latitude 143.07 is outside"},
		"longitude":      {with(1, "-70.74", "west"), `line 1, field 8: longitude "west" is no number`},
		"zone":           {with(1, "-5.0", "-50"), "line 1, field 9: time zone -50 is outside"},
		"cut off":        {strings.Join(lines[:100], ""), "92 hours of data, a typical year has 8760"},
		"an hour twice":  {strings.Join(append(append([]string{}, lines[:20]...), lines[19:]...), ""), "line 21: 1/1/12, expected the hour 13 of 1/1"},
		"too long":       {good + lines[8], "line 8769: more than the 8760 hours"},
		"few columns":    {strings.Join(lines[:8], "") + "1999,1,1,1,60\n", "line 9: 5 columns, needs 25"},
		"no number":      {with(10, ",3.0,", ",warm,"), `line 10, column 21: dew point temperature "warm" is no number`},
		"impossible":     {with(10, ",4.0,", ",400.0,"), `wind speed "400.0" cannot exist`},
		"not a number":   {with(10, ",4.0,", ",NaN,"), `wind speed "NaN" cannot exist`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Parse([]byte(c.text))
			var bad *forecast.ReadError
			require.ErrorAs(t, err, &bad)
			assert.Contains(t, bad.Reason, c.want)
			assert.NotEmpty(t, bad.Fix)
		})
	}
}

// Typical years of two coastal stations (TMY3, NREL, public domain), beside the
// repository: rain and hours with a gauge as counted from the files by another program (hours in which a gauge was read over several hours left out).
func TestRecordedYears(t *testing.T) {
	for name, want := range map[string]struct {
		mm, gauged float64
		wet        int
	}{
		"USA_FL_Miami.Intl.AP.722020_TMY3.epw":        {723, 3690, 113},
		"USA_MA_Boston-Logan.Intl.AP.725090_TMY3.epw": {166, 1464, 66},
	} {
		data, err := os.ReadFile(filepath.Join("..", "..", "..", "shared", "recordings", "epw", name))
		if err != nil {
			t.Skip("the recorded years are not beside the repository")
		}
		y, err := Parse(data)
		require.NoError(t, err)
		mm, gauged, wet, hit, false1, missed := 0.0, 0.0, 0, 0, 0, 0
		for i := range y.hours {
			h := y.hours[i]
			if !h.gauged() {
				continue
			}
			gauged, mm = gauged+1, mm+h.rain.v
			h.rain.ok = false
			guess, _ := h.fallen()
			switch is := y.hours[i].rain.v >= 0.1; {
			case is && guess > 0:
				wet, hit = wet+1, hit+1
			case is:
				wet, missed = wet+1, missed+1
			case guess > 0:
				false1++
			}
		}
		assert.InDelta(t, want.mm, mm, 1e-6)
		assert.InDelta(t, want.gauged, gauged, 0)
		assert.Equal(t, want.wet, wet)
		a, b, c := float64(hit), float64(false1), float64(missed)
		d := gauged - a - b - c
		skill := 2 * (a*d - b*c) / ((a+c)*(c+d) + (a+b)*(b+d)) // Heidke, e.g. Wilks 2011 eq. 8.15
		t.Logf("%s: estimated rain hits %d of %d wet hours, %d false, Heidke skill %.2f", y.Station, hit, wet, false1, skill)
		assert.Greater(t, skill, 0.4)
	}
}

func FuzzParse(f *testing.F) {
	good := made(plain)
	f.Add(good[:2000])
	f.Add([]byte("LOCATION,a,b,c,d,e,1,2,3,4\n"))
	f.Add(bytes.Replace(good, []byte("1999,1,2"), []byte("\"1999,1,2"), 1))
	f.Fuzz(func(t *testing.T, data []byte) {
		y, err := Parse(data)
		if err != nil {
			var bad *forecast.ReadError
			require.ErrorAs(t, err, &bad)
			return
		}
		require.Len(t, y.hours, Hours)
	})
}

func BenchmarkParse(b *testing.B) {
	data := made(plain)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		_, err := Parse(data)
		require.NoError(b, err)
	}
}
