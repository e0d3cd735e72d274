package source

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/forecast/metnorway"
	"dewgap/forecast/nws"
	"dewgap/forecast/openmeteo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	liveStart = time.Date(2026, 9, 10, 14, 40, 0, 0, time.UTC)
	liveQuay  = forecast.Place{Latitude: 43.07, Longitude: -70.74} // Otter Quay, which NWS covers
	liveFjord = forecast.Place{Latitude: 60.39, Longitude: 5.32}   // which it does not
)

// liveWorld is all services on one loopback, told apart by the path.
type liveWorld struct {
	*httptest.Server
	t      *testing.T
	fails  map[string]int // status by source name
	asked  []string       // source names, in order; of the alerts alerts keeps count
	alerts int
	now    time.Time
	cache  liveCache
}

type liveCache map[string]fetch.Entry

func (c liveCache) Get(key string) (fetch.Entry, bool, error) { e, ok := c[key]; return e, ok, nil }
func (c liveCache) Put(key string, e fetch.Entry) error       { c[key] = e; return nil }

func newLiveWorld(t *testing.T) *liveWorld {
	w := &liveWorld{t: t, fails: map[string]int{}, now: liveStart, cache: liveCache{}}
	w.Server = httptest.NewServer(w)
	t.Cleanup(w.Close)
	return w
}

func (w *liveWorld) ServeHTTP(rw http.ResponseWriter, r *http.Request) {
	name, file := "", ""
	switch path := r.URL.Path; {
	case strings.HasPrefix(path, "/points/"):
		name, file = NWS, "nws_point.json"
	case strings.HasPrefix(path, "/gridpoints/"):
		name, file = NWS, "nws_grid.json"
	case path == "/alerts/active":
		w.alerts++
		name, file = NWS+" alerts", "nws_alerts.json"
	case strings.HasPrefix(path, "/weatherapi/"):
		name, file = MetNorway, "metnorway_complete.json"
	case path == "/v1/forecast":
		name, file = OpenMeteo, "openmeteo_hourly.json"
	case path == "/v1/ensemble":
		name, file = OpenMeteoEnsemble, "openmeteo_ensemble.json"
	}
	if !strings.HasSuffix(name, " alerts") {
		w.asked = append(w.asked, name)
	}
	if status := w.fails[name]; status != 0 {
		rw.WriteHeader(status)
		return
	}
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "replies", file))
	assert.NoError(w.t, err)
	if q := r.URL.Query(); name == MetNorway { // each service answers for the place asked about
		data = bytes.Replace(data, []byte("[-70.74, 43.07, 3]"), fmt.Appendf(nil, "[%s, %s, 3]", q.Get("lon"), q.Get("lat")), 1)
	}
	_, _ = rw.Write(data)
}

// config asks the liveWorld, with a contact and without Open-Meteo unless changed.
func (w *liveWorld) config(change ...func(*Config)) Config {
	return w.as("harbour@otter-quay.example", change...)
}

func (w *liveWorld) as(contact string, change ...func(*Config)) Config {
	c, err := fetch.New(fetch.Config{Contact: contact, Wait: time.Millisecond, PerSecond: 1e6, Tries: 2, Cache: w.cache, Now: func() time.Time { return w.now }})
	require.NoError(w.t, err)
	cfg := Config{Client: c, MetNorway: metnorway.Config{BaseURL: w.URL}, NWS: nws.Config{BaseURL: w.URL}}
	for _, f := range change {
		f(&cfg)
	}
	return cfg
}

func (w *liveWorld) ownOpenMeteo(cfg *Config) { cfg.OpenMeteo = openmeteo.Config{BaseURL: w.URL} }

func liveNamed(name string) func(*Config) { return func(cfg *Config) { cfg.Name = name } }

// sources are the names asked since the last call, each once in a row.
func (w *liveWorld) sources() []string {
	names := slices.Compact(w.asked)
	w.asked = nil
	return names
}

