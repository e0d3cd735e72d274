package web

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers/legacy"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// problemIn reads a problem and sees to its form.
func problemIn(t testing.TB, w *httptest.ResponseRecorder) Problem {
	require.Equal(t, "application/problem+json", w.Header().Get("Content-Type"), w.Body)
	var p Problem
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p))
	assert.Equal(t, w.Code, p.Status)
	assert.Equal(t, http.StatusText(w.Code), p.Title)
	assert.Equal(t, "about:blank", p.Type)
	assert.NotEmpty(t, p.Detail)
	assert.NotEmpty(t, p.Fix)
	return p
}

// into reads an answer.
func into[T any](t testing.TB, w *httptest.ResponseRecorder) (v T) {
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	require.Equal(t, "application/json", w.Header().Get("Content-Type"))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &v))
	return v
}

// jsonAnswer is what --json writes for the small job.
func jsonAnswer(t testing.TB, ask func(*app.App, app.Request) (any, error)) string {
	classes, err := products.Catalogue()
	require.NoError(t, err)
	a := &app.App{Source: demo.Source{Clock: app.At(tuesday)}, Clock: app.At(tuesday), Classes: classes, Futures: 4}
	v, err := ask(a, app.Request{Job: func(zone string) (*job.Job, error) {
		return job.Parse("small.yaml", []byte(smallJob), classes, job.Options{Timezone: zone})
	}})
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, answer.Write(&out, v))
	return out.String()
}

// The bodies are byte for byte those of --json.
func TestAPIBytesAreThoseOfJSON(t *testing.T) {
	f := serve(t, nil)
	// The morning first: a week kept in the book is a plan agreed on.
	morning := jsonAnswer(t, func(a *app.App, r app.Request) (any, error) { return a.Morning(t.Context(), r) })
	assert.Equal(t, morning, f.get("/api/jobs/small/morning").Body.String())
	week := jsonAnswer(t, func(a *app.App, r app.Request) (any, error) { return a.Week(t.Context(), r) })
	assert.Equal(t, week, f.get("/api/jobs/small/week").Body.String())
	list := jsonAnswer(t, func(a *app.App, _ app.Request) (any, error) { return f.cfg.Desk.Products(), nil })
	assert.Equal(t, list, f.get("/api/products").Body.String())
}

// A program sees one plan, whatever it asks, and makes a new one on purpose.
func TestAPIShowsOnePlan(t *testing.T) {
	f := serve(t, nil)
	var week, anew answer.Week
	var move answer.Move
	require.Equal(t, http.StatusOK, f.get("/api/jobs/small/week").Code)
	require.Equal(t, http.StatusOK, f.post("/api/jobs/small/move", `{}`).Code)
	require.NoError(t, json.Unmarshal(f.get("/api/jobs/small/move").Body.Bytes(), &move))
	require.NoError(t, json.Unmarshal(f.get("/api/jobs/small/week").Body.Bytes(), &week))
	require.NotEmpty(t, week.Plan.Blocks)
	require.NotNil(t, week.Plan.Held)
	assert.True(t, week.Plan.Held.Equal(move.Now))
	for i, b := range move.Plan.Blocks {
		assert.True(t, b.From.Equal(week.Plan.Blocks[i].From))
	}
	require.NoError(t, json.Unmarshal(f.post("/api/jobs/small/plan", "").Body.Bytes(), &anew))
	assert.Nil(t, anew.Plan.Held)
	problemIn(t, f.get("/api/jobs/small/move"))
	assert.NotContains(t, f.get("/api/jobs/small/week").Body.String(), `"held"`)
}

// What the client has is not sent again, and what it accepts compressed is.
func TestAPITagsAndCompression(t *testing.T) {
	f := serve(t, nil)
	plain := f.get("/api/jobs/small/week")
	again := f.get("/api/jobs/small/week", "If-None-Match", plain.Header().Get("ETag"))
	assert.Equal(t, http.StatusNotModified, again.Code)
	assert.Zero(t, again.Body.Len())
	packed := f.get("/api/jobs/small/week", "Accept-Encoding", "gzip, br")
	assert.Equal(t, "gzip", packed.Header().Get("Content-Encoding"))
	assert.Contains(t, packed.Header().Get("Vary"), "Accept-Encoding")
	z, err := gzip.NewReader(packed.Body)
	require.NoError(t, err)
	data, err := io.ReadAll(z)
	require.NoError(t, err)
	assert.Equal(t, plain.Body.String(), string(data))
}

