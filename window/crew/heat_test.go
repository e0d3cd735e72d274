package crew

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Heat index in °F. The oracle is the test file of the library MetPy (some rows
// checked there against the NWS calculator in 2019) or the table of crh.noaa.gov,
// to 1 °F; the exact column is the published algorithm worked by hand.
func TestHeatIndex_Published(t *testing.T) {
	rows := []struct {
		f, rh, exact, oracle float64
		source               string
	}{
		{80, 40, 79.58, 80, "MetPy"},
		{88, 100, 121.21, 121, "MetPy"},
		{92, 70, 112.18, 112, "MetPy"},
		{110, 40, 135.66, 136, "MetPy"},
		{86, 88, 104.19, 104, "MetPy"},
		{96, 65, 121.03, 121, "MetPy"},
		{86, 45, 86.57, 87, "MetPy, NWS calculator"},
		{111, 27, 121.03, 121, "MetPy, NWS calculator"},
		{96, 60, 116.13, 116, "MetPy, NWS calculator"},
		{90, 70, 105.92, 106, "crh.noaa.gov"},
		{85, 80, 96.81, 97, "crh.noaa.gov"},
		{90, 80, 113.33, 113, "crh.noaa.gov"},
		{75, 50, 74.55, 75, "crh.noaa.gov"},
		{70, 80, 70.46, 71, "crh.noaa.gov"},
		{84, 90, 98.34, 98.34, "algorithm, damp adjustment"},
		{82, 95, 93.97, 93.97, "algorithm, damp adjustment"},
		{100, 10, 94.12, 95, "old Steadman table, dry adjustment"},
	}
	for _, r := range rows {
		got := fahrenheit(HeatIndex(celsius(r.f), r.rh))
		assert.InDelta(t, r.exact, got, 0.006, "%v °F %v %%", r.f, r.rh)
		assert.InDelta(t, r.oracle, got, 1, "%v °F %v %%, %s", r.f, r.rh, r.source)
	}
}

func TestHeatIndex_Celsius(t *testing.T) {
	assert.InDelta(t, 50.3405, HeatIndex(35, 70), 1e-3, "MetPy tests/calc")
	assert.InDelta(t, 37.7, HeatIndex(30, 80), 0.1, "Tartarini validation set")
}

func TestHeatIndex_Edges(t *testing.T) {
	assert.Equal(t, HeatIndex(35, 100), HeatIndex(35, 130), "above 100 % is taken as 100 %")
	assert.Equal(t, HeatIndex(35, 0), HeatIndex(35, -5), "below 0 % is taken as 0 %")
	assert.InDelta(t, 0, HeatIndex(0, 50), 4, "cold air gives about its own temperature")
}

func TestHeatIndex_DamperNeverCooler(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(28, 43).Draw(t, "°C")
		rh := rapid.Float64Range(40, 84).Draw(t, "%")
		require.GreaterOrEqual(t, HeatIndex(c, rh+1), HeatIndex(c, rh))
	})
}

// Computed from the NIOSH formulas; the exposure line as in the library
// pythermalcomfort, the alert line from memory. 415 W is heavy compounding overhead.
func TestNIOSHLines(t *testing.T) {
	assert.InDelta(t, 29.4, HeatScreenC, 0.05, "CDC MMWR 67(26): 85 °F")
	rows := []struct{ watts, exposure, alert float64 }{
		{115, 33.00, 30.84}, {180, 30.76, 28.10}, {300, 28.21, 24.97},
		{415, 26.59, 22.99}, {520, 25.47, 21.60},
	}
	for _, r := range rows {
		assert.InDelta(t, r.exposure, ExposureLimit(r.watts), 0.006)
		assert.InDelta(t, r.alert, AlertLimit(r.watts), 0.006)
	}
	assert.Equal(t, ExposureLimit(RestW), ExposureLimit(0), "no rate means rest")
	assert.Equal(t, AlertLimit(520), AlertLimit(9000))
}

// The chart of 2001 of the US National Weather Service, °F by mph.
func TestWindChill_Chart(t *testing.T) {
	mph := []float64{5, 10, 15, 20, 25, 30, 40, 50, 60}
	chart := map[float64][]float64{
		40: {36, 34, 32, 30, 29, 28, 27, 26, 25},
		30: {25, 21, 19, 17, 16, 15, 13, 12, 10},
		20: {13, 9, 6, 4, 3, 1, -1, -3, -4},
		10: {1, -4, -7, -9, -11, -12, -15, -17, -19},
		0:  {-11, -16, -19, -22, -24, -26, -29, -31, -33},
	}
	for f, row := range chart {
		for i, want := range row {
			got := fahrenheit(WindChill(celsius(f), mph[i]*0.44704))
			assert.Equal(t, want, math.Round(got), "%v °F, %v mph: %v", f, mph[i], got)
		}
	}
}

// Metric rows of the Tartarini validation set, °C by km/h, and rows of MetPy.
func TestWindChill_Metric(t *testing.T) {
	rows := []struct{ c, kmh, want, tol float64 }{
		{-20, 5, -24.3, 0.1}, {-20, 15, -29.1, 0.1}, {-20, 60, -36.5, 0.1},
		{-10, 10, -15.3, 0.1}, {-5, 5.5, -7.527, 0.05}, {-40, 30, -58.7, 0.1},
	}
	for _, r := range rows {
		assert.InDelta(t, r.want, WindChill(r.c, r.kmh/3.6), r.tol, "%v °C %v km/h", r.c, r.kmh)
	}
	for _, r := range [][3]float64{{40, 5, 36}, {-10, 55, -46}, {20, 15, 6}} {
		assert.InDelta(t, r[2], fahrenheit(WindChill(celsius(r[0]), r[1]*0.44704)), 0.5)
	}
}

func TestWindChill_Range(t *testing.T) {
	assert.Equal(t, 10.1, WindChill(10.1, 10), "above 50 °F there is none")
	assert.Equal(t, -5.0, WindChill(-5, 1.3), "nor in 3 mph")
	assert.Less(t, WindChill(10, 10), 10.0)
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-45, 10).Draw(t, "°C")
		v := rapid.Float64Range(0, 40).Draw(t, "m/s")
		require.LessOrEqual(t, WindChill(c, v), c+0.1)
		require.LessOrEqual(t, WindChill(c, v+1), WindChill(c, v)+0.1, "more wind is not warmer")
	})
}
