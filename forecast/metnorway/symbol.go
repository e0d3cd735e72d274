package metnorway

import "strings"

// codes maps the service's symbols, without their _day, _night or
// _polartwilight, to the WMO code (table 4677) of the same weather: 0–3 clear to
// overcast, 45 fog, 61–65 rain, 68–69 rain and snow mixed, 71–75 snow, 80–86
// showers of the same. Thunder is told apart before.
var codes = map[string]int{
	"clearsky": 0, "fair": 1, "partlycloudy": 2, "cloudy": 3, "fog": 45,
	"lightrain": 61, "rain": 63, "heavyrain": 65,
	"lightsleet": 68, "sleet": 69, "heavysleet": 69,
	"lightsnow": 71, "snow": 73, "heavysnow": 75,
	"lightrainshowers": 80, "rainshowers": 81, "heavyrainshowers": 82,
	"lightsleetshowers": 83, "sleetshowers": 84, "heavysleetshowers": 84,
	"lightsnowshowers": 85, "snowshowers": 86, "heavysnowshowers": 86,
}

// weatherCode turns a symbol such as "lightrainshowersandthunder_day" into a
// WMO code. Every kind of thunder is 95.
func weatherCode(symbol string) (code int, ok bool) {
	name, _, _ := strings.Cut(symbol, "_")
	if strings.HasSuffix(name, "andthunder") {
		return 95, true
	}
	code, ok = codes[name]
	return code, ok
}
