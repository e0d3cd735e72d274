package sky

import "math"

// Plane is a flat surface, in degrees. Tilt is 0 lying face up, 90 vertical, 180
// face down; Azimuth is where its face looks, clockwise from north, and without
// meaning at tilt 0 or 180.
type Plane struct{ Tilt, Azimuth float64 }

// Vector points somewhere, with unit length: east, north, up.
type Vector struct{ East, North, Up float64 }

// Dot gives the cosine of the angle between two directions.
func (v Vector) Dot(w Vector) float64 { return v.East*w.East + v.North*w.North + v.Up*w.Up }

// Direction gives the unit vector to an elevation and azimuth in degrees.
func Direction(elevDeg, azDeg float64) Vector {
	sinE, cosE := math.Sincos(elevDeg * radian)
	sinA, cosA := math.Sincos(azDeg * radian)
	return Vector{East: cosE * sinA, North: cosE * cosA, Up: sinE}
}

// Normal gives the unit vector that stands on the plane's face. A loop over many
// times keeps it and takes the Dot with each sun's [Direction].
func (p Plane) Normal() Vector { return Direction(90-p.Tilt, p.Azimuth) }

// CosIncidence gives the cosine of the angle between the plane's normal and a
// sun at an elevation and azimuth in degrees; negative when the sun is behind
// the plane.
func (p Plane) CosIncidence(elevDeg, azDeg float64) float64 {
	return p.Normal().Dot(Direction(elevDeg, azDeg))
}

// SkyView gives the share of an even sky that a plane sees, (1 + cos tilt)/2:
// 1 lying, ½ vertical, 0 face down. The rest, 1 − SkyView, is ground.
func SkyView(tiltDeg float64) float64 { return (1 + math.Cos(tiltDeg*radian)) / 2 }

// lowestCosZ keeps Rb finite when the sun is on the horizon: cos 89°.
const lowestCosZ = 0.01745

// Rb is the beam on the plane relative to the beam on the level,
// max(cosIncidence, 0)/max(cosZ, 0.01745).
func Rb(cosIncidence, cosZ float64) float64 {
	return math.Max(cosIncidence, 0) / math.Max(cosZ, lowestCosZ)
}

// AnisotropyIndex gives the share of the diffuse light that Hay and Davies 1980
// let come from around the sun: the beam's transmittance dni/e0n, limited to
// 0..1.
func AnisotropyIndex(dni, e0n float64) float64 {
	if e0n <= 0 {
		return 0
	}
	return clamp01(dni / e0n)
}

// Light is the sunlight of one moment, W/m² and the cosine of the apparent
// zenith angle.
type Light struct {
	DNI, DHI, GHI float64 // beam across its direction; diffuse and whole on the level
	CosZ          float64 // cosine of the zenith angle, 0 or below without sun
	E0n           float64 // across the beam above the atmosphere, see Extraterrestrial
}

// Parts is sunlight on a plane by where it comes from, W/m².
type Parts struct{ Beam, Sky, Ground float64 }

// Total is the whole sunlight on the plane.
func (p Parts) Total() float64 { return p.Beam + p.Sky + p.Ground }

// HayDavies gives the sunlight on a plane tilted tiltDeg whose normal stands at
// the angle with cosine cosIncidence to the sun, over ground or water of the
// given albedo (0..1): Hay and Davies 1980, Proc. First Canadian Solar Radiation
// Data Workshop, 59. With A the [AnisotropyIndex], Rb the function [Rb] and V
// the [SkyView], all of which a loop may keep,
//
//	beam   = DNI·max(cosIncidence, 0)
//	sky    = DHI·((1−A)·V + A·Rb)
//	ground = albedo·GHI·(1−V)
//
// The plane is in the open: what shades it is the caller's affair.
func HayDavies(l Light, cosIncidence, tiltDeg, albedo float64) Parts {
	a, view := AnisotropyIndex(l.DNI, l.E0n), SkyView(tiltDeg)
	p := Isotropic(l, cosIncidence, tiltDeg, albedo)
	p.Sky = math.Max(l.DHI*((1-a)*view+a*Rb(cosIncidence, l.CosZ)), 0)
	return p
}

// Isotropic is [HayDavies] with an even sky (A = 0), the model of Liu and Jordan
// 1963. It puts too little on planes that face the sun.
func Isotropic(l Light, cosIncidence, tiltDeg, albedo float64) Parts {
	view := SkyView(tiltDeg)
	return Parts{
		Beam:   math.Max(l.DNI*math.Max(cosIncidence, 0), 0),
		Sky:    math.Max(l.DHI*view, 0),
		Ground: math.Max(albedo*l.GHI*(1-view), 0),
	}
}
