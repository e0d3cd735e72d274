package cli

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/watch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The whole way: settings, a weather service, the loop, a webhook, and the end by a
// signal; then once more, when it is remembered.
func TestWatchLive(t *testing.T) {
	r := newRun(t)
	weather := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		data, err := demo.Reply(r.env.Now())
		assert.NoError(t, err)
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(data)
	}))
	defer weather.Close()
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	told := 0
	hook := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, q *http.Request) {
		told++
		body, err := io.ReadAll(q.Body)
		assert.NoError(t, err)
		var n answer.Watch
		assert.NoError(t, json.Unmarshal(body, &n))
		assert.Equal(t, answer.WatchFirst, n.Kind)
		assert.Equal(t, watch.Sign("a-secret-of-some-length", r.env.Now().Unix(), body), q.Header.Get(watch.HeaderSignature))
	}))
	defer hook.Close()
	t.Setenv("DEWGAP_OPENMETEO_URL", weather.URL)
	t.Setenv("DEWGAP_WEBHOOK_URL", hook.URL)
	t.Setenv("DEWGAP_WEBHOOK_SECRET", "a-secret-of-some-length")
	t.Setenv("DEWGAP_WEBHOOK_PRIVATE", "true")
	file := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(file, demo.JobFile(), 0o600))
	args := []string{"watch", "--job", file, "--source", "openmeteo-ensemble"}

	go func() { // until all are told, which is then remembered
		for {
			if _, err := os.Stat(filepath.Join(os.Getenv("DEWGAP_HOME"), "watch.json")); err == nil {
				stop()
				return
			}
			time.Sleep(5 * time.Millisecond)
		}
	}()
	assert.Equal(t, CodeDone, Execute(ctx, args, r.env), r.err.String())
	assert.Equal(t, 1, told)
	assert.Contains(t, r.out.String(), "watched from now on")
	assert.Contains(t, r.err.String(), "Ctrl-C")

	require.Equal(t, CodeDone, r.do(append(args, "--once")...).code, r.err.String())
	assert.Equal(t, 1, told, "a restart does not tell again")
	assert.Empty(t, r.out.String())
	require.Equal(t, CodeDone, r.do(append(args, "--once", "--only-here", "--json")...).code)
	assert.Empty(t, r.out.String())
	assert.NotContains(t, r.err.String(), "a-secret")
}

// Where the system names no folder it watches all the same, and says what is lost.
func TestWatchWithoutAFolder(t *testing.T) {
	r := newRun(t)
	t.Setenv("DEWGAP_HOME", "")
	t.Setenv("HOME", "")
	t.Setenv("XDG_CONFIG_HOME", "")
	t.Setenv("XDG_CACHE_HOME", "")
	data, err := demo.Reply(r.env.Now())
	require.NoError(t, err)
	dir := t.TempDir()
	job, reply := filepath.Join(dir, "job.yaml"), filepath.Join(dir, "reply.json")
	require.NoError(t, os.WriteFile(job, demo.JobFile(), 0o600))
	require.NoError(t, os.WriteFile(reply, data, 0o600))
	r.do("watch", "--job", job, "--forecast", reply, "--fetched", monday, "--once")
	assert.Equal(t, CodeDone, r.code, r.err.String())
	assert.Contains(t, r.err.String(), "cannot be remembered")
	assert.Contains(t, r.out.String(), "watched from now on")
}

// Whoever ends a question while the service is asked is told so in one line, whichever
// command it was, and nothing is kept of a reply that was cut short.
func TestStoppedWhileAsked(t *testing.T) {
	for _, command := range []string{"week", "morning", "sources", "watch --once"} {
		t.Run(command, func(t *testing.T) {
			r := newRun(t)
			ctx, stop := context.WithCancel(context.Background())
			defer stop()
			weather := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
				w.Header().Set("Content-Length", "1000")
				_, _ = w.Write([]byte(`{"hourly":`))
				_ = http.NewResponseController(w).Flush()
				stop()
				<-q.Context().Done()
			}))
			defer weather.Close()
			t.Setenv("DEWGAP_OPENMETEO_URL", weather.URL)
			t.Setenv("DEWGAP_SOURCE", "openmeteo")
			file := filepath.Join(t.TempDir(), "job.yaml")
			require.NoError(t, os.WriteFile(file, demo.JobFile(), 0o600))
			code := Execute(ctx, append(strings.Fields(command), "--job", file), r.env)
			assert.Equal(t, CodeFailed, code)
			assert.Equal(t, "dewgap: stopped before there was an answer\n   fix: run it again\n", r.err.String())
			assert.Empty(t, r.out.String())
			kept, err := filepath.Glob(filepath.Join(os.Getenv("DEWGAP_HOME"), "cache", "*.reply"))
			require.NoError(t, err)
			assert.Empty(t, kept)
		})
	}
}
