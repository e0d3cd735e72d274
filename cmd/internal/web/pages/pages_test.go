package pages

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/internal/webtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// everywhere are the pages of the demo.
var everywhere = []string{
	"/", "/places", "/settings", "/offline", "/week/kittiwake", "/day/kittiwake/2026-09-08", "/day/kittiwake/2026-09-11",
	"/day/kittiwake/2026-09-11?zone=foredeck&hour=9", "/day/kittiwake/2026-09-11/sheet", "/day/kittiwake/2026-09-17",
	"/morning/kittiwake", "/job/kittiwake", "/job/kittiwake/products/polymer-sealant", "/job/kittiwake/products/epoxy-barrier",
	"/move/kittiwake", "/log/kittiwake",
	"/why/kittiwake?zone=port+side&product=polymer-sealant&at=2026-09-08T10:00:00-04:00",
}

func TestEveryPageIsDecent(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		s := standing(t, nil, func(c *Config) { c.Units = units })
		for _, path := range everywhere {
			w := s.get(path)
			require.Equal(t, http.StatusOK, w.Code, path)
			assert.Equal(t, "text/html; charset=utf-8", w.Header().Get("Content-Type"))
			page := w.Body.String()
			decent(t, path, page)
			if units == "us" {
				si := regexp.MustCompile(`\d\s?(°C|m/s|mm)\b`).FindString(parsePage(t, page).named("main")[0].text())
				assert.Empty(t, si, path)
			}
		}
		assert.Empty(t, s.faults)
	}
}

func TestNoPageTakesMoreThanSixRequests(t *testing.T) {
	s := standing(t, nil)
	for _, path := range everywhere {
		page := s.get(path)
		root, weight, asks := parsePage(t, page.Body.String()), page.Body.Len(), 2 // the page and the service worker
		for _, n := range root.all(func(n *node) bool { return n.attr["src"] != "" || n.name == "link" }) {
			to := n.attr["src"] + n.attr["href"]
			if n.attr["rel"] == "apple-touch-icon" {
				continue // asked for when it is put on a phone's first page
			}
			w := s.get(to)
			require.Equal(t, http.StatusOK, w.Code, to)
			weight += w.Body.Len()
			asks++
		}
		assert.LessOrEqual(t, asks, 6, path)
		assert.LessOrEqual(t, weight, 210_000, "%s with all that it brings along", path)
	}
}

func TestEveryLinkAnswers(t *testing.T) {
	s := standing(t, nil)
	seen, todo, whys := map[string]bool{"/": true}, []string{"/"}, 0
	for len(todo) > 0 {
		path := todo[0]
		todo = todo[1:]
		w := s.get(path)
		require.Equal(t, http.StatusOK, w.Code, path)
		if !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
			continue
		}
		root := parsePage(t, w.Body.String())
		base, err := url.Parse(path)
		require.NoError(t, err)
		for _, n := range root.all(func(n *node) bool { return n.attr["href"] != "" && n.name != "use" }) {
			u, err := base.Parse(n.attr["href"])
			require.NoError(t, err, n.attr["href"])
			u.Fragment = ""
			to := u.String()
			switch {
			case seen[to] || strings.HasPrefix(to, "/calendar/"): // which the server gives
				continue
			case strings.HasPrefix(to, "/why/"):
				if whys++; whys > 6 {
					continue
				}
			}
			seen[to] = true
			todo = append(todo, to)
		}
	}
	assert.Greater(t, len(seen), 40)
	assert.Empty(t, s.faults)
}

