package crew

import "math"

// WBGTInput is what the air, sun and wind are like where somebody works.
type WBGTInput struct {
	AirC        float64 // °C in the shade, −60–60
	HumidityPct float64 // % over water, 0–100
	PressureHPa float64 // at the place, 300–1100
	SolarWM2    float64 // sunlight on the level, W/m², 0–1600
	CosZenith   float64 // cosine of the sun's zenith angle, −1–1; at or below 0 it is night

	// DirectFraction is the share of SolarWM2 that comes straight from the sun,
	// 0–1. Without it [DirectFraction] estimates the share.
	DirectFraction    float64
	HasDirectFraction bool
	SunDistanceAU     float64 // for that estimate; 0 stands for 1

	WindMS      float64 // sustained, m/s, at WindHeightM; below 0.13 m/s it is taken as that
	WindHeightM float64 // above the ground or water, 1–200 m; 0 stands for 2
	// Urban is true among buildings, sheds and hulls ashore, where the wind
	// falls off faster towards the ground.
	Urban bool
	// Inversion is true at night when the air is warmer higher up, as it is
	// under a clear sky. By day it has no effect.
	Inversion bool
}

// WBGTResult is the wet bulb globe temperature and what it is made of.
type WBGTResult struct {
	Known          bool    // false when an input lies outside its range; then the rest is zero
	WBGT           float64 // °C
	GlobeC         float64 // black globe of 50.8 mm, °C
	NaturalWetBulb float64 // unshaded, unventilated wet bulb, °C
	Psychrometric  float64 // shaded, ventilated wet bulb, °C
	WindMS         float64 // at 2 m, m/s
	DirectFraction float64 // as used, 0–1
}

// Constants of the model. The numbers of Liljegren and others 2008 are kept,
// also where better ones exist, so that its published results come out.
const (
	kelvin   = 273.15
	stefan   = 5.6696e-8 // W/(m² K⁴)
	solarC   = 1367.0    // W/m², solar constant
	cpAir    = 1003.5    // J/(kg K)
	molAir   = 28.97     // kg/kmol
	molWater = 18.015    // kg/kmol
	gasAir   = 8314.34 / molAir

	globeD      = 0.0508 // m
	globeEmit   = 0.95
	globeAlbedo = 0.05
	wickD       = 0.007 // m
	wickL       = 0.0254
	wickEmit    = 0.95
	wickAlbedo  = 0.4
	groundEmit  = 0.999
	groundAlb   = 0.45

	minWind    = 0.13    // m/s at 2 m
	refHeight  = 2.0     // m
	minCosZen  = 0.00873 // below 0.5° there is no beam
	maxNormSun = 0.85    // largest share of the sunlight outside the atmosphere
	maxDirect  = 0.9
)

// WBGT gives the outdoor wet bulb globe temperature 0.7 Tnwb + 0.2 Tg + 0.1 Ta
// after Liljegren, Carhart, Lawday, Tschopp and Sharp 2008, "Modeling the Wet
// Bulb Globe Temperature Using Standard Meteorological Measurements", J. Occup.
// Environ. Hyg. 5, 645–655: heat balances of a globe and of a wick in the sun,
// the wind brought to 2 m by a stability class. The balances are solved inside a
// bracket in which a root must lie, so the result exists for every input in
// range; the authors' own iteration stops at 0.02 K and stays about 0.01 K away.
func WBGT(in WBGTInput) WBGTResult {
	if !in.valid() {
		return WBGTResult{}
	}
	e := newExposure(in)
	r := WBGTResult{
		Known: true, WindMS: e.wind, DirectFraction: e.direct,
		GlobeC:         e.globe() - kelvin,
		NaturalWetBulb: e.wick(e.wickRadiation()) - kelvin,
		Psychrometric:  e.wick(0) - kelvin,
	}
	r.WBGT = combine(r.NaturalWetBulb, r.GlobeC, in.AirC)
	return r
}

