package pages

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/web/desk"
	"dewgap/cmd/internal/web/internal/webtest"
	"dewgap/forecast"
	"dewgap/forecast/fetch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// silent is a service that does not answer, as long as it has an error.
type silent struct {
	app.Source
	err *error
}

// Forecast is the error, or the forecast.
func (s silent) Forecast(ctx context.Context, q app.Query) (*forecast.Forecast, error) {
	if *s.err != nil {
		return nil, *s.err
	}
	return s.Source.Forecast(ctx, q)
}

// weather is a stand on the small job under the demo's weather, changed.
func weather(t testing.TB, change func(*forecast.Forecast)) *stand {
	return standOn(t, setup{texts: []string{webtest.SmallJob}, source: func(c app.Clock) app.Source {
		return moved{c, forecast.Place{Latitude: 43.07, Longitude: -70.74}, change}
	}})
}

// main is the words of a page's main part; the page has to be decent and of a status.
func (s *stand) main(path string, status int) string {
	w := s.get(path)
	require.Equal(s.t, status, w.Code, "%s: %s", path, w.Body)
	return decent(s.t, path, w.Body.String()).named("main")[0].text()
}

// Where no forecast can be had, the pages that need one say so and what to do, the
// others go on: what was seen can be written down, and the job can be changed.
func TestWithoutAForecast(t *testing.T) {
	var err error = &fetch.Error{Service: "NWS", Host: "api.example", Kind: fetch.Network, Fix: "look whether this computer is connected, then ask again"}
	s := standOn(t, setup{texts: []string{webtest.SmallJob}, source: func(c app.Clock) app.Source { return silent{demo.Source{Clock: c}, &err} }})
	for _, path := range []string{"/week/kittiwake", "/day/kittiwake/2026-09-08", "/day/kittiwake/2026-09-08/sheet", "/morning/kittiwake",
		"/why/kittiwake?zone=port+side&product=polymer-sealant&at=2026-09-08T10:00:00-04:00"} {
		text := s.main(path, http.StatusServiceUnavailable)
		says(t, text, "No answer at the moment", "NWS", "Look whether this computer is connected, then ask again.", "Try again")
	}
	for _, path := range []string{"/", "/places"} {
		says(t, s.main(path, http.StatusOK), "Kittiwake", "NWS")
		assert.Equal(t, "no-store", s.get(path).Header().Get("Cache-Control"), "trouble that may be over at the next look is kept by nobody")
	}
	for _, path := range []string{"/job/kittiwake", "/log/kittiwake", "/move/kittiwake", "/settings", "/offline"} {
		s.main(path, http.StatusOK)
	}
	w := s.post("/log/kittiwake", url.Values{"step": {"seal"}, "zone": {"port side"}, "at": {"05:00"}})
	assert.Equal(t, http.StatusSeeOther, w.Code, "what was done can be written down")
	w = s.post("/move/kittiwake", url.Values{"from": {"04:00"}, "to": {"05:00"}})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	root := decent(t, "/move", w.Body.String())
	says(t, root.text(), "Not taken.", "NWS")
	assert.Equal(t, "04:00", input(t, root, "from").attr["value"])
	assert.Empty(t, s.faults, "that a service is silent is no fault of ours")
}

// A forecast that is too old is said to be stale wherever its age stands, with its age,
// and nothing that it says of today counts.
func TestAStaleForecast(t *testing.T) {
	for hours, want := range map[int]string{13: "today is not judged by it", 40: "nothing is judged by it"} {
		s := weather(t, func(f *forecast.Forecast) { f.Issued = six.Add(-time.Duration(hours) * time.Hour) })
		for _, path := range []string{"/week/kittiwake", "/day/kittiwake/2026-09-08", "/morning/kittiwake", "/places", "/day/kittiwake/2026-09-08/sheet"} {
			says(t, s.main(path, http.StatusOK), fmt.Sprintf("%d h old, stale", hours))
		}
		says(t, s.main("/week/kittiwake", http.StatusOK), want, "Unknown", "No hours to seal up to Wed 9 Sep")
		assert.Equal(t, "unknown", parsePage(t, s.get("/morning/kittiwake").Body.String()).named("h1")[0].text())
		says(t, s.main("/", http.StatusOK), "unknown")
	}
}

