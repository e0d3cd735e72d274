package text

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The factors of NIST SP 811 (Thompson and Taylor 2008), Appendix B.8: what one unit is
// in SI. Those in bold there are exact.
func TestFactorsOfNIST(t *testing.T) {
	for name, c := range map[string]struct {
		q    quantity
		unit string
		si   float64 // of one unit
	}{
		"mile per hour (exact)": {us.wind(), "mph", 4.4704e-1},
		"knot":                  {Options{Wind: "kn"}.wind(), "kn", 5.144444e-1},
		"foot (exact)":          {us.length(), "ft", 3.048e-1},
		"square foot (exact)":   {us.area(), "sq" + nbsp + "ft", 9.290304e-2},
		"inch in mm (exact)":    {us.rain(), "in", 25.4},
	} {
		assert.Equal(t, c.unit, c.q.unit, name)
		assert.InEpsilon(t, 1, c.q.of(c.si), 1e-6, name)
		assert.Zero(t, c.q.offset, name)
	}
	// B.8: t/°C = (t/°F − 32)/1.8; a difference of one degree Fahrenheit is 5/9 K.
	for _, f := range []float64{-40, 0, 32, 41, 59, 98.6, 212} {
		assert.InDelta(t, f, us.temperature().of((f-32)/1.8), 1e-9)
	}
	assert.InDelta(t, 1, us.degrees().of(5.0/9), 1e-12)
	assert.Zero(t, us.degrees().offset, "a difference has no zero point")
	for _, q := range []quantity{metric.temperature(), metric.degrees(), metric.wind(), metric.area(), metric.length(), metric.rain(), us.water()} {
		assert.Equal(t, 17.5, q.of(17.5), "%s is SI", q.unit)
	}
}

// Shown in either system, a number tells the same: turned back it lies within half of
// the last figure shown, and on the side that was asked for.
func TestShownTurnsBack(t *testing.T) {
	quantities := map[string]func(Options) quantity{
		"temperature": Options.temperature, "degrees": Options.degrees, "wind": Options.wind, "area": Options.area, "length": Options.length, "rain": Options.rain,
	}
	rapid.Check(t, func(rt *rapid.T) {
		o := Options{Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units"), Wind: rapid.SampledFrom([]string{"", "kn", "mph", "m/s"}).Draw(rt, "wind")}
		name := rapid.SampledFrom([]string{"temperature", "degrees", "wind", "area", "length", "rain"}).Draw(rt, "quantity")
		si := rapid.Float64Range(-50, 300).Draw(rt, "si")
		s := rapid.SampledFrom([]side{down, nearest, up}).Draw(rt, "side")
		q := quantities[name](o)
		number, unit, ok := strings.Cut(q.show(si, s), nbsp)
		require.True(rt, ok)
		require.Equal(rt, q.unit, unit)
		shown, err := strconv.ParseFloat(number, 64)
		require.NoError(rt, err)
		last := math.Pow(10, -float64(q.digits))
		back := (shown - q.offset) / q.scale
		room := last / q.scale
		require.InDelta(rt, si, back, room*(1+2*dust))
		switch s {
		case down:
			require.LessOrEqual(rt, back, si+room*2*dust)
		case up:
			require.GreaterOrEqual(rt, back, si-room*2*dust)
		default:
			require.InDelta(rt, si, back, room*0.5001)
		}
		require.NotContains(rt, number, "e", "no powers of ten")
		require.NotEqual(rt, "-0", number)
	})
}

// A larger value is never shown as a smaller one.
func TestShownKeepsTheOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		o := Options{Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units")}
		a := rapid.Float64Range(-60, 60).Draw(rt, "a")
		b := a + rapid.Float64Range(0, 40).Draw(rt, "more")
		s := rapid.SampledFrom([]side{down, nearest, up}).Draw(rt, "side")
		for _, q := range []quantity{o.temperature(), o.wind(), o.rain()} {
			x, y := round(q.of(a), q.digits, s), round(q.of(b), q.digits, s)
			require.LessOrEqual(rt, x, y)
		}
	})
}