func TestTheMorningSaysItLoud(t *testing.T) {
	s := standing(t, nil)
	root := parsePage(t, s.get("/morning/kittiwake").Body.String())
	assert.Equal(t, "wait until 07:00", root.named("h1")[0].text())
	verdict := root.all(func(n *node) bool { return strings.HasPrefix(n.attr["class"], "verdict ") })[0]
	says(t, verdict.text(), "Then wash all zones. Last start 07:30, again from 11:00, rain from 13:00; a plan made now has nothing today.")
	assert.Equal(t, "#m-wait", verdict.named("use")[0].attr["href"], "a shape beside the word")
	*s.now = six.Add(90 * time.Minute)
	root = parsePage(t, s.get("/morning/kittiwake").Body.String())
	assert.Equal(t, "go", root.named("h1")[0].text())
}

func TestTheWeekAnswersFirst(t *testing.T) {
	s := standing(t, nil)
	root := parsePage(t, s.get("/week/kittiwake").Body.String())
	assert.Equal(t, "Wednesday 16 September", root.named("h1")[0].text())
	text := root.named("main")[0].text()
	says(t, text, []string{"Go: seal, in 11 of 11 forecasts Wednesday 16 September 14:50–17:00 starboard side In the plan: Wed 16 Sep starboard side, Thu 17 Sep transom, foredeck and port side; wash, correct and strip wash come first.",
		"Saturday 12 September: 07:00–09:00 port side", "Breaks itNothing that was tried.", "Wed 9 Sep: water on the panel, 50 g/m², at most 1",
		"16 blocks on 2 days, done Thu 17 Sep 16:40", "local rules and licensed practice decide"}...)
}

