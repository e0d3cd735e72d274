package ensemble

import (
	"cmp"
	"math"
	"slices"

	"dewgap/forecast"
)

// noises are the errors of a pair of futures by slot, each a standard normal
// number that hangs together in time.
type noises struct {
	air, dew, wind, from, cloud, amount, shift []float64
}

// drawRain draws every pair's tendency to rain and ranks the futures by it in
// each slot.
func (d *dresser) drawRain() {
	n := d.f.N
	pairs := (d.n + 1) / 2
	buffer := make([]float64, (pairs+d.n)*n)
	next := func() []float64 {
		s := buffer[:n:n]
		buffer = buffer[n:]
		return s
	}
	d.latent = make([][]float64, pairs)
	for p := range d.latent {
		d.latent[p] = next()
		d.source.Seed(d.seed, uint64(2*p))
		d.process(d.latent[p], d.errs.RainH, d.errs.SlowShare)
	}
	d.rank = make([][]float64, d.n)
	for i := range d.rank {
		d.rank[i] = next()
	}
	d.rankFutures()
	seven := make([]float64, 7*n)
	part := func(i int) []float64 { return seven[i*n : (i+1)*n] }
	d.pair = noises{part(0), part(1), part(2), part(3), part(4), part(5), part(6)}
}

// drawUnrest deals every pair how unruly its weather is, for all of its hours: a
// normal error divided by √(χ²/ν) has Student's t with ν degrees of freedom. The
// pairs get the middles of equal shares of that, in an order drawn by lot, so that
// no forecast is dressed in more unrest than another, and the mean square is 1. The
// quantiles of χ² are those of Wilson and Hilferty 1931.
func (d *dresser) drawUnrest() {
	pairs := (d.n + 1) / 2
	d.unrest = make([]float64, pairs)
	nu, square := float64(d.errs.Tails), 0.0
	d.source.Seed(d.seed, math.MaxUint64)
	for i, k := range d.random.Perm(pairs) {
		d.unrest[i] = 1
		if nu > 0 {
			z := math.Sqrt2 * math.Erfinv(2*(float64(k)+0.5)/float64(pairs)-1)
			d.unrest[i] = math.Pow(1-2/(9*nu)+z*math.Sqrt(2/(9*nu)), -1.5)
		}
		square += d.unrest[i] * d.unrest[i] / float64(pairs)
	}
	for i := range d.unrest {
		d.unrest[i] /= math.Sqrt(square)
	}
}

// rankFutures gives each future, slot by slot, the middle of its rank among all
// by the tendency to rain. So the share of futures above 1−p is p, not just on
// average, and each keeps its place from hour to hour as long as its latent does.
func (d *dresser) rankFutures() {
	order := make([]int, d.n)
	value := make([]float64, d.n)
	for slot := range d.f.N {
		for i := range order {
			order[i] = i
			value[i] = d.tendency(i, slot)
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(value[a], value[b]) })
		for r, i := range order {
			d.rank[i][slot] = (float64(r) + 0.5) / float64(d.n)
		}
	}
}

// tendency is the latent of a future: the pair's, or its opposite.
func (d *dresser) tendency(future, slot int) float64 {
	if future%2 == 1 {
		return -d.latent[future/2][slot]
	}
	return d.latent[future/2][slot]
}

// draw draws the errors of a pair for the quantities that the forecast has.
func (d *dresser) draw(pair int) {
	d.source.Seed(d.seed, uint64(2*pair+1))
	e := d.errs
	z := d.pair
	d.process(z.air, e.AirH, e.SlowShare)
	d.process(z.dew, e.DewH, e.SlowShare)
	blend(z.dew, z.air, e.DewWithAir)
	for i := range z.air {
		z.air[i] *= d.unrest[pair]
		z.dew[i] *= d.unrest[pair]
	}
	if d.has(forecast.WindSpeed) || d.has(forecast.Gust) {
		d.process(z.wind, e.WindH, e.SlowShare)
	}
	if d.has(forecast.WindFrom) {
		d.process(z.from, e.WindH, e.SlowShare)
	}
	d.process(z.cloud, e.CloudH, e.SlowShare)
	blend(z.cloud, d.latent[pair], e.CloudWithRain)
	if d.has(forecast.Precipitation) {
		d.process(z.amount, e.RainH, e.SlowShare)
		d.process(z.shift, 8*e.RainH, e.SlowShare)
	}
}

// process fills dst with the sum of two Ornstein–Uhlenbeck processes, one that
// forgets in quickH hours and one that forgets in SlowH and has the share of the
// variance; the sum has mean 0 and variance 1 in every slot.
func (d *dresser) process(dst []float64, quickH, share float64) {
	a, b := decay(d.stepH, quickH), decay(d.stepH, d.errs.SlowH)
	ra, rb := math.Sqrt(1-a*a), math.Sqrt(1-b*b)
	quick, slow := math.Sqrt(1-share), math.Sqrt(share)
	x, y := d.random.NormFloat64(), d.random.NormFloat64()
	for i := range dst {
		dst[i] = quick*x + slow*y
		x = a*x + ra*d.random.NormFloat64()
		y = b*y + rb*d.random.NormFloat64()
	}
}

// decay is what is left of an error after stepH hours when it forgets in h.
func decay(stepH, h float64) float64 {
	if h <= 0 {
		return 0
	}
	return math.Exp(-stepH / h)
}

// blend gives dst the correlation r with other, keeping its variance.
func blend(dst, other []float64, r float64) {
	own := math.Sqrt(math.Max(0, 1-r*r))
	for i := range dst {
		dst[i] = r*other[i] + own*dst[i]
	}
}
