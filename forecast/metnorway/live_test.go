package metnorway

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const liveContact = "harbour@otter-quay.example"

// liveStart is when the live tests begin to ask.
var liveStart = time.Date(2026, 9, 10, 14, 40, 0, 0, time.UTC)

// liveQuay is the invented place of the replies in testdata.
var liveQuay = forecast.Place{Latitude: 43.07, Longitude: -70.74, ElevationM: 2.6, HasElevation: true}

func liveReply(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "replies", "metnorway_complete.json"))
	require.NoError(t, err)
	return data
}

// liveServer answers by handler and notes what it is asked.
func liveServer(t *testing.T, handler func(w http.ResponseWriter, r *http.Request, n int)) (*httptest.Server, *[]*http.Request) {
	t.Helper()
	var asked []*http.Request
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked = append(asked, r)
		handler(w, r, len(asked))
	}))
	t.Cleanup(s.Close)
	return s, &asked
}

// liveCache is a fetch.Cache in memory.
type liveCache map[string]fetch.Entry

func (c liveCache) Get(key string) (fetch.Entry, bool, error) { e, ok := c[key]; return e, ok, nil }
func (c liveCache) Put(key string, e fetch.Entry) error       { c[key] = e; return nil }

func liveClient(t *testing.T, contact string, cache fetch.Cache, now *time.Time) *fetch.Client {
	t.Helper()
	c, err := fetch.New(fetch.Config{Version: "1.2.3", Contact: contact, Cache: cache, Wait: time.Millisecond, PerSecond: 1e6,
		Now: func() time.Time { return *now }})
	require.NoError(t, err)
	return c
}

func TestFetchComplete(t *testing.T) {
	s, asked := liveServer(t, func(w http.ResponseWriter, _ *http.Request, _ int) { _, _ = w.Write(liveReply(t)) })
	now := liveStart
	f, info, err := Fetch(context.Background(), liveClient(t, liveContact, nil, &now), Config{BaseURL: s.URL}, Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Equal(t, "MET Norway", f.Service)
	assert.Equal(t, time.Date(2026, 9, 10, 14, 31, 7, 0, time.UTC), f.Issued, "updated_at of the reply")
	assert.Equal(t, liveStart, f.Fetched)
	assert.False(t, info.FromCache)

	require.Len(t, *asked, 1)
	r := (*asked)[0]
	assert.Equal(t, "/weatherapi/locationforecast/2.0/complete", r.URL.Path)
	assert.Equal(t, "altitude=3&lat=43.07&lon=-70.74", r.URL.RawQuery)
	assert.Equal(t, "dewgap/1.2.3 (harbour@otter-quay.example)", r.Header.Get("User-Agent"))
	assert.Equal(t, "gzip", r.Header.Get("Accept-Encoding"))
}

// TestAddressKeepsTheServicesRules: at most four decimals, a whole altitude or
// none (the service's terms: more decimals are answered 403).
func TestAddressKeepsTheServicesRules(t *testing.T) {
	for want, p := range map[string]forecast.Place{
		DefaultURL + "/weatherapi/locationforecast/2.0/complete?lat=59.9139&lon=10.7522":            {Latitude: 59.91399, Longitude: 10.75229},
		DefaultURL + "/weatherapi/locationforecast/2.0/complete?altitude=-3&lat=52.3&lon=4.9":       {Latitude: 52.3, Longitude: 4.9, ElevationM: -2.7, HasElevation: true},
		DefaultURL + "/weatherapi/locationforecast/2.0/complete?altitude=0&lat=-27.4444&lon=153.11": {Latitude: -27.44449, Longitude: 153.11, HasElevation: true},
	} {
		assert.Equal(t, want, Config{}.address(p))
	}
	for _, base := range []string{"https://own.example", "https://own.example/", "https://own.example/weatherapi/locationforecast/2.0", "https://own.example/weatherapi/locationforecast/2.0/complete"} {
		assert.Equal(t, "https://own.example/weatherapi/locationforecast/2.0/complete?lat=43.07&lon=-70.74",
			Config{BaseURL: base}.address(forecast.Place{Latitude: 43.07, Longitude: -70.74}))
	}
}

func TestNothingIsSentWithoutContact(t *testing.T) {
	s, asked := liveServer(t, func(w http.ResponseWriter, _ *http.Request, _ int) { _, _ = w.Write(liveReply(t)) })
	now := liveStart
	_, _, err := Fetch(context.Background(), liveClient(t, "", nil, &now), Config{BaseURL: s.URL}, Query{Place: liveQuay})
	var e *fetch.Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, fetch.Unidentified, e.Kind)
	assert.Equal(t, "MET Norway: a contact is needed before it may be asked", e.Error())
	assert.Contains(t, e.Fix, "DEWGAP_CONTACT")
	assert.Contains(t, e.Fix, "contact in the settings file")
	assert.Empty(t, *asked)
}

