package surface

import (
	"time"

	"dewgap/forecast"
)

// Flag is a set of facts about one slot of one member.
type Flag uint16

// The facts. Known flags are set where the value beneath is to be trusted.
const (
	KnownAir         Flag = 1 << iota // air temperature, dew point and humidity
	KnownWind                         // wind, and the gust that goes with it
	KnownSun                          // sunlight, whichever way it was derived
	KnownUV                           // UV index
	KnownRain                         // whether it rains
	KnownSurface                      // everything that the balance needs
	Wets                              // rain, drizzle or the like falls on what is open to it
	Fog                               // fog wets everything outdoors, roofs or not
	Thunder                           // thunder, and 30 minutes after
	Shifted                           // rain within the timing doubt of a bare probability
	KnownAmount                       // how much rain falls, whether or not it counts as rain
	KnownTemperature                  // air temperature, with or without its humidity

	needs = KnownAir | KnownWind | KnownSun
)

// Derived counts, per quantity, the slots whose value came from a link of its
// chain other than the first.
type Derived struct {
	Gust, Sunlight, UV, Rain, DewPoint, Cloud int
}

// Weather is one member's air and sky, slot by slot, at the boat. Numbers are
// 32-bit to keep many members small; the arithmetic is not.
type Weather struct {
	Grid     Grid
	Air      []float32 // °C at 2 m
	Dew      []float32 // °C
	Humidity []float32 // % over water
	Cloud    []float32 // 0–1
	Wind     []float32 // m/s at deck height
	From     []float32 // degrees true from which it blows
	Gust     []float32 // m/s at deck height
	GustHigh []float32 // m/s at 10 m, unreduced
	Global   []float32 // W/m² on the level
	Normal   []float32 // W/m² of beam facing the sun
	Diffuse  []float32 // W/m² of sky light on the level
	Longwave []float32 // W/m² from the whole sky
	Vapour   []float32 // kg/m³ of water vapour
	UV       []float32 // index on the level
	UVBeam   []float32 // share of it that comes straight from the sun
	Rain     []float32 // mm in the slot, wet enough to count or not
	Around   []float32 // W/m² of a black body at air temperature
	Forced   []float32 // W/m²K of forced convection at deck height
	Circle   []float32 // share of the sky light that comes from round the sun (Perez F1)
	Horizon  []float32 // and from the band at the horizon (Perez F2)
	Flags    []Flag
	Derived  Derived
}

// Site is what of the berth the weather depends on.
type Site struct {
	WindShare float64 // of the 10 m wind that reaches deck height, 0–1
	// Members tells that the forecast has several futures: then bare
	// probabilities get no timing doubt.
	Members bool
	Now     time.Time // for the lead time of a bare probability
}

// wetRate is the least rain, in mm an hour, that counts as rain; below it only
// coded drizzle does (common practice).
const wetRate = 0.1

// rainProbability is the share at which a bare probability counts as rain, %.
const rainProbability = 30

// NewWeather brings one member of a forecast onto the grid of the sky. For several
// members of one forecast a [Frame] is quicker.
func NewWeather(f *forecast.Forecast, mb *forecast.Member, s *Sky, site Site, m Model) *Weather {
	return NewFrame(f, s, site, m).Weather(mb)
}

func allocate(g Grid) *Weather {
	w := &Weather{Grid: g, Flags: make([]Flag, g.N)}
	cols := []*[]float32{
		&w.Air, &w.Dew, &w.Humidity, &w.Cloud, &w.Wind, &w.From, &w.Gust, &w.GustHigh, &w.Global,
		&w.Normal, &w.Diffuse, &w.Longwave, &w.Vapour, &w.UV, &w.UVBeam, &w.Rain,
		&w.Around, &w.Forced, &w.Circle, &w.Horizon,
	}
	block := make([]float32, len(cols)*g.N)
	for k, c := range cols {
		*c = block[k*g.N : (k+1)*g.N : (k+1)*g.N]
	}
	return w
}

// hold keeps a flag set for n slots after it was last set.
func (w *Weather) hold(n int, f Flag) {
	left := 0
	for i := range w.Flags {
		if w.Flags[i]&f != 0 {
			left = n
		} else if left > 0 {
			w.Flags[i] |= f
			left--
		}
	}
}
