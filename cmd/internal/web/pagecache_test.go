package web

import (
	"net/http"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A page is drawn once until something changes, for each look and address.
func TestPagesAreKept(t *testing.T) {
	var drawn atomic.Int32
	f := serve(t, func(c *Config) { c.Pages = stubPages(&drawn) })
	first := f.get("/")
	again := f.get("/", "Accept-Encoding", "gzip")
	assert.EqualValues(t, 1, drawn.Load())
	assert.Equal(t, "gzip", again.Header().Get("Content-Encoding"))
	assert.Equal(t, "text/html; charset=utf-8", again.Header().Get("Content-Type"))
	assert.Equal(t, http.StatusNotModified, f.get("/", "If-None-Match", first.Header().Get("ETag")).Code)
	head := f.ask("HEAD", "/", "")
	assert.Zero(t, head.Body.Len())
	assert.Equal(t, first.Header(), head.Header())
	f.get("/", "Cookie", cookieName+"=one; other=x")
	f.get("/", "Cookie", cookieName+"=two; other=x")
	assert.EqualValues(t, 2, drawn.Load(), "the session's own cookie makes no other page")
	night := f.get("/", "Cookie", "dewgap_theme=night")
	assert.Contains(t, night.Body.String(), "in night")
	assert.EqualValues(t, 3, drawn.Load())
	assert.Contains(t, f.get("/").Body.String(), "in plain")
	f.get("/?x=1")
	assert.EqualValues(t, 4, drawn.Load())

	require.Equal(t, http.StatusOK, f.post("/api/jobs/small/readings", `{"readings": [{"at": "2026-09-08T05:50", "air_c": 15}]}`).Code)
	f.get("/")
	assert.EqualValues(t, 5, drawn.Load(), "a reading was recorded")
	require.NoError(t, os.WriteFile(f.file, []byte(smallJob+"\n"), 0o600))
	f.get("/")
	assert.EqualValues(t, 6, drawn.Load(), "the file changed")
	assert.Contains(t, f.log.String(), "route=/{$} method=GET status=304")
	assert.NotContains(t, f.log.String(), "route=other")
}

// A first request for the head, or for what is there already, keeps a whole page.
func TestFirstRequestForAPart(t *testing.T) {
	for _, first := range [][]string{{"HEAD"}, {"GET", "If-None-Match", `"x"`}, {"GET", "Range", "bytes=0-3"}} {
		f := serve(t, nil)
		f.ask(first[0], "/", "", first[1:]...)
		assert.Contains(t, f.get("/").Body.String(), "week in plain", first)
	}
}

// What is about to be replaced, fails or is not there is not kept.
func TestPagesThatAreNotKept(t *testing.T) {
	var drawn atomic.Int32
	f := serve(t, func(c *Config) { c.Pages = stubPages(&drawn) })
	for range 3 {
		assert.Equal(t, "soon", f.get("/unsettled").Body.String())
		assert.Equal(t, http.StatusNotFound, f.get("/none").Code)
		assert.Equal(t, http.StatusOK, f.form("/", "a=b").Code)
	}
	assert.EqualValues(t, 3, drawn.Load())
}

// Many who ask at once get whole pages.
func TestPagesAtOnce(t *testing.T) {
	f := serve(t, nil)
	var all sync.WaitGroup
	for i := range 64 {
		all.Go(func() {
			path := "/"
			if i%4 == 0 {
				path = "/unsettled"
			}
			w := f.get(path)
			assert.Equal(t, http.StatusOK, w.Code)
			assert.True(t, strings.HasPrefix(w.Body.String(), "<p>week") || w.Body.String() == "soon")
		})
	}
	all.Wait()
}

// Many addresses do not make the kept pages grow without end.
func TestPagesAreBounded(t *testing.T) {
	f := serve(t, nil)
	p := &pages{next: stubPages(new(atomic.Int32)), revision: func() string { return "same" }, had: func(string) {}}
	f.handler = p
	for i := range mostPages * 2 {
		f.get("/?" + strings.Repeat("x", i%7) + string(rune('a'+i%26)) + strings.Repeat("y", i/26))
	}
	assert.LessOrEqual(t, len(p.by), mostPages)
	f.get("/?" + strings.Repeat("x", longestKey))
	assert.LessOrEqual(t, len(p.by), mostPages)
}

// The counters tell of routes and answers, and have no label from outside.
func TestMetrics(t *testing.T) {
	f := serve(t, nil)
	f.get("/api/jobs/small/week")
	f.get("/api/jobs/small/week")
	f.get("/secret-path")
	f.ask("BREW", "/", "")
	out := f.get("/metrics").Body.String()
	for _, line := range []string{
		`dewgap_http_requests_total{method="GET",route="/api/jobs/{job}/week",status="200"} 2`,
		`dewgap_http_requests_total{method="other",`,
		`dewgap_answer_cache_total{had="hit",kind="week"} 1`, `dewgap_answer_cache_total{had="miss",kind="week"} 1`,
		`dewgap_answer_seconds_count{kind="week"} 1`, `dewgap_forecast_fetches_total{outcome="ok"} 1`,
		`dewgap_forecast_fetches_total{outcome="failed"} 0`, `dewgap_forecast_age_seconds{job="small"} 2400`,
	} {
		assert.Contains(t, out, line)
	}
	assert.NotContains(t, out, "secret-path")
	assert.NotContains(t, out, "BREW")
}
