package source

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/forecast/metnorway"
	"dewgap/forecast/nws"
	"dewgap/forecast/openmeteo"
)

// The sources by name, as settings and commands write them.
const (
	Auto              = "auto"               // the first that covers the place and answers
	NWS               = "nws"                // US National Weather Service
	MetNorway         = "metnorway"          // MET Norway, worldwide
	OpenMeteo         = "openmeteo"          // Open-Meteo, one forecast
	OpenMeteoEnsemble = "openmeteo-ensemble" // Open-Meteo, all members of an ensemble
)

// Names are the sources that a person may choose, Auto first.
func Names() []string { return []string{Auto, NWS, MetNorway, OpenMeteo, OpenMeteoEnsemble} }

// Config says which source is asked, how, and by what client.
type Config struct {
	Name      string // one of Names; "" is Auto
	Client    *fetch.Client
	OpenMeteo openmeteo.Config
	MetNorway metnorway.Config
	NWS       nws.Config
}

// Query is what is asked. Sources that always send everything they have
// ignore the numbers of days.
type Query struct {
	Place    forecast.Place
	Days     int    // days ahead including today, 1–16; 0 is 16
	PastDays int    // days before today; 0 is 3
	Model    string // the model to take where several are asked for
}

// Info tells where a forecast came from.
type Info struct {
	fetch.Info
	Name  string    // the source used
	Tried []Attempt // the sources that failed or had only an old copy, in order
}

// Attempt is a source that was not used.
type Attempt struct {
	Name string
	Err  error // why; nws.ErrNotCovered beneath if it has nothing for the place
}

// FailedError is that none of several sources had a forecast.
type FailedError struct {
	Tried []Attempt // in order, at least one
}

// Error names every source tried with its reason.
func (e *FailedError) Error() string {
	reasons := make([]string, len(e.Tried))
	for i, a := range e.Tried {
		reasons[i] = a.Err.Error()
	}
	return "no forecast to be had: " + strings.Join(reasons, "; ")
}

// Fix is what the person can do, source by source.
func (e *FailedError) Fix() string {
	var fixes []string
	for _, a := range e.Tried {
		fe, ok := errors.AsType[*fetch.Error](a.Err)
		if ok && !errors.Is(a.Err, nws.ErrNotCovered) && !slices.Contains(fixes, fe.Fix) {
			fixes = append(fixes, fe.Fix)
		}
	}
	return strings.Join(fixes, "; or ")
}

// Unwrap gives the reasons, for errors.Is and errors.As.
func (e *FailedError) Unwrap() []error {
	errs := make([]error, len(e.Tried))
	for i, a := range e.Tried {
		errs[i] = a.Err
	}
	return errs
}

// youngEnough is the age up to which the copy of a preferred source is taken
// without asking the next: all of them are renewed no more often than hourly,
// and a forecast of the same source stays comparable with the last answer.
const youngEnough = 3 * time.Hour

// Fetch gets a forecast. A source chosen by name is asked alone. Auto asks NWS
// where it may cover the place, then MET Norway, then Open-Meteo if the person
// has a key or an address of their own for it (its free host is for
// non-commercial use and is never chosen unasked). A source that fails is
// passed over, and the forecast's warnings say why; where all fail, the
// youngest saved copy is the answer, and without one the error is a
// [*FailedError]. The warnings in force come with the forecast wherever NWS covers
// the place, whoever made it.
func Fetch(ctx context.Context, cfg Config, q Query) (*forecast.Forecast, Info, error) {
	names, err := cfg.order(q.Place)
	if err != nil {
		return nil, Info{}, err
	}
	if len(names) == 1 {
		f, info, err := cfg.one(ctx, names[0], q)
		return f, Info{Info: info, Name: names[0]}, err
	}
	return cfg.first(ctx, names, q)
}

// order is the sources to ask, best first.
func (cfg Config) order(p forecast.Place) ([]string, error) {
	switch {
	case cfg.Name != "" && !slices.Contains(Names(), cfg.Name):
		return nil, fmt.Errorf("source %q is unknown; choose one of %s", cfg.Name, strings.Join(Names(), ", "))
	case cfg.Client == nil:
		return nil, errors.New("source: no client to fetch with")
	case cfg.Name != "" && cfg.Name != Auto:
		return []string{cfg.Name}, nil
	}
	var names []string
	if mayCover(p) {
		names = append(names, NWS)
	}
	names = append(names, MetNorway)
	if cfg.OpenMeteo.Key != "" || cfg.OpenMeteo.BaseURL != "" {
		names = append(names, OpenMeteo)
	}
	return names, nil
}