// What a forecast does not tell is a dash in the tables and a question in the answers,
// never a nought and never a go.
func TestWhatIsNotKnown(t *testing.T) {
	s := weather(t, func(f *forecast.Forecast) {
		for i := range f.Members {
			f.Members[i].Columns[forecast.DewPoint], f.Members[i].Columns[forecast.Humidity] = forecast.Column{}, forecast.Column{}
		}
	})
	root := decent(t, "/day", s.get("/day/kittiwake/2026-09-08").Body.String())
	table := root.all(func(n *node) bool { return n.name == "table" && n.attr["class"] == "hours" })[0]
	var head []string
	for _, th := range table.named("thead")[0].named("th") {
		head = append(head, th.text())
	}
	for _, name := range []string{"Dew point °C", "Humidity %", "Over dew °C"} {
		i := slices.Index(head, name)
		require.Positive(t, i, "%s of %v", name, head)
		for _, row := range table.named("tbody")[0].named("tr") {
			assert.Equal(t, "–", row.elements()[i].text(), name)
		}
	}
	says(t, s.main("/week/kittiwake", http.StatusOK), "the forecast lacks humidity")
	text := s.main("/morning/kittiwake", http.StatusOK)
	says(t, text, "The panel is not known.", "he forecast lacks humidity")
	assert.NotContains(t, text, " . ", "no sentence without words")
	assert.NotRegexp(t, `\bNaN\b|\bInf\b|<nil>`, text)
}

// tale is a desk whose answers are changed before they are shown.
type tale struct {
	Desk
	week    func(*answer.Week)
	morning func(*answer.Morning)
	move    *answer.Move
	fail    error // of Week and Morning
}

// Week is the desk's, changed.
func (d tale) Week(ctx context.Context, id string) (*answer.Week, error) {
	w, err := d.Desk.Week(ctx, id)
	if d.fail != nil || err != nil || d.week == nil {
		return w, errors.Join(err, d.fail)
	}
	out := *w
	d.week(&out)
	return &out, nil
}

// Morning is the desk's, changed.
func (d tale) Morning(ctx context.Context, id string) (*answer.Morning, error) {
	m, err := d.Desk.Morning(ctx, id)
	if d.fail != nil || err != nil || d.morning == nil {
		return m, errors.Join(err, d.fail)
	}
	out := *m
	d.morning(&out)
	return &out, nil
}

// LastMove is the one that is told.
func (d tale) LastMove(ctx context.Context, id string) (*answer.Move, error) {
	if d.move != nil {
		return d.move, nil
	}
	return d.Desk.LastMove(ctx, id)
}

// telling is a stand on the small job whose desk's answers are changed.
func telling(t testing.TB, units string, change func(*tale)) *stand {
	return small(t, func(c *Config) {
		c.Units = units
		d := tale{Desk: c.Desk}
		change(&d)
		c.Desk = d
	})
}

func ptr[T any](x T) *T { return &x }

