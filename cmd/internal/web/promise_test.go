package web

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/web/desk"
	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/window/job"

	"github.com/danielgtaylor/huma/v2"
	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// described are the operations that the API's own description has: methods by path, the
// names in it filled in.
func described(t testing.TB, f *fixture) map[string][]string {
	doc, err := openapi3.NewLoader().LoadFromData(f.get("/api/openapi.json").Body.Bytes())
	require.NoError(t, err)
	out := map[string][]string{}
	for path, item := range doc.Paths.Map() {
		path = strings.NewReplacer("{job}", "small", "{id}", "1").Replace(path)
		for method := range item.Operations() {
			out[path] = append(out[path], method)
		}
		slices.Sort(out[path])
	}
	require.NotEmpty(t, out)
	return out
}

// Each address takes the methods that the description has, and of any other says which it
// takes; HEAD goes where GET goes. Nothing is changed by asking.
func TestEachAddressTakesItsMethods(t *testing.T) {
	f := serve(t, nil)
	for path, methods := range described(t, f) {
		for _, method := range []string{"GET", "POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND", "get"} {
			if slices.Contains(methods, method) {
				continue
			}
			w := f.ask(method, path, "")
			assert.Equal(t, http.StatusMethodNotAllowed, w.Code, "%s %s", method, path)
			problemIn(t, w)
			allow := w.Header().Values("Allow")
			slices.Sort(allow)
			assert.Equal(t, methods, allow, "%s %s", method, path)
		}
	}
	data, err := f.book.Jobs(t.Context())
	require.NoError(t, err)
	assert.Empty(t, data, "nothing was written")
}

// HEAD tells of an answer what GET would, and brings none.
func TestHeadIsGetWithoutTheAnswer(t *testing.T) {
	f := serve(t, nil)
	address, _ := f.listen()
	client := &http.Client{Transport: &http.Transport{DisableCompression: true}}
	ask := func(method, path string) (*http.Response, []byte) {
		r, err := http.NewRequest(method, "http://"+address+path, nil)
		require.NoError(t, err)
		w, err := client.Do(r)
		require.NoError(t, err)
		data, err := io.ReadAll(w.Body)
		require.NoError(t, err)
		require.NoError(t, w.Body.Close())
		return w, data
	}
	for _, path := range []string{"/", "/healthz", "/api/jobs", "/api/jobs/small", "/api/jobs/small/week", "/api/jobs/small/text", "/api/products", "/api/jobs/none", "/api/nothing",
		"/api/openapi.json", "/sign-in.css", "/api/jobs/small/done"} {
		get, data := ask(http.MethodGet, path)
		head, none := ask(http.MethodHead, path)
		assert.Equal(t, get.StatusCode, head.StatusCode, path)
		assert.Empty(t, none, path)
		assert.NotEmpty(t, data, path)
		for _, name := range []string{"Content-Type", "ETag", "Cache-Control", "Vary", "Content-Security-Policy"} {
			assert.Equal(t, get.Header.Values(name), head.Header.Values(name), "%s of %s", name, path)
		}
		if n := head.Header.Get("Content-Length"); n != "" {
			assert.Equal(t, fmt.Sprint(len(data)), n, path)
		}
	}
}

// What is of one person is kept by no cache between, whatever the address and whether it
// went well.
func TestNoCacheBetweenKeepsAnAnswer(t *testing.T) {
	f := serve(t, nil)
	for path := range described(t, f) {
		for _, method := range []string{"GET", "PATCH"} {
			w := f.ask(method, path, "")
			assert.Regexp(t, `no-store|private`, w.Header().Get("Cache-Control"), "%s %s", method, path)
		}
	}
	w := f.post("/api/jobs/small/readings", `{"readings": []}`)
	assert.Regexp(t, `no-store|private`, w.Header().Get("Cache-Control"))
}

// Only JSON is read as JSON: a form of another site's page cannot pass for it.
func TestContentTypes(t *testing.T) {
	f := serve(t, nil)
	for kind, status := range map[string]int{
		"application/json": 200, "application/json; charset=utf-8": 200, "application/merge-patch+json": 200,
		"text/plain": 415, "application/x-www-form-urlencoded": 415, "multipart/form-data; boundary=x": 415, "application/xml": 415, "application/cbor": 415, "text/html": 415,
	} {
		w := f.ask(http.MethodPost, "/api/jobs/small/readings", `{"readings": [{"at": "2026-09-08T05:50", "air_c": 15}]}`, "Content-Type", kind)
		assert.Equal(t, status, w.Code, "%s: %s", kind, w.Body)
		if status != 200 {
			problemIn(t, w)
		}
	}
	assert.Len(t, into[entriesPage](t, f.get("/api/jobs/small/readings")).Entries, 1, "the same reading each time")
	for _, accept := range []string{"", "*/*", "application/json", "text/html", "application/cbor", "image/png"} {
		w := f.get("/api/jobs", "Accept", accept)
		assert.Equal(t, "application/json", w.Header().Get("Content-Type"), "the answer is JSON, whatever %q is asked for", accept)
		problemIn(t, f.get("/api/jobs/none", "Accept", accept))
	}
	text := f.get("/api/jobs/small/text")
	assert.Equal(t, "application/yaml; charset=utf-8", text.Header().Get("Content-Type"))
	assert.Equal(t, "nosniff", text.Header().Get("X-Content-Type-Options"), "a job file is no page")
}

