package cli

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/fetch/fetchtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// services are all of them on one loopback, each with weather of its own.
type services struct {
	*httptest.Server
	t        *testing.T
	nws, met fetchtest.Weather
	om       fetchtest.Weather
	alerts   []fetchtest.Event
	nwsFails int
	asked    atomic.Int64
}

func newServices(t *testing.T, now time.Time) *services {
	w := fetchtest.OtterQuay(now)
	w.Start = now.UTC().Truncate(time.Hour)
	s := &services{t: t, nws: w, met: w, om: fetchtest.OtterQuay(now)}
	s.nws.Hours, s.met.Hours = 24*7, 24*9
	s.Server = httptest.NewServer(s)
	t.Cleanup(s.Close)
	for _, name := range []string{"NWS", "METNORWAY"} {
		t.Setenv("DEWGAP_"+name+"_URL", s.URL)
	}
	t.Setenv("DEWGAP_CONTACT", "harbour@otter-quay.example")
	t.Setenv("DEWGAP_TRIES", "1")
	return s
}

func (s *services) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	s.asked.Add(1)
	w.Header().Set("Cache-Control", "max-age=3600")
	var body []byte
	switch path := r.URL.Path; {
	case strings.HasPrefix(path, "/weatherapi/"):
		body = s.met.MetNorway()
	case path == "/v1/forecast":
		body = s.om.OpenMeteo()
	case path == "/alerts/active":
		body = fetchtest.NWSAlerts(s.alerts...)
	case s.nwsFails != 0:
		w.WriteHeader(s.nwsFails)
	case strings.HasPrefix(path, "/points/"):
		body = s.nws.NWSPoint()
	case strings.HasPrefix(path, "/gridpoints/"):
		body = s.nws.NWSGrid()
	default:
		w.WriteHeader(http.StatusNotFound)
	}
	_, _ = w.Write(body)
}

// sideJob is a small job at the quay.
const sideJob = `job: Seal the port side
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: America/New_York}
boat: {name: Kittiwake, bow: 200}
zones:
  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 18, done: {wash: 2026-09-05T08:00}}
steps:
  - {do: wash, with: soap-wash}
  - {do: seal, with: polymer-sealant}
since: {rain: 2026-09-04T08:00, spray: no}
hours: "07:00-18:00"
by: 2026-09-10
`

func sideJobFile(t *testing.T) string {
	file := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(file, []byte(sideJob), 0o600))
	return file
}

// Two services side by side: what they share, where they differ, why the others
// are not asked, and how to ask each for its plan.
func TestSources(t *testing.T) {
	r := newRun(t)
	s := newServices(t, r.env.Now())
	s.met.RainFrom, s.met.RainTo = 30, 34 // Tue 12:00 to 16:00
	s.met.DewC = 9
	s.nws.Updated = r.env.Now().Add(-40 * time.Minute)
	file := sideJobFile(t)
	r.do("sources", "--job", file, "--json")
	require.Equal(t, 0, r.code, r.err.String())
	var a answer.Sources
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &a))
	assert.Equal(t, "dewgap.sources.v1", a.Format)
	assert.Equal(t, "Otter Quay", a.Place.Name)
	assert.Equal(t, "2026-09-07T06:00:00-04:00", a.Now.Format(time.RFC3339))
	require.Len(t, a.Services, 4)
	nws, met, om, ens := a.Services[0], a.Services[1], a.Services[2], a.Services[3]
	assert.True(t, nws.Usable)
	assert.Equal(t, int64(40*60), *nws.Source.AgeS)
	assert.Equal(t, 168.0, *nws.HorizonH)
	assert.Equal(t, 216.0, *met.HorizonH)
	assert.Equal(t, "go", nws.Verdict)
	assert.Equal(t, "dewgap week --job "+file+" --source nws", nws.Command)
	assert.Contains(t, met.Source.Licence, "NLOD")
	for _, x := range []answer.Service{om, ens} {
		assert.False(t, x.Usable)
		assert.Contains(t, x.Why, "non-commercial")
		assert.Contains(t, x.Fix, "--source "+x.Name)
		assert.Nil(t, x.Source)
	}

	require.Len(t, a.Steps, 1, "the step that seals")
	assert.Equal(t, "polymer-sealant", a.Steps[0].Product)
	require.Len(t, a.Steps[0].First, 2)
	require.NotNil(t, a.Steps[0].First[0].At)
	assert.Equal(t, "port side", a.Steps[0].First[0].Zone)

	require.GreaterOrEqual(t, len(a.Days), 4)
	monday, tuesday := a.Days[0], a.Days[1]
	assert.Equal(t, "2026-09-07", monday.Date)
	assert.Equal(t, []string{"dew_point"}, monday.Differ)
	assert.Equal(t, []string{"dew_point", "rain"}, tuesday.Differ)
	require.Len(t, tuesday.Services, 2)
	assert.Equal(t, 24, tuesday.Services[0].Hours)
	assert.InDelta(t, 14, tuesday.Services[0].AirC[0], 0.3)
	assert.InDelta(t, 21, tuesday.Services[0].AirC[1], 0.3)
	assert.Nil(t, tuesday.Services[0].RainFrom)
	assert.Equal(t, 0.0, *tuesday.Services[0].RainMM)
	assert.Equal(t, "12:00", tuesday.Services[1].RainFrom.Format("15:04"))
	assert.Equal(t, "16:00", tuesday.Services[1].RainTo.Format("15:04"))
	assert.InDelta(t, 6, *tuesday.Services[1].RainMM, 1e-9)

	asked := s.asked.Load()
	r.do("sources", "--job", file)
	require.Equal(t, 0, r.code, r.err.String())
	assert.Equal(t, asked, s.asked.Load(), "what was saved serves again, and serves week")
	for _, line := range strings.Split(r.out.String(), "\n") {
		assert.LessOrEqual(t, len([]rune(line)), 80, line)
	}
	for _, want := range []string{"nws", "metnorway", "40 min old", "<> rain", "12:00-16:00 6 mm", "none", "<> dew point", "NOT USED", "openmeteo: its free host",
		"dewgap week --job", "--source metnorway", "NOAA", "Based on data from MET Norway"} {
		assert.Contains(t, strings.Join(strings.Fields(r.out.String()), " "), want)
	}
	t.Log(r.out.String())

	r.do("week", "--job", file, "--source", "nws")
	assert.Equal(t, 0, r.code, r.err.String())
	assert.Equal(t, asked, s.asked.Load())
}

