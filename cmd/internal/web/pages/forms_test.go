package pages

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/internal/webtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// small is a stand on the small job.
func small(t testing.TB, change ...func(*Config)) *stand {
	return standing(t, func(string) string { return webtest.SmallJob }, change...)
}

// fieldNames are the fields of all forms, and values those that they may hold and those
// that they may not.
var (
	fieldNames = map[string][]string{
		"/job/kittiwake":     {"op", "index", "zone", "finish", "shelter", "access", "area", "tilt", "faces", "salt", "from", "by", "with", "on", "do", "name", "text"},
		"/morning/kittiwake": {"air", "humidity", "wind", "sky", "salt", "spray", "zone.0", "surface.0", "by.0", "wet.0", "sun.0", "zone.1", "surface.1"},
		"/move/kittiwake":    {"date", "from", "to", "mm", "left.step.0", "left.zone.0", "left.how.0", "left.share.0", "left.from.0", "left.to.0"},
		"/log/kittiwake":     {"op", "kind", "number", "step", "zone", "found", "date", "at", "by", "note", "share", "coat"},
		"/plan/kittiwake":    {"x"}, "/theme": {"theme", "back"}, "/job/kittiwake/check": {"text"},
	}
	values = []string{"", "zone", "dates", "step", "add-step", "remove-step", "file", "undo", "done", "reading", "outcome", "0", "1", "-1", "99", "50", "1e400", "NaN", "-0",
		"9223372036854775807", "port side", "seal", "polymer-sealant", "white-gelcoat", "roof", "dock", "yes", "no", "2026-09-08", "2026-09-07", "05:10", "05:40", "23:59", "24:00",
		"infrared", "clear", "hazing", "buffed", "ok", "redo", "night", "//evil.example", "<script>alert(1)</script>", "\u202e\x00\xff", "'; DROP TABLE zones; --", "13,5", "steep", "job: [",
		webtest.SmallJob, strings.Repeat("long", 500)}
)

// Whatever a form brings, it is taken or refused with a page that can be read: nothing
// is a fault, no text of it becomes markup, and the job that is kept stays a good one.
func TestAnyFormIsTakenOrRefused(t *testing.T) {
	s := small(t)
	paths := sortedKeys(fieldNames)
	rapid.Check(t, func(t *rapid.T) {
		path := rapid.SampledFrom(paths).Draw(t, "path")
		f := url.Values{"tag": {s.tag()}}
		s.faults = nil
		for _, name := range fieldNames[path] {
			if rapid.Bool().Draw(t, "has "+name) {
				f.Set(name, rapid.SampledFrom(values).Draw(t, name))
			}
		}
		w := s.post(path, f)
		page := w.Body.String()
		switch {
		case w.Code == http.StatusSeeOther:
			if to := w.Header().Get("Location"); !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") {
				t.Fatalf("led to %q", to)
			}
		case w.Code >= 500 && w.Code != http.StatusServiceUnavailable:
			t.Fatalf("%d: %s", w.Code, page)
		case strings.Contains(page, "<script>alert"), !utf8.ValidString(page):
			t.Fatalf("it is markup, or no text: %q", path)
		}
		if len(s.faults) > 0 {
			t.Fatalf("%v", s.faults)
		}
		if _, err := s.desk.CheckJob("kittiwake", []byte(s.text())); err != nil {
			t.Fatalf("a wrong job was kept: %v", err)
		}
	})
}

