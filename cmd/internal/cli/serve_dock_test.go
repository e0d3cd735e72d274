package cli

import (
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// served is dewgap serve of the small job at six in the morning, with a book.
func served(t *testing.T, change func(*serveOptions)) (s *server, file string) {
	t.Helper()
	home := t.TempDir()
	t.Setenv("DEWGAP_HOME", home)
	file = filepath.Join(home, "job.yaml")
	require.NoError(t, os.WriteFile(file, []byte(sideJob), 0o600))
	o := serveOptions{question: question{now: "2026-09-07T12:00:00-04:00", job: file, forecast: savedReply(t, home), fetched: monday}, jobs: []string{file}}
	if change != nil {
		change(&o)
	}
	return startServe(t, o), file
}

// listed is what the book has, as the command line tells it beside the server.
func listed(t *testing.T) answer.BookList {
	t.Helper()
	home := os.Getenv("DEWGAP_HOME")
	r := newRun(t)
	t.Setenv("DEWGAP_HOME", home)
	var list answer.BookList
	require.NoError(t, json.Unmarshal(r.do("book", "show", "--json").out.Bytes(), &list), r.err.String())
	return list
}

// A day on the dock with a telephone: readings at six, the wash at ten, rain at eleven, the
// plan moved, the seal found bad, an entry taken back. All of it is in the book that the
// command line reads, in its words, and the next page knows of it.
func TestServe_ADayOnTheDock(t *testing.T) {
	s, _ := served(t, nil)
	sent := func(path string, form url.Values) string {
		t.Helper()
		code, body := s.post(path, form)
		require.Equal(t, http.StatusOK, code, body)
		return body
	}
	code, _, _ := s.get("/week/job")
	require.Equal(t, http.StatusOK, code)

	sent("/morning/job", url.Values{"at": {"06:10"}, "air": {"14.5"}, "humidity": {"88"}, "wind": {"1"}, "zone.0": {"port side"}, "surface.0": {"13.2"}, "by.0": {"infrared"}})
	list := listed(t)
	require.Len(t, list.Readings, 2)
	assert.Contains(t, list.Readings[0].Text+list.Readings[1].Text, "air 14.5 °C, humidity 88 %")
	assert.Contains(t, list.Readings[0].Text+list.Readings[1].Text, "port side: surface 13.2 °C by infrared")

	sent("/log/job", url.Values{"step": {"seal"}, "zone": {"port side"}, "share": {"50"}, "at": {"10:00"}, "by": {"one"}, "note": {"aft half"}})
	list = listed(t)
	require.Len(t, list.Done, 1)
	assert.Equal(t, "seal on port side, 50 % of it so far, by one (aft half)", list.Done[0].Text)
	assert.Equal(t, "2026-09-07T10:00:00-04:00", list.Done[0].At.Format("2006-01-02T15:04:05-07:00"))

	body := sent("/move/job", url.Values{"from": {"11:00"}, "to": {"11:30"}, "mm": {"4"},
		"left.step.0": {"seal"}, "left.zone.0": {"port side"}, "left.how.0": {"hazing"}, "left.share.0": {"50"}, "left.from.0": {"09:40"}, "left.to.0": {"10:00"}})
	assert.Contains(t, body, "port side")
	list = listed(t)
	assert.Len(t, list.Readings, 3, "rain is a reading")
	m := movedIn(t, list)
	fates := map[string]bool{}
	for _, f := range m.Zones {
		fates[f.Fate] = true
	}
	assert.True(t, fates["redo"], "what was hazing in the rain is to be done again: %v", m.Zones)

	sent("/log/job", url.Values{"step": {"seal"}, "zone": {"port side"}, "found": {"redo"}, "at": {"11:50"}})
	list = listed(t)
	require.Len(t, list.Outcomes, 1)
	assert.Equal(t, "seal on port side: redo", list.Outcomes[0].Text)
	sent("/log/job", url.Values{"op": {"undo"}, "kind": {"outcome"}, "number": {"1"}})
	assert.Empty(t, listed(t).Outcomes)

	code, why, _ := s.get("/why/job?" + url.Values{"zone": {"port side"}, "product": {"polymer-sealant"}, "at": {"2026-09-07T13:00:00-04:00"}}.Encode())
	assert.Equal(t, http.StatusOK, code)
	assert.Contains(t, why, "dew point")
}

// movedIn is the one move that a book has, as the command line shows it.
func movedIn(t *testing.T, list answer.BookList) answer.Move {
	t.Helper()
	home := os.Getenv("DEWGAP_HOME")
	r := newRun(t)
	t.Setenv("DEWGAP_HOME", home)
	moved := 0
	var m answer.Move
	for _, a := range list.Answers {
		if a.Kind == "move" {
			moved++
			r.do("book", "show", "--json", strconv.FormatInt(a.ID, 10))
			require.NoError(t, json.Unmarshal(r.out.Bytes(), &m), r.err.String())
		}
	}
	require.Equal(t, 1, moved)
	return m
}

// A mistake in a form is told on the form, and nothing is written down.
func TestServe_MistakesOfForms(t *testing.T) {
	s, _ := served(t, nil)
	for name, c := range map[string]struct {
		path string
		form url.Values
		says string
	}{
		"a reading of nothing":       {"/morning/job", url.Values{}, "Nothing was filled in"},
		"an air of a furnace":        {"/morning/job", url.Values{"air": {"99"}}, "out of range"},
		"work on no zone":            {"/log/job", url.Values{"step": {"seal"}}, "On which part of the boat?"},
		"a step that is none":        {"/log/job", url.Values{"step": {"sael"}, "zone": {"port side"}}, "did you mean seal?"},
		"work that is yet to be":     {"/log/job", url.Values{"step": {"seal"}, "zone": {"port side"}, "at": {"23:00"}}, "lies in the future"},
		"more than all of it":        {"/log/job", url.Values{"step": {"seal"}, "zone": {"port side"}, "share": {"150"}}, "at most at 100"},
		"rain without an end":        {"/move/job", url.Values{"from": {"11:00"}}, "Rain has a beginning and an end"},
		"rain that is yet to be":     {"/move/job", url.Values{"from": {"20:00"}, "to": {"21:00"}}, "lies in the future"},
		"an entry that is not there": {"/log/job", url.Values{"op": {"undo"}, "kind": {"done"}, "number": {"7"}}, "with the number 7"},
	} {
		code, body := s.post(c.path, c.form)
		assert.Less(t, code, 500, name)
		assert.Contains(t, strings.ToLower(body), strings.ToLower(c.says), name)
	}
	list := listed(t)
	assert.Empty(t, list.Done)
	assert.Empty(t, list.Readings)
	assert.Empty(t, list.Outcomes)
}

// A text of the job that was edited on the page is the file's, as it was typed; one that
// somebody else changed meanwhile is not overwritten.
func TestServe_EditsTheJobFile(t *testing.T) {
	s, file := served(t, nil)
	_, page, _ := s.get("/job/job")
	_, rest, ok := strings.Cut(page, `name="tag" value="`)
	require.True(t, ok)
	tag, _, _ := strings.Cut(rest, `"`)
	text := strings.Replace(sideJob, "by: 2026-09-10", "by: 2026-09-11 # a day more", 1)
	code, body := s.post("/job/job", url.Values{"tag": {tag}, "op": {"file"}, "text": {text}})
	require.Equal(t, http.StatusOK, code, body)
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, text, string(data))

	code, _ = s.post("/job/job", url.Values{"tag": {tag}, "op": {"file"}, "text": {sideJob}})
	assert.Equal(t, http.StatusPreconditionFailed, code)
	data, err = os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, text, string(data), "an older page does not take the newer text away")
}

