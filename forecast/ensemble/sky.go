package ensemble

import (
	"math"

	"dewgap/forecast"
	"dewgap/forecast/sky"
)

// dressSky strays the cloud, and the sunlight and UV beneath it by the ratio of
// their cloud factors. Light never gets brighter than under a clear sky.
func (d *dresser) dressSky(m *forecast.Member, sign float64) {
	cover := &m.Columns[forecast.CloudCover]
	lit := d.has(forecast.GlobalRadiation) || d.has(forecast.DirectRadiation) ||
		d.has(forecast.DiffuseRadiation) || d.has(forecast.UVIndex)
	for i := range d.f.N {
		was, known := cover.At(i)
		was = math.Min(math.Max(was/100, 0), 1)
		if !known {
			was = d.sun.cloud[i]
		}
		n := math.Min(math.Max(was+sign*d.size.cloud[i]/100*d.pair.cloud[i], 0), 1)
		if i >= d.first && d.wet[i] {
			n = math.Max(n, wetCloud/100.0)
		}
		if known {
			cover.Set(i, 100*n)
		}
		layers(m, i, was, n)
		if lit && d.sun.lit[i] {
			d.dressLight(m, i, sky.CloudFactor(n)/sky.CloudFactor(was))
			d.dressUV(m, i, sky.CloudUV(n)/sky.CloudUV(was))
		}
	}
}

// layers strays the cloud layers as the cover: what was clear of them closes, or
// what was cloud opens, by the same share. A layer stays within the cover.
func layers(m *forecast.Member, i int, was, n float64) {
	for q := forecast.CloudLow; q <= forecast.CloudHigh; q++ {
		c := &m.Columns[q]
		v, ok := c.At(i)
		switch {
		case !ok:
		case n > was:
			c.Set(i, math.Min(100, v+(100-v)*(n-was)/(1-was)))
		case was > 0:
			c.Set(i, v*n/was)
		}
	}
}

// dressLight multiplies the sunlight of a slot by the ratio. Light lost is lost
// from the beam first, light gained is beam.
func (d *dresser) dressLight(m *forecast.Member, i int, ratio float64) {
	global, beam, diffuse := &m.Columns[forecast.GlobalRadiation],
		&m.Columns[forecast.DirectRadiation], &m.Columns[forecast.DiffuseRadiation]
	total, direct := sunlight(m, i)
	if total > 0 && ratio > 1 {
		ratio = math.Min(ratio, math.Max(1, d.sun.light[i]/total))
	}
	newDirect := direct * ratio * ratio
	if ratio > 1 {
		newDirect = direct + (ratio-1)*total
	}
	set(global, i, total*ratio)
	set(beam, i, newDirect)
	set(diffuse, i, math.Max(0, total*ratio-newDirect))
}

// dressUV multiplies the UV index of a slot by the ratio, up to the clear sky's.
func (d *dresser) dressUV(m *forecast.Member, i int, ratio float64) {
	uv, ok := m.Columns[forecast.UVIndex].At(i)
	if !ok {
		return
	}
	roof := d.sun.uv[i]
	if clear, ok := m.Columns[forecast.UVIndexClearSky].At(i); ok {
		roof = clear
	}
	m.Columns[forecast.UVIndex].Set(i, math.Min(uv*ratio, math.Max(uv, roof)))
}

// set changes a value that is known.
func set(c *forecast.Column, i int, v float64) {
	if _, ok := c.At(i); ok {
		c.Set(i, v)
	}
}

// sunlight is the light on the level in a slot, and the beam's part of it, as far
// as the columns tell: all the light that is known, and no beam where none is.
func sunlight(m *forecast.Member, i int) (total, direct float64) {
	total, hasTotal := m.Columns[forecast.GlobalRadiation].At(i)
	direct, hasDirect := m.Columns[forecast.DirectRadiation].At(i)
	diffuse, hasDiffuse := m.Columns[forecast.DiffuseRadiation].At(i)
	if !hasTotal {
		total = direct + diffuse
	}
	if !hasDirect && hasTotal && hasDiffuse {
		direct = total - diffuse
	}
	return total, math.Min(math.Max(direct, 0), total)
}
