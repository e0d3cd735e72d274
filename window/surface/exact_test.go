package surface

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast/air"
)

// open is how far the balance is open, W/m², for a panel that comes from t0 to t
// with the flux kg/m²s leaving it, by the formulas and nothing quick: math.Cbrt,
// math.Exp.
func (b *balance) open(t0, t, flux float64) float64 {
	return b.absorbed - b.es*pow4(t) + b.plainH(t)*(b.ta-t) + b.through*(b.back-t) -
		b.capacity*(t-t0) - air.LatentHeat(t0-kelvin)*flux
}

// plainH is h over all faces, W/m²K, for a panel at t.
func (b *balance) plainH(t float64) float64 {
	one, other := b.warm, b.cool
	if t < b.ta {
		one, other = other, one
	}
	h := math.Cbrt(b.forced3 + one*math.Abs(t-b.ta))
	if b.faces > 1 {
		h += math.Cbrt(b.forced3 + other*math.Abs(t-b.ta))
	}
	return h
}

// plainFlux is what evaporates at t, kg/m²s, at most most.
func (b *balance) plainFlux(t, most float64) float64 {
	sat := air.VapourDensity(air.SaturationPressure(t-kelvin), t-kelvin)
	return min(b.plainH(t)*b.mass*b.ta*(sat-b.vapour), most)
}

// bisect finds where the balance closes: it falls with t.
func bisect(f func(t float64) float64) float64 {
	low, high := coldestK, hottestK
	for range 80 {
		if mid := (low + high) / 2; f(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// breathe leaves half a metre a second: in dead air, at the panel's own temperature, h
// rises so steeply with the difference that 0.01 K are watts, and the wet balance
// may even close twice.
func (b *balance) breathe() {
	b.forced = max(b.forced, 3)
	b.forced3 = b.forced * b.forced * b.forced
}

// The quick step agrees with bisection of the formulas, whatever the slot before
// was: dry to 0.01 K, wet to 0.02 K, and the film to 0.2 g/m².
func TestStepIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBalance(t)
		for range 20 {
			drawWeather(t, b)
			b.breathe()
			t0, film0 := b.bare, b.film
			dry := bisect(func(x float64) float64 { return b.open(t0, x, 0) })
			require.InDelta(t, dry, b.dry(t0), 0.01)
			b.bare = dry
			start, most := b.temp, film0/b.dt+b.water
			wet := bisect(func(x float64) float64 { return b.open(start, x, b.plainFlux(x, most)) })
			b.wet()
			require.InDelta(t, wet, b.temp, 0.02)
			film := film0 + (b.water-b.plainFlux(wet, most))*b.dt
			require.InDelta(t, 1000*min(max(film, 0), b.holding), 1000*b.film, 0.2)
		}
	})
}

// The wet balance closes to 0.5 W/m², and where the film runs out within the last
// step to what that step moves.
func TestWetEnergyCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBalance(t)
		for range 20 {
			drawWeather(t, b)
			b.breathe()
			t0, most, allowed := b.temp, b.film/b.dt+b.water, 0.5
			flux := b.solveWet(most)
			if flux == most {
				allowed += settledWet / b.easeWet
			}
			require.InDelta(t, 0, b.open(t0, b.temp, flux), allowed)
			b.film = min(max(b.film+(b.water-flux)*b.dt, 0), b.holding)
		}
	})
}
