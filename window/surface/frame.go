package surface

import (
	"time"

	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/sky"
)

// Frame is a forecast laid over the grid of a sky: what its members have in common,
// worked out once for all of them.
type Frame struct {
	f     *forecast.Forecast
	sky   *Sky
	site  Site
	model Model
	step  float64 // hours

	from, to int       // the slots whose middles lie within the forecast
	interval []int32   // per slot: the forecast's interval that holds its middle
	frac     []float64 // per slot: how far into the interval that lies, 0–1
	shape    []float64 // per interval: W/m², mean clear-sky sunlight of its slots
}

// NewFrame lays a forecast over the grid of a sky.
func NewFrame(f *forecast.Forecast, s *Sky, site Site, m Model) *Frame {
	n := s.Grid.N
	r := &Frame{
		f: f, sky: s, site: site, model: m, step: f.Step.Hours(),
		interval: make([]int32, n), frac: make([]float64, n), shape: make([]float64, f.N),
	}
	slots := make([]float64, f.N)
	for i := range n {
		t := s.Grid.Middle(i)
		k, inside := f.Index(t)
		if !inside {
			continue
		}
		if r.to == 0 {
			r.from = i
		}
		r.to = i + 1
		r.interval[i] = int32(k)
		r.frac[i] = float64(t.Sub(f.Start.Add(f.Step*time.Duration(k)))) / float64(f.Step)
		r.shape[k] += s.Clear[i]
		slots[k]++
	}
	for k := range r.shape {
		if slots[k] > 0 {
			r.shape[k] /= slots[k]
		}
	}
	return r
}

// Weather brings one member of the forecast onto the grid.
func (f *Frame) Weather(mb *forecast.Member) *Weather {
	w := allocate(f.sky.Grid)
	r := reader{Frame: f, m: mb, k: -1}
	for i := f.from; i < f.to; i++ {
		if k := int(f.interval[i]); k != r.k {
			r.enter(k)
		}
		r.frac = f.frac[i]
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
	if !f.site.Members {
		r.doubt(w)
	}
	return w
}

// reader walks the slots of one member. What holds throughout an interval of the
// forecast it reads once, as it enters it.
type reader struct {
	*Frame
	m    *forecast.Member
	k    int     // the interval that holds the slot
	frac float64 // how far into it the slot's middle lies

	vapour float64 // Pa, of the slot's air, where it is known

	temperature, dew, humidity line
	speed, cover, visibility   line
	layers                     [3]line

	gust, windFrom      number
	uv, uvClear         number
	global, direct      float64 // as stated, W/m² on the level; direct negative where not known
	sunlit              bool    // global is known
	cloud               float64 // by the clearness of the last daylight
	cloudy, cloudByRays bool    // cloud is known; it serves in this interval
	wet                 wet
}

// number is a value that may be absent.
type number struct {
	v  float64
	ok bool
}

// line runs from an interval's stamp to the next one's.
type line struct {
	from, rise float64
	ok         bool
}

func (l *line) at(frac float64) float64 { return l.from + l.rise*frac }

// instant is the line between two stamps. At the very end of the forecast the last
// value holds; a gap is a gap.
func (r *reader) instant(q forecast.Quantity) line {
	c := &r.m.Columns[q]
	a, ok := c.At(r.k)
	if !ok || r.k == r.f.N-1 {
		return line{from: a, ok: ok}
	}
	b, ok := c.At(r.k + 1)
	return line{from: a, rise: b - a, ok: ok}
}

func (r *reader) whole(q forecast.Quantity) number {
	v, ok := r.m.Columns[q].At(r.k)
	return number{v, ok}
}

// enter reads what holds in interval k.
func (r *reader) enter(k int) {
	r.k = k
	r.temperature, r.dew = r.instant(forecast.AirTemperature), r.instant(forecast.DewPoint)
	r.humidity, r.speed = r.instant(forecast.Humidity), r.instant(forecast.WindSpeed)
	r.cover, r.visibility = r.instant(forecast.CloudCover), r.instant(forecast.Visibility)
	for i, q := range [...]forecast.Quantity{forecast.CloudLow, forecast.CloudMiddle, forecast.CloudHigh} {
		r.layers[i] = r.instant(q)
	}
	r.gust, r.windFrom = r.whole(forecast.Gust), r.whole(forecast.WindFrom)
	r.uv, r.uvClear = r.whole(forecast.UVIndex), r.whole(forecast.UVIndexClearSky)
	r.stated()
	r.clearness()
	r.wet = r.falling()
}

func (r *reader) air(w *Weather, i int) {
	if !r.temperature.ok {
		return
	}
	t := r.temperature.at(r.frac)
	w.Air[i] = float32(t)
	w.Flags[i] |= KnownTemperature
	var dew, rh, pv float64
	switch {
	case r.dew.ok:
		dew = min(r.dew.at(r.frac), t)
		pv = air.VapourPressure(dew)
		rh = air.HumidityOf(pv, t)
	case r.humidity.ok:
		w.Derived.DewPoint++
		rh = min(max(r.humidity.at(r.frac), 1), 100)
		dew = min(air.DewPoint(t, rh), t)
		pv = air.VapourPressure(dew)
	default:
		return
	}
	w.Dew[i], w.Humidity[i] = float32(dew), float32(rh)
	w.Vapour[i], r.vapour = float32(air.VapourDensity(pv, t)), pv
	w.Around[i] = float32(sky.BlackBody(t))
	w.Flags[i] |= KnownAir
}

func (r *reader) wind(w *Weather, i int) {
	if !r.speed.ok {
		return
	}
	v := r.speed.at(r.frac)
	gust := r.gust.v
	if !r.gust.ok {
		gust = 1.5 * v
		w.Derived.Gust++
	}
	gust = max(gust, v)
	from := -1.0
	if r.windFrom.ok {
		from = r.windFrom.v
	}
	w.Wind[i], w.From[i] = float32(v*r.site.WindShare), float32(from)
	w.Gust[i], w.GustHigh[i] = float32(gust*r.site.WindShare), float32(gust)
	w.Forced[i] = float32(forcedConvection(v*r.site.WindShare, r.model.LinearConvection))
	w.Flags[i] |= KnownWind
}