// What the job says of its own past is told by the clock at the place, on its page as in
// its file: eight in the morning is not noon.
func TestServe_TheJobsPageIsByTheClockOfThePlace(t *testing.T) {
	s, _ := served(t, nil)
	_, page, _ := s.get("/job/job")
	flat := strings.Join(strings.Fields(strings.ReplaceAll(page, "\u00a0", " ")), " ")
	assert.Contains(t, flat, "Done: wash, Sat 5 Sep 08:00.")
}

// The log is what --log says: a line of JSON each, or nothing at all.
func TestServe_LogsAsAsked(t *testing.T) {
	s, _ := served(t, func(o *serveOptions) { o.log = "json"; o.jobs = append(o.jobs, "nowhere.yaml") })
	s.stop()
	lines := strings.Split(strings.TrimSpace(s.err.String()), "\n")
	assert.GreaterOrEqual(t, len(lines), 2)
	warned := false
	for _, line := range lines {
		var entry map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &entry), line)
		assert.NotEmpty(t, entry["msg"])
		warned = warned || entry["where"] == "nowhere.yaml" && entry["fix"] == "check the path"
	}
	assert.True(t, warned, "a job that cannot be read is told at the start: %s", s.err)

	s, _ = served(t, func(o *serveOptions) { o.log = "none" })
	s.stop()
	assert.Empty(t, s.err.String())
}

// A calendar is of a job, by its name; of one that cannot be read there is none for now,
// and calendar programs are told when to look again.
func TestServe_CalendarsOfWrongJobs(t *testing.T) {
	wrong := filepath.Join(t.TempDir(), "wrong.yaml")
	require.NoError(t, os.WriteFile(wrong, []byte("job: x\n"), 0o600))
	s, _ := served(t, func(o *serveOptions) { o.jobs = append(o.jobs, wrong) })
	code, body, header := s.get("/calendar/wrong.ics")
	assert.Equal(t, http.StatusServiceUnavailable, code)
	assert.Equal(t, "600", header.Get("Retry-After"))
	assert.NotContains(t, body, "BEGIN:VCALENDAR")
	for _, path := range []string{"/calendar/none.ics", "/calendar/job", "/calendar/job/job.ics"} {
		code, _, _ = s.get(path)
		assert.Equal(t, http.StatusNotFound, code, path)
	}
	code, body, _ = s.get("/calendar/job.ics")
	assert.Equal(t, http.StatusOK, code)
	assert.Contains(t, body, "BEGIN:VCALENDAR")
}

// In US units the pages and the calendar speak so, and what programs read stays SI.
func TestServe_InUSUnits(t *testing.T) {
	s, _ := served(t, func(o *serveOptions) { o.units = "us" })
	_, page, _ := s.get("/week/job")
	assert.Contains(t, page, "°F")
	_, got, _ := s.get("/api/jobs/job/week")
	var w answer.Week
	require.NoError(t, json.Unmarshal([]byte(got), &w))
	for _, x := range w.Windows {
		assert.NotEqual(t, "°F", x.Binding.Unit)
	}
	_, calendar, _ := s.get("/calendar/job.ics")
	assert.NotContains(t, strings.ReplaceAll(calendar, "\r\n ", ""), " m/s")
}
