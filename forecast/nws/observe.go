package nws

import (
	"context"
	"fmt"
	"net/url"
	"strings"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/forecast/internal/reply"
)

// Station is a place where the weather is measured.
type Station struct {
	ID    string // "KOTQ"
	Name  string // "" if not said
	Place forecast.Place
}

// ParseStations reads a list of stations, which the service sorts by distance.
// Those without an identifier or a place are left out. The error is a
// [*forecast.ReadError].
func ParseStations(data []byte) ([]Station, error) {
	raw, bad := reply.Check(service, data)
	if bad != nil {
		return nil, bad
	}
	features, err := featuresOf(raw, "stations")
	if err != nil {
		return nil, err
	}
	var list []Station
	for _, f := range features {
		top, _ := reply.SplitObject(f)
		var in struct {
			ID        string   `json:"stationIdentifier"`
			Name      string   `json:"name"`
			Elevation *measure `json:"elevation"`
		}
		place, ok := pointOf(top.Get("geometry"))
		if !ok || top.Get("properties") == nil || unmarshal(top.Get("properties"), &in, "properties") != nil || in.ID == "" {
			continue
		}
		place.ElevationM, place.HasElevation = in.Elevation.metres()
		list = append(list, Station{ID: words(in.ID, 20), Name: words(in.Name, 80), Place: place})
	}
	return list, nil
}

// pointOf reads a geometry that is a point on earth.
func pointOf(raw []byte) (p forecast.Place, ok bool) {
	fields, _ := reply.SplitObject(raw)
	if kind, _ := reply.Text(fields.Get("type")); kind != "Point" {
		return p, false
	}
	var c []float64
	if unmarshal(fields.Get("coordinates"), &c, "geometry") != nil || len(c) < 2 {
		return p, false
	}
	p = forecast.Place{Longitude: c[0], Latitude: c[1]}
	return p, reply.CheckPlace(p) == ""
}

// measure is a value as the service writes it.
type measure struct {
	Unit    string   `json:"unitCode"`
	Value   *float64 `json:"value"`
	Quality string   `json:"qualityControl"`
}

func (m *measure) metres() (float64, bool) {
	if m == nil || m.Value == nil {
		return 0, false
	}
	return reply.Metres(*m.Value, m.Unit)
}

// The marks of quality control (MADIS summary flags, from memory): what failed
// is not used, what was not looked at is used and said to be so.
const (
	failedMarks    = "XQB" // rejected, questioned, by hand found bad
	uncheckedMarks = "Z"   // preliminary, no check was made
)

// observationIn is what is read of an observation.
type observationIn struct {
	Station   string   `json:"station"`
	Timestamp string   `json:"timestamp"`
	Raw       string   `json:"rawMessage"`
	Elevation *measure `json:"elevation"`
	Air       *measure `json:"temperature"`
	DewPoint  *measure `json:"dewpoint"`
	Humidity  *measure `json:"relativeHumidity"`
	Wind      *measure `json:"windSpeed"`
	WindFrom  *measure `json:"windDirection"`
	Gust      *measure `json:"windGust"`
	Altimeter *measure `json:"barometricPressure"`
}

// readObservation reads one observation. What failed its check is not known, and a
// flag says so; what the service left out although the station's own message (METAR)
// has it is read from there.
//
// The service's barometric pressure is the altimeter setting (it agrees with the
// A group of the messages); it is taken back to the ground by the station's
// elevation and is not known without one.
func readObservation(top reply.Object) (forecast.Observation, error) {
	var none forecast.Observation
	var in observationIn
	if err := unmarshal(top.Get("properties"), &in, "properties"); err != nil {
		return none, err
	}
	at, bad := time.Parse(time.RFC3339, in.Timestamp)
	if bad != nil {
		return none, errorf(reply.Again, "its timestamp is %.40q, not like \"2026-09-10T12:53:00+00:00\"", in.Timestamp)
	}
	o := forecast.Observation{Station: words(in.Station[strings.LastIndexByte(in.Station, '/')+1:], 20), At: at.UTC()}
	if place, ok := pointOf(top.Get("geometry")); ok {
		o.Place = place
		o.Place.ElevationM, o.Place.HasElevation = in.Elevation.metres()
	}
	if err := in.fill(&o); err != nil {
		return none, err
	}
	fillFromMessage(&o, in.Raw)
	return o, nil
}

