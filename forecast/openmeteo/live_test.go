package openmeteo

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// liveNow is when the live tests ask.
var liveNow = time.Date(2026, 9, 10, 14, 30, 20, 0, time.UTC)

// liveServer answers every question with one status and body and notes it.
func liveServer(t *testing.T, status int, body []byte) (*httptest.Server, *[]*http.Request) {
	t.Helper()
	var asked []*http.Request
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked = append(asked, r)
		w.WriteHeader(status)
		_, _ = w.Write(body)
	}))
	t.Cleanup(s.Close)
	return s, &asked
}

// liveCache is a fetch.Cache in memory.
type liveCache map[string]fetch.Entry

func (c liveCache) Get(key string) (fetch.Entry, bool, error) { e, ok := c[key]; return e, ok, nil }
func (c liveCache) Put(key string, e fetch.Entry) error       { c[key] = e; return nil }

func liveClient(t *testing.T, cache fetch.Cache) *fetch.Client {
	t.Helper()
	c, err := fetch.New(fetch.Config{Now: func() time.Time { return liveNow }, Wait: time.Millisecond, PerSecond: 1e6, Cache: cache})
	require.NoError(t, err)
	return c
}

// A reply that begins before the past days that were asked for is an old one, whoever keeps
// it, and is of the day after them.
func TestFetchOfAnOldReply(t *testing.T) {
	s, _ := liveServer(t, 200, file(t, "openmeteo_hourly.json"))
	fetched := func(now time.Time, past int) *forecast.Forecast {
		c, err := fetch.New(fetch.Config{Now: func() time.Time { return now }, Wait: time.Millisecond, PerSecond: 1e6})
		require.NoError(t, err)
		f, _, err := Fetch(t.Context(), c, Config{BaseURL: s.URL}, Query{Place: quay, PastDays: past})
		require.NoError(t, err)
		assert.Equal(t, now, f.Fetched)
		return f
	}
	const day = 24 * time.Hour
	start := fetched(liveNow, 0).Start
	assert.Equal(t, start.Add(4*day), fetched(start.Add(4*day), 0).Issued)
	assert.Equal(t, start.Add(4*day), fetched(start.Add(9*day), 0).Issued)
	assert.Equal(t, start.Add(2*day), fetched(start.Add(9*day), 1).Issued)
	assert.Equal(t, start.Add(day), fetched(start.Add(9*day), -1).Issued)
	assert.Equal(t, start.Add(day-1), fetched(start.Add(day-1), -1).Issued)
}

func TestFetchSingle(t *testing.T) {
	s, asked := liveServer(t, 200, file(t, "openmeteo_hourly.json"))
	place := quay
	place.ElevationM, place.HasElevation = 2.4, true
	f, info, err := Fetch(context.Background(), liveClient(t, nil), Config{BaseURL: s.URL}, Query{Place: place})
	require.NoError(t, err)
	assert.Equal(t, "Open-Meteo", f.Service)
	assert.Equal(t, liveNow, f.Fetched)
	assert.Equal(t, liveNow, f.Issued, "the service does not say when: no later than it was received")
	assert.False(t, info.Stale)
	assert.NotContains(t, f.Warnings, NonCommercial, "a host of one's own")

	require.Len(t, *asked, 1)
	r := (*asked)[0]
	assert.Equal(t, "/v1/forecast", r.URL.Path)
	q := r.URL.Query()
	for name, want := range map[string]string{
		"latitude": "43.07", "longitude": "-70.74", "elevation": "2", "cell_selection": "nearest",
		"timezone": "auto", "timeformat": "unixtime", "wind_speed_unit": "ms", "temperature_unit": "celsius",
		"precipitation_unit": "mm", "forecast_days": "16", "past_days": "3",
	} {
		assert.Equal(t, want, q.Get(name), name)
	}
	assert.False(t, q.Has("models"), "its own choice")
	assert.False(t, q.Has("apikey"))
	hourly := strings.Split(q.Get("hourly"), ",")
	for _, name := range []string{"temperature_2m", "precipitation_probability", "direct_radiation", "uv_index", "cloud_cover_low", "wind_gusts_10m"} {
		assert.Contains(t, hourly, name)
	}
}

