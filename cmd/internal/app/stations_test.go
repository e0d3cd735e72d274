package app_test

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast"
	"dewgap/forecast/ensemble"
	"dewgap/forecast/fetch"
	"dewgap/forecast/fetch/fetchtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stationService is a small NWS on the loopback: the index of the place, its one
// station, and what that measured.
type stationService struct {
	*httptest.Server
	stations     []byte
	observations []byte
	fails        map[string]int // status by a part of the path
	paths        []string
}

// newStationService has a station that measures from Monday six o'clock on, hour by hour,
// 2 K more than the fair weather that it knows.
func newStationService(t testing.TB, hours int) *stationService {
	w := fetchtest.OtterQuay(at(t, monday))
	var times []time.Time
	for i := range hours {
		times = append(times, at(t, monday).Add(time.Duration(i+1)*time.Hour))
	}
	s := &stationService{stations: w.NWSStations(), observations: w.NWSObservations(2, times...), fails: map[string]int{}}
	s.Server = httptest.NewServer(http.HandlerFunc(func(out http.ResponseWriter, r *http.Request) {
		s.paths = append(s.paths, r.URL.Path)
		for part, status := range s.fails {
			if strings.Contains(r.URL.Path, part) {
				out.WriteHeader(status)
				return
			}
		}
		switch r.URL.Path {
		case "/points/43.07,-70.74":
			_, _ = out.Write(w.NWSPoint())
		case "/gridpoints/OTQ/12,34/stations":
			_, _ = out.Write(s.stations)
		case "/stations/KOTQ/observations":
			_, _ = out.Write(s.observations)
		default:
			out.WriteHeader(http.StatusNotFound)
		}
	}))
	t.Cleanup(s.Close)
	return s
}

// asked is what was asked since the last call.
func (s *stationService) asked() []string {
	out := s.paths
	s.paths = nil
	return out
}

// stationsOf asks a service by the settings' own rules, the clock standing at now.
func stationsOf(t testing.TB, s *stationService, now *time.Time) app.LiveStations {
	set := &settings.Settings{Source: "auto", Timeout: 5 * time.Second, Tries: 1, NWS: settings.Host{URL: s.URL}, Cache: t.TempDir()}
	return app.LiveStations{Live: app.Live{
		Settings: set, Version: "test", Wall: func() time.Time { return *now }, Adjust: func(cfg *fetch.Config) { cfg.PerSecond = 1e6 },
	}}
}

// The last 120 days are asked for, as learning does.
func observedBy(t testing.TB, s app.LiveStations) ([]ensemble.Observed, error) {
	now := s.Wall()
	seen, err := s.Observed(t.Context(), otterQuay, now.Add(-ensemble.LearnFrom), now)
	return seen.List, err
}

// One look an hour, whoever asks: run after run has the same, and the list of
// stations is good for a week.
func TestLiveStations(t *testing.T) {
	s, now := newStationService(t, 10), at(t, monday).Add(10*time.Hour)
	l := stationsOf(t, s, &now)
	list, err := observedBy(t, l)
	require.NoError(t, err)
	require.Len(t, list, 10)
	assert.Equal(t, []string{"/points/43.07,-70.74", "/gridpoints/OTQ/12,34/stations", "/stations/KOTQ/observations"}, s.asked())
	for _, o := range list {
		assert.True(t, o.Station && o.HasAir && o.HasDewPoint && o.HasWind)
		assert.InDelta(t, 6, o.DewPointC, 1e-9)
		assert.InDelta(t, 2, o.WindMS, 1e-9)
	}
	assert.Equal(t, at(t, monday).Add(time.Hour).UTC(), list[0].At)
	now = now.Add(59 * time.Minute)
	again, err := observedBy(t, l)
	require.NoError(t, err)
	assert.Equal(t, list, again)
	assert.Empty(t, s.asked())
	now = now.Add(time.Minute)
	_, err = observedBy(t, l)
	require.NoError(t, err)
	assert.Equal(t, []string{"/stations/KOTQ/observations"}, s.asked())
	part, err := l.Observed(t.Context(), otterQuay, list[3].At, list[5].At)
	require.NoError(t, err)
	assert.Equal(t, list[3:6], part.List)
	now = now.Add(-24 * time.Hour)
	_, err = observedBy(t, l)
	require.NoError(t, err)
	assert.NotEmpty(t, s.asked(), "a clock that was set back does not silence them")
}

