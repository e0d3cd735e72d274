// Package openmeteo reads the replies of Open-Meteo's forecast and ensemble
// services, live or saved, into [forecast.Forecast].
//
// # Which time a value is for
//
// Temperature, humidity, pressure, wind and cloud are for the moment of their
// stamp. Radiation, UV index, amounts and probabilities of precipitation and
// gusts describe the hour before their stamp (the service's documentation), so
// that the value at stamp t belongs to [t−1 h, t). The last hour of a reply
// therefore knows its instants only.
//
// Stamps in local time are the service's fixed offset, not the clock on the
// wall: a reply that crosses a change of daylight saving still counts evenly.
// Stamps that do skip or repeat an hour are resolved in the named zone instead.
//
// # What is left out
//
// Daily and current blocks, pressure levels, the spread of an ensemble, former
// runs and direct normal irradiance are not read.
package openmeteo

import (
	"fmt"
	"math"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// service is the name in forecasts and errors.
const service = "Open-Meteo"

// Options says what to take from a reply that holds more than one answer.
type Options struct {
	Near  *forecast.Place // the place asked about: picks from an array reply, and is compared with the grid cell; nil if unknown
	Model string          // the model to take when the reply holds several, as the service spells it; "" lets the reader choose
}

// Parse reads a whole reply of the forecast or the ensemble service, a single
// object or an array of places. The result is hourly in UTC.
//
// The error is a [*forecast.ReadError]: the reply is damaged or an error body,
// has no hourly or quarter-hourly values, has stamps that repeat or go back,
// has a column whose length or unit cannot be right, lacks the model asked for,
// or is for a place more than 100 km from the one asked about. A reply is never read in part. What is merely missing or doubtful is
// absent and stands in the forecast's Warnings.
func Parse(data []byte, opt Options) (*forecast.Forecast, error) {
	raw, bad := reply.Check(service, data)
	if bad != nil {
		return nil, bad
	}
	return ParseValid(raw, opt)
}

// ParseValid is Parse for a reply that is known to be one whole JSON value in UTF-8,
// with nothing around it.
func ParseValid(raw []byte, opt Options) (*forecast.Forecast, error) {
	at, warning, err := pickLocation(raw, opt.Near)
	if err != nil {
		return nil, err
	}
	f := &forecast.Forecast{
		Service: service, Attribution: "Weather data by Open-Meteo.com",
		Licence: "CC BY 4.0, https://open-meteo.com/", Place: at.place, Timezone: at.zoneName(),
	}
	far, bad := reply.Far(service, opt.Near, at.place)
	if bad != nil {
		return nil, bad
	}
	warn(f, warning)
	warn(f, far)
	if err := at.read(f, opt.Model); err != nil {
		return nil, err
	}
	for _, m := range reply.Missing(&f.Members[0]) {
		warn(f, "the reply has no "+m)
	}
	return f, nil
}

func warn(f *forecast.Forecast, text string) {
	if text != "" {
		f.Warnings = append(f.Warnings, text)
	}
}

// errorf is a damaged or unusable reply; fix says what to do.
func errorf(fix, format string, args ...any) error {
	return reply.Errorf(service, fix, format, args...)
}

// location is one place's answer with its blocks not yet read.
type location struct {
	place  forecast.Place
	zone   string // as the service names it, "" if it does not
	offset int64  // seconds east of UTC that local stamps carry
	hasOff bool
	fields reply.Object
}

// pickLocation finds the answer to read: the only one, the nearest to near, or
// with a warning the first.
func pickLocation(raw []byte, near *forecast.Place) (at location, warning string, err error) {
	elements, isArray := reply.SplitArray(raw)
	if !isArray {
		at, err = newLocation(raw)
		return at, "", err
	}
	if len(elements) == 0 {
		return at, "", errorf("ask for at least one place", "it is an array of no places")
	}
	best := math.Inf(1)
	for i, e := range elements {
		l, err := newLocation(e)
		if err != nil {
			return at, "", err
		}
		d := float64(i)
		if near != nil {
			d = near.DistanceKM(l.place)
		}
		if d < best {
			best, at = d, l
		}
	}
	if near == nil && len(elements) > 1 {
		warning = fmt.Sprintf("the reply holds %d places and none was asked for: the first is taken, %.2f, %.2f",
			len(elements), at.place.Latitude, at.place.Longitude)
	}
	return at, warning, nil
}

// newLocation reads the head of one place's answer.
func newLocation(raw []byte) (l location, err error) {
	fields, ok := reply.SplitObject(raw)
	if !ok {
		return l, errorf("save the reply itself, not a part of it", "it is %.20q, not an object", raw)
	}
	l.fields = fields
	if string(fields.Get("error")) == "true" {
		reason, _ := reply.Text(fields.Get("reason"))
		return l, errorf(adviceFor(reason), "the service refused: %q", reason)
	}
	lat, okLat, err := l.number("latitude")
	if err != nil {
		return l, err
	}
	lon, okLon, err := l.number("longitude")
	if err != nil {
		return l, err
	}
	if !okLat || !okLon {
		return l, errorf("save the reply as the service sent it", "it names no latitude and longitude")
	}
	l.place.Latitude, l.place.Longitude = lat, lon
	if l.place.ElevationM, l.place.HasElevation, err = l.number("elevation"); err != nil {
		return l, err
	}
	if wrong := reply.CheckPlace(l.place); wrong != "" {
		return l, errorf(reply.Again, "%s", wrong)
	}
	return l, l.readOffset()
}

func (l *location) readOffset() error {
	l.zone, _ = reply.Text(l.fields.Get("timezone"))
	v, ok, err := l.number("utc_offset_seconds")
	if err != nil || !ok {
		return err
	}
	if v != math.Trunc(v) || math.Abs(v) > 18*3600 {
		return errorf(reply.Again, "utc_offset_seconds is %v, which no zone has", v)
	}
	l.offset, l.hasOff = int64(v), true
	return nil
}

// number reads one number of the head; ok is false where it is missing or null.
func (l *location) number(key string) (v float64, ok bool, err error) {
	raw := l.fields.Get(key)
	if raw == nil {
		return 0, false, nil
	}
	v, ok, err = reply.Number(raw)
	if err != nil {
		return 0, false, errorf(reply.Again, "%s %v", key, err)
	}
	return v, ok, nil
}

// read fills the forecast from the hourly block, or from the quarter-hourly one
// if there is no other.
func (l *location) read(f *forecast.Forecast, model string) error {
	b, err := l.newBlock()
	if err != nil {
		return err
	}
	columns, err := b.list()
	if err != nil {
		return err
	}
	chosen, text, err := chooseModel(columns, model)
	if err != nil {
		return err
	}
	warn(f, text)
	f.Model = chosen
	if shareAlike(chosen) {
		f.Licence = "CC BY-SA 4.0 (UK Met Office), https://open-meteo.com/"
	}
	b.axis.Put(f)
	return b.fill(f, columns, chosen)
}
