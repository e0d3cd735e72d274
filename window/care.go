package window

import (
	"time"

	"dewgap/products"
)

// Care is how long a film that was put on is to be spared besides being kept dry.
type Care struct {
	// Touch is from when it may be touched or walked on; zero where its class has no word of
	// that, or where Soft.
	Touch time.Time
	Soft  bool // that lies beyond the result
	// Soap is from when it stands soap, zero where its class has no word of that. A plain
	// clock: makers give days, and no class says what cold makes of them.
	Soap time.Time
}

// CareOf is how long a class's film on a zone, put on at a moment, is to be spared. Of a
// range the later end counts. Hours until it may be touched are those of a panel at 20 °C
// where the class counts such ones.
func CareOf(r *Result, c *products.Class, zone int, on time.Time) Care {
	var out Care
	if most := latest(c.HandleH); most > 0 {
		out.Touch = standing{r, *c, zone, on}.until(most)
		out.Soft = out.Touch.IsZero()
	}
	if most := latest(c.NoSoapH); most > 0 {
		out.Soap = on.Add(time.Duration(most * float64(time.Hour)))
	}
	return out
}

// latest is the later end of a range, where it has one; 0 for none.
func latest(r products.Range) float64 {
	if !r.Given {
		return 0
	}
	return max(r.Min, r.Max)
}