// A look that failed counts for the hour as well; what the last good one saw stands.
func TestLiveStations_Failing(t *testing.T) {
	s, now := newStationService(t, 10), at(t, monday).Add(10*time.Hour)
	l := stationsOf(t, s, &now)
	s.fails["/observations"] = http.StatusInternalServerError
	for range 3 {
		_, err := observedBy(t, l)
		require.ErrorContains(t, err, "HTTP 500")
	}
	assert.Len(t, s.asked(), 3, "point, stations and one station, once")
	delete(s.fails, "/observations")
	now = now.Add(time.Hour)
	list, err := observedBy(t, l)
	require.NoError(t, err)
	require.Len(t, list, 10)
	s.fails["/observations"] = http.StatusInternalServerError
	now = now.Add(time.Hour)
	s.asked()
	for range 2 {
		again, err := observedBy(t, l)
		require.NoError(t, err)
		assert.Equal(t, list, again)
	}
	assert.Len(t, s.asked(), 1)

	stopped, stop := context.WithCancel(t.Context())
	stop()
	now = now.Add(2 * time.Hour)
	_, err = l.Observed(stopped, otterQuay, now.Add(-time.Hour), now)
	assert.ErrorIs(t, err, context.Canceled)
}

// What the station sends that cannot be used, or nothing at all, is no harm.
func TestLiveStations_Nothing(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*stationService)
		err    string
		asked  int
	}{
		"not covered": {func(s *stationService) { s.fails["/points"] = http.StatusNotFound }, "", 1},
		"silent":      {func(s *stationService) { s.observations = []byte(`{"features":[]}`) }, "", 3},
		"nothing said": {func(s *stationService) {
			s.observations = []byte(`{"features":[{"properties":{"timestamp":"2026-09-07T12:00:00Z"}}]}`)
		}, "", 3},
		"unknown": {func(s *stationService) { s.fails["/observations"] = http.StatusNotFound }, "HTTP 404", 3},
		"a page":  {func(s *stationService) { s.observations = []byte("<html>Log in</html>") }, "web page", 3},
	} {
		s, now := newStationService(t, 3), at(t, monday).Add(10*time.Hour)
		c.change(s)
		l := stationsOf(t, s, &now)
		for range 2 {
			list, err := observedBy(t, l)
			assert.Empty(t, list, name)
			if c.err == "" {
				require.NoError(t, err, name)
			} else {
				require.ErrorContains(t, err, c.err, name)
			}
		}
		assert.Len(t, s.asked(), c.asked, name)
	}
}

// The next is tried where the nearest is unknown or silent, and none beyond 30 km: 0.1
// degrees of latitude are 11 km.
func TestLiveStations_Nearest(t *testing.T) {
	station := func(id, lat string) string {
		return `{"geometry":{"type":"Point","coordinates":[-70.74,` + lat + `]},"properties":{"stationIdentifier":"` + id + `"}}`
	}
	for name, c := range map[string]struct {
		list string
		want int
	}{
		"the next":    {station("KGONE", "43.08") + "," + station("KOTQ", "43.17"), 3},
		"the third":   {station("KGONE", "43.08") + "," + station("KGON2", "43.09") + "," + station("KOTQ", "43.17"), 0},
		"near enough": {station("KOTQ", "43.33"), 3},
		"too far off": {station("KOTQ", "43.35"), 0},
	} {
		s, now := newStationService(t, 3), at(t, monday).Add(10*time.Hour)
		s.stations = []byte(`{"features":[` + c.list + `]}`)
		list, _ := observedBy(t, stationsOf(t, s, &now))
		assert.Len(t, list, c.want, name)
	}
}

