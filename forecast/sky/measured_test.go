package sky

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast/air"
)

// Two days on which longwave from the sky was measured. The data lie outside the
// repository; without them the tests skip.
const (
	meadowFile = "meadow-hesse-2017-06-30.csv"
	snowFile   = "surfrad-alamosa-2016-01-01-10min.dat"
)

func measured(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("../../../shared/measured", name))
	if err != nil {
		t.Skipf("no measurements to hold against: %v", err)
	}
	return string(b)
}

// moment is one record: air, sunlight on the level and longwave from the sky.
type moment struct {
	at                   time.Time
	temp, dew, ghi, long float64
	lat, lon, p          float64
}

func (m moment) sun() Position { return Sun(m.at, m.lat, m.lon, m.p, m.temp) }

func meadow(t *testing.T) []moment {
	rows, err := csv.NewReader(strings.NewReader(measured(t, meadowFile))).ReadAll()
	require.NoError(t, err)
	var all []moment
	for _, r := range rows[1:] {
		when, err := time.Parse(time.DateTime, r[1])
		require.NoError(t, err)
		n := func(i int) float64 {
			v, err := strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
			return v
		}
		all = append(all, moment{
			at: when, temp: n(2), dew: air.DewPoint(n(2), n(3)), ghi: n(8), long: n(13),
			lat: 50.84, lon: 8.68, p: 990,
		})
	}
	return all
}

func snow(t *testing.T) []moment {
	lines := strings.Split(strings.TrimSpace(measured(t, snowFile)), "\n")
	var all []moment
	for _, line := range lines[2:] {
		f := strings.Fields(line)
		n := func(i int) float64 {
			v, err := strconv.ParseFloat(f[i], 64)
			require.NoError(t, err)
			return v
		}
		when := time.Date(int(n(0)), time.Month(n(2)), int(n(3)), int(n(4)), int(n(5)), 0, 0, time.UTC)
		all = append(all, moment{
			at: when, temp: n(38), dew: air.DewPoint(n(38), n(40)), ghi: n(8), long: n(16),
			lat: 37.70, lon: -105.92, p: n(46),
		})
	}
	return all
}

// hours groups moments by the hour, keeping those hours in which keep holds for
// every moment.
func hours(all []moment, keep func(moment) bool) [][]moment {
	var out [][]moment
	for i := 0; i < len(all); {
		j, good := i, true
		for ; j < len(all) && all[j].at.Truncate(time.Hour).Equal(all[i].at.Truncate(time.Hour)); j++ {
			good = good && keep(all[j])
		}
		if good {
			out = append(out, all[i:j])
		}
		i = j
	}
	return out
}

// score gives bias and root mean square of modelled minus measured hourly means.
func score(hours [][]moment, cloud func([]moment) float64) (bias, rms float64) {
	for _, h := range hours {
		n, d := cloud(h), 0.0
		for _, m := range h {
			d += Longwave(m.temp, m.dew, n) - m.long
		}
		d /= float64(len(h))
		bias += d
		rms += d * d
	}
	n := float64(len(hours))
	return bias / n, math.Sqrt(rms / n)
}

// clearnessCloud gives an hour's cloud from its sunlight over the clear sky's.
func clearnessCloud(h []moment) float64 {
	got, clear := 0.0, 0.0
	for _, m := range h {
		got += math.Max(m.ghi, 0)
		clear += Haurwitz(m.sun().CosZenith())
	}
	return CloudFromClearness(got / clear)
}

// Daylight hours: the sun is up from beginning to end. The bar is 13 W/m².
func TestLongwaveMeadowByDay(t *testing.T) {
	day := hours(meadow(t), func(m moment) bool { return m.sun().Elevation > 0 })
	require.GreaterOrEqual(t, len(day), 14)
	bias, rms := score(day, clearnessCloud)
	t.Logf("%d hours: bias %+.1f, RMSE %.1f W/m²", len(day), bias, rms)
	assert.LessOrEqual(t, rms, 13.0)
	_, cloudless := score(day, func([]moment) float64 { return 0 })
	assert.Greater(t, cloudless, 30.0, "without cloud the sky is far too cold")
}

// The snow night was clear but for one passing cloud; the same formula with no
// cloud. The bar is 14 W/m².
func TestLongwaveSnowNight(t *testing.T) {
	night := hours(snow(t), func(m moment) bool { return m.sun().Geometric < -5 })
	require.GreaterOrEqual(t, len(night), 11)
	bias, rms := score(night, func([]moment) float64 { return 0 })
	t.Logf("%d hours: bias %+.1f, RMSE %.1f W/m²", len(night), bias, rms)
	assert.LessOrEqual(t, rms, 14.0)
}
