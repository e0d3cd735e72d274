package job

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A forgotten minus is told by the clocks of the place: by their distance from the sun, and
// by the half of the year in which they go forward.
func TestPlace_WarnsOfAForgottenMinus(t *testing.T) {
	for _, c := range []struct {
		lat, lon float64
		zone     string
		at, want string // column of the number, and what is said of it; "" where nothing
	}{
		{43.07, -70.74, "America/New_York", "", ""},
		{43.07, 70.74, "America/New_York", "37", "the clocks of America/New_York are 10 h off the sun at longitude 70.74"},
		{-33.85, 151.25, "Australia/Sydney", "", ""},
		{33.85, 151.25, "Australia/Sydney", "19", "Australia/Sydney has its summer on the other side of the equator from latitude 33.85"},
		{35.7, -139.7, "Asia/Tokyo", "36", "the clocks of Asia/Tokyo are 6 h off the sun"},
		{-33.85, -151.25, "Australia/Sydney", "", ""}, // round the other way it is under four hours
		{50.15, 5.03, "Europe/London", "", ""},        // too near to tell
		{53.3, -6.3, "Europe/Dublin", "", ""},         // whose summer time is its standard one
		{39.5, 76, "Asia/Shanghai", "", ""},           // three hours off, by law
		{43.4, -8.4, "Europe/Madrid", "", ""},
		{64.1, -21.9, "Atlantic/Reykjavik", "", ""},
		{-13.8, -171.8, "Pacific/Apia", "", ""}, // across the date line
		{1.9, -157.4, "Pacific/Kiritimati", "", ""},
		{-33.4, -71.6, "America/Santiago", "", ""},
		{1.2, 103.8, "Asia/Singapore", "", ""},
		{-1.2, 103.8, "Asia/Singapore", "", ""}, // no summer time, and as near the equator on the other side
		{43.07, -70.74, "UTC", "", ""},
	} {
		j := parse(t, jobWith(fmt.Sprintf("place: {latitude: %g, longitude: %g, timezone: %s}", c.lat, c.lon, c.zone)))
		if c.want == "" {
			assert.Empty(t, j.Warnings, "%v", c)
			continue
		}
		require.Len(t, j.Warnings, 1, "%v", c)
		assert.Contains(t, j.Warnings[0], "job.yaml:1:"+c.at+": ")
		assert.Contains(t, j.Warnings[0], c.want)
	}
}