// one asks a single source.
func (cfg Config) one(ctx context.Context, name string, q Query) (*forecast.Forecast, fetch.Info, error) {
	switch name {
	case NWS:
		f, info, err := nws.Fetch(ctx, cfg.Client, cfg.NWS, nws.Query{Place: q.Place})
		return unmodelled(f, q.Model), info, err
	case MetNorway:
		f, info, err := metnorway.Fetch(ctx, cfg.Client, cfg.MetNorway, metnorway.Query{Place: q.Place})
		return unmodelled(f, q.Model), info, err
	}
	return openmeteo.Fetch(ctx, cfg.Client, cfg.OpenMeteo, openmeteo.Query{
		Place: q.Place, Days: q.Days, PastDays: q.PastDays, Model: q.Model, Ensemble: name == OpenMeteoEnsemble,
	})
}

// first asks one source after another until one has a forecast that is not too
// old, and else takes the youngest copy that came up.
func (cfg Config) first(ctx context.Context, names []string, q Query) (*forecast.Forecast, Info, error) {
	var (
		best *forecast.Forecast
		info Info
		gone []Attempt // sources passed over
	)
	for _, name := range names {
		f, got, err := cfg.one(ctx, name, q)
		if ctx.Err() != nil && err != nil {
			return nil, Info{Tried: gone}, err
		}
		if err == nil && (best == nil || got.Age < info.Age) {
			best, info = f, Info{Info: got, Name: name}
		}
		if err == nil && (!got.Stale || got.Age <= youngEnough) {
			break
		}
		gone = append(gone, Attempt{name, errors.Join(err, got.Cause)})
	}
	if best == nil {
		return nil, Info{Tried: gone}, &FailedError{gone}
	}
	info.Tried = gone
	best.Warnings = append(best.Warnings, passedOver(gone, info.Name)...)
	cfg.alerts(ctx, best, info, q.Place)
	return best, info, nil
}

// alerts puts the warnings in force on a forecast of another source than the one
// that tells of them, where that one covers the place: that its grid is not to be
// had is no reason to say nothing of a gale.
func (cfg Config) alerts(ctx context.Context, f *forecast.Forecast, info Info, p forecast.Place) {
	for _, a := range info.Tried {
		if a.Name == NWS && info.Name != NWS && !errors.Is(a.Err, nws.ErrNotCovered) {
			nws.AddAlerts(ctx, cfg.Client, cfg.NWS, f, p, a.Err)
		}
	}
}

// passedOver says why other sources than the one used were not. That a place
// lies outside a source's area is no fault and not worth a word.
func passedOver(gone []Attempt, used string) []string {
	var warnings []string
	for _, a := range gone {
		if a.Name != used && !errors.Is(a.Err, nws.ErrNotCovered) {
			warnings = append(warnings, fmt.Sprintf("source %s is used because %s was not to be had: %v", used, a.Name, a.Err))
		}
	}
	return warnings
}

// box is a span of latitude and longitude, in degrees.
type box struct{ south, north, west, east float64 }

// reach are boxes around the states and territories with their coastal waters,
// generous at the edges: NWS itself decides inside them, and outside them it
// need not be asked. Common geography, no source.
var reach = []box{
	{24, 50, -126, -66},      // the 48 states
	{51, 72.5, -180, -129},   // Alaska
	{51, 54, 172, 180},       // Aleutians west of the date line
	{18, 29, -179, -154},     // Hawaii
	{17, 19.5, -68.5, -64},   // Puerto Rico, Virgin Islands
	{13, 21, 144, 147},       // Guam, Northern Marianas
	{-15.5, -10, -172, -167}, // American Samoa
}

// mayCover reports whether NWS may have a grid for the place.
func mayCover(p forecast.Place) bool {
	return slices.ContainsFunc(reach, func(b box) bool {
		return b.south <= p.Latitude && p.Latitude <= b.north && b.west <= p.Longitude && p.Longitude <= b.east
	})
}

// Unasked is why a source is not asked where a person has named none, and what to
// do to have it asked; "" where it is.
func (cfg Config) Unasked(name string, p forecast.Place) (why, fix string) {
	const free = "its free host is for non-commercial use only, so that it is not asked unless it is chosen"
	o := cfg.OpenMeteo
	switch {
	case name == cfg.Name:
	case name == NWS && !mayCover(p):
		return "it covers the United States and their territories only", ""
	case name == OpenMeteo && o.Key == "" && o.BaseURL == "":
		return free, "choose it with --source openmeteo, or set DEWGAP_OPENMETEO_KEY or DEWGAP_OPENMETEO_URL"
	case name == OpenMeteoEnsemble && o.Key == "" && o.EnsembleURL == "":
		return free, "choose it with --source openmeteo-ensemble, or set DEWGAP_OPENMETEO_KEY or DEWGAP_OPENMETEO_ENSEMBLE_URL"
	}
	return "", ""
}
