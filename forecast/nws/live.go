package nws

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
)

// DefaultURL is where the service is asked unless the settings say otherwise.
const DefaultURL = "https://api.weather.gov"

// ErrNotCovered is beneath the error for a place outside the United States and
// their territories: the service has no grid there.
var ErrNotCovered = errors.New("outside the area of the US National Weather Service")

// NoContact is what must be said where the service was asked without a contact.
const NoContact = "NWS asks programs to name a contact and may shut out those that do not: " + fetch.ContactFix

// Config says where the service is asked.
type Config struct {
	BaseURL string // "" is DefaultURL
}

// Query is what is asked.
type Query struct {
	Place forecast.Place // where
}

// Fetch looks up the grid cell of the place and asks for its raw grid, or
// takes the saved replies while they are good, and stamps the forecast with
// the time of receipt. The warnings in force for the place come with it
// ([AddAlerts]). Cells are numbered anew now and then: where the grid is
// gone, the cell is looked up once more. Errors are [*fetch.Error], with
// [ErrNotCovered] beneath where the service has no grid for the place.
func Fetch(ctx context.Context, c *fetch.Client, cfg Config, q Query) (*forecast.Forecast, fetch.Info, error) {
	if err := fetch.CheckPlace(q.Place); err != nil {
		return nil, fetch.Info{}, err
	}
	point, looked, err := cfg.point(ctx, c, q.Place, false)
	if err != nil {
		return nil, looked, err
	}
	f, info, err := cfg.grid(ctx, c, point, q.Place)
	if liveGone(info, err) {
		f, info, err = cfg.again(ctx, c, point, q.Place, f, info, err)
	}
	if err != nil {
		return nil, info, err
	}
	info.Warnings = append(looked.Warnings, info.Warnings...)
	info.Stamp(f)
	AddAlerts(ctx, c, cfg, f, q.Place, info.Cause)
	if c.Contact() == "" {
		f.Warnings = append(f.Warnings, NoContact)
	}
	return f, info, nil
}

// again looks the cell up anew and asks for its grid; what was had before
// stands if the cell is still the same or cannot be looked up.
func (cfg Config) again(ctx context.Context, c *fetch.Client, old Point, p forecast.Place,
	f *forecast.Forecast, info fetch.Info, err error) (*forecast.Forecast, fetch.Info, error) {
	point, _, lookErr := cfg.point(ctx, c, p, true)
	if lookErr != nil || (point.GridID == old.GridID && point.GridX == old.GridX && point.GridY == old.GridY) {
		return f, info, err
	}
	f2, info2, err2 := cfg.grid(ctx, c, point, p)
	if err2 != nil && err == nil {
		return f, info, nil // a stale copy of the old cell is better than nothing
	}
	return f2, info2, err2
}

// point looks up the grid cell, which seldom changes.
func (cfg Config) point(ctx context.Context, c *fetch.Client, p forecast.Place, anew bool) (Point, fetch.Info, error) {
	r := cfg.request(fmt.Sprintf("/points/%s,%s", fetch.Coordinate(p.Latitude), fetch.Coordinate(p.Longitude)))
	r.Hold, r.Anew = 7*24*time.Hour, anew
	point, info, err := fetch.Read(ctx, c, r, livePoint)
	var e *fetch.Error
	if errors.As(err, &e) && e.Kind == fetch.NotFound {
		e.Err = ErrNotCovered
		e.Fix = "choose another source: NWS covers the United States and their territories only"
		if cfg.BaseURL != "" {
			e.Fix += "; or check DEWGAP_NWS_URL, or nws.url in the settings file"
		}
	}
	return point, info, err
}

// livePoint reads a points reply whose cell can be asked for.
func livePoint(data []byte) (Point, error) {
	p, err := ParsePoint(data)
	if err == nil && (p.GridID == "" || p.GridX < 0 || p.GridY < 0) {
		return Point{}, &forecast.ReadError{Service: service, Reason: "it names no cell of a forecast grid", Fix: "choose another source for this place"}
	}
	return p, err
}

func (cfg Config) grid(ctx context.Context, c *fetch.Client, point Point, p forecast.Place) (*forecast.Forecast, fetch.Info, error) {
	// The address in the points reply is not followed: data come from where
	// the settings say, and from nowhere else.
	r := cfg.request(fmt.Sprintf("/gridpoints/%s/%d,%d", url.PathEscape(point.GridID), point.GridX, point.GridY))
	r.Hold = 15 * time.Minute
	opt := Options{Near: &p, Timezone: point.Timezone}
	return fetch.Read(ctx, c, r, func(b []byte) (*forecast.Forecast, error) { return ParseGrid(b, opt) })
}

func (cfg Config) request(path string) fetch.Request {
	base := cfg.BaseURL
	if base == "" {
		base = DefaultURL
	}
	return fetch.Request{Service: service, URL: fetch.Address(base, path, nil), Accept: "application/geo+json", Fix: liveFix}
}

// liveGone reports whether the grid is no longer there, with or without a copy
// standing in for it.
func liveGone(info fetch.Info, err error) bool {
	var e *fetch.Error
	return errors.As(err, &e) && e.Kind == fetch.NotFound ||
		errors.As(info.Cause, &e) && e.Kind == fetch.NotFound
}

// liveFix knows the service's own remedies.
func liveFix(e *fetch.Error) string {
	if e.Status == http.StatusForbidden {
		return "NWS does not accept this identification: " + fetch.ContactFix
	}
	return ""
}
