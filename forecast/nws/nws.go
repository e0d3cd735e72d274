// Package nws reads the raw grid replies of the US National Weather Service
// (api.weather.gov), live or saved, into [forecast.Forecast], and the points
// replies that say which grid a place has.
//
// Each layer is a list of intervals in which a value holds; equal hours are
// merged, so that one interval may be days long. Precipitation is a total over
// its interval, which is spread evenly and marked by its span. A layer may end
// before the others or be empty; beyond its end nothing is known. The forecast
// runs as long as the temperature layer.
//
// There is no radiation, no UV index and no spread of an ensemble.
//
// # Weather codes
//
// The weather layer names kinds of weather with a coverage. Thunderstorms,
// rain, snow and drizzle are coded (WMO table 4677) where the coverage is likely
// or more: likely, definite, numerous, widespread, the words of duration
// (occasional, periods, frequent, intermittent, brief), or none given. Fog is
// coded for "areas" as well. Where nothing is coded the sky cover gives 0 to 3.
package nws

import (
	"math"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// service is the name in forecasts and errors.
const service = "NWS"

// Options says what the caller knows beforehand.
type Options struct {
	Near *forecast.Place // the place asked about, compared with the grid cell's; nil if unknown
	// Timezone is the IANA name from the points reply, for the raw grid names
	// none; "" if unknown.
	Timezone string
}

// ParseGrid reads a whole raw grid reply (forecastGridData). The result is
// hourly in UTC.
//
// The error is a [*forecast.ReadError]: the reply is damaged, is another
// product of this service (the reason says which and the fix what to fetch), is
// an error body, has no temperature, has an interval that is none, uses an
// unknown unit, or is for a place more than 100 km from the one asked about. A
// reply is never read in part. What is merely missing or
// doubtful is absent and stands in the forecast's Warnings.
func ParseGrid(data []byte, opt Options) (*forecast.Forecast, error) {
	raw, bad := reply.Check(service, data)
	if bad != nil {
		return nil, bad
	}
	top, properties, err := open(raw)
	if err != nil {
		return nil, err
	}
	if err := expectGrid(properties); err != nil {
		return nil, err
	}
	f := &forecast.Forecast{
		Service: service, Attribution: "NOAA National Weather Service",
		Licence: "US public domain, https://www.weather.gov/", Timezone: opt.Timezone,
	}
	if err := readHead(f, top, properties, opt.Near); err != nil {
		return nil, err
	}
	far, bad := reply.Far(service, opt.Near, f.Place)
	if bad != nil {
		return nil, bad
	}
	if far != "" {
		f.Warnings = append(f.Warnings, far)
	}
	b := builder{properties: properties, f: f}
	if err := b.build(); err != nil {
		return nil, err
	}
	for _, m := range reply.Missing(&f.Members[0]) {
		f.Warnings = append(f.Warnings, "the reply has no "+m)
	}
	return f, nil
}

func errorf(fix, format string, args ...any) error {
	return reply.Errorf(service, fix, format, args...)
}

// unmarshal reads one part of a reply; what names it in the error.
func unmarshal(raw []byte, to any, what string) error {
	if bad := reply.Unmarshal(service, raw, to, what); bad != nil {
		return bad
	}
	return nil
}

// open splits a reply into its fields and those of its properties.
func open(raw []byte) (top, properties reply.Object, err error) {
	top, ok := reply.SplitObject(raw)
	if !ok {
		return nil, nil, errorf("save the raw grid reply itself", "it is %.20q, not an object", raw)
	}
	properties, ok = reply.SplitObject(top.Get("properties"))
	if !ok {
		return nil, nil, refused(top)
	}
	return top, properties, nil
}

// refused explains a reply without properties: an error body (RFC 9457, problem
// details) or another product.
func refused(top reply.Object) error {
	title, _ := reply.Text(top.Get("title"))
	detail, _ := reply.Text(top.Get("detail"))
	switch {
	case title != "" && top.Get("status") != nil:
		return errorf("look the place up anew in /points, or fetch again in some minutes",
			"the service refused: %s: %s", title, detail)
	case top.Get("features") != nil:
		return errorf(gridFix, "it is a list of observations or alerts, not a forecast")
	}
	return errorf(gridFix, "it has no properties")
}

const gridFix = "fetch the URL that /points/LATITUDE,LONGITUDE names as forecastGridData"

// expectGrid tells the raw grid from the service's other products.
func expectGrid(properties reply.Object) error {
	if url, ok := reply.Text(properties.Get("forecastGridData")); ok {
		return errorf("fetch "+url, "it is only the index of the place, not its forecast")
	}
	switch {
	case properties.Get("periods") != nil:
		return errorf(gridFix, "it is the worded forecast, which lacks dew point and sky cover")
	case properties.Get("stationIdentifier") != nil, properties.Get("textDescription") != nil:
		return errorf(gridFix, "it is an observation, not a forecast")
	case properties.Get("temperature") == nil:
		return errorf(gridFix, "it has no temperature layer")
	}
	return nil
}

// readHead reads place and time of issue.
func readHead(f *forecast.Forecast, top, properties reply.Object, near *forecast.Place) error {
	place, ok, err := centre(top.Get("geometry"))
	switch {
	case err != nil:
		return err
	case ok:
		f.Place = place
	case near != nil:
		f.Place = *near
		f.Warnings = append(f.Warnings, "the reply does not say where it is for: the place asked about is taken")
	default:
		return errorf("save the reply as the service sent it", "its geometry is no polygon")
	}
	if err := readElevation(f, properties.Get("elevation")); err != nil {
		return err
	}
	if wrong := reply.CheckPlace(f.Place); wrong != "" {
		return errorf(reply.Again, "%s", wrong)
	}
	text, ok := reply.Text(properties.Get("updateTime"))
	if !ok {
		return nil
	}
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return errorf(reply.Again, "updateTime is %.40q, not like \"2026-09-10T05:00:00+00:00\"", text)
	}
	f.Issued = t.UTC()
	return nil
}