func TestFetchEnsemble(t *testing.T) {
	s, asked := liveServer(t, 200, file(t, "openmeteo_ensemble.json"))
	f, _, err := Fetch(context.Background(), liveClient(t, nil), Config{BaseURL: "http://127.0.0.1:1", EnsembleURL: s.URL},
		Query{Place: quay, Ensemble: true, Days: 7, PastDays: -1})
	require.NoError(t, err)
	assert.Greater(t, len(f.Members), 1)
	r := (*asked)[0]
	assert.Equal(t, "/v1/ensemble", r.URL.Path)
	q := r.URL.Query()
	assert.Equal(t, DefaultEnsembleModel, q.Get("models"))
	assert.Equal(t, "7", q.Get("forecast_days"))
	assert.Equal(t, "0", q.Get("past_days"))
	assert.NotContains(t, q.Get("hourly"), "precipitation_probability", "the members carry it")
}

// TestWhatIsAskedCanBeRead: every column asked for is one that the reader
// knows, so that nothing is fetched for nothing or under a wrong name.
func TestWhatIsAskedCanBeRead(t *testing.T) {
	hours := make([]any, 24)
	units, hourly := map[string]string{"time": "unixtime"}, map[string][]any{}
	for i := range hours {
		hours[i] = liveNow.Truncate(24 * time.Hour).Add(time.Duration(i) * time.Hour).Unix()
	}
	hourly["time"] = hours
	unit := map[string]string{
		"temperature_2m": "°C", "dew_point_2m": "°C", "surface_pressure": "hPa", "precipitation": "mm", "weather_code": "wmo code",
		"wind_speed_10m": "m/s", "wind_gusts_10m": "m/s", "wind_direction_10m": "°", "visibility": "m", "uv_index": "", "uv_index_clear_sky": "",
		"shortwave_radiation": "W/m²", "direct_radiation": "W/m²", "diffuse_radiation": "W/m²",
	}
	for _, name := range append(append([]string{}, liveHourly...), liveSingle...) {
		u, ok := unit[name]
		if !ok {
			u = "%"
		}
		units[name], hourly[name] = u, make([]any, len(hours))
		for i := range hours {
			hourly[name][i] = 1.0
			if name == "surface_pressure" {
				hourly[name][i] = 1013.0
			}
		}
	}
	f, err := Parse(liveJSON(t, map[string]any{
		"latitude": 43.07, "longitude": -70.74, "timezone": "America/New_York", "utc_offset_seconds": -14400,
		"hourly_units": units, "hourly": hourly,
	}), Options{})
	require.NoError(t, err)
	for q := range forecast.Quantity(forecast.Quantities) {
		switch q {
		case forecast.PrecipitationSpan, forecast.ThunderProbability: // not the service's
		default:
			assert.True(t, f.Members[0].Columns[q].Any(), "%s", q)
		}
	}
	assert.Len(t, units, 1+forecast.Quantities-2, "a column asked for that nobody reads")
}

func TestHostsByKeyAndKind(t *testing.T) {
	own := Config{BaseURL: "https://own.example"}
	for name, c := range map[string]struct {
		cfg      Config
		ensemble bool
		want     string
		free     bool
	}{
		"free":               {Config{}, false, FreeURL, true},
		"free ensemble":      {Config{}, true, FreeEnsembleURL, true},
		"customer":           {Config{Key: "k"}, false, CustomerURL, false},
		"customer ensemble":  {Config{Key: "k"}, true, CustomerEnsembleURL, false},
		"own":                {own, false, "https://own.example", false},
		"own for both":       {own, true, "https://own.example", false},
		"own with ensembles": {Config{BaseURL: "https://own.example", EnsembleURL: "https://e.example"}, true, "https://e.example", false},
		"free by name":       {Config{BaseURL: FreeURL}, false, FreeURL, true},
		"looks free":         {Config{BaseURL: "https://open-meteo.com.example"}, false, "https://open-meteo.com.example", false},
	} {
		address, _ := c.cfg.address(Query{Place: quay, Ensemble: c.ensemble})
		assert.True(t, strings.HasPrefix(address, c.want+"/v1/"), "%s: %s", name, address)
		assert.Equal(t, c.free, c.cfg.free(address), name)
	}
}

// TestFreeHostSaysSo goes to the free host by name, but over a loopback.
func TestFreeHostSaysSo(t *testing.T) {
	c, err := fetch.New(fetch.Config{Now: func() time.Time { return liveNow }, Transport: loopback(file(t, "openmeteo_hourly.json"))})
	require.NoError(t, err)
	f, _, err := Fetch(context.Background(), c, Config{}, Query{Place: quay})
	require.NoError(t, err)
	assert.Contains(t, f.Warnings, NonCommercial)
	f, _, err = Fetch(context.Background(), c, Config{Key: "k"}, Query{Place: quay})
	require.NoError(t, err)
	assert.NotContains(t, f.Warnings, NonCommercial)
}

