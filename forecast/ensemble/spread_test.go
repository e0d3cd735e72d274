package ensemble

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/forecast/air"
)

var later = start.Add(120 * 24 * time.Hour)

// strayed are n errors of one variable, one every six hours up to now, that stray sd
// where the members lay apart by said.
func strayed(n int, v Variable, sd, said float64) []Miss {
	r := rand.New(rand.NewPCG(uint64(n), uint64(v)))
	var out []Miss
	for k := range n {
		m := miss(v, CloudyDay, later.Add(-time.Duration(6*k)*time.Hour), sd*r.NormFloat64())
		m.Apart = said
		out = append(out, m)
	}
	return out
}

// Errors that stray twice, half and just as far as was said give that factor.
func TestLearnSpread_FindsTheSize(t *testing.T) {
	for _, sd := range []float64{2, 0.5} {
		s := Learn(strayed(400, DewError, sd, 1), later).Spreads[DewError]
		assert.InDelta(t, sd, s.Factor(), 0.1*sd)
		assert.InDelta(t, 1, s.Said, 1e-12)
		assert.Equal(t, 400, s.Cases)
		assert.Equal(t, 400, s.Readings)
		assert.Equal(t, 1.0, s.Weight())
		assert.Zero(t, s.Missing())
		assert.Equal(t, later, s.To)
	}
	assert.InDelta(t, 1, Learn(strayed(400, AirError, 1, 1), later).Spreads[AirError].Factor(), 0.1)
	assert.Equal(t, Spread{}, Learn(strayed(400, WindError, 2, 1), later).Spreads[AirError], "each by its own")
}

// What all errors of one kind of weather have in common is bias and not spread.
func TestLearnSpread_WithoutTheBias(t *testing.T) {
	list := strayed(200, AirError, 1, 1)
	plain := Learn(list, later).Spreads[AirError]
	for i := range list {
		list[i].Off += 3
	}
	moved := Learn(list, later).Spreads[AirError]
	assert.InDelta(t, plain.Found, moved.Found, 0.02)
}

func TestLearnSpread_HowMuchCounts(t *testing.T) {
	for _, c := range []struct {
		n, missing int
		weight     float64
	}{{0, 20, 0}, {9, 11, 0}, {10, 10, 0.5}, {15, 5, 0.75}, {20, 0, 1}, {21, 0, 1}} {
		s := Learn(strayed(c.n, AirError, 3, 1), later).Spreads[AirError]
		assert.Equal(t, c.n, s.Cases)
		assert.Equal(t, c.missing, s.Missing())
		assert.InDelta(t, c.weight, s.Weight(), 1e-12)
		assert.Equal(t, c.weight == 0, s.Factor() == 1, "%d", c.n)
	}
	// By hand: half of the way from 1 to 3, and what is less than a twentieth.
	s := Spread{Cases: 10, Said: 1, Found: 3}
	assert.InDelta(t, 2, s.Factor(), 1e-12)
	assert.Equal(t, 1.0, Spread{Cases: 20, Said: 1, Found: 1.049}.Factor())
	assert.InDelta(t, 1.051, Spread{Cases: 20, Said: 1, Found: 1.051}.Factor(), 1e-12)
	assert.Equal(t, 1.0, Spread{Cases: 20}.Factor())
}

// Six hours are one case, and a reading stands before a station's observation.
func TestCases(t *testing.T) {
	block := start // midnight UTC begins one
	put := func(at time.Time, off float64, station bool) Miss {
		return Miss{At: at, Of: AirError, Off: off, Station: station, Share: 0.5, Apart: 1}
	}
	list := []Miss{
		put(block.Add(5*time.Hour+59*time.Minute), 4, false), put(block, 1, true), put(block.Add(3*time.Hour), 3, false),
		put(block.Add(6*time.Hour), 5, true), put(block.Add(-time.Minute), 6, true),
		{At: block.Add(12 * time.Hour), Of: AirError, Off: 7}, // how far apart is not known
	}
	now := block.Add(30 * 24 * time.Hour)
	got := cases(AirError, list, now)
	var offs []float64
	for _, m := range got {
		offs = append(offs, m.Off)
	}
	assert.Equal(t, []float64{6, 3, 5}, offs)
	s := learnSpread(AirError, list, now)
	assert.Equal(t, [2]int{3, 1}, [2]int{s.Cases, s.Readings})
	assert.Empty(t, cases(AirError, list, block.Add(-time.Hour)), "all of it lies ahead")
	assert.Empty(t, cases(AirError, list, block.Add(LearnFrom+24*time.Hour)), "all of it is too old")
}

// How far apart a single forecast's futures would lie is how far Dress takes them; of
// an ensemble it is the members' standard deviation.
func TestApart(t *testing.T) {
	t.Parallel()
	f := otterQuay(week)
	fill(f, forecast.AirTemperature, 15)
	fill(f, forecast.DewPoint, -20)
	f.Issued = start
	out := Dress(f, 2400, start, Options{}) // their standard deviation is good to 2 %
	for _, slot := range []int{2, 50, 130} {
		at := f.Start.Add(time.Duration(slot) * time.Hour)
		for v, q := range map[Variable]forecast.Quantity{AirError: forecast.AirTemperature, DewError: forecast.DewPoint} {
			_, sd := meanAndSpread(errorsOf(f, out, q, slot))
			assert.InDelta(t, sd, apart(f, v, at), 0.08*sd, "%s %d h", q, slot)
		}
	}
	assert.Zero(t, apart(f, WindError, start))
	three := threeOf(24) // 0, 2 and 4 K above
	assert.InDelta(t, math.Sqrt(8.0/3), apart(three, AirError, start.Add(90*time.Minute)), 1e-9)
	assert.InDelta(t, 0, apart(three, DewError, start), 1e-9)
	m := Misses(three, []Observed{{At: start, AirC: 20, HasAir: true, Station: true, Share: 0.3}})
	require.Len(t, m, 1)
	assert.InDelta(t, math.Sqrt(8.0/3), m[0].Apart, 1e-9)
	assert.Equal(t, 0.3, m[0].Share)
}