// A week in which nothing can be done, one without a plan, and one of a job without any
// step are each a page that says so.
func TestWeeksWithLittleInThem(t *testing.T) {
	for name, c := range map[string]struct {
		week func(*answer.Week)
		want []string
	}{
		"no step": {func(w *answer.Week) {
			w.Headline, w.Windows, w.Refusals, w.Plan, w.Zones = nil, nil, nil, nil, nil
		}, []string{"The job asks for no step", "Day by day", "Outside working hours."}},
		"a part of the job": {func(w *answer.Week) {
			plan := *w.Plan
			plan.Part = &answer.Part{What: "all but the transom"}
			w.Plan = &plan
		},
			[]string{"in part: seal", "Planned is a part of the job, all but the transom.", "The plan of a part", "; a part of the job, all but the transom"}},
		"no plan": {func(w *answer.Week) { w.Plan = nil }, []string{"Seal, day by day"}},
		"a plan of nothing": {func(w *answer.Week) {
			w.Plan = &answer.Plan{State: answer.None, Blocks: []answer.PlanBlock{}, Why: []string{"no day has room"}}
		}, []string{"The plan no plan", "No day has room."}},
		"no windows": {func(w *answer.Week) { w.Windows, w.Headline, w.Verdict = nil, nil, "no-go" }, []string{"No-go", "No hours to seal up to", "Mostly because: ", "No window up to"}},
		"the plan takes another day": {func(w *answer.Week) {
			plan := *w.Plan
			plan.Blocks = []answer.PlanBlock{{Step: "seal", Zone: "port side", From: six.AddDate(0, 0, 6), To: six.AddDate(0, 0, 6).Add(time.Hour), State: "go", Confidence: 1}}
			w.Plan = &plan
		}, []string{"Go: seal, in 11 of 11 forecasts Monday 14 September", "Seal alone would do best on Tue 8 Sep; for the whole job this is the best plan found."}},
		"hours in the plan alone": {func(w *answer.Week) {
			plan, head := *w.Plan, *w.Headline
			plan.Blocks = []answer.PlanBlock{{Step: "seal", Zone: "port side", From: six.AddDate(0, 0, 6), To: six.AddDate(0, 0, 6).Add(time.Hour), State: "go", Confidence: 1}}
			head.Best, head.Next, w.Windows = nil, nil, nil
			w.Plan, w.Headline, w.Verdict = &plan, &head, "go"
		}, []string{"Go: seal, in 11 of 11 forecasts Monday 14 September 06:00–07:00 port side", "Outside the plan it has no hours up to"}},
		"hours in a plan that is lost": {func(w *answer.Week) {
			plan, head := *w.Plan, *w.Headline
			plan.Blocks = []answer.PlanBlock{{Step: "seal", Zone: "port side", From: six.AddDate(0, 0, 6), To: six.AddDate(0, 0, 6).Add(time.Hour), State: "no-go"}}
			plan.State, w.Verdict = "no-go", "no-go"
			head.Best, head.Next, w.Windows = nil, nil, nil
			w.Plan, w.Headline = &plan, &head
		}, []string{"No-go: seal Monday 14 September", "In the plan: Mon 14 Sep port side, no longer good."}},
		"one day only": {func(w *answer.Week) {
			if w.Headline != nil {
				w.Headline = &answer.Headline{Step: w.Headline.Step, Best: w.Headline.Best}
			}
		}, nil},
	} {
		s := telling(t, "", func(d *tale) { d.week = c.week })
		says(t, s.main("/week/kittiwake", http.StatusOK), c.want...)
		day := s.main("/day/kittiwake/2026-09-08", http.StatusOK)
		sheet := s.main("/day/kittiwake/2026-09-08/sheet", http.StatusOK)
		if strings.Contains(name, "plan") || name == "no step" {
			says(t, day, "Nothing is planned for this day.")
			says(t, sheet, "Nothing is planned for this day.")
		}
		assert.Empty(t, s.faults, name)
	}
}

// A label looser than its class's hard bound stays on every page that says when its product
// may go on.
func TestOwnLimitsStayOnThePages(t *testing.T) {
	s := telling(t, "", func(d *tale) {
		d.week = func(w *answer.Week) {
			text := w.Refusals[0].Product + " wind 14 m/s is looser than the class's hard 9 m/s: your label outranks it"
			w.Own = append(w.Own, answer.OwnLimit{Product: w.Refusals[0].Product, Text: text})
			w.Warnings = append(w.Warnings, "own.yaml:2:3: "+text+", and every verdict says so")
		}
	})
	for _, page := range []string{"/week/kittiwake", "/day/kittiwake/2026-09-08", "/day/kittiwake/2026-09-08/sheet"} {
		says(t, s.main(page, http.StatusOK), "wind 14 m/s is looser than the class's hard 9 m/s: your label outranks it")
	}
}

