package nws

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
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

var (
	liveStart = time.Date(2026, 9, 10, 9, 40, 0, 0, time.UTC)
	liveQuay  = forecast.Place{Latitude: 43.07, Longitude: -70.74}
)

func liveFile(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "replies", name))
	require.NoError(t, err)
	return data
}

// liveService is a small NWS: one place, whose cell can be renumbered, and
// parts of which can be made to fail.
type liveService struct {
	*httptest.Server
	t          *testing.T
	cell       string         // "x,y" of the place's grid
	fails      map[string]int // status by beginning of the path
	paths      []string
	span       url.Values // of the last question for observations
	userAgents []string
}

func newLiveService(t *testing.T) *liveService {
	s := &liveService{t: t, cell: "12,34", fails: map[string]int{}}
	s.Server = httptest.NewServer(s)
	t.Cleanup(s.Close)
	return s
}

func (s *liveService) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	s.paths = append(s.paths, r.URL.Path)
	s.userAgents = append(s.userAgents, r.UserAgent())
	assert.Equal(s.t, "application/geo+json", r.Header.Get("Accept"))
	switch {
	case r.URL.Path == "/alerts/active":
		assert.Equal(s.t, "point=43.07,-70.74", r.URL.RawQuery)
	case strings.HasSuffix(r.URL.Path, "/observations"):
		s.span = r.URL.Query()
	default:
		assert.Empty(s.t, r.URL.RawQuery, "unknown parameters are answered 400")
	}
	for prefix, status := range s.fails {
		if strings.HasPrefix(r.URL.Path, prefix) {
			w.WriteHeader(status)
			_, _ = w.Write(liveFile(s.t, "nws_problem.json"))
			return
		}
	}
	w.Header().Set("Cache-Control", "public, max-age=3600, s-maxage=3600")
	switch r.URL.Path {
	case "/points/43.07,-70.74":
		_, _ = w.Write([]byte(strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(string(liveFile(s.t, "nws_point.json")),
			"12,34", s.cell), `"gridX": 12`, `"gridX": `+strings.Split(s.cell, ",")[0]), `"gridY": 34`, `"gridY": `+strings.Split(s.cell, ",")[1])))
	case "/gridpoints/OTQ/" + s.cell:
		_, _ = w.Write(liveFile(s.t, "nws_grid.json"))
	case "/gridpoints/OTQ/" + s.cell + "/stations":
		_, _ = w.Write(liveFile(s.t, "nws_stations.json"))
	case "/stations/KOTQ/observations":
		_, _ = w.Write(liveFile(s.t, "nws_observations.json"))
	case "/alerts/active":
		w.Header().Set("Cache-Control", "public, max-age=30")
		_, _ = w.Write(liveFile(s.t, "nws_alerts.json"))
	default:
		w.WriteHeader(http.StatusNotFound)
		_, _ = w.Write(liveFile(s.t, "nws_problem.json"))
	}
}

// asked are the paths since the last call, but for the alerts, which alertsAsked
// counts.
func (s *liveService) asked() []string {
	var paths []string
	for _, p := range s.paths {
		if p != "/alerts/active" {
			paths = append(paths, p)
		}
	}
	s.paths = nil
	return paths
}