// Futures keep their share of the way from the forecast, which stays; ahead of now
// less and less is done, and from four days on nothing.
func TestLearned_PartsFutures(t *testing.T) {
	f := otterQuay(week)
	fill(f, forecast.DewPoint, -20)
	dressed := Dress(f, 10, start, Options{})
	l := Learned{Spreads: [Spreads]Spread{AirError: {Cases: 20, Said: 1, Found: 2, Stretch: 2}}}
	out, futures := l.Correct(f, dressed, start)
	assert.Equal(t, f.Members, out.Members, "the forecast itself")
	for _, slot := range []int{0, 6, 51, 95, 96, 150} {
		lead := LeadWeight(time.Duration(slot) * time.Hour)
		middle := at(t, &f.Members[0], forecast.AirTemperature, slot)
		for k := range futures {
			was, is := at(t, &dressed[k], forecast.AirTemperature, slot), at(t, &futures[k], forecast.AirTemperature, slot)
			require.InDelta(t, (was-middle)*(1+lead), is-middle, 1e-6, "%d h", slot)
			require.InDelta(t, air.Humidity(is, at(t, &futures[k], forecast.DewPoint, slot)), at(t, &futures[k], forecast.Humidity, slot), 0.5)
		}
	}
	again := Dress(f, 10, start, Options{})
	assert.Equal(t, again, dressed, "they are only read")
	l.Spreads[AirError].Found = 1.01
	_, same := l.Correct(f, dressed, start)
	assert.Equal(t, dressed, same)
}

// The members of an ensemble keep their ranks and take the places of the calibrated
// normal: by hand, three lie at its middle and ±0.9674 of its deviation.
func TestLearned_PartsAnEnsemble(t *testing.T) {
	f := threeOf(24) // 2 K apart, sd √(8/3)
	l := Learned{Spreads: [Spreads]Spread{AirError: {Cases: 20, Said: 1, Found: 3, Floor: 3}}}
	out, none := l.Correct(f, nil, start.Add(24*time.Hour))
	assert.Empty(t, none)
	for i := range f.N {
		middle := at(t, &f.Members[1], forecast.AirTemperature, i)
		for k, z := range []float64{-0.967422, 0, 0.967422} {
			require.InDelta(t, middle+3*z, at(t, &out.Members[k], forecast.AirTemperature, i), 1e-5)
		}
	}
	f.Members[2].Columns[forecast.AirTemperature].Known[5] = false
	out, _ = l.Correct(f, nil, start.Add(24*time.Hour))
	assert.Equal(t, at(t, &f.Members[0], forecast.AirTemperature, 5), at(t, &out.Members[0], forecast.AirTemperature, 5), "one does not know: none is moved")
}

func TestLearned_SupportedSpread(t *testing.T) {
	s := Spread{Cases: 30, Readings: 4, Said: 1, Found: 0.5, Stretch: 0.5}
	l := Learned{Spreads: [Spreads]Spread{s, s}}
	assert.False(t, l.Empty())
	assert.True(t, l.Supported().Empty(), "a station makes nothing better")
	l.Spreads[DewError].Readings = 5
	assert.Equal(t, Learned{Spreads: [Spreads]Spread{DewError: l.Spreads[DewError]}}, l.Supported())
}

// Whatever was learned, the dew point stays below the air, the humidity within its
// bounds, and what was unknown unknown.
func TestLearned_PartedAirIsAir(t *testing.T) {
	f := otterQuay(60)
	f.Members[0].Columns[forecast.AirTemperature].Known[7] = false
	dressed := Dress(f, 6, start, Options{})
	rapid.Check(t, func(t *rapid.T) {
		var l Learned
		for v := range l.Spreads {
			l.Spreads[v] = Spread{
				Cases: rapid.IntRange(0, 40).Draw(t, "cases"), Said: 1, Found: rapid.Float64Range(0, 9).Draw(t, "found"),
				Floor: rapid.Float64Range(0, 8).Draw(t, "floor"), Stretch: rapid.Float64Range(0, 5).Draw(t, "stretch"),
			}
		}
		_, out := l.Correct(f, dressed, start.Add(time.Duration(rapid.IntRange(-60, 60).Draw(t, "now"))*time.Hour))
		for k := range out {
			for i := range f.N {
				temp, ok := out[k].Columns[forecast.AirTemperature].At(i)
				require.Equal(t, i != 7, ok)
				dew, _ := out[k].Columns[forecast.DewPoint].At(i)
				rh, _ := out[k].Columns[forecast.Humidity].At(i)
				require.True(t, !ok || dew <= temp && rh >= 0 && rh <= 100.001, "%v %v %v", temp, dew, rh)
			}
		}
	})
}
