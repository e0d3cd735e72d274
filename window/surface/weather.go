package surface

import (
	"math"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/sky"
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

// ozoneDU stands in for the ozone column where no service gives a UV index.
const ozoneDU = 300

// NewWeather brings one member of a forecast onto the grid of the sky.
func NewWeather(f *forecast.Forecast, mb *forecast.Member, s *Sky, site Site, m Model) *Weather {
	w := allocate(s.Grid)
	r := reader{f: f, m: mb, sky: s, site: site, model: m, step: f.Step.Hours()}
	r.shapes()
	for i := range s.Grid.N {
		r.place(i)
		if !r.inside {
			continue
		}
		r.air(w, i)
		r.wind(w, i)
		r.sun(w, i)
		r.ultraviolet(w, i)
		r.rain(w, i)
		if w.Flags[i]&needs == needs {
			w.Flags[i] |= KnownSurface
		}
	}
	w.hold(3, Thunder)
	if !site.Members {
		r.doubt(w)
	}
	return w
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

// reader walks the slots of one member.
type reader struct {
	f     *forecast.Forecast
	m     *forecast.Member
	sky   *Sky
	site  Site
	model Model
	step  float64 // hours

	inside bool
	k      int     // the forecast's interval that holds the slot
	frac   float64 // how far into it the slot's middle lies
	shape  []float64
	cloud  float64
	clouds bool
}

func (r *reader) place(i int) {
	t := r.sky.Grid.Middle(i)
	r.k, r.inside = r.f.Index(t)
	r.frac = float64(t.Sub(r.f.Start)-time.Duration(r.k)*r.f.Step) / float64(r.f.Step)
}

// instant is the value at the slot's middle, on the line between two stamps.
// At the very end of the forecast the last value holds; a gap is a gap.
func (r *reader) instant(q forecast.Quantity) (float64, bool) {
	c := r.m.Columns[q]
	a, ok := c.At(r.k)
	if !ok {
		return 0, false
	}
	if r.k == r.f.N-1 {
		return a, true
	}
	b, ok := c.At(r.k + 1)
	return a + (b-a)*r.frac, ok
}

func (r *reader) whole(q forecast.Quantity) (float64, bool) { return r.m.Columns[q].At(r.k) }

// shapes is the mean clear-sky sunlight in each of the forecast's intervals,
// so that a mean can be spread over its slots and keep its sum.
func (r *reader) shapes() {
	sum, n := make([]float64, r.f.N), make([]float64, r.f.N)
	for i := range r.sky.Grid.N {
		if k, ok := r.f.Index(r.sky.Grid.Middle(i)); ok {
			sum[k] += r.sky.Clear[i]
			n[k]++
		}
	}
	for k := range sum {
		if n[k] > 0 {
			sum[k] /= n[k]
		}
	}
	r.shape = sum
}

// spread gives the slot's share of an interval's mean sunlight by the clear-sky
// shape. What a mean has beyond a clear sky comes from bright cloud or twilight, or
// does not go with the sun's height there: it counts for all slots alike, so that
// nothing is heaped on the few minutes of an hour in which the sun is up.
func (r *reader) spread(i int, mean float64) float64 {
	if s := r.shape[r.k]; s > 1 {
		if mean > s {
			return r.sky.Clear[i] + mean - s
		}
		return mean * r.sky.Clear[i] / s
	}
	return mean
}

// spreadUV does so for the UV index, which goes with the sun's height alone.
func (r *reader) spreadUV(i int, mean float64) float64 {
	if s := r.shape[r.k]; s > 1 {
		return mean * r.sky.Clear[i] / s
	}
	return mean
}

func (r *reader) air(w *Weather, i int) {
	t, ok := r.instant(forecast.AirTemperature)
	if !ok {
		return
	}
	w.Air[i] = float32(t)
	w.Flags[i] |= KnownTemperature
	dew, okDew := r.instant(forecast.DewPoint)
	rh, okRH := r.instant(forecast.Humidity)
	switch {
	case okDew:
		dew = math.Min(dew, t)
		rh = air.Humidity(t, dew)
	case okRH:
		w.Derived.DewPoint++
		rh = math.Min(math.Max(rh, 1), 100)
		dew = math.Min(air.DewPoint(t, rh), t)
	default:
		return
	}
	w.Dew[i], w.Humidity[i] = float32(dew), float32(rh)
	w.Vapour[i] = float32(air.VapourDensity(air.VapourPressure(dew), t))
	w.Around[i] = float32(sigma * pow4(t+kelvin))
	w.Flags[i] |= KnownAir
}

func (r *reader) wind(w *Weather, i int) {
	v, ok := r.instant(forecast.WindSpeed)
	if !ok {
		return
	}
	gust, ok := r.whole(forecast.Gust)
	if !ok {
		gust = 1.5 * v
		w.Derived.Gust++
	}
	gust = math.Max(gust, v)
	from, ok := r.whole(forecast.WindFrom)
	if !ok {
		from = -1
	}
	w.Wind[i], w.From[i] = float32(v*r.site.WindShare), float32(from)
	w.Gust[i], w.GustHigh[i] = float32(gust*r.site.WindShare), float32(gust)
	w.Forced[i] = float32(forcedConvection(v*r.site.WindShare, r.model.LinearConvection))
	w.Flags[i] |= KnownWind
}

// cloudiness is the cloud cover, 0–1: the total, else the largest layer, else
// what the clearness of the sunlight tells.
func (r *reader) cloudiness(i int) (c float64, derived, ok bool) {
	if c, ok := r.instant(forecast.CloudCover); ok {
		return clamp01(c / 100), false, true
	}
	for _, q := range []forecast.Quantity{forecast.CloudLow, forecast.CloudMiddle, forecast.CloudHigh} {
		if v, known := r.instant(q); known {
			c, ok = math.Max(c, clamp01(v/100)), true
		}
	}
	if ok {
		return c, true, true
	}
	g, _, known := r.stated()
	if s := r.shape[r.k]; known && s > 50 {
		r.cloud = sky.CloudFromClearness(g / s)
		r.clouds = true
	}
	return r.cloud, true, known && r.clouds // by night the last daylight's sky is kept
}

func (r *reader) sun(w *Weather, i int) {
	c, derived, haveCloud := r.cloudiness(i)
	global, direct, ok := r.sunlight(i)
	switch {
	case ok && haveCloud:
	case haveCloud:
		global, direct = r.sky.Clear[i]*sky.CloudFactor(c), -1
	default:
		return
	}
	if direct < 0 {
		w.Derived.Sunlight++
	}
	if derived {
		w.Derived.Cloud++
	}
	dni, diffuse := r.split(i, global, direct)
	w.Cloud[i] = float32(c)
	w.Global[i], w.Normal[i], w.Diffuse[i] = float32(global), float32(dni), float32(diffuse)
	if !r.model.IsotropicSky {
		f1, f2 := sky.Brightening(sky.Light{
			DNI: dni, DHI: diffuse, CosZ: r.sky.CosZ[i], E0n: r.sky.Extra[i],
		})
		w.Circle[i], w.Horizon[i] = float32(f1), float32(f2)
	}
	w.Flags[i] |= KnownSun
	if w.Flags[i]&KnownAir != 0 {
		w.Longwave[i] = float32(r.longwave(float64(w.Air[i]), float64(w.Dew[i]), c))
	}
}

// stated is the service's own mean sunlight on the level over the interval, in
// W/m²; direct is negative where only the global is known.
func (r *reader) stated() (global, direct float64, ok bool) {
	b, okB := r.whole(forecast.DirectRadiation)
	d, okD := r.whole(forecast.DiffuseRadiation)
	if okB && okD {
		return b + d, b, true
	}
	g, ok := r.whole(forecast.GlobalRadiation)
	return g, -1, ok
}

// sunlight is the slot's share of what the service states.
func (r *reader) sunlight(i int) (global, direct float64, ok bool) {
	g, b, ok := r.stated()
	if b >= 0 {
		b = r.spread(i, b)
	}
	return r.spread(i, g), b, ok
}

// split gives the beam facing the sun and the sky light on the level.
func (r *reader) split(i int, global, direct float64) (dni, diffuse float64) {
	c := r.sky.CosZ[i]
	if global <= 0 || c <= 0 {
		return 0, math.Max(global, 0)
	}
	if direct < 0 {
		return sky.Erbs(global, c, r.sky.Extra[i])
	}
	dni = math.Min(direct/math.Max(c, 0.01745), r.sky.Extra[i])
	return dni, math.Max(global-dni*c, 0)
}

func (r *reader) longwave(t, dew, cloud float64) float64 {
	if r.model.PlainLongwave {
		e := sky.ClearEmissivityBerdahlMartin(dew)
		return (e + (1-e)*0.84*cloud) * sigma * pow4(t+kelvin)
	}
	return sky.Longwave(t, dew, cloud)
}

func (r *reader) ultraviolet(w *Weather, i int) {
	cloud := float64(w.Cloud[i])
	if uv, ok := r.whole(forecast.UVIndex); ok {
		w.UV[i] = float32(r.spreadUV(i, uv))
	} else if uv, ok := r.whole(forecast.UVIndexClearSky); ok && w.Flags[i]&KnownSun != 0 {
		w.UV[i] = float32(r.spreadUV(i, uv) * sky.CloudUV(cloud))
		w.Derived.UV++
	} else if w.Flags[i]&KnownSun != 0 {
		w.UV[i] = float32(sky.ClearUVI(r.sky.CosZ[i], ozoneDU) * sky.CloudUV(cloud))
		w.Derived.UV++
	} else {
		return
	}
	w.UVBeam[i] = float32(sky.UVDirectShare(r.sky.CosZ[i], cloud))
	w.Flags[i] |= KnownUV
}