// The description is sound OpenAPI 3.1, and has no address of anybody else.
func TestOpenAPI(t *testing.T) {
	f := serve(t, nil)
	w := f.get("/api/openapi.json")
	require.Equal(t, http.StatusOK, w.Code)
	doc, err := openapi3.NewLoader().LoadFromData(w.Body.Bytes())
	require.NoError(t, err)
	assert.Equal(t, "3.1.0", doc.OpenAPI)
	require.NoError(t, doc.Validate(t.Context()))
	assert.NotContains(t, w.Body.String(), "unpkg")
	for _, path := range []string{"/docs", "/api/docs", "/schemas", "/api/schemas/Week.json"} {
		assert.Equal(t, http.StatusNotFound, f.get(path).Code, path)
	}
	ids := map[string]bool{}
	for path, item := range doc.Paths.Map() {
		for method, o := range item.Operations() {
			assert.False(t, ids[o.OperationID], o.OperationID)
			ids[o.OperationID] = true
			assert.NotEmpty(t, o.Summary, "%s %s", method, path)
		}
	}
	assert.GreaterOrEqual(t, len(ids), 20)
}

// Real answers, good and bad, agree with the description.
func TestAnswersAgreeWithOpenAPI(t *testing.T) {
	f := serve(t, nil)
	doc, err := openapi3.NewLoader().LoadFromData(f.get("/api/openapi.json").Body.Bytes())
	require.NoError(t, err)
	doc.Servers = nil
	router, err := legacy.NewRouter(doc)
	require.NoError(t, err)
	tag := f.get("/api/jobs/small/text").Header().Get("ETag")
	for _, c := range []struct {
		method, path, body string
		status             int
		header             []string
	}{
		{"GET", "/api/jobs", "", 200, nil},
		{"GET", "/api/jobs/small", "", 200, nil},
		{"GET", "/api/jobs/none", "", 404, nil},
		{"GET", "/api/places", "", 200, nil},
		{"GET", "/api/products", "", 200, nil},
		{"GET", "/api/jobs/small/week", "", 200, nil},
		{"GET", "/api/jobs/none/week", "", 404, nil},
		{"GET", "/api/jobs/small/morning", "", 200, nil},
		{"GET", "/api/jobs/small/why?zone=port+side&with=polymer-sealant&at=09:00", "", 200, nil},
		{"POST", "/api/jobs/small/readings", `{"readings": [{"at": "2026-09-08T05:50", "zone": "port side", "surface_c": 14, "by": "contact"}]}`, 200, nil},
		{"PUT", "/api/jobs/small/readings/phone-00000001", `{"at": "2026-09-08T05:40", "air_c": 15, "salt": false}`, 200, nil},
		{"POST", "/api/jobs/small/done", `{"step": "seal", "zones": ["port side"], "share": 0.5, "by": "A"}`, 200, nil},
		{"POST", "/api/jobs/small/outcomes", `{"step": "seal", "zones": ["port side"], "found": "ok"}`, 200, nil},
		{"POST", "/api/jobs/small/rain", `{"from": "04:00", "to": "04:30", "mm": 2}`, 200, nil},
		{"POST", "/api/jobs/small/rain", `{"from": "04:00", "to": "03:30"}`, 422, nil},
		{"POST", "/api/jobs/small/morning", `{"readings": [{"at": "2026-09-08T05:55", "air_c": 15, "humidity_pct": 90}]}`, 200, nil},
		{"POST", "/api/jobs/small/move", `{"rain": [{"from": "05:00", "to": "05:10"}]}`, 200, nil},
		{"GET", "/api/jobs/small/move", "", 200, nil},
		{"GET", "/api/jobs/small/week", "", 200, nil}, // with the moved plan
		{"POST", "/api/jobs/small/plan", "", 200, nil},
		{"POST", "/api/jobs/none/plan", "", 404, nil},
		{"GET", "/api/jobs/small/move", "", 404, nil},
		{"GET", "/api/jobs/small/readings?limit=2", "", 200, nil},
		{"GET", "/api/jobs/small/done", "", 200, nil},
		{"DELETE", "/api/jobs/small/done/1", "", 200, nil},
		{"GET", "/api/jobs/small/outcomes", "", 200, nil},
		{"GET", "/api/jobs/small/answers?limit=1", "", 200, nil},
		{"GET", "/api/jobs/small/answers/1", "", 200, nil},
		{"GET", "/api/jobs/small/answers/999", "", 404, nil},
		{"POST", "/api/jobs/small/check", smallJob, 200, []string{"Content-Type", "application/yaml"}},
		{"PUT", "/api/jobs/small/text", smallJob + "#\n", 200, []string{"Content-Type", "application/yaml", "If-Match", tag}},
		{"PUT", "/api/jobs/small/text", smallJob, 412, []string{"Content-Type", "application/yaml", "If-Match", tag}},
		{"PUT", "/api/jobs/small/text", smallJob, 428, []string{"Content-Type", "application/yaml"}},
	} {
		r := httptest.NewRequest(c.method, c.path, strings.NewReader(c.body))
		r.Host = "127.0.0.1:8023"
		if c.body != "" && c.header == nil {
			r.Header.Set("Content-Type", "application/json")
		}
		for i := 0; i < len(c.header); i += 2 {
			r.Header.Set(c.header[i], c.header[i+1])
		}
		w := httptest.NewRecorder()
		name := c.method + " " + c.path
		route, params, err := router.FindRoute(r)
		require.NoError(t, err, name)
		f.Handler().ServeHTTP(w, r)
		require.Equal(t, c.status, w.Code, "%s: %s", name, w.Body)
		assert.NoError(t, openapi3filter.ValidateResponse(t.Context(), &openapi3filter.ResponseValidationInput{
			RequestValidationInput: &openapi3filter.RequestValidationInput{Request: r, PathParams: params, Route: route},
			Status:                 w.Code, Header: w.Header(), Body: io.NopCloser(bytes.NewReader(w.Body.Bytes())),
		}), name)
		if w.Code >= 400 {
			problemIn(t, w)
		}
	}
}