// What a station measures counts less with its distance, and its air is brought to
// the height of the place; one too far above or below is named and not heard. The
// station stands at 9 m, 6.6 km off.
func TestLiveStations_HeightAndDistance(t *testing.T) {
	s, now := newStationService(t, 3), at(t, monday).Add(10*time.Hour)
	l := stationsOf(t, s, &now)
	ask := func(height float64, known bool) app.Observations {
		p := otterQuay
		p.ElevationM, p.HasElevation = height, known
		seen, err := l.Observed(t.Context(), p, now.Add(-24*time.Hour), now)
		require.NoError(t, err)
		require.Len(t, seen.Stations, 1)
		return seen
	}
	plain := ask(0, false)
	require.Len(t, plain.List, 3)
	x := plain.Stations[0]
	assert.Equal(t, [2]string{"KOTQ", "Otter Quay Airfield"}, [2]string{x.ID, x.Name})
	assert.InDelta(t, 6.6, x.DistanceKM, 0.1)
	assert.InDelta(t, 0.25*math.Exp(-x.DistanceKM/20), x.One, 1e-9)
	assert.InDelta(t, 4*math.Exp(-x.DistanceKM/20), x.Most, 1e-9)
	assert.Equal(t, 9.0, *x.HeightM)
	assert.Nil(t, x.RiseM)
	assert.Equal(t, 3, x.Observations)
	for height, warmer := range map[float64]float64{9: 0, 109: -0.65, -91: 0.65, 159: -0.975, -141: 0.975} {
		seen := ask(height, true)
		require.Len(t, seen.List, 3)
		assert.InDelta(t, 9-height, *seen.Stations[0].RiseM, 1e-9)
		for i, o := range seen.List {
			assert.InDelta(t, plain.List[i].AirC+warmer, o.AirC, 1e-9)
			assert.Equal(t, plain.List[i].DewPointC, o.DewPointC, "the dew point stays")
			assert.InDelta(t, math.Exp(-x.DistanceKM/20), o.Share, 1e-12)
		}
	}
	for _, height := range []float64{160, -142} {
		seen := ask(height, true)
		assert.Empty(t, seen.List)
		assert.Zero(t, seen.Stations[0].Most)
	}
	assert.Len(t, s.asked(), 3, "all of it from one look")
}

// A hill station that is nearer is passed over and named; the next one teaches.
func TestLiveStations_OnTheHill(t *testing.T) {
	s, now := newStationService(t, 3), at(t, monday).Add(10*time.Hour)
	station := func(id, lat string, height int) string {
		return fmt.Sprintf(`{"geometry":{"type":"Point","coordinates":[-70.74,%s]},"properties":{"stationIdentifier":%q,"elevation":{"unitCode":"wmoUnit:m","value":%d}}}`, lat, id, height)
	}
	s.stations = []byte(`{"features":[` + station("KHIL", "43.08", 400) + "," + station("KHI2", "43.09", 300) + "," + station("KOTQ", "43.17", 9) + `]}`)
	p := otterQuay
	p.ElevationM, p.HasElevation = 2, true
	l := stationsOf(t, s, &now)
	for range 2 {
		seen, err := l.Observed(t.Context(), p, now.Add(-24*time.Hour), now)
		require.NoError(t, err)
		assert.Len(t, seen.List, 3)
		require.Len(t, seen.Stations, 3)
		for i, id := range []string{"KHIL", "KHI2", "KOTQ"} {
			assert.Equal(t, id, seen.Stations[i].ID)
			assert.Equal(t, id == "KOTQ", seen.Stations[i].Most > 0)
		}
		assert.Equal(t, 398.0, *seen.Stations[0].RiseM)
	}
	assert.NotContains(t, strings.Join(s.asked(), " "), "KHI")
}

// A dew point comes of the humidity where the station does not tell it.
func TestLiveStations_DewPoint(t *testing.T) {
	s, now := newStationService(t, 1), at(t, monday).Add(10*time.Hour)
	s.observations = []byte(`{"features":[{"properties":{"timestamp":"2026-09-07T12:00:00Z",
		"temperature":{"unitCode":"wmoUnit:degC","value":20,"qualityControl":"V"},"relativeHumidity":{"unitCode":"wmoUnit:percent","value":50,"qualityControl":"V"}}}]}`)
	list, err := observedBy(t, stationsOf(t, s, &now))
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.InDelta(t, 9.261, list[0].DewPointC, 0.001, "Magnus, 20 °C and 50 %")
	assert.False(t, list[0].HasWind)
}

