package openmeteo

import (
	"context"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
)

// Where the service is asked unless the settings say otherwise. The free hosts
// take no key; the customer hosts want one.
const (
	FreeURL             = "https://api.open-meteo.com"
	FreeEnsembleURL     = "https://ensemble-api.open-meteo.com"
	CustomerURL         = "https://customer-api.open-meteo.com"
	CustomerEnsembleURL = "https://customer-ensemble-api.open-meteo.com"
)

// DefaultEnsembleModel is asked for futures where none is named: 31 members,
// the whole earth, 16 days and more, in the public domain at its source.
const DefaultEnsembleModel = "ncep_gefs_seamless"

// NonCommercial is what must be said where a free host was used without a key.
const NonCommercial = "Open-Meteo's free host is for non-commercial use only: a business needs its own openmeteo.key or openmeteo.url in the settings, or another source"

// Config says where and on whose account the service is asked.
type Config struct {
	BaseURL     string   // of /v1/forecast; "" is the free host, or the customers' if Key is set
	EnsembleURL string   // of /v1/ensemble; "" is BaseURL if that is set, else as above
	Key         string   // a customer's key, "" without; never shown nor saved
	Models      []string // as the service spells them; empty is its own choice, or DefaultEnsembleModel
}

// Query is what is asked.
type Query struct {
	Place    forecast.Place // where; its elevation is sent if known
	Days     int            // days ahead including today, 1–16; 0 is 16
	PastDays int            // days before today, 0–92; the surface needs some to settle in; 0 is 3, negative none
	Ensemble bool           // all members of an ensemble instead of one forecast
	Model    string         // the one to take if Config names several; "" lets the reader choose
}

// liveHourly are the columns asked of both interfaces.
var liveHourly = []string{
	"temperature_2m", "relative_humidity_2m", "dew_point_2m", "surface_pressure",
	"precipitation", "weather_code", "cloud_cover",
	"wind_speed_10m", "wind_gusts_10m", "wind_direction_10m",
	"shortwave_radiation", "direct_radiation", "diffuse_radiation",
	"uv_index", "uv_index_clear_sky", "visibility",
}

// liveSingle are the columns that only a single forecast has (for ensembles
// from memory: the members carry the rain's probability themselves, and cloud
// is not split by height).
var liveSingle = []string{
	"precipitation_probability", "cloud_cover_low", "cloud_cover_mid", "cloud_cover_high",
}

// Fetch asks for a forecast, or takes the saved one while it is good, and
// stamps it with the time of receipt. Errors are [*fetch.Error].
func Fetch(ctx context.Context, c *fetch.Client, cfg Config, q Query) (*forecast.Forecast, fetch.Info, error) {
	if err := fetch.CheckPlace(q.Place); err != nil {
		return nil, fetch.Info{}, err
	}
	address, models := cfg.address(q)
	r := fetch.Request{
		Service: service, URL: address, Hold: 30 * time.Minute,
		Wait: liveWait, Fix: liveFix,
	}
	if cfg.Key != "" {
		r.Secret = url.Values{"apikey": {cfg.Key}}
	}
	opt := Options{Near: &q.Place}
	if len(models) > 1 {
		opt.Model = q.Model
	}
	f, info, err := fetch.Read(ctx, c, r, func(b []byte) (*forecast.Forecast, error) { return Parse(b, opt) })
	if err != nil {
		return nil, info, err
	}
	// It does not say when it made a reply, but that was on the day after the past days that
	// were asked for: an old one handed on by somebody in between is not of today.
	if made := f.Start.Add(time.Duration(livePastDays(q.PastDays)+1) * 24 * time.Hour); made.Before(info.Fetched) {
		f.Issued = made
	}
	info.Stamp(f)
	warn(f, notAsked(q.Model, models))
	if cfg.free(address) {
		f.Warnings = append(f.Warnings, NonCommercial)
	}
	return f, info, nil
}

