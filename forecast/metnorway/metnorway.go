// Package metnorway reads the replies of MET Norway's Locationforecast 2.0,
// complete or compact, live or saved, into [forecast.Forecast].
//
// The service gives instants hour by hour for some two and a half days and
// every six hours after that; amounts, probabilities and symbols follow their
// stamp. Instants are drawn straight between stamps at most six hours apart,
// but wind direction is held. A six-hour amount is spread evenly and marked by
// its span. The last stamp has instants only and gets an hour of its own that
// knows nothing of rain.
//
// There is no radiation. The UV index is that of a cloudless sky and a value at
// the stamp: it is averaged over hours both ends of which are known, and not drawn
// across longer gaps, for it follows the sun. Pressure is given at sea level
// only and is taken back to the ground where the elevation is known.
package metnorway

import (
	"time"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// service is the name in forecasts and errors.
const service = "MET Norway"

// Options says what the caller knows beforehand.
type Options struct {
	Near *forecast.Place // the place asked about, compared with the reply's; nil if unknown
}

// feature is the reply as far as it is read.
type feature struct {
	Geometry struct {
		Coordinates []float64 `json:"coordinates"` // longitude, latitude, metres
	} `json:"geometry"`
	Properties struct {
		Meta struct {
			UpdatedAt string            `json:"updated_at"`
			Units     map[string]string `json:"units"`
		} `json:"meta"`
		Timeseries []step `json:"timeseries"`
	} `json:"properties"`
}

// step is one stamp with what holds at it and after it.
type step struct {
	Time string `json:"time"`
	Data struct {
		Instant struct {
			Details details `json:"details"`
		} `json:"instant"`
		Next1 *period `json:"next_1_hours"`
		Next6 *period `json:"next_6_hours"`
	} `json:"data"`
	at int64
}

// details are values by name; nil is null.
type details map[string]*float64

// period is what holds over the hours that follow a stamp.
type period struct {
	Summary struct {
		SymbolCode string `json:"symbol_code"`
	} `json:"summary"`
	Details details `json:"details"`
}

// Parse reads a whole reply. The result is hourly in UTC.
//
// The error is a [*forecast.ReadError]: the reply is damaged, is not of this
// service, has stamps that repeat or go back, uses an unknown unit, or is for a
// place more than 100 km from the one asked about. A reply is never read in part. What is merely missing or doubtful is absent and
// stands in the forecast's Warnings.
func Parse(data []byte, opt Options) (*forecast.Forecast, error) {
	raw, bad := reply.Check(service, data)
	if bad != nil {
		return nil, bad
	}
	in, err := decode(raw)
	if err != nil {
		return nil, err
	}
	f := &forecast.Forecast{
		Service: service, Attribution: "Based on data from MET Norway",
		Licence: "NLOD 2.0 and CC BY 4.0, https://api.met.no/",
	}
	if err := in.head(f); err != nil {
		return nil, err
	}
	far, bad := reply.Far(service, opt.Near, f.Place)
	if bad != nil {
		return nil, bad
	}
	if far != "" {
		f.Warnings = append(f.Warnings, far)
	}
	b := builder{in: in, f: f, elevation: elevationOf(f.Place, opt.Near)}
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

func decode(raw []byte) (*feature, error) {
	in := new(feature)
	if bad := reply.Unmarshal(service, raw, in, ""); bad != nil {
		return nil, bad
	}
	if len(in.Properties.Timeseries) == 0 {
		return nil, errorf("save the reply of locationforecast/2.0/complete", "it has no properties.timeseries")
	}
	return in, nil
}

// head reads place, time of issue and the stamps.
func (in *feature) head(f *forecast.Forecast) error {
	c := in.Geometry.Coordinates
	if len(c) < 2 {
		return errorf("save the reply as the service sent it", "its geometry names no longitude and latitude")
	}
	f.Place = forecast.Place{Longitude: c[0], Latitude: c[1]}
	if len(c) > 2 {
		f.Place.ElevationM, f.Place.HasElevation = c[2], true
	}
	if wrong := reply.CheckPlace(f.Place); wrong != "" {
		return errorf(reply.Again, "%s", wrong)
	}
	if text := in.Properties.Meta.UpdatedAt; text != "" {
		t, err := time.Parse(time.RFC3339, text)
		if err != nil {
			return errorf(reply.Again, "updated_at is %.40q, not like \"2026-09-10T05:00:00Z\"", text)
		}
		f.Issued = t.UTC()
	}
	return in.readStamps()
}

// The longest forecast that makes sense, so that a damaged stamp cannot ask for
// endless memory. The service gives some ten days.
const longest = 60 * 24 * reply.Hour

func (in *feature) readStamps() error {
	steps := in.Properties.Timeseries
	for i := range steps {
		t, err := time.Parse(time.RFC3339, steps[i].Time)
		if err != nil || t.Unix()%reply.Hour != 0 {
			return errorf(reply.Again, "time %d is %.40q, not a whole hour like \"2026-09-10T06:00:00Z\"", i+1, steps[i].Time)
		}
		steps[i].at = t.Unix()
		if i == 0 {
			continue
		}
		switch before := steps[i-1].at; {
		case steps[i].at == before:
			return errorf(reply.Again, "the time %s is there twice", steps[i].Time)
		case steps[i].at < before:
			return errorf(reply.Again, "its times are out of order: %s comes after %s", steps[i].Time, steps[i-1].Time)
		case steps[i].at-steps[0].at > longest:
			return errorf(reply.Again, "it runs from %s to %s, more than 60 days", steps[0].Time, steps[i].Time)
		}
	}
	return nil
}

// elevationOf is the reply's own elevation, else that of the place asked about.
func elevationOf(got forecast.Place, near *forecast.Place) *float64 {
	switch {
	case got.HasElevation:
		return &got.ElevationM
	case near != nil && near.HasElevation:
		return &near.ElevationM
	}
	return nil
}
