package sky

import (
	"math"
	"time"
)

// Geometric elevations in degrees at which the events of a day happen.
const (
	// Horizon is the elevation of the sun's centre when its upper limb, lifted
	// by refraction, touches a flat horizon.
	Horizon = -0.8333
	// CivilTwilight ends when the centre is 6° under the horizon.
	CivilTwilight = -6.0
)

// Passage says whether the sun passes an elevation on a day.
type Passage uint8

// The kinds of passage.
const (
	Passes Passage = iota // it rises above and sets below
	Above                 // it stays above all day: polar day, or a night that never gets dark
	Below                 // it stays below all day: polar night
)

// Crossing is when the sun rises above and sets below one elevation. Rise and
// Set are the zero time unless Passage is Passes.
type Crossing struct {
	Passage   Passage
	Rise, Set time.Time
}

// Day is one solar day of a place, from one lower transit to the next.
type Day struct {
	// Transit is when the sun crosses the meridian: solar noon.
	Transit time.Time
	// Sun holds sunrise and sunset, the upper limb on a flat horizon.
	Sun Crossing
	// Civil holds civil dawn and civil dusk.
	Civil Crossing
}

// Events gives the solar day of the calendar day on which the argument day falls
// in its own location: the transit nearest 12:00 there, and what happens in the
// half day before and after it. Give the time in the place's zone; in UTC it is
// the transit nearest 12:00 UTC. Results are in UTC, within some seconds for
// latitudes to 60°, in the standard air of the almanacs.
func Events(day time.Time, lat, lon float64) Day {
	y, m, d := day.Date()
	noon := transitNear(time.Date(y, m, d, 12, 0, 0, 0, day.Location()).UTC(), lon)
	return Day{
		Transit: noon,
		Sun:     crossing(noon, lat, lon, Horizon),
		Civil:   crossing(noon, lat, lon, CivilTwilight),
	}
}

// transitNear gives the meridian passage nearest t.
func transitNear(t time.Time, lon float64) time.Time {
	for range 3 {
		o := orbitAt(t)
		hourAngle := wrap180(o.sidereal + lon - o.rightAsc*degree)
		t = t.Add(-time.Duration(hourAngle / 360 * 24 * float64(time.Hour)))
	}
	return t.Round(time.Millisecond)
}

// crossing finds the passages of the elevation h in the half days around noon.
func crossing(noon time.Time, lat, lon, h float64) Crossing {
	height := func(t time.Time) float64 { return orbitAt(t).seen(lat, lon).Geometric - h }
	before, after := noon.Add(-12*time.Hour), noon.Add(12*time.Hour)
	switch {
	case height(noon) < 0:
		return Crossing{Passage: Below}
	case height(before) > 0 || height(after) > 0:
		// On the days on which polar day begins or ends one of the two may
		// still pass; a crossing that lacks its partner is no use to a plan.
		return Crossing{Passage: Above}
	}
	return Crossing{
		Rise: bisect(before, noon, height),
		Set:  bisect(after, noon, height),
	}
}

// bisect finds where height changes sign between low (negative) and high
// (positive), to a tenth of a second.
func bisect(low, high time.Time, height func(time.Time) float64) time.Time {
	for high.Sub(low).Abs() > 100*time.Millisecond {
		middle := low.Add(high.Sub(low) / 2)
		if height(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// Extraterrestrial gives the irradiance in W/m² across the beam above the
// atmosphere on a day of the year, 1 to 366: Spencer 1971, Fourier series of the
// sun's position, Search 2 (5), 172, with the solar constant 1366.1.
func Extraterrestrial(dayOfYear int) float64 {
	sin1, cos1 := math.Sincos(2 * math.Pi * float64(dayOfYear-1) / 365)
	sin2, cos2 := 2*sin1*cos1, 1-2*sin1*sin1
	return SolarConstant * (1.00011 + 0.034221*cos1 + 0.00128*sin1 + 0.000719*cos2 + 0.000077*sin2)
}
