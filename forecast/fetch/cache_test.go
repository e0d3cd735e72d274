package fetch

import (
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func headers(kv ...string) http.Header {
	h := http.Header{}
	for i := 0; i < len(kv); i += 2 {
		h.Set(kv[i], kv[i+1])
	}
	return h
}

func TestExpiry(t *testing.T) {
	const sixTen, sixFourty = "Mon, 07 Sep 2026 06:10:00 GMT", "Mon, 07 Sep 2026 06:40:00 GMT"
	for name, c := range map[string]struct {
		h    http.Header
		hold time.Duration
		want time.Duration // after morning, 05:40
	}{
		"nothing said":               {headers(), 0, 0},
		"nothing said, held":         {headers(), 10 * time.Minute, 10 * time.Minute},
		"expires by our clock":       {headers("Expires", sixTen), 0, 30 * time.Minute},
		"expires by the service's":   {headers("Expires", sixFourty, "Date", sixTen), 0, 30 * time.Minute},
		"expired already":            {headers("Expires", sixTen, "Date", sixFourty), 0, 0},
		"expires no date":            {headers("Expires", "0"), time.Minute, time.Minute},
		"max-age":                    {headers("Cache-Control", "public, max-age=120, s-maxage=999"), 0, 2 * time.Minute},
		"max-age outranks expires":   {headers("Cache-Control", "max-age=120", "Expires", sixTen), 0, 2 * time.Minute},
		"max-age less age":           {headers("Cache-Control", "Max-Age=\"120\"", "Age", "50"), 0, 70 * time.Second},
		"older than max-age":         {headers("Cache-Control", "max-age=120", "Age", "500"), 0, 0},
		"max-age no number":          {headers("Cache-Control", "max-age=x", "Expires", sixTen), 0, 30 * time.Minute},
		"hold longer than said":      {headers("Cache-Control", "max-age=60"), time.Hour, time.Hour},
		"said longer than hold":      {headers("Cache-Control", "max-age=7200"), time.Hour, 2 * time.Hour},
		"a year is not believed":     {headers("Cache-Control", "max-age=31536000"), 0, 24 * time.Hour},
		"a week's hold is":           {headers("Cache-Control", "max-age=31536000"), 7 * 24 * time.Hour, 7 * 24 * time.Hour},
		"no-cache still waits":       {headers("Cache-Control", "no-cache"), time.Minute, time.Minute},
		"as seen of MET Norway 2020": {headers("Date", "Mon, 20 Jul 2020 11:44:31 GMT", "Expires", "Mon, 20 Jul 2020 12:16:23 GMT", "Age", "0"), 0, 31*time.Minute + 52*time.Second},
	} {
		assert.Equal(t, c.want, expiry(c.h, morning, c.hold).Sub(morning), name)
	}
}

// TestExpiryIsNeverInThePastNorFarOff for any headers.
func TestExpiryIsNeverInThePastNorFarOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.String(), rapid.StringMatching(`max-age=-?[0-9]{1,20}`), rapid.StringMatching(`-?[0-9]{1,20}`),
			rapid.Just("Mon, 07 Sep 2026 06:10:00 GMT"), rapid.Just("Fri, 31 Dec 9999 23:59:59 GMT"), rapid.Just("Thu, 01 Jan 1970 00:00:00 GMT"))
		h := http.Header{}
		for _, name := range []string{"Cache-Control", "Age", "Expires", "Date", "Retry-After"} {
			h.Set(name, value.Draw(t, name))
		}
		hold := time.Duration(rapid.IntRange(0, 100).Draw(t, "hold")) * time.Hour
		life := expiry(h, morning, hold).Sub(morning)
		assert.GreaterOrEqual(t, life, hold)
		assert.LessOrEqual(t, life, max(hold, longest))
		assert.GreaterOrEqual(t, retryAfter(h, morning), time.Duration(0))
	})
}

func TestWords(t *testing.T) {
	for want, d := range map[string]time.Duration{
		"0 s": 999 * time.Millisecond, "8 s": 8 * time.Second, "40 min": 40 * time.Minute, "1 min 30 s": 90 * time.Second,
		"3 h": 3 * time.Hour, "3 h 20 min": 3*time.Hour + 20*time.Minute + 59*time.Second, "1 d 4 h": 28 * time.Hour, "2 d": 48*time.Hour + time.Minute,
	} {
		assert.Equal(t, want, Words(d))
	}
	assert.Equal(t, "0 s", Words(-time.Hour))
}

// What people set is told to the second, in no days, and what is no whole second as it is.
func TestExact(t *testing.T) {
	for want, d := range map[string]time.Duration{
		"36 h": 36 * time.Hour, "1 h 30 min": 90 * time.Minute, "5 min 1 s": 5*time.Minute + time.Second, "20 s": 20 * time.Second,
		"100 h 1 s": 100*time.Hour + time.Second, "400ms": 400 * time.Millisecond, "0s": 0, "-5s": -5 * time.Second, "1.5s": 1500 * time.Millisecond,
	} {
		assert.Equal(t, want, Exact(d))
	}
}

