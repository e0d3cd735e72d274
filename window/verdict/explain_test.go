package verdict

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/products"
)

// held is the limit of a name among those explained, the first of equals.
func held(t require.TestingT, list []Held, l Limit) Held {
	for _, h := range list {
		if h.Limit == l {
			return h
		}
	}
	require.Fail(t, "not explained: "+l.String())
	return Held{}
}

func TestExplain(t *testing.T) {
	const n, i = 48 * hours, 12 * hours
	c := class(t, "polymer-sealant")
	s := day(n)
	s.Wind[i], s.Sunlight[i], s.KnownUV[i] = 7, 700, false
	s.Wets[i+3*hours+1] = true
	broken, list := NewJudge(c, terms(n).Terms).Explain(terms(n).sees(s), i)
	assert.Empty(t, broken)
	wind := held(t, list, WindMax)
	assert.Equal(t, Held{Limit: WindMax, State: Marginal, Value: 7, Known: true, Ideal: 3, Default: 6, Hard: 9, HasHard: true}, wind)
	sun := held(t, list, SunlightMax)
	assert.True(t, sun.Waived, "the panel is cool")
	assert.Equal(t, Ideal, sun.State)
	assert.False(t, sun.HasHard, "sunlight never blocks a cool-sun class alone")
	uv := held(t, list, UVMax)
	assert.False(t, uv.Known)
	assert.Equal(t, Unknown, uv.State)
	rain := held(t, list, RainFree)
	assert.InDelta(t, 3, rain.Value, 1e-4)
	assert.Equal(t, Marginal, rain.State)
	assert.Equal(t, Ideal, held(t, list, Film).State)
	assert.InDelta(t, 20, held(t, list, Cure).Value, 0)
}

func TestExplainBroken(t *testing.T) {
	const n, i = 48 * hours, 12 * hours
	s := day(n)
	s.Thunder[i], s.Fog[i], s.Film[i] = true, true, 40
	tm := terms(n)
	tm.Towel = false
	broken, list := NewJudge(class(t, "polymer-sealant"), tm.Terms).Explain(tm.sees(s), i)
	assert.Equal(t, []Held{{Limit: Thunder, State: NoGo}, {Limit: Fog, State: NoGo}}, broken)
	film := held(t, list, Film)
	assert.Equal(t, NoGo, film.State)
	assert.InDelta(t, 40, film.Value, 0)
	tm.Fixed[i] = Hours
	broken, _ = NewJudge(class(t, "polymer-sealant"), tm.Terms).Explain(tm.sees(s), i)
	assert.Equal(t, Held{Limit: Hours, State: NoGo}, broken[0], "the first of the list")
	s.KnownSurface[i] = false
	_, list = NewJudge(class(t, "polymer-sealant"), tm.Terms).Explain(tm.sees(s), i)
	for _, l := range []Limit{Film, Cure, SurfaceMax, SpreadMin} {
		assert.Equal(t, Unknown, held(t, list, l).State, l)
	}
}

// What is explained is what is judged: the worst of the limits is the slot's
// state, whatever the weather.
func TestExplainAgrees(t *testing.T) {
	ids := []string{"polymer-sealant", "carnauba-wax", "professional-ceramic", "varnish", "compound-dual-action", "soap-wash"}
	rapid.Check(t, func(t *rapid.T) {
		const n, i = 30 * hours, 10 * hours
		c := class(t, rapid.SampledFrom(ids).Draw(t, "class"))
		s := day(n)
		draw := func(name string, low, high float64) float32 {
			return float32(rapid.Float64Range(low, high).Draw(t, name))
		}
		s.Air[i], s.Humidity[i], s.Wind[i] = draw("air", -2, 42), draw("humidity", 5, 100), draw("wind", 0, 15)
		s.Gust[i], s.Surface[i], s.Spread[i] = draw("gust", 0, 20), draw("surface", -2, 60), draw("spread", -3, 20)
		s.Sunlight[i], s.UV[i], s.Film[i] = draw("sun", 0, 1000), draw("uv", 0, 11), draw("film", 0, 60)
		s.KnownWind[i], s.KnownUV[i] = rapid.Bool().Draw(t, "wind known"), rapid.Bool().Draw(t, "uv known")
		if k := rapid.IntRange(1, 15*hours).Draw(t, "rain after"); k < 12*hours {
			s.Wets[i+k] = true
		}
		s.Wets[i], s.KnownSurface[i] = rapid.Bool().Draw(t, "rains"), rapid.Bool().Draw(t, "surface known")
		judge, x := NewJudge(c, terms(n).Terms), terms(n).sees(s)
		out := judged(judge, x)
		broken, list := judge.Explain(x, i)
		worst := Ideal
		for _, h := range append(broken, list...) {
			worst = max(worst, h.State)
			assert.False(t, math.IsNaN(float64(h.Value)))
		}
		assert.Equal(t, out[i].State, worst)
	})
}

