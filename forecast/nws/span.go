package nws

import (
	"context"
	"net/url"
	"slices"
	"strconv"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/forecast/internal/reply"
)

// mostObservations is how many observations one reply holds at most, by the
// service's own limit (from memory); the newest come first.
const mostObservations = 500

// ParseObservations reads a list of observations and gives them by time; two of one
// moment stand as they came. What failed its check is not known. An observation that
// cannot be read is left out. An empty list is no error: the station was silent.
//
// The error is a [*forecast.ReadError]: the reply is damaged, an error body, no
// list, or holds nothing that can be read, for the reason of the first.
func ParseObservations(data []byte) ([]forecast.Observation, error) {
	raw, bad := reply.Check(service, data)
	if bad != nil {
		return nil, bad
	}
	features, err := featuresOf(raw, "observations")
	if err != nil {
		return nil, err
	}
	var list []forecast.Observation
	var first error
	for _, f := range features {
		o, err := oneOf(f)
		if err == nil {
			list = append(list, o)
		} else if first == nil {
			first = err
		}
	}
	if len(list) == 0 && first != nil {
		return nil, first
	}
	slices.SortStableFunc(list, func(a, b forecast.Observation) int { return a.At.Compare(b.At) })
	return list, nil
}

// oneOf reads one of a list.
func oneOf(raw []byte) (forecast.Observation, error) {
	top, ok := reply.SplitObject(raw)
	if !ok {
		return forecast.Observation{}, errorf(reply.Again, "an observation is no object")
	}
	if err := isObservation(top); err != nil {
		return forecast.Observation{}, err
	}
	return readObservation(top)
}

// ObserveSpan asks a station of the service's own list what it measured in
// [since, until], by time, empty where it was silent. The service keeps about a week
// (from memory) and sends 500 observations at most, the newest of the span. How far
// off the station is the caller knows. What is asked changes with the span, so that no
// saved copy is found again: who asks often keeps what it gives. Errors are
// [*fetch.Error].
func ObserveSpan(ctx context.Context, c *fetch.Client, cfg Config, s Station, since, until time.Time) ([]forecast.Observation, fetch.Info, error) {
	r := cfg.request("/stations/" + url.PathEscape(s.ID) + "/observations")
	r.URL += "?" + url.Values{
		"start": {since.UTC().Format(time.RFC3339)}, "end": {until.UTC().Format(time.RFC3339)}, "limit": {strconv.Itoa(mostObservations)},
	}.Encode()
	r.Part, r.Tries = "stations", 2
	all, info, err := fetch.Read(ctx, c, r, ParseObservations)
	if err != nil {
		return nil, info, err
	}
	list := make([]forecast.Observation, 0, len(all))
	for _, o := range all {
		if o.At.Before(since) || o.At.After(until) {
			continue
		}
		standAt(&o, s)
		list = append(list, o)
	}
	return list, info, nil
}