// What is no answer to the question asked is told with the place of the mistake; nothing
// of it is kept.
func TestBodiesThatCannotBeMeant(t *testing.T) {
	f := serve(t, nil)
	for _, c := range []struct {
		path, body string
		status     int
		where      string
	}{
		{"readings", `{"readings": [{"air_c": "15"}]}`, 422, "body.readings[0].air_c"},
		{"readings", `{"readings": [{"air_c": 15}, {"humidty_pct": 80}]}`, 422, "body.readings[1].humidty_pct"},
		{"readings", `{"readings": [null]}`, 422, "body.readings[0]"},
		{"readings", `[]`, 422, "body"},
		{"readings", `null`, 422, "body"},
		{"readings", `{"readings": [{"air_c": 1e400}]}`, 400, "body"},
		{"readings", `{"readings": [{"air_c": 15}]} {}`, 400, "body"},
		{"readings", `{"readings": [{"sky": "grey"}]}`, 422, "body.readings[0].sky"},
		{"readings", strings.Repeat("[", 100_000), 400, "body"},
		{"readings", `{"readings": [` + strings.TrimSuffix(strings.Repeat(`{"air_c": 15},`, 501), ",") + `]}`, 422, "body.readings"},
		{"done", `{"step": "seal"}`, 422, "body"},
		{"done", `{"step": "seal", "zones": []}`, 422, "body.zones"},
		{"done", `{"step": "", "zones": ["port side"]}`, 422, "body.step"},
		{"done", `{"step": "seal", "zones": ["port side"], "share": 1.5}`, 422, "body.share"},
		{"done", `{"step": "seal", "zones": ["port side"], "note": "` + strings.Repeat("n", 2001) + `"}`, 422, "body.note"},
		{"done", `{"step": "seal", "zones": ["port side"], "corrects": -1}`, 422, "body.corrects"},
		{"outcomes", `{"step": "seal", "zones": ["port side"], "found": "gold"}`, 422, "body.found"},
		{"rain", `{"from": ""}`, 422, "body.from"},
		{"rain", `{"from": "04:00", "mm": 0}`, 422, "body.mm"},
		{"rain", `{"from": "04:00", "mm": 1001}`, 422, "body.mm"},
		{"move", `{"left": [{"step": "seal", "zone": "port side", "how": "wet"}]}`, 422, "body.left[0].how"},
		{"move", `{"rain": [{}]}`, 422, "body.rain[0]"},
		{"morning", `{"readings": []}`, 422, "body.readings"},
	} {
		w := f.post("/api/jobs/small/"+c.path, c.body)
		name := c.path + " " + c.body[:min(80, len(c.body))]
		if assert.Equal(t, c.status, w.Code, "%s: %s", name, w.Body) {
			p := problemIn(t, w)
			assert.Equal(t, c.where, p.Where, name)
			assert.NotEmpty(t, p.Errors, name)
		}
	}
	for _, kind := range []string{"readings", "done", "outcomes"} {
		assert.Empty(t, into[entriesPage](t, f.get("/api/jobs/small/"+kind)).Entries, kind)
	}
}