// Each way in which the log can be filled in wrongly is told, with what was filled in
// still there, and nothing is written down.
func TestAWrongEntryIsToldOnTheForm(t *testing.T) {
	s := small(t)
	for want, f := range map[string]url.Values{
		"Which step was it?":                       {"zone": {"port side"}},
		"On which part of the boat?":               {"step": {"seal"}},
		"A share lies above 0":                     {"step": {"seal"}, "zone": {"port side"}, "share": {"0"}},
		"A share lies above 0 and at most at 100 ": {"step": {"seal"}, "zone": {"port side"}, "share": {"101"}},
		"is no number":                             {"step": {"seal"}, "zone": {"port side"}, "share": {"half"}},
		"A day needs a time":                       {"step": {"seal"}, "zone": {"port side"}, "date": {"2026-09-07"}},
		"That is nothing that can be found":        {"step": {"seal"}, "zone": {"port side"}, "found": {"gold"}},
		"lies in the future":                       {"step": {"seal"}, "zone": {"port side"}, "at": {"23:00"}},
		"no step":                                  {"step": {"varnish"}, "zone": {"port side"}},
		"no seal on a zone":                        {"step": {"seal"}, "zone": {"crow's nest"}},
		"there is no done with the number 7":       {"op": {"undo"}, "kind": {"done"}, "number": {"7"}},
	} {
		f.Set("note", "kept <b>note</b>")
		w := s.post("/log/kittiwake", f)
		if !assert.Equal(t, http.StatusUnprocessableEntity, w.Code, want) {
			continue
		}
		root := decent(t, want, w.Body.String())
		if !strings.Contains(strings.ToLower(plainly(root.text())), strings.ToLower(want)) {
			t.Errorf("%q is not said: %s", want, root.all(func(n *node) bool { return n.attr["id"] == "problem" })[0].text())
		}
		assert.Contains(t, w.Body.String(), "kept &lt;b&gt;note&lt;/b&gt;", want)
	}
	list, err := s.desk.Log(t.Context(), "kittiwake")
	require.NoError(t, err)
	assert.Empty(t, list.Done)
	assert.Empty(t, list.Outcomes)
	assert.Empty(t, s.faults)
}

// Without script work goes into the log, shows, is found bad, and is taken back, each
// by a form of the page and the page that it leads to.
func TestTheLogWithoutScript(t *testing.T) {
	s := small(t)
	follow := func(f url.Values) string {
		w := s.post("/log/kittiwake", f)
		require.Equal(t, http.StatusSeeOther, w.Code, "%s", w.Body)
		return decent(t, "/log", s.get(w.Header().Get("Location")).Body.String()).named("main")[0].text()
	}
	text := follow(url.Values{"step": {"seal"}, "zone": {"port side"}, "at": {"05:30"}, "share": {"50"}, "by": {"Ada"}, "note": {"thin coat"}})
	says(t, text, "thin coat", "Ada", "50 %")
	text = follow(url.Values{"step": {"seal"}, "zone": {"port side"}, "found": {"redo"}})
	says(t, text, "redo")
	list, err := s.desk.Log(t.Context(), "kittiwake")
	require.NoError(t, err)
	require.Len(t, list.Done, 1)
	text = follow(url.Values{"op": {"undo"}, "kind": {"done"}, "number": {fmt.Sprint(list.Done[0].ID)}})
	assert.NotContains(t, text, "thin coat")
}

// Methods and addresses that there are not are told as such.
func TestOnlyWhatThereIsAnswers(t *testing.T) {
	s := small(t)
	for path, status := range map[string]int{"/week": 404, "/week/": 404, "/week/none": 404, "/plan/kittiwake": 404, "/day/kittiwake/2026-02-30": 404,
		"/day/kittiwake/2031-01-01": 404, "/job/none": 404, "/log/none": 404, "/move/none": 404, "/morning/none": 404, "/why/none?at=2026-09-08T10:00:00Z": 404,
		"/job/kittiwake/products/none": 404, "/assets/none/app.css": 404} {
		assert.Equal(t, status, s.get(path).Code, path)
	}
	for path := range fieldNames {
		r := httptest.NewRequest(http.MethodPut, path, nil)
		w := httptest.NewRecorder()
		s.pages.ServeHTTP(w, r)
		assert.Contains(t, []int{http.StatusMethodNotAllowed, http.StatusNotFound}, w.Code, path)
	}
	for _, path := range []string{"/log/none", "/move/none", "/morning/none", "/job/none", "/plan/none"} {
		assert.Equal(t, http.StatusNotFound, s.post(path, url.Values{"air": {"15"}, "step": {"seal"}, "zone": {"port side"}}).Code, path)
	}
	assert.Empty(t, s.faults)
}

// A file that goes away under the pages is told, and comes back with it.
func TestAJobWhoseFileHasGone(t *testing.T) {
	s := small(t)
	text := s.text()
	require.NoError(t, os.Remove(s.job))
	for _, path := range []string{"/week/kittiwake", "/morning/kittiwake", "/job/kittiwake", "/move/kittiwake"} {
		w := s.get(path)
		assert.GreaterOrEqual(t, w.Code, 400, path)
		assert.NotContains(t, w.Body.String(), s.job, "its folder is told")
		decent(t, path, w.Body.String())
	}
	assert.Equal(t, http.StatusOK, s.get("/").Code)
	require.NoError(t, os.WriteFile(s.job, []byte(text), 0o600))
	assert.Equal(t, http.StatusOK, s.get("/week/kittiwake").Code)
}