// notAsked says of a model that a person named that the service was not asked for it;
// "" where the reply has been read for it.
func notAsked(model string, models []string) string {
	switch {
	case model == "" || len(models) > 1 || slices.Contains(models, model):
		return ""
	case len(models) == 1:
		return fmt.Sprintf("the model %q that was asked for is not used: Open-Meteo was asked for %s alone (DEWGAP_OPENMETEO_MODELS)", model, models[0])
	}
	return fmt.Sprintf("the model %q that was asked for is not used: the choice is Open-Meteo's own unless DEWGAP_OPENMETEO_MODELS names models", model)
}

// address is the whole question without the key, and the models in it.
func (cfg Config) address(q Query) (string, []string) {
	v := url.Values{
		"latitude": {fetch.Coordinate(q.Place.Latitude)}, "longitude": {fetch.Coordinate(q.Place.Longitude)},
		// The nearest cell, not the nearest on land: a marina is neither.
		"cell_selection": {"nearest"},
		// Epoch seconds, for local stamps repeat and skip an hour twice a year.
		"timezone": {"auto"}, "timeformat": {"unixtime"},
		"wind_speed_unit": {"ms"}, "temperature_unit": {"celsius"}, "precipitation_unit": {"mm"},
		"forecast_days": {strconv.Itoa(liveDays(q.Days))}, "past_days": {strconv.Itoa(livePastDays(q.PastDays))},
	}
	if q.Place.HasElevation {
		v.Set("elevation", strconv.FormatFloat(q.Place.ElevationM, 'f', 0, 64))
	}
	hourly, models, path := liveHourly, cfg.Models, "/v1/forecast"
	if q.Ensemble {
		path = "/v1/ensemble"
		if len(models) == 0 {
			models = []string{DefaultEnsembleModel}
		}
	} else {
		hourly = append(append([]string{}, liveHourly...), liveSingle...)
	}
	v.Set("hourly", strings.Join(hourly, ","))
	if len(models) > 0 {
		v.Set("models", strings.Join(models, ","))
	}
	return fetch.Address(cfg.base(q.Ensemble), path, v), models
}

// base is the host asked.
func (cfg Config) base(ensemble bool) string {
	switch {
	case ensemble && cfg.EnsembleURL != "":
		return cfg.EnsembleURL
	case cfg.BaseURL != "":
		return cfg.BaseURL
	case ensemble && cfg.Key != "":
		return CustomerEnsembleURL
	case ensemble:
		return FreeEnsembleURL
	case cfg.Key != "":
		return CustomerURL
	}
	return FreeURL
}

// free reports whether the service's own free host is used.
func (cfg Config) free(address string) bool {
	u, err := url.Parse(address)
	return err == nil && cfg.Key == "" && strings.HasSuffix(u.Hostname(), "open-meteo.com")
}

func liveDays(n int) int {
	const most = 16
	if n <= 0 {
		return most
	}
	return min(n, most)
}

func livePastDays(n int) int {
	const usual, most = 3, 92
	if n == 0 {
		return usual
	}
	return min(max(0, n), most)
}

// liveWait reads from the words of a refusal when the counter is set back, for
// the service gives no Retry-After: on the minute, within the first minute of
// the hour, at midnight UTC.
func liveWait(reason string, now time.Time) time.Duration {
	until := func(step, slack time.Duration) time.Duration {
		return now.Truncate(step).Add(step + slack).Sub(now)
	}
	said := strings.ToLower(reason)
	switch {
	case strings.Contains(said, "minutely"):
		return until(time.Minute, time.Second)
	case strings.Contains(said, "hourly"):
		return until(time.Hour, time.Minute)
	case strings.Contains(said, "daily"):
		return until(24*time.Hour, time.Minute)
	}
	return 0
}

// liveFix knows the service's own remedies.
func liveFix(e *fetch.Error) string {
	said := strings.ToLower(e.Reason)
	switch {
	case strings.Contains(said, "api key"), e.Kind == fetch.Forbidden:
		return "check DEWGAP_OPENMETEO_KEY, or openmeteo.key in the settings file: the customers' host wants a valid key, the free host none"
	case e.Kind == fetch.BadRequest && strings.Contains(said, "no data is available"):
		return "this model does not cover the place: leave openmeteo.models empty or name another, or choose another source"
	case e.Kind == fetch.TooMany && e.RetryAfter > 0:
		return "wait that long, or choose another source meanwhile; a key of one's own raises the limit"
	}
	return ""
}
