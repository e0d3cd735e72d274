package sky

import (
	"math"
	"time"
)

// DeltaT is the difference in s between terrestrial time, which the orbit is
// reckoned in, and universal time. The constant is the observed value of 2024;
// over 2000 to 2040 it is at most some ten seconds off, in which the sun moves a
// ten-thousandth of a degree along the ecliptic.
const DeltaT = 69.2

// Horizon is the geometric elevation in degrees of the sun's centre when its upper
// limb, lifted by refraction, touches a flat horizon.
const Horizon = -0.8333

const (
	j2000Unix = 946728000 // 2000-01-01 12:00 UTC in Unix seconds
	parallax  = 8.794 / 3600
	aberrate  = 0.00569
	// refractionFrom is the geometric elevation below which the sun's disc is
	// under the horizon even when lifted by refraction: NREL SPA, eq. 42 ff.
	refractionFrom = -(0.26667 + 0.5667)
)

// Position is where the sun stands, seen from one place at one time.
type Position struct {
	// Elevation is the angle above the horizon in degrees as it appears, lifted
	// by refraction.
	Elevation float64
	// Geometric is the angle above the horizon in degrees without refraction.
	Geometric float64
	// Azimuth is the direction in degrees clockwise from true north, 0 ≤ a < 360.
	Azimuth float64
	// DistanceAU is the distance in astronomical units.
	DistanceAU float64
	// Declination is the angle north of the equator in degrees.
	Declination float64
	// EquationOfTime is apparent minus mean solar time in minutes.
	EquationOfTime float64
}

// CosZenith gives the cosine of the apparent zenith angle, the share of the beam
// that falls on the level; 0 when the sun is below the horizon.
func (p Position) CosZenith() float64 {
	return math.Max(math.Sin(p.Elevation*radian), 0)
}

// orbit is what the sun's place depends on before an observer comes in.
type orbit struct {
	sinDec, cosDec float64
	rightAsc       float64 // radians
	sidereal       float64 // apparent, Greenwich, degrees, not reduced
	meanLon        float64 // degrees, not reduced
	nutationRA     float64 // equation of the equinoxes, degrees
	distance       float64
}

// Sun gives the sun's position at t for the latitude lat (north positive) and
// longitude lon (east positive) in degrees, with refraction for the pressure
// pHPa in hPa and the air temperature tC in °C (a pressure of 0 switches it
// off). It follows the low-accuracy theory of Meeus, Astronomical Algorithms,
// 2nd edition, ch. 25 (which NOAA's calculator uses too), with the leading term
// of nutation, parallax, and the refraction of NREL's SPA (NREL/TP-560-34302,
// eq. 42). Within 0.01° of SPA on 200 random cases of 2024 to 2035, 60° S
// to 60° N. Terrestrial time is taken as UTC + [DeltaT].
func Sun(t time.Time, lat, lon, pHPa, tC float64) Position {
	o := orbitAt(t)
	p := o.seen(lat, lon)
	p.Elevation = p.Geometric + refraction(p.Geometric, pHPa, tC)
	return p
}

// orbitAt evaluates Meeus ch. 25 (sun), 22 (obliquity, nutation), 12 (sidereal
// time) at t.
func orbitAt(t time.Time) orbit {
	days := (float64(t.Unix()-j2000Unix) + float64(t.Nanosecond())*1e-9) / 86400
	c := (days + DeltaT/86400) / 36525
	meanLon := 280.46646 + c*(36000.76983+c*0.0003032)
	sinM, cosM := math.Sincos((357.52911 + c*(35999.05029-c*0.0001537)) * radian)
	ecc := 0.016708634 - c*(0.000042037+c*0.0000001267)
	// Equation of the centre; sines of multiples by the double-angle rules.
	sin2M, cos2M := 2*sinM*cosM, 1-2*sinM*sinM
	sin3M := sin2M*cosM + cos2M*sinM
	centre := (1.914602-c*(0.004817+c*0.000014))*sinM + (0.019993-c*0.000101)*sin2M + 0.000289*sin3M
	sinNode, cosNode := math.Sincos((125.04 - 1934.136*c) * radian)
	nutation := -0.00478 * sinNode
	trueLon := meanLon + centre
	sinL, cosL := math.Sincos((trueLon - aberrate + nutation) * radian)
	obliquity := 23.4392911 - 0.0130041667*c + 0.00256*cosNode
	sinE, cosE := math.Sincos(obliquity * radian)
	// The true anomaly is M + centre; the centre is small enough for two terms.
	small := centre * radian
	cosV := cosM*(1-small*small/2) - sinM*small
	o := orbit{
		sinDec:     sinE * sinL,
		rightAsc:   math.Atan2(cosE*sinL, cosL),
		meanLon:    meanLon,
		nutationRA: nutation * cosE,
		distance:   1.000001018 * (1 - ecc*ecc) / (1 + ecc*cosV),
	}
	o.cosDec = math.Sqrt(1 - o.sinDec*o.sinDec)
	o.sidereal = 280.46061837 + 360.98564736629*days + o.nutationRA
	return o
}

// seen turns the orbit's place into the observer's horizon; the apparent
// elevation is left for the caller to set.
func (o orbit) seen(lat, lon float64) Position {
	sinF, cosF := math.Sincos(lat * radian)
	sinH, cosH := math.Sincos((o.sidereal+lon)*radian - o.rightAsc)
	sinEl := sinF*o.sinDec + cosF*o.cosDec*cosH
	geometric := math.Asin(math.Min(math.Max(sinEl, -1), 1)) * degree
	// The observer stands on the surface, not in the centre of the earth.
	geometric -= parallax / o.distance * math.Sqrt(math.Max(1-sinEl*sinEl, 0))
	az := 180 + degree*math.Atan2(sinH*o.cosDec, cosH*sinF*o.cosDec-o.sinDec*cosF)
	if az >= 360 {
		az -= 360
	}
	return Position{
		Geometric: geometric, Azimuth: az, DistanceAU: o.distance,
		Declination:    math.Asin(o.sinDec) * degree,
		EquationOfTime: 4 * wrap180(o.meanLon-0.0057183-o.rightAsc*degree+o.nutationRA),
	}
}

// refraction gives by how many degrees the air lifts the sun at the geometric
// elevation: NREL/TP-560-34302, eq. 42. The elevations of a sun that stays under
// the horizon are left alone, as there.
func refraction(geometric, pHPa, tC float64) float64 {
	if geometric < refractionFrom {
		return 0
	}
	return pHPa / 1010 * 283 / (273 + tC) * 1.02 /
		(60 * math.Tan((geometric+10.3/(geometric+5.11))*radian))
}

// wrap180 brings an angle in degrees into −180..180.
func wrap180(a float64) float64 { return a - 360*math.Round(a/360) }
