package surface

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/sky"
)

// measuredDir is where recorded surfaces lie, beside the repository.
const measuredDir = "../../../shared/measured"

func measuredText(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(measuredDir, name))
	if os.IsNotExist(err) {
		t.Skipf("%s (../shared/measured) is not beside the repository", name)
	}
	require.NoError(t, err)
	return string(data)
}

// reading is one line of a measured file; what it lacks is 0.
type reading struct {
	at             time.Time
	airC, rh, wind float64
	global         float64 // W/m² on the level
	reflected      float64 // W/m² of it thrown back
	down, up       float64 // W/m² of longwave from the sky and from the surface
	surfaceC       float64
}

// numbers reads the columns of one line.
func numbers(t testing.TB, cells []string) func(int) float64 {
	return func(i int) float64 {
		v, err := strconv.ParseFloat(cells[i], 64)
		require.NoError(t, err)
		return v
	}
}

// plateReadings are six days of a thin dark plate (IBPSA modelica-ibpsa,
// validation data of UdK Berlin), every five minutes.
func plateReadings(t testing.TB) []reading {
	rows, err := csv.NewReader(strings.NewReader(measuredText(t, "roof-plate-berlin-2023-07-28.csv"))).ReadAll()
	require.NoError(t, err)
	var out []reading
	for _, row := range rows[1:] {
		at, err := time.ParseInLocation(time.DateTime, row[0], time.FixedZone("", 2*3600))
		require.NoError(t, err)
		n := numbers(t, row)
		out = append(out, reading{
			at: at.UTC(), airC: n(1), wind: n(2), global: math.Max(n(3), 0), surfaceC: n(4),
			// Nobody measured the humidity: the dew point is held at 12 °C.
			rh: air.Humidity(n(1), 12),
		})
	}
	return out
}

// meadowReadings are one day over a meadow, every five minutes, UTC.
func meadowReadings(t testing.TB) []reading {
	rows, err := csv.NewReader(strings.NewReader(measuredText(t, "meadow-hesse-2017-06-30.csv"))).ReadAll()
	require.NoError(t, err)
	var out []reading
	for _, row := range rows[1:] {
		at, err := time.Parse(time.DateTime, row[1])
		require.NoError(t, err)
		n := numbers(t, row)
		out = append(out, reading{
			at: at, airC: n(2), rh: n(3), wind: n(6), global: math.Max(n(8), 0), reflected: math.Max(n(9), 0),
			down: n(13), up: n(14),
		})
	}
	return out
}

// snowReadings are one day at a SURFRAD station in winter, every ten minutes, UTC.
func snowReadings(t testing.TB) []reading {
	lines := strings.Split(strings.TrimSpace(measuredText(t, "surfrad-alamosa-2016-01-01-10min.dat")), "\n")
	var out []reading
	for _, line := range lines[2:] {
		n := numbers(t, strings.Fields(line))
		out = append(out, reading{
			at:   time.Date(int(n(0)), time.Month(int(n(2))), int(n(3)), int(n(4)), int(n(5)), 0, 0, time.UTC),
			airC: n(38), rh: n(40), wind: n(42), global: math.Max(n(8), 0), reflected: math.Max(n(10), 0),
			down: n(16), up: n(22),
		})
	}
	return out
}

// site is where a file was measured.
type site struct {
	lat, lon float64
	perSlot  int // readings in ten minutes
}

var (
	plateSite  = site{52.30, 13.20, 2}
	meadowSite = site{50.84, 8.68, 2}
	snowSite   = site{37.70, -105.92, 1}
)

// recorded is a measured file as the model reads it, and what was measured
// beside it by the slot.
type recorded struct {
	site
	grid     Grid
	sky      *Sky
	weather  *Weather
	measured []reading // means over each slot's readings
}

// cloudHours is how many hours' clearness tells the cloud of the one in their middle.
// It was chosen on the meadow's longwave alone ([TestCloudHours]); no plate was looked at.
const cloudHours = 5

// record brings readings onto the slots as a forecast would come: sunlight as
// means over the slot, air and wind as instants at its beginning (there the mean of
// the reading before and after). Cloud is nobody's reading: by day it is what the
// clearness of the hours around tells, by night the sky is taken as clear.
func record(all []reading, at site) *recorded { return recordUnder(all, at, cloudHours) }

