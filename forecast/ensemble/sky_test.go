package ensemble

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/forecast/sky"
)

// at is a value that must be known.
func at(t require.TestingT, m *forecast.Member, q forecast.Quantity, i int) float64 {
	v, ok := m.Columns[q].At(i)
	require.True(t, ok, "%s", q)
	return v
}

func TestSky_LightFollowsCloud(t *testing.T) {
	f := otterQuay(week)
	in := &f.Members[0]
	roof := newSunRoof(f)
	for _, m := range Dress(f, 20, start, Options{}) {
		for i := range week {
			was, got := at(t, in, forecast.GlobalRadiation, i), at(t, &m, forecast.GlobalRadiation, i)
			if was == 0 {
				require.Zero(t, got, "night stays night")
				continue
			}
			cloud, before := at(t, &m, forecast.CloudCover, i)/100, at(t, in, forecast.CloudCover, i)/100
			ratio := sky.CloudFactor(cloud) / sky.CloudFactor(before)
			bound := math.Max(was, roof.light[i])
			require.InDelta(t, math.Min(was*ratio, bound), got, 1e-9)
			direct, diffuse := at(t, &m, forecast.DirectRadiation, i), at(t, &m, forecast.DiffuseRadiation, i)
			require.InDelta(t, got, direct+diffuse, 1e-9, "the parts make the whole")
			share := direct / got
			if ratio < 1 {
				require.Less(t, share, 0.6, "cloud takes the beam first")
			}
			uv, clear := at(t, &m, forecast.UVIndex, i), at(t, &m, forecast.UVIndexClearSky, i)
			require.LessOrEqual(t, uv, clear+1e-9)
			require.Equal(t, at(t, in, forecast.UVIndexClearSky, i), clear)
		}
	}
}

// Bright light under a cover that the service calls full does not become four
// times as bright where a future clears up.
func TestSky_NeverAboveClear(t *testing.T) {
	f := otterQuay(week, forecast.UVIndexClearSky)
	fill(f, forecast.CloudCover, 100)
	light := f.Members[0].Columns[forecast.GlobalRadiation]
	roof := newSunRoof(f)
	for i := range week {
		light.Set(i, 0.8*roof.light[i])
		f.Members[0].Columns[forecast.UVIndex].Set(i, 0.9*roof.uv[i])
	}
	brighter := 0
	for _, m := range Dress(f, 20, start, Options{}) {
		for i := range week {
			got := at(t, &m, forecast.GlobalRadiation, i)
			require.LessOrEqual(t, got, roof.light[i]+1e-9)
			require.LessOrEqual(t, at(t, &m, forecast.UVIndex, i), roof.uv[i]+1e-9)
			if got > 0.8*roof.light[i] {
				brighter++
			}
		}
	}
	assert.Greater(t, brighter, 100)
}

func TestSky_LightWithoutCover(t *testing.T) {
	f := otterQuay(week, forecast.CloudCover, forecast.CloudLow, forecast.CloudMiddle, forecast.CloudHigh)
	out := Dress(f, 200, start, Options{})
	noon := 24*2 + 17
	e := errorsOf(f, out, forecast.GlobalRadiation, noon)
	was := at(t, &f.Members[0], forecast.GlobalRadiation, noon)
	assert.Greater(t, meanAbs(e)/was, 0.05, "sunlight strays all the same")
	assert.False(t, out[0].Columns[forecast.CloudCover].Any())
	roof := newSunRoof(f)
	want := (50 + 40*math.Sin(2*math.Pi*float64(noon)/12)) / 100
	assert.InDelta(t, want, roof.cloud[noon], 0.05, "the cloud that the light tells of")
}

func TestSky_OneColumnOfLight(t *testing.T) {
	for _, keep := range []forecast.Quantity{forecast.GlobalRadiation, forecast.DirectRadiation, forecast.DiffuseRadiation} {
		leave := []forecast.Quantity{}
		for _, q := range []forecast.Quantity{forecast.GlobalRadiation, forecast.DirectRadiation, forecast.DiffuseRadiation} {
			if q != keep {
				leave = append(leave, q)
			}
		}
		f := otterQuay(48, leave...)
		out := Dress(f, 40, start, Options{})
		assert.Greater(t, meanAbs(errorsOf(f, out, keep, 17)), 1.0, "%s strays", keep)
		for _, q := range leave {
			assert.False(t, out[0].Columns[q].Any(), "%s stays absent", q)
		}
	}
}

