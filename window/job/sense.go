package job

import (
	"fmt"
	"math"
	"time"
)

// clockFarOff is by how many hours the clocks of a zone may differ from the sun at a place of
// it. The widest known is a little over three, in the far west of China.
const clockFarOff = 4

// warnSigns tells of a place that does not go with its time zone: a forgotten minus puts the
// boat on the other side of the earth, under another forecast and another sun, and nothing
// else in the file would show it.
func (s *section) warnSigns(p Place, zone string) {
	if p.Location == nil || zone == "UTC" {
		return
	}
	const year = 2026 // any will do
	_, january := time.Date(year, time.January, 1, 12, 0, 0, 0, time.UTC).In(p.Location).Zone()
	_, july := time.Date(year, time.July, 1, 12, 0, 0, 0, time.UTC).In(p.Location).Zone()
	sun := p.Longitude / 15
	if off := around(float64(min(january, july))/3600 - sun); s.has("longitude") && off > clockFarOff {
		s.warn(s.at("longitude"), fmt.Sprintf("the clocks of %s are %.0f h off the sun at longitude %g: "+
			"west of Greenwich is negative; put the sign, or the time zone, right", zone, off, p.Longitude))
	}
	// Clocks go forward in the summer of their own half of the earth.
	if summer := july - january; s.has("latitude") && summer != 0 && math.Abs(p.Latitude) > 5 && (summer > 0) != (p.Latitude > 0) {
		s.warn(s.at("latitude"), fmt.Sprintf("%s has its summer on the other side of the equator from latitude %g: "+
			"south is negative; put the sign, or the time zone, right", zone, p.Latitude))
	}
}

// around is how far apart two clocks are that differ by so many hours, round the dial.
func around(hours float64) float64 {
	h := math.Mod(math.Abs(hours), 24)
	return min(h, 24-h)
}
