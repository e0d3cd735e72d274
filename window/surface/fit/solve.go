package fit

import (
	"math"

	"dewgap/window/surface"
)

// point is a reading that the model can meet.
type point struct {
	spell, reading int
	slot           int
	hour           [2]int // spell and hour of it
	c              float64
	weight         float64 // its own, shared with the others of the hour
	whole          float64 // of the hour
}

// fitter runs the panel under all spells for any pair of values: absorptance and
// sky.
type fitter struct {
	model     surface.Model
	spells    []Spell
	tracks    []*surface.Track
	views     [][]float32 // room for the scaled views
	points    []point
	prior     [2]float64
	low, high [2]float64
	free      [2]bool
}

func newFitter(absorptance float64, m surface.Model, spells []Spell) *fitter {
	f := &fitter{model: m, spells: spells, prior: [2]float64{absorptance, 1}}
	f.low = [2]float64{math.Min(leastAbsorptance, absorptance), leastSky}
	f.high = [2]float64{math.Max(mostAbsorptance, absorptance), mostSky}
	for s, sp := range spells {
		n := sp.Weather.Grid.N
		f.tracks = append(f.tracks, surface.NewTrack(n))
		f.views = append(f.views, make([]float32, n))
		f.run(s, f.prior)
		for r, q := range sp.Readings {
			if q.Slot < 0 || q.Slot >= n || q.Weight <= 0 || sp.Weather.Flags[q.Slot]&surface.KnownSurface == 0 || !f.tracks[s].Settled[q.Slot] {
				continue
			}
			f.points = append(f.points, point{
				spell: s, reading: r, slot: q.Slot, hour: [2]int{s, q.Slot / surface.PerHour},
				c: q.SurfaceC, weight: q.Weight, whole: q.Weight,
			})
		}
	}
	count := map[[2]int]float64{}
	for _, q := range f.points {
		count[q.hour]++
	}
	for k := range f.points {
		f.points[k].weight /= count[f.points[k].hour]
	}
	return f
}

// predict gives the model's temperature for every point, °C.
func (f *fitter) predict(at [2]float64) []float64 {
	for s := range f.spells {
		f.run(s, at)
	}
	out := make([]float64, len(f.points))
	for k, q := range f.points {
		out[k] = float64(f.tracks[q.spell].Surface[q.slot])
	}
	return out
}

// run computes the track of one spell with a pair of values.
func (f *fitter) run(s int, at [2]float64) {
	sp := f.spells[s]
	panel, x := sp.Panel, *sp.Exposure
	panel.Absorptance = at[0]
	for i, v := range sp.Exposure.SkyView {
		f.views[s][i] = v * float32(at[1])
	}
	x.SkyView = f.views[s]
	f.tracks[s].Run(panel, &x, sp.Weather, f.model)
}

// apart is the step of the differences, wide enough for 32-bit tracks.
const apart = 0.05

// slopes are the derivatives of predict by both values, from central differences
// within the bounds.
func (f *fitter) slopes(at [2]float64) [][2]float64 {
	out := make([][2]float64, len(f.points))
	for v := range at {
		up, down := at, at
		up[v] = math.Min(at[v]+apart, f.high[v])
		down[v] = math.Max(at[v]-apart, f.low[v])
		above, below := f.predict(up), f.predict(down)
		for k := range out {
			out[k][v] = (above[k] - below[k]) / (up[v] - down[v])
		}
	}
	return out
}

const mostSteps = 15

// solve runs Gauss-Newton from at, whose prediction is base.
func (f *fitter) solve(at [2]float64, base []float64) [2]float64 {
	loss := f.loss(at, base)
	for range mostSteps {
		to := f.step(at, base, f.slopes(at))
		moved := false
		for range 5 { // a whole step, else half of it and so on
			fresh := f.predict(to)
			if l := f.loss(to, fresh); l < loss-1e-9 {
				moved = math.Abs(to[0]-at[0])+math.Abs(to[1]-at[1]) > 1e-4
				at, base, loss = to, fresh, l
				break
			}
			to = [2]float64{(at[0] + to[0]) / 2, (at[1] + to[1]) / 2}
		}
		if !moved {
			break
		}
	}
	return at
}

// loss is the sum of Huber's losses and of the pull to the tables.
func (f *fitter) loss(at [2]float64, model []float64) float64 {
	sum := 0.0
	for k, q := range f.points {
		r := math.Abs(q.c-model[k]) / noiseK
		if r <= huber {
			sum += q.weight * r * r / 2
		} else {
			sum += q.weight * huber * (r - huber/2)
		}
	}
	a, s := (at[0]-f.prior[0])/freeAbsorptance, (at[1]-f.prior[1])/freeSky
	return sum + (a*a+s*s)/2
}

// step is where the linear model has its least loss, within the bounds.
func (f *fitter) step(at [2]float64, base []float64, slope [][2]float64) [2]float64 {
	var m [2][2]float64
	var b [2]float64
	for k, q := range f.points {
		r := q.c - base[k]
		w := q.weight / (noiseK * noiseK)
		if d := math.Abs(r) / noiseK; d > huber {
			w *= huber / d
		}
		for i := range 2 {
			b[i] += w * slope[k][i] * r
			for j := range 2 {
				m[i][j] += w * slope[k][i] * slope[k][j]
			}
		}
	}
	for i, free := range [2]float64{freeAbsorptance, freeSky} {
		m[i][i] += 1 / (free * free)
		b[i] -= (at[i] - f.prior[i]) / (free * free)
	}
	return f.within(at, m, b)
}

// within solves m·d = b for the free values, and again with the one that leaves its
// bounds held there.
func (f *fitter) within(at [2]float64, m [2][2]float64, b [2]float64) [2]float64 {
	to := at
	switch {
	case f.free[0] && f.free[1]:
		det := m[0][0]*m[1][1] - m[0][1]*m[1][0] // positive: the pull sees to it
		to[0] = at[0] + (b[0]*m[1][1]-b[1]*m[0][1])/det
		to[1] = at[1] + (b[1]*m[0][0]-b[0]*m[1][0])/det
		for i := range 2 {
			if held := f.clamp(i, to[i]); held != to[i] {
				o := 1 - i
				to[i] = held
				to[o] = at[o] + (b[o]-m[o][i]*(held-at[i]))/m[o][o]
			}
		}
	case f.free[0]:
		to[0] = at[0] + b[0]/m[0][0]
	case f.free[1]:
		to[1] = at[1] + b[1]/m[1][1]
	}
	return [2]float64{f.clamp(0, to[0]), f.clamp(1, to[1])}
}

func (f *fitter) clamp(i int, v float64) float64 { return math.Max(f.low[i], math.Min(v, f.high[i])) }
