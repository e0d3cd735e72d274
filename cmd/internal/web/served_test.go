package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/web/desk"
	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/products"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sky is the demo's weather of one moment under a clock that a test moves; it fails
// where it is told to.
type sky struct {
	mu   sync.Mutex
	now  time.Time
	fail error
}

// Now is the clock.
func (s *sky) Now() time.Time {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.now
}

func (s *sky) set(later time.Duration, fail error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.now, s.fail = s.now.Add(later), fail
}

// Forecast is the demo's.
func (s *sky) Forecast(ctx context.Context, q app.Query) (*forecast.Forecast, error) {
	s.mu.Lock()
	fail := s.fail
	s.mu.Unlock()
	if fail != nil {
		return nil, fail
	}
	return demo.Source{Clock: app.At(tuesday)}.Forecast(ctx, q)
}

// under is a server on the small job, and on others by their texts, under a sky.
func under(t *testing.T, more ...string) (*fixture, *sky) {
	s := &sky{now: tuesday}
	f := serve(t, func(c *Config) {
		files := []string{filepath.Join(t.TempDir(), "small.yaml")}
		require.NoError(t, os.WriteFile(files[0], []byte(smallJob), 0o600))
		for i, text := range more {
			files = append(files, filepath.Join(t.TempDir(), fmt.Sprintf("more-%d.yaml", i+1)))
			require.NoError(t, os.WriteFile(files[i+1], []byte(text), 0o600))
		}
		classes, err := products.Catalogue()
		require.NoError(t, err)
		d, err := desk.New(desk.Config{Files: files, Source: s, Clock: s, Classes: classes, Futures: 4, Version: "v1.2.3"})
		require.NoError(t, err)
		t.Cleanup(d.Close)
		c.Desk, c.Metrics = d, NewMetrics()
	})
	return f, s
}

// An answer of an earlier slot is given while the service is silent, and says of which
// moment it is; past its time it is a problem of the service, not of ours.
func TestAnAnswerOfBeforeSaysSo(t *testing.T) {
	f, s := under(t)
	fresh := f.get("/api/jobs/small/week")
	require.Equal(t, http.StatusOK, fresh.Code)
	assert.Empty(t, fresh.Header().Get("Dewgap-Stale"))
	s.set(10*time.Minute, &fetch.Error{Service: "NWS", Kind: fetch.Timeout, Fix: "ask again in a minute"})
	stale := f.get("/api/jobs/small/week")
	require.Equal(t, http.StatusOK, stale.Code)
	assert.Equal(t, tuesday.Format(http.TimeFormat), stale.Header().Get("Dewgap-Stale"))
	assert.Equal(t, fresh.Body.String(), stale.Body.String())
	assert.Equal(t, fresh.Header().Get("ETag"), stale.Header().Get("ETag"), "the bytes are the same")
	s.set(desk.StaleFor, &fetch.Error{Service: "NWS", Kind: fetch.Timeout, Fix: "ask again in a minute"})
	w := f.get("/api/jobs/small/week")
	assert.Equal(t, http.StatusBadGateway, w.Code)
	p := problemIn(t, w)
	assert.Contains(t, p.Detail, "NWS")
	assert.Equal(t, "ask again in a minute", p.Fix)
}

// A fault of ours is a problem without its words; the log has them, with the operation
// in which it was, and no address.
func TestAFaultIsInTheLog(t *testing.T) {
	f, s := under(t)
	s.set(0, errors.New("/home/ada/cache: disk on fire"))
	for path, operation := range map[string]string{"/api/jobs/small/week": "get-week", "/api/jobs/small/morning": "get-morning", "/api/jobs/small/why?zone=port+side&with=polymer-sealant": "get-why"} {
		w := f.get(path)
		assert.Equal(t, http.StatusInternalServerError, w.Code, path)
		problemIn(t, w)
		assert.NotContains(t, w.Body.String(), "fire")
		assert.Contains(t, f.log.String(), "operation="+operation, path)
	}
	assert.Contains(t, f.log.String(), "disk on fire")
	assert.Equal(t, http.StatusOK, f.get("/api/jobs").Code)
}