func TestAutoByPlace(t *testing.T) {
	w := newLiveWorld(t)
	f, info, err := Fetch(context.Background(), w.config(), Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Equal(t, NWS, info.Name)
	assert.Equal(t, "NWS", f.Service)
	assert.Equal(t, []string{NWS}, w.sources())
	assert.Empty(t, info.Tried)

	f, info, err = Fetch(context.Background(), w.config(liveNamed(Auto)), Query{Place: liveFjord})
	require.NoError(t, err)
	assert.Equal(t, MetNorway, info.Name)
	assert.Equal(t, "MET Norway", f.Service)
	assert.Equal(t, []string{MetNorway}, w.sources(), "clearly abroad: NWS is not bothered")
	assert.NotContains(t, strings.Join(f.Warnings, "\n"), "NWS")
}

// TestAutoAsksNWSNearTheBorder: inside the boxes the points reply decides, and
// not being covered is no fault.
func TestAutoAsksNWSNearTheBorder(t *testing.T) {
	w := newLiveWorld(t)
	w.fails[NWS] = 404
	f, info, err := Fetch(context.Background(), w.config(), Query{Place: forecast.Place{Latitude: 44.63, Longitude: -67}})
	require.NoError(t, err)
	assert.Equal(t, MetNorway, info.Name)
	assert.Equal(t, []string{NWS, MetNorway}, w.sources())
	require.Len(t, info.Tried, 1)
	assert.ErrorIs(t, info.Tried[0].Err, nws.ErrNotCovered)
	assert.NotContains(t, strings.Join(f.Warnings, "\n"), "not to be had")
}

func TestAutoFallsBackAndSaysWhy(t *testing.T) {
	w := newLiveWorld(t)
	w.fails[NWS] = 503
	f, info, err := Fetch(context.Background(), w.config(), Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Equal(t, MetNorway, info.Name)
	require.Len(t, info.Tried, 1)
	assert.Equal(t, NWS, info.Tried[0].Name)
	said := strings.Join(f.Warnings, "\n")
	assert.Contains(t, said, "source metnorway is used because nws was not to be had: NWS")
	assert.Contains(t, said, "HTTP 503")
}

func TestAutoNeverChoosesTheFreeHost(t *testing.T) {
	w := newLiveWorld(t)
	w.fails[NWS], w.fails[MetNorway] = 503, 502
	_, _, err := Fetch(context.Background(), w.config(), Query{Place: liveQuay})
	var failed *FailedError
	require.ErrorAs(t, err, &failed)
	assert.Len(t, failed.Tried, 2)
	assert.Equal(t, []string{NWS, MetNorway}, w.sources())
	assert.Contains(t, err.Error(), "HTTP 503")
	assert.Contains(t, err.Error(), "HTTP 502")
	assert.Contains(t, failed.Fix(), "try again in some minutes")
	assert.Equal(t, 1, strings.Count(failed.Fix(), "some minutes"), "the same advice once")
	var fe *fetch.Error
	assert.ErrorAs(t, err, &fe)

	// A host or key of one's own is a choice, and comes last.
	_, info, err := Fetch(context.Background(), w.config(w.ownOpenMeteo), Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Equal(t, OpenMeteo, info.Name)
	assert.Equal(t, []string{NWS, MetNorway, OpenMeteo}, w.sources())
	order, err := w.config(func(cfg *Config) { cfg.OpenMeteo.Key = "k" }).order(liveFjord)
	require.NoError(t, err)
	assert.Equal(t, []string{MetNorway, OpenMeteo}, order)
}

func TestAutoWithoutContact(t *testing.T) {
	w := newLiveWorld(t)
	_, info, err := Fetch(context.Background(), w.as(""), Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Equal(t, NWS, info.Name)

	_, _, err = Fetch(context.Background(), w.as(""), Query{Place: liveFjord})
	var fe *fetch.Error
	require.ErrorAs(t, err, &fe, "one source, its own error")
	assert.Contains(t, fe.Fix, "DEWGAP_CONTACT")
}

func TestNamedSourceIsAskedAlone(t *testing.T) {
	for name, service := range map[string]string{NWS: "NWS", MetNorway: "MET Norway", OpenMeteo: "Open-Meteo", OpenMeteoEnsemble: "Open-Meteo"} {
		w := newLiveWorld(t)
		f, info, err := Fetch(context.Background(), w.config(w.ownOpenMeteo, liveNamed(name)), Query{Place: liveQuay, Days: 5})
		require.NoError(t, err, name)
		assert.Equal(t, service, f.Service)
		assert.Equal(t, name, info.Name)
		assert.Equal(t, []string{name}, w.sources())
		assert.Equal(t, name == OpenMeteoEnsemble, len(f.Members) > 1)

		w = newLiveWorld(t)
		w.fails[name] = 500
		_, _, err = Fetch(context.Background(), w.config(w.ownOpenMeteo, liveNamed(name)), Query{Place: liveQuay})
		assert.ErrorContains(t, err, "HTTP 500", name)
		assert.Equal(t, []string{name}, w.sources(), "no other is used unasked")
	}
}

func TestUnknownSource(t *testing.T) {
	_, _, err := Fetch(context.Background(), newLiveWorld(t).config(liveNamed("gfs")), Query{Place: liveQuay})
	require.ErrorContains(t, err, `source "gfs" is unknown`)
	for _, name := range Names() {
		assert.ErrorContains(t, err, name)
	}
	_, _, err = Fetch(context.Background(), Config{}, Query{Place: liveQuay})
	assert.ErrorContains(t, err, "no client")
}

// TestCopiesByAge: a young copy of the better source is kept to; an old one
// gives way to news of the next; where nobody answers the youngest copy is the
// answer.
func TestCopiesByAge(t *testing.T) {
	for _, c := range []struct {
		name     string
		nwsAge   time.Duration // of the copies, 0 for none
		metAge   time.Duration
		fails    []string
		used     string
		stale    bool
		says     string
		sources  []string
		failures int
	}{
		{"young copy", 2 * time.Hour, 0, []string{NWS}, NWS, true, "received 2 h ago", []string{NWS}, 0},
		{"old copy, others answer", 4 * time.Hour, 0, []string{NWS}, MetNorway, false, "because nws was not to be had", []string{NWS, MetNorway}, 1},
		{"old copy, nobody answers", 30 * time.Hour, 0, []string{NWS, MetNorway}, NWS, true, "received 30 h ago", []string{NWS, MetNorway}, 2},
		{"older copy of the better", 30 * time.Hour, 20 * time.Hour, []string{NWS, MetNorway}, MetNorway, true, "received 20 h ago", []string{NWS, MetNorway}, 2},
		{"younger copy of the better", 20 * time.Hour, 30 * time.Hour, []string{NWS, MetNorway}, NWS, true, "received 20 h ago", []string{NWS, MetNorway}, 2},
		{"copy of the other only", 0, 2 * time.Hour, []string{NWS, MetNorway}, MetNorway, true, "because nws was not to be had", []string{NWS, MetNorway}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newLiveWorld(t)
			for name, age := range map[string]time.Duration{NWS: c.nwsAge, MetNorway: c.metAge} {
				if age > 0 {
					w.now = liveStart.Add(-age)
					_, _, err := Fetch(context.Background(), w.config(liveNamed(name)), Query{Place: liveQuay})
					require.NoError(t, err)
				}
			}
			w.now = liveStart
			w.sources()
			for _, name := range c.fails {
				w.fails[name] = 503
			}
			f, info, err := Fetch(context.Background(), w.config(), Query{Place: liveQuay})
			require.NoError(t, err)
			assert.Equal(t, c.used, info.Name)
			assert.Equal(t, c.stale, info.Stale)
			assert.Equal(t, c.stale, info.Cause != nil)
			assert.Contains(t, strings.Join(f.Warnings, "\n"), c.says)
			assert.Equal(t, c.sources, w.sources())
			assert.Len(t, info.Tried, c.failures)
			assert.NotContains(t, strings.Join(f.Warnings, "\n"), "used because "+c.used)
		})
	}
}

func TestCancelStopsTheRound(t *testing.T) {
	w := newLiveWorld(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, _, err := Fetch(ctx, w.config(), Query{Place: liveQuay})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Empty(t, w.sources())
}

// TestMayCover lists harbours inside and outside the boxes (common geography).
func TestMayCover(t *testing.T) {
	for name, p := range map[string][2]float64{
		"Maine": {44.9, -67}, "Key West": {24.55, -81.8}, "San Diego": {32.7, -117.2}, "Neah Bay": {48.37, -124.6},
		"Duluth": {46.78, -92.1}, "Kodiak": {57.79, -152.4}, "Barrow": {71.3, -156.8}, "Attu": {52.9, 173.2}, "Adak": {51.87, -176.6},
		"Honolulu": {21.3, -157.87}, "San Juan": {18.46, -66.1}, "Charlotte Amalie": {18.34, -64.93}, "Apra": {13.44, 144.66},
		"Saipan": {15.2, 145.7}, "Pago Pago": {-14.28, -170.7},
	} {
		assert.True(t, mayCover(forecast.Place{Latitude: p[0], Longitude: p[1]}), name)
	}
	for name, p := range map[string][2]float64{
		"Bergen": {60.39, 5.32}, "Plymouth": {50.37, -4.14}, "Auckland": {-36.84, 174.76}, "Bermuda": {32.3, -64.8},
		"Tokyo": {35.6, 139.8}, "Suva": {-18.1, 178.4}, "Piraeus": {37.94, 23.64}, "Ensenada far south": {23.2, -106.4}, "mid-Atlantic": {40, -45},
	} {
		assert.False(t, mayCover(forecast.Place{Latitude: p[0], Longitude: p[1]}), name)
	}
}

// The warnings in force come with the forecast wherever NWS covers the place,
// also with another source's forecast; where they cannot be had, that is said.
func TestAlertsWithWhoeversForecast(t *testing.T) {
	w := newLiveWorld(t)
	f, _, err := Fetch(context.Background(), w.config(), Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Len(t, f.Alerts, 2)
	assert.Equal(t, 1, w.alerts)

	w = newLiveWorld(t)
	w.fails[NWS] = 503
	f, info, err := Fetch(context.Background(), w.config(), Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Equal(t, MetNorway, info.Name)
	assert.Len(t, f.Alerts, 2, "the grid is in trouble, the alerts are not")

	w = newLiveWorld(t)
	w.fails[NWS], w.fails[NWS+" alerts"] = 503, 500
	f, _, err = Fetch(context.Background(), w.config(), Query{Place: liveQuay})
	require.NoError(t, err)
	assert.Empty(t, f.Alerts)
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "whether warnings of the authorities are in force is not known")

	w = newLiveWorld(t)
	f, _, err = Fetch(context.Background(), w.config(), Query{Place: liveFjord})
	require.NoError(t, err)
	assert.Zero(t, w.alerts, "not covered, so not asked")
	assert.NotContains(t, strings.Join(f.Warnings, "\n"), "authorities")
}