// A service named is asked whatever the settings say, and no other is.
func TestSourcesNamed(t *testing.T) {
	r := newRun(t)
	s := newServices(t, r.env.Now())
	t.Setenv("DEWGAP_OPENMETEO_URL", s.URL)
	r.do("sources", "--job", sideJobFile(t), "--source", "openmeteo,metnorway", "--json")
	require.Equal(t, 0, r.code, r.err.String())
	var a answer.Sources
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &a))
	require.Len(t, a.Services, 2)
	assert.Equal(t, "metnorway", a.Services[0].Name)
	assert.Equal(t, "openmeteo", a.Services[1].Name)
	assert.True(t, a.Services[1].Usable, a.Services[1].Why)
	assert.Equal(t, int64(2), s.asked.Load())
}

// A service that fails is part of the answer; that all fail is "unknown".
func TestSourcesThatFail(t *testing.T) {
	r := newRun(t)
	s := newServices(t, r.env.Now())
	s.nwsFails = http.StatusServiceUnavailable
	t.Setenv("DEWGAP_CONTACT", "")
	r.do("sources", "--job", sideJobFile(t), "--json")
	require.Equal(t, CodeUnknown, r.code, r.err.String())
	var a answer.Sources
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &a))
	assert.Contains(t, a.Services[0].Why, "HTTP 503")
	assert.Contains(t, a.Services[1].Why, "a contact is needed")
	assert.Contains(t, a.Services[1].Fix, "DEWGAP_CONTACT")
	assert.Empty(t, a.Days)
	assert.Empty(t, a.Steps)
	assert.Equal(t, "Otter Quay", a.Place.Name)

	r.do("sources", "--job", sideJobFile(t))
	assert.Equal(t, CodeUnknown, r.code)
	assert.Contains(t, r.out.String(), "NOT USED")
	assert.Contains(t, r.out.String(), "metnorway: ")

	r.do("sources", "--at", "60.39,5.32", "--kind", "sailing-yacht", "--length", "11m", "--timezone", "Europe/Oslo")
	assert.Contains(t, strings.Join(strings.Fields(r.out.String()), " "), "nws: it covers the United States and their territories only")
}

func TestSourcesUsage(t *testing.T) {
	r := newRun(t)
	for want, args := range map[string][]string{
		"no service gfs":         {"--job", "job.yaml", "--source", "gfs"},
		"no service auto":        {"--job", "job.yaml", "--source", "auto"},
		"no boat to answer":      {},
		"--at needs --kind":      {"--at", "43.07,-70.74"},
		"brings its own weather": {"--demo", "--source", "nws"},
		"exclude one another":    {"--demo", "--job", "job.yaml"},
	} {
		r.do(append([]string{"sources"}, args...)...)
		assert.Equal(t, CodeUsage, r.code)
		assert.Contains(t, r.err.String(), want)
	}
}

func TestQuoted(t *testing.T) {
	for in, want := range map[string]string{
		"job.yaml": "job.yaml", "43.07,-70.74": "43.07,-70.74", "my job.yaml": "'my job.yaml'", "it's": `'it'\''s'`, "$HOME": "'$HOME'", "2026-09-10T06:00:00-04:00": "2026-09-10T06:00:00-04:00",
	} {
		assert.Equal(t, want, quoted(in))
	}
}

// The warnings in force reach the screen and the JSON of week and morning, cite
// their sender, and block nothing.
func TestWarningsInForce(t *testing.T) {
	r := newRun(t)
	s := newServices(t, r.env.Now())
	file := sideJobFile(t)
	plain := r.do("week", "--job", file, "--source", "nws", "--json").code
	var before answer.Week
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &before), r.err.String())

	s.alerts = []fetchtest.Event{{Name: "Gale Warning", Severity: "Severe", From: r.env.Now().Add(2 * time.Hour), To: r.env.Now().Add(20 * time.Hour)}}
	t.Setenv("DEWGAP_HOME", t.TempDir())
	for _, command := range []string{"week", "morning"} {
		r.do(command, "--job", file, "--source", "nws")
		flat := strings.Join(strings.Fields(r.out.String()), " ")
		assert.Contains(t, flat, "WARNING: Gale Warning from Mon 7 Sep 08:00 until Tue 8 Sep 02:00, by NWS Otter Quay: \"Gale Warning issued for Otter Quay\".", command)
		assert.Contains(t, flat, "[NWS Otter Quay, passed on by NWS]")
	}
	var after answer.Week
	assert.Equal(t, plain, r.do("week", "--job", file, "--source", "nws", "--json").code)
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &after))
	assert.Equal(t, answer.KindInForce, after.Cautions[0].Kind)
	assert.Equal(t, "warning", after.Cautions[0].Level)
	assert.Equal(t, before.Windows, after.Windows)
	assert.Equal(t, before.Refusals, after.Refusals)
	assert.Equal(t, before.Plan, after.Plan)
}