func TestSky_LayersStayWithinTheCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := otterQuay(1)
		cover := rapid.Float64Range(0, 100).Draw(t, "cover")
		m := &f.Members[0]
		for q := forecast.CloudLow; q <= forecast.CloudHigh; q++ {
			m.Columns[q].Set(0, rapid.Float64Range(0, cover).Draw(t, "layer"))
		}
		n := rapid.Float64Range(0, 1).Draw(t, "new cover")
		layers(m, 0, cover/100, n)
		for q := forecast.CloudLow; q <= forecast.CloudHigh; q++ {
			v := at(t, m, q, 0)
			require.True(t, v >= 0 && v <= 100*n+1e-9, "layer %v of %v", v, 100*n)
		}
	})
}

func TestSunRoof(t *testing.T) {
	f := otterQuay(24)
	r := newSunRoof(f)
	// Solar noon at 70.74° W on 7 September is near 16:41 UTC, the sun 90 − 43.07
	// + 6 = 53° high: Haurwitz gives about 810 W/m².
	assert.InDelta(t, 810, r.light[16], 15)
	assert.InDelta(t, 12.5*math.Pow(math.Sin(53*math.Pi/180), 2.42), r.uv[16], 0.25)
	assert.False(t, r.lit[4], "midnight at the quay")
	f.Place.Latitude = math.NaN()
	assert.False(t, newSunRoof(f).lit[16], "no place, no sun")
}

func TestGrowth(t *testing.T) {
	g := Growth{Now: 0.5, Day1: 1, Day7: 4, End: 5}
	for lead, want := range map[float64]float64{
		-9: 0.5, 0: 0.5, 12: 0.75, 24: 1, 96: 2.5, 168: 4, 192: 4.5, 216: 5, 400: 5} {
		assert.InDelta(t, want, g.At(lead), 1e-12, "%v h", lead)
	}
	fall := Growth{Now: 95, Day1: 85, Day7: 60, End: 50}
	assert.InDelta(t, 60, fall.At(168), 1e-12)
	assert.InDelta(t, 50, fall.At(500), 1e-12, "what falls stops at End too")
}

func TestDefault_AsPublished(t *testing.T) {
	e := Default()
	// NWS Milwaukee 2011, °F into K, mean absolute into standard deviation.
	for _, c := range []struct{ got, fahrenheit float64 }{
		{e.AirDay.Day1, 2}, {e.AirDay.Day7, 5}, {e.AirNight.Day1, 3}, {e.AirNight.Day7, 6}} {
		assert.InDelta(t, c.fahrenheit*5/9*math.Sqrt(math.Pi/2), c.got, 0.05)
	}
	// Working practice: wind off by 1.35 m/s and 2 m/s on average at 4.5 m/s.
	assert.InDelta(t, 1.35, 5.5*e.Wind.Day1/sigma, 1e-9)
	assert.InDelta(t, 2, 5.5*e.Wind.Day7/sigma, 1e-9)
	// Rain an hour off today, two tomorrow, three from the third day, nine in ten.
	for lead, hours := range map[float64]float64{0: 1, 24: 2, 72: 3, 200: 3} {
		assert.InDelta(t, hours, nineInTen*e.RainShift.At(lead), 0.01)
	}
}

func TestNightness(t *testing.T) {
	at := time.Date(2026, 9, 7, 4, 0, 0, 0, time.UTC)
	assert.InDelta(t, 1, nightness(at, 0), 1e-12)
	assert.InDelta(t, 0, nightness(at.Add(12*time.Hour), 0), 1e-12)
	assert.InDelta(t, 0, nightness(at, 180), 1e-12, "the other side of the globe")
	assert.InDelta(t, 1, nightness(at.Add(5*time.Hour), -75), 1e-12)
}