// The step that the week is about is the headline's; without one it is the sealing, for
// which all the others are done, else the last.
func TestTheStepThatTheWeekIsAbout(t *testing.T) {
	of := func(steps ...string) *answer.Week {
		w := &answer.Week{}
		for _, s := range steps {
			w.Refusals = append(w.Refusals, answer.Refusal{Step: s, Do: s, Zone: "a"})
		}
		return w
	}
	assert.Equal(t, "seal", headStep(of("wash", "seal", "protect")))
	assert.Equal(t, "protect", headStep(of("wash", "protect")))
	assert.Empty(t, headStep(of()))
	named := of("wash", "seal")
	named.Headline = &answer.Headline{Step: "wash"}
	assert.Equal(t, "wash", headStep(named))
	twice := of("wash")
	twice.Windows = []answer.Window{{Step: "second coat", Do: "seal", Zone: "a"}}
	assert.Equal(t, "second coat", headStep(twice), "by what is done, not by its name")
}

// What readings put before everything else is told on top, once for all zones that it is
// the same for.
func TestWorkThatReadingsPutFirst(t *testing.T) {
	s := telling(t, "", func(d *tale) {
		d.morning = func(m *answer.Morning) {
			m.Inserted = []answer.Inserted{{Zone: "port side", Text: "wash the salt off first"}, {Zone: "transom", Text: "wash the salt off first"}, {Zone: "helm", Text: "towel it"}}
			m.Readings = []answer.ReadingTaken{{At: m.Now.Add(-26 * time.Hour), Text: "air 15.0 °C", Used: false, Reason: "it is of yesterday"}}
			m.NextReading = ptr(m.Now.Add(2 * time.Hour))
			for i := range m.Steps {
				m.Steps[i].Asked = false
			}
		}
	})
	text := s.main("/morning/kittiwake", http.StatusOK)
	says(t, text, "Before everything else", "port side, transom: Wash the salt off first.", "helm: Towel it.", "Mon 7 Sep air 15.0 °C not used: it is of yesterday", "Read again at 08:00, then hourly.")
	assert.Equal(t, 1, strings.Count(text, "Wash the salt off first."))
}

// What ends the work names the products whose bounds it has, and that others have their
// own; a reading that is due is due now, and not at the clock time that it is.
func TestStopNamesItsProductAndReadAgainIsOfUse(t *testing.T) {
	s := telling(t, "", func(d *tale) {
		d.morning = func(m *answer.Morning) {
			m.NextReading = ptr(m.Now)
			m.Steps = []answer.MorningStep{{Step: "wash", Product: "soap-wash", Zone: "a", Asked: true, State: "go", First: ptr(m.Now)},
				{Step: "wash", Product: "soap-wash", Zone: "b", Asked: true, State: "go", First: ptr(m.Now)},
				{Step: "seal", Product: "polymer-sealant", Zone: "a", State: "ideal", Waits: true, First: ptr(m.Now)}}
		}
	})
	text := s.main("/morning/kittiwake", http.StatusOK)
	says(t, text, "Stop at", "With soap wash. Other products have bounds of their own.", "Read again now, then hourly.")
}

// Zones that read alike share a row of the page, asked today or not, and it says which are.
func TestTheMorningTellsWhatIsForToday(t *testing.T) {
	s := telling(t, "", func(d *tale) {
		d.morning = func(m *answer.Morning) {
			m.Steps = nil
			for i, zone := range []string{"port side", "starboard side", "transom"} {
				m.Steps = append(m.Steps, answer.MorningStep{Step: "wash", Zone: zone, Asked: i > 0, State: []string{"go", "go", "ideal"}[i], First: ptr(m.Now)})
			}
		}
	})
	says(t, s.main("/morning/kittiwake", http.StatusOK), "port side, starboard side for today: starboard side", "transom for today")
}

// Where what is put on at the last start could not be wiped off any more, the last section
// that can stands in its place, with its hour; zones that differ in it stand apart.
func TestTheLastSectionStandsForTheLastStart(t *testing.T) {
	s := telling(t, "", func(d *tale) {
		d.morning = func(m *answer.Morning) {
			at := func(h float64) *time.Time { return ptr(m.Now.Add(time.Duration(h * float64(time.Hour)))) }
			step := func(zone string, w answer.Wiped) answer.MorningStep {
				return answer.MorningStep{Step: "seal", Product: "polymer-sealant", Zone: zone, Asked: true, State: "go", First: at(0), Last: at(11.5), Wiped: w}
			}
			m.Steps = []answer.MorningStep{step("a", answer.Wiped{}), step("b", answer.Wiped{LastSection: at(10), WipeBy: at(12)})}
			m.Verdict = "go"
		}
	})
	text := s.main("/morning/kittiwake", http.StatusOK)
	says(t, text, "Last start17:30", "Last section on16:00", "Wiped by18:00", "Last start 16:00")
	assert.Equal(t, 1, strings.Count(text, "Last start17:30"), "not of both")
}

