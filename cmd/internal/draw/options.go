package draw

import (
	"math"
	"strconv"
	"strings"
)

// The widths that a picture can be drawn for, CSS pixels.
const (
	narrowest  = 320
	widest     = 1920
	usualWidth = 720
	// phone is the width below which names stand above their rows and lists beneath
	// the drawing, not beside it.
	phone = 560
)

// checked brings the options into their ranges; kind is the id without one.
func (o Options) checked(kind string) Options {
	if o.Width <= 0 {
		o.Width = usualWidth
	}
	o.Width = min(max(o.Width, narrowest), widest)
	keep := func(r rune) rune {
		if r == '-' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			return r
		}
		return -1
	}
	if o.ID = strings.Map(keep, o.ID); o.ID == "" {
		o.ID = "dg-" + strings.Map(keep, kind)
	}
	return o
}

func (o Options) narrow() bool { return o.Width < phone }

// weight is the class of names in colour: bold where there is room.
func (o Options) weight() string {
	if o.narrow() {
		return ""
	}
	return "b "
}

func (o Options) us() bool { return o.Units == "us" }

// celsius is a temperature in the person's unit.
func (o Options) celsius(v float64) float64 {
	if o.us() {
		return v*1.8 + 32
	}
	return v
}

// kelvins is a difference of temperatures in the person's unit.
func (o Options) kelvins(v float64) float64 {
	if o.us() {
		return v * 1.8
	}
	return v
}

func (o Options) degree() string {
	if o.us() {
		return "°F"
	}
	return "°C"
}

// kelvin is the unit of a difference.
func (o Options) kelvin() string {
	if o.us() {
		return "°F"
	}
	return "K"
}

// mphMS is miles per hour in a metre per second.
const mphMS = 3600 / 1609.344

func (o Options) wind(v float64) string {
	if o.us() {
		return fixed(v*mphMS, 0) + " mph"
	}
	return fixed(v, 1) + " m/s"
}

// inchMM is an inch in millimetres.
const inchMM = 25.4

// rain is an amount of at least a tenth of a millimetre in few letters.
func (o Options) rain(mm float64) string {
	switch {
	case o.us() && mm < inchMM/10:
		return "<0.1 in"
	case o.us():
		return fixed(mm/inchMM, 1) + " in"
	case mm < 1:
		return "<1 mm"
	}
	return fixed(mm, 0) + " mm"
}

// fixed writes v with so many decimals and a true minus, without a negative zero.
func fixed(v float64, digits int) string {
	f := math.Pow10(digits)
	return minus(strconv.FormatFloat(math.Round(v*f)/f+0, 'f', digits, 64))
}

func minus(s string) string { return strings.Replace(s, "-", "−", 1) }

// plain writes a bound without needless decimals.
func plain(v float64) string { return minus(strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64)) }

// orDash is a value, or a dash where there is none.
func orDash(v *float64, write func(float64) string) string {
	if !finite(v) {
		return "–"
	}
	return write(*v)
}

// finite reports whether a number is there. Stored answers come from files, so
// that even a type that promises it is asked.
func finite(v *float64) bool { return v != nil && !math.IsNaN(*v) && !math.IsInf(*v, 0) }
