package answer

import (
	"math"

	"dewgap/products"
	"dewgap/window"
)

// haze is how many minutes a section takes until it is wiped off, at the
// surface temperature, humidity and wind of the window's best block; what a test
// patch took outranks the class, the one read on this zone that of the job. nil
// where the class has no such clock or the surface is not known.
func (b *builder) haze(r *window.Row, w *windowOf) *[2]float64 {
	if read, ok := b.Result.HazeMin[window.Patch{Zone: r.Zone, Class: r.Class.ID}]; ok {
		return &[2]float64{round(read, 1), round(read, 1)}
	}
	if own := b.step(r).HazeMin; own > 0 {
		return &[2]float64{round(own, 1), round(own, 1)}
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
	surface := air.surface.value()
	if !surface.Known {
		return nil
	}
	factor := window.HazeFactor(&c, surface, air.humidity.value(), air.wind.value())
	least, most := math.Ceil(c.HazeMin.Min*factor-dust), math.Floor(c.HazeMin.Max*factor+dust)
	return &[2]float64{min(least, most) + 0, most + 0}
}

// dust is what binary fractions may leave of a whole number.
const dust = 1e-9