// A job is changed only by who has its newest text.
func TestJobIsChangedUnderItsTag(t *testing.T) {
	f := serve(t, nil)
	text := f.get("/api/jobs/small/text", "Accept-Encoding", "gzip")
	tag := text.Header().Get("ETag")
	require.NotEmpty(t, tag)
	put := func(body, tag string) *httptest.ResponseRecorder {
		header := []string{"Content-Type", "application/yaml"}
		if tag != "" {
			header = append(header, "If-Match", tag)
		}
		return f.ask("PUT", "/api/jobs/small/text", body, header...)
	}
	assert.Equal(t, http.StatusPreconditionRequired, put(smallJob, "").Code)
	assert.Equal(t, http.StatusPreconditionFailed, put(smallJob, `"other"`).Code)
	wrong := problemIn(t, put(strings.Replace(smallJob, "tilt: 90", "tilt: 900", 1)+"nonsense: 1\n", tag))
	assert.Equal(t, http.StatusUnprocessableEntity, wrong.Status)
	require.Len(t, wrong.Errors, 2)
	assert.Regexp(t, `^small\.yaml:5:\d+$`, wrong.Errors[0].Where)
	data, err := os.ReadFile(f.file)
	require.NoError(t, err)
	assert.Equal(t, smallJob, string(data))

	done := put(strings.Replace(smallJob, "Small", "New", 1), tag)
	require.Equal(t, http.StatusOK, done.Code, done.Body)
	assert.Contains(t, done.Body.String(), "New seal")
	assert.Equal(t, done.Header().Get("ETag"), f.get("/api/jobs/small/text").Header().Get("ETag"))
	assert.Equal(t, http.StatusPreconditionFailed, put(smallJob, tag).Code)
	assert.Contains(t, f.get("/api/jobs/small/week").Body.String(), "New seal")
}

