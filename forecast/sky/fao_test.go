package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dewgap/forecast/air"
)

// grassHour is the hourly Penman–Monteith chain of FAO-56 for its grass
// reference (eq. 53), in MJ/m², kPa and mm; a chain test of air and sun, nothing
// that the program uses on boats.
type grassHour struct {
	temp, rh, wind, rs float64
	ratio              float64 // Rs/Rso, 0 to work it out
	groundShare        float64 // of net radiation
}

// extraterrestrial is what falls on the level above the air in the hour from t,
// MJ/m², in minutes' steps.
func extraterrestrial(t time.Time, lat, lon float64) float64 {
	sum := 0.0
	for m := range 60 {
		p := Sun(t.Add(time.Duration(m)*time.Minute+30*time.Second), lat, lon, 0, 0)
		sum += Extraterrestrial(t.YearDay()) * math.Max(math.Sin(p.Geometric*radian), 0) * 60
	}
	return sum / 1e6
}

// FAO-56, example 19: N'Diaye, 16°13′ N 16°15′ W, 8 m, 1 October, 02–03 and 14–15 h
// (UTC−1). Figures of the book; evapotranspiration to 0.005 mm/h. The steps differ a
// little by intention: the book's saturation pressure is Tetens's (0.2 % more), its
// declination 1.0° further south than the sun really stands (0.8 % less above the air).
func TestFAO56Example19(t *testing.T) {
	const lat, lon, elevation = 16.0 + 13.0/60, -16.25, 8.0
	const gamma = 0.0673 // kPa/K, of the book
	for _, c := range []struct {
		name                           string
		start                          time.Time
		h                              grassHour
		es, ea, delta, ra, rso, rn, et float64
	}{
		{"night", time.Date(2026, 10, 1, 3, 0, 0, 0, time.UTC),
			grassHour{28, 90, 1.9, 0, 0.8, 0.5}, 3.780, 3.402, 0.220, 0, 0, -0.100, 0.0043},
		{"afternoon", time.Date(2026, 10, 1, 15, 0, 0, 0, time.UTC),
			grassHour{38, 52, 3.3, 2.450, 0, 0.1}, 6.625, 3.445, 0.358, 3.543, 2.658, 1.749, 0.6269},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := c.h
			es := air.SaturationPressure(h.temp) / 1000
			ea := air.VapourPressure(air.DewPoint(h.temp, h.rh)) / 1000
			delta := (air.SaturationPressure(h.temp+0.01) - air.SaturationPressure(h.temp-0.01)) / 20 // kPa/K
			assert.InDelta(t, c.es, es, 0.008)
			assert.InDelta(t, c.ea, ea, 0.008)
			assert.InDelta(t, c.delta, delta, 0.0015)
			ra := extraterrestrial(c.start, lat, lon)
			assert.InDelta(t, c.ra, ra, 0.032)
			rso := (0.75 + 2e-5*elevation) * ra
			assert.InDelta(t, c.rso, rso, 0.024)
			ratio := h.ratio
			if ratio == 0 {
				ratio = h.rs / rso
			}
			k := h.temp + air.Kelvin
			rnl := 2.043e-10 * k * k * k * k * (0.34 - 0.14*math.Sqrt(ea)) * (1.35*ratio - 0.35)
			rn := 0.77*h.rs - rnl
			assert.InDelta(t, c.rn, rn, 0.003)
			g := h.groundShare * rn
			et := (0.408*delta*(rn-g) + gamma*37/(h.temp+273)*h.wind*(es-ea)) / (delta + gamma*(1+0.34*h.wind))
			assert.InDelta(t, c.et, et, 0.005)
		})
	}
}

// FAO-56, example 8: the level above the air at 20° S on 3 September (day 246)
// gets 32.2 MJ/m² a day. The book's declination is 0.7° south of the true one,
// which makes 0.27, and its solar constant 0.1 % more.
func TestFAO56Example8(t *testing.T) {
	day := 0.0
	for h := range 24 {
		day += extraterrestrial(time.Date(2026, 9, 3, h, 0, 0, 0, time.UTC), -20, 0)
	}
	assert.InDelta(t, 32.2, day, 0.4)
}
