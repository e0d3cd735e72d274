package cli

import (
	"os"
	"path/filepath"
	"testing"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Stations are asked beside a forecast that is fetched, where there is a book, for
// about now.
func TestStationsOfAQuestion(t *testing.T) {
	r := newRun(t)
	s, err := settings.Load("")
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(file, demo.JobFile(), 0o600))
	stations := func(q question) app.Stations {
		a, _, close, err := q.app(t.Context(), r.env, s)
		require.NoError(t, err)
		defer close()
		return a.Stations
	}
	assert.Nil(t, stations(question{job: file}), "without a book")
	require.Equal(t, CodeDone, r.do("book", "init").code, r.err.String())
	for name, c := range map[string]struct {
		q    question
		want bool
	}{
		"fetched":      {question{job: file}, true},
		"by a source":  {question{job: file, source: "metnorway"}, true},
		"a day ago":    {question{job: file, now: "2026-09-06T06:00:00-04:00"}, true},
		"days ago":     {question{job: file, now: "2026-09-06T05:59:59-04:00"}, false},
		"a file":       {question{job: file, forecast: "reply.json"}, false},
		"demo":         {question{demo: true}, false},
		"not learning": {question{job: file, noLearned: true}, false},
	} {
		got := stations(c.q)
		assert.Equal(t, c.want, got != nil, name)
		if live, ok := got.(app.LiveStations); c.want && assert.True(t, ok, name) {
			assert.Equal(t, c.q.source, live.Name, name)
		}
	}
}
