package fetch

import (
	"fmt"
	"math"
	"net/url"
	"strconv"
	"strings"

	"dewgap/forecast"
)

// Coordinate is a latitude or longitude as the services want it: cut to four
// decimals (11 m), without trailing zeros. MET Norway refuses more decimals,
// NWS redirects from more and from trailing zeros.
func Coordinate(degrees float64) string {
	const (
		scale = 1e4
		slack = 1e-6 // of the last decimal: 43.07 is not 43.0699 for want of a bit
	)
	cut := math.Trunc(degrees*scale+math.Copysign(slack, degrees)) / scale
	return strconv.FormatFloat(cut+0, 'f', -1, 64) // +0 turns −0 into 0
}

// CheckPlace refuses coordinates that are none before a service is bothered
// with them.
func CheckPlace(p forecast.Place) error {
	if !(math.Abs(p.Latitude) <= 90) || !(math.Abs(p.Longitude) <= 180) {
		return &Error{Service: "place", Kind: BadRequest, Fix: "give latitude as -90 to 90 and longitude as -180 to 180 degrees, south and west negative",
			Reason: fmt.Sprintf("latitude %g, longitude %g is nowhere on earth", p.Latitude, p.Longitude)}
	}
	return nil
}

// Address joins a service's base address and a path and query. A base that
// already ends in the path's last parts is not given them twice, so that a
// person may set either.
func Address(base, path string, query url.Values) string {
	base = strings.TrimRight(base, "/")
	parts := strings.Split(strings.Trim(path, "/"), "/")
	for n := len(parts); n > 0; n-- {
		if strings.HasSuffix(base, "/"+strings.Join(parts[:n], "/")) {
			parts = parts[n:]
			break
		}
	}
	address := base
	if len(parts) > 0 {
		address += "/" + strings.Join(parts, "/")
	}
	if len(query) > 0 {
		address += "?" + query.Encode()
	}
	return address
}
