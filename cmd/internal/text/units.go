package text

import (
	"math"
	"strconv"
	"strings"
)

// side says to which side a shown number is rounded.
type side int8

const (
	down    side = -1
	nearest side = 0
	up      side = 1
)

// dust is the noise of arithmetic below which a number is taken as round, in
// units of the last figure shown: 3 K are 5.4 °F, not 5.5, and a bound of 90 °F
// that has been through single-precision kelvins is still 90.
const dust = 1e-4

// round rounds x to whole multiples of 10^-digits.
func round(x float64, digits int, s side) float64 {
	f := math.Pow(10, float64(digits))
	switch s {
	case down:
		x = math.Floor(x*f+dust) / f
	case up:
		x = math.Ceil(x*f-dust) / f
	default:
		x = math.Round(x*f) / f
	}
	return x + 0 // no minus zero
}

// figure writes x with at most digits decimals; a bound drops those that are
// zero, a value keeps them.
func figure(x float64, digits int, s side, keep bool) string {
	t := strconv.FormatFloat(round(x, digits, s), 'f', digits, 64)
	if !keep && strings.Contains(t, ".") {
		t = strings.TrimRight(strings.TrimRight(t, "0"), ".")
	}
	return t
}

// quantity is how one kind of number is shown: scale and offset from SI, its
// unit, and its decimals.
type quantity struct {
	scale, offset float64
	unit          string
	digits        int
}

// The factors between the systems, exact by definition.
const (
	kelvinF = 1.8        // °F in a kelvin
	metreFt = 1 / 0.3048 // feet in a metre
	inchMM  = 25.4       // millimetres in an inch
	mphMS   = 3600 / 1609.344
	knotMS  = 3600 / 1852.0
)

func (o Options) us() bool { return o.Units == "us" }

// temperature of air, panel or dew point.
func (o Options) temperature() quantity {
	if o.us() {
		return quantity{kelvinF, 32, "°F", 0}
	}
	return quantity{1, 0, "°C", 1}
}

// degrees are a difference between temperatures: no offset.
func (o Options) degrees() quantity {
	if o.us() {
		return quantity{kelvinF, 0, "°F", 1}
	}
	return quantity{1, 0, "°C", 1}
}

// wind speed.
func (o Options) wind() quantity {
	unit := o.Wind
	if unit == "" && o.us() {
		unit = "mph"
	}
	switch unit {
	case "mph":
		return quantity{mphMS, 0, "mph", 0}
	case "kn":
		return quantity{knotMS, 0, "kn", 0}
	default:
		return quantity{1, 0, "m/s", 1}
	}
}

// area of a panel.
func (o Options) area() quantity {
	if o.us() {
		return quantity{metreFt * metreFt, 0, "sq" + nbsp + "ft", 0}
	}
	return quantity{1, 0, "m²", 1}
}

// length of a boat or a rail.
func (o Options) length() quantity {
	if o.us() {
		return quantity{metreFt, 0, "ft", 0}
	}
	return quantity{1, 0, "m", 1}
}

// rain that fell.
func (o Options) rain() quantity {
	if o.us() {
		return quantity{1 / inchMM, 0, "in", 2}
	}
	return quantity{1, 0, "mm", 1}
}

// water that lies on a panel, in grams on a square metre whatever the units: a
// sentence in the other system says wet and no figure.
func (o Options) water() quantity { return quantity{1, 0, "g/m²", 1} }

// plain is a number that needs no conversion.
func plain(unit string, digits int) quantity { return quantity{1, 0, unit, digits} }

// of converts from SI.
func (q quantity) of(si float64) float64 { return si*q.scale + q.offset }

// withUnit puts the unit behind a figure.
func (q quantity) withUnit(s string) string {
	if q.unit == "" {
		return s
	}
	return s + nbsp + q.unit
}

// show writes a value with its unit.
func (q quantity) show(si float64, s side) string {
	return q.withUnit(figure(q.of(si), q.digits, s, false))
}

// span writes a least and a most in whole units: "59-69 °F".
func (q quantity) span(lo, hi float64, s side) string {
	q.digits = 0
	return q.between(lo, hi, s)
}

// between is span with the quantity's own decimals.
func (q quantity) between(lo, hi float64, s side) string {
	a, b := figure(q.of(lo), q.digits, s, true), figure(q.of(hi), q.digits, s, true)
	switch {
	case a == b:
		return q.withUnit(a)
	case strings.HasPrefix(a, "-"):
		return q.withUnit(a + nbsp + "to" + nbsp + b)
	}
	return q.withUnit(a + "-" + b)
}