// recordUnder does so with the cloud that the clearness of so many hours tells.
func recordUnder(all []reading, at site, around int) *recorded {
	n := len(all) / at.perSlot
	f := &forecast.Forecast{Start: all[0].at, Step: Slot, N: n, Members: make([]forecast.Member, 1)}
	m := &f.Members[0]
	for _, q := range []forecast.Quantity{
		forecast.AirTemperature, forecast.DewPoint, forecast.WindSpeed, forecast.GlobalRadiation,
		forecast.CloudCover, forecast.Precipitation,
	} {
		m.Columns[q] = forecast.NewColumn(n)
	}
	r := &recorded{site: at}
	for i := range n {
		k := i * at.perSlot
		r.measured = append(r.measured, mean(all[k:k+at.perSlot]))
		instant := all[k]
		if at.perSlot > 1 {
			instant = mean(all[max(k-1, 0) : k+1])
		}
		m.Columns[forecast.AirTemperature].Set(i, instant.airC)
		m.Columns[forecast.DewPoint].Set(i, air.DewPoint(instant.airC, instant.rh))
		m.Columns[forecast.WindSpeed].Set(i, instant.wind)
		m.Columns[forecast.GlobalRadiation].Set(i, r.measured[i].global)
		m.Columns[forecast.Precipitation].Set(i, 0)
	}
	r.grid = NewGrid(f.Start, f.End())
	r.sky = NewSky(r.grid, at.lat, at.lon, Model{})
	for i, c := range r.clouds(around) {
		m.Columns[forecast.CloudCover].Set(i, 100*c)
	}
	r.weather = NewWeather(f, m, r.sky, Site{WindShare: 1}, Model{})
	return r
}

// mean of readings that follow one another; the time is the first's.
func mean(all []reading) reading {
	out := reading{at: all[0].at}
	for _, x := range all {
		w := 1 / float64(len(all))
		out.airC, out.rh, out.wind = out.airC+w*x.airC, out.rh+w*x.rh, out.wind+w*x.wind
		out.global, out.reflected = out.global+w*x.global, out.reflected+w*x.reflected
		out.down, out.up, out.surfaceC = out.down+w*x.down, out.up+w*x.up, out.surfaceC+w*x.surfaceC
	}
	return out
}

// clouds are the cloud covers, 0–1, by the slot: the clearness of the cloudHours
// around an hour of daylight. A sunlight meter sees the beam come through one gap;
// longwave comes from the whole sky, whose cover the hours around tell better.
func (r *recorded) clouds(around int) []float64 {
	out := make([]float64, r.grid.N)
	for h := range r.hours() {
		if _, own := r.clearness(h, h+1); own <= 50 { // W/m²: below that a clearness says nothing
			continue
		}
		c, _ := r.clearness(max(h-around/2, 0), min(h+around/2+1, r.hours()))
		for i := h * PerHour; i < (h+1)*PerHour; i++ {
			out[i] = sky.CloudFromClearness(c)
		}
	}
	return out
}

// clearness is the sunlight of hours as a share of a clear sky's, and that clear
// sky's mean in W/m².
func (r *recorded) clearness(from, to int) (share, clear float64) {
	var seen float64
	for i := from * PerHour; i < to*PerHour; i++ {
		seen += r.measured[i].global
		clear += r.sky.Clear[i]
	}
	return seen / clear, clear / float64((to-from)*PerHour)
}

func (r *recorded) hours() int { return r.grid.N / PerHour }

// hour is the mean of what was measured in hour h.
func (r *recorded) hour(h int) reading { return mean(r.measured[h*PerHour : (h+1)*PerHour]) }

// run is the track of a panel that lies open under the recorded weather.
func (r *recorded) run(p Panel, facing float64, sprayed bool) *Track {
	x := NewExposure(Exposed{
		Tilt: p.Tilt, Facing: func(int) float64 { return facing },
		Cover: func(int) (Roof, float64) { return NoRoof, 0 },
		Spray: func(int) bool { return sprayed },
	}, r.sky, Model{})
	t := NewTrack(r.grid.N)
	t.Run(p, x, r.weather, Model{})
	return t
}

// hourMean is the mean of values at the slots' ends over hour h, by the trapezoids
// between them: the ends alone would stand five minutes late.
func hourMean(ends []float32, h int) float64 {
	sum := 0.0
	for i := h * PerHour; i < (h+1)*PerHour; i++ {
		sum += float64(ends[max(i-1, 0)]+ends[i]) / 2
	}
	return sum / PerHour
}
