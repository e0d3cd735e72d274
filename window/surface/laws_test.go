package surface

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

// The dew point never lies above the air, whatever a service states, and the
// humidity never above 100 %.
func TestDewPointBelowAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		airC := rapid.Float64Range(-45, 55).Draw(t, "air")
		f := sameWeather(airC, airC+rapid.Float64Range(-40, 10).Draw(t, "over"), 3, 0.5, nil)
		if rapid.Bool().Draw(t, "by humidity") {
			f.Members[0].Columns[forecast.DewPoint] = forecast.Column{}
			h := forecast.NewColumn(f.N)
			for i := range f.N {
				h.Set(i, rapid.Float64Range(-5, 130).Draw(t, "humidity"))
			}
			f.Members[0].Columns[forecast.Humidity] = h
		}
		w, _ := bring(f, Site{WindShare: 1})
		for i := range w.Grid.N {
			require.LessOrEqual(t, w.Dew[i], w.Air[i])
			require.LessOrEqual(t, w.Humidity[i], float32(100.001))
			require.Positive(t, w.Humidity[i])
		}
	})
}

// Water is conserved: what rained and dewed is what is held, what ran off a full
// panel and what evaporated, to 1e-9 kg/m².
func TestWaterIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBalance(t)
		var rained, ran, evaporated float64
		for range 60 {
			drawWeather(t, b)
			before, like := b.film, *b
			flux := like.solveWet(like.film/like.dt + like.water)
			b.wet()
			left := before + (b.water-flux)*b.dt
			require.GreaterOrEqual(t, left, -1e-15, "no more goes than is there")
			rained += b.water * b.dt
			evaporated += flux * b.dt
			ran += math.Max(left-b.holding, 0)
			require.InDelta(t, rained, b.film+ran+evaporated, 1e-9)
		}
	})
}

// anySky is a day's sky somewhere.
func anySky(t *rapid.T) (*forecast.Forecast, *Sky) {
	f := benchForecast(1)
	f.Start = time.Date(2026, time.Month(rapid.IntRange(1, 12).Draw(t, "month")), 11, 0, 0, 0, 0, time.UTC)
	return f, NewSky(NewGrid(f.Start, f.End()),
		rapid.Float64Range(-60, 60).Draw(t, "latitude"), rapid.Float64Range(-180, 180).Draw(t, "longitude"), Model{})
}

// turned is the same sky seen from a place that is turned by deg; mirrored is that
// on the other half of the globe with the declination mirrored and the sun as far.
func (s *Sky) turned(deg float64) *Sky {
	out := *s
	out.Azimuth, out.East, out.North = nil, nil, nil
	for i, az := range s.Azimuth {
		az = math.Mod(az+deg, 360)
		sin, cos := math.Sincos(az * math.Pi / 180)
		level := math.Hypot(s.East[i], s.North[i])
		out.Azimuth, out.East, out.North = append(out.Azimuth, az), append(out.East, level*sin), append(out.North, level*cos)
	}
	return &out
}

func (s *Sky) mirrored() *Sky {
	out := *s
	out.Azimuth, out.North = nil, nil
	for i, az := range s.Azimuth {
		out.Azimuth, out.North = append(out.Azimuth, math.Mod(540-az, 360)), append(out.North, -s.North[i])
	}
	return &out
}

// under is the track of a panel with a facing under a sky.
func under(f *forecast.Forecast, s *Sky, p Panel, facing float64) *Track {
	w := NewWeather(f, &f.Members[0], s, Site{WindShare: 1}, Model{})
	x := NewExposure(Exposed{
		Tilt: p.Tilt, Facing: func(int) float64 { return facing },
		Cover: func(int) (Roof, float64) { return NoRoof, 0 },
	}, s, Model{})
	t := NewTrack(s.Grid.N)
	t.Run(p, x, w, Model{})
	return t
}