// Whatever JSON a stranger sends to whatever address, the answer is an answer or a
// problem, and never a fault of ours.
func TestAnyJSONIsAnswered(t *testing.T) {
	f := serve(t, nil)
	keys := []string{"readings", "at", "zone", "air_c", "surface_f", "by", "step", "zones", "share", "found", "from", "to", "mm", "rain", "left", "how", "ladder", "corrects", "note", "odd"}
	scalars := []any{nil, true, "", "seal", "port side", "04:00", "2026-09-08T05:00", "9999-99-99T99:99", "hazing", "ok", "contact", 0, -1, 0.5, 15, 1e18, "\x00\u202e", strings.Repeat("z", 3000)}
	var value func(t *rapid.T, deep int) any
	value = func(t *rapid.T, deep int) any {
		switch way := rapid.IntRange(0, 4).Draw(t, "way"); {
		case way == 0 && deep > 0:
			list := []any{}
			for range rapid.IntRange(0, 3).Draw(t, "n") {
				list = append(list, value(t, deep-1))
			}
			return list
		case way == 1 && deep > 0:
			m := map[string]any{}
			for range rapid.IntRange(0, 5).Draw(t, "n") {
				m[rapid.SampledFrom(keys).Draw(t, "key")] = value(t, deep-1)
			}
			return m
		}
		return rapid.SampledFrom(scalars).Draw(t, "scalar")
	}
	addresses := []string{"/readings", "/done", "/outcomes", "/rain", "/move", "/morning"}
	rapid.Check(t, func(t *rapid.T) {
		body := map[string]any{}
		for range rapid.IntRange(0, 5).Draw(t, "keys") {
			body[rapid.SampledFrom(keys).Draw(t, "key")] = value(t, 3)
		}
		data, err := json.Marshal(body)
		require.NoError(t, err)
		w := f.post("/api/jobs/small"+rapid.SampledFrom(addresses).Draw(t, "address"), string(data))
		if w.Code >= 500 {
			t.Fatalf("%d: %s", w.Code, w.Body)
		}
		if w.Code >= 400 {
			var p Problem
			if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || p.Status != w.Code || p.Detail == "" || p.Fix == "" {
				t.Fatalf("%d: %s", w.Code, w.Body)
			}
		}
	})
	assert.NotContains(t, f.log.String(), "level=ERROR")
}

// By pages of any length a list is read whole, each entry once, the newest first.
func TestAnyLengthOfPage(t *testing.T) {
	f := serve(t, nil)
	for i := range 23 {
		require.Equal(t, http.StatusOK, f.post("/api/jobs/small/rain", fmt.Sprintf(`{"from": "03:%02d", "to": "04:%02d"}`, i, i)).Code)
	}
	whole := into[entriesPage](t, f.get("/api/jobs/small/readings?limit=200"))
	require.Len(t, whole.Entries, 23)
	assert.Empty(t, whole.Next)
	for limit := 1; limit <= 25; limit++ {
		var got []answer.Entry
		for cursor, pages := "", 0; ; pages++ {
			p := into[entriesPage](t, f.get(fmt.Sprintf("/api/jobs/small/readings?limit=%d&cursor=%s", limit, cursor)))
			assert.LessOrEqual(t, len(p.Entries), limit)
			got = append(got, p.Entries...)
			if cursor = p.Next; cursor == "" {
				assert.LessOrEqual(t, pages, 23/limit, "no empty page at the end")
				break
			}
		}
		require.Equal(t, whole.Entries, got, "by %d", limit)
	}
	for cursor, n := range map[string]int{"1": 0, "0": 23, "": 23, "9999999999999999999": 23, "24": 23, "12": 11} {
		assert.Len(t, into[entriesPage](t, f.get("/api/jobs/small/readings?cursor="+cursor)).Entries, n, "below %q", cursor)
	}
	for _, id := range []string{"0", "-1", "9223372036854775808", "1.5"} {
		assert.Equal(t, http.StatusUnprocessableEntity, f.get("/api/jobs/small/answers/"+id).Code, id)
	}
	problemIn(t, f.get("/api/jobs/small/answers/9223372036854775807"))
}

// A tag stands for the bytes: it is the same while they are the same, another once
// anything is written, and of several tags one that fits is enough.
func TestTagsStandForBytes(t *testing.T) {
	f := serve(t, nil)
	tag := func() string { return f.get("/api/jobs/small/week").Header().Get("ETag") }
	first := tag()
	require.Regexp(t, `^"[0-9a-f]{24}"$`, first)
	assert.Equal(t, first, tag())
	for header, status := range map[string]int{
		first: 304, `W/` + first: 304, `"x", ` + first: 304, "*": 304, `"x"`: 200, "": 200, strings.Trim(first, `"`)[:20]: 200, `"` + strings.Trim(first, `"`) + `-gz"`: 304,
	} {
		assert.Equal(t, status, f.get("/api/jobs/small/week", "If-None-Match", header).Code, header)
	}
	require.Equal(t, http.StatusOK, f.post("/api/jobs/small/done", `{"step": "seal", "zones": ["port side"], "at": "05:00"}`).Code)
	assert.NotEqual(t, first, tag(), "work was written down")
	w := f.get("/api/jobs/small/week", "If-None-Match", first)
	assert.Equal(t, http.StatusOK, w.Code)
	assert.NotEmpty(t, w.Body.String())
	text := f.get("/api/jobs/small/text")
	assert.Equal(t, http.StatusNotModified, f.get("/api/jobs/small/text", "If-None-Match", text.Header().Get("ETag")).Code)
}

