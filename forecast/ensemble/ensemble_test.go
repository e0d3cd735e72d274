package ensemble

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/sky"
)

var start = time.Date(2026, 9, 7, 0, 0, 0, 0, time.UTC)

// otterQuay is an invented week at an invented quay: every quantity, hour by
// hour, the same weather each day.
func otterQuay(n int, leave ...forecast.Quantity) *forecast.Forecast {
	f := &forecast.Forecast{Place: forecast.Place{Latitude: 43.07, Longitude: -70.74},
		Start: start, Step: time.Hour, N: n, Members: make([]forecast.Member, 1)}
	m := &f.Members[0]
	for q := range m.Columns {
		if !slices.Contains(leave, forecast.Quantity(q)) {
			m.Columns[q] = forecast.NewColumn(n)
		}
	}
	for i := range n {
		for q, v := range hourOfDay(f, i) {
			if len(m.Columns[q].Known) > 0 {
				m.Columns[q].Set(i, v)
			}
		}
	}
	return f
}

func hourOfDay(f *forecast.Forecast, i int) map[forecast.Quantity]float64 {
	swing := math.Sin(2 * math.Pi * (float64(i) - 13) / 24)
	t, td := 17+5*swing, 10.0
	cloud := 50 + 40*math.Sin(2*math.Pi*float64(i)/12)
	at := f.Start.Add(time.Duration(i)*time.Hour + 30*time.Minute)
	cosZ := math.Max(0, sky.Sun(at, f.Place.Latitude, f.Place.Longitude, 0, 0).CosZenith())
	global := sky.Haurwitz(cosZ) * sky.CloudFactor(cloud/100)
	rain := 0.0
	if i%24 >= 20 {
		rain = 0.8
	}
	return map[forecast.Quantity]float64{
		forecast.AirTemperature: t, forecast.DewPoint: td, forecast.Humidity: air.Humidity(t, td),
		forecast.Pressure: 1015, forecast.WindSpeed: 4 + 3*swing, forecast.WindFrom: 350,
		forecast.Gust: 8 + 4*swing, forecast.CloudCover: cloud, forecast.CloudLow: cloud / 2,
		forecast.CloudMiddle: cloud / 3, forecast.CloudHigh: cloud, forecast.Precipitation: rain,
		forecast.PrecipitationSpan: 1, forecast.PrecipitationProbability: 40,
		forecast.ThunderProbability: 5, forecast.WeatherCode: 3, forecast.Visibility: 20000,
		forecast.GlobalRadiation: global, forecast.DirectRadiation: 0.6 * global,
		forecast.DiffuseRadiation: 0.4 * global, forecast.UVIndex: 6 * cosZ * sky.CloudUV(cloud/100),
		forecast.UVIndexClearSky: 6 * cosZ,
	}
}

const week = 8 * 24

func TestDress_SameBytesTwice(t *testing.T) {
	a := Dress(otterQuay(week), 30, start, Options{})
	b := Dress(otterQuay(week), 30, start, Options{})
	require.Equal(t, a, b)
	c := Dress(otterQuay(week), 30, start, Options{Seed: 1})
	assert.NotEqual(t, a, c, "another seed")
	f := otterQuay(week)
	f.Members[0].Columns[forecast.DewPoint].Values[100] += 0.1
	d := Dress(f, 30, start, Options{})
	assert.NotEqual(t, a[0].Columns[forecast.AirTemperature], d[0].Columns[forecast.AirTemperature],
		"another forecast, another draw")
}

func TestDress_PairsMirror(t *testing.T) {
	f := otterQuay(week)
	m := Dress(f, 2, start, Options{})
	for i := range week {
		one, other := at(t, &m[0], forecast.AirTemperature, i), at(t, &m[1], forecast.AirTemperature, i)
		require.InDelta(t, 2*at(t, &f.Members[0], forecast.AirTemperature, i), one+other, 1e-9)
		require.NotEqual(t, one, other)
	}
}

