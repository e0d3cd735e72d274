// Package ensemble dresses a single forecast into plausible futures, so that an
// answer can say how sure it is where the service gives one future only.
//
// # What this is, and what it is not
//
// The futures are the forecast plus errors that grow with lead time and hang
// together: in time (a cool bias stays for hours, an air-mass error for days) and
// between quantities (air with dew point and humidity, wind with gusts, rain with
// cloud, cloud with sunlight). How large the errors are is an assumption. The
// growth of the temperature error is published, and its size was held against measured
// temperatures of one coast (see [Default]); the rest is working practice or from
// memory. None of it comes from readings at the place: that is what [Learned] adds. A share of these futures is therefore a first word on
// confidence, not a measured probability. A service's own ensemble is better and
// needs no dressing.
//
// # What is left as it stands
//
// Pressure, visibility, the probability of thunder and the clear-sky UV index are
// the forecast's own in every future. Fog comes and goes in none of them. What the
// forecast does not know, no future knows.
package ensemble

import (
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"dewgap/forecast"
)

// Options steer Dress. The zero Options are the usual ones.
type Options struct {
	// Seed picks another set of futures of the same forecast.
	Seed uint64
	// Errors are how far futures stray; the zero Errors stand for Default().
	Errors Errors
}

// Dress makes n futures of the first member of a forecast, as seen at now. The
// lead time of an hour runs from now, or from when the forecast was issued
// (received, where that is all that is known) if that is earlier; hours before
// it stray by the errors of lead time zero, and their rain stays as it is.
//
// Rain: where the forecast gives a probability, the share of futures with rain in
// an hour is that probability, rounded to whole futures, and each future's own
// probability becomes 0 or 100 %, which is what it knows. Where it gives an
// amount only, the probability is assumed by Errors.RainHit and Errors.RainMiss.
// Amounts stated over several hours are one event.
//
// The same forecast and options give the same futures, whatever the clock says:
// now moves the size of the errors, not their shape. f is only read. No members,
// a step or an n that is not positive give nil.
func Dress(f *forecast.Forecast, n int, now time.Time, opt Options) []forecast.Member {
	if f == nil || n <= 0 || f.N <= 0 || f.Step <= 0 || len(f.Members) == 0 {
		return nil
	}
	d := newDresser(f, n, now, opt)
	d.drawRain()
	d.drawUnrest()
	out := make([]forecast.Member, n)
	for i := range out {
		out[i] = d.blank()
		out[i].Name = "dressed " + strconv.Itoa(i+1)
		if i%2 == 0 {
			d.draw(i / 2)
		}
		d.dress(&out[i], i)
	}
	return out
}

// dresser holds what all futures of one forecast share, and the errors of the
// pair of futures in hand. Futures come in pairs with opposite errors, so that
// the mean of a pair is about the forecast.
type dresser struct {
	f     *forecast.Forecast
	in    *forecast.Member
	errs  Errors
	seed  uint64
	n     int
	stepH float64
	first int // the first slot that the forecast did not know when it was made
	used  int // columns that know anything

	size  sizes   // standard deviations by slot
	sun   sunRoof // how much sunlight and UV a clear sky gives, by slot
	event []int   // the slot in which the rain event of a slot begins

	latent [][]float64 // by pair and slot: standard normal, high means rain
	rank   [][]float64 // by future and slot: rank of the latent, 0–1
	unrest []float64   // by pair: how much larger than usual the errors of its air are
	pair   noises      // of the pair in hand
	wet    []bool      // of the future in hand: rain in the slot
	source rand.PCG
	random *rand.Rand
}

func newDresser(f *forecast.Forecast, n int, now time.Time, opt Options) *dresser {
	errs := opt.Errors
	if errs == (Errors{}) {
		errs = Default()
	}
	d := &dresser{f: f, in: &f.Members[0], errs: errs, n: n,
		seed: mix(digest(f) ^ mix(opt.Seed)), stepH: f.Step.Hours(), wet: make([]bool, f.N)}
	d.random = rand.New(&d.source)
	base := known(f, now)
	for d.first < f.N && !f.Start.Add(time.Duration(d.first+1)*f.Step).After(base) {
		d.first++
	}
	for q := range d.in.Columns {
		if d.in.Columns[q].Any() {
			d.used++
		}
	}
	d.size = newSizes(errs, f, base)
	d.sun = newSunRoof(f)
	d.event = events(d.in, f)
	return d
}

// known is the moment up to which the forecast knew the weather.
func known(f *forecast.Forecast, now time.Time) time.Time {
	made := f.Issued
	if made.IsZero() {
		made = f.Fetched
	}
	if !made.IsZero() && made.Before(now) {
		return made
	}
	return now
}

// blank is a copy of the forecast's member, with two allocations.
func (d *dresser) blank() forecast.Member {
	var m forecast.Member
	values := make([]float64, d.used*d.f.N)
	flags := make([]bool, d.used*d.f.N)
	for q := range d.in.Columns {
		c := &d.in.Columns[q]
		if !c.Any() {
			continue
		}
		n := d.f.N
		m.Columns[q] = forecast.Column{Values: values[:n:n], Known: flags[:n:n]}
		copy(m.Columns[q].Values, c.Values)
		copy(m.Columns[q].Known, c.Known)
		values, flags = values[n:], flags[n:]
	}
	return m
}

// dress strays one future. Even futures take the pair's errors, odd ones their
// opposite.
func (d *dresser) dress(m *forecast.Member, future int) {
	sign := 1.0
	if future%2 == 1 {
		sign = -1
	}
	d.dressAir(m, sign)
	d.dressWind(m, sign)
	d.dressRain(m, future, sign)
	d.dressSky(m, sign)
	d.dressCode(m)
}

// has reports whether the forecast knows anything of a quantity.
func (d *dresser) has(q forecast.Quantity) bool { return d.in.Columns[q].Any() }

// digest is a number that hangs on everything that Dress reads of a forecast.
func digest(f *forecast.Forecast) uint64 {
	h := mix(uint64(f.Start.Unix()))
	h = mix(h ^ uint64(f.Step))
	h = mix(h ^ uint64(f.N))
	h = mix(h ^ math.Float64bits(f.Place.Latitude))
	h = mix(h ^ math.Float64bits(f.Place.Longitude))
	for q := range f.Members[0].Columns {
		c := &f.Members[0].Columns[q]
		h = mix(h + uint64(q))
		for i, k := range c.Known {
			if k {
				h = mix(h ^ math.Float64bits(c.Values[i]) ^ uint64(i)<<32)
			}
		}
	}
	return h
}

// mix scatters the bits of x (the finaliser of SplitMix64: Steele, Lea and Flood
// 2014, "Fast Splittable Pseudorandom Number Generators").
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
