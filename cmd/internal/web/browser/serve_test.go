package browser

import (
	"context"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"dewgap/cmd/internal/cli"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/web/internal/webtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// monday is six in the morning at Otter Quay, as the demo's forecast begins.
const monday = "2026-09-07T06:00:00-04:00"

// server is dewgap serve under way.
type server struct {
	base     string // http://127.0.0.1:PORT
	out, log *webtest.Lines
	file     string // the job's, "" for the demo
	stop     func()
	args     []string

	mu  sync.Mutex
	now time.Time // what its clock shows; zero is the real time
}

func (s *server) clock() time.Time {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.now.IsZero() {
		return time.Now()
	}
	return s.now
}

// turn puts the clock to another time.
func (s *server) turn(t testing.TB, to string) {
	at, err := time.Parse(time.RFC3339, to)
	require.NoError(t, err)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.now = at
}

var greeting = regexp.MustCompile(`(?m)^dewgap serves (http://\S+?)( to this computer only)?\. Ctrl-C`)

// serve runs the command line dewgap serve until the test ends. The address to listen
// at is the last of the arguments.
func (s *server) serve(t testing.TB, args ...string) *server {
	s.out, s.log, s.args = &webtest.Lines{}, &webtest.Lines{}, args
	env := cli.Env{
		Stdout: s.out, Stderr: s.log, Getenv: os.Getenv, Now: s.clock, Version: "v0.0.0-test",
		Terminal: func() (int, bool) { return 0, false },
	}
	ctx, cancel := context.WithCancel(context.WithoutCancel(t.Context()))
	ended := make(chan int, 1)
	go func() { ended <- cli.Execute(ctx, append([]string{"serve"}, args...), env) }()
	var once sync.Once
	s.stop = func() {
		once.Do(func() {
			cancel()
			assert.Equal(t, cli.CodeDone, <-ended, "%s", s.log)
		})
	}
	t.Cleanup(s.stop)
	require.Eventually(t, func() bool { return greeting.MatchString(s.out.String()) || len(ended) > 0 }, 20*time.Second, 2*time.Millisecond)
	found := greeting.FindStringSubmatch(s.out.String())
	require.NotNil(t, found, "serve ended by itself: %s", s.log)
	s.base = found[1]
	return s
}

// again serves once more, at the same address, and has a page made.
func (s *server) again(t testing.TB, path string) {
	args := s.args[:len(s.args)-1]
	s.serve(t, append(args, strings.TrimPrefix(s.base, "http://"))...)
	s.prepare(t, path)
}

// prepare has a page made: a browser with a copy of it waits a few seconds only.
func (s *server) prepare(t testing.TB, path string) {
	res, err := http.Get(s.base + path)
	require.NoError(t, err)
	require.NoError(t, res.Body.Close())
	require.Equal(t, http.StatusOK, res.StatusCode)
}

// serveDemo serves the demo at a moment that stands still.
func serveDemo(t testing.TB) *server {
	return new(server).serve(t, "--demo", "--now", monday, "--listen", "127.0.0.1:0")
}

// serveJob serves a job's file with the demo's weather and a book of its own, by a
// clock that stands at monday until it is turned.
func serveJob(t testing.TB, text string) *server {
	folder := t.TempDir()
	s := &server{file: filepath.Join(folder, "job.yaml")}
	s.turn(t, monday)
	require.NoError(t, os.WriteFile(s.file, []byte(text), 0o600))
	reply, err := demo.Reply(s.clock())
	require.NoError(t, err)
	forecast := filepath.Join(folder, "reply.json")
	require.NoError(t, os.WriteFile(forecast, reply, 0o600))
	return s.serve(t, "--job", s.file, "--forecast", forecast, "--fetched", monday, "--book", filepath.Join(folder, "book.sqlite"), "--listen", "127.0.0.1:0")
}

// demoJob is the demo's job with words in it replaced, each of which must be there.
func demoJob(t testing.TB, oldNew ...string) string {
	text := string(demo.JobFile())
	for i := 0; i < len(oldNew); i += 2 {
		require.Contains(t, text, oldNew[i])
		text = strings.ReplaceAll(text, oldNew[i], oldNew[i+1])
	}
	return text
}