func TestReadingsAreWrittenDown(t *testing.T) {
	s := standing(t, nil, func(c *Config) { c.Units = "us" })
	w := s.post("/morning/kittiwake", url.Values{"air": {"59"}, "humidity": {"91"}, "wind": {"2"}, "sky": {"clear"}, "salt": {"no"}, "spray": {""},
		"zone.0": {"port side"}, "wet.0": {"yes"}, "surface.0": {"56,1"}, "by.0": {"contact"}, "sun.0": {"no"},
		"zone.1": {"transom"}, "wet.1": {""}, "surface.1": {""}, "by.1": {"infrared"}, "sun.1": {""}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	require.Equal(t, "/morning/kittiwake?saved=2", w.Header().Get("Location"))
	list, err := s.desk.Log(context.Background(), "kittiwake")
	require.NoError(t, err)
	require.Len(t, list.Readings, 2)
	both := list.Readings[0].Text + "; " + list.Readings[1].Text
	assert.Contains(t, both, "air 15.0 °C, humidity 91 %, wind 0.9 m/s, sky clear, no salt")
	assert.Contains(t, both, "port side: surface 13.4 °C by contact, wet, not in the sun")
	root := parsePage(t, s.get("/morning/kittiwake?saved=2").Body.String())
	says(t, root.named("main")[0].text(), "Written down. The answer below counts with it.")
}

func TestAWrongReadingComesBackAsItWasFilledIn(t *testing.T) {
	s := standing(t, nil)
	for name, c := range map[string]struct {
		form url.Values
		want string
	}{
		"no number":       {url.Values{"air": {"warm"}, "humidity": {"91"}}, "“warm” is no number"},
		"not to be":       {url.Values{"air": {"159"}, "humidity": {"91"}}, "Air 159"},
		"nothing":         {url.Values{"air": {""}, "humidity": {" "}}, "Nothing was filled in"},
		"no such zone":    {url.Values{"humidity": {"91"}, "zone.0": {"crow's nest"}, "wet.0": {"yes"}}, "crow's nest"},
		"markup":          {url.Values{"air": {`"><script>alert(1)</script>`}, "humidity": {"91"}}, "is no number"},
		"by what":         {url.Values{"humidity": {"91"}, "zone.0": {"transom"}, "surface.0": {"12"}, "by.0": {"hand"}}, "read with"},
		"not a number":    {url.Values{"air": {"NaN"}}, "is no number"},
		"without measure": {url.Values{"humidity": {"Inf"}}, "is no number"},
	} {
		w := s.post("/morning/kittiwake", c.form)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code, name)
		root := decent(t, name, w.Body.String())
		assert.Contains(t, root.all(func(n *node) bool { return n.attr["role"] == "alert" })[0].text(), c.want, name)
		for _, n := range root.named("input") {
			if v := c.form.Get(n.attr["name"]); v != "" && n.attr["type"] != "hidden" {
				assert.Equal(t, v, n.attr["value"], name)
			}
		}
	}
	list, err := s.desk.Log(context.Background(), "kittiwake")
	require.NoError(t, err)
	assert.Empty(t, list.Readings)
}

func TestMoveAfterRain(t *testing.T) {
	s := standing(t, nil)
	assert.Contains(t, s.get("/move/kittiwake").Body.String(), "When did it rain?")
	form := url.Values{"date": {"2026-09-08"}, "from": {"04:10"}, "to": {"05:30"}, "mm": {"3,5"}}
	for range 2 { // sent twice it is written down once
		w := s.post("/move/kittiwake", form)
		require.Equal(t, http.StatusSeeOther, w.Code)
		assert.Equal(t, "/move/kittiwake#answer", w.Header().Get("Location"))
	}
	list, err := s.desk.Log(context.Background(), "kittiwake")
	require.NoError(t, err)
	require.Len(t, list.Readings, 1)
	assert.Equal(t, "rain until Tue 8 Sep 05:30, 3.5 mm", list.Readings[0].Text)
	text := decent(t, "/move", s.get("/move/kittiwake").Body.String()).named("main")[0].text()
	says(t, text, "Moved 0 of 16 blocks")
	says(t, text, "Rain: Tue 8 Sep 04:10–05:30, 3.5 mm.")
	assert.Empty(t, s.faults)
}

// Week, day and sheet show the plan that was moved, say since when it stands, and have
// a button to plan anew.
func TestThePlanThatWasMovedStands(t *testing.T) {
	s := standing(t, nil)
	w := s.post("/move/kittiwake", url.Values{"from": {"04:10"}, "to": {"05:30"}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	blocks := func(path string) (out []string) {
		for _, n := range decent(t, path, s.get(path).Body.String()).named("li") {
			if strings.HasPrefix(n.attr["class"], "block ") {
				out = append(out, n.text())
			}
		}
		return out
	}
	*s.now = six.Add(10 * time.Minute)
	moved, err := s.desk.LastMove(t.Context(), "kittiwake")
	require.NoError(t, err)
	assert.Len(t, blocks("/week/kittiwake"), len(moved.Plan.Blocks))
	first := moved.Plan.Blocks[0].From.Format(time.DateOnly)
	for _, path := range []string{"/week/kittiwake", "/day/kittiwake/" + first, "/move/kittiwake"} {
		root := parsePage(t, s.get(path).Body.String())
		anew := 0
		for _, n := range root.named("form") {
			if n.attr["action"] == "/plan/kittiwake" {
				anew++
				says(t, n.text(), "Plan anew")
			}
		}
		assert.Equal(t, 1, anew, path)
		if path != "/move/kittiwake" {
			says(t, root.text(), "Agreed 06:00.", "This plan stands until it is moved or planned anew.")
		}
	}

	w = s.post("/plan/kittiwake", nil)
	require.Equal(t, http.StatusSeeOther, w.Code)
	assert.Equal(t, "/week/kittiwake#plan", w.Header().Get("Location"))
	assert.NotContains(t, s.get("/week/kittiwake").Body.String(), "Agreed")
	assert.Contains(t, s.get("/move/kittiwake").Body.String(), "When did it rain?")
	assert.Equal(t, http.StatusNotFound, s.post("/plan/none", nil).Code)
	assert.Empty(t, s.faults)
}

// planned is a desk whose book has one plan more.
type planned struct {
	Desk
	blocks []answer.PlanBlock
}

func (p planned) Log(context.Context, string) (*answer.BookList, error) {
	l := answer.NewBookList()
	l.Answers = []answer.BookAnswer{{ID: 3, Kind: "morning"}, {ID: 2, Kind: "week"}}
	return l, nil
}

func (p planned) AnswerBytes(context.Context, string, int64) ([]byte, error) {
	return json.Marshal(answer.Week{Plan: &answer.Plan{Blocks: p.blocks}})
}

func TestMoveAsksForWorkThatWasUnderWay(t *testing.T) {
	at := func(h float64) time.Time { return six.Add(time.Duration(h * float64(time.Hour))) }
	s := standing(t, nil, func(c *Config) {
		c.Desk = planned{c.Desk, []answer.PlanBlock{
			{Step: "wash", Zone: "transom", From: at(-60), To: at(-59)}, {Step: "seal", Zone: "transom", From: at(-2), To: at(-0.5)}, {Step: "seal", Zone: "foredeck", From: at(3), To: at(4)},
		}}
	})
	root := decent(t, "/move", s.get("/move/kittiwake").Body.String())
	legends := ""
	for _, n := range root.named("legend") {
		legends += n.text() + "; "
	}
	says(t, legends, "Seal transom")
	assert.NotContains(t, legends, "foredeck", "it had not begun")
	assert.NotContains(t, legends, "Wash", "it is long ago")
}

func TestMoveWithWorkUnderWay(t *testing.T) {
	s := standing(t, nil)
	require.Equal(t, http.StatusOK, s.get("/week/kittiwake").Code)
	w := s.post("/move/kittiwake", url.Values{"from": {"05:20"}, "to": {"05:40"}, "mm": {"2"}, "left.step.0": {"seal"}, "left.zone.0": {"transom"},
		"left.how.0": {"hazing"}, "left.from.0": {"04:00"}, "left.to.0": {"05:10"}, "left.share.0": {"50"}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	text := decent(t, "/move", s.get("/move/kittiwake").Body.String()).named("main")[0].text()
	says(t, text, "What became of the work", "redo transom", "Rinse, never wipe.", "Message for the owner")
}

func TestAWrongRainIsToldOnTheForm(t *testing.T) {
	s := standing(t, nil)
	require.Equal(t, http.StatusOK, s.get("/week/kittiwake").Code)
	for want, f := range map[string]url.Values{
		"a beginning and an end":         {"from": {"04:00"}},
		"the rain ends before it begins": {"from": {"05:00"}, "to": {"04:00"}},
		"does not fit":                   {"from": {"04:00"}, "to": {"05:00"}, "mm": {"-1"}},
		"is no number":                   {"from": {"04:00"}, "to": {"05:00"}, "mm": {"much"}},
		"future":                         {"from": {"04:00"}, "to": {"15:00"}},
		"A share lies above 0":           {"left.step.0": {"seal"}, "left.zone.0": {"transom"}, "left.how.0": {"hazing"}, "left.share.0": {"120"}},
	} {
		w := s.post("/move/kittiwake", f)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code, "%s: %s", want, w.Body)
		says(t, strings.ToLower(decent(t, want, w.Body.String()).text()), strings.ToLower(want))
	}
}

// Of a job with several coats the log has a field for the coat that is on now, and what
// it writes down counts as that coat alone.
func TestTheLogCountsCoats(t *testing.T) {
	plain := decent(t, "/log", small(t).get("/log/kittiwake").Body.String())
	assert.Empty(t, plain.all(func(n *node) bool { return n.attr["name"] == "coat" }), "one coat, no question")

	s := standing(t, func(string) string {
		return strings.Replace(webtest.SmallJob, "with: polymer-sealant", "with: polymer-sealant, coats: 3", 1)
	})
	root := decent(t, "/log", s.get("/log/kittiwake").Body.String())
	require.Len(t, root.all(func(n *node) bool { return n.attr["name"] == "coat" }), 1)
	work := url.Values{"step": {"seal"}, "zone": {"port side"}, "date": {"2026-09-07"}, "at": {"16:00"}, "coat": {"2"}}
	require.Equal(t, http.StatusSeeOther, s.post("/log/kittiwake", work).Code)
	list, err := s.desk.Log(context.Background(), "kittiwake")
	require.NoError(t, err)
	require.Len(t, list.Done, 1)
	assert.Contains(t, list.Done[0].Text, "67 %")

	work.Set("coat", "4")
	w := s.post("/log/kittiwake", work)
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	says(t, strings.ToLower(decent(t, "/log", w.Body.String()).text()), "seal has no coat 4", "the job has 3")
}

func TestTheLogTakesAndGivesBack(t *testing.T) {
	s := standing(t, nil)
	w := s.post("/log/kittiwake", url.Values{"step": {"wash"}, "zone": {"transom", "port side"}, "share": {"50"}, "by": {"Ada"}, "date": {"2026-09-07"}, "at": {"16:00"}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	root := decent(t, "/log", s.get("/log/kittiwake?saved=1").Body.String())
	says(t, root.text(), "wash on transom, 50 % of it so far, by Ada")
	undo := root.all(func(n *node) bool { return n.attr["name"] == "number" })
	require.Len(t, undo, 2)
	w = s.post("/log/kittiwake", url.Values{"op": {"undo"}, "kind": {"done"}, "number": {undo[0].attr["value"]}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	list, err := s.desk.Log(context.Background(), "kittiwake")
	require.NoError(t, err)
	assert.Len(t, list.Done, 1)
	w = s.post("/log/kittiwake", url.Values{"step": {"wash"}, "zone": {"transom"}, "found": {"redo"}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	for want, f := range map[string]url.Values{
		"Which step was it?": {"zone": {"transom"}}, "On which part": {"step": {"wash"}}, "A share": {"step": {"wash"}, "zone": {"transom"}, "share": {"0"}},
		"A day needs a time": {"step": {"wash"}, "zone": {"transom"}, "date": {"2026-09-07"}}, "nothing that can be found": {"step": {"wash"}, "zone": {"transom"}, "found": {"gold"}},
		"no reading with the number 7": {"op": {"undo"}, "kind": {"reading"}, "number": {"7"}},
	} {
		w := s.post("/log/kittiwake", f)
		require.Equal(t, http.StatusUnprocessableEntity, w.Code, "%s: %s", want, w.Body)
		says(t, decent(t, want, w.Body.String()).text(), want)
	}
}

func TestErrorsSayWhatToDo(t *testing.T) {
	s := standing(t, nil)
	for path, status := range map[string]int{
		"/nowhere": 404, "/week/dory": 404, "/morning/dory": 404, "/job/dory": 404, "/log/dory": 404, "/move/dory": 404,
		"/day/kittiwake/2026-10-01": 404, "/day/kittiwake/yesterday": 404, "/job/kittiwake/products/honey": 404,
		"/why/kittiwake?at=noon": 422, "/why/kittiwake?zone=keel&product=soap-wash&at=2026-09-08T10:00:00Z": 503,
	} {
		w := s.get(path)
		assert.Equal(t, status, w.Code, path)
		says(t, decent(t, path, w.Body.String()).text(), "What to do:")
	}
	assert.Empty(t, s.faults, "none of these is a fault of ours")
}

func TestAJobThatIsWrongIsToldByLine(t *testing.T) {
	s := standing(t, func(job string) string { return strings.Replace(job, "people: 2", "peopel: 2", 1) })
	w := s.get("/week/kittiwake")
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Regexp(t, `kittiwake\.yaml:\d+:1`, decent(t, "/week", w.Body.String()).text())
	w = s.get("/job/kittiwake")
	require.Equal(t, http.StatusOK, w.Code, "its page is where it can be mended")
	text := decent(t, "/job", w.Body.String()).text()
	says(t, text, "column 1")
	says(t, text, "peopel")
	assert.Equal(t, http.StatusOK, s.get("/").Code)
	assert.Equal(t, http.StatusOK, s.get("/places").Code)
}

// broken is a desk that fails.
type broken struct{ Desk }

func (broken) Boats(context.Context) ([]Boat, error) { return nil, errors.New("the disk is on fire") }

func TestFaultsAreToldToTheLogAndNotToTheReader(t *testing.T) {
	s := standing(t, nil, func(c *Config) { c.Desk = broken{c.Desk} })
	w := s.get("/")
	assert.Equal(t, http.StatusInternalServerError, w.Code)
	assert.NotContains(t, w.Body.String(), "fire")
	require.Len(t, s.faults, 1)
	assert.ErrorContains(t, s.faults[0], "fire")
}

func TestNewWantsWhatItNeeds(t *testing.T) {
	_, err := New(Config{})
	assert.ErrorContains(t, err, "desk")
}

// nasty are names as nobody should write them and somebody will.
var nasty = []string{
	`"><script>alert(1)</script>`, `'; DROP TABLE zones; --`, "قارب صغير", "\u202egnidaer sdrawkcab", "⛵🌊 dinghy", `{{.Theme}} ${x} %s`, "javascript:alert(1)",
	strings.Repeat("long", 2500),
}

func TestNastyNamesAreText(t *testing.T) {
	s := standing(t, func(job string) string {
		job = strings.NewReplacer("job: Late-season clean and seal", fmt.Sprintf("job: %q", nasty[0]), "name: Otter Quay", fmt.Sprintf("name: %q", nasty[1]),
			"name: Kittiwake", fmt.Sprintf("name: %q", nasty[0]+nasty[3])).Replace(job)
		zones, names := "", ""
		for _, n := range nasty {
			zones += fmt.Sprintf("  - {name: %q, tilt: 90, faces: 270, finish: white-gelcoat, area_m2: 9}\n", n)
			names += fmt.Sprintf("%q, ", n)
		}
		job = strings.ReplaceAll(job, "on: [port side, ", "on: ["+names)
		return strings.ReplaceAll(job, "  kind: flybridge-cruiser\n  length_m: 13\n", "") + "zones:\n" + zones +
			"  - {name: starboard side, tilt: 90, faces: 90, finish: white-gelcoat}\n  - {name: transom, tilt: 90, faces: 180, finish: white-gelcoat}\n  - {name: foredeck, tilt: 0, finish: white-gelcoat}\n"
	})
	pages := []string{"/", "/places", "/settings", "/week/kittiwake", "/day/kittiwake/2026-09-11/sheet", "/morning/kittiwake", "/job/kittiwake", "/move/kittiwake", "/log/kittiwake"}
	for _, name := range nasty {
		pages = append(pages, "/day/kittiwake/2026-09-11?zone="+url.QueryEscape(zoneRef(name)))
	}
	for _, name := range []string{nasty[0], nasty[1], nasty[len(nasty)-1]} {
		pages = append(pages, "/why/kittiwake?product=polymer-sealant&at=2026-09-08T10:00:00-04:00&zone="+url.QueryEscape(zoneRef(name)))
	}
	for _, path := range pages {
		w := s.get(path)
		require.Equal(t, http.StatusOK, w.Code, "%.80s: %.900s", path, parsePage(t, w.Body.String()).named("main")[0].text())
		page := w.Body.String()
		root := parsePage(t, page)
		inline(t, path[:min(80, len(path))], root)
		assert.LessOrEqual(t, len(page), 170_000, path[:min(80, len(path))])
		assert.Len(t, root.named("script"), 1, path)
		assert.NotContains(t, page, "<script>alert", path)
		for _, n := range root.named("a") {
			assert.NotContains(t, strings.ToLower(n.attr["href"]), "javascript:", path)
		}
	}
	page := html.UnescapeString(s.get("/job/kittiwake").Body.String())
	for _, name := range nasty {
		says(t, page, name)
	}
	assert.Empty(t, s.faults)
}

func TestTokensAreInEveryForm(t *testing.T) {
	s := standing(t, nil, func(c *Config) {
		c.Token = func(*http.Request) string { return "s3cret" }
		c.User = func(*http.Request) string { return "Ada <ada>" }
	})
	for _, path := range everywhere {
		for _, f := range parsePage(t, s.get(path).Body.String()).named("form") {
			if f.attr["method"] != "post" {
				continue
			}
			assert.NotEmpty(t, f.all(func(n *node) bool { return n.attr["name"] == "token" && n.attr["value"] == "s3cret" }), path)
		}
	}
	assert.Contains(t, s.get("/").Body.String(), "Ada &lt;ada&gt;")
}

// Where people sign in the settings lead to the page that makes the calendar link, and
// show no address that would not hold; else they show the addresses.
func TestSettingsShowTheWayToTheCalendar(t *testing.T) {
	s := standing(t, nil)
	says(t, decent(t, "/settings", s.get("/settings").Body.String()).text(), "example.com/calendar/kittiwake.ics")
	s = standing(t, nil, func(c *Config) {
		c.LinkPage = "/calendar-link"
		c.User = func(*http.Request) string { return "signed in" }
	})
	page := s.get("/settings").Body.String()
	root := decent(t, "/settings", page)
	says(t, root.text(), "A calendar program cannot sign in", "Make or end the calendar link", "dewgap serve --new-calendar-link")
	assert.NotContains(t, page, ".ics")
	assert.Len(t, root.all(func(n *node) bool { return n.attr["href"] == "/calendar-link" }), 1)
}

func TestVerdictLines(t *testing.T) {
	v := voice{}
	at := six
	step := answer.MorningStep{Step: "seal", Zone: "helm", Asked: true, State: "no-go", Binding: answer.Binding{Limit: "salt"}}
	for verdict, want := range map[string]string{
		"no-go": "Today salt on the panel: wash it off first.", "unknown": "Today's hours cannot be judged by this forecast.",
		"go": "Nothing is left to do today.", "marginal": "Needs your yes for nothing is left to do today, because nothing is left to do today.",
	} {
		assert.Equal(t, want, v.verdictLine(&answer.Morning{Verdict: verdict, Now: at, Steps: []answer.MorningStep{step}}), verdict)
	}
	step.Today = &answer.Against{Binding: answer.Binding{Limit: "rain"}, Spell: &answer.Spell{From: at.Add(4 * time.Hour), To: at.Add(8 * time.Hour)}}
	no := answer.Morning{Verdict: "no-go", Now: at, Steps: []answer.MorningStep{step, step}}
	assert.Equal(t, "Today rain wets the panel, 14:00–18:00.", plainly(v.verdictLine(&no)), "what takes most of the day, and when")
	no.Steps[0].Today = &answer.Against{Binding: answer.Binding{Limit: "salt"}}
	no.Steps = append(no.Steps, step)
	assert.Equal(t, "Today rain wets the panel, 14:00–18:00.", plainly(v.verdictLine(&no)), "that of most of the steps")
	step.Today = nil
	first := at.Add(time.Hour)
	step.First, step.Best = &first, "go"
	assert.Equal(t, "Then seal helm.", v.verdictLine(&answer.Morning{Verdict: "wait", WaitUntil: &first, Now: at, Steps: []answer.MorningStep{step}}))
}

// What needs a yes is no part of a go, on the page as on the screen; its row asks for it,
// or says that the job gives it.
func TestAGoIsWhatNeedsNoYes(t *testing.T) {
	later := six.Add(3 * time.Hour)
	step := func(zone, state string) answer.MorningStep {
		return answer.MorningStep{Step: "seal", Zone: zone, Asked: true, State: state, Binding: answer.Binding{Limit: "salt"}}
	}
	port, starboard := step("port side", "ideal"), step("starboard side", "marginal")
	starboard.First, starboard.FirstState = &later, "go"
	m := &answer.Morning{Verdict: "go", Now: six, Steps: []answer.MorningStep{port, starboard}}
	assert.Equal(t, "Seal port side.", voice{}.verdictLine(m))
	rows := voice{}.morningGroups(m)[0].Rows
	assert.Equal(t, []string{"", "Needs your yes."}, []string{rows[0].Yes, rows[1].Yes})

	m.Steps = m.Steps[1:]
	assert.Equal(t, "Now with your yes: seal starboard side.", voice{}.verdictLine(m))
	now := six
	m.Steps[0].First, m.Steps[0].FirstState = &now, "marginal"
	assert.Equal(t, "May begin by the yes in the job.", voice{}.morningGroups(m)[0].Rows[0].Yes)
	m.Steps[0].NoPolisher = true
	assert.Equal(t, "By the weather and the yes in the job it may begin now.", voice{}.morningGroups(m)[0].Rows[0].Yes)
	m.Steps = append(m.Steps, m.Steps[0])
	m.Steps[1].Zone, m.Steps[1].NoPolisher = "foredeck", false
	assert.Equal(t, "Now with your yes: seal foredeck.", voice{}.verdictLine(m))
	m.Steps = m.Steps[:1]
	m.Steps[0].NoPolisher, m.Steps[0].NeedsConsent = false, true
	assert.Equal(t, "Needs your yes.", voice{}.morningGroups(m)[0].Rows[0].Yes)
	hot := m.Steps[0]
	hot.Zone, hot.FirstBecause = "transom", "panel over 36 °C"
	m.Steps = append(m.Steps, hot)
	rows = voice{}.morningGroups(m)[0].Rows
	require.Len(t, rows, 2, "zones that ask a yes to other things do not read alike")
	assert.Equal(t, "panel over 36 °C", rows[1].FirstWhy)
}

// The page tells of a second chance as the screen does: where the first one ends,
// the rain that ends it, and when work may begin again.
func TestTheMorningTellsOfASecondChance(t *testing.T) {
	now := six.In(time.FixedZone("", -4*60*60))
	last, rain, again := now.Add(110*time.Minute), now.Add(6*time.Hour), now.Add(9*time.Hour)
	step := answer.MorningStep{
		Step: "seal", Zone: "helm", Asked: true, State: "go", First: &now, Last: &last, FirstState: "go", Best: "go", WetAt: &rain, WetBy: "rain",
		Chances: []answer.Chance{{From: now, Last: last, State: "go"}, {From: again, Last: again.Add(time.Hour), State: "go"}},
	}
	m := &answer.Morning{Verdict: "go", Now: now, Steps: []answer.MorningStep{step}}
	assert.Equal(t, "Seal helm. Last start 07:50, again from 15:00, rain from 12:00.", voice{}.verdictLine(m))
	once := step
	once.Zone, once.Chances = "foredeck", step.Chances[:1]
	m.Steps = append(m.Steps, once)
	assert.Equal(t, "Seal helm and foredeck. Last start 07:50, rain from 12:00.", voice{}.verdictLine(m), "not all of it begins again")
	groups := voice{}.morningGroups(m)
	require.Len(t, groups[0].Rows, 2, "zones of which one begins again do not read alike")
}

// A boat with all the zones of its kind in every step.
func TestABigJobStaysLight(t *testing.T) {
	s := standing(t, func(job string) string {
		return strings.ReplaceAll(job, ", on: [port side, starboard side, transom, foredeck]", "")
	})
	for _, path := range []string{"/week/kittiwake", "/day/kittiwake/2026-09-11", "/day/kittiwake/2026-09-11/sheet", "/morning/kittiwake", "/job/kittiwake", "/log/kittiwake"} {
		w := s.get(path)
		require.Equal(t, http.StatusOK, w.Code, path)
		decent(t, path, w.Body.String())
		t.Log(path, w.Body.Len())
	}
}
