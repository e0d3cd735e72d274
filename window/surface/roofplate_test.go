package surface

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/forecast/sky"
)

// roofPlate reads six days of a thin dark plate on a roof (IBPSA
// modelica-ibpsa validation data of UdK Berlin) as a forecast of ten-minute
// steps, with the plate's temperature beside it.
func roofPlate(t *testing.T) (*forecast.Forecast, []float64) {
	t.Helper()
	file, err := os.Open("../../../shared/measured/roof-plate-berlin-2023-07-28.csv")
	if os.IsNotExist(err) {
		t.Skip("the measured roof plate (../shared/measured) is not beside the repository")
	}
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	rows = rows[1:]
	n := len(rows) / 2
	start, err := time.ParseInLocation(time.DateTime, rows[0][0], time.FixedZone("", 2*3600))
	require.NoError(t, err)
	f := &forecast.Forecast{Start: start.UTC(), Step: Slot, N: n, Members: make([]forecast.Member, 1)}
	m := &f.Members[0]
	cols := []forecast.Quantity{
		forecast.AirTemperature, forecast.DewPoint, forecast.WindSpeed, forecast.GlobalRadiation,
		forecast.CloudCover, forecast.Precipitation,
	}
	for _, q := range cols {
		m.Columns[q] = forecast.NewColumn(n)
	}
	plate := make([]float64, n)
	for i := range n {
		cell := func(c int) float64 {
			a, errA := strconv.ParseFloat(rows[2*i][c], 64)
			b, errB := strconv.ParseFloat(rows[2*i+1][c], 64)
			require.NoError(t, errA)
			require.NoError(t, errB)
			return (a + b) / 2
		}
		m.Columns[forecast.AirTemperature].Set(i, cell(1))
		m.Columns[forecast.WindSpeed].Set(i, cell(2))
		m.Columns[forecast.GlobalRadiation].Set(i, math.Max(cell(3), 0))
		// Not measured: the dew point is held at 12 °C, nights are taken as clear.
		m.Columns[forecast.DewPoint].Set(i, 12)
		m.Columns[forecast.Precipitation].Set(i, 0)
		plate[i] = cell(4)
	}
	clearNights(f)
	return f, plate
}

// clearNights sets the cloud cover: by day what the hour's clearness tells, by
// night none, for nobody measured it.
func clearNights(f *forecast.Forecast) {
	s := NewSky(NewGrid(f.Start, f.End()), 52.30, 13.20, Model{})
	m := &f.Members[0]
	for h := 0; h+PerHour <= f.N; h += PerHour {
		var seen, clear float64
		for i := h; i < h+PerHour; i++ {
			seen += m.Columns[forecast.GlobalRadiation].Values[i]
			clear += s.Clear[i]
		}
		cloud := 0.0
		if clear > 50*PerHour {
			cloud = 100 * sky.CloudFromClearness(seen/clear)
		}
		for i := h; i < h+PerHour; i++ {
			m.Columns[forecast.CloudCover].Set(i, cloud)
		}
	}
}

// TestRoofPlate holds the model against a measured plate with properties
// stated in advance: thin, absorptance 0.90, emissivity 0.90, both faces in the
// air, tilt 2°, 27.5° west of south, 52.30 N 13.20 E; the wind is taken as it
// was measured on the roof.
func TestRoofPlate(t *testing.T) {
	f, plate := roofPlate(t)
	g := NewGrid(f.Start, f.End())
	s := NewSky(g, 52.30, 13.20, Model{})
	w := NewWeather(f, &f.Members[0], s, Site{WindShare: 1}, Model{})
	p := Panel{Tilt: 2, Absorptance: 0.90, Emissivity: 0.90, Capacity: 8000, TwoSided: true, HoldingGM2: 100}
	x := NewExposure(Exposed{
		Tilt: 2, Facing: func(int) float64 { return 207.5 },
		Cover: func(int) (Roof, float64) { return NoRoof, 0 },
	}, s, Model{})
	tr := NewTrack(g.N)
	tr.Run(p, x, w, Model{})
	var sum, night, nights, dayb, days float64
	hours := g.N / PerHour
	for h := range hours {
		var a, b, sun float64
		for k := h * PerHour; k < (h+1)*PerHour; k++ {
			a += float64(tr.Surface[k]) / PerHour
			b += plate[k] / PerHour
			sun += float64(w.Global[k])
		}
		sum += (a - b) * (a - b)
		if sun < 5*PerHour {
			night += a - b
			nights++
		} else if sun > 300*PerHour {
			dayb += a - b
			days++
		}
	}
	rmse := math.Sqrt(sum / float64(hours))
	t.Logf("day bias %.2f over %v", dayb/days, days)
	t.Logf("hourly RMSE %.2f K over %d hours, night bias %+.2f K over %.0f", rmse, hours, night/nights, nights)
	require.Less(t, rmse, 2.0)
	require.InDelta(t, 0, night/nights, 1.0)
}