// Every verdict has its word, its shape and its class, on the morning, on the first page
// and among the places.
func TestEveryVerdictHasAWordAndAShape(t *testing.T) {
	for _, verdict := range []string{"go", "wait", "marginal", "no-go", "unknown", "maybe"} {
		s := telling(t, "", func(d *tale) { d.morning = func(m *answer.Morning) { m.Verdict, m.WaitUntil = verdict, nil } })
		root := decent(t, "/morning", s.get("/morning/kittiwake").Body.String())
		assert.Equal(t, verdict, root.named("h1")[0].text())
		shape := "#m-" + stateOf(verdict).Class
		assert.Equal(t, shape, root.named("h1")[0].named("use")[0].attr["href"])
		assert.NotEmpty(t, root.all(func(n *node) bool { return "#"+n.attr["id"] == shape }), "the shape is drawn")
		says(t, s.main("/", http.StatusOK), verdict)
		says(t, s.main("/places", http.StatusOK), verdict)
	}
}

// stateWords are the words of which one stands wherever a state is shown.
var stateWords = regexp.MustCompile(`(?i)\b(ideal|go|marginal|no-go|unknown|wait|no plan|good|kept|inspect|moved|rewash|new|redo|no place|planned|done|dropped)\b`)

// Whatever is coloured by a state has its word, for those who see no colour and for
// those who see nothing at all; and its shape, where it stands alone.
func TestNoStateIsByColourAlone(t *testing.T) {
	s := standing(t, nil)
	require.Equal(t, http.StatusSeeOther, s.post("/move/kittiwake", url.Values{"from": {"04:10"}, "to": {"05:30"}}).Code)
	coloured := regexp.MustCompile(`(^| )s-(ideal|go|marginal|no-go|unknown|wait)( |$)`)
	seen := 0
	for _, path := range everywhere {
		w := s.get(path)
		if w.Code != http.StatusOK {
			continue
		}
		root := parsePage(t, w.Body.String())
		for _, n := range root.all(func(n *node) bool {
			return coloured.MatchString(n.attr["class"]) && n.name != "path" && n.name != "rect" && n.name != "g"
		}) {
			seen++
			assert.Regexp(t, stateWords, n.text(), "%s: %s.%s", path, n.name, n.attr["class"])
			assert.NotEmpty(t, n.named("svg"), "%s: %s.%s has no shape", path, n.name, n.attr["class"])
		}
	}
	assert.Greater(t, seen, 100)
}

// A moment is written by the clock at the place, and its machine-readable twin is the
// same moment.
func TestTimesAreThoseOfThePlace(t *testing.T) {
	for _, p := range []port{ports[0], ports[1], ports[8]} {
		s := p.stand(t, nil)
		loc, err := time.LoadLocation(p.zone)
		require.NoError(t, err)
		require.Equal(t, http.StatusSeeOther, s.post("/log/kittiwake", url.Values{"step": {"seal"}, "zone": {"port side"}}).Code)
		require.Equal(t, http.StatusOK, s.get("/week/kittiwake").Code)
		root := decent(t, "/log", s.get("/log/kittiwake").Body.String())
		times := root.named("time")
		require.NotEmpty(t, times)
		for _, n := range times {
			at, err := time.Parse(time.RFC3339, n.attr["datetime"])
			require.NoError(t, err)
			assert.Equal(t, at.In(loc).Format("Mon 2 Jan 15:04"), n.text(), p.name)
			assert.WithinDuration(t, p.now, at, time.Minute)
		}
		kicker := parsePage(t, s.get("/morning/kittiwake").Body.String()).all(func(n *node) bool { return n.attr["class"] == "kicker" })[0]
		assert.Equal(t, p.now.In(loc).Format("Monday 2 January, 15:04"), kicker.text())
		day := input(t, parsePage(t, s.get("/move/kittiwake").Body.String()), "date").attr["value"]
		assert.Equal(t, p.now.In(loc).Format(time.DateOnly), day, "the form begins with the day as it is there")
	}
}