// Values recorded from this program, not from a source: a change of the draw
// changes every stored answer and must not happen unseen. The tolerance is for
// processors that fuse a multiplication with an addition.
func TestDress_Recorded(t *testing.T) {
	m := Dress(plain(), 3, start, Options{})
	for q, want := range map[forecast.Quantity]float64{
		forecast.AirTemperature: 17.738708406, forecast.DewPoint: 9.914329733,
		forecast.WindSpeed: 4.407757150, forecast.CloudCover: 85.119972394, forecast.WindFrom: 303.122776701, forecast.Gust: 8.733962870,
		forecast.GlobalRadiation: 182.890566194, forecast.DiffuseRadiation: 108.559545743, forecast.UVIndex: 1.821639897, forecast.CloudLow: 79.167961351,
		forecast.Precipitation: 3.093068752} {
		assert.InDelta(t, want, at(t, &m[2], q, 90), 1e-6, "%s", q)
	}
}

// plain is a forecast of the same numbers throughout.
func plain() *forecast.Forecast {
	f := otterQuay(week)
	for q, v := range map[forecast.Quantity]float64{
		forecast.AirTemperature: 18, forecast.DewPoint: 10, forecast.Humidity: 60,
		forecast.WindSpeed: 4, forecast.WindFrom: 270, forecast.Gust: 8, forecast.CloudCover: 50,
		forecast.CloudLow: 30, forecast.CloudMiddle: 20, forecast.CloudHigh: 10,
		forecast.Precipitation: 1, forecast.PrecipitationProbability: 60,
		forecast.GlobalRadiation: 300, forecast.DirectRadiation: 200, forecast.DiffuseRadiation: 100,
		forecast.UVIndex: 3, forecast.UVIndexClearSky: 4} {
		fill(f, q, v)
	}
	return f
}

func TestDress_NowMovesTheSizeAlone(t *testing.T) {
	f := otterQuay(week)
	slot := 100
	early := errorsOf(f, Dress(f, 20, start, Options{}), forecast.AirTemperature, slot)
	late := errorsOf(f, Dress(f, 20, start.Add(90*time.Hour), Options{}), forecast.AirTemperature, slot)
	ratio := early[0] / late[0]
	assert.Greater(t, ratio, 1.5)
	for i := range early {
		assert.InDelta(t, ratio, early[i]/late[i], 1e-9)
	}
}

func TestDress_ReadsOnly(t *testing.T) {
	f := otterQuay(week)
	out := Dress(f, 4, start, Options{})
	require.Equal(t, otterQuay(week), f)
	for q := range out[0].Columns {
		out[0].Columns[q].Set(0, -1)
	}
	require.Equal(t, otterQuay(week), f, "and shares nothing with it")
	assert.Equal(t, "dressed 1", out[0].Name)
	assert.Equal(t, "dressed 4", out[3].Name)
}

func TestDress_NothingToDress(t *testing.T) {
	assert.Nil(t, Dress(nil, 3, start, Options{}))
	assert.Nil(t, Dress(otterQuay(4), 0, start, Options{}))
	assert.Nil(t, Dress(&forecast.Forecast{N: 3, Step: time.Hour}, 3, start, Options{}))
	f := otterQuay(4)
	f.Step = 0
	assert.Nil(t, Dress(f, 3, start, Options{}))
}

// errorsOf gives the errors of all futures of one quantity in one slot.
func errorsOf(f *forecast.Forecast, out []forecast.Member, q forecast.Quantity, slot int) []float64 {
	was, _ := f.Members[0].Columns[q].At(slot)
	e := make([]float64, len(out))
	for i := range out {
		v, ok := out[i].Columns[q].At(slot)
		if !ok {
			panic("a known value went missing")
		}
		e[i] = v - was
	}
	return e
}

func meanAbs(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += math.Abs(v)
	}
	return sum / float64(len(x))
}