// Words that are said of any text are text.
func TestWordsOfAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		raw := string(rapid.SliceOfN(rapid.Byte(), 0, 200).Draw(t, "raw"))
		for _, s := range []string{raw, strings.ToValidUTF8(raw, "?"), rapid.String().Draw(t, "s")} {
			if c := answer.Capital(s); !strings.EqualFold(strings.ToUpper(c), strings.ToUpper(s)) {
				t.Fatalf("%q became %q", s, c)
			}
			if e := stopped(s); s != "" && !strings.ContainsAny(e[len(e)-1:], ".!?") {
				t.Fatalf("%q has no end", e)
			}
			if b := brief(s); utf8.RuneCountInString(b) > 81 {
				t.Fatalf("%q is not brief", b)
			}
			if r := zoneRef(s); len(r) > longestRef || zoneOf(r, []answer.Zone{{Name: "other"}, {Name: s}}) != s {
				t.Fatalf("%q is meant by %q", s, r)
			}
		}
	})
	assert.Equal(t, "\uFFFD", answer.Capital("\xff"))
	assert.Equal(t, strings.Repeat("x", 79)+"…", brief(strings.Repeat("x", 79)+"\u200dy"), "no joiner before the ellipsis")
}

// A stretch of hours is never written as if it were empty, and never without its day
// where it ends on another.
func TestHoursOfAnyStretch(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		from := time.Date(2026, time.October, 30, 0, 0, 0, 0, loc).Add(time.Duration(rapid.IntRange(0, 600).Draw(t, "from")) * 10 * time.Minute)
		to := from.Add(time.Duration(rapid.IntRange(1, 300).Draw(t, "slots")) * 10 * time.Minute)
		s := plainly(hours(from, to))
		a, b, ok := strings.Cut(s, "–")
		if !ok || a != clock(from) {
			t.Fatalf("%s to %s is %q", from, to, s)
		}
		next := answer.NextMidnight(from)
		switch {
		case to.Equal(next) && b != "24:00", to.After(next) && b != "24:00" && !strings.Contains(b, plainly(day(to))), to.Before(next) && b != clock(to):
			t.Fatalf("%s to %s is %q", from, to, s)
		case to.After(next) && b == "24:00":
			t.Fatalf("%s to %s is %q: which day?", from, to, s)
		}
	})
}

// Spans are cut to the time that is asked for, keep its order and lose nothing of it.
func TestSpansAreCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(h int) time.Time { return six.Add(time.Duration(h) * time.Hour) }
		var w answer.Week
		n := 0
		for range rapid.IntRange(0, 8).Draw(t, "runs") {
			from := n + rapid.IntRange(0, 3).Draw(t, "gap")
			n = from + rapid.IntRange(1, 9).Draw(t, "long")
			if rapid.Bool().Draw(t, "good") {
				w.Windows = append(w.Windows, answer.Window{Zone: "a", From: at(from), To: at(n), State: "go"})
			} else {
				w.Refusals = append(w.Refusals, answer.Refusal{Zone: "a", From: at(from), To: at(n), State: "no-go"})
			}
		}
		from := rapid.IntRange(-2, 40).Draw(t, "from")
		to := from + rapid.IntRange(0, 40).Draw(t, "to")
		in := func(h int) bool {
			for _, x := range w.Windows {
				if !at(h).Before(x.From) && at(h).Before(x.To) {
					return true
				}
			}
			for _, x := range w.Refusals {
				if !at(h).Before(x.From) && at(h).Before(x.To) {
					return true
				}
			}
			return false
		}
		want, got := 0, 0
		for h := from; h < to; h++ {
			if in(h) {
				want++
			}
		}
		last := time.Time{}
		for _, s := range spansOf(&w, at(from), at(to)) {
			got += int(s.To.Sub(s.From).Hours())
			if s.From.Before(last) || s.From.Before(at(from)) || s.To.After(at(to)) {
				t.Fatalf("%v", s)
			}
			last = s.From
		}
		if got != want {
			t.Fatalf("%d hours of %d", got, want)
		}
	})
}