// A name of a write is of one address: the same name elsewhere is another write. GET and
// what has no name are never answered from memory.
func TestANameIsOfOneAddress(t *testing.T) {
	f := serve(t, nil)
	const done = `{"step": "seal", "zones": ["port side"], "at": "05:00"}`
	const outcome = `{"step": "seal", "zones": ["port side"], "found": "ok"}`
	require.Equal(t, http.StatusOK, f.post("/api/jobs/small/done", done, "Idempotency-Key", "k").Code)
	w := f.post("/api/jobs/small/outcomes", outcome, "Idempotency-Key", "k")
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	assert.Empty(t, w.Header().Get("Idempotent-Replayed"))
	assert.Empty(t, f.get("/api/jobs/small/done", "Idempotency-Key", "k").Header().Get("Idempotent-Replayed"))
	require.Equal(t, http.StatusOK, f.post("/api/jobs/small/done", strings.Replace(done, "05:00", "05:10", 1)).Code)
	assert.Equal(t, http.StatusOK, f.post("/api/jobs/small/rain", `{"from": "02:00", "to": "02:10"}`).Code)
	assert.Len(t, into[entriesPage](t, f.get("/api/jobs/small/done")).Entries, 2)
	for _, id := range []string{"short", strings.Repeat("x", 101), "with%20blank", "a%2Fb-long-enough"} {
		w := f.ask(http.MethodPut, "/api/jobs/small/readings/"+id, `{"air_c": 15}`, "Content-Type", "application/json")
		assert.Contains(t, []int{404, 405, 422}, w.Code, id)
	}
}

// Who waits for the first request of a name and runs out of time is told to ask again;
// an empty answer would read as done.
func TestWaitingForTheFirstRunsOut(t *testing.T) {
	f := serve(t, nil)
	body := `{"step": "seal", "zones": ["port side"]}`
	f.once.by["POST /api/jobs/small/done k"] = &write{asked: sha256.Sum256([]byte(body)), at: f.clock(), done: make(chan struct{})}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	r := httptest.NewRequest(http.MethodPost, "/api/jobs/small/done", strings.NewReader(body)).WithContext(ctx)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Idempotency-Key", "k")
	w := httptest.NewRecorder()
	f.once.handler(f.api()).ServeHTTP(w, r)
	assert.Equal(t, http.StatusServiceUnavailable, w.Code)
	assert.Equal(t, "5", w.Header().Get("Retry-After"))
	problemIn(t, w)
}

// Each kind of error has its status, by which a program knows whether to mend what it
// sent, to ask for something else, or to ask again.
func TestEachErrorHasItsStatus(t *testing.T) {
	for _, c := range []struct {
		err    error
		status int
		after  string
	}{
		{desk.ErrNoJob, 404, ""}, {&app.Problem{Text: "no entry", Fix: "look at the list", Err: book.ErrNotFound}, 404, ""}, {desk.ErrChanged, 412, ""},
		{desk.ErrReadOnly, 409, ""}, {desk.ErrNoPlan, 409, ""}, {desk.ErrNoBook, 409, ""},
		{desk.ErrBusy, 503, "5"}, {context.DeadlineExceeded, 503, "5"}, {context.Canceled, 503, "5"},
		{&fetch.Error{Service: "NWS", Kind: fetch.Network}, 502, ""}, {&forecast.ReadError{}, 502, ""},
		{&app.Problem{Text: "the tide is out", Fix: "wait"}, 422, ""}, {job.Errors{{File: "/home/ada/a.yaml", Line: 2, Column: 3, Message: "wrong", Fix: "mend it"}}, 422, ""},
		{errors.New("/home/ada/secret: permission denied"), 500, ""}, {newProblem(428, "If-Match is missing", "send it"), 428, ""},
	} {
		for _, err := range []error{c.err, fmt.Errorf("asking: %w", c.err)} {
			p := problemOf(err)
			assert.Equal(t, c.status, p.GetStatus(), err)
			assert.Equal(t, c.after, p.GetHeaders().Get("Retry-After"), err)
			assert.NotEmpty(t, p.Error(), err)
			assert.True(t, p.Fix != "" || c.status == http.StatusBadGateway, "what is to be done about %v?", err) // which services' errors bring themselves
			assert.NotContains(t, fmt.Sprint(p), "ada", "folders are nobody's business")
			assert.Equal(t, "application/problem+json", p.ContentType("application/json"))
		}
	}
}

// What huma finds itself is told in the same form, with each mistake and its place.
func TestFindingsOfTheFrameAreProblems(t *testing.T) {
	err := huma.NewError(422, "validation failed", nil, &huma.ErrorDetail{Message: "expected number", Location: "body.air_c"}, errors.New("odd"))
	p, ok := err.(*Problem)
	require.True(t, ok)
	assert.Equal(t, "body.air_c", p.Where)
	assert.Equal(t, []answer.Failure{{Error: "expected number", Where: "body.air_c"}, {Error: "odd"}}, p.Errors)
	assert.Equal(t, "Unprocessable Entity", p.Title)
}