// isObservation is nil for what has a time of measurement.
func isObservation(top reply.Object) error {
	properties, ok := reply.SplitObject(top.Get("properties"))
	switch {
	case !ok:
		return refused(top)
	case properties.Get("timestamp") == nil:
		return errorf("ask /stations/STATION/observations", "it is no observation")
	}
	return nil
}

// fill takes the values over into our units.
func (in *observationIn) fill(o *forecast.Observation) error {
	for _, x := range []struct {
		name string
		m    *measure
		q    forecast.Quantity
		to   *forecast.Measured
	}{
		{"air temperature", in.Air, forecast.AirTemperature, &o.Air},
		{"dew point", in.DewPoint, forecast.DewPoint, &o.DewPoint},
		{"humidity", in.Humidity, forecast.Humidity, &o.Humidity},
		{"wind", in.Wind, forecast.WindSpeed, &o.Wind},
		{"wind direction", in.WindFrom, forecast.WindFrom, &o.WindFrom},
		{"gust", in.Gust, forecast.Gust, &o.Gust},
		{"pressure", in.Altimeter, forecast.Pressure, &o.Pressure},
	} {
		flag, err := x.m.into(x.to, x.name, x.q)
		if err != nil {
			return err
		}
		if flag != "" {
			o.Flags = append(o.Flags, flag)
		}
	}
	if o.Pressure.Known {
		o.Pressure = grounded(o.Pressure.V, o)
	}
	return nil
}

// into converts one value; flag is what speaks against it.
func (m *measure) into(to *forecast.Measured, name string, q forecast.Quantity) (flag string, err error) {
	if m == nil || m.Value == nil {
		return "", nil
	}
	unit, ok := reply.Unit(q, m.Unit)
	if !ok {
		return "", errorf(reply.Again, "%s has an unknown unit: %.40q", name, m.Unit)
	}
	if m.Quality != "" && strings.Contains(failedMarks, m.Quality) {
		return name + " failed its check (" + m.Quality + ") and is not used", nil
	}
	v, ok := reply.Possible(q, unit.Of(*m.Value))
	if !ok {
		return fmt.Sprintf("%s cannot be %g and is not used", name, *m.Value), nil
	}
	*to = forecast.Measured{V: v, Known: true}
	if m.Quality == "" || strings.Contains(uncheckedMarks, m.Quality) {
		flag = name + " was not checked"
	}
	return flag, nil
}

// grounded takes an altimeter setting back to the station's ground.
func grounded(setting float64, o *forecast.Observation) forecast.Measured {
	if !o.Place.HasElevation {
		o.Flags = append(o.Flags, "pressure is not used, for the station's elevation is not known")
		return forecast.Measured{}
	}
	return forecast.Measured{V: reply.GroundPressure(setting, o.Place.ElevationM), Known: true}
}

// Stations lists the stations of a place, nearest first, however far off they are.
// Errors are [*fetch.Error], with [ErrNotCovered] beneath where the service has
// nothing for the place.
func Stations(ctx context.Context, c *fetch.Client, cfg Config, p forecast.Place) ([]Station, fetch.Info, error) {
	if err := fetch.CheckPlace(p); err != nil {
		return nil, fetch.Info{}, err
	}
	point, info, err := cfg.point(ctx, c, p, false)
	if err != nil {
		return nil, info, err
	}
	r := cfg.request(fmt.Sprintf("/gridpoints/%s/%d,%d/stations", url.PathEscape(point.GridID), point.GridX, point.GridY))
	r.Hold, r.Part = 7*24*time.Hour, "stations"
	return fetch.Read(ctx, c, r, ParseStations)
}

// standAt completes an observation by what the list says of its station.
func standAt(o *forecast.Observation, s Station) {
	if !o.Place.HasElevation && s.Place.HasElevation || o.Place == (forecast.Place{}) {
		o.Place = s.Place
	}
	if o.Station == "" {
		o.Station = s.ID
	}
}