// The published mean absolute errors of the day's highest temperature: 2 °F at
// day 1 and 5 °F at day 7, of the lowest 3 and 6 °F (US National Weather Service,
// Milwaukee, November 2011): where the forecast is made for the place.
func TestDress_AirErrorAsPublished(t *testing.T) {
	f := &forecast.Forecast{Place: otterQuay(1).Place, Start: start, Step: time.Hour, N: week,
		Members: make([]forecast.Member, 1)}
	fill(f, forecast.AirTemperature, 15)
	noon := 16 + 5 // UTC hour of 16 h solar time, to the hour
	night := 4 + 5
	for _, c := range []struct {
		slot, lead int
		want       float64
	}{{noon, 24, 1.1}, {noon, 168, 2.8}, {night, 24, 1.7}, {night, 168, 3.3}} {
		slot := c.slot + 24*7
		now := start.Add(time.Duration(slot-c.lead) * time.Hour)
		out := Dress(f, 1000, now, Options{Errors: grown()})
		assert.InDelta(t, c.want, meanAbs(errorsOf(f, out, forecast.AirTemperature, slot)), 0.07*c.want,
			"lead %d h", c.lead)
	}
}

// grown are errors that only grow with lead: none of the place's own, and normal.
func grown() Errors {
	e := Default()
	e.Place, e.Tails = 0, 0
	return e
}

func TestDress_PresentAndPast(t *testing.T) {
	f := otterQuay(week)
	now := start.Add(48 * time.Hour)
	out := Dress(f, 600, now, Options{Errors: grown()})
	for _, slot := range []int{3, 47, 48} {
		assert.InDelta(t, 0.5, sigma*meanAbs(errorsOf(f, out, forecast.AirTemperature, slot)), 0.05)
	}
	for _, m := range out[:50] {
		for i := range 48 {
			was, _ := f.Members[0].Columns[forecast.Precipitation].At(i)
			got, _ := m.Columns[forecast.Precipitation].At(i)
			require.Equal(t, was, got, "rain that has fallen")
			p, _ := m.Columns[forecast.PrecipitationProbability].At(i)
			require.Equal(t, percent(was >= 0.1), p)
		}
	}
}

func TestDress_StaleForecastIsOld(t *testing.T) {
	f := otterQuay(week)
	now := start.Add(30 * time.Hour)
	fresh := meanAbs(errorsOf(f, Dress(f, 100, now, Options{}), forecast.AirTemperature, 33))
	f.Issued = start
	stale := meanAbs(errorsOf(f, Dress(f, 100, now, Options{}), forecast.AirTemperature, 33))
	assert.Greater(t, stale, 1.4*fresh)
	f.Issued = now.Add(time.Hour)
	assert.InDelta(t, fresh, meanAbs(errorsOf(f, Dress(f, 100, now, Options{}), forecast.AirTemperature, 33)), 1e-12,
		"an issue time that lies ahead is not believed")
	f.Issued, f.Fetched = time.Time{}, start
	assert.InDelta(t, stale, meanAbs(errorsOf(f, Dress(f, 100, now, Options{}), forecast.AirTemperature, 33)), 1e-12)
}

// The spread of every quantity that strays grows from day to day, until it
// saturates or meets a bound.
func TestDress_SpreadGrows(t *testing.T) {
	f := otterQuay(week)
	fill(f, forecast.PrecipitationProbability, 0) // rain would lift the cloud at any lead
	fill(f, forecast.CloudCover, 50)
	out := Dress(f, 500, start, Options{Errors: grown()})
	for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.DewPoint,
		forecast.Humidity, forecast.WindSpeed, forecast.Gust, forecast.CloudCover, forecast.GlobalRadiation} {
		spread := func(day int) float64 {
			sum := 0.0
			for h := range 24 {
				sum += meanAbs(errorsOf(f, out, q, 24*day+h))
			}
			return sum / 24
		}
		assert.Greater(t, spread(1), 1.2*spread(0), "%s: day 1 over day 0", q)
		assert.Greater(t, spread(6), 1.1*spread(1), "%s: day 6 over day 1", q)
	}
}