func TestKeyIsHidden(t *testing.T) {
	s, asked := liveServer(t, 200, file(t, "openmeteo_hourly.json"))
	cache := liveCache{}
	cfg := Config{BaseURL: s.URL, Key: "otter-key"}
	_, _, err := Fetch(context.Background(), liveClient(t, cache), cfg, Query{Place: quay})
	require.NoError(t, err)
	assert.Equal(t, "otter-key", (*asked)[0].URL.Query().Get("apikey"))
	require.Len(t, cache, 1)
	for key, e := range cache {
		assert.NotContains(t, key+e.URL, "otter-key")
	}
	s.Close()
	_, _, err = Fetch(context.Background(), liveClient(t, nil), cfg, Query{Place: quay})
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "otter-key")
}

func TestModelsAreNamed(t *testing.T) {
	s, asked := liveServer(t, 200, file(t, "openmeteo_models.json"))
	f, err := Parse(file(t, "openmeteo_models.json"), Options{})
	require.NoError(t, err)
	got, _, err := Fetch(context.Background(), liveClient(t, nil), Config{BaseURL: s.URL, Models: []string{"dinghy_seamless", "a"}},
		Query{Place: quay, Model: f.Model})
	require.NoError(t, err)
	assert.Equal(t, "dinghy_seamless,a", (*asked)[0].URL.Query().Get("models"))
	assert.Equal(t, f.Model, got.Model)
}

// A model that is not asked for is not used, and that is said once.
func TestAModelThatIsNotAskedFor(t *testing.T) {
	for _, c := range []struct {
		models      []string
		model, want string
	}{
		{nil, "tug_global", `the model "tug_global" that was asked for is not used: the choice is Open-Meteo's own unless DEWGAP_OPENMETEO_MODELS names models`},
		{[]string{"dinghy_seamless"}, "tug_global", `the model "tug_global" that was asked for is not used: Open-Meteo was asked for dinghy_seamless alone (DEWGAP_OPENMETEO_MODELS)`},
		{[]string{"tug_global"}, "tug_global", ""},
		{nil, "", ""},
	} {
		s, _ := liveServer(t, 200, file(t, "openmeteo_hourly.json"))
		f, _, err := Fetch(context.Background(), liveClient(t, nil), Config{BaseURL: s.URL, Models: c.models}, Query{Place: quay, Model: c.model})
		require.NoError(t, err)
		said := slices.DeleteFunc(slices.Clone(f.Warnings), func(w string) bool { return !strings.Contains(w, "is not used") })
		assert.Equal(t, c.want, strings.Join(said, "; "))
	}
}

func TestDays(t *testing.T) {
	for in, want := range map[int]int{-1: 16, 0: 16, 1: 1, 16: 16, 99: 16} {
		assert.Equal(t, want, liveDays(in))
	}
	for in, want := range map[int]int{-1: 0, 0: 3, 1: 1, 92: 92, 999: 92} {
		assert.Equal(t, want, livePastDays(in))
	}
}

func TestRefusalsNameTheCure(t *testing.T) {
	for _, c := range []struct {
		status int
		reason string
		kind   fetch.Kind
		says   string
		fix    string
	}{
		{400, "No data is available for this location", fetch.BadRequest, "No data is available", "model"},
		{400, "Invalid timezone", fetch.BadRequest, "Invalid timezone", "latitude"},
		{400, "The supplied API key is invalid.", fetch.BadRequest, "API key is invalid", "DEWGAP_OPENMETEO_KEY"},
		{401, "API key required. Please add &apikey= to the URL.", fetch.Forbidden, "API key required", "DEWGAP_OPENMETEO_KEY"},
		{429, "Minutely API request limit exceeded. Please try again in one minute.", fetch.TooMany, "asks to wait 41 s", "wait that long"},
		{429, "Hourly API request limit exceeded. Please try again in the next hour.", fetch.TooMany, "asks to wait 30 min 40 s", "key of one's own"},
		{429, "Daily API request limit exceeded. Please try again tomorrow.", fetch.TooMany, "asks to wait 9 h 30 min", "another source"},
		{429, "Too many concurrent requests", fetch.TooMany, "concurrent", "another source"},
		{503, "The service is overloaded", fetch.Overloaded, "overloaded", "minutes"},
	} {
		s, asked := liveServer(t, c.status, liveJSON(t, map[string]any{"error": true, "reason": c.reason}))
		_, _, err := Fetch(context.Background(), liveClient(t, nil), Config{BaseURL: s.URL}, Query{Place: quay})
		var e *fetch.Error
		require.ErrorAs(t, err, &e)
		assert.Equal(t, c.kind, e.Kind)
		assert.Contains(t, e.Error(), c.says)
		assert.Contains(t, e.Fix, c.fix)
		if e.RetryAfter > 0 {
			assert.Len(t, *asked, 1, "not asked again before the counter is set back")
		}
	}
}