// TestExpiresAndNotModified follows the service's terms through a morning: no
// question before Expires, then Last-Modified back verbatim, and a 304 keeps
// the copy.
func TestExpiresAndNotModified(t *testing.T) {
	const modified = "Thu, 10 Sep 2026 14:31:07 GMT"
	now := liveStart
	s, asked := liveServer(t, func(w http.ResponseWriter, r *http.Request, n int) {
		w.Header().Set("Date", now.Format(http.TimeFormat))
		w.Header().Set("Expires", now.Add(31*time.Minute).Format(http.TimeFormat))
		w.Header().Set("Last-Modified", modified)
		if r.Header.Get("If-Modified-Since") == modified {
			w.WriteHeader(http.StatusNotModified)
			return
		}
		_, _ = w.Write(liveReply(t))
	})
	c := liveClient(t, liveContact, liveCache{}, &now)
	for _, step := range []struct {
		after     time.Duration
		questions int
		fromCache bool
	}{{0, 1, false}, {30 * time.Minute, 1, true}, {31 * time.Minute, 2, true}, {61 * time.Minute, 2, true}, {62 * time.Minute, 3, true}} {
		now = liveStart.Add(step.after)
		f, info, err := Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
		require.NoError(t, err)
		assert.Len(t, *asked, step.questions, step.after)
		assert.Equal(t, step.fromCache, info.FromCache, step.after)
		assert.False(t, info.Stale)
		assert.Equal(t, liveStart, f.Fetched)
	}
	assert.Equal(t, modified, (*asked)[2].Header.Get("If-Modified-Since"))
}

func TestRefusalsNameTheCure(t *testing.T) {
	for status, c := range map[int]struct {
		kind fetch.Kind
		fix  string
	}{
		400: {fetch.BadRequest, "latitude"}, 403: {fetch.Forbidden, "MET Norway does not accept this identification: set DEWGAP_CONTACT"},
		404: {fetch.NotFound, "address"}, 422: {fetch.BadRequest, "no forecast for this place"},
		429: {fetch.TooMany, "another source"}, 499: {fetch.BadRequest, "latitude"}, 502: {fetch.Overloaded, "minutes"},
	} {
		s, _ := liveServer(t, func(w http.ResponseWriter, _ *http.Request, _ int) {
			w.WriteHeader(status)
			_, _ = w.Write([]byte("<html>no</html>"))
		})
		now := liveStart
		_, _, err := Fetch(context.Background(), liveClient(t, liveContact, nil, &now), Config{BaseURL: s.URL}, Query{Place: liveQuay})
		var e *fetch.Error
		require.ErrorAs(t, err, &e)
		assert.Equal(t, c.kind, e.Kind, status)
		assert.Contains(t, e.Fix, c.fix)
		assert.NotContains(t, e.Error(), "<")
	}
}

func TestTrialVersionIsSaid(t *testing.T) {
	s, _ := liveServer(t, func(w http.ResponseWriter, _ *http.Request, _ int) {
		w.WriteHeader(http.StatusNonAuthoritativeInfo)
		_, _ = w.Write(liveReply(t))
	})
	now := liveStart
	f, _, err := Fetch(context.Background(), liveClient(t, liveContact, nil, &now), Config{BaseURL: s.URL}, Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "203")
}

func TestCutReplyKeepsTheCopy(t *testing.T) {
	good := liveReply(t)
	s, _ := liveServer(t, func(w http.ResponseWriter, _ *http.Request, _ int) { _, _ = w.Write(good[:len(good)/2]) })
	cfg := Config{BaseURL: s.URL}
	old := fetch.Entry{Body: good, Fetched: liveStart.Add(-26 * time.Hour)}
	cache := liveCache{"MET Norway " + cfg.address(liveQuay): old}
	now := liveStart
	f, info, err := Fetch(context.Background(), liveClient(t, liveContact, cache, &now), cfg, Query{Place: liveQuay})
	require.NoError(t, err)
	assert.True(t, info.Stale)
	assert.Equal(t, old, cache["MET Norway "+cfg.address(liveQuay)])
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "received 26 h ago")
}

func TestNowhereIsNotAsked(t *testing.T) {
	now := liveStart
	_, _, err := Fetch(context.Background(), liveClient(t, liveContact, nil, &now), Config{BaseURL: "http://127.0.0.1:1"}, Query{Place: forecast.Place{Longitude: 181}})
	assert.ErrorContains(t, err, "nowhere on earth")
}