// What hangs together in time stays together: correlation of an error with itself
// some hours on.
func TestDress_ErrorsPersist(t *testing.T) {
	t.Parallel()
	f := otterQuay(6 * 24)
	out := Dress(f, 2000, start, Options{})
	after := func(q forecast.Quantity, hours int) float64 {
		return correlation(errorsOf(f, out, q, 80), errorsOf(f, out, q, 80+hours))
	}
	e := Default()
	for q, quick := range map[forecast.Quantity]float64{
		forecast.AirTemperature: e.AirH, forecast.DewPoint: e.DewH, forecast.WindSpeed: e.WindH} {
		for _, h := range []int{1, 6, 48} {
			want := 0.5*math.Exp(-float64(h)/quick) + 0.5*math.Exp(-float64(h)/e.SlowH)
			// The sampling error of 1,000 pairs is about 0.03; the dew point's
			// process takes part of the air's and is cut at the air temperature.
			assert.InDelta(t, want, after(q, h), 0.15, "%s after %d h", q, h)
		}
	}
}

func correlation(x, y []float64) float64 {
	n := float64(len(x))
	var sx, sy, sxx, syy, sxy float64
	for i := range x {
		sx, sy = sx+x[i], sy+y[i]
		sxx, syy, sxy = sxx+x[i]*x[i], syy+y[i]*y[i], sxy+x[i]*y[i]
	}
	return (sxy - sx*sy/n) / math.Sqrt((sxx-sx*sx/n)*(syy-sy*sy/n))
}

func TestDress_QuantitiesHangTogether(t *testing.T) {
	t.Parallel()
	f := otterQuay(week)
	// What is drawn hangs on the forecast's last bits. The air's errors have heavy tails:
	// of 2,000 futures the correlation is sure to about 0.035, of 500 to 0.07.
	out := Dress(f, 2000, start, Options{})
	slot := 24*3 + 17 // a forenoon at the quay, three days on
	e := func(q forecast.Quantity) []float64 { return errorsOf(f, out, q, slot) }
	assert.InDelta(t, 0.5, correlation(e(forecast.AirTemperature), e(forecast.DewPoint)), 0.12)
	assert.Greater(t, correlation(e(forecast.WindSpeed), e(forecast.Gust)), 0.99)
	assert.Less(t, correlation(e(forecast.CloudCover), e(forecast.GlobalRadiation)), -0.7)
	assert.Greater(t, correlation(e(forecast.CloudCover), e(forecast.Precipitation)), 0.2)
}

func TestDress_CostsLittle(t *testing.T) {
	f := otterQuay(16 * 24)
	allocations := testing.AllocsPerRun(3, func() { Dress(f, 30, start, Options{}) })
	assert.Less(t, allocations, 30*4.0, "about three a future")
}

func BenchmarkDress(b *testing.B) {
	f := otterQuay(16 * 24)
	b.ReportAllocs()
	for b.Loop() {
		Dress(f, 30, start, Options{})
	}
}

// anyForecast is weather without rhyme or reason, with holes.
func anyForecast(t *rapid.T) *forecast.Forecast {
	n := rapid.IntRange(1, 40).Draw(t, "n")
	// One draw for all values: rapid would spend seconds on thousands.
	random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "weather"), 0))
	f := &forecast.Forecast{
		Place: forecast.Place{Latitude: rapid.Float64Range(-90, 90).Draw(t, "lat"),
			Longitude: rapid.Float64Range(-180, 180).Draw(t, "lon")},
		Start: start.Add(time.Duration(rapid.IntRange(0, 8760).Draw(t, "hour")) * time.Hour),
		Step:  time.Duration(rapid.SampledFrom([]int{10, 60, 180}).Draw(t, "step")) * time.Minute,
		N:     n, Members: make([]forecast.Member, 1)}
	for q := range f.Members[0].Columns {
		if random.IntN(4) == 0 {
			continue
		}
		c := forecast.NewColumn(n)
		holes := random.IntN(4)
		for i := range n {
			if random.IntN(6) >= holes {
				v := ranges[q][0] + (ranges[q][1]-ranges[q][0])*random.Float64()
				c.Set(i, []float64{v, v, v, ranges[q][0], ranges[q][1]}[random.IntN(5)])
			}
		}
		f.Members[0].Columns[q] = c
	}
	return f
}