// The coat that is on now is told as one, and one that the job has not is refused.
func TestDoneByTheCoat(t *testing.T) {
	f := serve(t, nil)
	w := f.post("/api/jobs/small/done", `{"step": "seal", "zones": ["port side"], "coat": 1, "at": "05:00"}`)
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	assert.Contains(t, w.Body.String(), "seal on port side, coat 1")
	w = f.post("/api/jobs/small/done", `{"step": "seal", "zones": ["port side"], "coat": 2, "at": "05:10"}`)
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "seal has no coat 2")
	assert.Equal(t, http.StatusUnprocessableEntity, f.post("/api/jobs/small/done", `{"step": "seal", "zones": ["port side"], "coat": -1}`).Code)
	assert.Contains(t, f.get("/api/openapi.json").Body.String(), "That is on now, of a step with several")
}

// A write sent again under its name is answered as the first time and done once,
// though both come at once.
func TestIdempotency(t *testing.T) {
	f := serve(t, nil)
	const done = `{"step": "seal", "zones": ["port side"], "share": 0.25, "at": "05:00"}`
	var all sync.WaitGroup
	got := make([]string, 8)
	for i := range got {
		all.Go(func() { got[i] = f.post("/api/jobs/small/done", done, "Idempotency-Key", "k1").Body.String() })
	}
	all.Wait()
	for _, g := range got {
		assert.Equal(t, got[0], g)
	}
	count := func() int { return len(into[entriesPage](t, f.get("/api/jobs/small/done")).Entries) }
	assert.Equal(t, 1, count())
	assert.Equal(t, "true", f.post("/api/jobs/small/done", done, "Idempotency-Key", "k1").Header().Get("Idempotent-Replayed"))
	other := strings.Replace(done, "05:00", "05:10", 1)
	assert.Equal(t, http.StatusConflict, f.post("/api/jobs/small/done", other, "Idempotency-Key", "k1").Code)
	assert.Equal(t, http.StatusOK, f.post("/api/jobs/small/done", other, "Idempotency-Key", "k2").Code)
	assert.Equal(t, 2, count())
	// What was refused may be mended under the same name.
	assert.Equal(t, http.StatusUnprocessableEntity, f.post("/api/jobs/small/done", `{"step": "wash", "zones": ["port side"]}`, "Idempotency-Key", "k3").Code)
	assert.Equal(t, http.StatusOK, f.post("/api/jobs/small/done", strings.Replace(done, "05:00", "05:20", 1), "Idempotency-Key", "k3").Code)
	assert.Equal(t, http.StatusBadRequest, f.post("/api/jobs/small/done", done, "Idempotency-Key", strings.Repeat("k", 300)).Code)
	f.later(onceFor)
	assert.Equal(t, http.StatusOK, f.post("/api/jobs/small/done", strings.Replace(done, "05:00", "05:40", 1), "Idempotency-Key", "k1").Code,
		"a day later the name is free")
}

// A reading under the client's name is recorded once, by another server too.
func TestPutReading(t *testing.T) {
	f := serve(t, nil)
	const reading = `{"at": "2026-09-08T05:40", "zone": "port side", "surface_f": 56, "by": "infrared", "wet": true}`
	put := func(body string) *httptest.ResponseRecorder {
		return f.ask("PUT", "/api/jobs/small/readings/phone-0001", body, "Content-Type", "application/json")
	}
	first := into[answer.Logged](t, put(reading))
	assert.Equal(t, first, into[answer.Logged](t, put(reading)))
	assert.Equal(t, http.StatusConflict, put(strings.Replace(reading, "56", "57", 1)).Code)
	f.once = newIdempotent(f.clock) // what a restart leaves of it
	f.handler = f.routes()
	assert.Equal(t, first.Entries[0].ID, into[answer.Logged](t, put(reading)).Entries[0].ID)
	assert.Len(t, into[entriesPage](t, f.get("/api/jobs/small/readings")).Entries, 1)
}

