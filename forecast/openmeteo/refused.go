package openmeteo

import "strings"

// adviceFor says what to do about an error body, by its reason text; the
// service has no other code for it.
func adviceFor(reason string) string {
	r := strings.ToLower(reason)
	switch {
	case strings.Contains(r, "limit exceeded"), strings.Contains(r, "concurrent"):
		return "wait as long as the reason says, then fetch again; a saved reply serves meanwhile"
	case strings.Contains(r, "overloaded"), strings.Contains(r, "went wrong"):
		return "fetch again in some minutes; a saved reply serves meanwhile"
	case strings.Contains(r, "api key"), strings.Contains(r, "apikey"):
		return "check the key, or leave it out to use the free host"
	case strings.Contains(r, "no data is available"):
		return "ask for another model, or for a point a few km away"
	}
	return "mend the request that the reason names and fetch again"
}

// shareAlike reports whether a model's data oblige whoever passes them on to
// use the same licence.
func shareAlike(model string) bool { return strings.HasPrefix(model, "ukmo_") }