func near(t require.TestingT, a, b *Track) {
	for i := range a.Surface {
		require.InDelta(t, a.Sunlight[i], b.Sunlight[i], 0.01, "slot %d", i)
		require.InDelta(t, a.UV[i], b.UV[i], 1e-3, "slot %d", i)
		require.InDelta(t, a.Surface[i], b.Surface[i], 0.01, "slot %d", i)
		require.InDelta(t, a.Film[i], b.Film[i], 0.2, "slot %d", i)
	}
}

// Turning boat and sun together changes nothing, and neither does mirroring the
// globe: light, temperature and water stay.
func TestTurnAndMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, s := anySky(t)
		p := benchPanel()
		p.Tilt = rapid.Float64Range(0, 180).Draw(t, "tilt")
		facing := rapid.Float64Range(0, 360).Draw(t, "facing")
		turn := rapid.Float64Range(0, 360).Draw(t, "turn")
		here := under(f, s, p, facing)
		near(t, here, under(f, s.turned(turn), p, facing+turn))
		near(t, here, under(f, s.mirrored(), p, 180-facing))
	})
}

// A shaded dry plate with air on both faces settles between the sky and the
// warmest of its surroundings, and so does a panel before a cold or warm back.
func TestPlateLiesBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Panel{
			Tilt:       rapid.Float64Range(0, 180).Draw(t, "tilt"),
			Emissivity: rapid.Float64Range(0.05, 0.97).Draw(t, "emissivity"),
			Through:    rapid.Float64Range(0, 25).Draw(t, "through"),
			TwoSided:   rapid.Bool().Draw(t, "plate"),
		}
		b := newBalance(p, Model{Steady: true}, stepS)
		airC := rapid.Float64Range(-40, 50).Draw(t, "air")
		b.start(airC)
		b.ta = airC + kelvin
		b.back = b.ta + rapid.Float64Range(-20, 20).Draw(t, "back")
		b.forced = forcedConvection(rapid.Float64Range(0, 40).Draw(t, "wind"), false)
		b.forced3 = b.forced * b.forced * b.forced
		sky := rapid.Float64Range(0.6, 1).Draw(t, "sky") * sigma * pow4(b.ta)
		view := rapid.Float64Range(0, 1).Draw(t, "view")
		b.absorbed = p.Emissivity * (view*sky + (b.faces-view)*sigma*pow4(b.ta))
		b.settle()
		lowest, highest := math.Pow(sky/sigma, 0.25), b.ta
		if b.through > 0 {
			lowest, highest = math.Min(lowest, b.back), math.Max(highest, b.back)
		}
		require.GreaterOrEqual(t, b.temp, lowest-0.03)
		require.LessOrEqual(t, b.temp, highest+0.03)
	})
}

// harsh is a day of the hardest weather somewhere.
type harsh struct {
	name      string
	at        time.Time
	lat, lon  float64
	airC, dew float64
	wind      float64
	sunny     bool
}