func TestAge(t *testing.T) {
	for want, d := range map[string]time.Duration{
		"1 min": time.Second, "40 min": 40 * time.Minute, "120 min": 2*time.Hour - time.Second, "2 h": 2 * time.Hour,
		"3 h": 2*time.Hour + time.Second, "48 h": 48*time.Hour - time.Second, "2 days": 48 * time.Hour, "3 days": 48*time.Hour + 30*time.Minute,
	} {
		assert.Equal(t, want, Age(d))
	}
	assert.Equal(t, "0 min", Age(-time.Hour))
}

func TestCoordinate(t *testing.T) {
	for want, v := range map[string]float64{
		"43.07": 43.07, "-70.74": -70.74, "59.9139": 59.91391, "10.7522": 10.75229, "-10.7522": -10.75229,
		"0": -0.00001, "90": 90, "-180": -180, "12.3": 12.3000000001, "0.0001": 0.0001,
	} {
		assert.Equal(t, want, Coordinate(v))
	}
	assert.Equal(t, "0", Coordinate(math.Copysign(0, -1)))
}

// TestCoordinateIsCut: at most four decimals, never further from zero, never
// off by a whole last place.
func TestCoordinateIsCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-180, 180).Draw(t, "degrees")
		s := Coordinate(v)
		_, decimals, _ := strings.Cut(s, ".")
		assert.LessOrEqual(t, len(decimals), 4)
		assert.False(t, strings.HasSuffix(decimals, "0"))
		got, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		assert.Less(t, math.Abs(got-v), 1.0001e-4)
		assert.LessOrEqual(t, math.Abs(got), math.Abs(v)+1e-9)
		assert.Equal(t, s, Coordinate(got), "cutting twice changes nothing")
	})
}

func TestCheckPlace(t *testing.T) {
	require.NoError(t, CheckPlace(forecast.Place{Latitude: 43.07, Longitude: -70.74}))
	require.NoError(t, CheckPlace(forecast.Place{Latitude: -90, Longitude: 180}))
	for _, p := range []forecast.Place{{Latitude: 90.1}, {Longitude: -180.1}, {Latitude: math.NaN()}, {Longitude: math.Inf(1)}} {
		var e *Error
		require.ErrorAs(t, CheckPlace(p), &e)
		assert.Equal(t, BadRequest, e.Kind)
		assert.Contains(t, e.Fix, "-90 to 90")
	}
}

func TestAddress(t *testing.T) {
	q := url.Values{"b": {"2"}, "a": {"1,2"}}
	for base, want := range map[string]string{
		"https://x.example":                      "https://x.example/v1/forecast?a=1%2C2&b=2",
		"https://x.example/":                     "https://x.example/v1/forecast?a=1%2C2&b=2",
		"https://x.example/v1":                   "https://x.example/v1/forecast?a=1%2C2&b=2",
		"https://x.example/v1/forecast/":         "https://x.example/v1/forecast?a=1%2C2&b=2",
		"https://x.example/weather":              "https://x.example/weather/v1/forecast?a=1%2C2&b=2",
		"https://x.example/behind/a/v1/forecast": "https://x.example/behind/a/v1/forecast?a=1%2C2&b=2",
	} {
		assert.Equal(t, want, Address(base, "/v1/forecast", q))
	}
	assert.Equal(t, "http://x/points/1,2", Address("http://x", "/points/1,2", nil))
}

func TestStamp(t *testing.T) {
	issued := morning.Add(-time.Hour)
	f := forecast.Forecast{Issued: issued, Warnings: []string{"first"}}
	Info{Fetched: morning, Warnings: []string{"second"}}.Stamp(&f)
	assert.Equal(t, forecast.Forecast{Issued: issued, Fetched: morning, Warnings: []string{"first", "second"}}, f)

	f = forecast.Forecast{}
	cause := &Error{Service: "NWS", Kind: Overloaded, Status: 503}
	Info{Fetched: issued, Age: time.Hour, Stale: true, Cause: cause}.Stamp(&f)
	assert.Equal(t, issued, f.Issued, "no later than received")
	require.Len(t, f.Warnings, 1)
	assert.Contains(t, f.Warnings[0], "60 min ago")
	assert.Contains(t, f.Warnings[0], "HTTP 503")
}

func TestEveryKindHasWordsAndAdvice(t *testing.T) {
	kinds := []Kind{Unidentified, BadRequest, Forbidden, NotFound, TooMany, Overloaded, Network, Timeout, Cancelled, Redirected, NotData, TooLarge, Rejected, Paused}
	assert.Len(t, phrases, len(kinds))
	assert.Len(t, fixes, len(kinds))
	for _, k := range kinds {
		assert.NotEmpty(t, phrases[k], k)
		assert.NotEmpty(t, fixes[k], k)
	}
}

// FuzzReason: a refusal of any shape gives one safe, short line.
func FuzzReason(f *testing.F) {
	for _, s := range []string{`{"error":true,"reason":"x"}`, `{"title":"t","detail":"d"}`, "<html>", "plain", `{"reason":1}`, "\xff\xfe", "[]"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		line := oneLine(reason(body))
		require.LessOrEqual(t, len([]rune(line)), 201)
		require.False(t, strings.ContainsFunc(line, func(r rune) bool { return r < ' ' || r == 0x7f || (r >= 0x80 && r < 0xa0) }))
		e := notJSON(body)
		require.True(t, e == nil || e.Kind == NotData)
	})
}