// Long lists are read page by page, each entry once, while more are written.
func TestPagination(t *testing.T) {
	f := serve(t, nil)
	add := func(i int) {
		w := f.post("/api/jobs/small/readings", fmt.Sprintf(`{"readings": [{"at": "2026-09-08T05:%02d", "air_c": 15}]}`, i))
		require.Equal(t, http.StatusOK, w.Code, w.Body)
	}
	for i := range 7 {
		add(i)
	}
	var ids []int64
	cursor := ""
	for page := range 10 {
		p := into[entriesPage](t, f.get("/api/jobs/small/readings?limit=3&cursor="+cursor))
		for _, e := range p.Entries {
			ids = append(ids, e.ID)
		}
		if cursor = p.Next; cursor == "" {
			break
		}
		add(20 + page)
	}
	assert.Equal(t, []int64{7, 6, 5, 4, 3, 2, 1}, ids)
	for _, query := range []string{"limit=0", "limit=201", "limit=x", "cursor=-1", "cursor=x"} {
		assert.Equal(t, http.StatusUnprocessableEntity, f.get("/api/jobs/small/readings?"+query).Code, query)
	}
}

// What cannot be meant is told as a problem with its place and what to do.
func TestProblems(t *testing.T) {
	f := serve(t, nil)
	for _, c := range []struct {
		method, path, body string
		status             int
	}{
		{"GET", "/api/nothing", "", 404},
		{"GET", "/api/jobs/none/text", "", 404},
		{"PATCH", "/api/jobs", "", 405},
		{"POST", "/api/jobs/small/week", "", 405},
		{"GET", "/api/jobs/small/why", "", 422},
		{"GET", "/api/jobs/small/why?zone=port+side&with=polymer-sealent", "", 422},
		{"GET", "/api/jobs/small/why?zone=port+side&with=polymer-sealant&at=soon", "", 422},
		{"GET", "/api/jobs/small/move", "", 404},
		{"POST", "/api/jobs/small/move", `{}`, 409},
		{"POST", "/api/jobs/small/readings", `{"readings": []}`, 422},
		{"POST", "/api/jobs/small/readings", `{"readings": [{"air": 15}]}`, 422},
		{"POST", "/api/jobs/small/readings", `{"readings": [{"air_c": 150}]}`, 422},
		{"POST", "/api/jobs/small/readings", `{"readings": [{"at": "2027-09-08T05:50", "air_c": 15}]}`, 422},
		{"POST", "/api/jobs/small/readings", `{"readings": `, 400},
		{"POST", "/api/jobs/small/readings", ``, 400},
		{"DELETE", "/api/jobs/small/done/7", "", 404},
		{"DELETE", "/api/jobs/small/done/x", "", 422},
		{"POST", "/api/jobs/small/check", "job: [", 422},
	} {
		w := f.ask(c.method, c.path, c.body, "Content-Type", "application/json")
		assert.Equal(t, c.status, w.Code, "%s %s: %s", c.method, c.path, w.Body)
		problemIn(t, w)
	}
	w := f.ask("PATCH", "/api/jobs/small/text", "")
	assert.Equal(t, []string{"GET", "PUT"}, w.Header().Values("Allow"))
}

// A fault of ours is told without its words.
func TestFaultsAreNotTold(t *testing.T) {
	p := problemOf(errors.New("open /home/someone/secret: permission denied"))
	assert.Equal(t, http.StatusInternalServerError, p.Status)
	assert.NotContains(t, p.Detail+p.Fix, "secret")
}

// Hidden nothing: the API of a job whose file went wrong says what is wrong with it.
func TestJobThatCannotBeRead(t *testing.T) {
	f := serve(t, nil)
	require.NoError(t, os.WriteFile(f.file, []byte("job: x\n"), 0o600))
	p := problemIn(t, f.get("/api/jobs/small/week"))
	assert.Equal(t, http.StatusUnprocessableEntity, p.Status)
	assert.True(t, strings.HasPrefix(p.Where, "small.yaml:"), p.Where)
	list := into[jobsAnswer](t, f.get("/api/jobs"))
	assert.NotEmpty(t, list.Jobs[0].Wrong)
}