// Only where NWS covers the place and is the source in use, or may be; and only where
// an hour can be remembered.
func TestLiveStations_WhoIsAsked(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*app.LiveStations)
		place  forecast.Place
		asked  bool
	}{
		"auto":            {func(*app.LiveStations) {}, otterQuay, true},
		"named":           {func(l *app.LiveStations) { l.Settings.Source = "nws" }, otterQuay, true},
		"by the flag":     {func(l *app.LiveStations) { l.Settings.Source, l.Name = "metnorway", "nws" }, otterQuay, true},
		"another":         {func(l *app.LiveStations) { l.Settings.Source = "openmeteo" }, otterQuay, false},
		"another by flag": {func(l *app.LiveStations) { l.Name = "metnorway" }, otterQuay, false},
		"elsewhere":       {func(*app.LiveStations) {}, forecast.Place{Latitude: 54.3, Longitude: 10.1}, false},
		"nothing kept":    {func(l *app.LiveStations) { l.Settings.Cache = "" }, otterQuay, false},
		"cannot be kept":  {func(l *app.LiveStations) { l.Settings.Cache = saved(t, "a-file", nil) }, otterQuay, false},
	} {
		s, now := newStationService(t, 3), at(t, monday).Add(10*time.Hour)
		l := stationsOf(t, s, &now)
		c.change(&l)
		list, err := l.Observed(t.Context(), c.place, now.Add(-time.Hour*24), now)
		assert.Equal(t, c.asked, len(s.asked()) > 0, name)
		assert.Equal(t, c.asked, len(list.List) > 0, name)
		assert.Equal(t, name == "cannot be kept", err != nil, name)
	}
}

// A station beside a reading teaches a little, and only where the book has a
// forecast to hold it against; one that fails is a warning of dewgap place show and
// nothing to an answer.
func TestPlace_LiveStations(t *testing.T) {
	t.Parallel()
	s, now := newStationService(t, 12), at(t, monday).Add(20*time.Hour)
	l := stationsOf(t, s, &now)
	a, r := kept(t, newBook(t), later)
	a.Stations = l
	_, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	assert.Empty(t, s.asked(), "nothing to hold against it")

	b := cool(t, 1)
	a, r = kept(t, b, friday)
	a.Stations = l
	p, err := a.Place(t.Context(), r)
	require.NoError(t, err)
	readings, stations := readingsOf(p, "air temperature")
	assert.Equal(t, 1, readings)
	assert.Equal(t, 12, stations)
	require.Len(t, p.Stations, 1)
	assert.Contains(t, p.Stations[0].Text, "KOTQ, Otter Quay Airfield, 7 km off")
	assert.Equal(t, 12, p.Stations[0].Observations)
	air, dew := p.Spreads[0], p.Spreads[1]
	assert.Equal(t, [3]int{3, 1, 17}, [3]int{air.Cases, air.Readings, air.Missing}, "from seven to six in the evening")
	assert.Equal(t, [3]int{3, 0, 17}, [3]int{dew.Cases, dew.Readings, dew.Missing})
	for _, x := range p.Biases {
		assert.False(t, x.Improves, "a station does not count towards the five")
	}
	assert.Empty(t, p.Warnings)

	s.fails["/"] = http.StatusServiceUnavailable
	a.Stations = stationsOf(t, s, &now)
	p, err = a.Place(t.Context(), r)
	require.NoError(t, err)
	require.Len(t, p.Warnings, 1)
	assert.Contains(t, p.Warnings[0], "stations near the place could not be asked")
	readings, stations = readingsOf(p, "air temperature")
	assert.Equal(t, 1, readings)
	assert.Zero(t, stations)
	with, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	a.Stations = nil
	without, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	assert.Equal(t, jsonOf(t, without), jsonOf(t, with))
}
