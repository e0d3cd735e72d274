package answer

import (
	"math"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/surface"
)

// haze is how many minutes a section takes until it is wiped off, at the
// surface temperature, humidity and wind of the window's best block; what a test
// patch took outranks the class, the one read on this zone that of the job. nil
// where the class has no such clock or the surface is not known.
func (b *builder) haze(r *window.Row, w *windowOf) *[2]float64 {
	if own := b.ownHaze(r); own > 0 {
		return &[2]float64{own, own}
	}
	if !r.Class.HazeMin.Given {
		return nil
	}
	first, end := b.hours(w.BestFrom, w.BestTo)
	var air hazeAir
	for h := first; h < end; h++ {
		air.add(b.Result.Weather[h], b.Result.Zones[r.Zone].Hours[h])
	}
	return hazeMinutes(r.Class, air)
}

// ownHaze is how many whole minutes a film hazes by what was measured, 0 where nothing was:
// the patch read on this zone, else the job's clock.
func (b *builder) ownHaze(r *window.Row) float64 {
	if read, ok := b.Result.HazeMin[window.Patch{Zone: r.Zone, Class: r.Class.ID}]; ok {
		return round(read, 1)
	}
	return round(b.step(r).HazeMin, 1)
}

// hazing is the clock of a single section from when it is on. A best block's minutes are a
// mean; the last section of a morning that warms has less time than that until it is hard,
// and that of an evening that cools has to wait longer until it may be wiped.
type hazing struct {
	said *[2]float64 // minutes, as measured; nil: those of the class, in the hours it hazes in
	b    *builder
	row  *window.Row
	mean float64 // factor for hours in which the surface is not known
}

// hazing is the clock of a row on which sections haze for so many minutes at best.
func (b *builder) hazing(r *window.Row, haze [2]float64) hazing {
	if b.ownHaze(r) > 0 {
		return hazing{said: &haze}
	}
	return hazing{b: b, row: r, mean: haze[1] / max(r.Class.HazeMin.Max, 1)}
}

// from is how many whole minutes a section that is on when slot i begins takes until it may
// be wiped off, and until it must, both to the strict side.
func (z hazing) from(i int) (least, most float64) {
	if z.said != nil {
		return z.said[0], z.said[1]
	}
	given := z.row.Class.HazeMin
	least, most = math.Ceil(z.run(i, given.Min)-dust), math.Floor(z.run(i, given.Max)+dust)
	return min(least, most) + 0, most + 0
}

// hazeSlots is how far a haze is followed through the hours, two days; what is left of it
// then goes on as it did.
const hazeSlots = 2 * 24 * 60 / surface.SlotMinutes

// run is how long minutes that are given at 20 °C take from slot i on: each slot does its
// own share of them.
func (z hazing) run(i int, given float64) float64 {
	passed := 0.0
	for end := i + hazeSlots; i < end; i++ {
		done := surface.SlotMinutes / z.factor(i)
		if given <= done {
			break
		}
		given -= done
		passed += surface.SlotMinutes
	}
	return passed + given*z.factor(i)
}

// factor is [window.HazeFactor] in the air of a slot, after the answer's end that of its
// last hour.
func (z hazing) factor(i int) float64 {
	hours := z.b.Result.Zones[z.row.Zone].Hours
	first, _ := z.b.hours(i, i+1)
	h := min(first, len(hours)-1)
	if h < 0 || !hours[h].Surface.Known {
		return z.mean
	}
	air := z.b.Result.Weather[h]
	return window.HazeFactor(&z.row.Class, hours[h].Surface, air.Humidity, air.Wind)
}

// hazeAir gathers the means that a haze clock runs on.
type hazeAir struct{ surface, humidity, wind mean }

type mean struct {
	sum float64
	n   int
}

func (m *mean) add(v window.Value) {
	if v.Known {
		m.sum, m.n = m.sum+v.V, m.n+1
	}
}

func (m mean) value() window.Value {
	return window.Value{V: m.sum / float64(max(m.n, 1)), Known: m.n > 0}
}

func (a *hazeAir) add(w window.Hour, z window.ZoneHour) {
	a.surface.add(z.Surface)
	a.humidity.add(w.Humidity)
	a.wind.add(w.Wind)
}

// hazeMinutes runs a class's clock in the air of the block, nil where the surface is not
// known. Whole minutes, to the strict side.
func hazeMinutes(c products.Class, air hazeAir) *[2]float64 {
	panel := air.surface.value()
	if !panel.Known {
		return nil
	}
	factor := window.HazeFactor(&c, panel, air.humidity.value(), air.wind.value())
	least, most := math.Ceil(c.HazeMin.Min*factor-dust), math.Floor(c.HazeMin.Max*factor+dust)
	return &[2]float64{min(least, most) + 0, most + 0}
}

// dust is what binary fractions may leave of a whole number.
const dust = 1e-9