// TestHalfAReplyKeepsTheCopy: the service writes an error into the middle of a
// 200 when it fails while sending.
func TestHalfAReplyKeepsTheCopy(t *testing.T) {
	whole := file(t, "openmeteo_hourly.json")
	half := append(append([]byte{}, whole[:len(whole)/2]...), "Unexpected error while streaming data: out of range"...)
	for name, body := range map[string][]byte{
		"streaming error": half, "an error in a good status": file(t, "openmeteo_error.json"), "no hours": []byte(`{"latitude":1,"longitude":2}`),
	} {
		s, _ := liveServer(t, 200, body)
		address, _ := Config{BaseURL: s.URL}.address(Query{Place: quay})
		old := fetch.Entry{Body: whole, Fetched: liveNow.Add(-7 * time.Hour)}
		cache := liveCache{"Open-Meteo " + address: old}
		f, info, err := Fetch(context.Background(), liveClient(t, cache), Config{BaseURL: s.URL}, Query{Place: quay})
		require.NoError(t, err, name)
		assert.True(t, info.Stale)
		assert.Equal(t, 7*time.Hour, info.Age)
		assert.Equal(t, liveNow.Add(-7*time.Hour), f.Issued)
		assert.Equal(t, old, cache["Open-Meteo "+address])
		assert.Contains(t, strings.Join(f.Warnings, "\n"), "received 7 h ago")
	}
}

func TestReplyThatCannotBeUsed(t *testing.T) {
	s, _ := liveServer(t, 200, file(t, "openmeteo_error.json"))
	_, _, err := Fetch(context.Background(), liveClient(t, nil), Config{BaseURL: s.URL}, Query{Place: quay})
	var e *fetch.Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, fetch.Rejected, e.Kind)
	var re *forecast.ReadError
	require.ErrorAs(t, err, &re)
	assert.Equal(t, re.Fix, e.Fix, "the reader knows best")
}

func TestNowhereIsNotAsked(t *testing.T) {
	s, asked := liveServer(t, 200, nil)
	_, _, err := Fetch(context.Background(), liveClient(t, nil), Config{BaseURL: s.URL}, Query{Place: forecast.Place{Latitude: 91}})
	require.Error(t, err)
	assert.Empty(t, *asked)
}

// TestSameQuestionSameCopy: the address, which names the copy, does not depend
// on the moment or on a digit nobody sees.
func TestSameQuestionSameCopy(t *testing.T) {
	a, _ := Config{}.address(Query{Place: forecast.Place{Latitude: 43.07, Longitude: -70.74}})
	b, _ := Config{}.address(Query{Place: forecast.Place{Latitude: 43.070001, Longitude: -70.740002}})
	c, _ := Config{}.address(Query{Place: forecast.Place{Latitude: 43.0702, Longitude: -70.74}})
	assert.Equal(t, a, b)
	assert.NotEqual(t, a, c)
	u, err := url.Parse(a)
	require.NoError(t, err)
	assert.Equal(t, a, u.Scheme+"://"+u.Host+u.Path+"?"+u.Query().Encode(), "in one order")
}

func liveJSON(t *testing.T, v any) []byte {
	t.Helper()
	data, err := json.Marshal(v)
	require.NoError(t, err)
	return data
}

// loopback answers every request with 200 and itself.
type loopback []byte

func (b loopback) RoundTrip(r *http.Request) (*http.Response, error) {
	return &http.Response{StatusCode: http.StatusOK, Request: r, Header: http.Header{}, Body: io.NopCloser(bytes.NewReader(b))}, nil
}
