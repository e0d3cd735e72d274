// Package source turns the replies of any open service into a
// [forecast.Forecast]: saved ones, told apart by their content ([Read]), and
// live ones, from the service chosen or from the first that covers the place.
package source

import (
	"fmt"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
	"dewgap/forecast/metnorway"
	"dewgap/forecast/nws"
	"dewgap/forecast/openmeteo"
)

// Options says what to take from a reply that holds more than one answer.
type Options struct {
	Near  *forecast.Place // the place asked about; nil if unknown
	Model string          // the model to take when the reply holds several; "" lets the reader choose
}

// Read reads a saved reply of any service that dewgap knows, told apart by its
// content: Open-Meteo (a forecast, an ensemble or an array of places), MET
// Norway Locationforecast, the raw grid of NWS.
//
// The error is a [*forecast.ReadError] whose Service is "" where the reply is
// of no service that dewgap knows.
func Read(data []byte, opt Options) (*forecast.Forecast, error) {
	r, err := Check(data)
	if err != nil {
		return nil, err
	}
	return r.Forecast(opt)
}

// Reply is a saved reply that is sound JSON.
type Reply struct {
	raw []byte
	of  kind
}

// Check is the first half of [Read], for which the place need not be known.
func Check(data []byte) (Reply, error) {
	raw, bad := reply.Check("", data)
	if bad != nil {
		return Reply{}, bad
	}
	return Reply{raw, serviceOf(raw)}, nil
}

// Forecast is the other half.
func (r Reply) Forecast(opt Options) (*forecast.Forecast, error) {
	switch r.of {
	case openMeteo:
		return openmeteo.ParseValid(r.raw, openmeteo.Options{Near: opt.Near, Model: opt.Model})
	case metNorway:
		f, err := metnorway.Parse(r.raw, metnorway.Options{Near: opt.Near})
		return unmodelled(f, opt.Model), err
	case usNWS:
		f, err := nws.ParseGrid(r.raw, nws.Options{Near: opt.Near})
		return unmodelled(f, opt.Model), err
	}
	return nil, reply.Errorf("", "save a whole reply of Open-Meteo, of MET Norway Locationforecast or of the NWS raw grid",
		"it is of no service that dewgap knows")
}

// unmodelled warns on a forecast of a service that has no models to choose from that
// the one asked for is not used.
func unmodelled(f *forecast.Forecast, asked string) *forecast.Forecast {
	if f != nil && asked != "" {
		f.Warnings = append(f.Warnings, fmt.Sprintf("the model %q that was asked for is not used: %s gives one forecast of its own", asked, f.Service))
	}
	return f
}

// kind is a service, told by its content.
type kind uint8

const (
	stranger kind = iota
	openMeteo
	metNorway
	usNWS
)

// serviceOf tells the services apart by keys that only one of them has.
func serviceOf(raw []byte) kind {
	if elements, isArray := reply.SplitArray(raw); isArray {
		if len(elements) == 0 || elements[0][0] != '{' || serviceOf(elements[0]) != openMeteo {
			return stranger
		}
		return openMeteo
	}
	top, _ := reply.SplitObject(raw)
	if properties, ok := reply.SplitObject(top.Get("properties")); ok {
		if properties.Get("timeseries") != nil {
			return metNorway
		}
		return usNWS
	}
	switch {
	case string(top.Get("error")) == "true" && top.Get("reason") != nil:
		return openMeteo
	case top.Get("latitude") != nil && top.Get("longitude") != nil:
		return openMeteo
	case top.Get("features") != nil, top.Get("title") != nil && top.Get("status") != nil:
		return usNWS
	}
	return stranger
}