// Work that rain met is judged by how it was left: what hazed is redone, what had cured
// stands, and the plan has the part to be redone.
func TestMovingByWorkThatWasLeft(t *testing.T) {
	f := serve(t, nil)
	require.Equal(t, http.StatusOK, f.get("/api/jobs/small/week").Code)
	const left = `{"rain": [{"from": "05:20", "to": "05:40", "mm": 2}], "left": [{"step": "seal", "zone": "port side", "how": "%s", "share": 0.5, "from": "04:00", "to": "05:10"}]}`
	hazing := into[answer.Move](t, f.post("/api/jobs/small/move", fmt.Sprintf(left, "hazing")))
	require.Len(t, hazing.Zones, 1)
	assert.Equal(t, "redo", hazing.Zones[0].Fate)
	assert.True(t, hazing.Zones[0].Hazing)
	assert.Equal(t, 0.5, hazing.Zones[0].Share)
	require.Len(t, hazing.Rain, 1)
	assert.Equal(t, 2.0, *hazing.Rain[0].MM)
	assert.Equal(t, hazing.Now.Format("2006-01-02")+"T05:20:00-04:00", hazing.Rain[0].From.Format(time.RFC3339), "by the clock at the place")
	for _, wrong := range []string{`"step": "wash"`, `"zone": "crow's nest"`} {
		body := fmt.Sprintf(left, "hazing")
		if strings.Contains(wrong, "step") {
			body = strings.Replace(body, `"step": "seal"`, wrong, 1)
		} else {
			body = strings.Replace(body, `"zone": "port side"`, wrong, 1)
		}
		w := f.post("/api/jobs/small/move", body)
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, "%s: %s", wrong, w.Body)
	}
	// A ladder is what else could be done, though there is a plan.
	ladder := into[answer.Move](t, f.post("/api/jobs/small/move", `{"ladder": true}`))
	assert.NotEmpty(t, ladder.Ladder)
	assert.Empty(t, into[answer.Move](t, f.post("/api/jobs/small/move", `{}`)).Ladder)
}

// Several jobs are listed in their order; one that cannot be read is among them with its
// mistakes, and at no place.
func TestJobsAreListed(t *testing.T) {
	f, _ := under(t, strings.NewReplacer("Kittiwake", "Dunlin", "Small seal", "Other seal").Replace(smallJob), "job: [\n", strings.Replace(smallJob, "Otter Quay", "Heron Wharf", 1))
	list := into[jobsAnswer](t, f.get("/api/jobs"))
	var ids []string
	for _, j := range list.Jobs {
		ids = append(ids, j.ID)
		assert.Equal(t, j, into[desk.JobInfo](t, f.get("/api/jobs/"+j.ID)))
		assert.NotContains(t, j.File, string(filepath.Separator), "folders are nobody's business")
	}
	assert.Equal(t, []string{"small", "more-1", "more-2", "more-3"}, ids)
	assert.Equal(t, "Dunlin", list.Jobs[1].Boat)
	require.NotEmpty(t, list.Jobs[2].Wrong)
	assert.True(t, strings.HasPrefix(list.Jobs[2].Wrong[0].Where, "more-2.yaml:"), list.Jobs[2].Wrong[0].Where)
	places := into[placesAnswer](t, f.get("/api/places"))
	require.Len(t, places.Places, 2)
	assert.Equal(t, []string{"small", "more-1"}, places.Places[0].Jobs)
	assert.Equal(t, []string{"more-3"}, places.Places[1].Jobs)
	assert.Equal(t, http.StatusUnprocessableEntity, f.get("/api/jobs/more-2/week").Code)
	assert.Equal(t, http.StatusOK, f.get("/api/jobs/more-2/text").Code, "its text can be read, to be mended")
}

// A server without a book says so to who wants to write, and has empty lists.
func TestAServerWithoutABook(t *testing.T) {
	f, _ := under(t)
	for path, body := range map[string]string{
		"readings": `{"readings": [{"air_c": 15}]}`, "done": `{"step": "seal", "zones": ["port side"]}`, "outcomes": `{"step": "seal", "zones": ["port side"], "found": "ok"}`, "rain": `{"from": "04:00"}`,
	} {
		w := f.post("/api/jobs/small/"+path, body)
		assert.Equal(t, http.StatusConflict, w.Code, path)
		assert.Contains(t, problemIn(t, w).Fix, "--no-book", path)
	}
	for _, path := range []string{"readings", "done", "outcomes"} {
		assert.Empty(t, into[entriesPage](t, f.get("/api/jobs/small/"+path)).Entries)
		assert.Contains(t, []int{404, 409}, f.ask(http.MethodDelete, "/api/jobs/small/"+path+"/1", "").Code, path)
	}
	assert.JSONEq(t, `{"answers": [], "next": ""}`, f.get("/api/jobs/small/answers").Body.String(), "a list that is empty is a list")
	morning := into[answer.Morning](t, f.post("/api/jobs/small/morning", `{"readings": [{"at": "2026-09-08T05:55", "air_c": 15, "humidity_pct": 90}]}`))
	require.NotEmpty(t, morning.Readings)
	assert.True(t, morning.Readings[0].Used, "readings count for the answer, though nobody keeps them")
}

