package surface

import (
	"dewgap/forecast"
	"dewgap/forecast/sky"
)

// stated reads the service's own mean sunlight on the level over the interval.
func (r *reader) stated() {
	b, d := r.whole(forecast.DirectRadiation), r.whole(forecast.DiffuseRadiation)
	if b.ok && d.ok {
		r.global, r.direct, r.sunlit = b.v+d.v, b.v, true
		return
	}
	g := r.whole(forecast.GlobalRadiation)
	r.global, r.direct, r.sunlit = g.v, -1, g.ok
}

// clearness finds what cloud cover the clearness of the sunlight tells, where nothing
// else does; by night the last daylight's sky is kept.
func (r *reader) clearness() {
	r.cloudByRays = false
	if r.cover.ok || r.layers[0].ok || r.layers[1].ok || r.layers[2].ok || !r.sunlit {
		return
	}
	if s := r.shape[r.k]; s > 50 {
		r.cloud, r.cloudy = sky.CloudFromClearness(r.global/s), true
	}
	r.cloudByRays = r.cloudy
}

// cloudiness is the cloud cover, 0–1: the total, else the largest layer, else
// what the clearness of the sunlight tells.
func (r *reader) cloudiness() (c float64, derived, ok bool) {
	if r.cover.ok {
		return clamp01(r.cover.at(r.frac) / 100), false, true
	}
	for k := range r.layers {
		if l := &r.layers[k]; l.ok {
			c, ok = max(c, clamp01(l.at(r.frac)/100)), true
		}
	}
	if ok {
		return c, true, true
	}
	return r.cloud, true, r.cloudByRays
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

func (r *reader) sun(w *Weather, i int) {
	c, derived, ok := r.cloudiness()
	if !ok {
		return
	}
	effective := sky.EffectiveCloud(c)
	global, direct := r.sky.Clear[i]*sky.EffectiveCloudFactor(effective), -1.0
	if r.sunlit {
		global, direct = r.spread(i, r.global), r.direct
		if direct >= 0 {
			direct = r.spread(i, direct)
		}
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
		f1, f2 := r.sky.height[i].Brightening(dni, diffuse)
		w.Circle[i], w.Horizon[i] = float32(f1), float32(f2)
	}
	w.Flags[i] |= KnownSun
	if w.Flags[i]&KnownAir != 0 {
		w.Longwave[i] = float32(r.longwave(float64(w.Air[i]), float64(w.Dew[i]), c, effective))
	}
}

// split gives the beam facing the sun and the sky light on the level.
func (r *reader) split(i int, global, direct float64) (dni, diffuse float64) {
	c := r.sky.CosZ[i]
	if global <= 0 || c <= 0 {
		return 0, max(global, 0)
	}
	if direct < 0 {
		return sky.Erbs(global, c, r.sky.Extra[i])
	}
	dni = min(direct/max(c, 0.01745), r.sky.Extra[i])
	return dni, max(global-dni*c, 0)
}

func (r *reader) longwave(t, dew, cloud, effective float64) float64 {
	if r.model.PlainLongwave {
		return sky.CloudEmissivity(sky.ClearEmissivityBerdahlMartin(dew), cloud, 0.84) * sky.BlackBody(t)
	}
	return sky.LongwaveUnder(t, r.vapour, effective)
}

func (r *reader) ultraviolet(w *Weather, i int) {
	index, direct, derived := 0.0, r.sky.uvDirect[i], true
	switch {
	case r.uv.ok:
		index, derived = r.spreadUV(i, r.uv.v), false
	case w.Flags[i]&KnownSun == 0:
		return
	case r.uvClear.ok:
		index = r.spreadUV(i, r.uvClear.v)
	default:
		index = r.sky.uv[i]
	}
	w.Flags[i] |= KnownUV
	if derived {
		w.Derived.UV++
	}
	if index == 0 && direct == 0 { // night, which asks for no power of the cloud
		return
	}
	cloud := float64(w.Cloud[i])
	left := sky.CloudUV(cloud)
	if derived {
		index *= left
	}
	w.UV[i], w.UVBeam[i] = float32(index), float32(sky.UVDirectUnder(direct, cloud, left))
}
