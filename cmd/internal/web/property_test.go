package web

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// perhaps draws a number of a range, or none.
func perhaps(t *rapid.T, name string, least, most float64) *float64 {
	if !rapid.Bool().Draw(t, name+" known") {
		return nil
	}
	v := float64(rapid.IntRange(int(least*10), int(most*10)).Draw(t, name)) / 10
	return &v
}

func perhapsTrue(t *rapid.T, name string) *bool {
	if !rapid.Bool().Draw(t, name+" known") {
		return nil
	}
	v := rapid.Bool().Draw(t, name)
	return &v
}

// What a program sends as a reading is read as what it said, nothing more and nothing
// less.
func TestReadingsMeanWhatTheySay(t *testing.T) {
	f := serve(t, nil)
	rapid.Check(t, func(t *rapid.T) {
		air := 15.0
		in := readingBody{
			At: "2026-09-08T05:40", AirC: &air, HumidityPct: perhaps(t, "humidity", 20, 100), WindMS: perhaps(t, "wind", 0, 20),
			Sky: rapid.SampledFrom([]string{"", "clear", "partly", "overcast"}).Draw(t, "sky"), Salt: perhapsTrue(t, "salt"), Spray: perhapsTrue(t, "spray"),
		}
		if rapid.Bool().Draw(t, "zone") {
			in.Zone, in.Wet, in.Sun = "port side", perhapsTrue(t, "wet"), perhapsTrue(t, "sun")
			if in.SurfaceC = perhaps(t, "surface", -5, 60); in.SurfaceC != nil {
				in.By = rapid.SampledFrom([]string{"infrared", "contact"}).Draw(t, "by")
			}
			if in.HazeMin = perhaps(t, "haze", 1, 200); in.HazeMin != nil {
				in.Product = "polymer-sealant"
			}
			in.MoisturePct = perhaps(t, "moisture", 0, 30)
		}
		data, err := f.text([]readingBody{in})
		if err != nil {
			t.Fatal(err)
		}
		list, err := f.cfg.Desk.ParseReadings(t.Context(), "small", "readings", data)
		if err != nil {
			t.Fatalf("%s: %v", data, err)
		}
		m := list[0]
		told := func(v *bool) job.Told {
			switch {
			case v == nil:
				return job.NotTold
			case *v:
				return job.Yes
			}
			return job.No
		}
		number := func(v *float64) job.Measured {
			if v == nil {
				return job.Measured{}
			}
			return job.Measured{V: *v, Known: true}
		}
		want := job.Reading{
			At: time.Date(2026, 9, 8, 9, 40, 0, 0, time.UTC), Zone: in.Zone, Line: m.Line, AirC: number(&air), HumidityPct: number(in.HumidityPct),
			WindMS: number(in.WindMS), Sky: m.Sky, Salt: told(in.Salt), Spray: told(in.Spray), SurfaceC: number(in.SurfaceC), By: m.By,
			Wet: told(in.Wet), Sun: told(in.Sun), MoisturePct: number(in.MoisturePct), Product: in.Product, HazeMin: number(in.HazeMin),
		}
		if m != want {
			t.Fatalf("%s\nis  %+v\nnot %+v", data, m, want)
		}
		if (in.Sky == "") != (m.Sky == job.SkyNotTold) || (in.By == "") != (m.By == job.NoInstrument) {
			t.Fatalf("%s is %+v", data, m)
		}
	})
}

// Of whatever tries, never more are looked at than were allowed at once and have been
// allowed since.
func TestGuessesProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		now := tuesday
		g := newGuesses(func() time.Time { return now })
		from := netip.MustParsePrefix("192.0.2.7/32")
		looked := 0
		for range rapid.IntRange(1, 200).Draw(t, "tries") {
			now = now.Add(time.Duration(rapid.IntRange(0, 3000).Draw(t, "ms")) * time.Millisecond)
			wait := g.wait(from)
			if wait == 0 {
				looked++
				g.wrong(from)
				continue
			}
			now = now.Add(wait)
			if g.wait(from) != 0 {
				t.Fatalf("told to wait %v, which was not enough", wait)
			}
			now = now.Add(-wait)
		}
		allowed := triesAtOnce + int(now.Sub(tuesday)/tryEvery) + 1
		if looked > allowed {
			t.Fatalf("%d tries looked at in %v, %d allowed", looked, now.Sub(tuesday), allowed)
		}
	})
}