func readElevation(f *forecast.Forecast, raw []byte) error {
	if raw == nil {
		return nil
	}
	var in struct {
		UnitCode string   `json:"unitCode"`
		Value    *float64 `json:"value"`
	}
	if err := unmarshal(raw, &in, "elevation"); err != nil {
		return err
	}
	if in.Value == nil {
		return nil
	}
	m, ok := reply.Metres(*in.Value, in.UnitCode)
	if !ok {
		return errorf(reply.Again, "elevation has an unknown unit: %q", in.UnitCode)
	}
	f.Place.ElevationM, f.Place.HasElevation = m, true
	return nil
}

// centre is the mean of a polygon's corners, which for a cell of 2.5 km is its
// middle; ok is false for any other geometry.
func centre(raw []byte) (p forecast.Place, ok bool, err error) {
	fields, isObject := reply.SplitObject(raw)
	if kind, _ := reply.Text(fields.Get("type")); !isObject || kind != "Polygon" {
		return p, false, nil
	}
	var rings [][][]float64
	if err := unmarshal(fields.Get("coordinates"), &rings, "geometry"); err != nil {
		return p, false, err
	}
	if len(rings) == 0 || len(rings[0]) < 4 {
		return p, false, nil
	}
	corners := rings[0][1:] // the first is repeated at the end
	for _, c := range rings[0] {
		if len(c) < 2 {
			return p, false, errorf(reply.Again, "a corner of its polygon has no longitude and latitude")
		}
	}
	var lon, lat float64
	for _, c := range corners {
		lon += math.Remainder(c[0]-corners[0][0], 360) // a cell may lie across 180°
		lat += c[1]
	}
	n := float64(len(corners))
	return forecast.Place{
		Longitude: math.Remainder(corners[0][0]+lon/n, 360), Latitude: lat / n,
	}, true, nil
}
