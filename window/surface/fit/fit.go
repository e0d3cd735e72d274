// Package fit learns from readings of a panel what of it the tables do not know:
// the share of the sunlight that it takes in, and the share of the sky in its view
// that is really open. Both are fitted to the transient model of
// [dewgap/window/surface], run under the weather of the time.
//
// # What can be told from what
//
// A reading tells of the absorptance only where the sun warms the panel, of the
// sky only where the sky cools it and no sun does. Each is fitted from
// [LeastReadings] such hours on; before that it stays at what the tables say, to
// the bit. What was fitted is then believed by n/(n+k) only, as all that is
// learned. Readings of a night say nothing of the absorptance, however many.
//
// # How
//
// Gauss-Newton with bounds on the sum of Huber's losses (Huber 1964, Ann. Math.
// Stat. 35, 73), with a weak pull to the tables that keeps what the readings leave
// open from running away. The derivatives are differences of whole tracks.
//
// Left out: emissivity, heat capacity and what lies behind the skin, which no
// thermometer on the dock tells apart from these two. The share of the open sky is
// that of the longwave alone: what hides the sky throws about as much light back
// as it takes.
package fit

import (
	"math"

	"dewgap/forecast/ensemble"
	"dewgap/window/surface"
)

// LeastReadings is the number of telling hours from which a value is fitted
// (common practice, no source).
const LeastReadings = 3

// Bounds of what is fitted. A prior outside them widens them to itself.
const (
	leastAbsorptance = 0.15 // fresh white paint reflects no more outdoors …
	mostAbsorptance  = 0.97 // … and matt black no less (common practice, no source)
	leastSky         = 0.0
	mostSky          = 1.0
)

// Settings of the fit (common practice, no source).
const (
	// noiseK is the standard deviation of a reading against the model, K: a hand
	// thermometer's 1 K and the weather's own.
	noiseK = 1.5
	// huber is the residual, in noiseK, from which a reading pulls no harder; 1.345
	// keeps 95 % of the efficiency under normal errors (Huber 1964).
	huber = 1.345
	// How freely each may leave the tables, as standard deviations.
	freeAbsorptance = 0.3
	freeSky         = 0.5
	// tellsK is the change of temperature, K per unit, from which a reading tells of
	// a value: 0.1 of absorptance moves it by a kelvin, half the sky by one.
	tellsAbsorptance = 10.0
	tellsSky         = 2.0
	// sunny is the same below which the sun does not count: no night reading.
	sunny = 3.0
)

// Spell is a stretch of weather in which the panel was read.
type Spell struct {
	Panel    surface.Panel     // as it was then; its absorptance is that of the tables
	Exposure *surface.Exposure // by the tables: all of the sky that roofs and tilt leave
	Weather  *surface.Weather  // of the time, on the exposure's grid
	Readings []Reading
}

// Reading is a temperature that was read on the panel, dry or with the water that
// the model has on it.
type Reading struct {
	Slot     int     // of the spell's grid
	SurfaceC float64 // °C
	Weight   float64 // 0–1, by its age
}

// Value is one thing that was fitted.
type Value struct {
	Prior  float64 // by the tables
	Fitted float64 // what the readings say; Prior where they say too little
	Used   float64 // Prior + Weight × (Fitted − Prior)
	Weight float64 // n/(n+k) with n counted by age, 0–1; 0 where nothing was fitted
	// Readings are those that tell of it; those of one hour count once.
	Readings int
}

// Off is how far one reading lies from the model with the values that are used.
type Off struct {
	Spell, Reading int     // indices
	K              float64 // measured less model
	Sun            bool    // the sun warmed the panel
}

// Result is what was learned of a panel.
type Result struct {
	Absorptance Value // of sunlight, 0–1
	Sky         Value // share of the sky in its view that is open, 0–1
	Offs        []Off // in the order of the readings; those that the model cannot meet are left out
}

// Fit fits a panel, whose absorptance is absorptance by the tables, to its readings.
// Readings outside the grid, where the weather is not known, and where the model
// has not settled, are left out. Without readings all stays as the tables have it.
func Fit(absorptance float64, m surface.Model, spells []Spell) Result {
	f := newFitter(absorptance, m, spells)
	at := f.prior
	r := Result{
		Absorptance: Value{Prior: at[0], Fitted: at[0], Used: at[0]}, Sky: Value{Prior: at[1], Fitted: at[1], Used: at[1]},
	}
	if len(f.points) == 0 {
		return r
	}
	base, slope := f.predict(at), f.slopes(at)
	n := f.telling(slope, &r)
	f.free = [2]bool{r.Absorptance.Readings >= LeastReadings, r.Sky.Readings >= LeastReadings}
	if f.free[0] || f.free[1] {
		at = f.solve(at, base)
		f.use(&r.Absorptance, at[0], n[0], 0)
		f.use(&r.Sky, at[1], n[1], 1)
		base = f.predict([2]float64{r.Absorptance.Used, r.Sky.Used})
	}
	for k, q := range f.points {
		r.Offs = append(r.Offs, Off{Spell: q.spell, Reading: q.reading, K: q.c - base[k], Sun: slope[k][0] >= sunny})
	}
	return r
}

// use notes what was fitted and how much of it is believed.
func (f *fitter) use(v *Value, fitted, n float64, k int) {
	if f.free[k] {
		v.Fitted, v.Weight = fitted, ensemble.Shrink(n)
		v.Used = v.Prior + v.Weight*(fitted-v.Prior)
	}
}

// telling counts the hours that tell of each value, and sums their weights.
func (f *fitter) telling(slope [][2]float64, r *Result) (n [2]float64) {
	for k, q := range f.points {
		sun := slope[k][0] >= tellsAbsorptance
		night := slope[k][0] < sunny && math.Abs(slope[k][1]) >= tellsSky
		switch {
		case sun && !f.counted(k, slope, true):
			r.Absorptance.Readings++
			n[0] += q.whole
		case night && !f.counted(k, slope, false):
			r.Sky.Readings++
			n[1] += q.whole
		}
	}
	return n
}

// counted reports whether an earlier reading of the same hour tells of the same.
func (f *fitter) counted(k int, slope [][2]float64, sun bool) bool {
	for i := range k {
		if f.points[i].hour == f.points[k].hour && (slope[i][0] >= tellsAbsorptance) == sun {
			return true
		}
	}
	return false
}
