package boat

import (
	"math"
	"time"
)

// Turn brings a bearing in degrees into [0, 360).
func Turn(deg float64) float64 {
	d := math.Mod(deg, 360)
	if d < 0 {
		d += 360
	}
	if d == 0 || d >= 360 { // no negative zero; a tiny negative angle rounds up to a whole turn
		return 0
	}
	return d
}

// Span is how many degrees the sector covers clockwise, in (0, 360]; a sector
// whose ends meet is the whole horizon.
func (s Sector) Span() float64 {
	d := Turn(s.To - s.From)
	if d == 0 {
		return 360
	}
	return d
}

// Contains reports whether a bearing in degrees lies between From and To
// (both included), going clockwise and across north where need be. The bearing
// is counted as the sector's own: from the bow where it is Relative.
func (s Sector) Contains(bearing float64) bool { return Turn(bearing-s.From) <= s.Span() }

// True is the sector with true bearings, for a bow that points to bow degrees
// true. A sector that is true already stays as it is.
func (s Sector) True(bow float64) Sector {
	if s.Relative {
		s.From, s.To, s.Relative = s.From+bow, s.To+bow, false
	}
	return s
}

// Hides reports whether the sector, whose bearings must be true, hides a point
// of the sky at an elevation and a true bearing, both in degrees.
func (s Sector) Hides(elevation, bearing float64) bool {
	return elevation < s.UpTo && s.Contains(bearing)
}

// Stands reports whether the sector is still there at t: the neighbour's boat
// leaves at Until.
func (s Sector) Stands(t time.Time) bool { return !s.HasUntil || t.Before(s.Until) }

// Holds reports whether t lies in the span. A zero From or To leaves that end
// open.
func (s Span) Holds(t time.Time) bool {
	return (s.From.IsZero() || !t.Before(s.From)) && (s.To.IsZero() || t.Before(s.To))
}