// The cure is explained by what refuses it: dry air by its humidity.
func TestExplainDryCure(t *testing.T) {
	const n, i = 48 * hours, 12 * hours
	c := class(t, "polymer-sealant")
	c.CureHumid = products.Band{Min: 30, HasMin: true}
	s := day(n)
	for k := i + 1; k <= i+4*hours; k++ {
		s.Humidity[k] = 12
	}
	_, list := NewJudge(c, terms(n).Terms).Explain(terms(n).sees(s), i)
	assert.Equal(t, Held{Limit: Cure, State: NoGo, Value: 12, Known: true, Ideal: 30, Default: 30, Way: Arid}, held(t, list, Cure))
	assert.Equal(t, "%", Binding{Limit: Cure, Way: Arid}.Unit())
	assert.Equal(t, "°C", Binding{Limit: Cure}.Unit())
}

// A dry-off that no water is known to have begun is told as the least that it can be.
func TestExplainDryAtLeast(t *testing.T) {
	const n, i = 48 * hours, 30 * hours
	c, s, tm := class(t, "varnish"), day(n), terms(n)
	tm.PastKnown, tm.RainedAt = true, -12*hours
	dry := func() (rain, dew Held) {
		_, list := NewJudge(c, tm.Terms).Explain(tm.sees(s), i)
		list = slices.DeleteFunc(list, func(h Held) bool { return h.Limit != DryOff })
		require.Len(t, list, 2)
		return list[0], list[1]
	}
	rain, dew := dry()
	assert.InDelta(t, 42, rain.Value, 0.2, "since the rain that was told")
	assert.False(t, rain.Least)
	assert.InDelta(t, 30, dew.Value, 0.2, "as far as the data reach back")
	assert.True(t, dew.Least)
	s.Film[i-5*hours] = 8
	_, dew = dry()
	assert.InDelta(t, 5, dew.Value, 0.2)
	assert.False(t, dew.Least, "dew was seen")
	tm.PastKnown = false
	rain, _ = dry()
	assert.True(t, rain.Known && rain.Least)
}

// Dew on a panel that is ideal is explained by what makes it so: a towel, or on bare
// wood the drying clock.
func TestExplainWater(t *testing.T) {
	const n, i = 48 * hours, 12 * hours
	c := class(t, "polymer-sealant")
	s := day(n)
	for k := range 8 {
		s.Film[i-4+k], s.Spread[i-4+k] = 20.5, float32(k)
	}
	s.Film[i] = 20.5
	s.Spread[i] = 5
	tm := terms(n)
	tm.Towel = true
	film := func() Held {
		_, list := NewJudge(c, tm.Terms).Explain(tm.sees(s), i)
		return held(t, list, Film)
	}
	want := Held{Limit: Film, State: Ideal, Value: 20.5, Known: true, Ideal: 1, Default: 1, Hard: 1, HasHard: true, Way: Towelled}
	assert.Equal(t, want, film())
	tm.Soaks, want.Way = true, Soaking
	assert.Equal(t, want, film())
	tm.Soaks, tm.Towel = false, false
	want.State, want.Way = NoGo, Plain
	assert.Equal(t, want, film(), "nobody towels: it lies there")
	s.Wets[i], s.Film[i] = true, 0.2
	assert.Equal(t, Held{Limit: Film, State: NoGo, Ideal: 1, Default: 1, Hard: 1, HasHard: true, Way: Raining}, film(), "broken, and no figure says so")
}