// What one program writes the next one reads: of each kind an entry is recorded, listed,
// corrected and taken back, and the answers know of it at once.
func TestTheBookByTheAPI(t *testing.T) {
	f := serve(t, nil)
	list := func(kind string) []answer.Entry {
		return into[entriesPage](t, f.get("/api/jobs/small/"+kind)).Entries
	}
	for kind, body := range map[string]string{
		"readings": `{"readings": [{"at": "2026-09-08T05:50", "zone": "port side", "wet": true}]}`,
		"done":     `{"step": "seal", "zones": ["port side"], "share": 0.25, "at": "05:00", "by": "Ada"}`,
		"outcomes": `{"step": "seal", "zones": ["port side"], "found": "inspect", "at": "05:30"}`,
	} {
		logged := into[answer.Logged](t, f.post("/api/jobs/small/"+kind, body))
		require.Len(t, logged.Entries, 1, kind)
		assert.Equal(t, "book.sqlite", logged.File, "without its folder")
		entries := list(kind)
		require.Len(t, entries, 1, kind)
		assert.Equal(t, logged.Entries[0].ID, entries[0].ID)
		path := fmt.Sprintf("/api/jobs/small/%s/%d", kind, entries[0].ID)
		back := into[answer.Logged](t, f.ask(http.MethodDelete, path, ""))
		assert.Equal(t, "undo", back.Kind)
		assert.Empty(t, list(kind), kind)
		assert.Equal(t, http.StatusNotFound, f.ask(http.MethodDelete, path, "").Code, "%s: taken back once", kind)
	}
	first := into[answer.Logged](t, f.post("/api/jobs/small/done", `{"step": "seal", "zones": ["port side"], "at": "05:00"}`)).Entries[0].ID
	w := f.post("/api/jobs/small/done", fmt.Sprintf(`{"step": "seal", "zones": ["port side"], "share": 0.5, "at": "05:00", "corrects": %d}`, first))
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	done := list("done")
	require.Len(t, done, 1)
	assert.Contains(t, done[0].Text, "50 %")
}

// An answer that the book has is given as it was, byte for byte, and none of another job.
func TestAnAnswerAsItWasGiven(t *testing.T) {
	f := serve(t, nil)
	week := f.get("/api/jobs/small/week").Body.String()
	page := into[answersPage](t, f.get("/api/jobs/small/answers"))
	require.Len(t, page.Answers, 1)
	was := f.get(fmt.Sprintf("/api/jobs/small/answers/%d", page.Answers[0].ID))
	assert.Equal(t, week, was.Body.String())
	tag := was.Header().Get("ETag")
	require.NotEmpty(t, tag)
	assert.Equal(t, http.StatusNotModified, f.get(fmt.Sprintf("/api/jobs/small/answers/%d", page.Answers[0].ID), "If-None-Match", tag).Code)
	assert.Equal(t, "application/json", was.Header().Get("Content-Type"))
	for _, id := range []string{"2", "77"} {
		problemIn(t, f.get("/api/jobs/small/answers/"+id))
	}
}

// Moments may be said by the clock at the place or with an offset: it is the same moment.
func TestMomentsOfTheAPI(t *testing.T) {
	f := serve(t, nil)
	at := func(moment string) time.Time {
		w := f.get("/api/jobs/small/why?zone=port+side&with=polymer-sealant&at=" + strings.ReplaceAll(moment, "+", "%2B"))
		return into[answer.Why](t, w).At
	}
	want := time.Date(2026, 9, 8, 13, 0, 0, 0, time.UTC)
	for _, moment := range []string{"09:00", "2026-09-08T09:00", "2026-09-08T13:00:00Z", "2026-09-08T15:00:00+02:00", "2026-09-08T09:09-04:00"} {
		assert.True(t, want.Equal(at(moment)), moment)
	}
	assert.True(t, tuesday.Equal(at("")), "now")
	for _, moment := range []string{"25:00", "noon", "2026-09-31T09:00", "1026-09-08T09:00", strings.Repeat("9", 41)} {
		w := f.get("/api/jobs/small/why?zone=port+side&with=polymer-sealant&at=" + moment)
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, moment)
		problemIn(t, w)
	}
	p := problemIn(t, f.get("/api/jobs/small/why?zone=port+side&with=polymer-sealent"))
	assert.Contains(t, p.Fix, "polymer-sealant", "the nearest is named")
}

// A description of the API in any of its forms is the same description.
func TestTheDescriptionInItsForms(t *testing.T) {
	f := serve(t, nil)
	for path, kind := range map[string]string{"/api/openapi.json": "application/openapi+json", "/api/openapi.yaml": "application/openapi+yaml"} {
		w := f.get(path)
		require.Equal(t, http.StatusOK, w.Code, path)
		assert.Equal(t, kind, w.Header().Get("Content-Type"))
		for _, words := range []string{"get-week", "Idempotency-Key", "If-Match", "v1.2.3"} {
			assert.Contains(t, w.Body.String(), words, path)
		}
	}
	var doc struct {
		Paths      map[string]map[string]struct{ Responses map[string]any }
		Components struct{ Schemas map[string]any }
	}
	require.NoError(t, json.Unmarshal(f.get("/api/openapi.json").Body.Bytes(), &doc))
	for path, item := range doc.Paths {
		for method, o := range item {
			assert.NotEmpty(t, o.Responses["200"], "%s %s", method, path)
			assert.NotEmpty(t, o.Responses["404"], "%s %s: what is not there is told", method, path)
		}
	}
}