// What is remembered of writes is bounded, in number and size, and the newest stay.
func TestOnceIsBounded(t *testing.T) {
	now := tuesday
	o := newIdempotent(func() time.Time { return now })
	big := strings.Repeat("a", mostOnceSize/8)
	h := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, big) })
	for i := range 40 {
		now = now.Add(time.Minute)
		o.do(fmt.Sprint("large ", i), sha256.Sum256(nil), h, httptest.NewRecorder(), httptest.NewRequest(http.MethodPost, "/", nil))
	}
	assert.LessOrEqual(t, o.size, mostOnceSize+len(big))
	assert.Contains(t, o.by, "large 39")
	big = ""
	for i := range mostOnce + 100 {
		now = now.Add(time.Second)
		o.do(fmt.Sprint("small ", i), sha256.Sum256(nil), h, httptest.NewRecorder(), httptest.NewRequest(http.MethodPost, "/", nil))
	}
	assert.LessOrEqual(t, len(o.by), mostOnce)
	assert.Contains(t, o.by, fmt.Sprint("small ", mostOnce+99))
}

// A write that failed here may be tried again under its name; a panic leaves nobody
// waiting.
func TestOnceAfterAFault(t *testing.T) {
	o := newIdempotent(time.Now)
	fails := true
	h := o.handler(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		if fails {
			panic("slip")
		}
		fmt.Fprint(w, "done")
	}))
	ask := func() *httptest.ResponseRecorder {
		r := httptest.NewRequest(http.MethodPost, "/api/x", strings.NewReader("body"))
		r.Header.Set("Idempotency-Key", "k")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	assert.Panics(t, func() { ask() })
	fails = false
	assert.Equal(t, "done", ask().Body.String())
	fails = true
	assert.Equal(t, "done", ask().Body.String())
}

// Whatever lies in the sign-in file, it lets nobody in whom it does not name, and
// is read or refused.
func FuzzSecretsFile(f *testing.F) {
	good, err := json.Marshal(secretsFile{Format: secretsFormat, Token: hashed("a"), Sessions: map[string]session{hashed("s"): {tuesday}}})
	require.NoError(f, err)
	for _, data := range []string{string(good), "", "{}", "[", `{"format":"dewgap.serve.v1"}`, `{"format":"dewgap.serve.v1","token":""}`, `{"format":"dewgap.serve.v1","sessions":null}`} {
		f.Add([]byte(data))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file := filepath.Join(t.TempDir(), "serve.json")
		require.NoError(t, os.WriteFile(file, data, 0o600))
		s, err := OpenSecrets(file, func() time.Time { return tuesday.Add(-time.Hour) })
		if err != nil {
			return
		}
		if s.IsToken("") || s.IsCalendar("") || s.SignedIn("") {
			t.Fatalf("%s lets in who says nothing", data)
		}
		if token, made, err := s.EnsureToken(); err != nil || (made && !s.IsToken(token)) {
			t.Fatalf("%s: %v", data, err)
		}
		if _, _, err := s.SignIn(); err != nil {
			t.Fatal(err)
		}
	})
}

// Links of the calendar, and the pages' address of it.
func TestCalendarLinks(t *testing.T) {
	f, _ := withSignIn(t, func(c *Config) { c.PublicURL = "https://boats.example" })
	assert.Equal(t, []string{"https://boats.example/calendar/abc/small.ics"}, f.calendarLinks(httptest.NewRequest(http.MethodGet, "/calendar-link", nil), "abc"))
	for text, ok := range map[string]bool{
		"https://boats.example": true, "http://10.0.0.4:8080": true, "https://boats.example/": false, "https://boats.example/x": false,
		"ftp://boats.example": false, "boats.example": false, "": false, "https://a:b@boats.example": false, "https://boats.example?x": false,
		"https://": false, "https://boats.example#x": false,
	} {
		assert.Equal(t, ok, CheckPublicURL(text) == nil, text)
	}
}
