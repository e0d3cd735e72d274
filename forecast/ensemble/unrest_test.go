package ensemble

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/forecast/score"
)

// The error of the place adds to the others by its square, at any lead.
func TestDress_PlaceAddsAtAnyLead(t *testing.T) {
	f := otterQuay(week)
	fill(f, forecast.AirTemperature, 15)
	fill(f, forecast.DewPoint, -20) // far below, so that nothing is cut
	e := grown()
	plain := Dress(f, 400, start, Options{Errors: e})
	e.Place = 2
	with := Dress(f, 400, start, Options{Errors: e})
	for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.DewPoint} {
		for _, slot := range []int{0, 30, 180} {
			was, is := errorsOf(f, plain, q, slot), errorsOf(f, with, q, slot)
			sd := e.Dew.At(float64(slot))
			if q == forecast.AirTemperature {
				night := nightness(f.Start.Add(time.Duration(slot)*time.Hour), f.Place.Longitude)
				sd = e.AirDay.At(float64(slot))*(1-night) + e.AirNight.At(float64(slot))*night
			}
			for i := range is {
				require.InDelta(t, was[i]*math.Hypot(sd, 2)/sd, is[i], 1e-9, "%s %d", q, slot)
			}
		}
	}
}

// Whether the middle 80 % of thirty futures holds eight in ten of errors that are
// drawn as the errors are said to be: Student's t by its definition, a normal over the
// root of a mean of squares.
func TestDress_HoldsAsOftenAsItSays(t *testing.T) {
	t.Parallel()
	f := otterQuay(week)
	fill(f, forecast.AirTemperature, 15)
	e := Default()
	r := rand.New(rand.NewPCG(1, 2))
	leads := []int{1, 48, 150}
	share := map[float64]float64{0.5: 0, 0.8: 0, 0.95: 0}
	const dressings, draws = 120, 60
	for seed := range uint64(dressings) {
		out := Dress(f, 30, start, Options{Seed: seed})
		for _, slot := range leads {
			night := nightness(f.Start.Add(time.Duration(slot)*time.Hour), f.Place.Longitude)
			sd := math.Hypot(e.Place, e.AirDay.At(float64(slot))*(1-night)+e.AirNight.At(float64(slot))*night)
			x := errorsOf(f, out, forecast.AirTemperature, slot)
			for range draws {
				square, nu := 0.0, float64(e.Tails)
				for range e.Tails {
					v := r.NormFloat64()
					square += v * v / nu
				}
				y := sd * math.Sqrt((nu-2)/nu) * r.NormFloat64() / math.Sqrt(square)
				for want := range share {
					if low, high, _ := score.Between(x, want); low <= y && y <= high {
						share[want] += 1.0 / (dressings * draws * float64(len(leads)))
					}
				}
			}
		}
	}
	// Futures come in pairs, which makes their outermost a little less far out.
	for want, got := range share {
		assert.InDelta(t, want, got, 0.025, "%v", want)
	}
}

// The unrest is dealt evenly: the same to every forecast, in another order, with a
// mean square of 1; and without tails there is none.
func TestDrawUnrest(t *testing.T) {
	d := newTestDresser(30)
	d.drawUnrest()
	one := slices.Clone(d.unrest)
	square := 0.0
	for _, u := range one {
		square += u * u / 15
	}
	assert.InDelta(t, 1, square, 1e-12)
	d.seed++
	d.drawUnrest()
	assert.NotEqual(t, one, d.unrest)
	slices.Sort(one)
	assert.InDeltaSlice(t, one, slices.Sorted(slices.Values(d.unrest)), 1e-12)
	// χ² with 7 degrees of freedom has its median at 6.346 (tables): the middle
	// pair's error against the normal's, before the mean square is brought to 1.
	assert.InDelta(t, math.Sqrt(7/6.346), one[7]*math.Sqrt(meanSquareOfT(7, 15)), 2e-3)
	d.errs.Tails = 0
	d.drawUnrest()
	for _, u := range d.unrest {
		require.InDelta(t, 1, u, 1e-12)
	}
}

// meanSquareOfT is the mean of ν/χ² over the middles of n equal shares, χ² found by
// halving on the series of its distribution (Abramowitz and Stegun 26.4.6).
func meanSquareOfT(nu float64, n int) (sum float64) {
	below := func(x float64) float64 {
		lg, _ := math.Lgamma(nu/2 + 1)
		term, all := math.Exp(nu/2*math.Log(x/2)-x/2-lg), 0.0
		for k := 1.0; term > 1e-15; k++ {
			all += term
			term *= x / (nu + 2*k)
		}
		return all
	}
	for k := range n {
		lo, hi := 1e-6, 60.0
		for range 60 {
			if mid := (lo + hi) / 2; below(mid) < (float64(k)+0.5)/float64(n) {
				lo = mid
			} else {
				hi = mid
			}
		}
		sum += nu / lo / float64(n)
	}
	return sum
}
