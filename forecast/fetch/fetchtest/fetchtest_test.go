package fetchtest

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var noon = time.Date(2026, 9, 10, 12, 0, 0, 0, time.UTC)

// The faults that must be there, by name.
func TestFaultsByName(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range Faults() {
		assert.False(t, seen[f.Name], "%s is there twice", f.Name)
		seen[f.Name] = true
		assert.Equal(t, f.Closed, f.Answer == nil, f.Name)
	}
	for _, name := range []string{
		"connection refused", "reset in mid-body", "slow drip", "200 with HTML", "200 with error text after half the JSON", "204", "301 loop",
		"304 without cache", "400", "403", "404", "422", "429 with Retry-After", "429 without Retry-After", "500 then good", "503 forever", "wrong gzip",
		"gzip bomb", "100 MB body", "nulls", "missing column", "unknown unit", "NaN text", "shuffled times", "duplicate hour", "daylight-saving gap",
		"place far from the asked one", "forecast issued yesterday", "clock an hour off",
	} {
		assert.True(t, seen[name], name)
	}
}

// The good replies are whole JSON, the same each time, and a fault of the data
// changes them.
func TestRepliesAndWhatFaultsMakeOfThem(t *testing.T) {
	w := OtterQuay(noon)
	for name, reply := range map[string]func() []byte{
		"openmeteo": w.OpenMeteo, "metnorway": w.MetNorway, "point": w.NWSPoint, "grid": w.NWSGrid,
		"alerts": func() []byte { return NWSAlerts(Event{"Gale Warning", "Severe", noon, noon.Add(time.Hour)}) },
	} {
		once, twice := reply(), reply()
		assert.True(t, json.Valid(once), name)
		assert.Equal(t, string(once), string(twice), name)
	}
	for _, f := range dataFaults() {
		good := f.Good(w)
		r := httptest.NewRecorder()
		f.Answer(r, httptest.NewRequest(http.MethodGet, "/", nil), 1, good)
		got := r.Body.Bytes()
		assert.NotEqual(t, string(good), string(got), f.Name)
		assert.Equal(t, f.Name != "NaN text", json.Valid(got), f.Name)
	}
}

func TestServerBreaksAndIsMended(t *testing.T) {
	s := Serve([]byte(`"good"`))
	defer s.Close()
	get := func() (int, string) {
		r, err := http.Get(s.URL)
		require.NoError(t, err)
		defer r.Body.Close()
		body, err := io.ReadAll(r.Body)
		require.NoError(t, err)
		return r.StatusCode, string(body)
	}
	code, body := get()
	assert.Equal(t, 200, code)
	assert.Equal(t, `"good"`, body)
	for _, f := range statusFaults() {
		if f.Name == "500 then good" {
			s.Break(f, []byte(`"late"`))
		}
	}
	code, _ = get()
	assert.Equal(t, 500, code)
	code, body = get()
	assert.Equal(t, 200, code)
	assert.Equal(t, `"late"`, body)
	s.Mend([]byte(`"new"`))
	_, body = get()
	assert.Equal(t, `"new"`, body)
	assert.Equal(t, 4, s.Asked())
}
