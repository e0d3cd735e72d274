package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/feed"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A plan just made and the same plan out of the book are one calendar, byte for byte.
func TestCalendarFromTheBookIsTheSame(t *testing.T) {
	r := newRun(t)
	book := filepath.Join(t.TempDir(), "book.sqlite")
	require.Equal(t, 0, r.do("book", "init", "--book", book).code)
	require.Equal(t, 0, r.do("calendar", "--demo", "--book", book).code)
	first := r.out.String()
	require.Equal(t, 0, r.do("calendar", "--demo", "--book", book).code)
	assert.Equal(t, first, r.out.String())
	require.Equal(t, 0, r.do("calendar", "--demo").code)
	assert.Equal(t, first, r.out.String(), "and the same as without a book")
}

// Every line of the calendar of any job is as RFC 5545 wants it, whatever it is called.
func TestCalendarOfHostileNames(t *testing.T) {
	r := newRun(t)
	text := strings.NewReplacer("Kittiwake", `"K\nEND:VEVENT\u202e\\, ; 日本語の長い船の名前日本語の長い船の名前"`, "port side", `"port\tside; aft, low"`).Replace(string(demo.JobFile()))
	file := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	data, err := demo.Reply(r.env.Now())
	require.NoError(t, err)
	reply := filepath.Join(t.TempDir(), "reply.json")
	require.NoError(t, os.WriteFile(reply, data, 0o600))
	r.do("calendar", "--job", file, "--forecast", reply, "--fetched", monday, "--no-book")
	if r.code == CodeFailed { // a job may be refused for its names, but not half written
		assert.Contains(t, r.err.String(), "job.yaml:")
		assert.Empty(t, r.out.String())
		return
	}
	require.Equal(t, 0, r.code, r.err.String())
	events := 0
	for line := range strings.SplitSeq(strings.TrimSuffix(r.out.String(), "\r\n"), "\r\n") {
		assert.LessOrEqual(t, len(line), 75)
		assert.NotContains(t, line, "\n")
		assert.NotContains(t, line, "\u202e")
		if line == "BEGIN:VEVENT" {
			events++
		}
	}
	assert.Equal(t, events, strings.Count(r.out.String(), "\r\nEND:VEVENT\r\n"))
	assert.Positive(t, events)
}

func TestCalendarAnswer(t *testing.T) {
	r := newRun(t)
	out := filepath.Join(t.TempDir(), "kittiwake.ics")
	require.Equal(t, 0, r.do("calendar", "--demo", "-o", out, "--json", "--refresh", "90m").code)
	var a answer.Calendar
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &a))
	data, err := os.ReadFile(out)
	require.NoError(t, err)
	assert.Equal(t, feed.ETag(data), a.ETag)
	assert.Equal(t, out, a.File)
	assert.Empty(t, a.Text)
	assert.Equal(t, monday, a.At.Format(time.RFC3339))
	assert.Contains(t, string(data), "REFRESH-INTERVAL;VALUE=DURATION:PT1H30M\r\n")
	assert.Equal(t, len(a.Entries), strings.Count(string(data), "BEGIN:VEVENT"))
	for _, e := range a.Entries {
		assert.Contains(t, string(data), "UID:"+e.UID+"\r\n")
		assert.True(t, e.To.After(e.From))
	}
	require.Equal(t, 0, r.do("calendar", "--demo", "--json").code)
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &a))
	assert.True(t, strings.HasPrefix(a.Text, "BEGIN:VCALENDAR\r\n"))
	for _, bad := range []string{"1m", "200h", "15m30s"} {
		assert.Equal(t, CodeUsage, r.do("calendar", "--demo", "--refresh", bad).code, bad)
	}
}
