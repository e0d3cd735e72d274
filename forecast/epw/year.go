package epw

import (
	"fmt"
	"strings"
	"time"

	"dewgap/forecast"
)

// An hour without a rain gauge counts as wet where the dew point is at most this
// far below the air, opaque cloud covers at least so much and one sees at most so
// far: K, tenths, km (common practice, no source; against the months of two TMY3
// files that do have a gauge its Heidke skill score is 0.52 and 0.43).
const (
	wetDepression = 3.0
	wetOpaque     = 9.0
	wetVisibility = 10.0
	// wetMM is what such an hour brings.
	wetMM = 0.5
)

// Gauged tells for each month, January first, in what share of its hours the file
// has the rain itself, 0–1. Elsewhere it is estimated.
func (y *Year) Gauged() [12]float64 {
	var known, all [12]float64
	for i := range y.hours {
		m := y.hours[i].month - 1
		all[m]++
		if y.hours[i].gauged() {
			known[m]++
		}
	}
	for m := range known {
		known[m] /= all[m]
	}
	return known
}

// Forecast lays the typical year on a calendar year, with so much of its end
// before and of its beginning after it, for a typical year joins its own end. 29
// February is left out of a leap year: choose another. The result has one member
// and starts at before's whole hours before 1 January, 00:00 local standard time.
func (y *Year) Forecast(year int, before, after time.Duration) *forecast.Forecast {
	lead, tail := int(before/time.Hour), int(after/time.Hour)
	f := &forecast.Forecast{
		Service: Service, Model: y.Made, Place: y.Place, N: Hours + lead + tail, Step: time.Hour,
		Attribution: fmt.Sprintf("Typical year of %s (%s).", y.Station, y.Made), Licence: "as the file's maker says",
		Start:   time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC).Add(-y.Offset - time.Duration(lead)*time.Hour),
		Members: make([]forecast.Member, 1), Warnings: y.estimated(),
	}
	m := &f.Members[0]
	for _, q := range [...]forecast.Quantity{
		forecast.AirTemperature, forecast.DewPoint, forecast.Humidity, forecast.Pressure, forecast.WindSpeed,
		forecast.WindFrom, forecast.CloudCover, forecast.Visibility, forecast.GlobalRadiation,
		forecast.DirectRadiation, forecast.DiffuseRadiation, forecast.Precipitation,
	} {
		m.Columns[q] = forecast.NewColumn(f.N)
	}
	for i := range f.N {
		k := ((i-lead)%Hours + Hours) % Hours
		y.instants(m, i, &y.hours[(k+Hours-1)%Hours]) // stamped with the end of the hour before
		y.totals(m, i, &y.hours[k])
	}
	return f
}

func put(m *forecast.Member, q forecast.Quantity, i int, x reading, scale float64) {
	if x.ok {
		m.Columns[q].Set(i, x.v*scale)
	}
}

func (y *Year) instants(m *forecast.Member, i int, h *hour) {
	put(m, forecast.AirTemperature, i, h.temp, 1)
	put(m, forecast.DewPoint, i, h.dew, 1)
	put(m, forecast.Humidity, i, h.humidity, 1)
	put(m, forecast.Pressure, i, h.pressure, 0.01)
	put(m, forecast.WindSpeed, i, h.wind, 1)
	put(m, forecast.WindFrom, i, h.from, 1)
	put(m, forecast.CloudCover, i, h.cloud, 10)
	put(m, forecast.Visibility, i, h.visibility, 1000)
}

// totals puts what belongs to the hour as a whole. Beam on the level is what the
// sky does not scatter.
func (y *Year) totals(m *forecast.Member, i int, h *hour) {
	put(m, forecast.GlobalRadiation, i, h.global, 1)
	put(m, forecast.DiffuseRadiation, i, h.diffuse, 1)
	if h.global.ok && h.diffuse.ok {
		m.Columns[forecast.DirectRadiation].Set(i, max(0, h.global.v-h.diffuse.v))
	}
	if mm, ok := h.fallen(); ok {
		m.Columns[forecast.Precipitation].Set(i, mm)
	}
}

// gauged reports whether the file has the rain of this very hour. A gauge read
// over several hours does not tell in which of them it rained.
func (h *hour) gauged() bool { return h.rain.ok && !(h.rainHours.ok && h.rainHours.v > 1) }

// fallen is the rain of the hour, mm: the gauge's, else the estimate; ok is false
// where neither is to be had.
func (h *hour) fallen() (mm float64, ok bool) {
	if h.gauged() {
		return h.rain.v, true
	}
	if !h.temp.ok || !h.dew.ok || !h.opaque.ok || !h.visibility.ok {
		return 0, false
	}
	if h.temp.v-h.dew.v <= wetDepression && h.opaque.v >= wetOpaque && h.visibility.v <= wetVisibility {
		return wetMM, true
	}
	return 0, true
}

// estimated says in which months rain is not measured.
func (y *Year) estimated() []string {
	var months []string
	for m, share := range y.Gauged() {
		if share < 0.5 {
			months = append(months, time.Month(m + 1).String()[:3])
		}
	}
	if len(months) == 0 {
		return nil
	}
	return []string{"the typical year has no rain gauge in " + strings.Join(months, ", ") +
		": wet hours there are estimated from damp air, cloud and visibility"}
}
