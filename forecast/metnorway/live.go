package metnorway

import (
	"context"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
)

// DefaultURL is where the service is asked unless the settings say otherwise.
const DefaultURL = "https://api.met.no"

// Config says where the service is asked.
type Config struct {
	BaseURL string // "" is DefaultURL
}

// Query is what is asked.
type Query struct {
	Place forecast.Place // where; its elevation is sent if known
}

// Fetch asks for the complete forecast, or takes the saved one until it
// expires, and stamps it with the time of receipt. The service shuts out
// programs that give no contact, so without one nothing is sent and the error
// is of kind [fetch.Unidentified]. All errors are [*fetch.Error].
func Fetch(ctx context.Context, c *fetch.Client, cfg Config, q Query) (*forecast.Forecast, fetch.Info, error) {
	if err := fetch.CheckPlace(q.Place); err != nil {
		return nil, fetch.Info{}, err
	}
	if c.Contact() == "" {
		return nil, fetch.Info{}, &fetch.Error{Service: service, Kind: fetch.Unidentified, Fix: fetch.ContactFix}
	}
	r := fetch.Request{
		Service: service, URL: cfg.address(q.Place), Fix: liveFix,
		// Only for a reply without Expires, which would be a fault.
		Hold: 10 * time.Minute,
	}
	opt := Options{Near: &q.Place}
	f, info, err := fetch.Read(ctx, c, r, func(b []byte) (*forecast.Forecast, error) { return Parse(b, opt) })
	if err != nil {
		return nil, info, err
	}
	info.Stamp(f)
	return f, info, nil
}

func (cfg Config) address(p forecast.Place) string {
	base := cfg.BaseURL
	if base == "" {
		base = DefaultURL
	}
	v := url.Values{"lat": {fetch.Coordinate(p.Latitude)}, "lon": {fetch.Coordinate(p.Longitude)}}
	if p.HasElevation {
		v.Set("altitude", strconv.Itoa(int(math.Round(p.ElevationM))))
	}
	return fetch.Address(base, "/weatherapi/locationforecast/2.0/complete", v)
}

// liveFix knows the service's own remedies.
func liveFix(e *fetch.Error) string {
	switch {
	case e.Status == http.StatusUnprocessableEntity:
		return "MET Norway has no forecast for this place: check latitude and longitude, or choose another source"
	case e.Kind == fetch.Forbidden:
		return "MET Norway does not accept this identification: " + fetch.ContactFix
	}
	return ""
}