// ranges are the least and most of every quantity in anyForecast; what the
// dressed values must keep to as well.
var ranges = [forecast.Quantities][2]float64{
	forecast.AirTemperature: {-40, 50}, forecast.DewPoint: {-50, 30}, forecast.Humidity: {0, 100},
	forecast.Pressure: {900, 1050}, forecast.WindSpeed: {0, 40}, forecast.WindFrom: {0, 360},
	forecast.Gust: {0, 60}, forecast.CloudCover: {0, 100}, forecast.CloudLow: {0, 100},
	forecast.CloudMiddle: {0, 100}, forecast.CloudHigh: {0, 100}, forecast.Precipitation: {0, 20},
	forecast.PrecipitationSpan: {1, 6}, forecast.PrecipitationProbability: {0, 100},
	forecast.ThunderProbability: {0, 100}, forecast.WeatherCode: {0, 99}, forecast.Visibility: {0, 5e4},
	forecast.GlobalRadiation: {0, 1100}, forecast.DirectRadiation: {0, 900}, forecast.DiffuseRadiation: {0, 500},
	forecast.UVIndex: {0, 12}, forecast.UVIndexClearSky: {0, 14},
}

// For any forecast whatever: absent stays absent, known stays known and finite,
// and every quantity keeps to what it can be.
func TestDress_AnyForecast(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := anyForecast(t)
		now := f.Start.Add(time.Duration(rapid.IntRange(-100, 40).Draw(t, "now")) * time.Hour)
		out := Dress(f, rapid.IntRange(1, 7).Draw(t, "futures"), now, Options{Seed: rapid.Uint64().Draw(t, "seed")})
		for _, m := range out {
			for q := range m.Columns {
				requireColumn(t, f, &m, forecast.Quantity(q))
			}
			for i := range f.N {
				requireSlot(t, f, &m, i)
			}
		}
	})
}

func requireColumn(t *rapid.T, f *forecast.Forecast, m *forecast.Member, q forecast.Quantity) {
	was, got := f.Members[0].Columns[q], m.Columns[q]
	require.Equal(t, was.Any(), got.Any(), "%s", q)
	for i := range f.N {
		_, before := was.At(i)
		v, after := got.At(i)
		require.Equal(t, before, after, "%s known at %d", q, i)
		require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%s", q)
		switch q {
		case forecast.AirTemperature, forecast.DewPoint:
		case forecast.WindSpeed, forecast.Gust, forecast.Precipitation, forecast.GlobalRadiation,
			forecast.DirectRadiation, forecast.DiffuseRadiation, forecast.UVIndex:
			require.GreaterOrEqual(t, v, 0.0, "%s", q)
		default:
			require.GreaterOrEqual(t, v, 0.0, "%s", q)
			require.LessOrEqual(t, v, ranges[q][1], "%s", q)
		}
	}
}

func requireSlot(t *rapid.T, f *forecast.Forecast, m *forecast.Member, i int) {
	temp, hasT := m.Columns[forecast.AirTemperature].At(i)
	dew, hasDew := m.Columns[forecast.DewPoint].At(i)
	humid, hasRH := m.Columns[forecast.Humidity].At(i)
	if hasT && hasDew {
		require.LessOrEqual(t, dew, temp)
		if hasRH {
			require.InDelta(t, air.Humidity(temp, dew), humid, 1e-9)
		}
	}
	wet := wetIn(f, m, i)
	p, hasP := m.Columns[forecast.PrecipitationProbability].At(i)
	_, hasMM := m.Columns[forecast.Precipitation].At(i)
	if hasP && hasMM {
		require.Equal(t, percent(wet), p, "a future knows whether it rains")
	}
}

// wetIn reports whether a future has rain in a slot, by its amount.
func wetIn(f *forecast.Forecast, m *forecast.Member, i int) bool {
	mm, _ := m.Columns[forecast.Precipitation].At(i)
	span := float64(spanSlots(m, f, i))
	return mm*math.Max(1, math.Max(1/f.Step.Hours(), span)) >= 0.1-1e-12
}
