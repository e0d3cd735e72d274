package answer

import (
	"dewgap/products"
	"dewgap/window/verdict"
)

const (
	commonPractice = "common practice"
	yourJob        = "your job"
)

// provenance is where a bound comes from, in words.
func (b *builder) provenance(l verdict.Limit, c products.Class) string {
	switch l {
	case verdict.None:
		return ""
	case verdict.Hours, verdict.Away, verdict.Daylight, verdict.Reach, verdict.Order:
		return yourJob
	case verdict.Machines, verdict.Water:
		return "the place's rules in your job"
	case verdict.DustWind, verdict.DustGust, verdict.Salt, verdict.Fog, verdict.Section, verdict.Moisture:
		return commonPractice
	case verdict.Access:
		return "common practice for ladders and harness"
	case verdict.Thunder:
		return "OSHA/NOAA fact sheet 3863"
	case verdict.Data:
		return b.Forecast.Service
	case verdict.Block:
		if b.Job.ShortestH > 0 && b.Job.ShortestH != usualShortestH {
			return yourJob
		}
		return commonPractice
	}
	if s := classSource(l, c); s != "" {
		return s
	}
	return c.Source
}

// usualShortestH is the shortest useful block where the job does not say, hours.
const usualShortestH = 2

// classSource is the provenance that the class gives for one bound, "" where it
// has none of its own.
func classSource(l verdict.Limit, c products.Class) string {
	switch l {
	case verdict.AirMin, verdict.AirMax:
		return c.AirC.Provenance()
	case verdict.SurfaceMin, verdict.SurfaceMax:
		return c.SurfaceC.Provenance()
	case verdict.HumidityMin, verdict.HumidityMax:
		return c.HumidityPct.Provenance()
	case verdict.SpreadMin:
		return c.SpreadK.Provenance()
	case verdict.WindMax:
		return c.WindMS.Provenance()
	case verdict.GustMax:
		return c.GustMS.Provenance()
	case verdict.SunlightMax:
		return c.SunlightWM2.Provenance()
	case verdict.UVMax:
		return c.UVIndex.Provenance()
	case verdict.Film:
		return c.FilmSource
	case verdict.DryOff:
		if !c.DryOff.Given {
			return c.DewDryOff.Provenance()
		}
		return c.DryOff.Provenance()
	case verdict.RainFree:
		return c.RainFree.Provenance()
	case verdict.DewFree:
		return c.DewFree.Provenance()
	case verdict.Cure:
		return c.CureSource
	}
	return ""
}
