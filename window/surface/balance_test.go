package surface

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast/air"
)

// fixedH is a balance in steady state with a given h, for cases that state one.
func fixedH(p Panel, h, sunlight, longwave, airC float64) *balance {
	b := newBalance(p, Model{Steady: true, LinearConvection: true, Insulated: true}, stepS)
	b.forced, b.forced3 = h, h*h*h
	b.ta = airC + kelvin
	b.absorbed = p.Absorptance*sunlight + p.Emissivity*longwave
	b.temp = b.ta
	return &b
}

// ASTM E1980-11: 1000 W/m² of sunlight, air 310 K, sky 300 K, convection 5, 12
// and 30 W/m²K; black 0.95/0.90 and white 0.20/0.90. The temperatures were
// computed by bisection of the standard's balance; 0.2 K covers the printed ones.
func TestASTME1980(t *testing.T) {
	sky := sigma * pow4(300)
	for _, c := range []struct{ h, black, white float64 }{
		{5, 103.69, 49.25}, {12, 82.46, 44.61}, {30, 61.07, 40.77},
	} {
		for alpha, want := range map[float64]float64{0.95: c.black, 0.20: c.white} {
			b := fixedH(Panel{Absorptance: alpha, Emissivity: 0.90}, c.h, 1000, sky, 310-kelvin)
			b.settle()
			assert.InDelta(t, want, b.temp-kelvin, 0.2, "h %g alpha %g", c.h, alpha)
		}
	}
}

// Surfaces in between, from the same balance (white aged, light grey, mid blue,
// navy, stainless-like), to 0.05 K at the middle coefficient.
func TestASTME1980Surfaces(t *testing.T) {
	for _, c := range []struct{ alpha, eps, want float64 }{
		{0.25, 0.90, 47.29}, {0.40, 0.90, 55.20}, {0.70, 0.90, 70.39}, {0.90, 0.90, 80.09}, {0.40, 0.20, 65.42},
	} {
		b := fixedH(Panel{Absorptance: c.alpha, Emissivity: c.eps}, 12, 1000, sigma*pow4(300), 310-kelvin)
		b.settle()
		assert.InDelta(t, c.want, b.temp-kelvin, 0.05, "%+v", c)
	}
}

// A 6 mm laminate (11520 J/m²K) with an adiabatic back, air 25 °C, sky 285 K,
// h = 5.7 + 3.8 v: steady temperatures and time constants C/(h + 4εσT³),
// computed by hand from the stated balance.
func TestTimeConstants(t *testing.T) {
	for _, c := range []struct{ alpha, sun, v, steady, tau float64 }{
		{0.25, 900, 1, 35.422, 743.3}, {0.25, 900, 4, 30.984, 432.4}, {0.25, 0, 1, 20.498, 785.3},
		{0.90, 900, 1, 70.652, 647.4}, {0.90, 900, 4, 52.429, 412.2},
	} {
		h := 5.7 + 3.8*c.v
		p := Panel{Absorptance: c.alpha, Emissivity: 0.9, Capacity: 11520}
		b := fixedH(p, h, c.sun, sigma*pow4(285), 25)
		b.settle()
		assert.InDelta(t, c.steady, b.temp-kelvin, 0.01, "%+v", c)
		steady := b.temp
		// One second steps from 1 K away: after tau 1/e of it is left.
		fine := *b
		fine.steady, fine.dt, fine.capacity = false, 1, p.Capacity
		fine.temp = steady + 1
		for range int(c.tau + 0.5) {
			fine.temp = fine.dry(fine.temp)
		}
		assert.InDelta(t, math.Exp(-1), fine.temp-steady, 0.01, "%+v", c)
	}
}

// drawBalance is any panel in any weather that occurs at a marina, −40 to 55 °C,
// calm to hurricane.
func drawBalance(t *rapid.T) *balance {
	p := Panel{
		Tilt:        rapid.Float64Range(0, 180).Draw(t, "tilt"),
		Absorptance: rapid.Float64Range(0.1, 0.97).Draw(t, "absorptance"),
		Emissivity:  rapid.Float64Range(0.05, 0.97).Draw(t, "emissivity"),
		Capacity:    rapid.Float64Range(2000, 700000).Draw(t, "capacity"),
		Through:     rapid.Float64Range(0, 25).Draw(t, "through"),
		TwoSided:    rapid.Bool().Draw(t, "two-sided"),
		HoldingGM2:  rapid.Float64Range(10, 250).Draw(t, "holding"),
	}
	b := newBalance(p, Model{}, stepS)
	b.start(rapid.Float64Range(-40, 55).Draw(t, "start"))
	return &b
}

