package verdict

// Outdoors is one member's weather, slot by slot, as it is the same for all zones of a
// boat.
type Outdoors struct {
	Air, Humidity, Wind, Gust, GustHigh []float32 // °C, %, m/s, m/s, m/s at height
	DustWind, DustGust                  []float32 // m/s, of wind and gusts that bring dust, else 0; nil where the place has none
	Thunder, Fog                        []bool

	KnownAir, KnownWind, KnownUV, KnownRain []bool
	// KnownTemperature tells where Air is known though Humidity is not; nil: nowhere.
	KnownTemperature []bool

	asked *Asked
	views [columns]view
	avail []uint32 // per slot: what is known of it, a bit each

	thunder, fog plane
}

// Prepare works out what the sights of all zones have in common. Until then each does
// so by itself, and only one at a time may.
func (o *Outdoors) Prepare(a *Asked) {
	if o.asked == a {
		return
	}
	o.asked = a
	mem := &slabs{}
	for c, v := range [...][]float32{
		colAir: o.Air, colHumidity: o.Humidity, colWind: o.Wind, colGust: o.Gust, colHeight: o.GustHigh,
		colDustWind: o.DustWind, colDustGust: o.DustGust,
	} {
		if v != nil {
			o.views[c] = a.look(v, nil, mem)
			o.views[c].shared = true
		}
	}
	o.avail = make([]uint32, len(o.Air))
	for i := range o.avail {
		var f uint32
		if o.KnownAir[i] {
			f |= bitsAir
		}
		if o.KnownTemperature != nil && o.KnownTemperature[i] {
			f |= 1 << colAir
		}
		if o.KnownWind[i] {
			f |= bitsWind
		}
		if o.KnownUV[i] {
			f |= bitsUV
		}
		if o.KnownRain[i] {
			f |= bitRain
		}
		o.avail[i] = f
	}
	o.thunder, o.fog = a.marks(o.Thunder, &mem.planes), a.marks(o.Fog, &mem.planes)
}