// combine weighs the three temperatures, °C, as outdoors.
func combine(wetBulb, globe, air float64) float64 { return 0.7*wetBulb + 0.2*globe + 0.1*air }

// valid reports whether every input lies in the range that the fields state; a
// NaN lies in none.
func (in WBGTInput) valid() bool {
	within := func(v, lo, hi float64) bool { return v >= lo && v <= hi }
	return within(in.AirC, -60, 60) && within(in.HumidityPct, 0, 100) &&
		within(in.PressureHPa, 300, 1100) && within(in.SolarWM2, 0, 1600) &&
		within(in.CosZenith, -1, 1) && within(in.WindMS, 0, 120) &&
		(in.WindHeightM == 0 || within(in.WindHeightM, 1, 200)) && within(in.SunDistanceAU, 0, 2) &&
		(!in.HasDirectFraction || within(in.DirectFraction, 0, 1))
}

// DirectFraction estimates the share of the sunlight on the level, solarWM2
// W/m², that comes straight from the sun when the cosine of the zenith angle is
// cosZenith and the sun sunDistanceAU astronomical units away:
// exp(3 − 1.34 S* − 1.65/S*), where S*, at most 0.85, is the sunlight over that
// outside the atmosphere (Liljegren 2008). It is 0 at night and at most 0.9.
func DirectFraction(solarWM2, cosZenith, sunDistanceAU float64) float64 {
	if cosZenith < minCosZen || solarWM2 <= 0 {
		return 0
	}
	top := solarC * cosZenith / (sunDistanceAU * sunDistanceAU)
	s := math.Min(solarWM2/top, maxNormSun)
	return math.Min(math.Exp(3-1.34*s-1.65/s), maxDirect)
}

// Exponents of the power law of wind with height for the stability classes 1
// (very unstable) to 6 (stable), over open land and among buildings (US EPA,
// as Liljegren 2008 uses them).
var (
	ruralExponent = [...]float64{0.07, 0.07, 0.10, 0.15, 0.35, 0.55}
	urbanExponent = [...]float64{0.15, 0.15, 0.20, 0.25, 0.30, 0.30}
)

// dayClass are the stability classes by day: rows by wind below 2, 3, 5, 6 m/s
// and above, columns by sunlight from 925, 675, 175 W/m² and below.
var dayClass = [...][4]int{{1, 1, 2, 4}, {1, 2, 3, 4}, {2, 2, 3, 4}, {3, 3, 4, 4}, {3, 4, 4, 4}}

// nightClass are the stability classes by night: rows by wind below 2, 2.5 m/s
// and above, columns for air that is colder and warmer higher up.
var nightClass = [...][2]int{{5, 6}, {5, 6}, {4, 4}}

// rank is the index of the first bound that v lies below.
func rank(v float64, bounds ...float64) int {
	for i, b := range bounds {
		if v < b {
			return i
		}
	}
	return len(bounds)
}

// stability is the Pasquill class, 1–6, by sunlight and temperature gradient
// (the SRDT method of EPA-454/R-99-005, sect. 6.4).
func (in WBGTInput) stability() int {
	if in.CosZenith > 0 {
		return dayClass[rank(in.WindMS, 2, 3, 5, 6)][3-rank(in.SolarWM2, 175, 675, 925)]
	}
	column := 0
	if in.Inversion {
		column = 1
	}
	return nightClass[rank(in.WindMS, 2, 2.5)][column]
}

// windAt2M brings the wind to 2 m. Measured at 2 m it is left alone.
func (in WBGTInput) windAt2M() float64 {
	if in.WindHeightM == 0 || in.WindHeightM == refHeight {
		return math.Max(in.WindMS, minWind)
	}
	exponent := ruralExponent
	if in.Urban {
		exponent = urbanExponent
	}
	p := exponent[in.stability()-1]
	return math.Max(in.WindMS*math.Pow(refHeight/in.WindHeightM, p), minWind)
}