// What the job says is done is told by the clock at the place, and how much of it.
func TestDoneIsToldByTheClockOfThePlace(t *testing.T) {
	s := standing(t, func(text string) string {
		return text + "zones:\n  - {name: port side, done: {wash: 2026-09-07T21:30, correct: {at: \"2026-09-07 16:00\", share: 0.5}}}\n"
	})
	says(t, plainly(s.main("/job/kittiwake", http.StatusOK)), "Done: correct, Mon 7 Sep 16:00 (50 %) and wash, Mon 7 Sep 21:30.")
}

// A boat, a place or both may have no name: then the page goes by what there is.
func TestNamesThatAreNotGiven(t *testing.T) {
	nameless := strings.NewReplacer("name: Otter Quay, ", "", "name: Kittiwake, ", "").Replace(webtest.SmallJob)
	s := standOn(t, setup{texts: []string{nameless}})
	for path, want := range map[string]string{
		"/": "Small seal", "/places": "A place without a name", "/week/kittiwake": "Seal, day by day", "/morning/kittiwake": "What do you read?", "/job/kittiwake": "Small seal",
		"/settings": "Small seal", "/day/kittiwake/2026-09-08/sheet": "Small seal", "/log/kittiwake": "Log", "/move/kittiwake": "After rain",
	} {
		root := decent(t, path, s.get(path).Body.String())
		says(t, root.text(), want)
		for _, n := range root.named("bdi", "b", "h1", "h2", "h3", "p", "legend", "caption") {
			if n.attr["id"] != "stale" && n.attr["hidden"] == "" {
				assert.True(t, n.text() != "" || len(n.named("svg", "input")) > 0, "%s: an empty %s", path, n.name)
			}
		}
	}
	assert.Equal(t, "Week of your boat · dewgap", parsePage(t, s.get("/week/kittiwake").Body.String()).named("title")[0].text())
}

// Many boats: the first page asks for the mornings of the first few only, lists all, and
// groups those of one place.
func TestManyBoats(t *testing.T) {
	var texts []string
	for i := range 7 {
		texts = append(texts, strings.NewReplacer("name: Kittiwake", fmt.Sprintf("name: Kittiwake %d", i+1), "name: Otter Quay", fmt.Sprintf("name: %s", []string{"Otter Quay", "Heron Wharf"}[i%2])).Replace(webtest.SmallJob))
	}
	texts[5] = "job: [\n"
	s := standOn(t, setup{texts: texts})
	root := decent(t, "/", s.get("/").Body.String())
	assert.Equal(t, "Boats", root.named("h1")[0].text())
	cards := root.all(func(n *node) bool { return n.attr["class"] == "card" })
	require.Len(t, cards, 7)
	for i, c := range cards {
		assert.Equal(t, i < mostAsked, len(c.all(func(n *node) bool { return n.attr["class"] == "mini" })) == 1, "boat %d", i+1)
	}
	says(t, cards[5].text(), "job-6.yaml")
	places := decent(t, "/places", s.get("/places").Body.String()).named("h2")
	var names []string
	for _, h := range places {
		names = append(names, h.text())
	}
	assert.Equal(t, []string{"Otter Quay", "Heron Wharf", "A place without a name"}, names)
	assert.Empty(t, s.faults)
}