func drawWeather(t *rapid.T, b *balance) {
	tC := b.temp - kelvin + rapid.Float64Range(-3, 3).Draw(t, "air change")
	tC = min(max(tC, -40), 55)
	b.ta = tC + kelvin
	dew := tC - rapid.Float64Range(0, 25).Draw(t, "depression")
	b.dew, b.vapour = dew+kelvin, air.VapourDensity(air.VapourPressure(dew), tC)
	wind := rapid.Float64Range(0, 50).Draw(t, "wind")
	b.forced = forcedConvection(wind, false)
	b.forced3 = b.forced * b.forced * b.forced
	sun := rapid.Float64Range(0, 1100).Draw(t, "sunlight")
	view := rapid.Float64Range(0, 1).Draw(t, "sky view")
	sky := rapid.Float64Range(0.65, 1).Draw(t, "sky emissivity") * sigma * pow4(b.ta)
	b.absorbed = b.p.Absorptance*sun + b.p.Emissivity*(view*sky+(b.faces-view)*sigma*pow4(b.ta))
	b.water = 0
	if rapid.IntRange(0, 4).Draw(t, "rains") == 0 {
		b.water = rapid.Float64Range(0, 0.01).Draw(t, "rain")
	}
}

// The film is never negative nor more than the panel holds; water is conserved
// but for what runs off a full panel; temperatures stay within what is
// found outdoors; nothing is NaN.
func TestBalanceLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBalance(t)
		for range 30 {
			drawWeather(t, b)
			before := b.film
			b.step()
			require.False(t, math.IsNaN(b.temp) || math.IsNaN(b.film))
			require.GreaterOrEqual(t, b.film, 0.0)
			require.LessOrEqual(t, b.film, b.holding+1e-12)
			require.LessOrEqual(t, b.film, before+(b.water+0.001)*b.dt, "more than fell and dewed")
			require.Greater(t, b.temp, coldestK)
			require.Less(t, b.temp, hottestK)
		}
	})
}

// quickH is h over all faces, W/m²K, as the balance reckons with it.
func (b *balance) quickH(diff float64) float64 {
	top, under, slope := joined(b.forced3, b.natural3(diff))
	if b.faces > 1 {
		top, under, _ = b.behind(diff, top, under, slope)
	}
	return top / under
}

// The dry balance closes to 0.1 W/m² after each step, whatever the step before
// was.
func TestEnergyCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBalance(t)
		for range 20 {
			drawWeather(t, b)
			b.water, b.film = 0, 0
			t0 := b.temp
			b.temp = b.dry(t0)
			h := b.quickH(b.temp - b.ta)
			left := b.absorbed - b.es*pow4(b.temp) + h*(b.ta-b.temp) +
				b.through*(b.back-b.temp) - b.capacity*(b.temp-t0)
			require.InDelta(t, 0, left, 0.1, "h %g", h)
		}
	})
}

// A shaded dry panel settles between the sky's temperature and the warmest of
// its surroundings.
func TestShadedPanelLiesBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		airC := rapid.Float64Range(-20, 45).Draw(t, "air")
		h := rapid.Float64Range(2, 60).Draw(t, "h")
		e := rapid.Float64Range(0.65, 1).Draw(t, "sky emissivity")
		sky := e * sigma * pow4(airC+kelvin)
		b := fixedH(Panel{Absorptance: 0.9, Emissivity: 0.9}, h, 0, sky, airC)
		b.settle()
		skyK := math.Pow(sky/sigma, 0.25)
		require.GreaterOrEqual(t, b.temp, skyK-0.01)
		require.LessOrEqual(t, b.temp, airC+kelvin+0.01)
	})
}

// cubeRoot is good to 3e-5 over all that convection can be.
func TestCubeRoot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := math.Exp(rapid.Float64Range(-5, 20).Draw(t, "ln x"))
		top, under := cubeRoot(x)
		require.InEpsilon(t, math.Cbrt(x), top/under, 3e-5)
	})
}

// Halving the step brings the answer of a dry panel under smooth input nearer:
// the RMS change falls at least 1.5 times at each halving.
func TestRefinement(t *testing.T) {
	run := func(dt float64) []float64 {
		b := newBalance(benchPanel(), Model{}, dt)
		b.start(20)
		var out []float64
		for s := 0.0; s < 24*3600; s += dt {
			x := 2 * math.Pi * (s + dt) / (24 * 3600)
			b.ta = 20 - 5*math.Cos(x) + kelvin
			b.dew, b.vapour = kelvin-10, 0.001
			b.forced = forcedConvection(3-math.Cos(x), false)
			b.forced3 = b.forced * b.forced * b.forced
			b.absorbed = 0.3*400*(1-math.Cos(x)) + 0.9*330
			b.back += (b.ta - b.back) * b.lag
			b.step()
			if int(s+dt)%3600 == 0 {
				out = append(out, b.temp)
			}
		}
		return out
	}
	change := func(a, b []float64) float64 {
		sum := 0.0
		for i := range a {
			sum += (a[i] - b[i]) * (a[i] - b[i])
		}
		return math.Sqrt(sum / float64(len(a)))
	}
	a, b, c, d := run(1200), run(600), run(300), run(150)
	require.Greater(t, change(a, b), 1.5*change(b, c))
	require.Greater(t, change(b, c), 1.5*change(c, d))
}
