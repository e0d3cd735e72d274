package nws

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/forecast/internal/reply"
)

// ParseAlerts reads an answer of /alerts/active: what is warned of in earnest,
// gravest first, without exercises, tests, what was called off, what a later message
// of the answer replaces, and a second language of the same. One alert that cannot be
// read takes none of the others with it: unread counts them.
//
// The error is a [*forecast.ReadError]: the reply is damaged, an error body, or
// no list.
func ParseAlerts(data []byte) (list []forecast.Alert, unread int, err error) {
	raw, bad := reply.Check(service, data)
	if bad != nil {
		return nil, 0, bad
	}
	features, err := featuresOf(raw, "alerts")
	if err != nil {
		return nil, 0, err
	}
	var all []alertIn
	for _, f := range features {
		top, _ := reply.SplitObject(f)
		var in alertIn
		if top.Get("properties") == nil || unmarshal(top.Get("properties"), &in, "properties") != nil || words(in.Event, 80) == "" {
			unread++
			continue
		}
		all = append(all, in)
	}
	for _, in := range standing(all) {
		if a := in.alert(); !slices.Contains(list, a) {
			list = append(list, a)
		}
	}
	slices.SortStableFunc(list, func(a, b forecast.Alert) int {
		return cmp.Or(gravity(a.Severity)-gravity(b.Severity), a.From.Compare(b.From))
	})
	return list, unread, nil
}

// featuresOf splits a list of things at places; what names them in the error.
func featuresOf(raw []byte, what string) ([][]byte, error) {
	top, ok := reply.SplitObject(raw)
	if !ok {
		return nil, errorf(reply.Again, "it is %.20q, not an object", raw)
	}
	features, ok := reply.SplitArray(top.Get("features"))
	if !ok {
		if title, _ := reply.Text(top.Get("title")); title != "" && top.Get("status") != nil {
			return nil, refused(top)
		}
		return nil, errorf(reply.Again, "it is no list of %s", what)
	}
	return features, nil
}

// words makes the authority's words safe to show: one line, no control
// characters, at most so many letters.
func words(s string, most int) string {
	s = strings.Join(strings.FieldsFunc(strings.ToValidUTF8(s, "?"), func(r rune) bool {
		return r <= ' ' || r == 0x7f || (r >= 0x80 && r < 0xa0)
	}), " ")
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return s
}

// severities are the grades, gravest first; one that is not known stands before
// the two lesser ones.
var severities = []forecast.Severity{forecast.Extreme, forecast.Severe, forecast.SeverityUnknown, forecast.Moderate, forecast.Minor}

func severity(text string) forecast.Severity {
	s := forecast.Severity(strings.ToLower(text))
	if slices.Contains(severities, s) {
		return s
	}
	return forecast.SeverityUnknown
}

func gravity(s forecast.Severity) int { return slices.Index(severities, s) }

// alertsHold is how long an answer is good at least, though the service says
// less: what is done in ten-minute slots is not helped by asking more often.
// Common practice, no source.
const alertsHold = 5 * time.Minute

// AddAlerts puts the warnings in force at a place on a forecast. That they
// cannot be had is never a failure, but always a warning on the forecast, so
// that no alert is not taken for none in force. trouble is why the service did
// not answer just before, nil if it did: where nothing came back at all it is
// not asked again, and the copy is all there is.
func AddAlerts(ctx context.Context, c *fetch.Client, cfg Config, f *forecast.Forecast, p forecast.Place, trouble error) {
	r := cfg.request("/alerts/active")
	// The comma stands as it is: the service knows the place by its very text.
	r.URL += fmt.Sprintf("?point=%s,%s", fetch.Coordinate(p.Latitude), fetch.Coordinate(p.Longitude))
	r.Hold, r.Part, r.Tries = alertsHold, "alerts", 2
	r.Check = func(b []byte) error { _, _, err := ParseAlerts(b); return err }
	res, err := askOrRecall(ctx, c, r, trouble)
	if err != nil {
		f.Warnings = append(f.Warnings, fmt.Sprintf("whether warnings of the authorities are in force is not known: %v", err))
		return
	}
	list, unread, err := ParseAlerts(res.Body)
	if err != nil { // it was checked
		f.Warnings = append(f.Warnings, fmt.Sprintf("whether warnings of the authorities are in force is not known: %v", err))
		return
	}
	f.Alerts = append(f.Alerts, list...)
	if unread > 0 {
		f.Warnings = append(f.Warnings, fmt.Sprintf("%d warnings of the authorities could not be read: see weather.gov", unread))
	}
	if res.Stale {
		f.Warnings = append(f.Warnings, fmt.Sprintf("the warnings of the authorities are those of %s ago, newer ones may be in force: %v",
			fetch.Age(res.Age), res.Cause))
	}
}

// askOrRecall asks, unless the service was silent just before.
func askOrRecall(ctx context.Context, c *fetch.Client, r fetch.Request, trouble error) (*fetch.Result, error) {
	e, ok := errors.AsType[*fetch.Error](trouble)
	if !ok || !silent(e.Kind) {
		return c.Get(ctx, r)
	}
	res, ok := c.Saved(r)
	if !ok {
		return nil, trouble
	}
	res.Cause = trouble
	return res, nil
}

// silent reports that nothing came back: asking for more would only take long.
func silent(k fetch.Kind) bool {
	return k == fetch.Network || k == fetch.Timeout || k == fetch.Paused || k == fetch.Cancelled
}