// Each thing that the desk refuses has a page of its own words, with the status that
// programs and proxies go by; what nobody knows of is told as a fault and no more.
func TestEachRefusalHasItsPage(t *testing.T) {
	for name, c := range map[string]struct {
		err    error
		status int
		title  string
	}{
		"no plan": {desk.ErrNoPlan, 409, "Nothing to move"}, "no book": {desk.ErrNoBook, 409, "Nothing was written down"}, "busy": {desk.ErrBusy, 503, "One moment"},
		"no job": {desk.ErrNoJob, 404, "There is no such job"}, "large": {&http.MaxBytesError{Limit: 3}, 413, "Too large"},
		"known": {&app.Problem{Text: "the tide is out", Fix: "wait"}, 503, "No answer at the moment"}, "fault": {errors.New("/home/ada/secret is gone"), 500, "That did not work"},
		"wrapped": {fmt.Errorf("asking: %w", desk.ErrBusy), 503, "One moment"},
	} {
		s := telling(t, "", func(d *tale) { d.fail = c.err })
		w := s.get("/week/kittiwake")
		assert.Equal(t, c.status, w.Code, name)
		root := decent(t, name, w.Body.String())
		assert.Equal(t, c.title, root.named("h1")[0].text(), name)
		says(t, root.text(), "What to do:", "Try again", "To the boats")
		assert.NotContains(t, w.Body.String(), "secret")
		assert.Equal(t, c.status == 500, len(s.faults) == 1, name)
		home := s.main("/", http.StatusOK)
		assert.NotContains(t, home, "secret", "the first page stands, whatever one boat has")
	}
}

// Without a book nothing can be written down; the pages say so before anybody types.
func TestWithoutABook(t *testing.T) {
	s := standOn(t, setup{texts: []string{webtest.SmallJob}, noBook: true})
	says(t, s.main("/log/kittiwake", http.StatusOK), "This server keeps no book, so nothing can be written down.")
	for path, f := range map[string]url.Values{"/log/kittiwake": {"step": {"seal"}, "zone": {"port side"}, "note": {"thin"}}, "/morning/kittiwake": {"air": {"15"}}} {
		w := s.post(path, f)
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, path)
		root := decent(t, path, w.Body.String())
		says(t, root.text(), "Not taken.", "no book")
		for name, v := range f {
			if name == "note" || name == "air" {
				assert.Equal(t, v[0], input(t, root, name).attr["value"])
			}
		}
	}
	w := s.post("/move/kittiwake", url.Values{"date": {"2026-09-08"}, "from": {"04:00"}, "to": {"05:00"}, "mm": {"2"}})
	require.Contains(t, []int{http.StatusSeeOther, http.StatusUnprocessableEntity}, w.Code)
	if w.Code == http.StatusSeeOther { // the form alone tells of the rain
		says(t, s.main("/move/kittiwake", http.StatusOK), "Tue 8 Sep 04:00–05:00, 2.0 mm")
	}
	assert.Empty(t, s.faults)
}

// A job without a file of its own cannot be saved: what was written comes back.
func TestAJobThatCannotBeSaved(t *testing.T) {
	s := small(t, func(c *Config) { c.Desk = fixed{c.Desk} })
	text := s.text() + "# mine\n"
	w := s.post("/job/kittiwake", url.Values{"op": {"file"}, "tag": {s.tag()}, "text": {text}})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	root := decent(t, "/job", w.Body.String())
	says(t, root.text(), "This job has no file that could be changed", "# mine")
	left, err := os.ReadFile(s.job)
	require.NoError(t, err)
	assert.Equal(t, webtest.SmallJob, string(left))
}

// fixed is a desk whose jobs have no files.
type fixed struct{ Desk }

// Save refuses.
func (fixed) Save(context.Context, string, []byte, string) error { return desk.ErrReadOnly }

// With everything done the pages ask for nothing again; they tell how long the fresh
// film is to be kept dry.
func TestEverythingDone(t *testing.T) {
	s := standOn(t, setup{texts: []string{webtest.SmallJob}})
	w := s.post("/log/kittiwake", url.Values{"step": {"seal"}, "zone": {"port side"}, "at": {"05:00"}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	const keep = "Keep port side dry until 09:00, and free of dew and wash water until 11:00 (seal, 05:00)."
	text := s.main("/morning/kittiwake", http.StatusOK)
	const spare = "Nobody touches or walks on the seal on port side before 07:00."
	says(t, text, "Nothing is left to do.", keep, spare)
	assert.NotContains(t, text, "Stop at")
	assert.Equal(t, "done", parsePage(t, s.get("/morning/kittiwake").Body.String()).named("h1")[0].text())
	text = s.main("/week/kittiwake", http.StatusOK)
	says(t, text, "Everything is done", keep, spare)
	for _, offer := range []string{"Next best", "day by day", "best first", "Best block"} {
		assert.NotContains(t, text, offer)
	}
}
