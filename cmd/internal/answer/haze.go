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

func (m mean) known() bool    { return m.n > 0 }
func (m mean) value() float64 { return m.sum / float64(max(m.n, 1)) }

func (a *hazeAir) add(w window.Hour, z window.ZoneHour) {
	a.surface.add(z.Surface)
	a.humidity.add(w.Humidity)
	a.wind.add(w.Wind)
}

// hazeMinutes runs a class's clock, given at 20 °C, at another temperature:
// t = t20 · 2^((20−T)/k), k the kelvin that halve it. Damp air slows the haze of
// what dries rather than reacts, and wind quickens it (common practice). Whole
// minutes, to the strict side.
func hazeMinutes(c products.Class, air hazeAir) *[2]float64 {
	if !air.surface.known() {
		return nil
	}
	factor := 1.0
	if c.HalvesPerK > 0 {
		factor = math.Exp2((20 - air.surface.value()) / c.HalvesPerK)
	}
	if c.HazeInDamp {
		if air.humidity.known() {
			factor *= dampFactor(air.humidity.value())
		}
		if air.wind.known() && air.wind.value() > breezeMS {
			factor *= breezeFactor
		}
	}
	least, most := math.Ceil(c.HazeMin.Min*factor-dust), math.Floor(c.HazeMin.Max*factor+dust)
	return &[2]float64{min(least, most) + 0, most + 0}
}

// dust is what binary fractions may leave of a whole number.
const dust = 1e-9

// Wind above which a film hazes quicker, m/s, and by what (common practice).
const (
	breezeMS     = 4
	breezeFactor = 0.8
)

// dampFactor is how much longer a film takes to haze in damp air: 1 to 60 %,
// 1.5 at 80, 2 at 90, straight lines between, 2 above (common practice).
func dampFactor(humidity float64) float64 {
	switch {
	case humidity <= 60:
		return 1
	case humidity <= 80:
		return 1 + 0.5*(humidity-60)/20
	case humidity <= 90:
		return 1.5 + 0.5*(humidity-80)/10
	}
	return 2
}