func (s *liveService) alertsAsked() int {
	n := 0
	for _, p := range s.paths {
		if p == "/alerts/active" {
			n++
		}
	}
	return n
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

const liveContact = "harbour@otter-quay.example"

func TestFetchPointThenGrid(t *testing.T) {
	s, now := newLiveService(t), liveStart
	f, info, err := Fetch(context.Background(), liveClient(t, liveContact, nil, &now), Config{BaseURL: s.URL}, Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Equal(t, []string{"/points/43.07,-70.74", "/gridpoints/OTQ/12,34"}, s.asked(),
		"the grid is asked where the settings say, not where the points reply points")
	assert.Equal(t, "dewgap/1.2.3 (harbour@otter-quay.example)", s.userAgents[1])
	assert.Equal(t, "NWS", f.Service)
	assert.Equal(t, "America/New_York", f.Timezone, "from the points reply")
	assert.Equal(t, time.Date(2026, 9, 10, 9, 12, 44, 0, time.UTC), f.Issued, "updateTime")
	assert.Equal(t, liveStart, f.Fetched)
	assert.False(t, info.Stale)
	assert.NotContains(t, f.Warnings, NoContact)
}

func TestCoordinatesAreCutAsTheServiceWants(t *testing.T) {
	s, now := newLiveService(t), liveStart
	_, _, err := Fetch(context.Background(), liveClient(t, liveContact, nil, &now), Config{BaseURL: s.URL},
		Query{Place: forecast.Place{Latitude: 43.07000999, Longitude: -70.74000999}})
	require.NoError(t, err)
	assert.Equal(t, "/points/43.07,-70.74", s.asked()[0])
}

func TestContactIsAskedFor(t *testing.T) {
	s, now := newLiveService(t), liveStart
	f, _, err := Fetch(context.Background(), liveClient(t, "", nil, &now), Config{BaseURL: s.URL}, Query{Place: liveQuay})
	require.NoError(t, err, "only a warning")
	assert.Contains(t, f.Warnings, NoContact)
}

func TestPointIsKeptGridIsRenewed(t *testing.T) {
	s, now := newLiveService(t), liveStart
	c := liveClient(t, liveContact, liveCache{}, &now)
	fetchAt := func(after time.Duration) {
		now = liveStart.Add(after)
		_, _, err := Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
		require.NoError(t, err)
	}
	fetchAt(0)
	assert.Len(t, s.asked(), 2)
	fetchAt(59 * time.Minute)
	assert.Empty(t, s.asked(), "max-age is an hour")
	fetchAt(6 * 24 * time.Hour)
	assert.Equal(t, []string{"/gridpoints/OTQ/12,34"}, s.asked())
	fetchAt(8 * 24 * time.Hour)
	assert.Len(t, s.asked(), 2)
}

// TestRenumberedGrid: the saved cell is gone, so it is looked up once more,
// whether or not a copy of its grid is at hand.
func TestRenumberedGrid(t *testing.T) {
	for _, withCopy := range []bool{false, true} {
		s, now, cache := newLiveService(t), liveStart, liveCache{}
		c := liveClient(t, liveContact, cache, &now)
		_, _, err := Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
		require.NoError(t, err)
		if !withCopy {
			delete(cache, "NWS "+s.URL+"/gridpoints/OTQ/12,34")
		}
		s.asked()
		s.cell, now = "13,35", liveStart.Add(2*time.Hour)
		f, info, err := Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
		require.NoError(t, err)
		assert.Equal(t, []string{"/gridpoints/OTQ/12,34", "/points/43.07,-70.74", "/gridpoints/OTQ/13,35"}, s.asked())
		assert.False(t, info.Stale)
		assert.Equal(t, now, f.Fetched)

		now = now.Add(2 * time.Hour)
		_, _, err = Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
		require.NoError(t, err)
		assert.Equal(t, []string{"/gridpoints/OTQ/13,35"}, s.asked(), "and remembered")
	}
}

// TestGridGoneForGood: the cell is the same when looked up again; the copy
// stands, and without one the error does.
func TestGridGoneForGood(t *testing.T) {
	s, now, cache := newLiveService(t), liveStart, liveCache{}
	c := liveClient(t, liveContact, cache, &now)
	s.fails["/gridpoints"] = 404
	_, _, err := Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
	assert.ErrorContains(t, err, "not a valid resource path")
	assert.NotErrorIs(t, err, ErrNotCovered, "the place is covered")
	assert.Len(t, s.asked(), 3, "one point, one grid, one more look at the point")

	delete(s.fails, "/gridpoints")
	_, _, err = Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
	require.NoError(t, err)
	now = liveStart.Add(5 * time.Hour)
	s.fails["/gridpoints"] = 404
	f, info, err := Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
	require.NoError(t, err)
	assert.True(t, info.Stale)
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "received 5 h ago")

	s.cell = "99,99" // renumbered, and the new one fails too
	f, info, err = Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
	require.NoError(t, err)
	assert.True(t, info.Stale)
	assert.Equal(t, liveStart, f.Fetched)
}

func TestOutsideCoverage(t *testing.T) {
	s, now := newLiveService(t), liveStart
	c := liveClient(t, liveContact, liveCache{}, &now)
	_, _, err := Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: forecast.Place{Latitude: 44.63, Longitude: -63.57}})
	require.ErrorIs(t, err, ErrNotCovered)
	var e *fetch.Error
	require.ErrorAs(t, err, &e)
	assert.Contains(t, e.Fix, "another source")
	assert.Contains(t, e.Fix, "DEWGAP_NWS_URL", "the address may be wrong instead")
	assert.Equal(t, []string{"/points/44.63,-63.57"}, s.asked())
}

func TestPointWithoutCell(t *testing.T) {
	for _, change := range []map[string]any{{"gridId": nil}, {"gridX": -1}, {"forecastGridData": nil}} {
		var point map[string]any
		require.NoError(t, json.Unmarshal(liveFile(t, "nws_point.json"), &point))
		for k, v := range change {
			point["properties"].(map[string]any)[k] = v
		}
		data, err := json.Marshal(point)
		require.NoError(t, err)
		_, err = livePoint(data)
		var re *forecast.ReadError
		require.ErrorAs(t, err, &re)
		assert.NotEmpty(t, re.Fix)
	}
}

// TestTroubleOnTheWay: with everything saved the forecast is there whatever
// fails; without, the error names what failed.
func TestTroubleOnTheWay(t *testing.T) {
	for _, part := range []string{"/points", "/gridpoints", "/"} {
		for _, status := range []int{403, 500, 503} {
			t.Run(fmt.Sprintf("%s %d", part, status), func(t *testing.T) {
				s, now := newLiveService(t), liveStart
				s.fails[part] = status
				_, _, err := Fetch(context.Background(), liveClient(t, liveContact, liveCache{}, &now), Config{BaseURL: s.URL}, Query{Place: liveQuay})
				var e *fetch.Error
				require.ErrorAs(t, err, &e)
				assert.Equal(t, status, e.Status)
				assert.Equal(t, status == 403, strings.Contains(e.Fix, "DEWGAP_CONTACT"))

				delete(s.fails, part)
				c := liveClient(t, liveContact, liveCache{}, &now)
				_, _, err = Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
				require.NoError(t, err)
				s.fails[part] = status
				now = liveStart.Add(30 * 24 * time.Hour)
				_, info, err := Fetch(context.Background(), c, Config{BaseURL: s.URL}, Query{Place: liveQuay})
				require.NoError(t, err)
				assert.Equal(t, part != "/points", info.Stale, "an old cell still gives a new grid")
			})
		}
	}
}

func TestNowhereIsNotAsked(t *testing.T) {
	s, now := newLiveService(t), liveStart
	_, _, err := Fetch(context.Background(), liveClient(t, liveContact, nil, &now), Config{BaseURL: s.URL}, Query{Place: forecast.Place{Latitude: -91}})
	require.Error(t, err)
	assert.Empty(t, s.asked())
}

func TestDefaultAddress(t *testing.T) {
	assert.Equal(t, "https://api.weather.gov/points/1,2", Config{}.request("/points/1,2").URL)
	assert.Equal(t, "https://own.example/nws/points/1,2", Config{BaseURL: "https://own.example/nws/"}.request("/points/1,2").URL)
}