// Wherever and whenever: polar day and night, the date line, the leap day, both
// clock changes, deep frost, desert heat, dead calm and hurricane. All is finite,
// and the panel within what can be: no further below the air than a clear
// sky takes it, no hotter than the hottest black plate over the air.
func TestHarshPlaces(t *testing.T) {
	day := func(y, m, d int) time.Time { return time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC) }
	for _, c := range []harsh{
		{"polar day", day(2026, 6, 21), 78, 15, 4, 1, 3, true},
		{"polar night", day(2026, 12, 21), 78, 15, -28, -31, 3, true},
		{"pole", day(2026, 12, 21), -90, 0, -35, -40, 10, true},
		{"date line", day(2026, 1, 5), -18, 180, 30, 24, 4, true},
		{"date line from the west", day(2026, 1, 5), -18, -180, 30, 24, 4, true},
		{"leap day", day(2028, 2, 29), 43.07, -70.74, 3, 0, 4, true},
		{"spring forward", day(2026, 3, 8), 43.07, -70.74, 3, 0, 4, true},
		{"fall back", day(2026, 11, 1), 43.07, -70.74, 8, 5, 4, true},
		{"minus forty", day(2026, 1, 20), 62, -114, -40, -44, 0, true},
		{"fifty-five", day(2026, 7, 20), 25, 55, 55, 5, 0, true},
		{"damp heat", day(2026, 7, 20), 25, 55, 42, 34, 0, false},
		{"dead calm", day(2026, 6, 20), 0, 0, 28, 26, 0, true},
		{"hurricane", day(2026, 9, 1), 26, -80, 27, 26, 70, false},
		{"year's end", day(2026, 12, 31), 60, 10, -2, -3, 2, false},
	} {
		f := sameWeather(c.airC, c.dew, c.wind, map[bool]float64{true: 0, false: 1}[c.sunny], nil)
		f.Start = c.at
		if !c.sunny {
			f.Members[0].Columns[forecast.Precipitation].Set(5, 40)
		}
		s := NewSky(NewGrid(f.Start, f.End()), c.lat, c.lon, Model{})
		for _, p := range []Panel{
			{Absorptance: 0.95, Emissivity: 0.9, Capacity: 5760, HoldingGM2: 100},
			{Tilt: 90, Absorptance: 0.3, Emissivity: 0.9, Capacity: 38400, Through: 5, LagH: 4, HoldingGM2: 50},
			{Tilt: 45, Absorptance: 0.4, Emissivity: 0.2, Capacity: 4000, TwoSided: true, HoldingGM2: 10},
			{Tilt: 180, Absorptance: 0.3, Emissivity: 0.9, Capacity: 648000},
		} {
			sane(t, c, under(f, s, p, 200), p)
		}
	}
}

func sane(t *testing.T, c harsh, tr *Track, p Panel) {
	t.Helper()
	for i := range tr.Surface {
		where := fmt.Sprintf("%s, tilt %g, slot %d", c.name, p.Tilt, i)
		for _, v := range []float32{tr.Surface[i], tr.Bare[i], tr.Film[i], tr.Sunlight[i], tr.UV[i]} {
			require.False(t, math.IsNaN(float64(v)) || math.IsInf(float64(v), 0), where)
		}
		require.Greater(t, float64(tr.Surface[i]), c.airC-25, where)
		require.Less(t, float64(tr.Surface[i]), c.airC+75, where)
		require.True(t, tr.Film[i] >= 0 && tr.Film[i] <= float32(p.HoldingGM2)+1e-3, where)
		require.True(t, tr.Sunlight[i] >= 0 && tr.Sunlight[i] < 1300, where)
		require.True(t, tr.UV[i] >= 0 && tr.UV[i] < 20, where)
	}
}

// A local day is 144 slots, but for the days on which the clocks change and the sun
// does not: 138 and 150. The leap day is like any other, and nothing jumps into it
// or out of it.
func TestDaysBySlots(t *testing.T) {
	berth, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	for day, want := range map[time.Time]int{
		time.Date(2026, 3, 8, 0, 0, 0, 0, berth):  138,
		time.Date(2026, 11, 1, 0, 0, 0, 0, berth): 150,
		time.Date(2028, 2, 29, 0, 0, 0, 0, berth): 144,
		time.Date(2026, 7, 1, 0, 0, 0, 0, berth):  144,
	} {
		assert.Equal(t, want, NewGrid(day, day.AddDate(0, 0, 1)).N, "%s", day)
	}
	from := time.Date(2028, 2, 28, 0, 0, 0, 0, time.UTC)
	s := NewSky(NewGrid(from, from.AddDate(0, 0, 3)), 43.07, -70.74, Model{})
	for i := 1; i < s.Grid.N; i++ {
		require.InDelta(t, s.Elevation[i-1], s.Elevation[i], 2.6, "15° of turning an hour at most")
		require.InDelta(t, s.Extra[i-1], s.Extra[i], 1)
	}
}
